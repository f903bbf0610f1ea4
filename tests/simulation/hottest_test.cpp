// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/simulation/observers.hpp>
#include <cmath>
#include <limits>

#include "support/catch.hpp"
#include "support/sample_run.hpp"

namespace network = cabinload::network;
namespace simulation = cabinload::simulation;
namespace test = cabinload::test;

namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

simulation::Trace run(const cabinload::scenario::Scenario& scenario, bool unit_enabled) {
  const network::Cabin cabin = network::assemble(scenario.vehicle);
  simulation::Options options;
  options.unit_enabled = unit_enabled;
  options.step_trace_night = 2;
  return simulation::run(cabin, test::sample_forcing(5 * 24, 31, 8), scenario, options);
}

}  // namespace

TEST_CASE("simulation: the hottest step is kept with its time, the first of equals",
          "[simulation][unit]") {
  simulation::Hottest hottest;
  simulation::HottestObserver observer(hottest);
  CHECK(std::isnan(hottest.cabin_air.T_K));
  const double air_K[] = {300, 310, 305, 310}, skin_K[] = {kNaN, 330, 350, 340};
  for (int i = 0; i < 4; ++i) {
    simulation::Step s;
    s.t_s = 60.0 * (i + 1);
    s.T_air_K = air_K[i];
    s.T_roof_surface_K = skin_K[i];
    s.T_out_K = 300 + i;
    observer.step(s);
  }
  CHECK(hottest.cabin_air.T_K == 310);
  CHECK(hottest.cabin_air.t_s == 120);
  CHECK(hottest.outdoors.T_K == 303);
  CHECK(hottest.roof_surface.T_K == 350);
  CHECK(hottest.roof_surface.t_s == 180);
  CHECK(std::isnan(hottest.roof_cavity.T_K));  // no such place
}

TEST_CASE("simulation: the hottest of a run is that of its steps, hours and faces",
          "[simulation][property]") {
  const auto scenario = test::sample_scenario();
  const auto off = run(scenario, false);
  const auto& hours = off.hourly.T_air_max_K;
  CHECK(off.hottest.cabin_air.T_K == *std::max_element(hours.begin(), hours.end()));
  // The kept night lies within the run: never hotter; its cavity lies between the roof's faces.
  REQUIRE(off.window.steps.size() == 1440);
  for (const auto& s : off.window.steps) {
    CHECK(s.T_roof_cavity_K <= off.hottest.roof_cavity.T_K);
    CHECK(s.T_roof_surface_K <= off.hottest.roof_surface.T_K);
  }
  // A roof in the sun: its skin is hotter than the cavity, and both are hotter than outdoors.
  CHECK(off.hottest.roof_surface.T_K > off.hottest.roof_cavity.T_K + 1);
  CHECK(off.hottest.roof_cavity.T_K > cabinload::core::to_kelvin(39) + 1);
  // A unit that cools by night leaves the roof's noon hardly cooler, never hotter.
  const auto on = run(scenario, true);
  CHECK(on.hottest.roof_cavity.T_K <= off.hottest.roof_cavity.T_K + 1e-9);
}

TEST_CASE("simulation: without a face that looks up there is no roof to be hot",
          "[simulation][unit]") {
  auto scenario = test::sample_scenario();
  for (auto& s : scenario.vehicle.surfaces)
    if (s.tilt_rad < 0.1) s.outside = cabinload::vehicle::Outside::underbody;
  const auto trace = run(scenario, false);
  CHECK(std::isnan(trace.hottest.roof_cavity.T_K));
  CHECK(std::isnan(trace.hottest.roof_surface.T_K));
  CHECK(trace.hottest.cabin_air.T_K > 300);
}
