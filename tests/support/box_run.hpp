// SPDX-License-Identifier: Apache-2.0
// A published box through the ordinary reader: scenario file in, hours out.
#pragma once
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/run.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <memory>
#include <string>
#include <vector>

namespace cabinload::test {

struct BoxRun {
  scenario::Scenario scenario;
  weather::Series weather;
  forcing::Forcing forcing;
  simulation::Trace trace;
};

/// @param weather_path  instead of the scenario's own file; "" keeps it (or its typed day)
inline BoxRun run_box(const std::string& scenario_path, const std::string& weather_path,
                      const std::vector<scenario::Override>& overrides = {},
                      std::optional<int> step_trace_night = {}, bool unit_enabled = false) {
  BoxRun box;
  std::vector<scenario::Override> all = overrides;
  if (!weather_path.empty()) all.push_back({"weather.file", weather_path, "--set"});
  box.scenario = scenario::read(scenario_path, all);
  box.weather = box.scenario.weather.day ? weather::make(*box.scenario.weather.day)
                                         : weather::read(box.scenario.weather.file);
  box.forcing = forcing::make(box.weather, box.scenario.site, box.scenario.vehicle);
  const network::Cabin cabin = network::assemble(box.scenario.vehicle);
  simulation::Options options;
  options.unit_enabled = unit_enabled;
  options.step_trace_night = step_trace_night;
  box.trace = simulation::run(cabin, box.forcing, box.scenario, options);
  return box;
}

}  // namespace cabinload::test
