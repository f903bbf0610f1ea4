// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <fmt/format.h>
#include <cstddef>

#include "binder.hpp"

/// One function a table of the scenario: binds its keys to the structs. Order matters only where a
/// later table starts from what an earlier one built (vehicle before its surfaces, the unit's model
/// before its data).
namespace cabinload::scenario {

// Where defaults come from, in words that several tables use.
inline constexpr const char* kJudgement = "engineering judgement";
inline constexpr const char* kPractice = "common practice, no published source";
inline constexpr const char* kNone = "none";
inline constexpr const char* kOfBody = "of the body";

/// "person[1].": what the keys of a table of which there may be several begin with.
[[nodiscard]] inline std::string indexed(const std::string& array, std::ptrdiff_t i) {
  return fmt::format("{}[{}].", array, i);
}

void bind_vehicle(Binder& b, Scenario& s);
void bind_shell(Binder& b, Scenario& s);    // [[surface]], [[window]], [[furnishing]]
void bind_parking(Binder& b, Scenario& s);  // with [[skyline]] and [driving]
void bind_people(Binder& b, Scenario& s);   // [[person]], [[pet]]
void bind_appliances(Binder& b, Scenario& s);
void bind_animal(Binder& b, const std::string& key, occupants::Pet& pet);  // its limit, of [[pet]]
void bind_air(Binder& b, Scenario& s);  // with [[opening]] and [fan]
void bind_ideal(Binder& b, Scenario& s);
void bind_unit(Binder& b, Scenario& s);
void bind_compressor(Binder& b, unit::Description& u);
void bind_power(Binder& b, Scenario& s);  // [battery], [panels], [alternator], [shore], [inverter]
void bind_night(Binder& b, Scenario& s);
void bind_weather(Binder& b, Scenario& s);
void bind_run(Binder& b, Scenario& s);
void bind_uncertainty(Binder& b, Scenario& s);
void bind_study(Binder& b, Scenario& s);  // with [[vary]]
void bind_cable(Binder& b, Scenario& s);  // after the vehicle and the unit
void bind_roof(Binder& b, Scenario& s);   // with [[roof_item]]; after the vehicle

/// The keys of a table of what is built in.
template <class Entries>
[[nodiscard]] std::vector<std::string> keys_of(const Entries& table) {
  std::vector<std::string> keys;
  for (const auto& e : table) keys.push_back(e.key);
  return keys;
}

/// Plausible but odd: sentences for the user.
[[nodiscard]] std::vector<std::string> warnings_of(const Scenario& s);

}  // namespace cabinload::scenario
