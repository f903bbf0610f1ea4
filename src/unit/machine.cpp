// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/unit.hpp>
#include <cmath>

namespace cabinload::unit {
namespace {

using core::to_celsius;

void require(bool good, const char* what, double value, const char* must) {
  if (!good) throw core::RangeError(fmt::format("unit: {} = {:g}, must be {}", what, value, must));
}

void check(const Description& d, const Settings& s) {
  require(d.capacity_W > 0 && d.capacity_W < 50000, "capacity in W", d.capacity_W,
          "above 0 and below 50000");
  require(d.cabin_fan_W >= 0 && d.cabin_fan_W < d.capacity_W, "cabin fan in W", d.cabin_fan_W,
          "between 0 and the capacity");
  require(d.standby_W >= 0, "standby in W", d.standby_W, "0 or above");
  require(d.power_W > d.cabin_fan_W + d.standby_W, "power in W", d.power_W,
          "above the cabin fan and the standby, which are part of it");
  require(d.volts > 0 && d.volts < 1000, "volts", d.volts, "above 0");
  require(d.sensible_ratio_1 > 0.3 && d.sensible_ratio_1 <= 1, "sensible ratio", d.sensible_ratio_1,
          "above 0.3 and at most 1");
  require(d.air_flow_m3_s > 0, "air flow in m3/s", d.air_flow_m3_s, "above 0");
  require(d.rated_dry_bulb_K >= d.rated_wet_bulb_K && d.rated_wet_bulb_K > 270,
          "rated wet bulb in degC", to_celsius(d.rated_wet_bulb_K), "at most the rated dry bulb");
  require(d.minimum_speed_1 > 0 && d.minimum_speed_1 <= 1, "minimum speed", d.minimum_speed_1,
          "above 0 and at most 1 (full)");
  require(d.minimum_speed_capacity_1 > 0 && d.minimum_speed_capacity_1 <= 1,
          "capacity at minimum speed", d.minimum_speed_capacity_1, "above 0 and at most 1");
  require(d.minimum_speed_power_1 > 0 && d.minimum_speed_power_1 <= 1, "power at minimum speed",
          d.minimum_speed_power_1, "above 0 and at most 1");
  require(d.cyclic_degradation_1 >= 0 && d.cyclic_degradation_1 < 1, "cyclic degradation",
          d.cyclic_degradation_1, "between 0 and 1");
  require(d.condenser_cut_out_K > 250, "condenser cut-out in degC",
          to_celsius(d.condenser_cut_out_K), "a temperature of outdoor air");
  require(s.speed_cap_1 > 0 && s.speed_cap_1 <= 1, "speed cap", s.speed_cap_1,
          "above 0 and at most 1");
  require(s.power_cap_W >= 0, "power cap in W", s.power_cap_W, "0 (none) or above");
  require(s.condenser_air_rise_K >= 0 && s.condenser_air_rise_K < 40, "condenser air rise in K",
          s.condenser_air_rise_K, "between 0 and 40");
  require(s.T_set_K > 250 && s.T_set_K < 330, "set point in degC", to_celsius(s.T_set_K),
          "a cabin temperature");
}

/// Enthalpy of vapour at a temperature [J/kg]: latent heat is counted with it at the coil's inlet,
/// so that sensible heat is cp dT of the leaving air and both add up to the enthalpy change.
double vapour_J_kg(double T_K) {
  return core::kVaporizationHeat_J_kg + core::kSpecificHeatVapour_J_kgK * to_celsius(T_K);
}

/// Saturation state whose enthalpy is h: the apparatus dew point.
double saturation_of_enthalpy_K(double h_J_kg, double p_Pa, double guess_K) {
  double T_K = guess_K;
  for (int i = 0; i < 20; ++i) {
    constexpr double dT_K = 0.01;
    const auto h_at = [&](double T) {
      return air::enthalpy_J_kg(T, air::saturation_humidity_ratio_1(T, p_Pa));
    };
    const double h = h_at(T_K), slope = (h_at(T_K + dT_K) - h) / dT_K;
    const double step_K = std::clamp((h_J_kg - h) / slope, -20.0, 20.0);
    T_K = std::max(T_K + step_K, 200.0);
    if (std::abs(step_K) < 1e-4) break;
  }
  return T_K;
}

}  // namespace

double BiQuadratic::at(double wet_bulb_degC, double condenser_degC) const {
  const double x = std::clamp(wet_bulb_degC, x_min_degC, x_max_degC);
  const double y = std::clamp(condenser_degC, y_min_degC, y_max_degC);
  return c[0] + x * (c[1] + c[2] * x) + y * (c[3] + c[4] * y + c[5] * x);
}

BypassResult bypass_factor(double T_in_K, double W_in_1, double p_Pa, double mass_flow_kg_s,
                           double total_W, double sensible_W) {
  const double W_out = W_in_1 - (total_W - sensible_W) / (mass_flow_kg_s * vapour_J_kg(T_in_K));
  const double T_out_K = T_in_K - sensible_W / (mass_flow_kg_s * air::specific_heat_J_kgK(W_out));
  const double slope = std::max(0.0, (W_in_1 - W_out) / (T_in_K - T_out_K));
  // Walk from the outlet down the line until it meets saturation.
  const auto gap = [&](double T) {
    return W_in_1 - slope * (T_in_K - T) - air::saturation_humidity_ratio_1(T, p_Pa);
  };
  double high = T_out_K, low = T_out_K - 60;
  if (gap(high) > 0)
    throw core::RangeError(
        "unit: at the rating point the air would leave wetter than saturated; the sensible ratio "
        "is too high or the air flow too small");
  double found = low;
  for (double T = high; T > low; T -= 0.25)
    if (gap(T) >= 0) {
      found = T;
      break;
    }
  if (found == low)
    throw core::RangeError(
        "unit: no apparatus dew point fits the rating point; the sensible ratio is too low for its "
        "air flow");
  low = found;
  high = found + 0.25;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (gap(middle) >= 0 ? low : high) = middle;
  }
  return {low, (T_out_K - low) / (T_in_K - low)};
}

Machine::Machine(const Description& description, const Settings& settings)
    : description_(description), settings_(settings) {
  check(description, settings);
  const Description& d = description_;
  gross_rated_W_ = d.capacity_W + d.cabin_fan_W;
  compressor_rated_W_ = d.power_W - d.cabin_fan_W - d.standby_W;
  const double p_Pa = core::kStandardPressure_Pa;
  // Humidity of the rating point: dry bulb and wet bulb fix it (eq. 33 of the moist-air chapter).
  const double wet = to_celsius(d.rated_wet_bulb_K), dry = to_celsius(d.rated_dry_bulb_K);
  const double Ws = air::saturation_humidity_ratio_1(d.rated_wet_bulb_K, p_Pa);
  const double W =
      ((2501 - 2.326 * wet) * Ws - 1.006 * (dry - wet)) / (2501 + 1.86 * dry - 4.186 * wet);
  const double flow = d.air_flow_m3_s * air::density_kg_m3(d.rated_dry_bulb_K, W, p_Pa) / (1 + W);
  bypass_factor_1_ = bypass_factor(d.rated_dry_bulb_K, W, p_Pa, flow, gross_rated_W_,
                                   gross_rated_W_ * d.sensible_ratio_1)
                         .bypass_factor_1;
}

double Machine::gross_W(double wet_bulb_K, double T_condenser_K) const {
  return gross_rated_W_ *
         description_.capacity_factor.at(to_celsius(wet_bulb_K), to_celsius(T_condenser_K));
}

Machine::Coil Machine::dry_coil(const Inlet& in) const {
  // The coil is dry below the humidity at which its surface is just at the dew point: there
  // total(wet bulb) = m cp (1 - BF)(T_in - T_surface). Secant on the surface temperature.
  const double flow = description_.air_flow_m3_s *
                      air::density_kg_m3(in.T_cabin_K, in.W_cabin_1, in.p_Pa) / (1 + in.W_cabin_1);
  const auto excess = [&](double T_surface_K, double& sensible_W) {
    const double W = air::saturation_humidity_ratio_1(T_surface_K, in.p_Pa);
    sensible_W =
        flow * air::specific_heat_J_kgK(W) * (1 - bypass_factor_1_) * (in.T_cabin_K - T_surface_K);
    return gross_W(air::wet_bulb_K(in.T_cabin_K, W, in.p_Pa), in.T_condenser_K) - sensible_W;
  };
  double sensible_W = 0;
  double a = in.T_cabin_K - 15, b = in.T_cabin_K - 20;
  double fa = excess(a, sensible_W), fb = excess(b, sensible_W);
  for (int i = 0; i < 20 && std::abs(fb) > 1e-6 * gross_rated_W_; ++i) {
    const double next =
        std::clamp(b - fb * (b - a) / (fb - fa), in.T_cabin_K - 60, in.T_cabin_K - 0.1);
    a = b;
    fa = fb;
    b = next;
    fb = excess(b, sensible_W);
    if (a == b) break;
  }
  return {sensible_W, 0, 0};
}

Machine::Coil Machine::coil(const Inlet& in, double wet_bulb_K) const {
  const double total_W = gross_W(wet_bulb_K, in.T_condenser_K);
  const double flow = description_.air_flow_m3_s *
                      air::density_kg_m3(in.T_cabin_K, in.W_cabin_1, in.p_Pa) / (1 + in.W_cabin_1);
  const double h_in = air::enthalpy_J_kg(in.T_cabin_K, in.W_cabin_1);
  const double h_adp = h_in - total_W / (flow * (1 - bypass_factor_1_));
  const double T_adp_K = saturation_of_enthalpy_K(h_adp, in.p_Pa, wet_bulb_K - 8);
  const double W_adp = air::saturation_humidity_ratio_1(T_adp_K, in.p_Pa);
  if (W_adp >= in.W_cabin_1) return dry_coil(in);
  const double passed = flow * (1 - bypass_factor_1_);
  const double moisture_kg_s = passed * (in.W_cabin_1 - W_adp);
  const double latent_W = moisture_kg_s * vapour_J_kg(in.T_cabin_K);
  return {total_W - latent_W, latent_W, moisture_kg_s};
}

Offer Machine::offer(const Inlet& in) const {
  Offer o;
  if (in.T_condenser_K > description_.condenser_cut_out_K) {
    o.cut_out = true;
    return o;
  }
  const Description& d = description_;
  const double wet_bulb_K = air::wet_bulb_K(in.T_cabin_K, in.W_cabin_1, in.p_Pa);
  const Coil full = coil(in, wet_bulb_K);
  const double power_W =
      compressor_rated_W_ * d.power_factor.at(to_celsius(wet_bulb_K), to_celsius(in.T_condenser_K));
  // u = 0 at minimum speed, 1 at full; capacity and power are straight lines between.
  double u = d.minimum_speed_1 < 1
                 ? (settings_.speed_cap_1 - d.minimum_speed_1) / (1 - d.minimum_speed_1)
                 : 1.0;
  if (settings_.power_cap_W > 0 && d.minimum_speed_power_1 < 1) {
    const double allowed = (settings_.power_cap_W - d.cabin_fan_W - d.standby_W) / power_W;
    u = std::min(u, (allowed - d.minimum_speed_power_1) / (1 - d.minimum_speed_power_1));
  }
  o.capped = u < 1;
  u = std::clamp(u, 0.0, 1.0);
  const double capacity_1 = d.minimum_speed_capacity_1 + u * (1 - d.minimum_speed_capacity_1);
  o.sensible_W = full.sensible_W * capacity_1;
  o.latent_W = full.latent_W * capacity_1;
  o.moisture_kg_s = full.moisture_kg_s * capacity_1;
  o.compressor_W = power_W * (d.minimum_speed_power_1 + u * (1 - d.minimum_speed_power_1));
  o.minimum_sensible_W = full.sensible_W * d.minimum_speed_capacity_1;
  o.minimum_latent_W = full.latent_W * d.minimum_speed_capacity_1;
  o.minimum_moisture_kg_s = full.moisture_kg_s * d.minimum_speed_capacity_1;
  o.minimum_compressor_W = power_W * d.minimum_speed_power_1;
  return o;
}

Delivered Machine::deliver(const Offer& o, double demand_W) const {
  const Description& d = description_;
  Delivered out;
  double compressor_W = 0;
  if (demand_W > 0 && o.sensible_W > 0) {
    double share = 1;  // of the full offer
    if (demand_W < o.minimum_sensible_W) {
      const double load = demand_W / o.minimum_sensible_W;
      out.compressor_on_1 = std::min(1.0, load / (1 - d.cyclic_degradation_1 * (1 - load)));
      compressor_W = o.minimum_compressor_W * out.compressor_on_1;
      share = demand_W / o.sensible_W;
    } else {
      out.compressor_on_1 = 1;
      const double span_W = o.sensible_W - o.minimum_sensible_W;
      const double u = span_W > 0 ? std::min(1.0, (demand_W - o.minimum_sensible_W) / span_W) : 1.0;
      compressor_W = o.minimum_compressor_W + u * (o.compressor_W - o.minimum_compressor_W);
      share = std::min(1.0, demand_W / o.sensible_W);
    }
    out.load_ratio_1 = share;
    out.sensible_W = share * o.sensible_W;
    out.latent_W = share * o.latent_W;
    out.moisture_kg_s = share * o.moisture_kg_s;
  }
  out.fan_heat_W = d.cabin_fan_W * (settings_.fan_always ? 1.0 : out.compressor_on_1);
  out.electric_W = compressor_W + out.fan_heat_W + d.standby_W;
  return out;
}

}  // namespace cabinload::unit
