// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/schedule.hpp>
#include <cabinload/core/units.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/occupants/occupants.hpp>
#include <cabinload/power/battery.hpp>
#include <cabinload/unit/unit.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cabinload/vehicle/vehicle.hpp>
#include <cabinload/weather/typed_day.hpp>
#include <optional>
#include <string>
#include <vector>

/// TOML and command-line overrides in; validated plain structs out, every default explicit.
namespace cabinload::scenario {

/// Which weather: exactly one of a file (path or shipped key) or a typed day.
struct WeatherChoice {
  std::string file = "tucson";           ///< a shipped key ("tucson"), else a path
  std::optional<weather::TypedDay> day;  ///< set by [weather] high/low/... or an extreme-* key
};

/// What a good night is. A night belongs to the date of its evening.
struct Night {
  double T_limit_K = 298.15;            ///< sleeper's limit at the bed
  double sleep_start_s = 22 * 3600.0;   ///< second of the day, local standard time
  double sleep_end_s = 7 * 3600.0;      ///< next morning when <= start
  double pull_down_allowance_s = 1800;  ///< at the start of the sleep window, not judged
  std::optional<core::Date> from, to;   ///< evenings, both included; default all of the file
};

/// Cabin air settings that are not the vehicle's shell.
struct CabinAir {
  double bed_offset_K = 0;     ///< bed minus mixed air
  double return_offset_K = 0;  ///< return-air sensor minus mixed air
  double fresh_air_m3_s = 0;   ///< opened vent or fan, constant, during fresh_air_hours
  core::DaySchedule fresh_air_hours;
};

/// One resolved key: for `show`, for `new`, for the record in result files.
struct Entry {
  std::string key;     ///< "unit.set_point"
  std::string value;   ///< as people write it, with unit: "24 degC"
  std::string origin;  ///< "default", "case.toml:12", "--set", "--limit"
  std::string about;   ///< one line of documentation
  std::string source;  ///< of a default: citation, "engineering judgement", "invented"
};

struct Scenario {
  std::string name = "built-in example";
  std::string file;  ///< "" when none was read
  vehicle::Choice choice;
  vehicle::Vehicle vehicle;
  forcing::Site site;
  WeatherChoice weather;
  std::vector<occupants::Person> people;
  std::vector<occupants::Pet> pets;
  std::vector<occupants::Appliance> appliances;
  CabinAir air;
  unit::Description unit;
  unit::Settings unit_settings;
  core::DaySchedule unit_on;
  power::BatteryDescription battery;
  Night night;
  double step_s = 60;  ///< divides 600

  std::vector<Entry> entries;         ///< every key of the scenario, in the documented order
  std::vector<std::string> warnings;  ///< plausible but odd
};

/// `key.path=value` as given on the command line, and the flag it came from.
struct Override {
  std::string key;
  std::string value;
  std::string origin = "--set";
};

/// Reads a scenario file ("" for the built-in one) and applies overrides.
/// @throws core::InputError  every problem found: unknown key (with suggestion), wrong unit, value
/// out
///                           of range, NaN ... with file, line, column, key, value, what would be
///                           right
/// @throws core::IoError     the file cannot be read
[[nodiscard]] Scenario read(const std::string& path, const std::vector<Override>& overrides);

/// A commented TOML scenario to start from, with the given overrides written in as set keys and all
/// others as comments with their defaults. It reads back to the same Scenario.
[[nodiscard]] std::string commented_toml(const std::vector<Override>& overrides);

/// The scenario as TOML with every default spelled out; reads back to the same Scenario.
[[nodiscard]] std::string effective_toml(const Scenario& scenario);

}  // namespace cabinload::scenario
