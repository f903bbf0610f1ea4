// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/network/cabin.hpp>
#include <cabinload/network/stepper.hpp>
#include <cabinload/power/supply.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/trace.hpp>
#include <vector>

#include "surroundings.hpp"

namespace cabinload::simulation {

/// Adds up the flows of the stretches that were asked for; does nothing in other steps.
class FlowBook {
 public:
  /// All outlive this.
  FlowBook(const network::Cabin& cabin, const scenario::Scenario& scenario,
           const std::vector<Span>& spans);

  /// Before a step of `dt_s` from `t_s`. @return whether it lies in a stretch; then end() has to
  /// follow
  template <int L>
  [[nodiscard]] bool begin(double t_s, double dt_s, const network::Stepper<L>& stepper, int lane);
  /// What a Step does not say.
  struct Air {
    double fan_W = 0, ideal_W = 0;  ///< unit's fan; ideal heating less cooling put into the air
  };
  template <int L>
  void end(const Step& step, const network::Stepper<L>& stepper, int lane,
           const Surroundings& around, const power::Granted& granted, const Air& air);
  [[nodiscard]] std::vector<FlowAccount> accounts() const;

 private:
  template <int L>
  [[nodiscard]] FlowAccount of_step(const Step& step, const network::Stepper<L>& stepper, int lane,
                                    const Surroundings& around, const power::Granted& granted,
                                    const Air& air) const;
  const network::Cabin& cabin_;
  const scenario::Scenario& scenario_;
  std::vector<FlowAccount> sums_;  // joules and kelvin-seconds until accounts()
  double t_s_ = 0, stored_J_ = 0, T_air_K_ = 0;
};

}  // namespace cabinload::simulation
