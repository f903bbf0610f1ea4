// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string>
#include <string_view>

namespace cabinload::core {

/// A day of the 365-day year that typical-year files have. No year: months come from many years.
struct Date {
  int month = 1;  ///< 1..12
  int day = 1;    ///< 1..31
  /// The same month and day.
  friend bool operator==(const Date&, const Date&) = default;
};

inline constexpr int kDaysInYear = 365;
inline constexpr int kHoursInYear = 8760;
inline constexpr double kSecondsInHour = 3600.0;
inline constexpr double kSecondsInDay = 86400.0;

/// Largest whole number not above x, |x| < 2^62: std::floor without a call where the machine of the
/// build has no instruction for it.
[[nodiscard]] inline long whole(double x) {
  const long n = static_cast<long>(x);
  return n - (x < static_cast<double>(n) ? 1 : 0);
}
/// Seconds after midnight, 0..86400, of any moment in seconds after some midnight.
[[nodiscard]] inline double second_of_day(double t_s) {
  return t_s - kSecondsInDay * static_cast<double>(whole(t_s / kSecondsInDay));
}

/// Days in a month of the 365-day year. @pre 1 <= month <= 12
[[nodiscard]] int days_in_month(int month);
/// 0 for 1 January .. 364 for 31 December. 29 February counts as 28 February.
[[nodiscard]] int day_index(Date date);
/// Inverse of day_index; any integer is taken modulo 365.
[[nodiscard]] Date date_of(int day_index);
/// "07-14".
[[nodiscard]] std::string iso_text(Date date);
/// "14 July".
[[nodiscard]] std::string long_text(Date date);
/// "July". @pre 1 <= month <= 12
[[nodiscard]] std::string_view month_name(int month);
/// Accepts "07-14", "2024-07-14", "14 July", "Jul 14". @throws core::Error with an example
[[nodiscard]] Date parse_date(std::string_view text);
/// "23:10" from seconds after midnight, taken modulo a day, rounded down to the minute.
[[nodiscard]] std::string clock_text(double second_of_day);

}  // namespace cabinload::core
