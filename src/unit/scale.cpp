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

Description scaled(const Description& description, double factor) {
  if (!(factor > 0) || !std::isfinite(factor))
    throw core::RangeError(fmt::format("a unit's size factor = {:g}, must be above 0", factor));
  Description d = description;
  for (double* x : {&d.capacity_W, &d.power_W, &d.air_flow_m3_s, &d.cabin_fan_W, &d.standby_W,
                    &d.condenser_flow_m3_s})
    *x *= factor;
  for (MeasuredPoint& p : d.points) {
    p.capacity_W *= factor;
    p.power_W *= factor;
  }
  if (d.map)  // on the same grid: its nodes come back exactly
    d.map = Map(description.map->range(), [&](double wet_bulb_K, double condenser_K, double speed) {
      const Output at = description.map->at(wet_bulb_K, condenser_K, speed);
      return Output{at.total_W * factor, at.power_W * factor};
    });
  return d;
}

}  // namespace cabinload::unit
