// SPDX-License-Identifier: Apache-2.0
// EPW: eight header lines, then 35 (or 32) fields a row.
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>

#include "source.hpp"

namespace cabinload::weather {
namespace {

using core::kDegree_rad;
using core::kZeroCelsius_K;
constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
const std::vector<Column> kColumns = {
    {6, "dry bulb", &Series::T_dry_K, 1, kZeroCelsius_K, -90, 70, 99.9},
    {7, "dew point", &Series::T_dew_K, 1, kZeroCelsius_K, -95, 70, 99.9},
    {9, "pressure", &Series::p_Pa, 1, 0, 30000, 120000, 999999},
    {12, "horizontal infrared", &Series::infrared_W_m2, 1, 0, 0, 900, 9999},
    {13, "global horizontal", &Series::ghi_W_m2, 1, 0, 0, 2000, 9999},
    {14, "direct normal", &Series::dni_W_m2, 1, 0, 0, 2000, 9999},
    {15, "diffuse horizontal", &Series::dhi_W_m2, 1, 0, 0, 1500, 9999},
    {20, "wind direction", &Series::wind_from_rad, kDegree_rad, 0, 0, 360, 999},
    {21, "wind speed", &Series::wind_m_s, 1, 0, 0, 100, 999},
    {23, "opaque sky cover", &Series::cloud_1, 0.1, 0, 0, 10, 99},
};
const Column kAlbedo = {32, "albedo", &Series::albedo_1, 1, 0, 0, 1, kNone, 999};

/// Files made from the European satellite archive hold instants and say by how much they are late.
bool holds_instants(const Source& source, double& offset_h) {
  for (const std::size_t line : {6U, 7U}) {
    const std::string_view text = source.line(line);
    const std::size_t at = text.find("Irradiance Time Offset (h):");
    if (at == std::string_view::npos) continue;
    std::vector<std::string_view> fields;
    cut(text.substr(at + 27), fields);
    offset_h = number(source, line, 0, "Irradiance Time Offset", fields[0]);
    return true;
  }
  return false;
}

void read_place(const Source& source, Series& s) {
  const std::vector<std::string> head = cut_quoted(source.line(1));
  if (head.size() < 10)
    refuse(source, 1, 0, "LOCATION", fmt::format("has {} fields, 10 are needed", head.size()),
           "city, state, country, source, number, latitude, longitude, time zone, elevation");
  const auto known = [](const std::string& t) { return !t.empty() && t != "-" && t != "unknown"; };
  for (const std::size_t i : {1U, 2U, 3U})
    if (known(head[i])) s.place.name += (s.place.name.empty() ? "" : ", ") + head[i];
  if (s.place.name.empty()) s.place.name = "unknown";
  s.source = head[4];
  s.place.latitude_rad = number(source, 1, 7, "latitude", head[6]) * kDegree_rad;
  s.place.longitude_rad = number(source, 1, 8, "longitude", head[7]) * kDegree_rad;
  s.place.time_zone_h = number(source, 1, 9, "time zone", head[8]);
  s.place.elevation_m = number(source, 1, 10, "elevation", head[9]);
}

}  // namespace

Series read_epw(const Source& source) {
  Series s;
  s.format = Format::epw;
  s.how_recognised = "the first line starts with \"LOCATION,\"";
  read_place(source, s);
  s.state_offset_s = 3600;
  double offset_h = 0;
  if (holds_instants(source, offset_h)) {
    // The comment counts from the end of the labelled UTC hour; with the file's own time zone the
    // values are instants offset + 1 h after the label (measured on beam, diffuse and global of
    // such a file).
    s.radiation_offset_s = 3600 + (offset_h + 1.0) * 3600 - 1800;
    s.time_convention = fmt::format(
        "local standard time; all values are instants, the sun's {:.1f} min after the label",
        60 * (offset_h + 1.0));
  } else {
    s.time_convention =
        "local standard time; radiation is the mean of the hour that ends at the label, the rest "
        "holds at the label";
  }
  if (source.line(8).substr(0, 12) != "DATA PERIODS")
    refuse(source, 8, 0, "", "the eighth line does not start with DATA PERIODS",
           "eight header lines are needed");
  YearRows rows(source, s);
  std::vector<std::string_view> fields;
  for (std::size_t line = 9; line <= source.lines.size(); ++line) {
    if (cut(source.line(line), fields) < 32)
      refuse(source, line, 0, "",
             fmt::format("has {} fields, 35 (or 32) are needed", fields.size()),
             "the file may be cut off here");
    const auto part = [&](std::size_t i, const char* key) {
      return static_cast<int>(number(source, line, i + 1, key, fields[i]));
    };
    const std::size_t k = rows.place(line, part(1, "month"), part(2, "day"), part(3, "hour") - 1);
    if (k == YearRows::kLeapDay) continue;
    s.year[k] = part(0, "year");
    for (const Column& c : kColumns) (s.*c.to)[k] = value_of(source, line, c, fields[c.field]);
    if (fields.size() > kAlbedo.field)
      s.albedo_1[k] = value_of(source, line, kAlbedo, fields[kAlbedo.field]);
  }
  rows.complete(s);
  finish(source, s, rows.lines());
  return s;
}

}  // namespace cabinload::weather
