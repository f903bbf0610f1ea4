// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/profile.hpp>
#include <cabinload/core/schedule.hpp>
#include <cmath>
#include <optional>

namespace cabinload::core {
namespace {

constexpr const char* kExample =
    "write one value, or times with values: 23:00 10 degC, 07:00 20 degC";

std::string_view trimmed(std::string_view s) {
  while (!s.empty() && s.front() == ' ') s.remove_prefix(1);
  while (!s.empty() && s.back() == ' ') s.remove_suffix(1);
  return s;
}

/// A clock as in "07:30" at the start of `part`, taken off it; nothing when there is none.
std::optional<int> take_clock_min(std::string_view& part) {
  const std::size_t colon = part.find(':');
  if (colon == std::string_view::npos || colon < 1 || colon > 2 || part.size() < colon + 3)
    return std::nullopt;
  const std::optional<int> minute = parse_clock_min(part.substr(0, colon + 3));
  if (minute) part.remove_prefix(colon + 3);
  return minute;
}

DayProfile::Point point_of(std::string_view part, Quantity quantity) {
  const std::string whole(trimmed(part));
  std::string_view rest = trimmed(part);
  const std::optional<int> from = take_clock_min(rest);
  std::optional<int> until = from;
  if (from && !rest.empty() && rest.front() == '-') {
    rest.remove_prefix(1);
    until = take_clock_min(rest);
  }
  if (!from || !until || *from >= 1440 || *until < *from)
    throw Error(fmt::format("'{}' is not a time with a value; {}", whole, kExample));
  return {*from * 60.0, *until * 60.0, parse_quantity(trimmed(rest), quantity)};
}

}  // namespace

DayProfile DayProfile::parse(std::string_view text, Quantity quantity) {
  if (text.find(':') == std::string_view::npos) return DayProfile(parse_quantity(text, quantity));
  DayProfile profile;
  for (std::size_t start = 0; start <= text.size();) {
    const std::size_t comma = std::min(text.find(',', start), text.size());
    const Point p = point_of(text.substr(start, comma - start), quantity);
    if (!profile.points_.empty() && p.from_s < profile.points_.back().reached_s)
      throw Error(fmt::format("'{}': the times must rise through the day", trimmed(text)));
    if (!profile.points_.empty() && p.from_s == profile.points_.back().from_s)
      throw Error(fmt::format("'{}': two values for one time", trimmed(text)));
    profile.points_.push_back(p);
    start = comma + 1;
  }
  return profile;
}

double DayProfile::at(double second_of_day) const {
  if (points_.empty()) return 0;
  const double s = core::second_of_day(second_of_day);
  std::size_t i = points_.size() - 1;  // before the first time the last value of the day holds
  for (std::size_t k = 0; k < points_.size() && points_[k].from_s <= s; ++k) i = k;
  const Point& p = points_[i];
  if (s < p.from_s || s >= p.reached_s) return p.value_SI;
  const double before = points_[(i + points_.size() - 1) % points_.size()].value_SI;
  return before + (s - p.from_s) / (p.reached_s - p.from_s) * (p.value_SI - before);
}

double DayProfile::lowest() const {
  double x = points_.empty() ? 0 : points_[0].value_SI;
  for (const Point& p : points_) x = std::min(x, p.value_SI);
  return x;
}

double DayProfile::highest() const {
  double x = points_.empty() ? 0 : points_[0].value_SI;
  for (const Point& p : points_) x = std::max(x, p.value_SI);
  return x;
}

}  // namespace cabinload::core
