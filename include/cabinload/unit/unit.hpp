// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/schedule.hpp>
#include <cabinload/unit/map.hpp>
#include <optional>
#include <string>
#include <vector>

/// The cooling unit: how it is described and set. What it does is in machine.hpp.
namespace cabinload::unit {

/// How the electricity of cycling below minimum speed is found.
enum class CycleLaw {
  start_up,  ///< from the lengths of the cycles and the time the coil takes to give its full
  standard   ///< PLF = 1 - C_D (1 - CLF), AHRI 210/240, whatever the lengths are
};

/// A unit as described: a data plate, measured points, or a ready map.
struct Description {
  std::string key;
  std::string about;
  std::string source;  ///< "invented"
  // Data plate.
  double volts = 24;            ///< nominal supply
  double capacity_W = 2000;     ///< rated total cooling, net of the cabin fan, full speed and fan
  double power_W = 700;         ///< rated electric input at the same point, all included
  double rated_wet_bulb_K = 0;  ///< evaporator inlet, rating point
  double rated_dry_bulb_K = 0;
  double rated_condenser_K = 0;
  double sensible_ratio_1 = 0.75;     ///< gross, at the rating point
  std::string refrigerant = "R134a";  ///< for the generic factors
  std::vector<MeasuredPoint> points;  ///< instead of rated capacity and power, when given
  std::optional<Map> map;  ///< ready made (a compressor's balance points); goes before both
  std::string map_source;  ///< in words, of `map`
  // Air and fans.
  double air_flow_m3_s = 0.08;     ///< cabin side, full fan
  double cabin_fan_W = 25;         ///< at full fan; part of power_W; its heat enters the cabin
  double standby_W = 2;            ///< controls, all the time it is scheduled on; part of power_W
  double condenser_flow_m3_s = 0;  ///< 0: such that the rated heat warms it by 10 K
  // Speed.
  double minimum_speed_1 = 0.4;                    ///< of full; 1: on and off only
  std::optional<double> minimum_speed_capacity_1;  ///< of full-speed capacity; unset: by the map
  std::optional<double> minimum_speed_power_1;     ///< of full-speed power; unset: by the map
  double ramp_s = 30;                              ///< from standing to full speed
  double minimum_on_s = 180, minimum_off_s = 180;
  double cyclic_degradation_1 = 0.15;  ///< C_D of AHRI 210/240
  CycleLaw cycle_law = CycleLaw::start_up;
  // Protection.
  double condenser_cut_out_K = 0;       ///< condenser inlet above which it stops
  double condenser_restart_K = 0;       ///< 0: 5 K below the cut-out
  double restart_delay_s = 180;         ///< after any stop by protection
  std::optional<double> derate_from_K;  ///< speed falls to the minimum from here to the cut-out
  double low_volts_stop_1 = 0.875;      ///< of nominal: stops below
  double low_volts_restart_1 = 1.0;     ///< of nominal: may start again from
};

/// Low speed and fan by hours, for sleeping.
struct Quiet {
  core::DaySchedule hours;  ///< none: never
  double speed_cap_1 = 1, fan_level_1 = 1;
};

/// How it is run.
struct Settings {
  double T_set_K = 0;           ///< at the return-air sensor
  double differential_K = 1.0;  ///< of the thermostat, from on to off
  double power_cap_W = 0;       ///< economy: electric cap, 0 = none
  double speed_cap_1 = 1;       ///< economy: of full speed
  double fan_level_1 = 1;       ///< cabin fan over full, 0.4..1
  Quiet quiet;
  bool fan_always = true;  ///< while scheduled on; else with the compressor and fan_run_on_s after
  double fan_run_on_s = 0;
  double recirculation_1 = 0.2;                ///< of condenser air that comes round again
  std::optional<double> condenser_air_rise_K;  ///< instead of warm layer and recirculation
};

/// Everything that is wrong with a description, in words that name the key of the scenario, the
/// value and what would be right; empty when it may be built. `odd` are plausible but worth a
/// warning.
struct Findings {
  std::vector<std::string> problems, odd;
};
/// Looks a description and its settings through; never throws for what it finds.
[[nodiscard]] Findings examine(const Description& description, const Settings& settings);

/// Net rated figures of a description at its rating point: of the plate, or of its map.
struct Rating {
  double capacity_W = 0, power_W = 0;
};
/// @throws core::RangeError  as examine() says
[[nodiscard]] Rating rating(const Description& description);

/// The same unit in another size: capacity, power, air, fans and controls times `factor`; ratios,
/// temperatures and speeds stay, so that only the size differs. Real units lose or gain a little
/// efficiency with size, which this leaves out.
/// @param factor  > 0
/// @throws core::RangeError  otherwise
[[nodiscard]] Description scaled(const Description& description, double factor);

/// A unit that does not do what its description says: net capacity and electric input (all of it)
/// times these; fans, controls and speeds as described.
/// @param capacity_1, power_1  > 0
/// @throws core::RangeError  otherwise
[[nodiscard]] Description off_the_plate(const Description& description, double capacity_1,
                                        double power_1);

/// The description's map and where its figures come from.
struct Characteristics {
  Map map;
  std::string source;      ///< "generic factors, R134a", "a bi-quadratic of its own ..."
  std::optional<Fit> fit;  ///< of measured points
};
/// @throws core::RangeError  as examine() says
[[nodiscard]] Characteristics characteristics(const Description& description);

/// Invented generic units, smallest first.
[[nodiscard]] const std::vector<Description>& built_in();

}  // namespace cabinload::unit
