// SPDX-License-Identifier: Apache-2.0
// The cooling coil by itself: sensible and latent heat, bypass, water that goes back.
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/coil.hpp>
#include <cmath>
#include <random>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace air = cabinload::air;
namespace core = cabinload::core;
namespace test = cabinload::test;
namespace unit = cabinload::unit;
using core::to_kelvin;
using test::contains;
using test::Table;

TEST_CASE("unit: coil heat agrees with an independent solution over 200 states", "[unit][table]") {
  constexpr double kBar_1 = 0.01;
  const Table t("unit/coil_states.csv");
  test::Worst heat, water, adp;
  int dry = 0, back_again = 0;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const unit::CoilAir a{to_kelvin(t.number(i, "T_degC")), t.number(i, "W_1"), t.number(i, "p_Pa"),
                          t.number(i, "flow_kg_s")};
    const double total_W = t.number(i, "total_W"), bypass = t.number(i, "bypass_1");
    double T_adp_K = 285;
    const unit::CoilHeat h = unit::coil_heat(a, total_W, bypass, T_adp_K);
    INFO("row " << i << ", total " << total_W << " W");
    CHECK(heat.see(h.sensible_W / total_W, t.number(i, "sensible_W") / total_W) < kBar_1);
    CHECK(heat.see(h.latent_W / total_W, t.number(i, "latent_W") / total_W) < kBar_1);
    const double W_out = a.W_1 - h.moisture_kg_s / a.flow_kg_s;
    CHECK(water.see_relative(W_out, t.number(i, "W_out_1")) < kBar_1);
    if (h.latent_W <= 0) {
      ++dry;
      continue;
    }
    CHECK(adp.see(core::to_celsius(T_adp_K), t.number(i, "T_adp_degC")) < 0.05);
    // And back: a bypass from the heats gives these heats. Not fog in the leaving air, which is no
    // rating point; where the line meets saturation twice either bypass is right.
    const double T_out_K = a.T_K - h.sensible_W / (a.flow_kg_s * air::specific_heat_J_kgK(W_out));
    if (air::relative_humidity_1(T_out_K, W_out, a.p_Pa) > 1) continue;
    const auto back = unit::bypass_factor(a.T_K, a.W_1, a.p_Pa, a.flow_kg_s, total_W, h.sensible_W);
    CHECK(back.bypass_factor_1 >= 0);
    CHECK(back.bypass_factor_1 < bypass + 1e-3);
    const auto again = unit::coil_heat(a, total_W, back.bypass_factor_1, T_adp_K);
    CHECK_RELATIVE(again.sensible_W, h.sensible_W, 1e-4);
    CHECK_WITHIN(T_adp_K, back.T_adp_K, 1e-3);
    ++back_again;
  }
  CHECK(t.rows() == 200);
  CHECK(dry > 30);
  CHECK(back_again > 100);
  const char* source = "independent solution with PsychroLib 2.5.0, 200 states";
  heat.record("Cooling unit", "coil, sensible and latent over total", source, kBar_1, "1");
  water.record("Cooling unit", "coil, leaving humidity ratio", source, kBar_1, "1");
  adp.record("Cooling unit", "coil, apparatus dew point", source, 0.05, "K");
}

TEST_CASE("unit: apparatus dew point of a textbook coil", "[unit][table]") {
  // 2 kg/s from 25 degC, 50 % to 11 degC at an apparatus dew point of 7 degC: bypass (11-7)/(25-7)
  // by temperature; by enthalpy it is 0.7 % less.
  const Table t("unit/coil_example.csv");
  const auto value = [&](const std::string& start) {
    for (std::size_t i = 0; i < t.rows(); ++i)
      if (t.text(i, "quantity").rfind(start, 0) == 0) return t.number(i, "value_computed");
    throw std::runtime_error("no row " + start);
  };
  // Put the outlet on the straight line from the inlet to saturation at 7 degC, then find that
  // point again.
  const double T_in = to_kelvin(25), W_in = air::humidity_ratio_from_relative_1(T_in, 0.5, 101325);
  const double T_adp = to_kelvin(7), W_adp = air::saturation_humidity_ratio_1(T_adp, 101325);
  const double T_out = to_kelvin(11), W_out = W_adp + (W_in - W_adp) * (11.0 - 7.0) / (25.0 - 7.0);
  const double total_W = 2 * (air::enthalpy_J_kg(T_in, W_in) - air::enthalpy_J_kg(T_out, W_out));
  const double sensible_W = 2 * air::specific_heat_J_kgK(W_out) * (T_in - T_out);
  const auto found = unit::bypass_factor(T_in, W_in, 101325, 2, total_W, sensible_W);
  CHECK_WITHIN(found.bypass_factor_1, value("bypass factor (11-7)"), 0.01 * 0.222);
  CHECK_WITHIN(core::to_celsius(found.T_adp_K), 7.0, 0.1);
  // The published states themselves: total without the condensate's own heat, and SHR.
  const double W_out_given = value("leaving humidity ratio");
  const double total_kW =
      2 * (air::enthalpy_J_kg(T_in, W_in) - air::enthalpy_J_kg(T_out, W_out_given)) / 1000;
  const double credited_kW = total_kW - 2 * (W_in - W_out_given) * value("condensate enthalpy");
  CHECK_RELATIVE(credited_kW, value("total coil capacity"), 0.01);
  const double given_kW = 2 * air::specific_heat_J_kgK(W_out_given) * (T_in - T_out) / 1000;
  CHECK_WITHIN(given_kW / credited_kW, value("sensible heat ratio"), 0.01);
}

TEST_CASE("unit: coil heat is the air's enthalpy change", "[unit][property]") {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> T(16, 42), rh(0.05, 1), flow(0.03, 0.3), q(3e3, 4e4),
      bypass(0.02, 0.5);
  for (int i = 0; i < 1000; ++i) {
    const double T_K = to_kelvin(T(random));
    const unit::CoilAir a{T_K, air::humidity_ratio_from_relative_1(T_K, rh(random), 101325), 101325,
                          flow(random)};
    const double total_W = q(random) * a.flow_kg_s;
    double T_adp_K = 285;
    const auto h = unit::coil_heat(a, total_W, bypass(random), T_adp_K);
    const double W_out = a.W_1 - h.moisture_kg_s / a.flow_kg_s;
    const double T_out_K = a.T_K - h.sensible_W / (a.flow_kg_s * air::specific_heat_J_kgK(W_out));
    CHECK_RELATIVE(h.sensible_W + h.latent_W, total_W, 1e-12);
    CHECK_RELATIVE(
        a.flow_kg_s * (air::enthalpy_J_kg(a.T_K, a.W_1) - air::enthalpy_J_kg(T_out_K, W_out)),
        total_W, 1e-9);
    CHECK(h.latent_W >= 0);
    CHECK(W_out > 0);
  }
  double guess = 285;
  CHECK(unit::coil_heat({300, 0.01, 101325, 0.1}, 0, 0.1, guess).sensible_W == 0);
}

TEST_CASE("unit: bypass moves with the air flow", "[unit][property]") {
  CHECK_RELATIVE(unit::bypass_at_flow_1(0.2, 1), 0.2, 1e-14);
  CHECK_RELATIVE(unit::bypass_at_flow_1(0.2, 0.5), 0.04, 1e-12);  // BF = exp(-A0 / m)
  CHECK(unit::bypass_at_flow_1(0.2, 1.2) > 0.2);
  CHECK(unit::bypass_at_flow_1(0, 0.7) == 0);
  // More latent heat than a straight line to saturation can have, and more sensible.
  const double T = to_kelvin(26.7), W = 0.011;
  CHECK_THROWS_WITH(unit::bypass_factor(T, W, 101325, 0.1, 2000, 700), contains("too low"));
  CHECK_THROWS_WITH(unit::bypass_factor(T, W, 101325, 0.03, 2000, 1900), contains("saturated"));
}

TEST_CASE("unit: water goes back from a cycling coil as Henderson and Rengarajan say",
          "[unit][table]") {
  // Shape and limits of their curve; constants from memory (file of part-load rules).
  constexpr double kWet_s = 720, kGamma = 1.5, kMax_1_h = 3, kTau_s = 45, kShr = 0.75;
  CHECK(unit::kTimeToWet_s == kWet_s);
  CHECK(unit::kFirstEvaporation_1 == kGamma);
  const auto share = [&](double X) {
    return unit::latent_share_1(3600 / (4 * kMax_1_h * (1 - X)), 3600 / (4 * kMax_1_h * X), kWet_s,
                                kGamma, kTau_s);
  };
  const auto shr = [&](double X) { return 1 - (1 - kShr) * share(X); };
  double before = 0;
  for (double X = 0.02; X < 0.999; X += 0.01) {
    INFO("run fraction " << X << ", share " << share(X));
    CHECK(share(X) >= before);
    CHECK(share(X) <= 1);
    CHECK(shr(X) >= kShr);
    before = share(X);
  }
  CHECK_WITHIN(share(0.9999), 1.0, 2e-3);  // full run: the steady coil
  CHECK_WITHIN(share(1 - 1e-9), 1.0, 1e-6);
  CHECK(shr(0.05) == 1);  // below some run fraction nothing is left
  CHECK(shr(0.25) == 1);
  CHECK(share(0.7) > 0.1);
  CHECK(share(0.7) < 0.8);
  // Their implicit equation, put in: t_0 that makes the water balance of a cycle close.
  for (const double X : {0.6, 0.75, 0.9}) {
    const double on = 300 / (1 - X), off = 300 / X, s = share(X);
    const double t_0 = on - s * (on + kTau_s * std::expm1(-on / kTau_s));
    CHECK_WITHIN(t_0,
                 kGamma * off - kGamma * kGamma / (4 * kWet_s) * off * off -
                     kTau_s * std::expm1(-t_0 / kTau_s),
                 0.05);
  }
  // Limits: no off time, no capacity ramp, a long rest that dries the coil.
  CHECK(unit::latent_share_1(600, 0, kWet_s, kGamma, kTau_s) == 1);
  CHECK(unit::latent_share_1(0, 600, kWet_s, kGamma, kTau_s) == 0);
  CHECK_RELATIVE(unit::latent_share_1(3600, 1e5, kWet_s, kGamma, 0), 1 - kWet_s / 3600, 1e-12);
  CHECK(unit::latent_share_1(3600, 2 * kWet_s / kGamma, kWet_s, kGamma, kTau_s) ==
        unit::latent_share_1(3600, 1e6, kWet_s, kGamma, kTau_s));
  CHECK(unit::latent_share_1(900, 300, kWet_s, 0.5, kTau_s) >
        unit::latent_share_1(900, 300, kWet_s, kGamma, kTau_s));
}
