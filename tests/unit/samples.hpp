// SPDX-License-Identifier: Apache-2.0
// A generic unit, its settings and air of a given wet bulb: for unit tests.
#pragma once
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/unit/machine.hpp>

namespace cabinload::test {

inline unit::Settings unit_settings() {
  unit::Settings s;
  s.T_set_K = core::to_kelvin(24);
  s.condenser_air_rise_K = 0;
  return s;
}

inline const unit::Description& generic_unit() {
  return unit::built_in().at(2);
}

/// Air whose wet bulb is given, at sea level.
inline unit::Inlet unit_inlet(double dry_degC, double wet_degC, double condenser_degC) {
  double W = 1e-6;
  for (double step = 0.02; step > 1e-12; step /= 2)
    if (air::wet_bulb_K(core::to_kelvin(dry_degC), W + step, 101325) < core::to_kelvin(wet_degC))
      W += step;
  return {core::to_kelvin(dry_degC), W, 101325, core::to_kelvin(condenser_degC)};
}

/// A point of a unit in return air of 26.67 degC.
inline unit::MeasuredPoint measured_point(double wet_degC, double condenser_degC, double speed_1,
                                          double capacity_W, double power_W) {
  unit::MeasuredPoint p;
  p.wet_bulb_K = core::to_kelvin(wet_degC);
  p.dry_bulb_K = core::to_kelvin(26.67);
  p.condenser_K = core::to_kelvin(condenser_degC);
  p.speed_1 = speed_1;
  p.capacity_W = capacity_W;
  p.power_W = power_W;
  return p;
}

/// What it can give at once, from rest.
inline unit::Offer offer_at(const unit::Machine& machine, const unit::Inlet& inlet) {
  unit::State state;
  return machine.offer(inlet, true, state, 60);
}

/// One step from rest.
inline unit::Delivered deliver(const unit::Machine& machine, const unit::Offer& offer,
                               double net_W) {
  unit::State state;
  unit::Demand demand;
  demand.net_W = net_W;
  return machine.deliver(offer, demand, state, 60);
}

}  // namespace cabinload::test
