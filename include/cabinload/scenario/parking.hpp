// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/schedule.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <string>

namespace cabinload::scenario {

/// At some hours of the day something takes of the sun's light.
[[nodiscard]] bool shaded(const forcing::Site& site);

/// Puts the vehicle into a shade that the scenario did not name, at these hours and no others.
/// Skyline and ground stay as they are.
/// @param kind  as parking.shade: "tree", "carport", "cloth", "building"
/// @throws core::RangeError  an unknown kind
void stand_under(Scenario& scenario, const std::string& kind, const core::DaySchedule& hours);

}  // namespace cabinload::scenario
