// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/schedule.hpp>
#include <cabinload/core/units.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/occupants/occupants.hpp>
#include <cabinload/power/supply.hpp>
#include <cabinload/roof/roof.hpp>
#include <cabinload/scenario/study_plan.hpp>
#include <cabinload/scenario/uncertainty.hpp>
#include <cabinload/unit/unit.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cabinload/vehicle/vehicle.hpp>
#include <cabinload/weather/typed_day.hpp>
#include <cabinload/wiring/ampacity.hpp>
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

  /// Length of the sleep window.
  [[nodiscard]] double sleep_length_s() const {
    const double length_s = sleep_end_s - sleep_start_s;
    return length_s > 0 ? length_s : length_s + core::kSecondsInDay;
  }
};

/// A door, window or vent that stands open. Flow by wind and stack through its area.
struct Opening {
  std::string name;
  double area_m2 = 0;   ///< free area
  double height_m = 0;  ///< of the opening, or between two that work together; for the stack
  core::DaySchedule open;
};

/// A fan that brings outdoor air in, or takes cabin air out and lets outdoor air in.
struct VentFan {
  double flow_m3_s = 0;
  double power_W = 0;  ///< from the battery; its heat leaves with the air
  core::DaySchedule hours;
  bool only_when_it_helps = true;  ///< cabin above T_wanted_K and outdoors cooler by dT_start_K
  double T_wanted_K = 0;
  double dT_start_K = 1;
};

/// Cabin air settings that are not the vehicle's shell.
struct CabinAir {
  double bed_offset_K = 0;                        ///< bed minus mixed air
  double return_offset_K = 0;                     ///< return-air sensor minus mixed air
  double speed_at_bed_m_s = 0.1;                  ///< for the operative temperature
  core::DayProfile fresh_air_m3_s;                ///< opened vent or fan, during fresh_air_hours
  std::optional<double> fresh_air_density_kg_m3;  ///< dry air in that flow; unset: outdoors
  core::DaySchedule fresh_air_hours;
  std::vector<Opening> openings;
  VentFan fan;
};

/// Ideal heating and cooling: exactly what holds set points, sensible only; for published boxes and
/// for honest winter lines. Where it acts: the air, or the inner face of a surface.
struct Ideal {
  std::optional<core::DayProfile> heat_to_K, cool_to_K;  ///< of the mixed air; unset: none
  double heat_limit_W = 0, cool_limit_W = 0;             ///< 0: as much as it takes
  std::string heat_place = "air", cool_place = "air";    ///< or a surface's name
};

/// Where the cable to the unit lies, and with it how hot the air around it becomes.
enum class CablePlace { roof_cavity, cabin, engine_bay };
[[nodiscard]] const char* key_of(CablePlace place);  ///< "roof-cavity"

/// The run of cable from the battery to the unit.
struct Cable {
  double length_m = 4;  ///< one way
  CablePlace place = CablePlace::roof_cavity;
  wiring::Insulation insulation = wiring::Insulation::c90;
  double terminal_degC = 75;     ///< 60, 75, 90 or 105
  double allowed_drop_1 = 0.03;  ///< of the nominal voltage, there and back
  int conductors_together = 2;   ///< carrying current, this run's two included
  /// Air in an engine bay over outdoors, away from exhaust and turbocharger, engine hot and the
  /// vehicle standing. Engineering judgement.
  double engine_bay_K = 40;
  std::optional<double> ambient_K;  ///< unset: as the simulation finds it where the cable lies
  std::optional<double> power_W;    ///< unset: the unit's full power
  /// Prospective, at the battery's terminals, as arranged for the unit's voltage; unset: unknown.
  std::optional<double> short_circuit_A;
  double fuse_distance_m = 0.15;  ///< cable from the battery's post to the fuse
};

/// The roof and what stands on it.
struct RoofPlan {
  roof::Roof roof;
  std::vector<roof::Item> items;
  std::optional<roof::PanelSize> panel;  ///< packed into what is left; unset: none
};

/// How a run starts.
struct Start {
  std::optional<double> T_K;  ///< every node and the air; unset: outdoor air
  int warm_up_days = 4;       ///< simulated before the first night and thrown away
};

/// One resolved key: for `show`, for `new`, for the record in result files.
struct Entry {
  std::string key;     ///< "unit.set_point"
  std::string value;   ///< as people write it, with unit: "24 degC"
  std::string origin;  ///< "default", "case.toml:12", "--set", "--limit"
  std::string about;   ///< one line of documentation
  std::string source;  ///< of a default: citation, "engineering judgement", "invented"
  std::optional<core::Quantity> kind;  ///< of a figure whose kind does not follow from its unit
};

/// Name of a scenario that nobody named.
inline constexpr const char* kUnnamed = "built-in example";

/// What is asked, whole: every default applied, every value in range.
struct Scenario {
  std::string name = kUnnamed;
  std::string file;  ///< "" when none was read
  vehicle::Choice choice;
  vehicle::Vehicle vehicle;
  forcing::Site site;
  WeatherChoice weather;
  std::vector<occupants::Person> people;
  std::vector<occupants::Pet> pets;
  std::vector<occupants::Appliance> appliances;
  CabinAir air;
  Ideal ideal;
  unit::Description unit;
  unit::Settings unit_settings;
  core::DaySchedule unit_on;
  power::SupplyDescription supply;
  double battery_full_at_s = 18 * 3600.0;  ///< taken as full every day then; NaN: never
  Night night;
  Cable cable;
  RoofPlan roof;
  double step_s = 120;  ///< divides 600
  /// Where a run idles() and the unit is off or has nothing to cool; divides 600. If it is longer
  /// than step_s, whatever begins or ends by the clock does so at a multiple of both.
  double idle_step_s = 300;
  double day_step_s = 600;  ///< the same by day, where nobody looks; a multiple of it
  Start start;
  bool heading_worst = false;  ///< try eight headings, answer with the worst
  Uncertainty uncertainty;
  StudyPlan study;

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

/// The user gave such a key: in a file, an own default or on the command line.
[[nodiscard]] bool given(const Scenario& scenario, const std::string& key);

/// What is wrong with a key once an answer is known, at the place where the key was given.
[[nodiscard]] core::InputProblem problem_at(const Scenario& scenario, const std::string& key,
                                            const std::string& what, const std::string& hint);

/// A commented TOML scenario to start from, with the given overrides written in as set keys and all
/// others as comments with their defaults. It reads back to the same Scenario.
[[nodiscard]] std::string commented_toml(const std::vector<Override>& overrides);

/// The scenario as TOML with every default spelled out; reads back to the same Scenario.
[[nodiscard]] std::string effective_toml(const Scenario& scenario);

}  // namespace cabinload::scenario
