// SPDX-License-Identifier: Apache-2.0
// What commands compute, for those that lay several answers side by side. Each stands in the file
// of its command.
#pragma once
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/pets.hpp>
#include <cabinload/answers/what_helps.hpp>
#include <cabinload/answers/wire.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/simulation/failures.hpp>
#include <cabinload/simulation/trace.hpp>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "command.hpp"
#include "progress_line.hpp"

namespace cabinload::cli {

/// Before the work of an answer about nights.
/// @throws core::InputError  the set point keeps the bed above the sleeper's limit
void require_limit_in_reach(const scenario::Scenario& scenario);

/// Dates to look at more closely; empty: none.
struct Closer {
  std::string steps, cycles;
  std::string why;  ///< "true": the hardest night
};

/// One vehicle as it stands: both runs and what they say.
struct HoldRun {
  forcing::Forcing forcing;
  network::Cabin cabin;
  std::vector<simulation::Trace> traces;  // unit on, unit off
  answers::Hold answer;
};
/// The whole way of the data. A heading that is to be the worst one is set in the scenario.
[[nodiscard]] HoldRun hold_run(scenario::Scenario& scenario, const weather::Series& weather,
                               const Closer& closer, ProgressLine& line);

[[nodiscard]] answers::Wire wire_run(const scenario::Scenario& scenario,
                                     const weather::Series& weather);

/// The scenario with an animal in it, and a limit that the set point can keep.
/// @throws core::InputError  no animal, or the set point is above its limit
[[nodiscard]] scenario::Scenario with_animals(const ScenarioOptions& options);
struct PetsRun {
  simulation::Failures runs;
  answers::Pets answer;
};
/// @param scenario  by with_animals()
[[nodiscard]] PetsRun pets_run(scenario::Scenario& scenario, const weather::Series& weather,
                               ProgressLine& line);

struct HelpsAsked {
  answers::HelpBy by = answers::HelpBy::nights;
  std::map<std::string, double> costs;
  bool pairs = true;    ///< the best also two by two
  std::string why;      ///< a night to explain: "true" the hardest, or a date; "" none
  bool minutes = true;  ///< from a failure to an animal's limit; else 0
};
/// @throws core::InputError  vehicle.heading is "worst"
[[nodiscard]] answers::Helps helps_run(const ScenarioOptions& options,
                                       const weather::Series& weather, const HelpsAsked& asked,
                                       const std::function<void(double share_1)>& progress);

}  // namespace cabinload::cli
