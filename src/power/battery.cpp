// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/power/battery.hpp>
#include <cmath>

namespace cabinload::power {
namespace {

constexpr double kDay_s = 86400.0;

void require(bool good, const char* what, double value, const char* must) {
  if (!good)
    throw core::RangeError(fmt::format("battery: {} = {:g}, must be {}", what, value, must));
}

}  // namespace

Battery::Battery(const BatteryDescription& d) : description_(d) {
  require(d.capacity_J > 0, "capacity in Wh", d.capacity_J / 3600, "above 0");
  require(d.cut_off_1 >= 0 && d.cut_off_1 <= 0.9, "cut-off", d.cut_off_1, "between 0 and 0.9");
  require(d.efficiency_1 > 0.3 && d.efficiency_1 <= 1, "efficiency", d.efficiency_1,
          "above 0.3 and at most 1");
  require(d.reconnect_1 >= d.cut_off_1 && d.reconnect_1 <= 1, "reconnect", d.reconnect_1,
          "between the cut-off and 1");
  require(d.start_1 >= d.cut_off_1 && d.start_1 <= 1, "charge at the start", d.start_1,
          "between the cut-off and 1");
  stored_J_ = start_J_ = d.start_1 * d.capacity_J;
}

double Battery::draw(double power_W, double dt_s) {
  if (power_W <= 0 || !connected_) return 0;
  const double floor_J = description_.cut_off_1 * description_.capacity_J;
  const double wanted_J = power_W * dt_s / description_.efficiency_1;
  const double taken_J = std::min(wanted_J, std::max(0.0, stored_J_ - floor_J));
  stored_J_ -= taken_J;
  taken_J_ += taken_J;
  if (taken_J >= wanted_J) return power_W;
  stored_J_ = floor_J;
  connected_ = false;
  return taken_J * description_.efficiency_1 / dt_s;
}

void Battery::tick(double second_of_day, double dt_s) {
  if (std::isnan(description_.full_at_s)) return;
  // The step holds the moment when the time left until it is shorter than the step.
  double until_s = std::fmod(description_.full_at_s - second_of_day, kDay_s);
  if (until_s < -1e-6) until_s += kDay_s;
  if (until_s > dt_s - 1e-6) return;
  charged_J_ += description_.capacity_J - stored_J_;
  stored_J_ = description_.capacity_J;
  connected_ = true;
}

double Battery::residual_relative() const {
  const double moved_J = charged_J_ + taken_J_;
  return moved_J > 0 ? std::abs(stored_J_ - start_J_ - charged_J_ + taken_J_) / moved_J : 0.0;
}

}  // namespace cabinload::power
