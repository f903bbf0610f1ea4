// SPDX-License-Identifier: Apache-2.0
// TMY3 CSV of the US National Solar Radiation Data Base: [TMY3] tables 1-1 and 1-2.
#include <cabinload/core/constants.hpp>

#include "source.hpp"

namespace cabinload::weather {
namespace {

constexpr double kMissing = -9900;
using core::kDegree_rad;
using core::kZeroCelsius_K;
const std::vector<Column> kColumns = {
    {4, "GHI", &Series::ghi_W_m2, 1, 0, 0, 2000, kMissing},
    {7, "DNI", &Series::dni_W_m2, 1, 0, 0, 2000, kMissing},
    {10, "DHI", &Series::dhi_W_m2, 1, 0, 0, 1500, kMissing},
    {28, "OpqCld", &Series::cloud_1, 0.1, 0, 0, 10, kMissing},
    {31, "Dry-bulb", &Series::T_dry_K, 1, kZeroCelsius_K, -90, 60, kMissing},
    {34, "Dew-point", &Series::T_dew_K, 1, kZeroCelsius_K, -95, 50, kMissing},
    {40, "Pressure", &Series::p_Pa, 100, 0, 300, 1100, kMissing},
    {43, "Wdir", &Series::wind_from_rad, kDegree_rad, 0, 0, 360, kMissing},
    {46, "Wspd", &Series::wind_m_s, 1, 0, 0, 100, kMissing},
    {61, "Alb", &Series::albedo_1, 1, 0, 0, 1, kMissing},
};

/// The columns stand at fixed places: one that was cut out would shift the rest.
void check_names(const Source& source) {
  const std::vector<std::string> names = cut_quoted(source.line(2));
  for (const Column& c : kColumns)
    if (c.field >= names.size() || !names[c.field].starts_with(std::string(c.key) + " ("))
      refuse(source, 2, c.field + 1, c.key, "there is no such column at its place",
             "the columns of the archive's file, all of them and in its order");
}

}  // namespace

Series read_tmy3(const Source& source) {
  Series s;
  s.format = Format::tmy3;
  s.how_recognised = "the second line starts with \"Date (MM/DD/YYYY)\"";
  s.time_convention =
      "local standard time; radiation is the mean of the hour that ends at the label, the rest "
      "holds at the label";
  s.source = "TMY3";
  const std::vector<std::string> head = cut_quoted(source.line(1));
  if (head.size() < 7)
    refuse(source, 1, 0, "station line", "has fewer than 7 fields",
           "station, name, state, time zone, latitude, longitude, elevation");
  s.place.name = head[1] + " " + head[2];
  const auto at = [&](std::size_t i, const char* key) {
    return number(source, 1, i + 1, key, head[i]);
  };
  s.place.time_zone_h = at(3, "time zone");
  s.place.latitude_rad = at(4, "latitude") * kDegree_rad;
  s.place.longitude_rad = at(5, "longitude") * kDegree_rad;
  s.place.elevation_m = at(6, "elevation");
  check_names(source);
  s.state_offset_s = 3600;
  YearRows rows(source, s);
  std::vector<std::string_view> fields;
  for (std::size_t line = 3; line <= source.lines.size(); ++line) {
    if (cut(source.line(line), fields) < 68)
      refuse(source, line, 0, "",
             "has " + std::to_string(fields.size()) + " fields, 68 or 71 are needed",
             "the file may be cut off here");
    const std::string_view date = fields[0], time = fields[1];
    if (date.size() != 10 || date[2] != '/' || date[5] != '/' || time.size() != 5 || time[2] != ':')
      refuse(source, line, 1, "Date, Time",
             "'" + std::string(date) + "," + std::string(time) + "' is not MM/DD/YYYY,HH:MM");
    const int month = static_cast<int>(number(source, line, 1, "Date", date.substr(0, 2)));
    const int day = static_cast<int>(number(source, line, 1, "Date", date.substr(3, 2)));
    const int hour = static_cast<int>(number(source, line, 2, "Time", time.substr(0, 2)));
    const std::size_t k = rows.place(line, month, day, hour - 1);
    if (k == YearRows::kLeapDay) continue;
    s.year[k] = static_cast<int>(number(source, line, 1, "Date", date.substr(6, 4)));
    for (const Column& c : kColumns) (s.*c.to)[k] = value_of(source, line, c, fields[c.field]);
  }
  rows.complete(s);
  finish(source, s, rows.lines());
  return s;
}

}  // namespace cabinload::weather
