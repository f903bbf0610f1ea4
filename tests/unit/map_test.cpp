// SPDX-License-Identifier: Apache-2.0
// The map of a unit: interpolation, generic factors, a fit through measured points.
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/unit.hpp>
#include <cmath>
#include <random>

#include "samples.hpp"
#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace core = cabinload::core;
namespace test = cabinload::test;
namespace unit = cabinload::unit;
using core::to_celsius;
using core::to_kelvin;
using test::contains;
using test::measured_point;
using test::Table;

namespace {

/// Bi-quadratic in both airs, quadratic in speed; capacity falls, power rises with the condenser.
unit::Output quadratic(double wet_bulb_K, double condenser_K, double s) {
  const double x = to_celsius(wet_bulb_K), y = to_celsius(condenser_K);
  return {
      (1500 + 40 * x + 0.3 * x * x - 9 * y - 0.05 * y * y - 0.2 * x * y) * s * (1.3 - 0.3 * s),
      (200 + 2 * x - 0.04 * x * x + 6 * y + 0.05 * y * y + 0.1 * x * y) * (0.3 * s + 0.7 * s * s)};
}

const unit::Map::Range kRange{to_kelvin(10), to_kelvin(26), to_kelvin(20), to_kelvin(50), 0.3};

constexpr double kFan_W = 30, kStandby_W = 4;

/// Points of a unit that follows generic factors times a plane, as its maker would measure them.
unit::MeasuredPoint of_generic(const unit::GenericFactors& g, double x, double y, double s,
                               double by_condenser = 0) {
  const unit::Output o = g.at(x, y, s);
  const double more = 1 + by_condenser * (y - 35) / 20;
  return measured_point(x, y, s, 2000 * o.total_W * more - kFan_W,
                        600 * o.power_W * more + kFan_W + kStandby_W);
}

unit::Output at(const unit::Map& map, const unit::MeasuredPoint& p) {
  return map.at(p.wet_bulb_K, p.condenser_K, p.speed_1);
}

/// The map goes through the point: net capacity and the whole power.
void goes_through(const unit::Map& map, const unit::MeasuredPoint& p, double bar_1) {
  INFO(to_celsius(p.wet_bulb_K) << " / " << to_celsius(p.condenser_K) << " degC, " << p.speed_1);
  CHECK_RELATIVE(at(map, p).total_W - kFan_W, p.capacity_W, bar_1);
  CHECK_RELATIVE(at(map, p).power_W + kFan_W + kStandby_W, p.power_W, bar_1);
}

}  // namespace

TEST_CASE("unit: a map returns a bi-quadratic exactly", "[unit][property]") {
  const unit::Map map(kRange, quadratic);
  std::mt19937 random(5);
  std::uniform_real_distribution<double> wet(10, 26), condenser(20, 50), speed(0.3, 1);
  for (int i = 0; i < 500; ++i) {
    const double x = to_kelvin(wet(random)), y = to_kelvin(condenser(random)), s = speed(random);
    const unit::Output a = map.at(x, y, s), b = quadratic(x, y, s);
    CHECK_RELATIVE(a.total_W, b.total_W, 1e-11);
    CHECK_RELATIVE(a.power_W, b.power_W, 1e-11);
    CHECK(map.line(x, y).inside);
  }
  CHECK(map.line(to_kelvin(10), to_kelvin(50)).inside);  // the corner is in
}

TEST_CASE("unit: beyond its range a map goes on straight and says so", "[unit][property]") {
  const unit::Map map(kRange, quadratic);
  const double x = to_kelvin(18);
  const auto W = [&](double y) { return map.at(x, to_kelvin(y), 1).total_W; };
  CHECK_FALSE(map.line(x, to_kelvin(50.1)).inside);
  CHECK_FALSE(map.line(x, to_kelvin(19.9)).inside);
  CHECK_FALSE(map.line(to_kelvin(26.1), to_kelvin(35)).inside);
  CHECK_FALSE(map.line(to_kelvin(9.9), to_kelvin(35)).inside);
  // With the slope of the edge, on both sides and in both directions.
  for (const double edge : {20.0, 50.0}) {
    const double out = edge > 30 ? 1 : -1;
    const double slope = (W(edge) - W(edge - 1e-4 * out)) / 1e-4;
    CHECK(std::abs(W(edge + 3 * out) - W(edge) - 3 * slope) < 1e-3 * std::abs(slope));
    CHECK(std::abs(W(edge + 6 * out) - W(edge) - 6 * slope) < 1e-3 * std::abs(slope));
  }
  const auto by_wet = [&](double t) { return map.at(to_kelvin(t), to_kelvin(35), 1).total_W; };
  CHECK_RELATIVE(by_wet(28) - by_wet(26), by_wet(30) - by_wet(28), 1e-9);
  // Never below nothing.
  const unit::Output far = map.at(to_kelvin(-40), to_kelvin(300), 1);
  CHECK(far.total_W == 0);
  CHECK(map.at(to_kelvin(-400), to_kelvin(-500), 0.3).power_W > 0);
  // Below the slowest speed there is no slower.
  CHECK(map.at(x, to_kelvin(35), 0.1).total_W == map.at(x, to_kelvin(35), 0.3).total_W);
}

TEST_CASE("unit: generic factors are those of the ideal cycle", "[unit][table]") {
  const Table t("unit/generic_factors.csv");
  std::map<std::string, test::Worst> worst;
  std::map<std::string, int> rows;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const auto& g = unit::generic_factors(t.text(i, "refrigerant"));
    const double f = t.number(i, "flow_1"), capacity = t.number(i, "capacity_1");
    const double power = t.number(i, "power_1");
    INFO("row " << i << " " << g.refrigerant);
    unit::Output o =
        g.at(t.number(i, "wet_bulb_degC"), t.number(i, "condenser_degC"), t.number(i, "speed_1"));
    o.total_W *= 1 + (f - 1) * (g.capacity_flow[0] + g.capacity_flow[1] * (f - 1));
    o.power_W *= 1 + (f - 1) * (g.power_flow[0] + g.power_flow[1] * (f - 1));
    auto& w = worst[std::string(g.refrigerant) + (f == 1 ? "" : ", air flow")];
    CHECK(w.see(o.total_W, capacity) < (f == 1 ? 1.001 * g.capacity_error_1 + 5e-5 : 0.01));
    CHECK(w.see(o.power_W, power) < (f == 1 ? 1.001 * g.power_error_1 + 5e-5 : 0.01));
    ++rows[g.refrigerant];
  }
  CHECK(rows.size() == 5);
  for (const auto& [name, w] : worst) {
    w.record("Cooling unit", "generic factors, capacity and power over rated, " + name,
             "ideal cycle with CoolProp 8.0.0", 0.01, "1");
    CHECK(rows[name.substr(0, name.find(','))] > 100);
  }
  for (const auto& g : unit::generic_factors()) {
    CHECK_RELATIVE(g.at(19.44, 35, 1).total_W, 1.0, 1e-6);
    CHECK_RELATIVE(g.at(19.44, 35, 1).power_W, 1.0, 1e-6);
    CHECK(g.capacity_error_1 < 0.01);
    CHECK(g.power_error_1 < 0.01);
  }
  CHECK_THROWS_WITH(unit::generic_factors("R22"), contains("R22") && contains("R134a, R1234yf"));
}

TEST_CASE("unit: one measured point scales the generic factors", "[unit][property]") {
  const auto& g = unit::generic_factors("R290");
  const auto p = measured_point(17, 41, 0.8, 1234, 567);
  const auto fit = unit::fit_points({p}, g, kFan_W, kStandby_W);
  CHECK(fit.form == "generic factors times a constant");
  // Between its three speeds the map's parabola differs from the cubic.
  CHECK(fit.worst_1 < 0.006);
  goes_through(fit.map, p, 0.006);
  for (const double y : {20.0, 30.0, 50.0}) {
    const double ours = fit.map.at(to_kelvin(17), to_kelvin(y), 1).total_W / at(fit.map, p).total_W;
    CHECK_RELATIVE(ours, g.at(17, y, 1).total_W / g.at(17, 41, 0.8).total_W, 0.006);
  }
}

TEST_CASE("unit: two measured points set the change with the condenser", "[unit][property]") {
  const auto& g = unit::generic_factors("R134a");
  const auto a = of_generic(g, 19.44, 30, 1), b = of_generic(g, 19.44, 45, 1, -0.2);
  const auto fit = unit::fit_points({a, b}, g, kFan_W, kStandby_W);
  CHECK(fit.form == "generic factors times a constant, condenser inlet");
  CHECK(fit.worst_1 < 1e-3);
  goes_through(fit.map, a, 1e-3);
  goes_through(fit.map, b, 1e-3);
  CHECK_FALSE(fit.map.line(to_kelvin(19), to_kelvin(50)).inside);  // nothing was measured there
  CHECK(fit.map.line(to_kelvin(12), to_kelvin(40)).inside);        // the wet bulb is generic's
  // Two of one condition say the mean, and how far they lie apart.
  auto c = a;
  c.capacity_W *= 1.04;
  const auto twice = unit::fit_points({a, c}, g, kFan_W, kStandby_W);
  CHECK(twice.form == "generic factors times a constant");
  CHECK_WITHIN(twice.capacity_residual_1[0], 0.02, 0.001);
  CHECK_WITHIN(twice.capacity_residual_1[1], -0.02, 0.0015);
  CHECK_RELATIVE(twice.worst_1, 0.02, 0.1);
}

TEST_CASE("unit: four measured points set speed too", "[unit][property]") {
  const auto& g = unit::generic_factors("R32");
  std::vector<unit::MeasuredPoint> p = {of_generic(g, 19.44, 35, 1),
                                        of_generic(g, 19.44, 45, 1, -0.1), of_generic(g, 16, 35, 1),
                                        of_generic(g, 19.44, 35, 0.5)};
  p[3].capacity_W *= 0.95;
  const auto fit = unit::fit_points(p, g, kFan_W, kStandby_W);
  CHECK(fit.form == "generic factors times a constant, condenser inlet, wet bulb, speed");
  CHECK(fit.worst_1 < 0.006);
  for (const auto& m : p) goes_through(fit.map, m, 0.006);
  // A fifth that does not fit is told by its residual.
  p.push_back(of_generic(g, 16, 45, 1));
  p.back().capacity_W *= 1.1;
  const auto five = unit::fit_points(p, g, kFan_W, kStandby_W);
  CHECK(five.worst_1 > 0.01);
  CHECK(five.capacity_residual_1.size() == 5);
  CHECK(five.capacity_residual_1[4] < -0.01);
}

TEST_CASE("unit: 28 regular points give a bi-quadratic of their own", "[unit][table]") {
  // A published full-load map: tests/data/equipment.
  const Table t("equipment/map.csv");
  constexpr double kIndoorFan_W = 230;
  std::vector<unit::MeasuredPoint> points;
  for (std::size_t i = 0; i < t.rows(); ++i)
    points.push_back(
        measured_point(t.number(i, "entering_wet_bulb_degC"), t.number(i, "outdoor_dry_bulb_degC"),
                       1, t.number(i, "net_total_capacity_W"),
                       t.number(i, "compressor_and_outdoor_fan_power_W") + kIndoorFan_W));
  REQUIRE(points.size() == 28);
  const auto fit = unit::fit_points(points, unit::generic_factors("R134a"), kIndoorFan_W, 0);
  CHECK_THAT(fit.form, contains("bi-quadratic of its own"));
  CHECK(fit.worst_1 < 5e-4);  // the table is in whole watts
  test::Worst worst;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const unit::Output o = at(fit.map, points[i]);
    worst.see_relative(o.total_W, t.number(i, "gross_total_capacity_W"));
    worst.see_relative(o.power_W, t.number(i, "compressor_and_outdoor_fan_power_W"));
  }
  worst.record("Cooling unit", "28 measured points, map against them",
               "Standard 140 equipment series, full-load map", 0.001, "1");
  CHECK(fit.map.range().wet_bulb_low_K == to_kelvin(15.0));
  CHECK(fit.map.range().condenser_high_K == to_kelvin(46.1));
  // Speed was not measured: it goes as the generic factors.
  const auto& g = unit::generic_factors("R134a");
  CHECK_RELATIVE(fit.map.at(to_kelvin(19.4), to_kelvin(35), 0.625).total_W /
                     fit.map.at(to_kelvin(19.4), to_kelvin(35), 1).total_W,
                 g.at(19.4, 35, 0.625).total_W / g.at(19.4, 35, 1).total_W, 1e-3);
}

TEST_CASE("unit: points that cannot carry a bi-quadratic do not get one", "[unit][property]") {
  // Nine points on one line: wet bulb and condenser move together.
  const auto& g = unit::generic_factors("R134a");
  std::vector<unit::MeasuredPoint> line, close;
  for (int i = 0; i < 9; ++i) {
    line.push_back(of_generic(g, 14 + i, 30 + 2 * i, 1));
    close.push_back(of_generic(g, 19 + 0.5 * (i % 3), 34 + 0.5 * (i / 3), 1));
  }
  const auto fit = unit::fit_points(line, g, kFan_W, kStandby_W);
  CHECK_THAT(fit.form, contains("generic factors"));
  CHECK(fit.worst_1 < 1e-3);
  CHECK_THAT(unit::fit_points(close, g, kFan_W, kStandby_W).form, contains("generic factors"));
}

TEST_CASE("unit: measured points that cannot be are refused", "[unit][bad-input]") {
  const auto& g = unit::generic_factors("R134a");
  const auto refused = [&](std::vector<unit::MeasuredPoint> points, const char* part) {
    CHECK_THROWS_AS(unit::fit_points(points, g, kFan_W, kStandby_W), core::RangeError);
    CHECK_THROWS_WITH(unit::fit_points(points, g, kFan_W, kStandby_W), contains(part));
  };
  refused({}, "no measured points");
  refused({measured_point(19, 35, 1, 2000, 700), measured_point(19, 35, 1, 0, 700)},
          "measured[1].capacity in W = 0");
  refused({measured_point(19, 35, 1, 2000, 33)},
          "measured[0].power in W = 33, must be above cabin fan and");
  refused({measured_point(19, 35, 1.2, 2000, 700)}, "measured[0].speed = 1.2");
  refused({measured_point(19, 35, 0, 2000, 700)}, "measured[0].speed = 0");
  refused({measured_point(19, 35, 1, std::nan(""), 700)}, "measured[0].capacity");
}
