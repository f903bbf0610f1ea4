// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/units.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace cabinload::core {

/// A quantity by the clock (local standard time), the same every day.
///
/// Written as one value, "21 degC"; or as values each with the time from which it holds,
/// "23:00 10 degC, 07:00 20 degC"; a value with a span of time is approached in a straight line
/// over that span: "23:00 10 degC, 07:00-08:00 20 degC". The last value of the day holds over
/// midnight until the first. "none" where the caller allows it is the caller's word, not this
/// class's.
class DayProfile {
 public:
  /// A value and the time from which it holds.
  struct Point {
    double from_s = 0;     ///< second of the day, 0 <= from_s < 86400
    double reached_s = 0;  ///< >= from_s; the value is reached then (a straight line until it is)
    double value_SI = 0;
  };

  DayProfile() = default;  ///< zero all day
  /// The same value all day, in the SI unit of its quantity.
  explicit DayProfile(double constant_SI) : points_{{0, 0, constant_SI}} {}
  /// @throws core::Error  not a profile of that quantity; the text says what is wrong
  static DayProfile parse(std::string_view text, Quantity quantity);

  /// @param second_of_day  any finite value; taken modulo 86400
  [[nodiscard]] double at(double second_of_day) const;
  /// It does not change over the day.
  [[nodiscard]] bool constant() const { return points_.size() <= 1; }
  /// Lowest value of the day, SI.
  [[nodiscard]] double lowest() const;
  /// Highest value of the day, SI.
  [[nodiscard]] double highest() const;
  /// Points in the order of their time; none: zero all day.
  [[nodiscard]] const std::vector<Point>& points() const { return points_; }

 private:
  std::vector<Point> points_;  ///< by from_s
};

}  // namespace cabinload::core
