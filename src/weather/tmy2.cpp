// SPDX-License-Identifier: Apache-2.0
// TMY2 of the US National Solar Radiation Data Base: [TMY2] tables 3-1 and 3-2. Columns count from
// 1 there.
#include <cabinload/core/constants.hpp>
#include <cctype>

#include "source.hpp"

namespace cabinload::weather {
namespace {

using core::kDegree_rad;
using core::kZeroCelsius_K;
// field: 0-based first character.
const std::vector<Column> kColumns = {
    {17, "global horizontal", &Series::ghi_W_m2, 1, 0, 0, 2000, 9999, 1e9, 4},
    {23, "direct normal", &Series::dni_W_m2, 1, 0, 0, 2000, 9999, 1e9, 4},
    {29, "diffuse horizontal", &Series::dhi_W_m2, 1, 0, 0, 1500, 9999, 1e9, 4},
    {63, "opaque sky cover", &Series::cloud_1, 0.1, 0, 0, 10, 99, 1e9, 2},
    {67, "dry bulb", &Series::T_dry_K, 0.1, kZeroCelsius_K, -900, 600, 9999, 1e9, 4},
    {73, "dew point", &Series::T_dew_K, 0.1, kZeroCelsius_K, -950, 500, 9999, 1e9, 4},
    {84, "pressure", &Series::p_Pa, 100, 0, 300, 1100, 9999, 1e9, 4},
    {90, "wind direction", &Series::wind_from_rad, kDegree_rad, 0, 0, 360, 999, 1e9, 3},
    {95, "wind speed", &Series::wind_m_s, 0.1, 0, 0, 998, 999, 1e9, 3},
};

}  // namespace

Series read_tmy2(const Source& source) {
  Series s;
  s.format = Format::tmy2;
  s.how_recognised = "a station line of fixed columns and rows of 142 characters";
  s.time_convention =
      "local standard time; radiation is the mean of the hour that ends at the label, the rest "
      "holds at the label";
  s.source = "TMY2";
  const std::string_view head = source.line(1);
  const auto at = [&](std::size_t first, std::size_t width, const char* key) {
    return number(source, 1, first, key, head.substr(first - 1, width));
  };
  s.place.name = std::string(trimmed(head.substr(7, 22))) + " " + std::string(head.substr(30, 2));
  s.place.time_zone_h = at(34, 3, "time zone");
  s.place.latitude_rad = (at(40, 2, "latitude") + at(43, 2, "latitude") / 60) *
                         (head[37] == 'S' ? -1 : 1) * kDegree_rad;
  s.place.longitude_rad = (at(48, 3, "longitude") + at(52, 2, "longitude") / 60) *
                          (head[45] == 'W' ? -1 : 1) * kDegree_rad;
  s.place.elevation_m = at(56, 4, "elevation");
  s.state_offset_s = 3600;
  YearRows rows(source, s);
  for (std::size_t line = 2; line <= source.lines.size(); ++line) {
    const std::string_view text = source.line(line);
    if (text.size() < 142)
      refuse(source, line, 0, "",
             "has " + std::to_string(text.size()) + " characters, 142 are needed",
             "the file may be cut off here");
    const auto part = [&](std::size_t first, const char* key) {
      return static_cast<int>(number(source, line, first, key, text.substr(first - 1, 2)));
    };
    const std::size_t k = rows.place(line, part(4, "month"), part(6, "day"), part(8, "hour") - 1);
    if (k == YearRows::kLeapDay) continue;
    s.year[k] = 1900 + part(2, "year");
    for (const Column& c : kColumns)
      (s.*c.to)[k] = value_of(source, line, c, text.substr(c.field, c.width));
  }
  rows.complete(s);
  finish(source, s, rows.lines());
  return s;
}

}  // namespace cabinload::weather
