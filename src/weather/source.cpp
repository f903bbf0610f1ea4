// SPDX-License-Identifier: Apache-2.0
#include "source.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/error.hpp>
#include <charconv>
#include <cmath>
#include <cstring>

namespace cabinload::weather {

Source::Source(std::string_view all, std::string path_given)
    : bytes(all), path(std::move(path_given)) {
  if (all.substr(0, 3) == "\xEF\xBB\xBF") all.remove_prefix(3);
  lines.reserve(9000);
  while (!all.empty()) {
    const std::size_t end = std::min(all.find('\n'), all.size());
    std::string_view line = all.substr(0, end);
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    lines.push_back(line);
    all.remove_prefix(std::min(end + 1, all.size()));
  }
  while (!lines.empty() && trimmed(lines.back()).empty()) lines.pop_back();
}

void refuse(const Source& source, std::size_t line, std::size_t column, const std::string& key,
            const std::string& what, const std::string& hint) {
  throw core::InputError(core::InputProblem{source.path, line, column, key, what, hint});
}

std::string_view trimmed(std::string_view s) {
  while (!s.empty() && (s.front() == ' ' || s.front() == '\t')) s.remove_prefix(1);
  while (!s.empty() && (s.back() == ' ' || s.back() == '\t')) s.remove_suffix(1);
  return s;
}

std::size_t cut(std::string_view line, std::vector<std::string_view>& fields) {
  fields.clear();
  const char* at = line.data();
  const char* const end = at + line.size();
  for (;;) {
    const auto left = static_cast<std::size_t>(end - at);
    const char* comma = left == 0 ? nullptr : static_cast<const char*>(std::memchr(at, ',', left));
    if (comma == nullptr) break;
    fields.emplace_back(at, static_cast<std::size_t>(comma - at));
    at = comma + 1;
  }
  fields.emplace_back(at, static_cast<std::size_t>(end - at));
  return fields.size();
}

std::vector<std::string> cut_quoted(std::string_view line) {
  std::vector<std::string> fields(1);
  bool quoted = false;
  for (const char c : line) {
    if (c == '"')
      quoted = !quoted;
    else if (c == ',' && !quoted)
      fields.emplace_back();
    else
      fields.back().push_back(c);
  }
  for (std::string& f : fields) f = std::string(trimmed(f));
  return fields;
}

double number(const Source& source, std::size_t line, std::size_t column, const char* key,
              std::string_view field) {
  const std::string_view text = trimmed(field);
  double value = 0;
  const char* begin = text.data();
  if (!text.empty() && text.front() == '+') ++begin;
  const auto [end, error] = std::from_chars(begin, text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
    refuse(source, line, column, key, fmt::format("'{}' is not a number", text));
  return value;
}

double value_of(const Source& source, std::size_t line, const Column& c, std::string_view field) {
  const double raw = number(source, line, c.field + 1, c.key, field);
  if (raw == c.missing || raw >= c.missing_from) return std::numeric_limits<double>::quiet_NaN();
  if (raw < c.low || raw > c.high)
    refuse(source, line, c.field + 1, c.key,
           fmt::format("{} is outside what is possible ({} to {})", trimmed(field), c.low, c.high),
           "columns may be swapped, or a unit is not the format's");
  return raw * c.factor + c.offset;
}

void allocate(Series& s, std::size_t hours) {
  s.year.assign(hours, 2001);
  for (auto* v : {&s.T_dry_K, &s.T_dew_K, &s.p_Pa, &s.wind_m_s, &s.wind_from_rad, &s.ghi_W_m2,
                  &s.dni_W_m2, &s.dhi_W_m2, &s.infrared_W_m2, &s.cloud_1, &s.albedo_1})
    v->assign(hours, std::numeric_limits<double>::quiet_NaN());
}

std::size_t YearRows::place(std::size_t line, int month, int day, int hour) {
  const bool leap_day = month == 2 && day == 29;
  if (month < 1 || month > 12 || day < 1 || (day > core::days_in_month(month) && !leap_day) ||
      hour < 0 || hour > 23)
    refuse(source_, line, 1, "date and hour",
           fmt::format("month {}, day {}, hour {} does not exist", month, day, hour + 1));
  if (leap_day) {
    ++leap_rows_;
    return kLeapDay;
  }
  const auto row =
      static_cast<std::size_t>(core::day_index({month, day})) * 24 + static_cast<std::size_t>(hour);
  if (line_of_[row] != 0)
    refuse(source_, line, 1, "date and hour",
           fmt::format("{}, hour {} stands already in line {}", core::long_text({month, day}),
                       hour + 1, line_of_[row]),
           "every hour of the year must be there once");
  disordered_ = disordered_ || (placed_ > 0 && row != last_ + 1);
  line_of_[row] = line;
  last_ = row;
  ++placed_;
  return row;
}

void YearRows::complete(Series& series) const {
  if (placed_ < line_of_.size()) {
    const auto gap =
        static_cast<int>(std::find(line_of_.begin(), line_of_.end(), 0U) - line_of_.begin());
    refuse(source_, source_.lines.size(), 0, "",
           fmt::format("{} hourly rows, a year has 8760; the first missing is {}, hour {}", placed_,
                       core::long_text(core::date_of(gap / 24)), gap % 24 + 1),
           "the file may be cut off; a whole year of hourly rows is needed");
  }
  if (leap_rows_ > 0)
    series.remarks.push_back({Remark::Kind::note, "29 February was left out", leap_rows_, 0});
  if (disordered_)
    series.remarks.push_back(
        {Remark::Kind::fault, "rows are not in the order of time; they were sorted by date", 0, 0});
}

void rotate_to_local(Series& s, std::vector<std::size_t>& line_of, int hours_east) {
  const auto n = static_cast<long>(s.hours());
  const long shift = ((hours_east % n) + n) % n;
  if (shift == 0) return;
  const auto rotate = [shift](auto& v) {
    if (!v.empty()) std::rotate(v.begin(), v.end() - shift, v.end());
  };
  rotate(line_of);
  rotate(s.year);
  for (auto* v : {&s.T_dry_K, &s.T_dew_K, &s.p_Pa, &s.wind_m_s, &s.wind_from_rad, &s.ghi_W_m2,
                  &s.dni_W_m2, &s.dhi_W_m2, &s.infrared_W_m2, &s.cloud_1, &s.albedo_1})
    rotate(*v);
}

}  // namespace cabinload::weather
