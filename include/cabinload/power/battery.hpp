// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/schedule.hpp>

namespace cabinload::power {

/// Battery, plain: an energy store with a floor. (Voltage, temperature and rate come later.)
struct BatteryDescription {
  double capacity_J = 0;           ///< nominal, > 0
  double cut_off_1 = 0.1;          ///< state of charge at which it disconnects, 0..0.9
  double efficiency_1 = 0.95;      ///< terminals over stored, on discharge
  double reconnect_1 = 0.2;        ///< state of charge at which it comes back, >= cut_off
  double full_at_s = 18 * 3600.0;  ///< second of the day at which it is full again; NaN: never
  double start_1 = 1.0;            ///< state of charge at the start
};

class Battery {
 public:
  /// @throws core::RangeError  a value out of range, named
  explicit Battery(const BatteryDescription& description);
  [[nodiscard]] double state_of_charge_1() const { return stored_J_ / description_.capacity_J; }
  [[nodiscard]] bool connected() const { return connected_; }
  /// Draws at most power_W for dt_s; returns the mean power really given [W], 0 while disconnected.
  /// Disconnects at the floor, within the step if need be.
  double draw(double power_W, double dt_s);
  /// Called once a step with the step's start and length; refills when full_at passes.
  void tick(double second_of_day, double dt_s);
  [[nodiscard]] const BatteryDescription& description() const { return description_; }
  /// |stored change - (charged - drawn from the cells)| over all energy moved; 0 when nothing
  /// moved.
  [[nodiscard]] double residual_relative() const;

 private:
  BatteryDescription description_;
  double stored_J_ = 0, start_J_ = 0;
  double charged_J_ = 0, taken_J_ = 0;  ///< into and out of the cells
  bool connected_ = true;
};

}  // namespace cabinload::power
