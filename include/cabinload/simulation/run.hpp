// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/trace.hpp>
#include <exception>
#include <functional>
#include <optional>
#include <span>
#include <vector>

/// The step loop: cabin, forcing, people, unit and battery in time; a trace out.
namespace cabinload::simulation {

/// Which nights: counted in days from the series' first day; each is named by its evening.
struct Nights {
  int first = 0;
  int count = 1;
};
/// The nights of a scenario's period in a series of `hours` that starts on `first_day`.
/// A period may pass New Year (from 1 November to 28 February).
/// @throws core::RangeError  the period names an evening that a series shorter than a year lacks
[[nodiscard]] Nights nights_of(const scenario::Night& night, std::size_t hours, int first_day);

/// What takes the cooling away.
enum class Failure {
  unit_fault,     ///< the unit stands still, its fan too
  battery_empty,  ///< nothing on the supply runs any more
  supply_lost,    ///< nothing charges; the battery carries on until it is empty
  cut_out,        ///< the compressor stands still, the cabin fan runs on
  shade_lost,     ///< parking shade and covers are gone; the unit runs on
};
inline constexpr std::size_t kFailures = 5;

/// One failure within a whole run: the unit on all the time before it, on a battery that is always
/// full. Another sun (shade_lost) is the caller's to give.
struct Failing {
  Failure failure = Failure::unit_fault;
  double at_s = 0;           ///< seconds after 00:00 of the series' first day
  double keep_s = 4 * 3600;  ///< steps kept in Trace::window from there on
};

/// A stretch of its own instead of nights: the battery's charge is set at its start, nothing but
/// what is simulated charges it from then on, and the unit is asked on all the time. It ends when
/// the supply gives out.
struct Window {
  double from_s = 0;    ///< seconds after 00:00 of the series' first day
  double hours = 48;    ///< at most; > 0
  double charge_1 = 1;  ///< within the battery's usable window
};

/// What a run does beside or instead of the scenario's nights.
struct Options {
  bool unit_enabled = true;  ///< false: the vehicle left as it is
  bool cycles = false;       ///< real on and off; steps of 1..10 s
  bool hours = true;         ///< false: Trace::hourly stays empty, days are told coarsely
  std::optional<int> step_trace_night;  ///< index as Nights::first: keep every step of this night
  std::optional<Window> window;         ///< keeps every step, has no nights and no hours
  /// Called about 20 times in a run with the share done; may be empty.
  std::function<void(double share_1)> progress;
  std::optional<Failing> failing;
  std::vector<Span> flows;  ///< stretches whose flows are accounted for; they may overlap
};

/// Scenario::step_s above this is refused: the coil's moisture removal is explicit.
inline constexpr double kLongestStep_s = 120.0;
/// Whoever asks for a shorter step than this wants it all through. Engineering judgement.
inline constexpr double kLeastToIdle_s = 100.0;
/// Whether a run takes Scenario::idle_step_s while the unit is not scheduled on, or the return air
/// is so far below the set point that it has nothing to cool, and Scenario::day_step_s by day
/// without Options::hours: a run of nights without ideal heating or cooling and without a failure,
/// of steps from kLeastToIdle_s on.
[[nodiscard]] bool idles(const scenario::Scenario& scenario, const Options& options);

/// Runs one case. The residuals in Trace::balance are computed, not assumed.
/// @throws core::RangeError      step not dividing 600 s or above the longest; a window without
///                               hours, or a charge outside the battery's usable window
/// @throws core::NumericalError  a state that is not finite; a balance residual above 1e-6
[[nodiscard]] Trace run(const network::Cabin& cabin, const forcing::Forcing& forcing,
                        const scenario::Scenario& scenario, const Options& options);

/// A run to do together with others; nothing is copied.
struct Job {
  const network::Cabin* cabin = nullptr;
  const forcing::Forcing* forcing = nullptr;
  const scenario::Scenario* scenario = nullptr;
  const Options* options = nullptr;
};
/// What came of it: a trace, or what run() would have thrown.
struct Result {
  Trace trace;
  std::exception_ptr failure;
};
/// Runs whose networks may step side by side.
inline constexpr int kMostLanes = 8;

/// Runs up to kMostLanes jobs side by side in the lanes of one stepper. They may differ in
/// everything. Each result is the same to the last bit as that of run() alone, whoever the others
/// are; one that fails does not touch them.
[[nodiscard]] std::vector<Result> run_together(std::span<const Job> jobs);

}  // namespace cabinload::simulation
