// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/core/calendar.hpp>
#include <cabinload/power/supply.hpp>
#include <cstddef>
#include <limits>
#include <vector>

/// What a run leaves behind: plain numbers, no behaviour.
namespace cabinload::simulation {

/// What kept the bed above the limit during a step: why the unit did not give more.
enum class Limit { none, capacity, battery, supply_limit, cut_out, schedule };
inline constexpr std::size_t kLimits = 6;

/// One step as observers see it. Temperatures at the end of the step, powers mean over it.
struct Step {
  double t_s = 0;  ///< end of the step, seconds after 00:00 of the series' first day
  double dt_s = 0;
  double second_of_day = 0;  ///< of the step's start
  double T_air_K = 0;        ///< mixed cabin air
  double T_bed_K = 0;
  double T_operative_K = 0;  ///< at the bed: air and radiant temperature together
  double T_out_K = 0;
  /// Outer face of the roof under the unit; the mean of its outer and inner faces, which stands for
  /// the air between skin and lining (engineering judgement). NaN: no face looks up.
  double T_roof_surface_K = std::numeric_limits<double>::quiet_NaN();
  double T_roof_cavity_K = std::numeric_limits<double>::quiet_NaN();
  double p_Pa = 101325;
  double W_air_1 = 0;  ///< humidity ratio
  double co2_ppm = 0;  ///< by volume
  double unit_electric_W = 0;
  double unit_running_W = 0;  ///< its draw while the compressor runs; as above when it does not
  double sensible_W = 0;      ///< coil, gross
  double latent_W = 0;
  double condensate_kg_s = 0;
  double compressor_on_1 = 0;
  double ideal_heating_W = 0, ideal_cooling_W = 0;    ///< both >= 0
  double exchange_kg_s = 0;                           ///< outdoor air coming in
  double other_W = 0;                                 ///< other loads on the supply, granted
  double refrigerator_W = 0;                          ///< of other_W, refrigerators
  double solar_W = 0, alternator_W = 0, shore_W = 0;  ///< used of the sources
  double charge_W = 0;                                ///< into the battery's cells
  double battery_V = 0, battery_K = 0;
  double state_of_charge_1 = 0;  ///< end of the step
  double hours_displayed = 0;    ///< power::naive_hours_displayed of unit_running_W and the others
  double condenser_air_K = 0;    ///< what the condenser breathes, 0 when off
  bool beyond_map = false;       ///< the unit ran outside the range of its description
  bool unit_scheduled = false;
  Limit limit = Limit::none;
  double unserved_W = 0;        ///< of what other loads asked, not granted
  bool unserved_empty = false;  ///< because the battery is empty or cut off; else by a limit
  bool cells_bound = false;     ///< the battery's cells, too hot or too cold, kept it from giving
                                ///< what unit and other loads asked
};

/// Hour by hour; row i covers start_s + i h. Means unless named min, max or end.
struct Hourly {
  double start_s = 0;  ///< seconds after 00:00 of the series' first day
  std::vector<double> T_air_mean_K, T_air_min_K, T_air_max_K, T_bed_mean_K, T_operative_mean_K,
      heat_index_end_K, T_out_mean_K, W_air_1, co2_ppm, unit_electric_W, sensible_W, latent_W,
      compressor_on_1, ideal_heating_W, ideal_cooling_W, other_W, refrigerator_W, solar_W,
      alternator_W, shore_W, battery_K, state_of_charge_end_1, unserved_W;
};

/// Energy of other loads below which nobody notices that it was not served [W h]: it prints as 0.
inline constexpr double kUnnoticed_Wh = 0.5;

/// One night. Its account runs from noon to noon (midnight to midnight when the sleep window holds
/// noon); it belongs to the date on which its sleep window starts.
struct NightRecord {
  core::Date date;
  // Judged span: the sleep window less the pull-down allowance at its start.
  double bed_peak_K = 0;  ///< highest in the judged span
  double bed_peak_second_of_day = 0;
  double operative_peak_K = 0;   ///< highest operative temperature at the bed
  double heat_index_peak_K = 0;  ///< highest heat index at the bed
  double minutes_above = 0;      ///< above the limit in the judged span
  std::array<double, kLimits> minutes_above_by_limit{};  ///< the same by Limit
  double minutes_above_pulling_down =
      0;                       ///< part of the above: unit at its limit, limit not yet reached
  bool reached_limit = false;  ///< bed at or below the limit at some time after switch-on
  double pull_down_min = 0;    ///< from switch-on until first at or below the limit; 0 when it
                               ///< was there already; NaN when never
  // The night's account.
  double electric_Wh = 0;      ///< at the unit's terminals
  double cooling_Wh = 0;       ///< sensible and latent, gross coil
  double refrigerator_Wh = 0;  ///< drawn by refrigerators
  double compressor_on_h = 0;
  double scheduled_h = 0;                  ///< hours the unit was scheduled on
  double battery_at_dawn_1 = 0;            ///< state of charge at the end of the sleep window
  double battery_empty_second_of_day = 0;  ///< NaN when it did not disconnect
  double condensate_L = 0;
  double co2_peak_ppm = 0;                           ///< in the sleep window
  double outdoor_min_K = 0, outdoor_at_start_K = 0;  ///< in the sleep window; at its start
  // Of the night's account.
  double unserved_Wh = 0;               ///< asked by other loads (all but the unit), not given
  double unserved_asleep_Wh = 0;        ///< of it in the sleep window
  double unserved_asleep_empty_Wh = 0;  ///< of that with the battery empty or cut off
  double cells_bound_h = 0;             ///< hours of Step::cells_bound

  /// The bed stayed within the limit.
  [[nodiscard]] bool cool() const { return minutes_above <= 0; }
  /// Other loads went without in the sleep window.
  [[nodiscard]] bool dark() const { return unserved_asleep_Wh > kUnnoticed_Wh; }
  /// Held: cool, and the battery served the other loads through the sleep window.
  [[nodiscard]] bool held() const { return cool() && !dark(); }
};

/// Steps of a chosen stretch, as they came.
struct StepTrace {
  std::vector<Step> steps;
};

/// Hours in which the battery, by the temperature of its cells, gave less than unit and other loads
/// asked.
struct CellsBound {
  double hot_h = 0, cold_h = 0;         ///< too hot, too cold
  double nothing_h = 0;                 ///< of both, beyond the limit at which cells give nothing
  double hottest_K = 0, coldest_K = 0;  ///< of the cells in those hours; 0 when there are none
};

/// Something that the supply did, and when.
struct SupplyEvent {
  power::EventKind kind = power::EventKind::empty;
  double t_s = 0;  ///< seconds after 00:00 of the series' first day
};

/// A stretch of a run for whose flows somebody asked.
struct Span {
  double from_s = 0, to_s = 0;  ///< seconds after 00:00 of the series' first day
};

/// Heat and electricity of a stretch, means over it [W]. Both accounts close: heat() is 0 but for
/// rounding, electricity() too.
struct FlowAccount {
  Span span;                        ///< as asked
  double seconds = 0;               ///< of the steps in it; 0: the run did not come there
  double T_out_K = 0, T_air_K = 0;  ///< means
  // Heat that comes into the cabin, its shell and contents; below zero: leaves.
  double roof_W = 0, walls_W = 0, floor_W = 0, partitions_W = 0;  ///< at the outside faces
  double windows_W = 0;   ///< films, long wave and sun absorbed at the outer panes
  double sun_W = 0;       ///< through windows, and taken by covers inside
  double exchange_W = 0;  ///< air exchange, sensible
  double people_W = 0, pets_W = 0, appliances_W = 0;  ///< sensible
  double refrigerators_W = 0;  ///< net; one that gives its heat off outdoors takes: below 0
  double supply_W = 0;         ///< battery and electronics inside
  double wet_faces_W = 0;      ///< vapour that turned to water on cold faces
  double heating_W = 0, cooling_W = 0;  ///< ideal; cooling <= 0
  double fan_W = 0, coil_W = 0;         ///< of the unit; the coil takes: <= 0
  double given_back_W = 0;              ///< of what shell, contents and air had stored
  // Electricity: from sources and battery, to loads and losses.
  double solar_W = 0, alternator_W = 0, shore_W = 0, battery_W = 0;
  double unit_W = 0, other_W = 0, loss_W = 0;  ///< other_W without refrigerators
  double refrigerators_draw_W = 0;
  double latent_W = 0;  ///< moisture that the coil took, no part of the above

  /// Sum of the heat account [W].
  [[nodiscard]] double heat_W() const;
  /// Sum of the electric account [W]: sources and battery less loads and losses.
  [[nodiscard]] double electricity_W() const;
};

/// Heat and water accounts of the run.
struct Balance {
  double heat_residual_relative = 0;  ///< |storage change - sum of flows| / sum of
                                      ///< |flows|, or over 1 K of the cabin if that is more
  double moisture_residual_relative = 0;
  double co2_residual_relative = 0;
  double battery_residual_relative = 0;
  double throughput_J = 0;
  /// The largest of the four residuals [1].
  [[nodiscard]] double worst() const;
};

/// Highest temperatures of a run without its warm-up, for what lies there (a cable).
struct Hottest {
  /// A highest temperature and its time.
  struct Peak {
    double T_K = std::numeric_limits<double>::quiet_NaN();  ///< NaN: no such place
    double t_s = 0;                                         ///< when, as Step::t_s
  };
  Peak cabin_air, roof_cavity, roof_surface, outdoors;
};

/// What one run leaves behind.
struct Trace {
  bool unit_enabled = true;
  std::size_t steps = 0;
  Hourly hourly;
  std::vector<NightRecord> nights;
  StepTrace window;                 ///< empty unless asked for
  std::vector<SupplyEvent> events;  ///< without the warm-up
  double cold_charge_h = 0;         ///< hours in which cold cells took less than was there
  double frozen_charge_h = 0;       ///< of these with the cells below 0 degC
  /// Of a run of Options::window: when the supply gave out; NaN: it did not.
  double cut_s = std::numeric_limits<double>::quiet_NaN();
  Balance balance;
  Hottest hottest;
  std::vector<FlowAccount> flows;  ///< of Options::flows, in their order
  double electric_total_Wh = 0;    ///< unit, whole run without the warm-up
  double unit_on_h = 0;            ///< compressor hours of the same
  double beyond_map_h = 0;         ///< of these outside the range of the unit's description
  double condenser_air_max_K = 0;
  // As the sums above without the warm-up.
  double hot_charge_h = 0;  ///< hours in which hot cells took less than was there
  CellsBound cells;
  double unserved_Wh = 0;  ///< asked by other loads and not given
};

}  // namespace cabinload::simulation
