// SPDX-License-Identifier: Apache-2.0
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/unit.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/table.hpp"

namespace air = cabinload::air;
namespace core = cabinload::core;
namespace unit = cabinload::unit;
using cabinload::test::contains;
using cabinload::test::Table;
using core::to_kelvin;

namespace {

unit::Settings settings() {
  unit::Settings s;
  s.T_set_K = to_kelvin(24);
  return s;
}

const unit::Description& generic() {
  return unit::built_in().at(2);
}

/// Air whose wet bulb is given, at sea level.
unit::Inlet inlet(double dry_degC, double wet_degC, double condenser_degC) {
  double W = 1e-6;
  for (double step = 0.02; step > 1e-12; step /= 2)
    if (air::wet_bulb_K(to_kelvin(dry_degC), W + step, 101325) < to_kelvin(wet_degC)) W += step;
  return {to_kelvin(dry_degC), W, 101325, to_kelvin(condenser_degC)};
}

}  // namespace

TEST_CASE("unit: the rating point gives the rated figures", "[unit][property]") {
  for (const auto& u : unit::built_in()) {
    const unit::Machine machine(u, settings());
    const auto o = machine.offer(inlet(26.67, 19.44, 35));
    INFO(u.key);
    CHECK_RELATIVE(o.sensible_W + o.latent_W - u.cabin_fan_W, u.capacity_W, 1e-5);
    CHECK_RELATIVE(o.sensible_W / (o.sensible_W + o.latent_W), u.sensible_ratio_1, 5e-4);
    const auto full = machine.deliver(o, 1e6);
    CHECK_RELATIVE(full.electric_W, u.power_W, 1e-4);
    CHECK(full.fan_heat_W == u.cabin_fan_W);
    CHECK(full.load_ratio_1 == 1);
  }
}

TEST_CASE("unit: generic factors fit the computed cycle", "[unit][table]") {
  // src/unit/generic_factors.py: ideal R134a cycle; the fit misses by 0.6 % (capacity) and 1.6 %
  // (power) of rated.
  const Table t("unit/generic_factors.csv");
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const double x = t.number(i, "wet_bulb_degC"), y = t.number(i, "condenser_degC");
    INFO(x << " / " << y);
    CHECK_WITHIN(generic().capacity_factor.at(x, y), t.number(i, "capacity_1"), 0.006);
    CHECK_WITHIN(generic().power_factor.at(x, y), t.number(i, "power_1"), 0.017);
  }
  CHECK(t.rows() > 40);
  CHECK(generic().capacity_factor.at(40, 35) ==
        generic().capacity_factor.at(26, 35));  // clamped outside
}

TEST_CASE("unit: hotter condensers give less for more", "[unit][property]") {
  const unit::Machine machine(generic(), settings());
  double capacity = 1e9, power = 0;
  for (int t = 20; t <= 58; t += 2) {
    const auto o = machine.offer(inlet(25, 18, t));
    CHECK(o.sensible_W + o.latent_W < capacity);
    CHECK(o.compressor_W > power);
    capacity = o.sensible_W + o.latent_W;
    power = o.compressor_W;
  }
}

TEST_CASE("unit: coil heat is the air's enthalpy change, water included", "[unit][property]") {
  const unit::Machine machine(generic(), settings());
  for (const double wet : {12.0, 16.0, 19.44, 22.0, 25.0}) {
    const auto in = inlet(27, wet, 38);
    const auto o = machine.offer(in);
    const double flow = generic().air_flow_m3_s *
                        air::density_kg_m3(in.T_cabin_K, in.W_cabin_1, in.p_Pa) /
                        (1 + in.W_cabin_1);
    const double W_out = in.W_cabin_1 - o.moisture_kg_s / flow;
    const double h_out =
        air::enthalpy_J_kg(in.T_cabin_K, in.W_cabin_1) - (o.sensible_W + o.latent_W) / flow;
    const double T_out_K = air::temperature_from_enthalpy_K(h_out, W_out);
    INFO("wet bulb " << wet << ", out " << core::to_celsius(T_out_K) << " degC");
    CHECK_RELATIVE(o.sensible_W, flow * air::specific_heat_J_kgK(W_out) * (in.T_cabin_K - T_out_K),
                   1e-9);
    CHECK(air::relative_humidity_1(T_out_K, W_out, in.p_Pa) < 1.0);
    CHECK(o.latent_W >= 0);
  }
}

TEST_CASE("unit: a dry coil takes no water and meets the wet one without a step",
          "[unit][property]") {
  const unit::Machine machine(generic(), settings());
  const auto dry = machine.offer(inlet(27, 11, 35));
  CHECK(dry.latent_W == 0);
  CHECK(dry.moisture_kg_s == 0);
  // Below the humidity at which the coil is just wet, capacity no longer falls with wet bulb.
  CHECK_RELATIVE(machine.offer(inlet(27, 12, 35)).sensible_W, dry.sensible_W, 1e-3);
  double before = 0;
  for (double wet = 11; wet < 22; wet += 0.05) {
    const auto o = machine.offer(inlet(27, wet, 35));
    const double total = o.sensible_W + o.latent_W;
    if (before > 0) CHECK(std::abs(total - before) < 0.01 * before);
    before = total;
  }
}

TEST_CASE("unit: apparatus dew point of a textbook coil", "[unit][table]") {
  // 2 kg/s from 25 degC, 50 % to 11 degC at an apparatus dew point of 7 degC: bypass (11-7)/(25-7),
  // exact in temperature.
  const Table t("unit/coil_example.csv");
  double bypass = 0;
  for (std::size_t i = 0; i < t.rows(); ++i)
    if (t.text(i, "quantity").rfind("bypass factor (11-7)", 0) == 0)
      bypass = t.number(i, "value_computed");
  // Put the outlet on the straight line from the inlet to saturation at 7 degC, then find that
  // point again.
  const double T_in = to_kelvin(25), W_in = air::humidity_ratio_from_relative_1(T_in, 0.5, 101325);
  const double T_adp = to_kelvin(7), W_adp = air::saturation_humidity_ratio_1(T_adp, 101325);
  const double T_out = to_kelvin(11), W_out = W_adp + (W_in - W_adp) * (11.0 - 7.0) / (25.0 - 7.0);
  const double total_W = 2 * (air::enthalpy_J_kg(T_in, W_in) - air::enthalpy_J_kg(T_out, W_out));
  const double sensible_W = 2 * air::specific_heat_J_kgK(W_out) * (T_in - T_out);
  const auto found = unit::bypass_factor(T_in, W_in, 101325, 2, total_W, sensible_W);
  CHECK_WITHIN(found.bypass_factor_1, bypass, 0.001);
  CHECK_WITHIN(core::to_celsius(found.T_adp_K), 7.0, 0.05);
}

TEST_CASE("unit: between minimum and full it modulates, below it cycles with its loss",
          "[unit][table]") {
  auto description = generic();
  description.cyclic_degradation_1 = 0.25;
  const unit::Machine machine(description, settings());
  const auto o = machine.offer(inlet(25, 18, 35));
  const double fan_and_controls_W = description.cabin_fan_W + description.standby_W;
  // AHRI 210/240: PLF = 1 - CD (1 - CLF), energy = CLF / PLF.
  for (const double load : {0.1, 0.5, 0.9}) {
    const auto d = machine.deliver(o, load * o.minimum_sensible_W);
    CHECK_RELATIVE(d.compressor_on_1, load / (1 - 0.25 * (1 - load)), 1e-12);
    CHECK_RELATIVE(d.electric_W - fan_and_controls_W, o.minimum_compressor_W * d.compressor_on_1,
                   1e-12);
    CHECK_RELATIVE(d.sensible_W, load * o.minimum_sensible_W, 1e-12);
  }
  const auto at = machine.deliver(o, o.minimum_sensible_W * (1 - 1e-9)),
             above = machine.deliver(o, o.minimum_sensible_W * (1 + 1e-9));
  CHECK_RELATIVE(at.electric_W, above.electric_W, 1e-6);
  const auto half = machine.deliver(o, 0.5 * (o.minimum_sensible_W + o.sensible_W));
  CHECK_RELATIVE(half.electric_W - fan_and_controls_W,
                 0.5 * (o.minimum_compressor_W + o.compressor_W), 1e-12);
  const auto nothing = machine.deliver(o, -100);
  CHECK(nothing.sensible_W == 0);
  CHECK_RELATIVE(nothing.electric_W, fan_and_controls_W, 1e-12);
}

TEST_CASE("unit: economy caps hold, cut-out gives nothing, the fan can follow the compressor",
          "[unit][unit]") {
  auto s = settings();
  s.power_cap_W = 400;
  const unit::Machine capped(generic(), s);
  const auto o = capped.offer(inlet(25, 18, 38));
  CHECK(o.capped);
  CHECK_RELATIVE(capped.deliver(o, 1e6).electric_W, 400, 1e-9);
  s = settings();
  s.speed_cap_1 = 0.7;
  const auto slow = unit::Machine(generic(), s).offer(inlet(25, 18, 38));
  const auto full = unit::Machine(generic(), settings()).offer(inlet(25, 18, 38));
  CHECK_RELATIVE(slow.sensible_W / full.sensible_W, 0.45 + 0.5 * 0.55,
                 1e-9);  // half way from 0.4 to 1
  CHECK_FALSE(full.capped);
  const auto hot = unit::Machine(generic(), settings()).offer(inlet(25, 18, 60.5));
  CHECK(hot.cut_out);
  CHECK(hot.sensible_W == 0);
  s = settings();
  s.fan_always = false;
  const unit::Machine quiet(generic(), s);
  CHECK(quiet.deliver(full, 0).fan_heat_W == 0);
  CHECK_RELATIVE(
      quiet.deliver(full, 0.5 * full.minimum_sensible_W).fan_heat_W,
      generic().cabin_fan_W * quiet.deliver(full, 0.5 * full.minimum_sensible_W).compressor_on_1,
      1e-12);
}

TEST_CASE("unit: full output at 48 V draws what small units draw", "[unit][unit]") {
  // Common practice, no published source: about 15 A at 48 V for a good small unit at full output,
  // band 12 to 20 A.
  for (const auto& u : unit::built_in()) {
    if (u.volts != 48) continue;
    CHECK(u.power_W / u.volts > 12);
    CHECK(u.power_W / u.volts < 20);
    CHECK_THAT(u.source, contains("invented"));
  }
}

TEST_CASE("unit: descriptions out of range are refused by name", "[unit][unit]") {
  const auto refused = [](auto change, const char* part) {
    auto d = generic();
    auto s = settings();
    change(d, s);
    CHECK_THROWS_WITH(unit::Machine(d, s), contains(part));
  };
  using D = unit::Description&;
  using S = unit::Settings&;
  refused([](D d, S) { d.capacity_W = 0; }, "capacity in W");
  refused([](D d, S) { d.power_W = 20; }, "power in W");
  refused([](D d, S) { d.sensible_ratio_1 = 1.2; }, "sensible ratio");
  refused([](D d, S) { d.sensible_ratio_1 = 0.4; }, "no apparatus dew point");
  refused([](D d, S) { d.air_flow_m3_s = 0.02; }, "saturated");
  refused([](D d, S) { d.minimum_speed_1 = 1.5; }, "minimum speed");
  refused([](D d, S) { d.minimum_speed_capacity_1 = 0; }, "capacity at minimum speed");
  refused([](D d, S) { d.minimum_speed_power_1 = 2; }, "power at minimum speed");
  refused([](D d, S) { d.cyclic_degradation_1 = 1; }, "cyclic degradation");
  refused([](D d, S) { d.cabin_fan_W = -1; }, "cabin fan");
  refused([](D d, S) { d.standby_W = -1; }, "standby");
  refused([](D d, S) { d.volts = 0; }, "volts");
  refused([](D d, S) { d.air_flow_m3_s = 0; }, "air flow");
  refused([](D d, S) { d.rated_wet_bulb_K = 310; }, "rated wet bulb");
  refused([](D d, S) { d.condenser_cut_out_K = 10; }, "cut-out");
  refused([](D, S s) { s.speed_cap_1 = 0; }, "speed cap");
  refused([](D, S s) { s.power_cap_W = -5; }, "power cap");
  refused([](D, S s) { s.T_set_K = std::nan(""); }, "set point");
  refused([](D, S s) { s.condenser_air_rise_K = 50; }, "condenser air rise");
}
