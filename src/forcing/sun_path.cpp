// SPDX-License-Identifier: Apache-2.0
#include "sun_path.hpp"

#include <array>
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/sun/sun.hpp>
#include <cmath>

namespace cabinload::forcing {
namespace {

/// Below this elevation a slot is looked at minute by minute: the sun moves at most 2.5 deg in 10
/// min.
constexpr double kNearHorizon_1 = 0.06;  // sine of 3.4 deg
/// Where the sun stands this much lower than that, it is dark wherever on the earth one stands.
constexpr double kParallax_1 = 1e-4;

/// One local day: the geocentric sun at 0, 12 and 24 h of local standard time.
class DaySun {
 public:
  DaySun(const weather::Series& series, int day) {
    const auto row = static_cast<std::size_t>(day) * 24;
    const core::Date date = core::date_of(series.first_day + day);
    const double midnight =
        sun::julian_day(series.year[row], date.month, date.day) - series.place.time_zone_h / 24.0;
    const double dt_s = sun::delta_t_s(series.year[row] + (date.month - 0.5) / 12.0);
    for (std::size_t i = 0; i < 3; ++i)
      at_[i] = sun::ephemeris(midnight + 0.5 * static_cast<double>(i), dt_s);
    for (std::size_t i = 1; i < 3; ++i) {  // no jump through zero
      while (at_[i].right_ascension_rad < at_[i - 1].right_ascension_rad - core::kPi)
        at_[i].right_ascension_rad += 2 * core::kPi;
      while (at_[i].sidereal_rad < at_[i - 1].sidereal_rad) at_[i].sidereal_rad += 2 * core::kPi;
    }
  }
  [[nodiscard]] sun::Ephemeris at(double second) const {
    const double x = second / (0.5 * core::kSecondsInDay);  // 0, 1, 2 at the nodes
    const double a = 0.5 * (x - 1) * (x - 2), b = x * (2 - x), c = 0.5 * x * (x - 1);
    const auto mix = [&](double sun::Ephemeris::*m) {
      return a * at_[0].*m + b * at_[1].*m + c * at_[2].*m;
    };
    return {mix(&sun::Ephemeris::right_ascension_rad), mix(&sun::Ephemeris::declination_rad),
            mix(&sun::Ephemeris::sidereal_rad), mix(&sun::Ephemeris::parallax_rad),
            mix(&sun::Ephemeris::distance_au)};
  }

 private:
  std::array<sun::Ephemeris, 3> at_;
};

struct Vector {
  double east, north, up;
};

Vector towards(const sun::Position& p) {
  const double s = std::sin(p.zenith_rad);
  return {s * std::sin(p.azimuth_rad), s * std::cos(p.azimuth_rad), std::cos(p.zenith_rad)};
}

/// Minute by minute: share up, mean height and direction of the part that is up.
SlotSun by_minutes(const DaySun& day, const sun::Observer& observer, double start_s) {
  SlotSun slot;
  Vector sum{0, 0, 0};
  constexpr int kMinutes = static_cast<int>(kSlot_s / 60);
  int up = 0;
  for (int m = 0; m < kMinutes; ++m) {
    const Vector v = towards(sun::position(day.at(start_s + 60.0 * (m + 0.5)), observer));
    if (v.up <= 0) continue;
    ++up;
    sum = {sum.east + v.east, sum.north + v.north, sum.up + v.up};
  }
  if (up == 0) return slot;
  const double length = std::hypot(sum.east, sum.north, sum.up);
  slot.up_1 = static_cast<double>(up) / kMinutes;
  slot.sin_elevation_1 = sum.up / up;
  slot.east_1 = sum.east / length;
  slot.north_1 = sum.north / length;
  slot.zenith_1 = sum.up / length;
  return slot;
}

/// A slot in which it may be light; `middle` is the sun in its middle.
SlotSun slot_of(const DaySun& day, const sun::Ephemeris& middle, const sun::Observer& observer,
                double start_s) {
  const Vector v = towards(sun::position(middle, observer));
  if (v.up <= -kNearHorizon_1) return {};
  if (v.up <= kNearHorizon_1) return by_minutes(day, observer, start_s);
  return {1, v.up, v.east, v.north, v.up};
}

}  // namespace

std::vector<SlotSun> sun_path(const weather::Series& series) {
  std::vector<SlotSun> path;
  path.reserve(series.hours() * kSlotsPerHour);
  const weather::Place& place = series.place;
  const sun::Observer observer(place.latitude_rad, place.longitude_rad, place.elevation_m);
  const int days = static_cast<int>(series.hours() / 24);
  for (int d = 0; d < days; ++d) {
    const DaySun day(series, d);
    for (int s = 0; s < 24 * kSlotsPerHour; ++s) {
      const double start_s = s * kSlot_s;
      const sun::Ephemeris e = day.at(start_s + 0.5 * kSlot_s);
      SlotSun slot;
      if (sun::geocentric_height_1(e, observer) > -kNearHorizon_1 - kParallax_1)
        slot = slot_of(day, e, observer, start_s);
      slot.zenith_rad = std::acos(std::fmin(1.0, std::fmax(-1.0, slot.zenith_1)));
      slot.extraterrestrial_W_m2 = sun::extraterrestrial_W_m2(e.distance_au);
      path.push_back(slot);
    }
  }
  return path;
}

}  // namespace cabinload::forcing
