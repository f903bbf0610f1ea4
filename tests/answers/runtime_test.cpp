// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/runtime.hpp>
#include <cmath>
#include <limits>

#include "support/catch.hpp"
#include "support/sample_run.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace power = cabinload::power;
namespace simulation = cabinload::simulation;
namespace test = cabinload::test;

namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kFrom_s = 2 * 86400 + 22 * 3600;  // the third day's evening

/// Minutes made up by hand: 600 W for an hour, then 200 W of a unit that runs half the time.
simulation::Trace made_up(int minutes) {
  simulation::Trace trace;
  for (int i = 0; i < minutes; ++i) {
    simulation::Step s;
    s.dt_s = 60;
    s.t_s = kFrom_s + 60.0 * (i + 1);
    s.unit_electric_W = i < 60 ? 600 : 200;
    s.unit_running_W = i < 60 ? 600 : 400;
    s.compressor_on_1 = i < 60 ? 1 : 0.5;
    s.other_W = 30;
    s.solar_W = i < 60 ? 0 : 50;
    s.T_out_K = 300;
    s.T_bed_K = 298;
    s.hours_displayed = i < 60 ? 3 : 4;
    s.state_of_charge_1 = 0.9 - 0.001 * (i + 1);
    trace.window.steps.push_back(s);
  }
  return trace;
}

answers::Runtime answer(const simulation::Trace& trace) {
  cabinload::weather::Series weather;
  weather.place.name = "Invented";
  weather.first_day = 100;
  return answers::runtime(trace, {kFrom_s, 48, 0.9}, test::sample_scenario(), weather);
}

}  // namespace

TEST_CASE("answers: a runtime adds up its steps, to the second of its end", "[answers][unit]") {
  auto trace = made_up(150);
  trace.cut_s = kFrom_s + 149.5 * 60;
  trace.events = {{power::EventKind::empty, trace.cut_s}};
  const auto a = answer(trace);
  CHECK(a.ran_empty());
  CHECK_FALSE(a.by_voltage);
  CHECK_WITHIN(a.hours_to_empty, 149.5 / 60, 1e-12);
  CHECK(core::day_index(a.date) == 102);
  CHECK(a.second_of_day == 22 * 3600.0);
  CHECK(a.hours_displayed_at_start == 3);
  CHECK_WITHIN(a.used_Wh, 600 + 200 * 1.5 + 30 * 2.5, 1e-9);
  CHECK_WITHIN(a.unit_Wh, 600 + 200 * 1.5, 1e-9);
  CHECK_WITHIN(a.first_hour_W, 630, 1e-9);
  CHECK_WITHIN(a.mean_W, a.used_Wh / a.hours_to_empty, 1e-9);
  CHECK_WITHIN(a.solar_Wh, 75, 1e-9);
  // 0.15 of 2400 Wh left the battery.
  CHECK_WITHIN(a.lost_Wh, 0.15 * 2400 + 75 - a.used_Wh, 1e-9);
  CHECK_WITHIN(a.usable_Wh, 0.8 * 2400, 1e-9);
  CHECK_WITHIN(a.duty_1, 1.75 / a.hours_to_empty, 1e-9);
  CHECK_WITHIN(a.running_W, (600 + 400 * 0.75) / 1.75, 1e-9);
  REQUIRE(a.path.size() == 3);
  CHECK(a.path[0].state_of_charge_1 == 0.9);
  CHECK_WITHIN(a.path[1].state_of_charge_1, 0.84, 1e-12);
  CHECK(a.path[2].second_of_day == 0);
  CHECK(core::day_index(a.path[2].date) == 103);
  CHECK_WITHIN(a.path[2].hours, 29.5 / 60, 1e-12);
  CHECK_WITHIN(a.path[1].unit_W, 200, 1e-9);
  CHECK_WITHIN(a.path[1].solar_W, 50, 1e-9);
  CHECK_WITHIN(a.path[2].T_bed_K, 298, 1e-9);
  CHECK(a.path[1].hours_displayed == 4);
  double used_Wh = 0;
  for (const auto& h : a.path) used_Wh += (h.unit_W + h.other_W) * h.hours;
  CHECK_WITHIN(used_Wh, a.used_Wh, 1e-9);
}

TEST_CASE("answers: a runtime without end, and one that low voltage ends", "[answers][unit]") {
  auto trace = made_up(120);
  auto a = answer(trace);
  CHECK_FALSE(a.ran_empty());
  CHECK(std::isnan(a.hours_to_empty));
  CHECK(a.path.size() == 2);
  CHECK_WITHIN(a.mean_W, a.used_Wh / 2, 1e-9);
  trace.cut_s = kFrom_s + 7200;
  trace.events = {{power::EventKind::shore_trip, kFrom_s + 60},
                  {power::EventKind::low_voltage, trace.cut_s}};
  // A trip is told only where the scenario has a pitch; here it has.
  auto scenario = test::sample_scenario();
  scenario.supply.shore.emplace();
  cabinload::weather::Series weather;
  a = answers::runtime(trace, {kFrom_s, 48, 0.9}, scenario, weather);
  CHECK(a.by_voltage);
  REQUIRE_FALSE(a.header.warnings.empty());
  CHECK_THAT(a.header.warnings.back(), test::contains("trips on 3 January at 22:01"));
}

TEST_CASE("answers: a runtime tells what kept the unit from running", "[answers][unit]") {
  auto trace = made_up(60);
  for (auto& s : trace.window.steps) s.limit = simulation::Limit::supply_limit, s.battery_K = 300;
  CHECK_THAT(answer(trace).header.warnings.back(),
             test::contains("for 1.0 h it could not give") && !test::contains("too hot"));
  CHECK_WITHIN(answer(trace).limited_h, 1, 1e-9);
  // Of the cells' temperature the run itself tells.
  trace.cells = {1.0, 0, 0.4, 326.15, 324};
  const auto told = answer(trace).header.warnings;
  CHECK(std::any_of(told.begin(), told.end(), [](const std::string& w) {
    return w.find(
               "for 1.0 h its cells were too hot to give what was asked, up to 53 °C, in 0.4 h "
               "nothing at all") != std::string::npos;
  }));
  trace.cells = {0, 2.0, 0, 262.15, 261.15};
  CHECK_THAT(answer(trace).header.warnings[0],
             test::contains("for 2.0 h its cells were too cold") &&
                 test::contains("down to -12 °C") && !test::contains("nothing"));
  trace.cells = {};
  for (auto& s : trace.window.steps) s.unserved_W = 20;
  CHECK_WITHIN(answer(trace).unserved_Wh, 20, 1e-9);
  CHECK_WITHIN(answer(trace).path[0].unserved_W, 20, 1e-9);
  CHECK_THAT(answer(trace).header.warnings.back(), test::contains("20 Wh that other loads asked"));
  for (auto& s : trace.window.steps) s.limit = simulation::Limit::cut_out;
  CHECK_THAT(answer(trace).header.warnings.back(), test::contains("for 1.0 h it stood still"));
}

TEST_CASE("answers: a runtime says what it rests on, not what a night would", "[answers][unit]") {
  const auto a = answer(made_up(60));
  int about = 0;
  for (const auto& x : a.header.assumptions) {
    if (x.key == "unit.on") {
      ++about;
      CHECK_THAT(x.text,
                 test::contains("asked on from 13 April 22:00") && test::contains("21:00-07:00"));
    }
    if (x.key == "battery.full_at") {
      ++about;
      CHECK_THAT(x.text, test::contains("at 90 %") && test::contains("nothing charges it"));
    }
  }
  CHECK(about == 2);
  CHECK(a.header.cautions.size() == answers::standing_cautions().size());
  // Lead-acid cells give off gas: one caution more, after that about stored energy.
  auto lead = test::sample_scenario();
  lead.supply.bank = power::bank_of(power::Chemistry::agm, 2400 * 3600.0, 24);
  const auto cautions =
      answers::runtime(made_up(60), {kFrom_s, 48, 0.9}, lead, cabinload::weather::Series{})
          .header.cautions;
  REQUIRE(cautions.size() == answers::standing_cautions().size() + 1);
  CHECK(cautions[2].id == "stored_energy");
  CHECK(cautions[3].id == "ventilation");
  CHECK_THAT(cautions[3].text, test::contains("hydrogen"));
}

TEST_CASE("answers: without a date the evening with the warmest 12 hours is taken",
          "[answers][unit]") {
  auto f = test::sample_forcing(10 * 24, 28, 6);
  for (std::size_t h = 6 * 24 + 23; h < 7 * 24 + 5; ++h) f.T_out_K[h] += 4;  // a warm night
  CHECK(answers::warmest_evening(f, {0, 10}, 21 * 3600.0) == 6);
  CHECK(answers::warmest_evening(f, {0, 5}, 21 * 3600.0) < 5);
  CHECK(answers::warmest_evening(f, {7, 3}, 21 * 3600.0) >= 7);
  CHECK(answers::warmest_evening(f, {8, 5}, 21 * 3600.0) < 10);  // a period over the end
}

TEST_CASE("answers: what was missing is counted from empty to the end of the sleep window",
          "[answers][unit]") {
  // Sleep 22:00 to 07:00, account from noon; the second night is empty at 01:20.
  auto scenario = test::sample_scenario();
  simulation::Trace with, ample;
  answers::Hold hold;
  for (simulation::Trace* t : {&with, &ample}) {
    t->hourly.start_s = 30 * 86400.0;
    t->hourly.unit_electric_W.assign(3 * 24 + 12, 100.0);
  }
  // The ample run covers the one night that ran empty.
  ample.hourly.unit_electric_W.assign(24 + 12, 100.0);
  for (int i = 0; i < 3; ++i) {
    answers::HoldNight n;
    n.date = core::date_of(30 + i);
    n.battery_empty_second_of_day = i == 1 ? 3600 + 20 * 60.0 : kNaN;
    hold.each_night.push_back(n);
  }
  const std::size_t midnight = 2 * 24;                    // after the second evening
  with.hourly.unit_electric_W[midnight + 1] = 100.0 / 3;  // until 01:20
  for (std::size_t h = midnight + 2; h < midnight + 12; ++h) with.hourly.unit_electric_W[h] = 0;
  CHECK(answers::ran_empty(hold));
  answers::add_missing(hold, with, ample, scenario.night);
  CHECK_WITHIN(hold.each_night[1].missing_Wh, 100 * (5 + 2.0 / 3), 1e-9);  // 01:20 to 07:00
  CHECK(hold.each_night[0].missing_Wh == 0);
  CHECK(hold.each_night[2].missing_Wh == 0);
  // Empty after the window: nothing was missing in it.
  hold.each_night[1].missing_Wh = 0;
  hold.each_night[1].battery_empty_second_of_day = 8 * 3600.0;
  answers::add_missing(hold, with, ample, scenario.night);
  CHECK(hold.each_night[1].missing_Wh == 0);
  // A day sleeper's account begins at midnight and ends with the window, at 16:30.
  scenario.night.sleep_start_s = 8 * 3600.0;
  scenario.night.sleep_end_s = 16.5 * 3600.0;
  hold.each_night[1].battery_empty_second_of_day = 14 * 3600.0;
  const std::size_t day = 24;
  for (std::size_t h = day + 14; h < day + 24; ++h) with.hourly.unit_electric_W[h] = 40;
  answers::add_missing(hold, with, ample, scenario.night);
  CHECK_WITHIN(hold.each_night[1].missing_Wh, 60 * 2.5, 1e-9);
}

TEST_CASE("answers: an ample battery neither ends nor warms the cabin", "[answers][unit]") {
  const auto s = test::sample_scenario();
  answers::Hold hold;
  for (int i = 0; i < 5; ++i) {
    answers::HoldNight n;
    n.date = core::date_of(30 + i);
    n.battery_empty_second_of_day = i == 1 || i == 3 ? 3600.0 : kNaN;
    hold.each_night.push_back(n);
  }
  const auto ample = answers::ample_scenario(s, hold);
  CHECK(core::day_index(*ample.night.from) == 31);
  CHECK(core::day_index(*ample.night.to) == 33);
  CHECK(ample.supply.bank.nominal_energy_J > 1000 * s.supply.bank.nominal_energy_J);
  CHECK(ample.supply.bank.cells.self_discharge_1_s == 0);
  CHECK(ample.supply.bank.ua_W_K == s.supply.bank.ua_W_K);
  CHECK_NOTHROW(power::Supply(ample.supply));
}
