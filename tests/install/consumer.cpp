// SPDX-License-Identifier: Apache-2.0
// A program of somebody else, against the installed library: the way of the data in ten lines.
#include <cabinload/answers/hold.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/study/runner.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <iostream>

int main() {
  using namespace cabinload;
  const auto scenario = scenario::read("", {{"night.from", "07-10"}, {"night.to", "07-16"}});
  const auto weather = weather::read(weather::shipped_folder() + "/722740TYA.CSV");
  const auto forcing = forcing::make(weather, scenario.site, scenario.vehicle);
  const auto cabin = network::assemble(scenario.vehicle);
  simulation::Options with_unit, without_unit;
  without_unit.unit_enabled = false;
  const study::Case cases[] = {{"with unit", &cabin, &forcing, &scenario, with_unit},
                               {"without", &cabin, &forcing, &scenario, without_unit}};
  const auto traces = study::run(cases);
  std::cout << report::json(answers::hold(traces[0], traces[1], scenario, weather));
}
