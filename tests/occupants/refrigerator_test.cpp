// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/occupants/occupants.hpp>
#include <cmath>

#include "support/catch.hpp"

namespace core = cabinload::core;
namespace occupants = cabinload::occupants;
using core::to_kelvin;

namespace {

constexpr double kRounding = 1e-12;

occupants::Appliance appliance(bool condenser_inside = true) {
  occupants::Appliance a;
  a.power_W = core::DayProfile(45);
  a.on = core::DaySchedule::always();
  a.refrigerator.emplace();
  a.refrigerator->condenser_inside = condenser_inside;
  return a;
}

}  // namespace

TEST_CASE("occupants: a refrigerator draws what its box and its cycle ask, by hand",
          "[occupants][unit]") {
  // Cabin 30 degC, inside 4 degC: 0.9 x 26 + 8 = 31.4 W to pump. Evaporating at -11 degC (262.15
  // K), condensing at 45 degC, 56 K above: COP 0.35 x 262.15 / 56 = 1.63844; 31.4 / 1.63844
  // = 19.1646 W.
  constexpr double kFiveDigits_1 = 1e-5;
  const occupants::Refrigerator r;
  const auto now = occupants::run_of(r, 45, 0, to_kelvin(30), to_kelvin(40));
  CHECK_RELATIVE(now.pumped_W, 31.4, kRounding);
  CHECK_RELATIVE(now.electric_W, 19.1646, kFiveDigits_1);
  CHECK_RELATIVE(now.duty_1, 19.1646 / 45, kFiveDigits_1);
  CHECK(now.heat_to_cabin_W == now.electric_W);
  // Vented to outdoors at 40 degC: 66 K of lift, COP 1.390189, and the cabin loses what is pumped.
  occupants::Refrigerator vented;
  vented.condenser_inside = false;
  const auto out = occupants::run_of(vented, 45, 0, to_kelvin(30), to_kelvin(40));
  CHECK_RELATIVE(out.electric_W, 31.4 / 1.390189, kFiveDigits_1);
  CHECK_RELATIVE(out.heat_to_cabin_W, -31.4, kRounding);
  // The defaults at 25 degC: 26.9 W pumped, COP 0.35 x 262.15 / 51 = 1.79907, 0.359 kWh a day;
  // common practice, no published source: 0.3 to 0.6 kWh.
  const double day_kWh =
      occupants::run_of(r, 45, 0, to_kelvin(25), to_kelvin(25)).electric_W * 24e-3;
  CHECK_RELATIVE(day_kWh, 0.3589, 1e-3);
  CHECK(day_kWh > 0.3);
  CHECK(day_kWh < 0.6);
}

TEST_CASE("occupants: the hotter the cabin, the more a refrigerator draws, up to its compressor",
          "[occupants][property]") {
  const occupants::Refrigerator r;
  double before_W = -1, before_cop = 1e9;
  for (double t = 0; t <= 66; t += 2) {
    INFO(t << " degC");
    const auto now = occupants::run_of(r, 45, 0, to_kelvin(t), to_kelvin(20));
    CHECK(now.electric_W >= before_W);
    CHECK(now.electric_W <= 45 * (1 + kRounding));
    CHECK_RELATIVE(now.electric_W, 45 * now.duty_1, kRounding);
    if (now.electric_W > 0) {
      CHECK(now.pumped_W / now.electric_W <= before_cop);
      before_cop = now.pumped_W / now.electric_W;
    }
    // Never more than Carnot allows between the inside and the air.
    CHECK(now.electric_W >= now.pumped_W * (to_kelvin(t) - r.T_inside_K) / r.T_inside_K);
    before_W = now.electric_W;
  }
  CHECK(occupants::run_of(r, 45, 0, to_kelvin(66), to_kelvin(20)).duty_1 == 1);
  // Colder around it than inside by more than the doors bring: nothing.
  CHECK(occupants::run_of(r, 45, 0, to_kelvin(-5), to_kelvin(-5)).electric_W == 0);
  CHECK(occupants::run_of(r, 0, 0, to_kelvin(30), to_kelvin(30)).electric_W == 0);
  // Temperatures beyond its range count as the nearer end.
  CHECK(occupants::run_of(r, 45, 0, 400, 300).pumped_W ==
        occupants::run_of(r, 45, 0, 340, 300).pumped_W);
}

TEST_CASE("occupants: a refrigerator's heat is counted once", "[occupants][property]") {
  for (const bool inside : {true, false}) {
    const occupants::Appliance a = appliance(inside);
    for (double t : {15.0, 28.0, 45.0}) {
      const double T_K = to_kelvin(t), T_out_K = to_kelvin(35);
      const auto now = occupants::run_of(*a.refrigerator, 45, 0, T_K, T_out_K);
      const auto load = occupants::load({a}, 0, T_K, T_out_K);
      const auto heat = occupants::gains({}, {}, {a}, 0, T_K, T_out_K);
      CHECK(load.direct_W == now.electric_W);
      CHECK(load.refrigerator_direct_W == now.electric_W);
      CHECK_RELATIVE(heat.convective_W + heat.radiant_W, inside ? now.electric_W : -now.pumped_W,
                     kRounding);
      CHECK(heat.refrigerator_W == now.heat_to_cabin_W);
      CHECK(heat.moisture_kg_s == 0);
    }
  }
  // Two of them and a lamp add up; alternating current stays apart; not on the battery: heat only.
  occupants::Appliance by_inverter = appliance(), own = appliance();
  by_inverter.alternating = true;
  own.on_battery = false;
  occupants::Appliance lamp;
  lamp.power_W = core::DayProfile(10);
  lamp.on = core::DaySchedule::always();
  const double one_W = occupants::load({appliance()}, 0, 300, 300).direct_W;
  const auto all = occupants::load({appliance(), by_inverter, own, lamp}, 0, 300, 300);
  CHECK_RELATIVE(all.direct_W, one_W + 10, kRounding);
  CHECK_RELATIVE(all.alternating_W, one_W, kRounding);
  CHECK_RELATIVE(all.refrigerator_direct_W + all.refrigerator_alternating_W, 2 * one_W, kRounding);
  CHECK_RELATIVE(
      occupants::gains({}, {}, {appliance(), by_inverter, own, lamp}, 0, 300, 300).refrigerator_W,
      3 * one_W, kRounding);
}
