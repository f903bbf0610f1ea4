// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/power/converter.hpp>
#include <cabinload/power/sources.hpp>
#include <cmath>
#include <cstdio>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace power = cabinload::power;
using cabinload::core::DaySchedule;
using cabinload::core::to_kelvin;
using cabinload::test::contains;
using power::Panels;

TEST_CASE("power: the temperature of a cell is Faiman's", "[power][published]") {
  const cabinload::test::Table t("power/pv_cell_temperature.csv");
  double worst_K = 0;
  int rows = 0;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const double G = t.number(i, "irradiance_W_per_m2"), wind = t.number(i, "wind_m_per_s");
    const double T_air_K = to_kelvin(t.number(i, "air_temp_degC"));
    const double expected_K = to_kelvin(t.number(i, "cell_or_module_temp_degC"));
    INFO(t.text(i, "model"));
    power::PanelLoss loss{};
    const std::string& parameters = t.text(i, "parameters");
    if (std::sscanf(parameters.c_str(), "u0=%lf u1=%lf", &loss.u0_W_m2K, &loss.u1_Ws_m3K) == 2) {
      const double off_K = power::cell_K(loss, G, T_air_K, wind) - expected_K;
      worst_K = std::max(worst_K, std::abs(off_K));
      ++rows;
    } else if (t.text(i, "model").find("insulated back") != std::string::npos) {
      // The roof's straight line stands for this exponential.
      const double K = power::cell_K(power::loss_of(power::Mount::roof), G, T_air_K, wind);
      CHECK_WITHIN(K, expected_K, 0.3);
      ++rows;
    }
  }
  CHECK(rows == 5);
  CHECK(worst_K < 0.01);
  cabinload::test::record({"Power", "cell temperature", "Faiman 2008, test values of pvlib", 0,
                           0.01, worst_K, "K", ""});
}

TEST_CASE("power: a roof panel is hotter than one in the wind, over all winds",
          "[power][property]") {
  for (double wind = 0; wind <= 10; wind += 0.5) {
    const double roof = power::cell_K(power::loss_of(power::Mount::roof), 900, 300, wind) - 300;
    CHECK(roof > power::cell_K(power::loss_of(power::Mount::portable), 900, 300, wind) - 300);
    // [King2004], insulated back: the line lies within 6 % of the rise up to 10 m/s
    CHECK_RELATIVE(roof, 900 * std::exp(-2.81 - 0.0455 * wind), 0.06);
  }
}

TEST_CASE("power: a panel's watts by hand", "[power][unit]") {
  Panels p;
  p.stc_W = 200;
  p.mount = power::Mount::portable;
  p.soiling_1 = 1;
  p.controller_efficiency_1 = 1;
  // Cell at 25 degC: air at 25 - 800 / (25 + 6.84 x 1) = -0.1256 degC
  const double T_air_K = 298.15 - 800 / 31.84;
  CHECK_RELATIVE(power::panel_W(p, 800, T_air_K, 1), 160.0, 1e-12);
  // 40 K warmer: 1 - 0.16
  CHECK_RELATIVE(power::panel_W(p, 800, T_air_K + 40, 1), 160 * 0.84, 1e-12);
  p.soiling_1 = 0.9;
  p.controller_efficiency_1 = 0.95;
  CHECK_RELATIVE(power::panel_W(p, 800, T_air_K, 1), 160 * 0.9 * 0.95, 1e-12);
  CHECK(power::panel_W(p, 0, 300, 1) == 0);
  p.stc_W = 0;
  p.area_m2 = 1.5;
  CHECK_RELATIVE(power::rated_W(p), 300.0, 1e-12);
}

TEST_CASE("power: the alternator's smaller limit holds", "[power][unit]") {
  CHECK_RELATIVE(power::alternator_W({30, 0, 0.9}, 13.5), 405.0, 1e-12);
  CHECK_RELATIVE(power::alternator_W({0, 400, 0.9}, 13.5), 360.0, 1e-12);
  CHECK_RELATIVE(power::alternator_W({30, 400, 0.9}, 13.5), 360.0, 1e-12);
}

TEST_CASE("power: the pitch's breaker trips after its delay and until plugged in anew",
          "[power][unit]") {
  power::Shore shore;  // 1800 W
  shore.hours = DaySchedule::parse("18:00-08:00");
  shore.trip_delay_s = 90;
  power::ShoreBreaker b(shore);
  CHECK_FALSE(b.begin(17.9 * 3600));
  CHECK_FALSE(b.drawn(5000, 60));  // not plugged in
  const auto step = [&](double second, double W) {
    CHECK(b.gives(second));
    CHECK(b.begin(second));
    return b.drawn(W, 60);
  };
  CHECK_FALSE(step(18 * 3600, 1900));
  CHECK_FALSE(step(18 * 3600 + 60, 1800));  // at the limit: the delay begins anew
  CHECK_FALSE(step(18 * 3600 + 120, 1900));
  REQUIRE(step(18 * 3600 + 180, 1900));
  CHECK_WITHIN(b.trip_after_s(), 30.0, 1e-9);  // 60 s and 30 s above the limit
  CHECK(b.tripped());
  for (const double hour : {18.1, 23.0, 0.0, 7.9}) {
    CHECK_FALSE(b.gives(hour * 3600));
    CHECK_FALSE(b.begin(hour * 3600));
  }
  CHECK_FALSE(b.begin(12 * 3600.0));
  CHECK_FALSE(b.tripped());
  CHECK(b.gives(18 * 3600.0));
  CHECK(b.begin(18 * 3600.0));
}

TEST_CASE("power: a converter gives back its efficiencies, and its inverse", "[power][property]") {
  for (const auto& d : {power::dc_converter_of(720), power::dc_converter_of(150),
                        power::inverter_of(2000), power::ConverterDescription{500, 0, 0.9, 0.9}}) {
    const power::Converter c(d, "converter");
    CHECK_RELATIVE(c.input_W(d.rated_W), d.rated_W / d.efficiency_full_1, 1e-12);
    CHECK_RELATIVE(c.input_W(d.rated_W / 2), d.rated_W / 2 / d.efficiency_half_1, 1e-12);
    CHECK_WITHIN(c.input_W(1e-9), d.no_load_W, 2e-9);
    CHECK(c.input_W(0) == 0);
    CHECK(c.output_W(0.5 * d.no_load_W) == 0);
    CHECK(c.output_W(1e9) == d.rated_W);
    for (double P = 1; P <= d.rated_W; P *= 1.3) CHECK_RELATIVE(c.output_W(c.input_W(P)), P, 1e-12);
  }
  const power::Converter none;
  CHECK(none.input_W(123.4) == 123.4);
  CHECK(none.output_W(123.4) == 123.4);
  CHECK(std::isinf(none.most_W()));
  power::ConverterDescription idle = power::inverter_of(1000);
  idle.always_on = true;
  CHECK(power::Converter(idle, "inverter").input_W(0) == 10);
}

TEST_CASE(
    "power: converters and sources refuse values out of range by key, with what would be right",
    "[power][unit]") {
  const auto converter = [](power::ConverterDescription d, const char* key, const char* right) {
    CHECK_THROWS_WITH(power::Converter(d, "inverter"),
                      contains("inverter") && contains(key) && contains(right));
  };
  converter({0, 1, 0.9, 0.9}, "rated power in W = 0", "above 0");
  converter({100, 0, 1.2, 0.9}, "efficiency = 1.2", "at most 1");
  // Losses 9 and 11 W: at least 2 x 9 - 11 = 6.53 (rounded: 6.536), at most (36 - 11) / 3
  converter({100, 0, 0.85, 0.90}, "no-load draw in W = 0", "between 6.54 and 8.06");
  converter({100, 0, 0.99, 0.80}, "efficiency at half load = 0.99", "four times");
  const auto panels = [](auto change, const char* key, const char* right) {
    Panels p;
    p.stc_W = 100;
    change(p);
    CHECK_THROWS_WITH(power::check(p), contains(key) && contains(right));
  };
  using P = Panels&;
  panels([](P p) { p.area_m2 = -1; }, "area in m2 = -1", "at least 0");
  panels([](P p) { p.efficiency_1 = 20; }, "efficiency = 20", "below 0.5");
  panels([](P p) { p.stc_W = std::nan(""); }, "power in W = nan", "at least 0");
  panels([](P p) { p.tilt_deg = 120; }, "tilt in deg = 120", "0 and 90");
  panels([](P p) { p.heading_deg = 400; }, "heading in deg = 400", "360");
  panels([](P p) { p.gamma_1_K = -0.4; }, "coefficient per K = -0.4", "-0.004");
  panels([](P p) { p.own_loss = {0, 1}; }, "u0 in W/(m2 K) = 0", "above 0");
  panels([](P p) { p.own_loss = {20, -1}; }, "u1 in W s/(m3 K) = -1", "at least 0");
  panels([](P p) { p.controller_efficiency_1 = 95; }, "controller efficiency = 95", "at most 1");
  panels([](P p) { p.soiling_1 = 3; }, "soiling = 3", "clean");
  CHECK_THROWS_WITH(power::check(power::Alternator{0, 0, 0.9}), contains("limit in A = 0"));
  CHECK_THROWS_WITH(power::check(power::Alternator{-1, 0, 0.9}), contains("limit in A = -1"));
  CHECK_THROWS_WITH(power::check(power::Alternator{30, 0, 90}), contains("efficiency = 90"));
  const auto shore = [](auto change, const char* key) {
    power::Shore s;
    change(s);
    CHECK_THROWS_WITH(power::check(s), contains("shore") && contains(key));
  };
  using S = power::Shore&;
  shore([](S s) { s.volts = 0; }, "volts = 0");
  shore([](S s) { s.limit_A = -15; }, "limit in A = -15");
  shore([](S s) { s.charger_W = -1; }, "charger in W = -1");
  shore([](S s) { s.charger_efficiency_1 = 0; }, "charger efficiency = 0");
  shore([](S s) { s.trip_delay_s = -1; }, "trip delay in s = -1");
}
