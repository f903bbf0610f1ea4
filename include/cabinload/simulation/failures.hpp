// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/occupants/animal_limits.hpp>
#include <cabinload/simulation/run.hpp>
#include <functional>
#include <limits>
#include <vector>

/// What if the cooling stops now? One run in which the unit holds its set point; from its own state
/// at every hour branches step on without the cooling, until the air passes an animal's limit.
namespace cabinload::simulation {

/// A cabin and what it feels.
struct World {
  const network::Cabin* cabin = nullptr;
  const forcing::Forcing* forcing = nullptr;
};

/// Beside the five failures: the unit's fault once more, with something that helps.
struct Helps {
  double fan_m3_s = 0;    ///< a second fan with a supply of its own, while outdoors is cooler
  double opening_m2 = 0;  ///< an opening that springs open, whatever it is outdoors
  double opening_height_m = 0.3;
  double T_alarm_K = 0;  ///< an alarm by telephone calls from here on
};

/// An hour and a failure for whose flows somebody asked.
struct FailureAsked {
  std::size_t hour = 0;  ///< row of Failures
  Failure failure = Failure::unit_fault;
};

/// Which hours, whose limit, and how finely.
struct FailureOptions {
  occupants::AnimalLimit limit;
  Helps helps;
  Nights days;  ///< whole days from 00:00
  double longest_s = 4 * 3600;
  double fine_step_s = 10;  ///< of a branch at first; then the run's own. Divides 600
  double fine_for_s = 600;  ///< a multiple of 600
  /// Factors on the cracks while it is warmer outdoors than inside, and while it is not.
  double cracks_warm_1 = 1, cracks_cool_1 = 1;
  bool every_branch = false;          ///< also those that cannot pass the limit, for checks
  std::optional<FailureAsked> asked;  ///< that branch alone, for its flows; no other minutes
  std::function<void(double share_1)> progress;  ///< about 20 times with the share done
};

inline constexpr double kNever_min = std::numeric_limits<double>::infinity();

/// Hour by hour: row i is the instant start_s + i h. Minutes are kNever_min where the limit is not
/// passed within FailureOptions::longest_s.
struct Failures {
  double start_s = 0;
  std::vector<double> T_air_K, T_out_K;                        ///< at the instant, the unit running
  std::array<std::vector<double>, kFailures> minutes;          ///< by Failure
  std::vector<double> alarm_min, second_fan_min, opening_min;  ///< after a unit's fault
  // The unit running, all steps of the days.
  double peak_K = 0, peak_at_s = 0;  ///< cabin air
  double worst_excess_K = -1e9;      ///< occupants::excess_K; above 0: a limit is passed
  double above_general_s = 0;        ///< longest stretch above the general line
  double least_K = 1e9, cold_s = 0;  ///< coldest air; longest stretch below the cold line
  double heat_residual_relative = 0, moisture_residual_relative = 0;
  std::size_t branches = 0, branch_steps = 0;  ///< work done
  /// Of FailureOptions::asked: the hour before it, the unit running; then from the failure to the
  /// limit, or the longest branch. Either may be without a step.
  std::vector<FlowAccount> flows;
};

/// The run before a failure has the unit on at all hours, on a battery that is always full and that
/// nothing charges. Branches that cannot pass the limit are not stepped: where a run without any
/// cooling (and where one in the other world with the unit) stays below every line for
/// FailureOptions::longest_s, a branch does too, because it starts cooler.
/// @param as_is  the vehicle as it stands
/// @param bare   the same without parking shade and covers; the same topology. The same pointers:
///               there are none, and losing them is what the run does anyway
/// @throws core::RangeError      as run(); a fine step that does not divide 600 s
/// @throws core::NumericalError  as run()
[[nodiscard]] Failures failures(const World& as_is, const World& bare,
                                const scenario::Scenario& scenario, const FailureOptions& options);

}  // namespace cabinload::simulation
