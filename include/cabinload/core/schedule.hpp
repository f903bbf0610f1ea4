// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/error.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace cabinload::core {

/// "7", "07:30", "24:00" as minutes after midnight; nothing when it is no clock.
[[nodiscard]] std::optional<int> parse_clock_min(std::string_view text);

/// Hours of the day in local standard time, as written "22:00-07:00, 12:30-14:00"; "always";
/// "never". An interval may pass midnight. Start is included, end is not.
class DaySchedule {
 public:
  /// A span of the day, in minutes after midnight.
  struct Interval {
    int start_min = 0;  ///< 0 <= start < 1440
    int end_min = 0;    ///< 0 < end <= 1440; end <= start passes midnight
  };

  DaySchedule() = default;  ///< never
  /// All day.
  static DaySchedule always();
  /// @throws core::Error  the text says what is wrong and gives an example
  static DaySchedule parse(std::string_view text);

  /// @param second_of_day  any finite value; taken modulo 86400
  [[nodiscard]] bool active(double second_of_day) const {
    if (intervals_.empty()) return false;
    return covers_day(intervals_.front()) || within(second_of_day);
  }
  /// Hours covered in a day [h], overlaps counted once.
  [[nodiscard]] double hours() const;
  /// Whether two of its spans share a minute.
  [[nodiscard]] bool overlaps() const;
  /// It does not change over the day.
  [[nodiscard]] bool constant() const { return empty() || hours() >= 24; }
  /// Never active.
  [[nodiscard]] bool empty() const { return intervals_.empty(); }
  /// Spans as they were written; they may overlap.
  [[nodiscard]] const std::vector<Interval>& intervals() const { return intervals_; }
  /// As parse() takes it: "22:00-07:00, 12:30-14:00", "always", "never".
  [[nodiscard]] std::string text() const;

 private:
  [[nodiscard]] static bool covers_day(const Interval& i) {
    return i.start_min == 0 && i.end_min == 1440;
  }
  [[nodiscard]] bool within(double second_of_day) const;
  std::vector<Interval> intervals_;
};

}  // namespace cabinload::core
