// SPDX-License-Identifier: Apache-2.0
// CSV of the European satellite archive's typical year: 17 header lines, rows in UTC, then a
// legend.
#include <fmt/format.h>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "source.hpp"

namespace cabinload::weather {
namespace {

using core::kDegree_rad;
using core::kZeroCelsius_K;
const std::vector<Column> kColumns = {
    {1, "T2m", &Series::T_dry_K, 1, kZeroCelsius_K, -90, 60},
    {3, "G(h)", &Series::ghi_W_m2, 1, 0, 0, 2000},
    {4, "Gb(n)", &Series::dni_W_m2, 1, 0, 0, 2000},
    {5, "Gd(h)", &Series::dhi_W_m2, 1, 0, 0, 1500},
    {6, "IR(h)", &Series::infrared_W_m2, 1, 0, 0, 900},
    {7, "WS10m", &Series::wind_m_s, 1, 0, 0, 100},
    {8, "WD10m", &Series::wind_from_rad, kDegree_rad, 0, 0, 360},
    {9, "SP", &Series::p_Pa, 1, 0, 30000, 120000},
};
const Column kHumidity = {2, "RH", &Series::T_dew_K, 0.01, 0, 0, 110};

double header_value(const Source& source, std::size_t line, const char* key) {
  const std::string_view text = source.line(line);
  const std::size_t colon = text.find(':');
  if (text.substr(0, std::string_view(key).size()) != key || colon == std::string_view::npos)
    refuse(source, line, 0, key, "is not in this line");
  std::vector<std::string_view> fields;
  cut(text.substr(colon + 1), fields);
  return number(source, line, 0, key, fields[0]);
}

}  // namespace

Series read_pvgis(const Source& source) {
  Series s;
  s.format = Format::pvgis;
  s.how_recognised = "the first line starts with \"Latitude (decimal degrees)\"";
  const double longitude_deg = header_value(source, 2, "Longitude");
  s.place.latitude_rad = header_value(source, 1, "Latitude") * kDegree_rad;
  s.place.longitude_rad = longitude_deg * kDegree_rad;
  s.place.elevation_m = header_value(source, 3, "Elevation");
  const double offset_h = header_value(source, 4, "Irradiance Time Offset");
  s.place.time_zone_h = std::round(longitude_deg / 15);
  s.place.name =
      fmt::format("grid cell {:.2f}, {:.2f}", s.place.latitude_rad / kDegree_rad, longitude_deg);
  s.source = "satellite and reanalysis typical year";
  s.radiation_offset_s = offset_h * 3600 - 1800;
  s.time_convention = fmt::format(
      "UTC, turned to UTC{:+.0f} by longitude; all values are instants, the sun's {:.1f} min after "
      "the label",
      s.place.time_zone_h, 60 * offset_h);
  std::size_t line = 5;
  while (line <= source.lines.size() && source.line(line).substr(0, 4) != "time") ++line;
  if (line > source.lines.size())
    refuse(source, 18, 0, "time(UTC)", "no line of column names was found");
  YearRows rows(source, s);
  std::vector<std::string_view> fields;
  for (++line; line <= source.lines.size() && !trimmed(source.line(line)).empty(); ++line) {
    if (cut(source.line(line), fields) < 10)
      refuse(source, line, 0, "", fmt::format("has {} fields, 10 are needed", fields.size()),
             "the file may be cut off here");
    const std::string_view t = fields[0];
    if (t.size() != 13 || t[8] != ':')
      refuse(source, line, 1, "time(UTC)", "'" + std::string(t) + "' is not YYYYMMDD:HHMM");
    const auto part = [&](std::size_t at, std::size_t n) {
      return static_cast<int>(number(source, line, 1, "time(UTC)", t.substr(at, n)));
    };
    const std::size_t k = rows.place(line, part(4, 2), part(6, 2), part(9, 2));
    if (k == YearRows::kLeapDay) continue;
    s.year[k] = part(0, 4);
    for (const Column& c : kColumns) (s.*c.to)[k] = value_of(source, line, c, fields[c.field]);
    const double rh = std::min(1.0, value_of(source, line, kHumidity, fields[kHumidity.field]));
    s.T_dew_K[k] = air::dew_point_K(
        air::humidity_ratio_from_relative_1(s.T_dry_K[k], rh, s.p_Pa[k]), s.p_Pa[k]);
  }
  rows.complete(s);
  std::vector<std::size_t> lines = rows.lines();
  rotate_to_local(s, lines, static_cast<int>(s.place.time_zone_h));
  finish(source, s, lines);
  return s;
}

}  // namespace cabinload::weather
