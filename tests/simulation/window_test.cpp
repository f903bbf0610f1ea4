// SPDX-License-Identifier: Apache-2.0
// A charge that runs out from a moment on, and what the supply leaves in a trace.
#include <cmath>

#include "support/catch.hpp"
#include "support/sample_run.hpp"

namespace core = cabinload::core;
namespace power = cabinload::power;
namespace simulation = cabinload::simulation;
namespace test = cabinload::test;

namespace {

constexpr double kDay_s = 86400;
constexpr std::size_t kWeek_h = 7 * 24;

/// Alone with the battery: it stands outdoors at 25 degC, nothing but the appliance draws.
cabinload::scenario::Scenario appliance_of(const core::DayProfile& power_W) {
  auto s = test::sample_scenario();
  s.supply.bank = power::bank_of(power::Chemistry::lfp, 2400 * 3600.0, 24);
  s.supply.bank.place = power::Place::outside;
  s.supply.electronics = power::Place::outside;
  s.appliances = {{"appliance", power_W, 1, 0.4, 0, true, core::DaySchedule::always()}};
  return s;
}

simulation::Trace run_from(const cabinload::scenario::Scenario& scenario,
                           const cabinload::forcing::Forcing& forcing,
                           const simulation::Window& window, bool unit_enabled = false) {
  simulation::Options options;
  options.window = window;
  options.unit_enabled = unit_enabled;
  return simulation::run(cabinload::network::assemble(scenario.vehicle), forcing, scenario,
                         options);
}

double hours_of(const simulation::Trace& trace, const simulation::Window& window) {
  return (trace.cut_s - window.from_s) / 3600;
}

/// Seconds that a charge lasts at constant power, from 25 degC table values: on each straight
/// piece of the voltage at rest E = a + b q, P = I (E - I R) gives 1/I = (E + sqrt(E^2 - 4 R P)) /
/// (2 P), whose integral over q is in closed form.
double closed_form_s(const power::BankDescription& d, double P, double from_1, double to_1) {
  const double V = power::rated_V(d), capacity_C = d.nominal_energy_J / V;
  const double c = 4 * d.cells.resistance_h * V * V / (d.nominal_energy_J / 3600) * P;
  const auto& points = d.cells.open_1.points;
  double seconds = 0;
  for (std::size_t i = 1; i < points.size(); ++i) {
    const double low = std::max(to_1, points[i - 1].x), high = std::min(from_1, points[i].x);
    if (high <= low) continue;
    const auto E = [&](double x) { return d.cells.open_1.at(x) * d.nominal_V; };
    const auto F = [&](double e) {
      const double root = std::sqrt(e * e - c);
      return e * e / 2 + (e * root - c * std::log(e + root)) / 2;
    };
    const double slope = (E(high) - E(low)) / ((high - low) * capacity_C);
    seconds += (F(E(high)) - F(E(low))) / (2 * P * slope);
  }
  return seconds;
}

core::DayProfile by_clock(const std::string& text) {
  return core::DayProfile::parse(text, core::Quantity::power);
}

}  // namespace

TEST_CASE("simulation: a constant load empties a charge when the closed form says",
          "[simulation][published]") {
  // Bar 0.1 %: what remains is warming by its own losses and self-discharge.
  const auto forcing = test::sample_forcing(kWeek_h, 25, 0);
  for (const double P : {60.0, 300.0, 900.0})
    for (const double charge_1 : {1.0, 0.8, 0.35}) {
      auto scenario = appliance_of(core::DayProfile(P));
      scenario.supply.bank.disconnect_V = 0;  // the window ends it, not the voltage
      const simulation::Window w{3 * kDay_s + 21 * 3600, 48, charge_1};
      const auto trace = run_from(scenario, forcing, w);
      INFO(P << " W from " << charge_1);
      const double closed_s =
          closed_form_s(scenario.supply.bank, P, charge_1, scenario.supply.bank.usable_low_1);
      CHECK_RELATIVE(trace.cut_s - w.from_s, closed_s, 0.001);
      CHECK_WITHIN(trace.window.steps.back().state_of_charge_1, 0.1, 1e-9);
      REQUIRE(trace.events.size() == 1);
      CHECK(trace.events[0].kind == power::EventKind::empty);
      // A display of a constant load errs by voltage and losses only.
      const double displayed_h = trace.window.steps.front().hours_displayed;
      CHECK_RELATIVE(displayed_h, (charge_1 - 0.1) * 2400 / P - 1.0 / 60, 0.002);
      CHECK_RELATIVE(displayed_h, closed_s / 3600, 0.05);
      CHECK(trace.balance.worst() < 1e-9);
    }
}

TEST_CASE("simulation: a display is wrong by the load's change, in sign and size",
          "[simulation][unit]") {
  // 600 W for an hour, then 150 W: 2160 Wh last 1 h + (E - 600 Wh) / 150 W, E what the cells give;
  // the display starts with 2160 / 600 = 3.6 h. The other way round it starts with 14.4 h.
  const auto forcing = test::sample_forcing(kWeek_h, 25, 0);
  const simulation::Window w{3 * kDay_s + 21 * 3600, 48, 1};
  const auto check = [&](const char* profile, double first_W, double later_W) {
    auto scenario = appliance_of(by_clock(profile));
    scenario.supply.bank.disconnect_V = 0;
    const auto trace = run_from(scenario, forcing, w);
    const double start_h = trace.window.steps.front().hours_displayed;
    CHECK_RELATIVE(start_h, 2160 / first_W, 0.006);
    // The charge at which the load changes, then the closed form of either part.
    const power::BankDescription& d = scenario.supply.bank;
    double low_1 = d.usable_low_1, high_1 = 1;
    while (high_1 - low_1 > 1e-9) {
      const double middle_1 = 0.5 * (low_1 + high_1);
      (closed_form_s(d, first_W, 1, middle_1) > 3600 ? low_1 : high_1) = middle_1;
    }
    const double truth_h = 1 + closed_form_s(d, later_W, low_1, d.usable_low_1) / 3600;
    CHECK_RELATIVE(hours_of(trace, w), truth_h, 0.001);
    const auto& later = trace.window.steps[90];  // half an hour after the change
    const double left_h = (trace.cut_s - later.t_s) / 3600;
    CHECK_RELATIVE(later.hours_displayed, left_h, 0.05);
    return start_h / truth_h;
  };
  const double falling_1 = check("21:00 600 W, 22:00 150 W", 600, 150);
  CHECK(falling_1 > 0.3);
  CHECK(falling_1 < 0.32);  // 3.6 h of 11.8 h
  const double rising_1 = check("21:00 150 W, 22:00 600 W", 150, 600);
  CHECK(rising_1 > 3.0);
  CHECK(rising_1 < 3.3);  // 14.4 h of 4.5 h
}

TEST_CASE("simulation: a charge from a moment on is the night's, until it ends",
          "[simulation][property]") {
  auto scenario = test::sample_scenario();
  scenario.supply.bank = power::bank_of(power::Chemistry::lfp, 900 * 3600.0, 24);
  scenario.battery_full_at_s = 21 * 3600.0;
  const auto forcing = test::sample_forcing(kWeek_h, 33, 7);
  simulation::Options options;
  options.step_trace_night = 4;
  const auto nights =
      simulation::run(cabinload::network::assemble(scenario.vehicle), forcing, scenario, options);
  // The window's warm-up is as long as its scenario says: as long as the nights before.
  scenario.start.warm_up_days = 8;
  const simulation::Window w{4 * kDay_s + 21 * 3600, 48, 1};
  const auto trace = run_from(scenario, forcing, w, true);
  REQUIRE(std::isfinite(trace.cut_s));
  CHECK(hours_of(trace, w) > 1);
  const std::size_t at = 9 * 60;  // the night's account begins at noon
  for (std::size_t i = 0; i + 1 < trace.window.steps.size(); ++i) {
    const auto &a = trace.window.steps[i], &b = nights.window.steps[at + i];
    REQUIRE(a.t_s == b.t_s);
    CHECK_WITHIN(a.T_air_K, b.T_air_K, 0.01);
    CHECK_WITHIN(a.state_of_charge_1, b.state_of_charge_1, 1e-3);
  }
  CHECK_WITHIN(std::fmod(trace.cut_s, kDay_s), nights.nights[4].battery_empty_second_of_day, 120);
}

TEST_CASE("simulation: nothing but what is simulated charges it from the moment on",
          "[simulation][unit]") {
  auto scenario = test::sample_scenario();
  scenario.battery_full_at_s = 18 * 3600.0;
  scenario.unit_on = core::DaySchedule();  // asked on all the same
  const auto hot = test::sample_forcing(kWeek_h, 36, 6);
  const simulation::Window w{3 * kDay_s + 17 * 3600, 48, 0.5};
  const auto trace = run_from(scenario, hot, w, true);
  CHECK(trace.electric_total_Wh > 500);
  CHECK(hours_of(trace, w) < 6);
  double before_1 = 0.5;
  for (const auto& s : trace.window.steps) {
    CHECK(s.state_of_charge_1 <= before_1);
    CHECK(s.unit_scheduled);
    before_1 = s.state_of_charge_1;
  }
  // Nothing drawn: not empty in the time looked at, and a display without end.
  const auto idle = run_from(scenario, hot, {3 * kDay_s, 30, 0.5}, false);
  CHECK(std::isnan(idle.cut_s));
  CHECK(idle.window.steps.size() == 30 * 60);
  CHECK(std::isinf(idle.window.steps.front().hours_displayed));
  CHECK(idle.nights.empty());
}

TEST_CASE("simulation: while the compressor goes on and off a display shows its draw when on",
          "[simulation][unit]") {
  auto scenario = test::sample_scenario();
  const auto mild = test::sample_forcing(kWeek_h, 25, 3);
  const simulation::Window w{3 * kDay_s + 23 * 3600, 12, 1};
  const auto trace = run_from(scenario, mild, w, true);
  int cycling = 0;
  for (const auto& s : trace.window.steps) {
    if (s.compressor_on_1 <= 0.01 || s.compressor_on_1 >= 0.9) continue;
    ++cycling;
    CHECK(s.unit_running_W > s.unit_electric_W);
    CHECK_RELATIVE(s.hours_displayed, (s.state_of_charge_1 - 0.1) * 2400 / s.unit_running_W, 1e-9);
  }
  CHECK(cycling > 60);
}

TEST_CASE("simulation: a window that cannot be is refused", "[simulation][unit]") {
  const auto scenario = test::sample_scenario();
  const auto forcing = test::sample_forcing(kWeek_h, 30, 5);
  CHECK_THROWS_WITH(run_from(scenario, forcing, {0, 0, 1}), test::contains("hours above 0"));
  CHECK_THROWS_WITH(run_from(scenario, forcing, {std::nan(""), 1, 1}), test::contains("window"));
  for (const double charge_1 : {0.05, 1.5, -1.0})
    CHECK_THROWS_WITH(run_from(scenario, forcing, {0, 10, charge_1}),
                      test::contains("within the usable window"));
}

TEST_CASE("simulation: accounts close with every source and load, nights and window alike",
          "[simulation][property]") {
  auto s = test::sample_scenario();
  s.supply.bank = power::bank_of(power::Chemistry::agm, 1500 * 3600.0, 12);
  s.supply.bank.standby_W = 4;
  s.supply.to_unit = power::dc_converter_of(900);
  s.supply.inverter = power::inverter_of(2000);
  s.supply.panels.emplace();
  s.supply.panels->stc_W = 300;
  s.supply.alternator = power::Alternator{30, 0, 0.9};
  s.supply.shore.emplace();
  s.supply.shore->hours = core::DaySchedule::parse("20:00-01:00");
  s.supply.shore->charger_W = 400;
  s.site.driving_hours = core::DaySchedule::parse("09:00-10:00");
  s.site.driving_speed_m_s = 20;
  s.battery_full_at_s = std::nan("");
  s.appliances = {{"refrigerator", core::DayProfile(40), 1, 0.4, 0, true,
                   core::DaySchedule::always(), false, cabinload::occupants::Refrigerator{}},
                  {"cooktop", core::DayProfile(1800), 0.9, 0.3, 1e-4, true,
                   core::DaySchedule::parse("18:30-19:00, 02:00-02:20"), true}};
  auto forcing = test::sample_forcing(kWeek_h, 31, 8);
  forcing.planes_W_m2 = {forcing.ghi_W_m2};
  const auto cabin = cabinload::network::assemble(s.vehicle);
  const auto nights = simulation::run(cabin, forcing, s, {});
  CHECK(nights.balance.worst() < 1e-9);
  double solar_W = 0, alternator_W = 0, shore_W = 0;
  for (std::size_t i = 0; i < nights.hourly.solar_W.size(); ++i) {
    solar_W += nights.hourly.solar_W[i];
    alternator_W += nights.hourly.alternator_W[i];
    shore_W += nights.hourly.shore_W[i];
  }
  CHECK(solar_W > 1000);
  CHECK(alternator_W > 100);
  CHECK(shore_W > 1000);
  const auto window = run_from(s, forcing, {3 * kDay_s + 21 * 3600, 48, 0.7}, true);
  CHECK(window.balance.worst() < 1e-9);
}

TEST_CASE("simulation: cloudy days following each other show in the battery at dawn",
          "[simulation][property]") {
  // Panels alone charge it; the sun of days 3 to 5 is a tenth.
  auto s = test::sample_scenario();
  s.battery_full_at_s = std::nan("");
  s.supply.bank = power::bank_of(power::Chemistry::lfp, 6000 * 3600.0, 24);
  s.supply.panels.emplace();
  s.supply.panels->stc_W = 600;
  s.appliances = {
      {"refrigerator", core::DayProfile(60), 1, 0.4, 0, true, core::DaySchedule::always(), false}};
  auto forcing = test::sample_forcing(10 * 24, 27, 5);
  forcing.planes_W_m2 = {forcing.ghi_W_m2};
  for (std::size_t slot = 3 * 144; slot < 6 * 144; ++slot) forcing.planes_W_m2[0][slot] *= 0.1;
  const auto trace = simulation::run(cabinload::network::assemble(s.vehicle), forcing, s, {});
  std::vector<double> dawn_1;
  for (const auto& n : trace.nights) dawn_1.push_back(n.battery_at_dawn_1);
  REQUIRE(dawn_1.size() == 10);
  for (std::size_t i = 4; i <= 5; ++i) {
    INFO(i);
    CHECK(dawn_1[i] < dawn_1[i - 1] - 0.05);  // each cloudy day lower
  }
  CHECK(dawn_1[5] < dawn_1[2] - 0.15);
  CHECK(dawn_1[6] > dawn_1[5] + 0.05);  // the sun is back
  CHECK(dawn_1[8] > dawn_1[6]);
}

TEST_CASE("simulation: a tripped breaker and cold cells are told with time and hours",
          "[simulation][unit]") {
  auto s = test::sample_scenario();
  s.battery_full_at_s = std::nan("");
  s.supply.inverter = power::inverter_of(2500);
  s.supply.shore.emplace();
  s.supply.shore->volts = 120;
  s.supply.shore->limit_A = 15;
  s.supply.shore->charger_W = 500;
  s.supply.shore->hours = core::DaySchedule::parse("18:30-23:00");
  s.supply.bank.start_1 = 0.3;
  s.appliances = {{"cooktop", core::DayProfile(1700), 0.9, 0.3, 0, true,
                   core::DaySchedule::parse("19:00-19:30"), true}};
  s.start.warm_up_days = 0;
  const auto forcing = test::sample_forcing(kWeek_h, 25, 3);
  const auto cabin = cabinload::network::assemble(s.vehicle);
  simulation::Options off;
  off.unit_enabled = false;
  // 1700 W and the charger's 500 / 0.9 W are more than 15 A at 120 V give, for longer than 60 s.
  auto trace = simulation::run(cabin, forcing, s, off);
  REQUIRE_FALSE(trace.events.empty());
  CHECK(trace.events[0].kind == power::EventKind::shore_trip);
  CHECK_WITHIN(trace.events[0].t_s, 19 * 3600 + 60, 1);
  CHECK(trace.cold_charge_h == 0);
  s.appliances.clear();
  s.supply.bank.place = power::Place::outside;
  trace = simulation::run(cabin, test::sample_forcing(kWeek_h, -5, 3), s, off);
  CHECK(trace.events.empty());
  CHECK(trace.frozen_charge_h > 20);
  CHECK(trace.cold_charge_h >= trace.frozen_charge_h);
  double highest_1 = 0;
  for (const double charge_1 : trace.hourly.state_of_charge_end_1)
    highest_1 = std::max(highest_1, charge_1);
  CHECK(highest_1 < 0.9);  // never filled, though shore was there
}

TEST_CASE("simulation: what other loads asked and did not get is counted (#6)",
          "[simulation][property]") {
  auto s = test::sample_scenario();
  s.battery_full_at_s = 18 * 3600.0;
  s.supply.bank = power::bank_of(power::Chemistry::lfp, 400 * 3600.0, 24);
  s.appliances = {{"lights", core::DayProfile(60), 1, 0.4, 0, true,
                   core::DaySchedule::parse("18:00-08:00"), false}};
  s.start.warm_up_days = 0;
  simulation::Options off;
  off.unit_enabled = false;
  const auto trace = simulation::run(cabinload::network::assemble(s.vehicle),
                                     test::sample_forcing(kWeek_h, 10, 3), s, off);
  // 14 h at 60 W are asked each night; what was not given is the rest of it.
  for (std::size_t i = 0; i < trace.nights.size(); ++i) {
    const auto& n = trace.nights[i];
    double given_Wh = 0;
    for (std::size_t h = 12 + 24 * i; h < 36 + 24 * i; ++h) given_Wh += trace.hourly.other_W.at(h);
    INFO("night " << i);
    CHECK_WITHIN(n.unserved_Wh, 14 * 60 - given_Wh, 1e-6);
    CHECK(n.unserved_asleep_Wh > 100);
    CHECK(n.unserved_asleep_Wh <= 9 * 60);
    CHECK_WITHIN(n.unserved_asleep_empty_Wh, n.unserved_asleep_Wh, 1e-9);  // it was empty
    CHECK(n.cells_bound_h == 0);
    CHECK(n.cool());
    CHECK(n.dark());
    CHECK_FALSE(n.held());
  }
  double unserved_Wh = 0;
  for (const double W : trace.hourly.unserved_W) unserved_Wh += W;
  CHECK_WITHIN(trace.unserved_Wh, unserved_Wh, 1e-6);
  // A bank that suffices serves all.
  s.supply.bank = power::bank_of(power::Chemistry::lfp, 2000 * 3600.0, 24);
  const auto ample = simulation::run(cabinload::network::assemble(s.vehicle),
                                     test::sample_forcing(kWeek_h, 10, 3), s, off);
  CHECK(ample.unserved_Wh == 0);
  CHECK(ample.nights[2].held());
}

TEST_CASE("simulation: cells too hot or too cold to give are counted in hours (#6)",
          "[simulation][unit]") {
  auto s = test::sample_scenario();
  s.supply.bank.place = power::Place::outside;
  s.appliances = {
      {"lights", core::DayProfile(60), 1, 0.4, 0, true, core::DaySchedule::always(), false}};
  s.start.warm_up_days = 1;
  simulation::Options off;
  off.unit_enabled = false;
  const auto cabin = cabinload::network::assemble(s.vehicle);
  // Lithium cells give nothing above 50 degC, nothing below -20 degC.
  const auto hot = simulation::run(cabin, test::sample_forcing(kWeek_h, 54, 1), s, off);
  CHECK(hot.cells.hot_h > 24);
  CHECK(hot.cells.cold_h == 0);
  CHECK_WITHIN(hot.cells.nothing_h, hot.cells.hot_h, 1e-9);
  CHECK(hot.cells.hottest_K > core::to_kelvin(50));
  CHECK(hot.nights[1].cells_bound_h > 23);
  CHECK(hot.nights[1].unserved_asleep_empty_Wh == 0);  // it was not empty
  CHECK_WITHIN(hot.nights[1].unserved_asleep_Wh, 9 * 60, 1);
  const auto cold = simulation::run(cabin, test::sample_forcing(kWeek_h, -30, 1), s, off);
  CHECK(cold.cells.cold_h > 24);
  CHECK(cold.cells.hot_h == 0);
  CHECK(cold.cells.coldest_K < core::to_kelvin(-20));
  const auto mild = simulation::run(cabin, test::sample_forcing(kWeek_h, 20, 1), s, off);
  CHECK(mild.cells.hot_h + mild.cells.cold_h == 0);
  CHECK(mild.nights[1].cells_bound_h == 0);
}
