// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/profile.hpp>
#include <cabinload/core/schedule.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <functional>
#include <string>
#include <vector>

/// Cooling demand: what has to be taken from the cabin, hour by hour, so that its air stays at a
/// set point and no wetter than stated, by a cooling of any capacity; and what brings it.
namespace cabinload::simulation {

/// Kinds of cause; windows come one by one.
enum class CauseKind {
  roof,
  walls,
  floor,
  partitions,
  window,      ///< conduction through one window: films, long wave, air temperature
  window_sun,  ///< sun absorbed in that window and let in by it
  air_exchange,
  people,
  pets,
  appliances,
  condensation,  ///< water taken from the air by cold faces, and the heat that it leaves on them
  stored,        ///< heat and water from times when the cabin was not at the set point
};
/// What brings a part of the demand.
struct Cause {
  CauseKind kind = CauseKind::stored;
  std::string window;  ///< its name, for windows; made unique
};

/// What the cabin is held at, when, and how.
struct DemandOptions {
  core::DayProfile T_set_K;  ///< of the mixed air, by the clock
  /// Highest humidity of the air, as relative humidity at the lowest set point of the day, 0..1.
  double humidity_1 = 0.6;
  core::DaySchedule hours = core::DaySchedule::always();  ///< when the cabin is held
  double stirring_m3_s = 0;   ///< cabin air that a unit's fan moves while it cools
  std::string place = "air";  ///< where the cooling acts: the air, or a surface's name
  bool by_cause = true;  ///< with its parts: about two thirds of the time; the rest is the same
  std::function<void(double share_1)> progress;  ///< about 20 times with the share done
};

/// What a scenario asks for: the set point of its ideal cooling where it states one (published
/// boxes; no fan then), else the unit's set point, with the air moved by the unit's fan.
[[nodiscard]] DemandOptions demand_options(const scenario::Scenario& scenario);

/// Hour by hour; row i covers start_s + i h. Means over the hour [W], removed heat counts positive.
/// Parts are counted in the steps that have a demand, so they add up to the demand of the hour.
struct Demand {
  double start_s = 0;         ///< seconds after 00:00 of the series' first day
  double T_set_K = 0;         ///< lowest of the day; parts count from it
  std::vector<Cause> causes;  ///< none without by_cause
  std::vector<double> T_out_mean_K, T_air_mean_K, sensible_W, latent_W;
  std::vector<std::vector<double>> sensible_by_cause_W, latent_by_cause_W;  ///< [cause][hour]
  double heat_residual_relative = 0, moisture_residual_relative = 0;
  double parts_residual_W = 0;  ///< worst |sum of the parts - demand| of any step
};

/// Runs whole days, from 00:00 of the period's first date to 24:00 of its last.
///
/// Sensible: the heat that brings the air to the set point by the end of a step, where it would
/// else be warmer (as ideal cooling in run.hpp); its parts by network::Superposition. Latent: the
/// water that has to leave for the air not to be wetter than stated, in steps that cool, times the
/// enthalpy of vapour at the set point (as at the unit's coil). The water in the air has no walls
/// to be stored in, so a cause's part is its flow over what the air may hold. Ideal heating works
/// as the scenario states it; unit and battery take no part, and everything has electricity.
/// @throws core::RangeError      as run(); a humidity outside 0.05..1; an unknown place
/// @throws core::NumericalError  a state that is not finite; a balance residual above 1e-6
[[nodiscard]] Demand demand(const network::Cabin& cabin, const forcing::Forcing& forcing,
                            const scenario::Scenario& scenario, const DemandOptions& options);

}  // namespace cabinload::simulation
