// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/air/moist_air.hpp>
#include <cabinload/network/stepper.hpp>

namespace cabinload::simulation {

/// A well-mixed quantity of the cabin air (water vapour, CO2) with one inlet from outdoors.
///   M dx/dt = m (x_out - x) + s,   x per kg of dry air
/// Stepped like the network: midpoint, or fully implicit when the air changes faster than the step.
/// Stored amount changes by exactly the flows, which are summed for the balance.
class MixedAir {
 public:
  void start_at(double x) { x_ = x; }
  /// 1 / theta of a step: 2 the midpoint rule, 1 fully implicit.
  [[nodiscard]] static double over_theta(double mass_kg, double flow_kg_s, double dt_s) {
    return dt_s * flow_kg_s > 2.0 * mass_kg ? 1.0 : 2.0;
  }
  /// @param mass_kg     effective mass of air that holds the quantity, > 0
  /// @param flow_kg_s   air exchange, >= 0
  /// @param source_kg_s sources less removal
  void step(double mass_kg, double flow_kg_s, double x_out, double source_kg_s, double dt_s) {
    const double over = over_theta(mass_kg, flow_kg_s, dt_s);
    const double K = over * mass_kg / dt_s;
    const double during = (K * x_ + flow_kg_s * x_out + source_kg_s) / (K + flow_kg_s);
    const double before = x_;
    x_ += over * (during - x_);
    const double in = flow_kg_s * (x_out - during);
    if (first_kg_ < 0) first_kg_ = mass_kg * before;
    stored_kg_ += mass_kg * (x_ - before);
    flowed_kg_ += (in + source_kg_s) * dt_s;
    throughput_kg_ += ((in < 0 ? -in : in) + (source_kg_s < 0 ? -source_kg_s : source_kg_s)) * dt_s;
  }
  [[nodiscard]] double value() const { return x_; }
  /// |stored change - flows| over what flowed and what was there at first: without sources nothing
  /// flows.
  [[nodiscard]] double residual_relative() const {
    const double gap = stored_kg_ - flowed_kg_,
                 scale = throughput_kg_ + (first_kg_ > 0 ? first_kg_ : 0.0);
    return scale > 0 ? (gap < 0 ? -gap : gap) / scale : 0.0;
  }

 private:
  double x_ = 0, first_kg_ = -1, stored_kg_ = 0, flowed_kg_ = 0, throughput_kg_ = 0;
};

/// Heat that warms the cabin air by 1 K within a minute, evenly: the air's own, and what the faces
/// take up while it is half a kelvin warmer on the mean. Whatever the step; after prepare().
template <int L>
[[nodiscard]] double heat_of_a_minute_J_K(const network::Stepper<L>& stepper, int lane = 0) {
  constexpr double kMinute_s = 60;
  return stepper.C_air_J_K(lane) + 0.5 * kMinute_s * stepper.air_W_K(lane);
}

}  // namespace cabinload::simulation
