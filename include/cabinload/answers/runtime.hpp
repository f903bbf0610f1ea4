// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/common.hpp>
#include <cabinload/core/calendar.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/run.hpp>
#include <cabinload/weather/series.hpp>
#include <string>
#include <vector>

namespace cabinload::answers {

/// Followed for at most so long [h].
inline constexpr double kRuntimeHours = 48;

/// An hour of the way to empty, counted from the start; the last one may be shorter.
struct RuntimeHour {
  core::Date date;                              ///< of its start
  double second_of_day = 0;                     ///< of its start
  double hours = 1;                             ///< its length
  double state_of_charge_1 = 0;                 ///< at its start
  double unit_W = 0, other_W = 0, solar_W = 0;  ///< means over it
  double T_out_K = 0, T_bed_K = 0;              ///< means over it
  double refrigerator_W = 0;                    ///< of other_W, mean over it
  double hours_displayed = 0;  ///< by a display at its start; infinite while nothing is drawn
  double unserved_W = 0;       ///< asked by other loads and not given, mean over it
};

/// The answer to `runtime`: how long a charge lasts from a moment on with the unit asked on, and
/// what a display that divides the rest by the present draw says meanwhile.
struct Runtime {
  Header header;
  core::Date date;  ///< of the start
  double second_of_day = 0;
  double charge_1 = 1;                  ///< at the start
  double charge_end_1 = 0;              ///< at the end
  double cut_off_1 = 0;                 ///< at which the battery is empty
  double usable_Wh = 0;                 ///< nominal, between the two
  double hours_to_empty = 0;            ///< NaN: not within kRuntimeHours
  bool by_voltage = false;              ///< cut by low voltage before it was empty
  double hours_displayed_at_start = 0;  ///< infinite when nothing was drawn
  double mean_W = 0, first_hour_W = 0;  ///< unit and other loads, at their terminals
  double used_Wh = 0;                   ///< by unit and other loads
  double unit_Wh = 0;
  double refrigerator_Wh = 0;                            ///< of used_Wh
  double solar_Wh = 0, alternator_Wh = 0, shore_Wh = 0;  ///< used of the sources
  /// Nominal watt-hours that left the battery, and what the sources brought, less what was used:
  /// losses of cells, converters and chargers, and standby. Below zero where the cells' voltage
  /// lies above the rated one by more than that.
  double lost_Wh = 0;
  double duty_1 = 0;     ///< share of the time that the compressor ran
  double running_W = 0;  ///< draw of the unit while it did
  std::vector<RuntimeHour> path;
  double residual_relative = 0;
  double heading_rad = 0;
  double unserved_Wh = 0;  ///< asked by other loads and not given, until the supply gave out
  double limited_h = 0;    ///< hours until then in which it gave the unit less than it asked

  /// The supply gave out within kRuntimeHours.
  [[nodiscard]] bool ran_empty() const;
};

/// The evening of the period with the warmest 12 hours from that time on: what is asked of when no
/// date is named. Day as Nights::first.
[[nodiscard]] int warmest_evening(const forcing::Forcing& forcing, simulation::Nights nights,
                                  double second_of_day);

/// @pre a trace of simulation::Options::window with that window, with at least one step; asserted
[[nodiscard]] Runtime runtime(const simulation::Trace& trace, const simulation::Window& window,
                              const scenario::Scenario& scenario, const weather::Series& weather);

/// What the supply did that people should know of: the pitch's breaker tripped (and when), the
/// temperature of the battery's cells kept it from giving or taking.
[[nodiscard]] std::vector<std::string> supply_warnings(const simulation::Trace& trace,
                                                       const scenario::Scenario& scenario,
                                                       int first_day);

}  // namespace cabinload::answers
