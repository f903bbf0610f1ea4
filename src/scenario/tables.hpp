// SPDX-License-Identifier: Apache-2.0
#pragma once
#include "binder.hpp"

/// One function a table of the scenario: binds its keys to the structs. Order matters only where a
/// later table starts from what an earlier one built (vehicle before its surfaces, the unit's model
/// before its data).
namespace cabinload::scenario {

void bind_vehicle(Binder& b, Scenario& s);
void bind_surfaces(Binder& b, Scenario& s);  // [[surface]] and [[window]]
void bind_parking(Binder& b, Scenario& s);
void bind_people(Binder& b, Scenario& s);  // [[person]], [[pet]], [[appliance]]
void bind_air(Binder& b, Scenario& s);
void bind_unit(Binder& b, Scenario& s);
void bind_battery(Binder& b, Scenario& s);
void bind_night(Binder& b, Scenario& s);
void bind_weather(Binder& b, Scenario& s);
void bind_run(Binder& b, Scenario& s);

/// Plausible but odd: sentences for the user.
[[nodiscard]] std::vector<std::string> warnings_of(const Scenario& s);

}  // namespace cabinload::scenario
