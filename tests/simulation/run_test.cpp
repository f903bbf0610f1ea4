// SPDX-License-Identifier: Apache-2.0
#include <cabinload/air/moist_air.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/sample_run.hpp"

namespace core = cabinload::core;
namespace network = cabinload::network;
namespace simulation = cabinload::simulation;
namespace test = cabinload::test;
using simulation::Limit;

namespace {

constexpr std::size_t kWeek_h = 7 * 24;

simulation::Trace run(const cabinload::scenario::Scenario& scenario,
                      const cabinload::forcing::Forcing& forcing, bool unit_enabled = true,
                      bool hours = true) {
  const network::Cabin cabin = network::assemble(scenario.vehicle);
  simulation::Options options;
  options.unit_enabled = unit_enabled;
  options.hours = hours;
  return simulation::run(cabin, forcing, scenario, options);
}

cabinload::power::BankDescription battery_of(double energy_J) {
  return cabinload::power::bank_of(cabinload::power::Chemistry::lfp, energy_J, 24);
}

double unit_Wh(const simulation::Trace& trace) {
  return trace.electric_total_Wh;
}

}  // namespace

TEST_CASE("simulation: heat, water, CO2 and battery accounts close", "[simulation][property]") {
  auto scenario = test::sample_scenario();
  for (const double step_s : {10.0, 60.0, 120.0}) {
    scenario.step_s = step_s;
    for (const bool on : {true, false}) {
      const auto trace = run(scenario, test::sample_forcing(kWeek_h, 31, 8), on);
      INFO("step " << step_s << " s, unit " << on);
      CHECK(trace.balance.worst() < 1e-6);
      CHECK(trace.balance.throughput_J > 1e6);
    }
  }
}

TEST_CASE("simulation: accounts close in an empty cabin, where nothing gives CO2",
          "[simulation][property]") {
  auto scenario = test::sample_scenario();
  scenario.people.clear();
  CHECK(run(scenario, test::sample_forcing(kWeek_h, 31, 8)).balance.worst() < 1e-6);
}

TEST_CASE("simulation: electricity hardly depends on the step", "[simulation][property]") {
  // The load is solved inside the step; the bar is 0.3 % between 120, 60 and 10 s.
  constexpr double kBar_1 = 0.003;
  auto scenario = test::sample_scenario();
  const auto forcing = test::sample_forcing(kWeek_h, 30, 8);
  scenario.step_s = 10;
  const double fine_Wh = unit_Wh(run(scenario, forcing));
  REQUIRE(fine_Wh > 1000);
  for (const double step_s : {60.0, 120.0}) {
    scenario.step_s = step_s;
    INFO("step " << step_s << " s");
    CHECK_RELATIVE(unit_Wh(run(scenario, forcing)), fine_Wh, kBar_1);
  }
}

TEST_CASE("simulation: long steps while the unit is off change no night",
          "[simulation][property]") {
  // Bars: 0.05 K and 0.3 %, and what 0.05 K are in minutes where a bed cools by half a kelvin an
  // hour; 0.5 % of carbon dioxide, and 1 % where nobody keeps the hours: a shut cabin remembers
  // the steps of the day.
  auto scenario = test::sample_scenario();
  const auto forcing = test::sample_forcing(kWeek_h, 30, 8);
  for (const auto& [on, hours] :
       {std::pair(true, true), {false, true}, {true, false}, {false, false}}) {
    scenario.step_s = 10;
    const auto fine = run(scenario, forcing, on, hours);
    scenario.step_s = 120;
    scenario.idle_step_s = 300;
    scenario.day_step_s = 600;
    const auto rough = run(scenario, forcing, on, hours);
    INFO("unit " << on << ", hours kept " << hours);
    CHECK(rough.steps < fine.steps / (on ? 12 : hours ? 25 : 33));
    REQUIRE(rough.nights.size() == fine.nights.size());
    for (std::size_t i = 0; i < fine.nights.size(); ++i) {
      CHECK_WITHIN(rough.nights[i].bed_peak_K, fine.nights[i].bed_peak_K, 0.05);
      CHECK_WITHIN(rough.nights[i].minutes_above, fine.nights[i].minutes_above, 6);
      CHECK_RELATIVE(rough.nights[i].co2_peak_ppm, fine.nights[i].co2_peak_ppm,
                     hours ? 0.005 : 0.01);
    }
    CHECK_RELATIVE(unit_Wh(rough) + 1, unit_Wh(fine) + 1, 0.003);
    CHECK(rough.hourly.T_air_mean_K.size() == fine.hourly.T_air_mean_K.size());
    CHECK(rough.balance.worst() < 1e-9);
  }
}

TEST_CASE("simulation: long steps while there is nothing to cool change no night",
          "[simulation][property]") {
  // Warm afternoons and cool nights: the unit is scheduled on all the time and seldom runs.
  auto scenario = test::sample_scenario();
  scenario.unit_on = core::DaySchedule::parse("always");
  scenario.unit_settings.T_set_K = 25 + core::kZeroCelsius_K;
  const auto forcing = test::sample_forcing(kWeek_h, 18, 9);
  scenario.step_s = 10;
  const auto fine = run(scenario, forcing);
  scenario.step_s = 120;
  scenario.idle_step_s = 300;
  const auto rough = run(scenario, forcing);
  REQUIRE(unit_Wh(fine) > 200);
  CHECK(rough.steps < fine.steps / 16);  // 12 where all steps are of 120 s, 30 of 300 s
  REQUIRE(rough.nights.size() == fine.nights.size());
  for (std::size_t i = 0; i < fine.nights.size(); ++i) {
    CHECK_WITHIN(rough.nights[i].bed_peak_K, fine.nights[i].bed_peak_K, 0.05);
    CHECK_RELATIVE(rough.nights[i].co2_peak_ppm, fine.nights[i].co2_peak_ppm, 0.005);
  }
  CHECK_RELATIVE(unit_Wh(rough), unit_Wh(fine), 0.003);
  CHECK(rough.balance.worst() < 1e-9);
}

TEST_CASE("simulation: slots known to be dark change nothing", "[simulation][property]") {
  auto scenario = test::sample_scenario();
  auto forcing = test::sample_forcing(kWeek_h, 30, 8);
  for (const char* hours : {"always", "23:00-05:00"}) {  // a cover that comes and goes in the dark
    auto& cover = scenario.vehicle.windows[0].inside_cover;
    cover.side = cabinload::vehicle::CoverSide::inside;
    cover.resistance_m2K_W = 0.3;
    cover.hours = core::DaySchedule::parse(hours);
    forcing.dark.clear();
    const auto unknown = run(scenario, forcing);
    for (const double sun_W_m2 : forcing.ghi_W_m2) forcing.dark.push_back(sun_W_m2 == 0);
    const auto known = run(scenario, forcing);
    INFO(hours);
    CHECK(known.hourly.T_air_mean_K == unknown.hourly.T_air_mean_K);
    CHECK(known.hourly.unit_electric_W == unknown.hourly.unit_electric_W);
  }
}

TEST_CASE("simulation: cold faces take the water that the air cannot hold",
          "[simulation][property]") {
  // Two sleepers in a shut cabin on a cold night: without wet panes the air would pass saturation.
  auto scenario = test::sample_scenario();
  scenario.air.fresh_air_hours = core::DaySchedule();
  auto forcing = test::sample_forcing(kWeek_h, 2, 4);
  for (double& W : forcing.W_out_1) W = 0.004;
  const auto trace = run(scenario, forcing, false);
  double wettest_1 = 0;
  for (std::size_t h = 0; h < trace.hourly.W_air_1.size(); ++h)
    wettest_1 =
        std::max(wettest_1, cabinload::air::relative_humidity_1(trace.hourly.T_air_mean_K[h],
                                                                trace.hourly.W_air_1[h], 95000));
  CHECK(wettest_1 < 1.0);
  CHECK(wettest_1 > 0.6);
  CHECK(trace.balance.worst() < 1e-6);
}

TEST_CASE("simulation: the wind of the road goes through the cracks too",
          "[simulation][property]") {
  auto scenario = test::sample_scenario();
  const auto forcing = test::sample_forcing(kWeek_h, 31, 8);
  const auto co2_ppm = [&] {
    const auto nights = run(scenario, forcing).nights;
    return nights.at(2).co2_peak_ppm;
  };
  const double parked_ppm = co2_ppm();
  scenario.site.driving_hours = core::DaySchedule::always();
  scenario.site.driving_speed_m_s = 25;
  CHECK(co2_ppm() - 420 < 0.8 * (parked_ppm - 420));
}

TEST_CASE("simulation: equal input gives equal bits", "[simulation][property]") {
  const auto scenario = test::sample_scenario();
  const auto forcing = test::sample_forcing(kWeek_h, 31, 8);
  const auto a = run(scenario, forcing), b = run(scenario, forcing);
  CHECK(a.hourly.T_air_mean_K == b.hourly.T_air_mean_K);
  CHECK(a.hourly.unit_electric_W == b.hourly.unit_electric_W);
  REQUIRE(a.nights.size() == 7);
  CHECK(a.nights[3].bed_peak_K == b.nights[3].bed_peak_K);
}

TEST_CASE("simulation: a unit with room to spare holds its set point", "[simulation][unit]") {
  auto scenario = test::sample_scenario();
  scenario.supply.bank = battery_of(20 * 3.6e6);
  const auto trace = run(scenario, test::sample_forcing(kWeek_h, 27, 6));
  for (const auto& night : trace.nights) {
    CHECK(night.minutes_above == 0);
    CHECK_WITHIN(core::to_celsius(night.bed_peak_K), 24.0, 0.01);
    CHECK(night.reached_limit);
    CHECK(night.electric_Wh > 100);
    CHECK_WITHIN(night.scheduled_h, 10.0, 1e-9);
  }
}

TEST_CASE("simulation: what keeps the bed warm is named", "[simulation][unit]") {
  const auto minutes = [](const simulation::NightRecord& n, Limit limit) {
    return n.minutes_above_by_limit[static_cast<std::size_t>(limit)];
  };
  const auto hot = test::sample_forcing(kWeek_h, 36, 8);
  auto scenario = test::sample_scenario();

  scenario.supply.bank = battery_of(500 * 3600.0);  // half a kWh cannot last the night
  auto night = run(scenario, hot).nights[2];
  CHECK(minutes(night, Limit::battery) > 60);
  CHECK(std::isfinite(night.battery_empty_second_of_day));
  // To what is too little for the unit to start on.
  CHECK_WITHIN(night.battery_at_dawn_1, scenario.supply.bank.usable_low_1, 2e-3);

  scenario.supply.bank = battery_of(50 * 3.6e6);
  scenario.unit.capacity_W = 250;  // far too small
  scenario.unit.power_W = 120;
  scenario.unit.air_flow_m3_s = 0.02;
  night = run(scenario, hot).nights[2];
  CHECK(minutes(night, Limit::capacity) > 60);
  CHECK(std::isnan(night.battery_empty_second_of_day));

  // A full battery behind an outlet, or a converter, that gives less than the unit asks.
  for (const bool port : {true, false}) {
    scenario = test::sample_scenario();
    scenario.supply.bank = battery_of(50 * 3.6e6);
    if (port) {
      scenario.supply.bank.port_limit_W = 150;
    } else {
      scenario.supply.bank = cabinload::power::bank_of(cabinload::power::Chemistry::lfp, 1.8e8, 12);
      scenario.supply.to_unit = cabinload::power::dc_converter_of(150);
    }
    const auto trace = run(scenario, hot);
    night = trace.nights[2];
    INFO(port);
    CHECK(minutes(night, Limit::supply_limit) > 60);
    CHECK(minutes(night, Limit::supply_limit) > 0.9 * night.minutes_above);
    CHECK(std::isnan(night.battery_empty_second_of_day));
    for (const double W : trace.hourly.unit_electric_W) CHECK(W <= 150 * (1 + 1e-9));
  }

  scenario = test::sample_scenario();
  scenario.unit_on = core::DaySchedule::parse("21:00-23:00");
  scenario.supply.bank = battery_of(50 * 3.6e6);
  night = run(scenario, hot).nights[2];
  CHECK(minutes(night, Limit::schedule) > 60);

  scenario = test::sample_scenario();
  scenario.supply.bank = battery_of(50 * 3.6e6);
  scenario.unit.condenser_cut_out_K = core::to_kelvin(36);  // cuts out at once
  scenario.unit_settings.condenser_air_rise_K = 12;
  night = run(scenario, hot).nights[2];
  CHECK(minutes(night, Limit::cut_out) > 60);
}

TEST_CASE("simulation: an empty battery stops what hangs on it, heat included",
          "[simulation][unit]") {
  auto scenario = test::sample_scenario();
  scenario.supply.bank = battery_of(300 * 3600.0);
  scenario.battery_full_at_s = std::nan("");  // empty after the first hours of the warm-up
  const auto forcing = test::sample_forcing(kWeek_h, 30, 6);
  const auto bare = run(scenario, forcing, false);
  scenario.appliances = {
      {"heater", core::DayProfile(400), 1, 0.4, 0, true, core::DaySchedule::always()}};
  const auto dead = run(scenario, forcing, false);
  CHECK_WITHIN(dead.hourly.T_air_mean_K.back(), bare.hourly.T_air_mean_K.back(), 0.05);
  CHECK(dead.hourly.other_W.back() == 0);
  scenario.appliances[0].on_battery = false;
  CHECK(run(scenario, forcing, false).hourly.T_air_mean_K.back() >
        bare.hourly.T_air_mean_K.back() + 1);
}

TEST_CASE("simulation: what the supply does not give warms nothing", "[simulation][property]") {
  // A cooktop of 2 kW on an inverter of 500 W, and its steam.
  auto scenario = test::sample_scenario();
  scenario.supply.bank = battery_of(20000 * 3600.0);
  scenario.supply.inverter = cabinload::power::inverter_of(500);
  scenario.appliances = {{"cooktop", core::DayProfile(2000), 1, 0.4, 4e-4, true,
                          core::DaySchedule::parse("10:00-12:00"), true}};
  const auto forcing = test::sample_forcing(kWeek_h, 31, 8);
  const network::Cabin cabin = network::assemble(scenario.vehicle);
  simulation::Options options;
  options.unit_enabled = false;
  options.flows = {{2 * 86400.0 + 10.1 * 3600, 2 * 86400.0 + 11.9 * 3600}};
  const auto short_of = simulation::run(cabin, forcing, scenario, options);
  CHECK_RELATIVE(short_of.flows[0].other_W, 500, 1e-9);
  CHECK_RELATIVE(short_of.flows[0].appliances_W, 500, 1e-9);
  CHECK(short_of.balance.worst() < 1e-9);
  auto quarter = scenario;
  quarter.appliances[0].power_W = core::DayProfile(500);
  quarter.appliances[0].moisture_kg_s = 1e-4;
  const auto same = simulation::run(cabin, forcing, quarter, options);
  // But for the first step of each day, in which what it gets is not known yet.
  CHECK_WITHIN(short_of.hourly.T_air_mean_K[59], same.hourly.T_air_mean_K[59], 0.2);
  CHECK_RELATIVE(short_of.hourly.W_air_1[59], same.hourly.W_air_1[59], 0.02);
  // On shore it gets all, though the battery is cut off.
  scenario.supply.shore.emplace();
  scenario.supply.shore->limit_A = 30;
  scenario.supply.shore->hours = core::DaySchedule::always();
  scenario.supply.bank.start_1 = scenario.supply.bank.usable_low_1;
  scenario.battery_full_at_s = std::nan("");
  const auto on_shore = simulation::run(cabin, forcing, scenario, options);
  CHECK_RELATIVE(on_shore.flows[0].appliances_W, 2000, 1e-9);
}

TEST_CASE("simulation: a refrigerator follows the cabin, and its accounts close",
          "[simulation][property]") {
  auto scenario = test::sample_scenario();
  scenario.supply.bank = battery_of(20000 * 3600.0);
  const auto forcing = test::sample_forcing(kWeek_h, 31, 8);
  const auto bare = run(scenario, forcing);
  cabinload::occupants::Appliance box;
  box.power_W = core::DayProfile(45);
  box.on = core::DaySchedule::always();
  box.refrigerator.emplace();
  for (const bool inside : {true, false}) {
    INFO(inside);
    box.refrigerator->condenser_inside = inside;
    scenario.appliances = {box};
    simulation::Options options;
    const simulation::Span day{2 * 86400.0, 3 * 86400.0};
    options.flows = {day};
    const auto with =
        simulation::run(network::assemble(scenario.vehicle), forcing, scenario, options);
    CHECK(with.balance.worst() < 1e-9);
    // Hour by hour what the cabin of that hour asks; the steps' spread is small.
    const auto& h = with.hourly;
    double lowest_W = 1e9, highest_W = 0;
    for (std::size_t i = 0; i < h.refrigerator_W.size(); ++i) {
      const auto now = cabinload::occupants::run_of(*box.refrigerator, 45, 0, h.T_air_mean_K[i],
                                                    h.T_out_mean_K[i]);
      CHECK_RELATIVE(h.refrigerator_W[i], now.electric_W, 0.03);
      CHECK_WITHIN(h.other_W[i], h.refrigerator_W[i], 1e-9);
      lowest_W = std::min(lowest_W, h.refrigerator_W[i]);
      highest_W = std::max(highest_W, h.refrigerator_W[i]);
    }
    CHECK(highest_W > 1.3 * lowest_W);  // day against night
    double Wh = 0;
    for (std::size_t i = 12; i < 36; ++i) Wh += h.refrigerator_W[i];
    CHECK_RELATIVE(with.nights[0].refrigerator_Wh, Wh, 1e-9);
    // Its heat once: the draw stays in the cabin, or what it pumps leaves it.
    const auto& flows = with.flows[0];
    CHECK(flows.other_W == 0);
    CHECK_WITHIN(flows.heat_W(), 0, 1e-6);
    CHECK_WITHIN(flows.electricity_W(), 0, 1e-6);
    CHECK_WITHIN(flows.appliances_W, 0, 1e-9);
    if (inside)
      CHECK_RELATIVE(flows.refrigerators_W, flows.refrigerators_draw_W, 1e-9);
    else
      CHECK(flows.refrigerators_W < -flows.refrigerators_draw_W);  // a COP above 1
    CHECK((with.hourly.T_air_mean_K[60] > bare.hourly.T_air_mean_K[60]) == inside);
  }
}

TEST_CASE("simulation: the unit off leaves the battery full and the cabin warm",
          "[simulation][unit]") {
  const auto trace = run(test::sample_scenario(), test::sample_forcing(kWeek_h, 33, 6), false);
  for (const auto& night : trace.nights) {
    CHECK(night.electric_Wh == 0);
    CHECK(night.minutes_above > 0);
    CHECK(night.battery_at_dawn_1 > 0.999);  // it leaks a little by itself
    CHECK(std::isnan(night.pull_down_min));
  }
}

TEST_CASE("simulation: hours have mean between minimum and maximum and cover the nights",
          "[simulation][property]") {
  const auto trace = run(test::sample_scenario(), test::sample_forcing(kWeek_h, 31, 8));
  const auto& h = trace.hourly;
  REQUIRE(h.T_air_mean_K.size() == kWeek_h + 12);  // from midnight to noon after the last night
  REQUIRE(h.state_of_charge_end_1.size() == h.T_air_mean_K.size());
  double hourly_Wh = 0;
  for (std::size_t i = 0; i < h.T_air_mean_K.size(); ++i) {
    CHECK(h.T_air_min_K[i] <= h.T_air_mean_K[i] + 1e-9);
    CHECK(h.T_air_mean_K[i] <= h.T_air_max_K[i] + 1e-9);
    CHECK(h.compressor_on_1[i] <= 1.0 + 1e-9);
    hourly_Wh += h.unit_electric_W[i];
  }
  CHECK_RELATIVE(hourly_Wh, trace.electric_total_Wh, 1e-9);
}

TEST_CASE("simulation: every step of a chosen night can be kept", "[simulation][unit]") {
  const auto scenario = test::sample_scenario();
  const network::Cabin cabin = network::assemble(scenario.vehicle);
  simulation::Options options;
  options.step_trace_night = 2;
  const auto trace =
      simulation::run(cabin, test::sample_forcing(kWeek_h, 31, 8), scenario, options);
  REQUIRE(trace.window.steps.size() == 1440);
  double electric_Wh = 0;
  for (const auto& s : trace.window.steps) electric_Wh += s.unit_electric_W * s.dt_s / 3600;
  CHECK_RELATIVE(electric_Wh, trace.nights[2].electric_Wh, 1e-9);
}

TEST_CASE("simulation: a step that does not fit is refused", "[simulation][unit]") {
  auto scenario = test::sample_scenario();
  const auto forcing = test::sample_forcing(24, 30, 5);
  for (const double step_s : {0.0, -60.0, 7.0, 300.0, std::nan("")}) {
    scenario.step_s = step_s;
    CHECK_THROWS_WITH(run(scenario, forcing), test::contains("divide 600 s"));
  }
}

TEST_CASE("simulation: periods may pass New Year and must exist", "[simulation][unit]") {
  cabinload::scenario::Night night;
  CHECK(simulation::nights_of(night, 8760, 0).count == 365);
  night.from = core::Date{11, 1};
  night.to = core::Date{2, 28};
  const auto winter = simulation::nights_of(night, 8760, 0);
  CHECK(winter.first == core::day_index({11, 1}));
  CHECK(winter.count == 30 + 31 + 31 + 28);
  night.from = night.to = core::Date{7, 14};
  CHECK(simulation::nights_of(night, 8760, 0).count == 1);
  CHECK_THROWS_WITH(simulation::nights_of(night, 24, 10), test::contains("does not have"));
  night.from = night.to = core::date_of(10);
  CHECK(simulation::nights_of(night, 24, 10).count == 1);
}
