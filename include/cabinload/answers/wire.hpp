// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/answers/common.hpp>
#include <cabinload/simulation/trace.hpp>
#include <cabinload/wiring/run.hpp>
#include <optional>
#include <string>
#include <vector>

namespace cabinload::answers {

/// Another way of the same run, tried because nobody can route the one described.
struct WireWay {
  std::string words;               ///< "insulation rated 105 degC"
  double ambient_degC = 0;         ///< where it then lies
  std::optional<wiring::Run> run;  ///< at the unit's voltage (12 V where it has none of the three);
                                   ///< empty: hotter than the tables have
};

/// The answer to `wire`: conductor, drop and fuse of the run from the battery to the unit, at 12,
/// 24 and 48 V side by side, where the simulation found it hottest.
struct Wire {
  Header header;
  double power_W = 0;
  bool power_stated = false;  ///< by cable.power; else the unit's full power
  scenario::CablePlace place = scenario::CablePlace::roof_cavity;
  double ambient_degC = 0;      ///< as found, rounded up to 0.1 K; or stated
  bool ambient_stated = false;  ///< by cable.ambient
  simulation::Hottest hottest;  ///< unit off, vehicle closed
  int first_day = 0;            ///< of the weather: day 0 of `hottest`
  double length_m = 0, insulation_degC = 0, terminal_degC = 0, allowed_drop_1 = 0;
  int conductors_together = 2;
  std::array<wiring::Run, 3> runs;
  std::optional<std::size_t> own;  ///< in `runs`: the unit's voltage; empty: none of them
  /// Rules applied, each once; those of one voltage alone say so.
  std::vector<wiring::Note> rules;
  double residual_relative = 0;
  double paint_added_1 = 0;   ///< solar absorptance over the paint's own: dirt, age
  std::vector<WireWay> ways;  ///< empty when met()

  /// Somebody can route it: at the unit's voltage, or at any when the unit has none of the three.
  [[nodiscard]] bool met() const;
};

/// The scenario as it is simulated for a cable: closed by day and night (no vent, opening or fan),
/// nothing that heats or cools, the paint as dirty and old as uncertainty.paint has it at most. Run
/// it with the unit off.
[[nodiscard]] scenario::Scenario closed_up(const scenario::Scenario& scenario);

/// The hotter of each place.
[[nodiscard]] simulation::Hottest hotter(const simulation::Hottest& a,
                                         const simulation::Hottest& b);

/// Full power of a unit [W]: the most electricity at full speed with its rated return air, from its
/// rating point up to the condenser air at which it cuts out, fans and controls included.
[[nodiscard]] double full_power_W(const unit::Description& unit);

/// @param closed  closed_up() of the scenario, unit off: where it was hottest, how its accounts
///                closed
/// @throws core::InputError  the ambient found is above what the insulation's table has, or the
///                           vehicle has no roof for the cable to lie in
[[nodiscard]] Wire wire(const simulation::Trace& closed, const scenario::Scenario& scenario,
                        const weather::Series& weather);

/// Stored energy, the fuse at the source, ventilation, licensed work: always in the same order.
[[nodiscard]] std::vector<Caution> wire_cautions();

}  // namespace cabinload::answers
