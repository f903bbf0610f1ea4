// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <vector>

#include "../../src/simulation/step_clock.hpp"
#include "support/catch.hpp"

namespace core = cabinload::core;
namespace scenario = cabinload::scenario;
namespace simulation = cabinload::simulation;

namespace {

constexpr double kDay_s = 86400;

scenario::Scenario on_from(const char* hours) {
  scenario::Scenario s;
  s.step_s = 120;
  s.idle_step_s = 300;
  s.unit_on = core::DaySchedule::parse(hours);
  return s;
}

/// Beginnings of all steps up to an end, which the last step meets.
std::vector<double> beginnings(const scenario::Scenario& s, const simulation::Options& options,
                               double from_s, double to_s) {
  simulation::StepClock clock(s, options);
  clock.start(from_s);
  std::vector<double> all;
  while (clock.t_s() < to_s) {
    (void)clock.choose();
    all.push_back(clock.t_s());
    const bool off = !options.unit_enabled ||
                     !s.unit_on.active(core::second_of_day(clock.t_s() + 0.5 * clock.dt_s()));
    CHECK(clock.dt_s() == (clock.idle() ? s.idle_step_s : s.step_s));
    if (clock.idle()) CHECK(off);
    clock.advance();
  }
  CHECK(clock.t_s() == to_s);
  CHECK(clock.steps() == all.size());
  return all;
}

bool holds(const std::vector<double>& all, double t_s) {
  return std::find(all.begin(), all.end(), t_s) != all.end();
}

}  // namespace

TEST_CASE("simulation: steps are long while the unit is not scheduled", "[simulation][unit]") {
  const auto s = on_from("21:00-07:00");
  const auto all = beginnings(s, {}, -2 * kDay_s, kDay_s);
  CHECK(all.size() == 3 * (10 * 30 + 14 * 12));
  for (const double h : {7.0, 21.0}) CHECK(holds(all, h * 3600));  // the schedule falls between two
  simulation::Options off;
  off.unit_enabled = false;
  CHECK(beginnings(s, off, 0, kDay_s).size() == 288);
  CHECK(beginnings(on_from("always"), {}, 0, kDay_s).size() == 720);
  CHECK(beginnings(on_from("never"), {}, 0, kDay_s).size() == 288);
}

TEST_CASE("simulation: a start between two long steps waits for the next", "[simulation][unit]") {
  const auto all = beginnings(on_from("never"), {}, -240, 600);
  CHECK(all == std::vector<double>{-240, -120, 0, 300});
}

TEST_CASE("simulation: some runs have no long steps", "[simulation][unit]") {
  auto s = on_from("21:00-07:00");
  simulation::Options options;
  CHECK(simulation::idles(s, options));
  options.window = simulation::Window{};
  CHECK_FALSE(simulation::idles(s, options));
  CHECK(beginnings(s, options, 0, kDay_s).size() == 720);
  options.window.reset();
  options.failing = simulation::Failing{};
  CHECK_FALSE(simulation::idles(s, options));
  options.failing.reset();
  s.step_s = 60;
  CHECK_FALSE(simulation::idles(s, options));
  s.step_s = 120;
  s.ideal.cool_to_K = core::DayProfile(298);
  CHECK_FALSE(simulation::idles(s, options));
}
