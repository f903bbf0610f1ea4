// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/network/stepper.hpp>
#include <cabinload/simulation/failures.hpp>
#include <cabinload/unit/machine.hpp>

#include "cabin_air.hpp"
#include "flow_book.hpp"
#include "surroundings.hpp"
#include "wet_faces.hpp"

namespace cabinload::simulation {

/// What runs during a step.
struct Running {
  bool unit = true;       ///< the whole unit
  bool fan = true;        ///< its cabin fan, where the unit does not run
  bool powered = true;    ///< the supply and what is on it
  bool charged = true;    ///< the battery is filled up before the step; else it may give out
  double fan_m3_s = 0;    ///< second fan
  double opening_m2 = 0;  ///< opening that sprang open
};

/// A cabin that steps on and that another of the same topology can go on from, whatever its step.
class HeldCabin {
 public:
  HeldCabin(const World& world, const scenario::Scenario& scenario, const FailureOptions& options,
            const unit::Machine& machine, const power::Supply& full, double dt_s);
  void start_at(double t_s);
  /// Everything that the other remembers.
  void go_on_from(const HeldCabin& other);
  /// Runs on another battery from now on.
  void run_on(const power::Supply& supply) { supply_ = supply; }
  void step(double t_s, const Running& running);
  /// Its steps are accounted for in `book` from now on, which outlives this.
  void keep(FlowBook& book) { book_ = &book; }
  [[nodiscard]] bool battery_gave_out() const { return gave_out_; }

  [[nodiscard]] double dt_s() const { return dt_s_; }
  [[nodiscard]] double T_air_K() const { return stepper_.T_air_K()[0]; }
  [[nodiscard]] double T_out_K(double t_s) const { return around_.outdoors_at(t_s).T_K; }
  [[nodiscard]] double excess_K() const {
    return occupants::excess_K(options_.limit, T_air_K(), vapour_.value(), around_.out().p_Pa);
  }
  // Of the last step, for batteries that are followed beside.
  [[nodiscard]] const power::Supply& supply() const { return supply_; }
  [[nodiscard]] const power::Granted& granted() const { return supply_.granted(); }
  [[nodiscard]] const power::Ask& ask() const { return ask_; }
  [[nodiscard]] const power::Around& power_around() const { return power_around_; }
  /// Heat and water accounts since start_at(): |change - flows| over what flowed.
  [[nodiscard]] double heat_residual_relative() const;
  [[nodiscard]] double moisture_residual_relative() const { return vapour_.residual_relative(); }

 private:
  [[nodiscard]] double extra_m3_s(double middle_s, const Running& running) const;
  [[nodiscard]] double roof_W_m2() const;
  unit::Delivered cool(const network::Response<1>& response, double second_of_day,
                       const Running& running);
  void account_heat();
  void account_flows(const unit::Delivered& given);

  World world_;
  const scenario::Scenario& scenario_;
  const FailureOptions& options_;
  const unit::Machine& machine_;
  double dt_s_;
  network::Stepper<1> stepper_;
  network::Drive<1> drive_;
  Surroundings around_;
  power::Supply supply_;
  occupants::Load load_;
  power::Ask ask_;  // made of load_, and the unit's
  power::Around power_around_;
  unit::State unit_state_;
  MixedAir vapour_;
  DewGuard dew_guard_;
  double fan_running_1_ = 0;
  bool gave_out_ = false;
  int roof_;
  FlowBook* book_ = nullptr;
  double heat_in_J_ = 0, throughput_J_ = 0, stored_at_start_J_ = 0;
};

}  // namespace cabinload::simulation
