// SPDX-License-Identifier: Apache-2.0
// [unit] and [[measured]]: what is read, what is refused, what is told.
#include <cabinload/core/constants.hpp>
#include <cabinload/unit/machine.hpp>

#include "support/catch.hpp"
#include "support/scenario_text.hpp"

namespace core = cabinload::core;
namespace scenario = cabinload::scenario;
namespace test = cabinload::test;
namespace unit = cabinload::unit;
using core::to_kelvin;
using test::contains;
using test::read_text;
using test::refusal;
using test::warnings_of;

namespace {

std::string measured(const char* capacity, const char* power, const char* condenser,
                     const char* more = "") {
  return std::string("[[measured]]\ncapacity = \"") + capacity + "\"\npower = \"" + power +
         "\"\ncondenser = \"" + condenser + "\"\n" + more + "\n";
}

}  // namespace

TEST_CASE("scenario: a data plate by power or by current and voltage", "[scenario][unit]") {
  const auto by_current = read_text("[unit]\nvolts = \"12.8 V\"\ncurrent = \"50 A\"\n").unit;
  CHECK_RELATIVE(by_current.power_W, 640, 1e-12);
  CHECK(by_current.volts == 12.8);
  const auto u = read_text(
                     "[unit]\nmodel = \"generic-2600-48v\"\ncapacity = \"9000 BTU/h\"\npower = "
                     "\"0.9 kW\"\nrefrigerant = \"R32\"\ncycle_law = \"standard\"\n")
                     .unit;
  CHECK_RELATIVE(u.capacity_W, 2637.6, 1e-4);
  CHECK(u.power_W == 900);
  CHECK(u.cycle_law == unit::CycleLaw::standard);
  CHECK_THAT(u.source, contains("as described in the scenario, on generic-2600-48v"));
  CHECK_THAT(unit::characteristics(u).source, contains("generic factors, ideal R32 cycle"));
}

TEST_CASE("scenario: measured points go before the model's plate", "[scenario][unit]") {
  const auto s = read_text(measured("1900 W", "700 W", "35 degC") +
                           measured("1.6 kW", "800 W", "48 degC", "wet_bulb = \"18 degC\""));
  REQUIRE(s.unit.points.size() == 2);
  CHECK(s.unit.points[1].capacity_W == 1600);
  CHECK_WITHIN(s.unit.points[1].condenser_K, to_kelvin(48), 1e-9);
  CHECK_WITHIN(s.unit.points[1].wet_bulb_K, to_kelvin(18), 1e-9);
  CHECK_WITHIN(s.unit.points[0].wet_bulb_K, to_kelvin(19.44), 1e-9);  // the rating point
  const auto c = unit::characteristics(s.unit);
  CHECK_RELATIVE(c.map.at(to_kelvin(19.44), to_kelvin(35), 1).total_W - s.unit.cabin_fan_W, 1900,
                 2e-3);
  // What the model gives at its slowest is not these points'.
  CHECK_FALSE(s.unit.minimum_speed_capacity_1);
  CHECK_FALSE(s.unit.minimum_speed_power_1);
  CHECK(read_text("").unit.minimum_speed_capacity_1);
  const auto slower = read_text("[unit]\nminimum_speed = 0.6\nminimum_power = 0.5\n").unit;
  CHECK_FALSE(slower.minimum_speed_capacity_1);
  CHECK(slower.minimum_speed_power_1 == 0.5);
}

TEST_CASE("scenario: plates that contradict themselves are refused", "[scenario][bad-input]") {
  CHECK_THAT(refusal("[unit]\ncurrent = \"50 A\"\n"),
             contains("unit.current") && contains("the voltage it was measured at is missing"));
  CHECK_THAT(refusal("[unit]\nvolts = \"12 V\"\ncurrent = \"50 A\"\npower = \"600 W\"\n"),
             contains("unit.current") && contains("give one of them"));
  CHECK_THAT(refusal("[unit]\ncapacity = \"2000\"\n"), contains("unit.capacity"));  // no unit
  CHECK_THAT(refusal("[unit]\nsensible_ratio = 1.2\n"), contains("unit.sensible_ratio"));
  CHECK_THAT(refusal("[unit]\nminimum_speed = 1.5\n"), contains("unit.minimum_speed"));
  CHECK_THAT(refusal("[unit]\nrefrigerant = \"R134\"\n"),
             contains("unit.refrigerant") && contains("R134a"));
  CHECK_THAT(refusal("[unit]\nfan_level = 0.1\n"), contains("unit.fan_level"));
  CHECK_THAT(refusal("[unit]\ncycle_law = \"none\"\n"), contains("unit.cycle_law"));
  CHECK_THAT(refusal("[unit]\npower = \"30 W\"\n"),
             contains("power in W = 30") && contains("above the cabin fan and the standby"));
  CHECK_THAT(refusal("[unit]\ncabin_fan = \"300 W\"\ncapacity = \"200 W\"\npower = \"400 W\"\n"),
             contains("cabin fan in W = 300, must be between 0 and the capacity"));
  CHECK_THAT(refusal("[unit]\nrated_wet_bulb = \"30 degC\"\n"),
             contains("rated wet bulb in degC = 30, must be at most the rated dry bulb"));
}

TEST_CASE("scenario: protection that contradicts the plate is refused", "[scenario][bad-input]") {
  CHECK_THAT(refusal("[unit]\ncondenser_cut_out = \"34 degC\"\n"),
             contains("condenser cut-out in degC = 34") && contains("it must run there"));
  CHECK_THAT(refusal("[unit]\ncondenser_restart = \"62 degC\"\n"),
             contains("condenser restart in degC = 62") && contains("below the cut-out"));
  CHECK_THAT(refusal("[unit]\nderate_from = \"65 degC\"\n"),
             contains("derate from, in degC = 65") && contains("below the cut-out"));
  CHECK_THAT(refusal("[unit]\nlow_volts_stop = 1.1\nlow_volts_restart = 1.0\n"),
             contains("low-voltage stop over nominal = 1.1"));
}

TEST_CASE("scenario: units that physics forbids are refused", "[scenario][bad-input]") {
  CHECK_THAT(refusal("[unit]\ncapacity = \"8 kW\"\npower = \"200 W\"\nair_flow = \"1500 m3/h\"\n"),
             contains("W of cold per W, more than an ideal cycle between the two airs"));
  CHECK_THAT(
      refusal(measured("1700 W", "700 W", "25 degC") + measured("2100 W", "700 W", "50 degC")),
      contains("capacity rises with the condenser's air temperature everywhere"));
  CHECK_THAT(refusal("[unit]\nair_flow = \"80 m3/h\"\n"),
             contains("the air would leave wetter than saturated"));
  CHECK_THAT(refusal("[unit]\nsensible_ratio = 0.4\n"), contains("no apparatus dew point fits"));
}

TEST_CASE("scenario: measured points that cannot be are refused", "[scenario][bad-input]") {
  const std::string good = measured("1900 W", "700 W", "35 degC");
  for (const char* key : {"capacity = \"2 kW\"", "power = \"700 W\"", "current = \"50 A\""}) {
    const std::string volts = key[1] == 'u' ? "volts = \"12 V\"\n" : "";
    CHECK_THAT(refusal("[unit]\n" + volts + key + "\n" + good),
               contains("[[measured]] points say this already"));
  }
  CHECK_THAT(refusal("[[measured]]\ncapacity = \"2 kW\"\n"),
             contains("measured[0].power") && contains("a measured point needs it"));
  CHECK_THAT(refusal("[[measured]]\npower = \"700 W\"\n"),
             contains("measured[0].capacity") && contains("a measured point needs it"));
  CHECK_THAT(refusal(measured("1900 W", "700 W", "35 degC", "wet_bulb = \"30 degC\"")),
             contains("measured[0].wet_bulb") && contains("the wet bulb is above the dry bulb"));
  CHECK_THAT(refusal(good + measured("1900 W", "30 W", "45 degC")),
             contains("measured[1].power in W = 30") && contains("which are part of it"));
  CHECK_THAT(refusal(measured("1900 W", "700 W", "35 degC", "speed = 1.4")),
             contains("measured[0].speed"));
}

TEST_CASE("scenario: odd units are told, not refused", "[scenario][bad-input]") {
  const std::string good = measured("1900 W", "700 W", "35 degC");
  CHECK_THAT(warnings_of(good), !contains("condition") && !contains("misses"));
  CHECK_THAT(warnings_of(good + measured("1910 W", "705 W", "35.2 degC")),
             contains("all measured points share one condition"));
  CHECK_THAT(warnings_of(good + measured("1500 W", "800 W", "48 degC") +
                         measured("2300 W", "700 W", "35 degC")),
             contains("the fit misses a measured point by"));
  CHECK_THAT(warnings_of("[unit]\nminimum_speed = 0.1\n"), contains("lies below 0.25"));
  CHECK_THAT(
      warnings_of("[unit]\ncapacity = \"3 kW\"\npower = \"550 W\"\nair_flow = \"600 m3/h\"\n"),
      contains("better than small units reach"));
}

TEST_CASE("scenario: half a data plate is told with what it makes of the model",
          "[scenario][unit]") {
  // The model is 2000 W of cooling from 720 W.
  CHECK_THAT(warnings_of("[unit]\ncapacity = \"2600 W\"\n"),
             contains("unit.capacity: 2600 W of cooling goes with the 720 W of input of "
                      "generic-2000-24v: 3.61 W of cooling for each W of input, where the model "
                      "gives 2.78; give unit.power too"));
  CHECK_THAT(warnings_of("[unit]\npower = \"500 W\"\n"),
             contains("unit.power: 500 W of input goes with the 2000 W of cooling of") &&
                 contains("4.00 W of cooling") && contains("give unit.capacity too"));
  CHECK_THAT(warnings_of("[unit]\ncurrent = \"20 A\"\nvolts = \"25 V\"\n"),
             contains("unit.current: 500 W of input goes with") && contains("4.00 W of cooling"));
  for (const char* told : {"capacity = \"2600 W\"\npower = \"900 W\"\n", "capacity = \"2 kW\"\n",
                           "power = \"720 W\"\n", "model = \"generic-2600-48v\"\n"})
    CHECK_THAT(warnings_of(std::string("[unit]\n") + told), !contains("goes with the"));
}
