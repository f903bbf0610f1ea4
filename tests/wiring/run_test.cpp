// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/wiring/run.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace wiring = cabinload::wiring;
using cabinload::test::contains;
using cabinload::test::Table;
using cabinload::test::Worst;
using I = wiring::Insulation;
using wiring::Ask;
using wiring::Run;

namespace {

constexpr double kFoot_m = 0.3048;
constexpr double kMm2PerCircularMil = 5.067074790974977e-4;  // pi/4 (0.0254 mm)^2

/// An invented small roof unit: 720 W, 4 m of cable, air of 30 degC, battery of 10 mohm at 48 V.
Ask small_unit() {
  Ask ask;
  ask.power_W = 720;
  ask.volts = 48;
  ask.length_m = 4;
  ask.ambient_degC = 30;
  ask.battery_resistance_ohm = 0.010;
  return ask;
}

double copper_mm2(const Run& run) {
  return run.possible ? run.parallel * run.conductor_mm2 : 1e9;
}

bool said(const std::vector<wiring::Note>& notes, const std::string& part) {
  return std::any_of(notes.begin(), notes.end(),
                     [&](const wiring::Note& n) { return n.text.find(part) != std::string::npos; });
}

template <class Check>
void each_ask(Check check) {
  for (const I insulation : {I::c60, I::c75, I::c90, I::marine_c105})
    for (const double ambient_degC : {5.0, 30.0, 43.0, 55.0})
      for (const double power_W : {60.0, 350.0, 720.0, 1500.0, 2900.0, 6000.0})
        for (const double length_m : {0.5, 3.0, 9.0})
          for (const double resistance_ohm : {std::nan(""), 0.0007, 0.005, 0.04})
            for (const int together : {2, 7}) {
              Ask ask = small_unit();
              ask.insulation = insulation;
              ask.ambient_degC = ambient_degC;
              ask.power_W = power_W;
              ask.length_m = length_m;
              ask.volts = 12;
              ask.battery_resistance_ohm = resistance_ohm;
              ask.conductors_together = together;
              ask.engine_space = together == 7;
              INFO("rating " << wiring::rating_degC(insulation) << ", " << ambient_degC << " degC, "
                             << power_W << " W, " << length_m << " m, " << resistance_ohm
                             << " ohm, " << together << " together");
              check(ask);
            }
}

}  // namespace

// The table names no ambient. It serves engine spaces too, so it is met at their 50 degC. At 30
// degC three rows come out one size smaller: those in which the table is larger than its own
// formula (20 ft 10 A has 10 AWG, 10 ft 20 A has 12 AWG; 20 ft 25 A has 6 AWG, 10 ft 50 A has 8
// AWG); there the formula, 10.75 A ft / V, is the bar.
TEST_CASE("wiring: sizes for drop are the marine table's or one larger", "[wiring][published]") {
  const Table t("wiring/marine_voltage_drop.csv");
  Worst sizes;
  std::vector<std::string> sold;
  for (const auto& size : wiring::awg_sizes())
    if (size.sold) sold.emplace_back(size.name);
  const auto rank = [&](const std::string& name) {
    return std::find(sold.begin(), sold.end(), name) - sold.begin();
  };
  int equal = 0, smaller_at_30 = 0;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const double current_A = t.number(i, "current_A");
    const double one_way_m = t.number(i, "round_trip_length_ft") / 2 * kFoot_m;
    const double most_V =
        t.number(i, "system_voltage_V") * t.number(i, "allowed_drop_percent") / 100;
    const auto* warm =
        wiring::size_for_drop({I::marine_c105, 50, true, 1}, current_A, one_way_m, most_V);
    const auto* mild =
        wiring::size_for_drop({I::marine_c105, 30, false, 1}, current_A, one_way_m, most_V);
    REQUIRE(warm != nullptr);
    REQUIRE(mild != nullptr);
    INFO(one_way_m << " m, " << current_A << " A, table " << t.text(i, "table_awg") << ", ours "
                   << warm->name << " at 50 degC, " << mild->name << " at 30 degC");
    const auto larger = rank(std::string(warm->name)) - rank(t.text(i, "table_awg"));
    CHECK(larger >= 0);
    CHECK(sizes.see(static_cast<double>(larger), 0) <= 1);
    equal += larger == 0;
    const auto larger_at_30 = rank(std::string(mild->name)) - rank(t.text(i, "table_awg"));
    CHECK(larger_at_30 <= 1);
    smaller_at_30 += larger_at_30 < 0;
    CHECK(wiring::area_mm2(*mild) >=
          t.number(i, "required_circular_mil_formula") * kMm2PerCircularMil);
  }
  sizes.record("Conductors and fuses", "sizes for drop at 50 degC, sizes larger",
               "ABYC-style conductor table", 1, "1");
  CHECK(equal == 33);  // eight one larger
  CHECK(smaller_at_30 == 3);
}

TEST_CASE("wiring: a run computed by hand", "[wiring][unit]") {
  // 15 A x 1.25 = 18.75 A. At 65 degC 90 degC insulation keeps 0.65: 12 AWG 19.5 A, below the next
  // fuse of 20 A; 10 AWG 26 A.
  Ask ask = small_unit();
  ask.ambient_degC = 65;
  const Run run = wiring::choose_run(ask);
  REQUIRE(run.possible);
  CHECK(run.current_A == 15);
  CHECK(run.design_current_A == 18.75);
  CHECK(run.awg == "10");
  CHECK(run.governs == wiring::Governs::fuse);
  CHECK(run.fuse_A == 20);
  CHECK_WITHIN(run.ampacity_A, 26, 1e-9);
  CHECK_WITHIN(*run.short_circuit_A, 5440, 1e-6);
  CHECK(run.fuse_type == wiring::FuseFamily::class_t);
  CHECK(run.metric_mm2 == 6.0);
  // k = 25 (15/26)^2 / 1.2751 = 6.5257 K; T = (65 + 0.9214 k) / (1 - 0.00393 k) = 72.88 degC;
  // R = 3.3427e-3 (1 + 0.00393 x 52.88) ohm/m over 8 m.
  CHECK_WITHIN(run.conductor_degC, 72.88, 0.01);
  CHECK_WITHIN(run.drop_V, 0.4845, 2e-4);
  CHECK_WITHIN(run.drop_percent, 100 * run.drop_V / 48, 1e-12);
  CHECK_WITHIN(run.loss_W, 15 * run.drop_V, 1e-12);
  CHECK(said(run.warnings, "A chart for 30 degC would have said 12 AWG; at 65 degC it is 10 AWG"));
}

TEST_CASE("wiring: what makes the conductor thick is told", "[wiring][unit]") {
  const auto governs = [](double design_A, double length_m) {
    Ask ask = small_unit();
    ask.power_W = design_A / 1.25 * 48;
    ask.length_m = length_m;
    return wiring::choose_run(ask);
  };
  // 4 AWG: 95 A at 90 degC, 85 A at the terminals' 75 degC; 2 AWG 115 A.
  CHECK(governs(80, 1).awg == "4");
  CHECK(governs(88, 1).awg == "2");
  CHECK(governs(88, 1).governs == wiring::Governs::terminal);
  CHECK(governs(100, 1).awg == "2");
  CHECK(governs(100, 1).governs == wiring::Governs::ampacity);
  CHECK(governs(100, 20).governs == wiring::Governs::drop);
  CHECK(governs(2, 1).governs == wiring::Governs::smallest);
  CHECK(wiring::name_of(governs(88, 1).governs) == "terminal");
}

TEST_CASE("wiring: a run keeps every rule it names", "[wiring][property]") {
  int possible = 0, impossible = 0;
  each_ask([&](const Ask& ask) {
    for (const Run& run : wiring::side_by_side(ask)) {
      INFO(run.volts << " V");
      CHECK_WITHIN(run.design_current_A, 1.25 * ask.power_W / run.volts, 1e-9);
      if (!run.possible) {
        ++impossible;
        CHECK_FALSE(run.warnings.empty());
        continue;
      }
      ++possible;
      const auto& size = wiring::awg_size(run.awg);
      const wiring::Laying laying{ask.insulation, std::max(30.0, run.ambient_degC),
                                  ask.engine_space,
                                  ask.conductors_together + 2 * (run.parallel - 1)};
      const double carries_A = run.parallel * wiring::ampacity_A(size, laying);
      CHECK(run.ampacity_A <= carries_A);
      CHECK(run.ampacity_A <= run.parallel * wiring::terminal_cap_A(size, ask.insulation, 75));
      CHECK(run.fuse_A <= run.ampacity_A);
      CHECK(run.fuse_A >= run.design_current_A);
      if (run.short_circuit_A)
        CHECK(wiring::breaks_A(run.fuse_type, run.volts * 13.6 / 12) >= *run.short_circuit_A);
      CHECK(run.drop_percent <= ask.drop_limit_percent);
      CHECK(run.conductor_degC >= run.ambient_degC);
      CHECK(run.conductor_degC <= wiring::rating_degC(ask.insulation));
      CHECK_RELATIVE(run.drop_V,
                     2 * ask.length_m * run.current_A / run.parallel *
                         wiring::resistance_ohm_m(size, run.conductor_degC),
                     1e-12);
      if (run.metric_mm2) CHECK(*run.metric_mm2 >= run.conductor_mm2);
    }
  });
  CHECK(possible > 1000);
  CHECK(impossible > 100);
}

TEST_CASE("wiring: longer, warmer, more power is never thinner, more volts never thicker",
          "[wiring][property]") {
  each_ask([](const Ask& ask) {
    const auto runs = wiring::side_by_side(ask);
    CHECK(copper_mm2(runs[1]) <= copper_mm2(runs[0]));
    CHECK(copper_mm2(runs[2]) <= copper_mm2(runs[1]));
    const double here_mm2 = copper_mm2(wiring::choose_run(ask));
    CHECK(here_mm2 == copper_mm2(runs[0]));
    const auto with = [&](auto change) {
      Ask other = ask;
      change(other);
      return copper_mm2(wiring::choose_run(other));
    };
    CHECK(with([](Ask& a) { a.length_m *= 1.7; }) >= here_mm2);
    CHECK(with([](Ask& a) { a.ambient_degC += std::min(7.0, 55 - a.ambient_degC); }) >= here_mm2);
    CHECK(with([](Ask& a) { a.conductors_together += 3; }) >= here_mm2);
    CHECK(with([](Ask& a) { a.drop_limit_percent = 10; }) <= here_mm2);
  });
}

TEST_CASE("wiring: twelve volts that nobody can route say what more volts change",
          "[wiring][unit]") {
  Ask ask = small_unit();
  ask.power_W = 3000;
  ask.battery_resistance_ohm = 0.020;
  const auto runs = wiring::side_by_side(ask);
  CHECK(runs[0].parallel > 1);
  CHECK(said(runs[0].warnings, "thicker than anyone routes"));
  CHECK(said(runs[0].warnings, "For the same power 24 V needs " + runs[1].awg + " AWG, 48 V " +
                                   runs[2].awg + " AWG"));
  CHECK(said(runs[0].rules, "1/0 AWG or thicker"));
  ask.ambient_degC = 65;
  const Run warm = wiring::side_by_side(ask)[1];
  CHECK(warm.parallel == 2);
  CHECK(said(warm.warnings, "For the same power 48 V needs 2 AWG."));
  CHECK_FALSE(said(runs[2].warnings, "thicker than anyone routes"));
  // The same cells: 20 mohm at 48 V are 1.25 mohm at 12 V.
  CHECK_RELATIVE(*runs[0].short_circuit_A, 13.6 / 0.00125, 1e-12);
}

TEST_CASE("wiring: no conductor is named where there is no fuse for it", "[wiring][unit]") {
  Ask ask = small_unit();
  ask.volts = 12;
  ask.battery_resistance_ohm = 0.0006;
  const Run strong = wiring::choose_run(ask);
  CHECK_FALSE(strong.possible);
  CHECK(said(strong.warnings, "divide the battery and fuse each part"));
  ask.battery_resistance_ohm = 0.003;
  ask.power_W = 6000;
  const Run large = wiring::choose_run(ask);
  CHECK_FALSE(large.possible);
  CHECK(said(large.warnings, "above the largest fuse of 600 A"));
}

TEST_CASE("wiring: what needs a look is warned of, and rules have an origin", "[wiring][unit]") {
  Ask ask = small_unit();
  const Run quiet = wiring::choose_run(ask);
  CHECK(quiet.warnings.empty());
  for (const auto origin :
       {wiring::Origin::nec, wiring::Origin::marine, wiring::Origin::common_practice})
    CHECK(std::any_of(quiet.rules.begin(), quiet.rules.end(),
                      [&](const wiring::Note& n) { return n.origin == origin; }));
  const auto warns = [&](auto change, const char* part) {
    Ask other = ask;
    change(other);
    INFO(part);
    CHECK(said(wiring::choose_run(other).warnings, part));
  };
  warns([](Ask& a) { a.vehicle_length_m = 3.5; }, "longer than the vehicle of 3.5 m");
  warns([](Ask& a) { a.engine_space = true; }, "counts as 50 degC, not 30 degC");
  warns([](Ask& a) { a.fuse_distance_m = 0.3; }, "more than 0.178 m");
  warns([](Ask& a) { a.battery_resistance_ohm = std::nan(""); }, "Class T fuse is taken");
  warns([](Ask& a) { a.ambient_degC = 70; }, "they must sit where it is cooler");
  CHECK(wiring::name_of(wiring::Origin::nec) == "nec");
  CHECK(wiring::name_of(wiring::Origin::common_practice) == "common_practice");
}

TEST_CASE("wiring: bad input is refused by name", "[wiring][unit]") {
  const auto refused = [](auto change, const char* part) {
    Ask ask = small_unit();
    change(ask);
    INFO(part);
    CHECK_THROWS_AS(wiring::choose_run(ask), cabinload::core::RangeError);
    CHECK_THROWS_WITH(wiring::side_by_side(ask), contains(part));
  };
  refused([](Ask& a) { a.fused = false; }, "fused = false, must be true");
  refused([](Ask& a) { a.power_W = 0; }, "power = 0 W, must be above 0");
  refused([](Ask& a) { a.power_W = std::nan(""); }, "power = nan W");
  refused([](Ask& a) { a.volts = 36; }, "voltage = 36 V, must be 12, 24 or 48");
  refused([](Ask& a) { a.length_m = 0; }, "length = 0 m, must be above 0");
  refused([](Ask& a) { a.length_m = -2; }, "length = -2 m");
  refused([](Ask& a) { a.ambient_degC = std::nan(""); }, "ambient = nan degC");
  refused([](Ask& a) { a.ambient_degC = 95; }, "ambient = 95 degC, must be between -40 and 85");
  refused([](Ask& a) { a.insulation = I::c60, a.ambient_degC = 58; }, "and 55 for insulation");
  refused([](Ask& a) { a.terminal_degC = 80; }, "terminal rating = 80 degC");
  refused([](Ask& a) { a.conductors_together = 1; }, "conductors together = 1");
  refused([](Ask& a) { a.drop_limit_percent = 0; }, "drop limit = 0 %");
  refused([](Ask& a) { a.drop_limit_percent = 30; }, "at most 10");
  refused([](Ask& a) { a.vehicle_length_m = -1; }, "vehicle length = -1 m");
  refused([](Ask& a) { a.fuse_distance_m = 9; }, "distance to the fuse = 9 m");
  refused([](Ask& a) { a.battery_resistance_ohm = 0; }, "battery resistance = 0 ohm");
}
