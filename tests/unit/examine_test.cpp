// SPDX-License-Identifier: Apache-2.0
// What is wrong with a description, and what is odd about it: each text once.
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cmath>
#include <functional>

#include "samples.hpp"
#include "support/catch.hpp"

namespace core = cabinload::core;
namespace test = cabinload::test;
namespace unit = cabinload::unit;
using core::to_kelvin;
using test::contains;
using test::generic_unit;
using test::measured_point;
using test::unit_settings;

namespace {

using Change = std::function<void(unit::Description&, unit::Settings&)>;
using D = unit::Description&;
using S = unit::Settings&;

unit::Findings examined(const Change& change) {
  auto d = generic_unit();
  auto s = unit_settings();
  change(d, s);
  return unit::examine(d, s);
}

std::string joined(const std::vector<std::string>& texts) {
  std::string all;
  for (const auto& t : texts) all += t + "\n";
  return all;
}

/// One problem, in these words; a machine is not built.
void refused(const Change& change, const char* part, const char* must = "") {
  const unit::Findings found = examined(change);
  INFO(joined(found.problems));
  REQUIRE(found.problems.size() == 1);
  CHECK_THAT(found.problems[0], contains(part) && contains(must) && contains("unit: "));
  auto d = generic_unit();
  auto s = unit_settings();
  change(d, s);
  CHECK_THROWS_AS(unit::Machine(d, s), core::RangeError);
  CHECK_THROWS_WITH(unit::Machine(d, s), contains(part));
}

void odd(const Change& change, const char* part) {
  const unit::Findings found = examined(change);
  INFO(joined(found.problems) << joined(found.odd));
  CHECK(found.problems.empty());
  REQUIRE(found.odd.size() == 1);
  CHECK_THAT(found.odd[0], contains(part) && contains("unit: "));
}

/// A ready map over usual air by capacity and power at full speed.
unit::Map map_of(const std::function<unit::Output(double wet_degC, double condenser_degC)>& full) {
  return {{to_kelvin(12), to_kelvin(24), to_kelvin(20), to_kelvin(50), 0.4},
          [&](double x, double y, double s) {
            const unit::Output o = full(core::to_celsius(x), core::to_celsius(y));
            return unit::Output{o.total_W * s, o.power_W * s};
          }};
}

}  // namespace

TEST_CASE("unit: built-in units have nothing wrong or odd", "[unit][property]") {
  for (const auto& u : unit::built_in()) {
    const auto found = unit::examine(u, unit_settings());
    INFO(u.key << joined(found.problems) << joined(found.odd));
    CHECK(found.problems.empty());
    CHECK(found.odd.empty());
  }
}

TEST_CASE("unit: a data plate that cannot be is refused by name", "[unit][bad-input]") {
  constexpr double nan = std::numeric_limits<double>::quiet_NaN();
  refused([](D d, S) { d.capacity_W = 60000; }, "capacity in W = 60000", "above 0 and below 50000");
  refused([](D d, S) { d.power_W = nan; }, "power in W = nan");
  refused([](D d, S) { d.cabin_fan_W = -1; }, "cabin fan in W = -1", "between 0 and the capacity");
  refused([](D d, S) { d.standby_W = -1; }, "standby in W = -1", "0 or above");
  refused([](D d, S) { d.power_W = 20; }, "power in W = 20", "above the cabin fan and the standby");
  refused([](D d, S) { d.volts = 0; }, "volts = 0", "above 0");
  refused([](D d, S) { d.sensible_ratio_1 = 1.2; }, "sensible ratio = 1.2",
          "sensible heat is a part of the total");
  refused([](D d, S) { d.air_flow_m3_s = 0; }, "air flow in m3/s = 0");
  refused([](D d, S) { d.condenser_flow_m3_s = -1; }, "condenser flow in m3/s = -1");
  refused([](D d, S) { d.rated_wet_bulb_K = to_kelvin(30); }, "rated wet bulb in degC = 30",
          "at most the rated dry bulb");
  refused([](D d, S) { d.refrigerant = "R12"; }, "refrigerant = R12", "R134a, R1234yf");
  // All that is wrong with a plate at once.
  CHECK(examined([](D d, S) { d.capacity_W = d.power_W = d.volts = 0; }).problems.size() == 4);
}

TEST_CASE("unit: speeds and times that cannot be are refused", "[unit][bad-input]") {
  refused([](D d, S) { d.minimum_speed_1 = 1.5; }, "minimum speed = 1.5",
          "at most 1, which is full speed");
  refused([](D d, S) { d.minimum_speed_capacity_1 = 0; }, "capacity at minimum speed = 0");
  refused([](D d, S) { d.minimum_speed_power_1 = 2; }, "power at minimum speed = 2");
  refused([](D d, S) { d.cyclic_degradation_1 = 1; }, "cyclic degradation = 1", "below 1");
  refused([](D d, S) { d.ramp_s = 0; }, "ramp in s = 0");
  refused([](D d, S) { d.minimum_on_s = -1; }, "minimum on time in s = -1");
  refused([](D d, S) { d.minimum_off_s = -1; }, "minimum off time in s = -1");
}

TEST_CASE("unit: protection that cannot be is refused", "[unit][bad-input]") {
  refused([](D d, S) { d.condenser_cut_out_K = to_kelvin(34); }, "condenser cut-out in degC = 34",
          "above the rating point's 35.0 degC: it must run there");
  refused([](D d, S) { d.condenser_restart_K = to_kelvin(60); }, "condenser restart in degC = 60",
          "below the cut-out");
  refused([](D d, S) { d.derate_from_K = to_kelvin(61); }, "derate from, in degC = 61",
          "below the cut-out");
  refused([](D d, S) { d.restart_delay_s = -5; }, "restart delay in s = -5");
  refused([](D d, S) { d.low_volts_stop_1 = 1.1; }, "low-voltage stop over nominal = 1.1",
          "at most the restart's");
}

TEST_CASE("unit: settings that cannot be are refused", "[unit][bad-input]") {
  refused([](D, S s) { s.speed_cap_1 = 0; }, "speed cap = 0");
  refused([](D, S s) { s.power_cap_W = -5; }, "power cap in W = -5");
  refused([](D, S s) { s.fan_level_1 = 0.2; }, "unit: fan level = 0.2", "between 0.4 and 1");
  refused([](D, S s) { s.quiet.fan_level_1 = 1.2; }, "quiet fan level = 1.2");
  refused([](D, S s) { s.quiet.speed_cap_1 = 2; }, "quiet speed cap = 2");
  refused([](D, S s) { s.recirculation_1 = 0.9; }, "recirculation = 0.9", "between 0 and 0.6");
  refused([](D, S s) { s.condenser_air_rise_K = 50; }, "condenser air rise in K = 50");
  refused([](D, S s) { s.differential_K = 0; }, "differential in K = 0");
  refused([](D, S s) { s.T_set_K = std::nan(""); }, "set point in degC = nan");
}

TEST_CASE("unit: maps that physics forbids are refused", "[unit][bad-input]") {
  const auto with = [](double capacity_W, double by_condenser, double power_W) {
    return [=](D d, S) {
      d.map = map_of([=](double, double y) {
        return unit::Output{capacity_W + by_condenser * (y - 35), power_W};
      });
    };
  };
  REQUIRE(examined(with(2000, -15, 700)).problems.empty());
  refused(with(2000, 15, 700), "capacity rises with the condenser's air temperature everywhere");
  refused(with(2000, -200, 700), "must be above 0 in its whole range");
  refused(with(2000, -15, -700), "must be above 0 in its whole range");
  refused(with(2000, -15, 60), "more than an ideal cycle between the two airs",
          "check capacity and power");
  refused(
      [](D d, S) {
        d.minimum_speed_power_1 = 1, d.minimum_speed_1 = 0.9,
        d.map =
            unit::Map({to_kelvin(12), to_kelvin(24), to_kelvin(20), to_kelvin(50), 0.4},
                      [](double, double y, double s) {
                        return unit::Output{3000 - 20 * core::to_celsius(y), 600 + 200 * (1 - s)};
                      });
        d.minimum_speed_power_1.reset();
      },
      "more power at minimum speed than at full speed");
  // A plate of the same kind.
  refused(
      [](D d, S) {
        d.capacity_W = 20000;
        d.air_flow_m3_s = 1;
      },
      "more than an ideal cycle");
}

TEST_CASE("unit: a coil that cannot give its rated heat is refused", "[unit][bad-input]") {
  refused([](D d, S) { d.sensible_ratio_1 = 0.4; }, "no apparatus dew point");
  refused([](D d, S) { d.air_flow_m3_s = 0.02; }, "saturated");
}

TEST_CASE("unit: measured points that cannot be are refused, odd ones told", "[unit][bad-input]") {
  const auto with = [](std::vector<unit::MeasuredPoint> points) {
    return [=](D d, S) { d.points = points; };
  };
  REQUIRE(examined(with({measured_point(19.44, 35, 1, 2000, 720)})).odd.empty());
  refused(with({measured_point(19.44, 35, 1, 0, 720)}), "measured[0].capacity in W = 0");
  refused(with({measured_point(19.44, 35, 1, 2000, 38)}), "measured[0].power in W = 38",
          "cabin fan and standby");
  refused(with({measured_point(19.44, 25, 1, 1700, 720), measured_point(19.44, 50, 1, 2100, 720)}),
          "capacity rises with the condenser's air");
  odd(with({measured_point(19.44, 35, 1, 2000, 720), measured_point(19.5, 35.1, 1, 2010, 722)}),
      "all measured points share one condition");
  odd(with({measured_point(19.44, 30, 1, 2000, 720), measured_point(19.44, 40, 1, 1900, 750),
            measured_point(19.44, 30, 1, 2400, 720)}),
      "the fit misses a measured point by");
}

TEST_CASE("unit: a slowest speed beyond its map is told", "[unit][bad-input]") {
  odd(
      [](D d, S) {
        d.minimum_speed_1 = 0.15;
        d.minimum_speed_power_1.reset();
        d.minimum_speed_capacity_1.reset();
      },
      "minimum speed = 0.15 lies below 0.25");
  const auto d = [] {
    auto x = generic_unit();
    x.minimum_speed_1 = 0.125;
    x.minimum_speed_capacity_1.reset();
    x.minimum_speed_power_1.reset();
    return x;
  }();
  const auto c = unit::characteristics(d);
  const auto& g = unit::generic_factors(d.refrigerant);
  CHECK_RELATIVE(c.map.at(to_kelvin(19.44), to_kelvin(35), 0.125).total_W,
                 0.5 * g.at(19.44, 35, 0.25).total_W * (d.capacity_W + d.cabin_fan_W), 2e-3);
}
