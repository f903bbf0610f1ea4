// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <array>
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/schedule.hpp>
#include <charconv>
#include <cmath>

namespace cabinload::core {
namespace {

constexpr int kDay_min = 1440;
constexpr const char* kExample =
    "write hours as 22:00-07:00, several with commas, or always, or never";

std::string_view trimmed(std::string_view s) {
  while (!s.empty() && s.front() == ' ') s.remove_prefix(1);
  while (!s.empty() && s.back() == ' ') s.remove_suffix(1);
  return s;
}

}  // namespace

std::optional<int> parse_clock_min(std::string_view s) {
  s = trimmed(s);
  int hour = -1, minute = 0;
  const char* end = s.data() + s.size();
  auto [after, error] = std::from_chars(s.data(), end, hour);
  if (error != std::errc{}) return std::nullopt;
  if (after != end) {
    if (*after != ':' || end - after != 3) return std::nullopt;
    const auto rest = std::from_chars(after + 1, end, minute);
    if (rest.ec != std::errc{} || rest.ptr != end) return std::nullopt;
  }
  const int total = hour * 60 + minute;
  if (hour < 0 || minute < 0 || minute > 59 || total > kDay_min) return std::nullopt;
  return total;
}

DaySchedule DaySchedule::always() {
  DaySchedule schedule;
  schedule.intervals_ = {{0, kDay_min}};
  return schedule;
}

DaySchedule DaySchedule::parse(std::string_view text) {
  const std::string_view whole = trimmed(text);
  if (whole == "always") return always();
  DaySchedule schedule;
  if (whole == "never" || whole.empty()) return schedule;
  for (std::size_t start = 0; start <= whole.size();) {
    const std::size_t comma = std::min(whole.find(',', start), whole.size());
    const std::string_view part = whole.substr(start, comma - start);
    const std::size_t dash = part.find('-');
    const int from =
        dash == std::string_view::npos ? -1 : parse_clock_min(part.substr(0, dash)).value_or(-1);
    const int to =
        dash == std::string_view::npos ? -1 : parse_clock_min(part.substr(dash + 1)).value_or(-1);
    if (from < 0 || to < 0 || from == kDay_min || from == to)
      throw Error(fmt::format("'{}' is not a span of hours; {}", trimmed(part), kExample));
    schedule.intervals_.push_back({from, to == 0 ? kDay_min : to});
    start = comma + 1;
  }
  return schedule;
}

bool DaySchedule::within(double second) const {
  if (!(second >= 0 && second < kSecondsInDay)) second = second_of_day(second);
  for (const Interval& i : intervals_) {
    const double start_s = 60.0 * i.start_min, end_s = 60.0 * i.end_min;
    const bool inside =
        end_s > start_s ? second >= start_s && second < end_s : second >= start_s || second < end_s;
    if (inside) return true;
  }
  return false;
}

double DaySchedule::hours() const {
  int minutes = 0;
  for (int m = 0; m < kDay_min; ++m) minutes += active(60.0 * m + 30.0) ? 1 : 0;
  return minutes / 60.0;
}

bool DaySchedule::overlaps() const {
  double minutes = 0;
  for (const Interval& i : intervals_)
    minutes +=
        i.end_min > i.start_min ? i.end_min - i.start_min : i.end_min - i.start_min + kDay_min;
  return minutes > 60.0 * hours() + 0.5;
}

std::string DaySchedule::text() const {
  if (intervals_.empty()) return "never";
  std::string out;
  for (const Interval& i : intervals_) {
    if (covers_day(i)) return "always";
    if (!out.empty()) out += ", ";
    out += fmt::format("{:02}:{:02}-{:02}:{:02}", i.start_min / 60, i.start_min % 60,
                       i.end_min / 60, i.end_min % 60);
  }
  return out;
}

}  // namespace cabinload::core
