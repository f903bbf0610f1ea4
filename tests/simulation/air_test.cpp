// SPDX-License-Identifier: Apache-2.0
// Ideal control, openings, the vent fan, driving, and the cabin's water and CO2 in closed form.
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/network/films.hpp>
#include <cmath>

#include "support/box_run.hpp"
#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/scenario_text.hpp"

namespace air = cabinload::air;
namespace core = cabinload::core;
namespace network = cabinload::network;
namespace simulation = cabinload::simulation;
namespace test = cabinload::test;

namespace {

constexpr const char* kHotDay =
    "[weather]\nhigh = \"38 degC\"\nlow = \"22 degC\"\nwind = \"3 m/s\"\ndew_point = \"12 degC\"\n";
constexpr const char* kNobody = "[[person]]\ncount = 0\n";

/// Every step of the night is kept, a minute each.
simulation::Trace run_in(const std::string& weather_table, const std::string& tables) {
  const auto s = test::read_text(weather_table + tables + "[run]\nstep = \"60 s\"\n");
  const auto weather = cabinload::weather::make(*s.weather.day);
  const auto forcing = cabinload::forcing::make(weather, s.site, s.vehicle);
  simulation::Options options;
  options.unit_enabled = false;
  options.step_trace_night = 0;
  return simulation::run(network::assemble(s.vehicle), forcing, s, options);
}

/// A hot day, nobody in; a case adds its tables.
simulation::Trace run(const std::string& tables) {
  return run_in(kHotDay, kNobody + tables);
}

constexpr const char* kClosed = "[air]\nfresh_air = \"0 m3/h\"\n";

double highest(const std::vector<double>& v) {
  return *std::max_element(v.begin(), v.end());
}

}  // namespace

TEST_CASE("simulation: ideal control holds its set points exactly, at the air or at a face",
          "[simulation][unit]") {
  constexpr double kHeld_K = 1e-6;
  for (const char* place : {"air", "roof"}) {
    const auto t = run(std::string(kClosed) +
                       "[ideal]\nheat_to = \"24 degC\"\ncool_to = \"26 degC\"\n"
                       "cool_at = \"" +
                       place + "\"\n");
    INFO(place);
    CHECK(core::to_celsius(highest(t.hourly.T_air_max_K)) < 26 + kHeld_K);
    CHECK(core::to_celsius(*std::min_element(t.hourly.T_air_min_K.begin(),
                                             t.hourly.T_air_min_K.end())) > 24 - kHeld_K);
    CHECK(highest(t.hourly.ideal_cooling_W) > 300);
    CHECK(t.balance.worst() < 1e-9);
  }
  const auto limited =
      run(std::string(kClosed) + "[ideal]\ncool_to = \"20 degC\"\ncool_limit = \"200 W\"\n");
  CHECK_WITHIN(highest(limited.hourly.ideal_cooling_W), 200, 1e-9);
  CHECK(core::to_celsius(highest(limited.hourly.T_air_max_K)) > 21);
}

TEST_CASE("simulation: an opening lets in what its formula says", "[simulation][unit]") {
  const auto t =
      run("[vehicle]\nleakage_area = \"0 cm2\"\n" + std::string(kClosed) +
          "[[opening]]\narea = \"500 cm2\"\nheight = \"0.4 m\"\nopen = \"20:00-22:00\"\n");
  int open = 0;
  for (std::size_t i = 1; i < t.window.steps.size(); ++i) {
    const auto& s = t.window.steps[i];
    const bool in = s.second_of_day > 20 * 3600 && s.second_of_day < 22 * 3600;
    if (!in) {
      CHECK(s.exchange_kg_s == 0);
      continue;
    }
    const double flow = network::opening_m3_s(0.05, 0.4, t.window.steps[i - 1].T_air_K - s.T_out_K,
                                              3 * 0.6);  // wind at the vehicle
    const double W = air::humidity_ratio_from_dew_point_1(core::to_kelvin(12), s.p_Pa);
    const double dry_kg_m3 = air::density_kg_m3(s.T_out_K, W, s.p_Pa) / (1 + W);
    CHECK_RELATIVE(s.exchange_kg_s, flow * dry_kg_m3, 1e-6);
    ++open;
  }
  CHECK(open == 120);
}

TEST_CASE("simulation: the vent fan runs when outdoors helps and not otherwise",
          "[simulation][property]") {
  const auto still = run(kClosed);
  const auto fan = run(std::string(kClosed) +
                       "[fan]\nflow = \"300 m3/h\"\npower = \"15 W\"\nwanted = \"24 degC\"\n");
  bool ran = false, rested = false;
  for (std::size_t i = 1; i < fan.window.steps.size(); ++i) {
    const auto& s = fan.window.steps[i];
    const double before_K = fan.window.steps[i - 1].T_air_K;
    const bool helps = before_K > core::to_kelvin(24) && s.T_out_K < before_K - 1;
    CHECK((s.other_W > 0) == helps);
    ran = ran || helps;
    rested = rested || !helps;
  }
  CHECK(ran);
  CHECK(rested);
  CHECK(highest(fan.hourly.T_air_max_K) < highest(still.hourly.T_air_max_K) - 3);
}

TEST_CASE("simulation: the wind of the road cools a sun-heated shell", "[simulation][property]") {
  const auto parked = run(kClosed);
  const auto driven =
      run(std::string(kClosed) + "[driving]\nhours = \"11:00-17:00\"\nspeed = \"90 km/h\"\n");
  CHECK(driven.hourly.T_air_mean_K[15] < parked.hourly.T_air_mean_K[15] - 1);
  CHECK_WITHIN(driven.hourly.T_air_mean_K[9], parked.hourly.T_air_mean_K[9], 0.5);
  // Film: by hand at 25 m/s over 4.3 m: Re 6.77e6, Nu 0.037 Re^0.8 Pr^(1/3) = 9584, h = 58.6.
  const auto film = network::driving_film(25, 0, 4.3);
  CHECK_WITHIN(film.still_W_m2K + film.wind_W_m2K, 58.6, 1.0);
  CHECK(network::driving_film(1, 5, 4.3).wind_W_m2K >= network::parked_film(5).wind_W_m2K);
}

TEST_CASE("simulation: water and CO2 of a ventilated cabin settle at the closed form",
          "[simulation][property]") {
  // W = W_out + s / m, CO2 likewise; one sleeper's CO2 by ASTM D6245. Bar 0.1 %.
  constexpr double kBar_1 = 1e-3;
  const auto t = run(
      "[vehicle]\nleakage_area = \"0 cm2\"\n[air]\nfresh_air = \"60 m3/h\"\nfresh_air_density = "
      "\"1.2 "
      "kg/m3\"\nfresh_air_hours = \"always\"\n[[appliance]]\nname = \"kettle\"\nmoisture_kg_h = "
      "0.15\n");
  const double flow_kg_s = 60 / 3600.0 * 1.2;
  const double W_out = air::humidity_ratio_from_dew_point_1(core::to_kelvin(12), 101325);
  const double expected = W_out + 0.15 / 3600 / flow_kg_s;
  const auto& last = t.window.steps.back();
  CHECK_RELATIVE(last.W_air_1, expected, kBar_1);
  CHECK_WITHIN(last.co2_ppm, 420, 1e-6);
  test::record({"Moisture and CO2", "steady humidity of a ventilated cabin, relative",
                "closed form", 0, kBar_1, std::abs(last.W_air_1 / expected - 1), "1", ""});
  const auto slept =
      run("[vehicle]\nleakage_area = \"0 cm2\"\n[air]\nfresh_air = \"60 m3/h\"\nfresh_air_density "
          "= \"1.2 "
          "kg/m3\"\nfresh_air_hours = \"always\"\n[[person]]\npresent = \"always\"\nasleep = "
          "\"always\"\n");
  // 0.7 met, 1.8 m2: 0.00276 * 0.7 * 1.8 * 0.83 / (0.23*0.83 + 0.77) L/s of 1.83 g/L.
  const double co2_kg_s = 0.00276 * 0.7 * 1.8 * 0.83 / (0.23 * 0.83 + 0.77) * 1.83e-3;
  const double ppm = 420 + co2_kg_s / flow_kg_s * 28.966 / 44.01 * 1e6;
  CHECK_RELATIVE(slept.window.steps.back().co2_ppm, ppm, kBar_1);
  test::record({"Moisture and CO2", "steady CO2 of one sleeper, relative", "closed form", 0, kBar_1,
                std::abs(slept.window.steps.back().co2_ppm / ppm - 1), "1", ""});
}

TEST_CASE("simulation: water and CO2 decay with the air changes, in closed form",
          "[simulation][property]") {
  // Someone is in until 22:00 with a kettle. From then on what is above outdoors falls as
  // exp(-flow t / volume) while no pane is below the dew point, whatever the air's density or
  // humidity; vapour by the moisture capacity slower. Bar 0.1 % of what is left; a step of 60 s is
  // off by (n dt)^2 / 12 of n t, here 0.03 %.
  constexpr double kBar_1 = 1e-3, kFlow_m3_s = 20 / 3600.0;
  const auto vehicle = cabinload::scenario::read("", {}).vehicle;
  const auto t = run_in(kHotDay,
                        "[vehicle]\nleakage_area = \"0 cm2\"\n[air]\nfresh_air = \"20 m3/h\"\n"
                        "fresh_air_hours = \"always\"\n[[person]]\npresent = \"18:00-22:00\"\n"
                        "[[appliance]]\nname = \"kettle\"\nmoisture_kg_h = 0.05\n"
                        "on = \"18:00-22:00\"\n");
  const double W_out = air::humidity_ratio_from_dew_point_1(core::to_kelvin(12), 101325);
  const double n_per_s = kFlow_m3_s / vehicle.volume_m3;
  simulation::Step start;
  test::Worst co2, vapour;
  int seen = 0;
  for (const simulation::Step& s : t.window.steps) {
    // The step that ends at 22:00 is the last with a source.
    if (s.second_of_day > 18 * 3600 && s.second_of_day < 22 * 3600) start = s;
    const double after_s = s.t_s - start.t_s;
    if (start.t_s == 0 || after_s <= 0 || after_s > 3 / n_per_s) continue;
    CHECK(co2.see_relative((s.co2_ppm - 420) / (start.co2_ppm - 420),
                           std::exp(-n_per_s * after_s)) <= kBar_1);
    CHECK(vapour.see_relative((s.W_air_1 - W_out) / (start.W_air_1 - W_out),
                              std::exp(-n_per_s * after_s / vehicle.moisture_capacity_factor_1)) <=
          kBar_1);
    ++seen;
  }
  CHECK(start.co2_ppm > 800);
  CHECK(start.W_air_1 > W_out + 1e-3);
  CHECK(seen > 60);
  co2.record("Moisture and CO2", "CO2 after someone left, three air changes, relative, worst",
             "closed form", kBar_1, "1");
  vapour.record("Moisture and CO2", "humidity after the kettle, three air changes, relative, worst",
                "closed form", kBar_1, "1");
}

TEST_CASE("simulation: in humid air what comes in is its dry part", "[simulation][property]") {
  // 35 degC, dew point 33 degC: of a flow by volume m = V density / (1 + W) is dry air, ASHRAE
  // Fundamentals 2017 ch. 1 eqs. 26 and 27. Steady excess over outdoors = source / m. Bar 0.1 %.
  constexpr double kBar_1 = 1e-3, kSource_kg_h = 0.15;
  const auto t = run_in(
      "[weather]\nhigh = \"35 degC\"\nlow = \"35 degC\"\nwind = \"3 m/s\"\n"
      "dew_point = \"33 degC\"\n",
      "[vehicle]\nleakage_area = \"0 cm2\"\n[air]\nfresh_air = \"60 m3/h\"\n"
      "fresh_air_hours = \"always\"\n[[person]]\ncount = 0\n"
      "[[appliance]]\nname = \"kettle\"\nmoisture_kg_h = 0.15\n");
  const auto& last = t.window.steps.back();
  const double T_K = core::to_kelvin(35), p_Pa = last.p_Pa;
  const double W_out = air::humidity_ratio_from_dew_point_1(core::to_kelvin(33), p_Pa);
  CHECK(W_out > 0.03);
  const double dry_kg_s = 60 / 3600.0 * air::density_kg_m3(T_K, W_out, p_Pa) / (1 + W_out);
  // The same by hand: 287.042 J/(kg K) and 1.607858 of the handbook.
  CHECK_RELATIVE(dry_kg_s, 60 / 3600.0 * p_Pa / (287.042 * T_K * (1 + 1.607858 * W_out)), 1e-5);
  const double excess_1 = std::abs((last.W_air_1 - W_out) * dry_kg_s / (kSource_kg_h / 3600) - 1);
  const double flow_1 = std::abs(last.exchange_kg_s / dry_kg_s - 1);
  CHECK(excess_1 <= kBar_1);
  CHECK(flow_1 <= kBar_1);
  const bool moist = test::close(last.exchange_kg_s, dry_kg_s * (1 + W_out), kBar_1, 0);
  const char* why = moist ? "the mass of the moist air stands for that of its dry part" : "";
  constexpr const char* kSource = "closed form (ASHRAE Fundamentals 2017, ch. 1)";
  test::record({"Moisture and CO2",
                "steady humidity over outdoors at 35 degC, dew point 33 degC, relative", kSource, 0,
                kBar_1, excess_1, "1", why});
  test::record({"Moisture and CO2", "dry air of 60 m3/h at 35 degC, dew point 33 degC, relative",
                kSource, 0, kBar_1, flow_1, "1", why});
}
