// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <vector>

#include "../../src/simulation/step_clock.hpp"
#include "support/catch.hpp"

namespace core = cabinload::core;
namespace scenario = cabinload::scenario;
namespace simulation = cabinload::simulation;
using simulation::Pace;

namespace {

constexpr double kDay_s = 86400;

scenario::Scenario on_from(const char* hours) {
  scenario::Scenario s;
  s.step_s = 120;
  s.idle_step_s = s.day_step_s = 300;
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
    (void)clock.choose(false, false);
    all.push_back(clock.t_s());
    const bool off = !options.unit_enabled ||
                     !s.unit_on.active(core::second_of_day(clock.t_s() + 0.5 * clock.dt_s()));
    CHECK(clock.dt_s() == step_of(s, clock.pace()));
    if (clock.pace() != Pace::busy) CHECK(off);
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

TEST_CASE("simulation: steps are long while there is nothing to cool", "[simulation][unit]") {
  const auto s = on_from("always");
  simulation::StepClock clock(s, {});
  clock.start(0);
  std::vector<double> long_from;
  while (clock.t_s() < 7200) {
    const bool was_idle = clock.pace() != Pace::busy;
    (void)clock.choose(clock.t_s() >= 1500 && clock.t_s() < 3900, false);
    if (clock.pace() != Pace::busy && !was_idle) long_from.push_back(clock.t_s());
    if (clock.pace() == Pace::busy && was_idle) CHECK(clock.t_s() == 3900);
    clock.advance();
  }
  CHECK(long_from == std::vector<double>{1800});  // where both lengths begin a step
}

TEST_CASE("simulation: steps are longest by day", "[simulation][unit]") {
  auto s = on_from("20:00-08:00");
  s.day_step_s = 600;
  s.night.sleep_start_s = 22 * 3600;
  s.night.sleep_end_s = 7 * 3600;
  // Two hours before the unit may run, or anybody sleeps, they are idle ones again.
  const auto day_from_to = [&](const simulation::Options& options) {
    simulation::StepClock clock(s, options);
    clock.start(0);
    std::vector<double> hours;
    for (Pace before = Pace::busy; clock.t_s() < kDay_s; clock.advance()) {
      (void)clock.choose(false, false);
      if ((clock.pace() == Pace::day) != (before == Pace::day)) hours.push_back(clock.t_s() / 3600);
      before = clock.pace();
    }
    CHECK(clock.t_s() == kDay_s);
    return hours;
  };
  simulation::Options nights;
  nights.hours = false;
  CHECK(day_from_to(nights) == std::vector<double>{8, 18});
  CHECK(day_from_to({}).empty());  // somebody looks at the hours
  simulation::Options off = nights;
  off.unit_enabled = false;
  CHECK(day_from_to(off) == std::vector<double>{7, 20});
  s.unit_on = core::DaySchedule::parse("always");
  CHECK(day_from_to(nights).empty());
  // Nor are nights looked at closely that nothing endangers.
  simulation::StepClock cool(s, off);
  cool.start(0);
  (void)cool.choose(false, true);
  CHECK(cool.pace() == Pace::day);
  simulation::StepClock seen(s, {});
  seen.start(0);
  (void)seen.choose(true, true);
  CHECK(seen.pace() == Pace::idle);
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
