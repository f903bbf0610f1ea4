// SPDX-License-Identifier: Apache-2.0
// Writes a series as text of the other formats, so that readers can be compared without further
// files.
#pragma once
#include <fmt/format.h>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/weather/series.hpp>
#include <cmath>
#include <string>

namespace cabinload::test {

inline double deg(double rad) {
  return std::isnan(rad) ? 0 : rad / core::kDegree_rad;
}

/// EPW of 35 fields. Only for series whose state is at the end of the hour.
inline std::string as_epw(const weather::Series& s, const char* end = "\n") {
  std::string out =
      fmt::format("LOCATION,Somewhere,-,Land,Test,000000,{:.4f},{:.4f},{:.1f},{:.1f}{}",
                  deg(s.place.latitude_rad), deg(s.place.longitude_rad), s.place.time_zone_h,
                  s.place.elevation_m, end);
  for (const char* line :
       {"DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0",
        "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0", "COMMENTS 1,a, b \"c\"", "COMMENTS 2,",
        "DATA PERIODS,1,1,Data,Sunday, 1/ 1,12/31"})
    out += std::string(line) + end;
  for (std::size_t k = 0; k < s.hours(); ++k) {
    const core::Date d = core::date_of(static_cast<int>(k / 24));
    out += fmt::format(
        "{},{},{},{},60,?9?9,{:.2f},{:.2f},{:.0f},{:.0f},0,0,9999,{:.0f},{:.0f},{:.0f},0,0,0,0,{:."
        "0f},{:.2f},{:.0f},{:.0f},9999,99999,9,999999999,999,0.999,999,99,{:.2f},999,99{}",
        s.year[k], d.month, d.day, k % 24 + 1, core::to_celsius(s.T_dry_K[k]),
        core::to_celsius(s.T_dew_K[k]), 50.0, s.p_Pa[k], s.ghi_W_m2[k], s.dni_W_m2[k],
        s.dhi_W_m2[k], deg(s.wind_from_rad[k]), s.wind_m_s[k], 10 * s.cloud_1[k], 10 * s.cloud_1[k],
        std::isnan(s.albedo_1[k]) ? 999 : s.albedo_1[k], end);
  }
  return out;
}

/// NSRDB PSM CSV: the value of row k stands at minute 30 of hour k; `utc`: the clock is UTC.
inline std::string as_psm(const weather::Series& s, bool utc) {
  const int shift = utc ? -static_cast<int>(s.place.time_zone_h) : 0;
  std::string out =
      "Source,Location ID,City,State,Country,Latitude,Longitude,Time Zone,Elevation,Local Time "
      "Zone,Temperature Units,Pressure Units,Version\n";
  out += fmt::format("NSRDB,1,-,-,-,{:.4f},{:.4f},{},{:.0f},{:.0f},c,mbar,v3.2.0\n",
                     deg(s.place.latitude_rad), deg(s.place.longitude_rad),
                     utc ? 0 : static_cast<int>(s.place.time_zone_h), s.place.elevation_m,
                     s.place.time_zone_h);
  out +=
      "Year,Month,Day,Hour,Minute,GHI,DNI,DHI,Temperature,Dew Point,Pressure,Wind Speed,Wind "
      "Direction,Surface Albedo\n";
  const auto n = static_cast<long>(s.hours());
  for (long i = 0; i < n; ++i) {
    const auto k =
        static_cast<std::size_t>(((i - shift) % n + n) % n);  // local row of this clock row
    const core::Date d = core::date_of(static_cast<int>(i / 24));
    out +=
        fmt::format("{},{},{},{},30,{:.0f},{:.0f},{:.0f},{:.2f},{:.2f},{:.2f},{:.2f},{:.0f},0.2\n",
                    s.year[k], d.month, d.day, i % 24, s.ghi_W_m2[k], s.dni_W_m2[k], s.dhi_W_m2[k],
                    core::to_celsius(s.T_dry_K[k]), core::to_celsius(s.T_dew_K[k]), s.p_Pa[k] / 100,
                    s.wind_m_s[k], deg(s.wind_from_rad[k]));
  }
  return out;
}

/// The European archive's CSV: UTC rows, relative humidity instead of dew point.
inline std::string as_pvgis(const weather::Series& s, double offset_h) {
  std::string out = fmt::format(
      "Latitude (decimal degrees): {:.4f}\nLongitude (decimal degrees): {:.4f}\nElevation (m): "
      "{:.0f}\nIrradiance Time Offset (h): {:.4f}\nmonth,year\n",
      deg(s.place.latitude_rad), deg(s.place.longitude_rad), s.place.elevation_m, offset_h);
  for (int m = 1; m <= 12; ++m) out += fmt::format("{},2005\n", m);
  out += "time(UTC),T2m,RH,G(h),Gb(n),Gd(h),IR(h),WS10m,WD10m,SP\n";
  const auto n = static_cast<long>(s.hours());
  const long shift = std::lround(std::round(deg(s.place.longitude_rad) / 15));
  for (long i = 0; i < n; ++i) {
    const auto k = static_cast<std::size_t>(((i + shift) % n + n) % n);
    const core::Date d = core::date_of(static_cast<int>(i / 24));
    const double rh =
        100 *
        air::relative_humidity_1(
            s.T_dry_K[k], air::humidity_ratio_from_dew_point_1(s.T_dew_K[k], s.p_Pa[k]), s.p_Pa[k]);
    out += fmt::format(
        "2005{:02}{:02}:{:02}00,{:.2f},{:.4f},{:.1f},{:.1f},{:.1f},300.0,{:.2f},{:.0f},{:.0f}\n",
        d.month, d.day, i % 24, core::to_celsius(s.T_dry_K[k]), rh, s.ghi_W_m2[k], s.dni_W_m2[k],
        s.dhi_W_m2[k], s.wind_m_s[k], deg(s.wind_from_rad[k]), s.p_Pa[k]);
  }
  return out + "\nT2m: 2-m air temperature (degree Celsius)\n\nPVGIS (c) European Union\n";
}

/// TMY2 rows of fixed columns.
inline std::string as_tmy2(const weather::Series& s) {
  const double lat = deg(s.place.latitude_rad), lon = deg(s.place.longitude_rad);
  const int lat_min = static_cast<int>(std::lround(std::abs(lat) * 60)),
            lon_min = static_cast<int>(std::lround(std::abs(lon) * 60));
  std::string out = fmt::format(
      " 12345 {:<22} AZ {:>3} {} {:>2} {:>2} {} {:>3} {:>2}  {:>4}\n", "SOMEWHERE",
      static_cast<int>(s.place.time_zone_h), lat < 0 ? 'S' : 'N', lat_min / 60, lat_min % 60,
      lon < 0 ? 'W' : 'E', lon_min / 60, lon_min % 60, static_cast<int>(s.place.elevation_m));
  for (std::size_t k = 0; k < s.hours(); ++k) {
    const core::Date d = core::date_of(static_cast<int>(k / 24));
    out += fmt::format(
        " {:02}{:02}{:02}{:02}00000000{:04.0f}A7{:04.0f}A7{:04.0f}A70000?00000?00000?00000?0{:02."
        "0f}A7{:02.0f}A7{:04}A7{:04}A7050A7{:04.0f}A7{:03.0f}A7{:03.0f}"
        "A70161A777777A70999999999010E8062F8000A788E7\n",
        s.year[k] % 100, d.month, d.day, k % 24 + 1, s.ghi_W_m2[k], s.dni_W_m2[k], s.dhi_W_m2[k],
        10 * s.cloud_1[k], 10 * s.cloud_1[k], std::lround(10 * core::to_celsius(s.T_dry_K[k])),
        std::lround(10 * core::to_celsius(s.T_dew_K[k])), s.p_Pa[k] / 100, deg(s.wind_from_rad[k]),
        10 * s.wind_m_s[k]);
  }
  return out;
}

}  // namespace cabinload::test
