// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/power/supply.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/unit/machine.hpp>

namespace cabinload::simulation {

/// Has a battery that nothing charges let the unit down in this step? From then on the unit counts
/// as stopped: what it would still do on a battery that recovers without load and sags again is
/// nothing to rely on, and would depend on the step. Engineering judgement.
/// @param electric_W  what the unit asked for in the step
inline bool gave_out(const scenario::Scenario& s, const power::Supply& supply,
                     const power::Granted& granted, const unit::State& state,
                     const unit::Delivered& given, double electric_W) {
  constexpr double kLast_s = 60;  // less than this at rated power is empty
  const power::BankDescription& bank = s.supply.bank;
  const double left_J =
      (supply.bank().state_of_charge_1() - bank.usable_low_1) * bank.nominal_energy_J;
  return state.locked_volts || !supply.bank().connected() ||
         granted.unit_W < electric_W * (1 - 1e-9) ||
         (given.limited && left_J < kLast_s * s.unit.power_W);
}

}  // namespace cabinload::simulation
