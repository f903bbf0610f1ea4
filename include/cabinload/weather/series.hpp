// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cstddef>
#include <string>
#include <vector>

namespace cabinload::weather {

/// Known forms of weather; typed_day: no file.
enum class Format { epw, tmy2, tmy3, psm, pvgis, typed_day };
[[nodiscard]] const char* format_name(Format format);  ///< "EPW", "TMY2", "TMY3 CSV", ...

/// Where a series was measured.
struct Place {
  std::string name;          ///< "Tucson, AZ, USA" as far as the file says; may be "unknown"
  double latitude_rad = 0;   ///< north positive, -pi/2..pi/2
  double longitude_rad = 0;  ///< east positive, -pi..pi
  double elevation_m = 0;    ///< may be negative
  double time_zone_h = 0;    ///< local standard time minus UTC
};

/// Something the reader did or found, for the user.
struct Remark {
  /// How much it matters.
  enum class Kind {
    note,    ///< how the file was understood
    filled,  ///< a gap was filled
    fault,   ///< the file holds something physically odd; the answer may be wrong
  };
  Kind kind = Kind::note;
  std::string text;            ///< one sentence
  std::size_t count = 0;       ///< rows concerned
  std::size_t first_line = 0;  ///< line of the file where it is met first; 0 = not tied to a line
};

/// Hourly weather, one form for every source. Row k belongs to the hour k..k+1 of local standard
/// time, counted from midnight of `first_day`; the series repeats after `hours()` (a year follows
/// itself). All vectors have hours() entries.
///
/// Time of each quantity, stated once for the series:
/// - state (dry bulb, dew point, pressure, wind, cloud): instants at  k*3600 s + state_offset_s;
/// - radiation (ghi, dni, dhi, infrared): means over the hour that begins at
///   k*3600 s + radiation_offset_s. An instantaneous value stands for the hour centred on it.
struct Series {
  Place place;
  Format format = Format::epw;
  std::string how_recognised;   ///< one clause: "first line starts with LOCATION,"
  std::string time_convention;  ///< one clause for people
  std::string file;             ///< path as given; "typed day" when there is none
  std::string sha256;           ///< 64 hex digits of the file's bytes; "" when there is none
  std::string source;           ///< data set as the file names it: "TMY3", "PSM v3.0.0"
  int first_day = 0;            ///< day index of row 0 in the 365-day year (0 = 1 January)

  double state_offset_s = 0;
  double radiation_offset_s = 0;

  std::vector<int> year;  ///< source year of the row, for the sun's position
  std::vector<double> T_dry_K;
  std::vector<double> T_dew_K;  ///< <= T_dry_K
  std::vector<double> p_Pa;
  std::vector<double> wind_m_s;       ///< at 10 m
  std::vector<double> wind_from_rad;  ///< clockwise from north; NaN where unknown
  std::vector<double> ghi_W_m2;       ///< global horizontal
  std::vector<double> dni_W_m2;       ///< direct normal
  std::vector<double> dhi_W_m2;       ///< diffuse horizontal
  std::vector<double> infrared_W_m2;  ///< from the sky on a horizontal plane; NaN where unknown
  std::vector<double> cloud_1;        ///< opaque (else total) sky cover 0..1; NaN where unknown
  std::vector<double> albedo_1;       ///< ground reflectance; NaN where unknown

  std::vector<Remark> remarks;

  /// Rows: 8760 of a file, 24 of a typed day.
  [[nodiscard]] std::size_t hours() const { return T_dry_K.size(); }
};

}  // namespace cabinload::weather
