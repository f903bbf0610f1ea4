// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/sun/sun.hpp>
#include <cabinload/weather/typed_day.hpp>
#include <cmath>
#include <limits>

namespace cabinload::weather {
namespace {

using core::kDegree_rad;

/// Share of the daily range below the maximum at hour 1..24 of local solar time.
/// Source: [ASHRAE-F2017] ch. 14 table 6, from memory.
constexpr std::array<double, 24> kBelowMaximum = {0.88, 0.92, 0.95, 0.98, 1.00, 0.98, 0.91, 0.74,
                                                  0.55, 0.38, 0.23, 0.13, 0.05, 0.00, 0.00, 0.06,
                                                  0.14, 0.24, 0.39, 0.50, 0.59, 0.68, 0.75, 0.82};
/// Clear-sky optical depths of a summer month over a warm, fairly clean place; engineering
/// judgement within the handbook's range (tau_b 0.3 to 0.6, tau_d 1.6 to 2.6).
constexpr double kTauBeam = 0.40, kTauDiffuse = 2.20;
/// Overcast: global falls to 1 - 0.75 n^3.4 of clear. Source: [Kasten1980].
constexpr double kCloudy_1 = 0.9;
constexpr int kAnyYear = 2001;

void check(const TypedDay& d) {
  if (d.T_low_K > d.T_high_K) throw core::RangeError("the day's low is above its high");
  if (d.T_dew_K > d.T_high_K) throw core::RangeError("the dew point is above the day's high");
  if (!(std::abs(d.latitude_rad) <= 90.001 * kDegree_rad))
    throw core::RangeError("the latitude must be between -90 and 90 degree");
}

/// Mean sun of an hour from samples every 5 min.
sun::Split mean_clear(const TypedDay& d, int hour, double& ghi_W_m2) {
  constexpr int kSamples = 12;
  sun::Split mean;
  ghi_W_m2 = 0;
  for (int i = 0; i < kSamples; ++i) {
    const double h = hour + (i + 0.5) / kSamples;
    const double jd =
        sun::julian_day(kAnyYear, d.date.month, d.date.day) + (h - d.time_zone_h) / 24;
    const sun::Ephemeris e = sun::ephemeris(jd, sun::delta_t_s(kAnyYear));
    const sun::Position p = sun::position(e, {d.latitude_rad, d.longitude_rad, d.elevation_m});
    const sun::Split s = sun::ashrae_clear_sky(
        p.zenith_rad, sun::extraterrestrial_W_m2(e.distance_au), kTauBeam, kTauDiffuse);
    mean.dni_W_m2 += s.dni_W_m2 / kSamples;
    mean.dhi_W_m2 += s.dhi_W_m2 / kSamples;
    ghi_W_m2 += (s.dhi_W_m2 + s.dni_W_m2 * std::max(0.0, std::cos(p.zenith_rad))) / kSamples;
  }
  return mean;
}

}  // namespace

Series make(const TypedDay& d) {
  check(d);
  Series s;
  s.place = {d.name, d.latitude_rad, d.longitude_rad, d.elevation_m, d.time_zone_h};
  s.format = Format::typed_day;
  s.how_recognised = "typed, no file";
  s.time_convention = "one day that repeats; temperature at the hour, sun as the mean of the hour";
  s.source = d.sky == TypedDay::Sky::clear    ? "clear sky"
             : d.sky == TypedDay::Sky::cloudy ? "cloudy sky"
                                              : "no sun";
  s.file = "typed day";
  s.first_day = core::day_index(d.date);
  const double p_Pa = air::standard_pressure_Pa(d.elevation_m);
  const double cloud = d.sky == TypedDay::Sky::cloudy ? kCloudy_1 : 0.0;
  const double cloudy_share = d.sky == TypedDay::Sky::none ? 0.0 : 1 - 0.75 * std::pow(cloud, 3.4);
  const bool beam = d.sky == TypedDay::Sky::clear;
  for (int h = 0; h < 24; ++h) {
    const double below =
        kBelowMaximum[static_cast<std::size_t>((h + 23) % 24)];  // row 0 is midnight: hour 24
    const double T_K =
        d.T_K ? d.T_K->at(core::kSecondsInHour * h) : d.T_high_K - below * (d.T_high_K - d.T_low_K);
    s.year.push_back(kAnyYear);
    s.T_dry_K.push_back(T_K);
    s.T_dew_K.push_back(std::min(d.T_dew_K, T_K));
    s.p_Pa.push_back(p_Pa);
    s.wind_m_s.push_back(d.wind_m_s);
    s.wind_from_rad.push_back(std::numeric_limits<double>::quiet_NaN());
    double ghi = 0;
    const sun::Split clear = mean_clear(d, h, ghi);
    s.ghi_W_m2.push_back(ghi * cloudy_share);
    s.dni_W_m2.push_back(beam ? clear.dni_W_m2 : 0.0);
    s.dhi_W_m2.push_back(beam ? clear.dhi_W_m2 : ghi * cloudy_share);
    s.infrared_W_m2.push_back(std::numeric_limits<double>::quiet_NaN());
    s.cloud_1.push_back(cloud);
    s.albedo_1.push_back(std::numeric_limits<double>::quiet_NaN());
  }
  return s;
}

const std::vector<NamedDay>& extreme_days() {
  static const std::vector<NamedDay> days = [] {
    const auto day = [](const char* name, double high, double low, double dew, double latitude,
                        double wind) {
      TypedDay d;
      d.name = name;
      d.T_high_K = core::to_kelvin(high);
      d.T_low_K = core::to_kelvin(low);
      d.T_dew_K = core::to_kelvin(dew);
      d.date = {7, 21};
      d.latitude_rad = latitude * kDegree_rad;
      d.wind_m_s = wind;
      return d;
    };
    return std::vector<NamedDay>{
        {"extreme-hot-dry", "hottest desert design day, 32 to 49 degC, very dry",
         "[MILSTD810] part three, climatic category A1 hot dry: diurnal cycle 32 to 49 degC, 8 to "
         "3 % relative "
         "humidity, wind about 4 m/s; from memory. The dew point of -7 degC follows from 3 % at 49 "
         "degC.",
         day("extreme hot-dry day", 49, 32, -7, 30, 4)},
        {"extreme-hot-humid", "hot and humid coast design day, 31 to 41 degC",
         "[MILSTD810] part three, climatic category B3 humid hot coastal desert: diurnal cycle 31 "
         "to 41 degC, "
         "88 to 59 % relative humidity; from memory. The dew point of 29 degC fits the night.",
         day("extreme hot-humid day", 41, 31, 29, 25, 3)},
    };
  }();
  return days;
}

}  // namespace cabinload::weather
