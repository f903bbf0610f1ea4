// SPDX-License-Identifier: Apache-2.0
// NSRDB PSM CSV: names of the metadata, their values, names of the columns, then rows. All by name.
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cmath>
#include <map>

#include "source.hpp"

namespace cabinload::weather {
namespace {

using core::kDegree_rad;
using core::kZeroCelsius_K;
// field is found by key.
const std::vector<Column> kColumns = {
    {0, "GHI", &Series::ghi_W_m2, 1, 0, 0, 2000},
    {0, "DNI", &Series::dni_W_m2, 1, 0, 0, 2000},
    {0, "DHI", &Series::dhi_W_m2, 1, 0, 0, 1500},
    {0, "Temperature", &Series::T_dry_K, 1, kZeroCelsius_K, -90, 60},
    {0, "Dew Point", &Series::T_dew_K, 1, kZeroCelsius_K, -95, 50},
    {0, "Pressure", &Series::p_Pa, 100, 0, 300, 1100},
    {0, "Wind Direction", &Series::wind_from_rad, kDegree_rad, 0, 0, 360},
    {0, "Wind Speed", &Series::wind_m_s, 1, 0, 0, 100},
    {0, "Surface Albedo", &Series::albedo_1, 1, 0, 0, 1},
};

struct Layout {
  std::vector<Column> columns;
  std::size_t year = 0, month = 0, day = 0, hour = 0, minute = 0, fields = 0;
};

Layout layout_of(const Source& source) {
  const std::vector<std::string> names = cut_quoted(source.line(3));
  const auto find = [&](const char* key) {
    const auto at = std::find(names.begin(), names.end(), key);
    return at == names.end() ? names.size() : static_cast<std::size_t>(at - names.begin());
  };
  Layout l;
  for (Column c : kColumns) {
    c.field = find(c.key);
    const bool required =
        c.to != &Series::ghi_W_m2 && c.to != &Series::albedo_1 && c.to != &Series::wind_from_rad;
    if (c.field < names.size())
      l.columns.push_back(c);
    else if (required)
      refuse(source, 3, 0, c.key, "there is no such column", "ask the archive for this column too");
  }
  for (const auto& [key, to] : {std::pair{"Year", &l.year},
                                {"Month", &l.month},
                                {"Day", &l.day},
                                {"Hour", &l.hour},
                                {"Minute", &l.minute}}) {
    *to = find(key);
    if (*to == names.size()) refuse(source, 3, 0, key, "there is no such column");
  }
  l.fields = 1 + std::max({l.year, l.month, l.day, l.hour, l.minute});
  for (const Column& c : l.columns) l.fields = std::max(l.fields, c.field + 1);
  return l;
}

/// Returns the file's clock, hours east of UTC.
double read_place(const Source& source, Series& s) {
  const std::vector<std::string> names = cut_quoted(source.line(1)),
                                 values = cut_quoted(source.line(2));
  std::map<std::string, std::pair<std::string, std::size_t>> meta;
  for (std::size_t i = 0; i < std::min(names.size(), values.size()); ++i)
    meta[names[i]] = {values[i], i + 1};
  const auto number_of = [&](const char* key) {
    if (!meta.contains(key)) refuse(source, 1, 0, key, "is not among the metadata names");
    return number(source, 2, meta[key].second, key, meta[key].first);
  };
  for (const auto& [key, unit] : {std::pair{"Temperature Units", "c"},
                                  {"Dew Point Units", "c"},
                                  {"Pressure Units", "mbar"}}) {
    if (!meta.contains(key)) continue;
    std::string found = meta[key].first;
    std::transform(found.begin(), found.end(), found.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    if (found != unit && !(unit[0] == 'm' && found == "millibar"))
      refuse(source, 2, meta[key].second, key,
             fmt::format("'{}' is not understood", meta[key].first), fmt::format("'{}' is", unit));
  }
  s.place.latitude_rad = number_of("Latitude") * kDegree_rad;
  s.place.longitude_rad = number_of("Longitude") * kDegree_rad;
  s.place.elevation_m = number_of("Elevation");
  const double clock_h = number_of("Time Zone");
  s.place.time_zone_h = meta.contains("Local Time Zone") ? number_of("Local Time Zone") : clock_h;
  const auto text = [&](const char* key) {
    return meta.contains(key) ? meta[key].first : std::string();
  };
  for (const char* key : {"City", "State", "Country"})
    if (const std::string t = text(key); !t.empty() && t != "-")
      s.place.name += (s.place.name.empty() ? "" : ", ") + t;
  if (s.place.name.empty())
    s.place.name = fmt::format("grid cell {:.2f}, {:.2f}", s.place.latitude_rad / kDegree_rad,
                               s.place.longitude_rad / kDegree_rad);
  s.source = trimmed("PSM " + text("Version"));
  return clock_h;
}

}  // namespace

Series read_psm(const Source& source) {
  Series s;
  s.format = Format::psm;
  s.how_recognised = "the first line names the metadata, the third the columns from Year to Minute";
  const double clock_h = read_place(source, s);
  const Layout l = layout_of(source);
  YearRows rows(source, s);
  std::vector<std::string_view> fields;
  int minute = -1;
  for (std::size_t line = 4; line <= source.lines.size(); ++line) {
    if (cut(source.line(line), fields) < l.fields)
      refuse(source, line, 0, "",
             fmt::format("has {} fields, {} are needed", fields.size(), l.fields),
             "the file may be cut off here");
    const auto part = [&](std::size_t i, const char* key) {
      return static_cast<int>(number(source, line, i + 1, key, fields[i]));
    };
    const int this_minute = part(l.minute, "Minute");
    if (minute >= 0 && this_minute != minute)
      refuse(source, line, l.minute + 1, "Minute",
             fmt::format("{} after rows at minute {}", this_minute, minute),
             "hourly rows are needed; ask the archive for a 60 min interval");
    minute = this_minute;
    const std::size_t k =
        rows.place(line, part(l.month, "Month"), part(l.day, "Day"), part(l.hour, "Hour"));
    if (k == YearRows::kLeapDay) continue;
    s.year[k] = part(l.year, "Year");
    for (const Column& c : l.columns) (s.*c.to)[k] = value_of(source, line, c, fields[c.field]);
  }
  rows.complete(s);
  s.state_offset_s = minute * 60.0;
  s.radiation_offset_s = minute * 60.0 - 1800.0;  // the hour centred on the instant
  const int east = static_cast<int>(std::lround(s.place.time_zone_h - clock_h));
  s.time_convention =
      fmt::format("{}; all values are instants at minute {} of the hour",
                  east == 0 ? "local standard time" : "UTC, turned to local standard time", minute);
  std::vector<std::size_t> lines = rows.lines();
  rotate_to_local(s, lines, east);
  finish(source, s, lines);
  return s;
}

}  // namespace cabinload::weather
