// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/error.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/simulation/run.hpp>
#include <cmath>

namespace cabinload::simulation {

/// `whole_s` is so many steps, to rounding. False for steps of 0, below, or that are no number.
[[nodiscard]] inline bool divides(double step_s, double whole_s) {
  const double n = whole_s / step_s;
  return step_s > 0 && std::abs(n - std::round(n)) < 1e-9;
}

/// @throws core::RangeError  Scenario::step_s is none that a run takes
inline void require_step(double step_s) {
  if (step_s > kLongestStep_s || !divides(step_s, forcing::kSlot_s))
    throw core::RangeError("the step must divide 600 s and be at most 120 s");
}

}  // namespace cabinload::simulation
