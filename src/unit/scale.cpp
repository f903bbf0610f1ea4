// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/unit.hpp>
#include <cmath>

namespace cabinload::unit {

Rating rating(const Description& d) {
  if (!d.map && d.points.empty()) return {d.capacity_W, d.power_W};
  const Output rated = characteristics(d).map.at(d.rated_wet_bulb_K, d.rated_condenser_K, 1);
  return {rated.total_W - d.cabin_fan_W, rated.power_W + d.cabin_fan_W + d.standby_W};
}

namespace {

/// Points and map of a description, capacity and power times these. On the same grid: the map's
/// nodes come back exactly.
void scale_data(Description& d, double capacity_1, double power_1) {
  for (MeasuredPoint& p : d.points) {
    p.capacity_W *= capacity_1;
    p.power_W *= power_1;
  }
  if (!d.map) return;
  const Map as_described = *d.map;
  d.map = Map(as_described.range(), [&](double wet_bulb_K, double condenser_K, double speed_1) {
    const Output at = as_described.at(wet_bulb_K, condenser_K, speed_1);
    return Output{at.total_W * capacity_1, at.power_W * power_1};
  });
}

void require_factor(const char* of, double factor) {
  if (!(factor > 0) || !std::isfinite(factor))
    throw core::RangeError(fmt::format("a unit's {} factor = {:g}, must be above 0", of, factor));
}

}  // namespace

Description scaled(const Description& description, double factor) {
  require_factor("size", factor);
  Description d = description;
  for (double* x : {&d.capacity_W, &d.power_W, &d.air_flow_m3_s, &d.cabin_fan_W, &d.standby_W,
                    &d.condenser_flow_m3_s})
    *x *= factor;
  scale_data(d, factor, factor);
  return d;
}

Description off_the_plate(const Description& description, double capacity_1, double power_1) {
  require_factor("capacity", capacity_1);
  require_factor("power", power_1);
  Description d = description;
  d.capacity_W *= capacity_1;
  d.power_W *= power_1;
  scale_data(d, capacity_1, power_1);
  return d;
}

}  // namespace cabinload::unit
