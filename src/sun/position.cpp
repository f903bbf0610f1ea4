// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/sun/sun.hpp>
#include <cmath>

#include "spa_tables.hpp"

namespace cabinload::sun {
namespace {

using core::kDegree_rad;
using core::kPi;

/// [Reda2004] eq. 9 and 10: sum over the powers of t of A cos(B + C t), in 1e-8.
double series(const std::vector<PeriodicTerm>& terms, double t) {
  double sum = 0, factor = 1;
  int power = 0;
  for (const PeriodicTerm& term : terms) {
    for (; power < term.power; ++power) factor *= t;
    sum += factor * term.A * std::cos(term.B + term.C * t);
  }
  return sum * 1e-8;
}

double wrap(double angle_rad) {
  const double turn = 2 * kPi;
  return angle_rad - turn * std::floor(angle_rad / turn);
}

double polynomial(double x, std::initializer_list<double> highest_first) {
  double sum = 0;
  for (const double c : highest_first) sum = sum * x + c;
  return sum;
}

struct Nutation {
  double longitude_rad, obliquity_rad;
};

/// [Reda2004] sec. 3.4, eqs. 15 to 23.
Nutation nutation(double century) {
  const double x[5] = {polynomial(century, {1.0 / 189474, -0.0019142, 445267.11148, 297.85036}),
                       polynomial(century, {-1.0 / 300000, -0.0001603, 35999.05034, 357.52772}),
                       polynomial(century, {1.0 / 56250, 0.0086972, 477198.867398, 134.96298}),
                       polynomial(century, {1.0 / 327270, -0.0036825, 483202.017538, 93.27191}),
                       polynomial(century, {1.0 / 450000, 0.0020708, -1934.136261, 125.04452})};
  Nutation sum{0, 0};
  for (const NutationTerm& term : kNutation) {
    double angle = 0;
    for (std::size_t i = 0; i < 5; ++i) angle += x[i] * term.y[i];
    angle *= kDegree_rad;
    sum.longitude_rad += (term.a + term.b * century) * std::sin(angle);
    sum.obliquity_rad += (term.c + term.d * century) * std::cos(angle);
  }
  constexpr double kUnit_rad = kDegree_rad / 36e6;  // 0.0001 arcsec
  return {sum.longitude_rad * kUnit_rad, sum.obliquity_rad * kUnit_rad};
}

}  // namespace

double julian_day(int year, int month, double day) {
  // [Reda2004] eq. 4, Gregorian.
  if (month < 3) {
    --year;
    month += 12;
  }
  const double a = std::floor(year / 100.0);
  return std::floor(365.25 * (year + 4716)) + std::floor(30.6001 * (month + 1)) + day + 2 - a +
         std::floor(a / 4) - 1524.5;
}

double delta_t_s(double y) {
  if (y < 1920) return polynomial(y - 1900, {-0.000197, 0.0061966, -0.0598939, 1.494119, -2.79});
  if (y < 1941) return polynomial(y - 1920, {0.0020936, -0.076100, 0.84493, 21.20});
  if (y < 1961) return polynomial(y - 1950, {1.0 / 2547, -1.0 / 233, 0.407, 29.07});
  if (y < 1986) return polynomial(y - 1975, {-1.0 / 718, -1.0 / 260, 1.067, 45.45});
  if (y < 2005)
    return polynomial(y - 2000, {0.00002373599, 0.000651814, 0.0017275, -0.060374, 0.3345, 63.86});
  if (y < 2050) return polynomial(y - 2000, {0.005589, 0.32217, 62.92});
  const double u = (y - 1820) / 100;
  return -20 + 32 * u * u - 0.5628 * (2150 - y);
}

Ephemeris ephemeris(double julian_day_UT, double delta_t_seconds) {
  const double century_UT = (julian_day_UT - 2451545.0) / 36525.0;
  const double century = (julian_day_UT + delta_t_seconds / 86400.0 - 2451545.0) / 36525.0;
  const double millennium = century / 10.0;
  const double R = series(kRadius, millennium);
  const double longitude = series(kLongitude, millennium) + kPi;
  const double latitude = -series(kLatitude, millennium);
  const Nutation n = nutation(century);
  const double u = millennium / 10.0;
  const double mean_obliquity_arcsec = polynomial(
      u, {2.45, 5.79, 27.87, 7.12, -39.05, -249.67, -51.38, 1999.25, -1.55, -4680.93, 84381.448});
  const double obliquity = mean_obliquity_arcsec / 3600 * kDegree_rad + n.obliquity_rad;
  const double aberration = -20.4898 / 3600 / R * kDegree_rad;
  const double apparent = longitude + n.longitude_rad + aberration;
  const double mean_sidereal_deg = 280.46061837 + 360.98564736629 * (julian_day_UT - 2451545.0) +
                                   century_UT * century_UT * (0.000387933 - century_UT / 38710000);
  Ephemeris sun;
  sun.sidereal_rad = wrap(mean_sidereal_deg * kDegree_rad + n.longitude_rad * std::cos(obliquity));
  sun.right_ascension_rad = wrap(std::atan2(
      std::sin(apparent) * std::cos(obliquity) - std::tan(latitude) * std::sin(obliquity),
      std::cos(apparent)));
  sun.declination_rad = std::asin(std::sin(latitude) * std::cos(obliquity) +
                                  std::cos(latitude) * std::sin(obliquity) * std::sin(apparent));
  sun.parallax_rad = 8.794 / 3600 / R * kDegree_rad;
  sun.distance_au = R;
  return sun;
}

Observer::Observer(double latitude_rad, double east_rad, double elevation_m)
    : longitude_rad(east_rad),
      sin_latitude(std::sin(latitude_rad)),
      cos_latitude(std::cos(latitude_rad)) {
  constexpr double kPolarOverEquator = 0.99664719, kEarthRadius_m = 6378140.0;
  const double u = std::atan(kPolarOverEquator * std::tan(latitude_rad));
  beside_axis_1 = std::cos(u) + elevation_m / kEarthRadius_m * cos_latitude;
  along_axis_1 = kPolarOverEquator * std::sin(u) + elevation_m / kEarthRadius_m * sin_latitude;
}

Position position(const Ephemeris& sun, const Observer& o) {
  const double H = sun.sidereal_rad + o.longitude_rad - sun.right_ascension_rad;
  const double x = o.beside_axis_1, y = o.along_axis_1, s = std::sin(sun.parallax_rad);
  const double beside = std::cos(sun.declination_rad) - x * s * std::cos(H);
  const double shift = std::atan2(-x * s * std::sin(H), beside);
  const double declination =
      std::atan2((std::sin(sun.declination_rad) - y * s) * std::cos(shift), beside);
  const double hour = H - shift;
  const double elevation = std::asin(o.sin_latitude * std::sin(declination) +
                                     o.cos_latitude * std::cos(declination) * std::cos(hour));
  const double azimuth_from_south = std::atan2(
      std::sin(hour), std::cos(hour) * o.sin_latitude - std::tan(declination) * o.cos_latitude);
  return {0.5 * kPi - elevation, wrap(azimuth_from_south + kPi)};
}

double geocentric_height_1(const Ephemeris& sun, const Observer& o) {
  const double H = sun.sidereal_rad + o.longitude_rad - sun.right_ascension_rad;
  return o.sin_latitude * std::sin(sun.declination_rad) +
         o.cos_latitude * std::cos(sun.declination_rad) * std::cos(H);
}

double refraction_rad(double elevation_rad, double p_Pa, double T_K) {
  const double e = elevation_rad / kDegree_rad;
  constexpr double kSunRadius_deg = 0.26667, kHorizon_deg = 0.5667;
  if (e < -(kSunRadius_deg + kHorizon_deg)) return 0.0;
  const double arc = 1.02 / (60 * std::tan((e + 10.3 / (e + 5.11)) * kDegree_rad));
  return p_Pa / 100 / 1010 * 283 / T_K * arc * kDegree_rad;
}

}  // namespace cabinload::sun
