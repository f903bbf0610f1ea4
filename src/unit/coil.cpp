// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/coil.hpp>
#include <cmath>

namespace cabinload::unit {
namespace {

/// Enthalpy of vapour at a temperature [J/kg].
double vapour_J_kg(double T_K) {
  return core::kVaporizationHeat_J_kg + core::kSpecificHeatVapour_J_kgK * core::to_celsius(T_K);
}

struct Saturation {
  double W_1, h_J_kg, slope_J_kgK, dW_K;
};
/// With the slope by Clausius and Clapeyron.
Saturation saturation(double T_K, double p_Pa) {
  constexpr double kGasConstantVapour_J_kgK = core::kGasConstantDryAir_J_kgK / 0.621945;
  const double W = air::saturation_humidity_ratio_1(T_K, p_Pa);
  const double dW = W * (1 + W / 0.621945) *
                    (core::kVaporizationHeat_J_kg - 2360 * core::to_celsius(T_K)) /
                    (kGasConstantVapour_J_kgK * T_K * T_K);
  return {W, air::enthalpy_J_kg(T_K, W), air::specific_heat_J_kgK(W) + dW * vapour_J_kg(T_K), dW};
}

/// Humidity ratio of the saturation state of an enthalpy: at the apparatus dew point.
double saturation_of_enthalpy_1(double h_J_kg, double p_Pa, double& T_K) {
  // Newton squares its error each time: the last step is small enough to go straight.
  constexpr double kLastStep_K = 0.01;
  for (int i = 0;; ++i) {
    const Saturation s = saturation(T_K, p_Pa);
    const double step_K = std::clamp((h_J_kg - s.h_J_kg) / s.slope_J_kgK, -20.0, 20.0);
    T_K = std::max(T_K + step_K, 200.0);
    if (std::abs(step_K) < kLastStep_K || i == 20) return s.W_1 + s.dW_K * step_K;
  }
}

/// Time t in which a coil that comes to its full with tau gathers so much, in seconds of its full:
/// t - tau (1 - exp(-t/tau)) = gathered.
double time_to_gather_s(double gathered_s, double tau_s) {
  constexpr double kNothing_1 = 1e-12;
  if (gathered_s <= kNothing_1 * tau_s) return 0;
  if (tau_s <= 0) return gathered_s;
  // Begins a little late, where exp(-x) = (2 - x) / (2 + x) has it; Newton comes back from there
  // and squares its error each time: after such a last step 1e-5 of it is left. Engineering
  // judgement, as is the least that counts.
  constexpr double kLastStep_1 = 3e-3;
  const double gathered = gathered_s / tau_s;
  double x = 0.5 * (gathered + std::sqrt(gathered * (gathered + 8)));
  for (int i = 0; i < 12; ++i) {
    const double full_1 = 1 - std::exp(-x), step = (x - full_1 - gathered) / full_1;
    x -= step;
    if (std::abs(step) < kLastStep_1 * x) break;
  }
  return x * tau_s;
}

}  // namespace

BypassResult bypass_factor(double T_in_K, double W_in_1, double p_Pa, double mass_flow_kg_s,
                           double total_W, double sensible_W) {
  const double W_out = W_in_1 - (total_W - sensible_W) / (mass_flow_kg_s * vapour_J_kg(T_in_K));
  const double T_out_K = T_in_K - sensible_W / (mass_flow_kg_s * air::specific_heat_J_kgK(W_out));
  const double h_in = air::enthalpy_J_kg(T_in_K, W_in_1);
  const double slope = std::max(0.0, (W_in_1 - W_out) * mass_flow_kg_s / total_W);  // kg/J
  // Walk down the saturation line from where the air leaves until the line from the inlet meets it.
  const auto gap = [&](double T) {
    const double W = air::saturation_humidity_ratio_1(T, p_Pa);
    return W_in_1 - slope * (h_in - air::enthalpy_J_kg(T, W)) - W;
  };
  if (W_out > air::saturation_humidity_ratio_1(T_out_K, p_Pa))
    throw core::RangeError(
        "unit: at the rating point the air would leave wetter than saturated; the sensible ratio "
        "is too high or the air flow too small");
  double low = T_out_K - 60, found = low;
  double high = W_out > 0 ? air::dew_point_K(W_out, p_Pa) + 0.25 : low;
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
  // Share of the air that passes: what mixes at the outlet is enthalpy and water.
  const double h_adp = air::enthalpy_J_kg(low, air::saturation_humidity_ratio_1(low, p_Pa));
  return {low, 1 - total_W / (mass_flow_kg_s * (h_in - h_adp))};
}

double bypass_at_flow_1(double rated_bypass_1, double flow_over_rated_1) {
  if (flow_over_rated_1 == 1 || rated_bypass_1 <= 0) return std::max(0.0, rated_bypass_1);
  return std::pow(rated_bypass_1, 1.0 / flow_over_rated_1);
}

CoilHeat coil_heat(const CoilAir& a, double total_W, double bypass_1, double& T_adp_guess_K) {
  const double passed_kg_s = a.flow_kg_s * (1 - bypass_1);
  if (total_W <= 0) return {};
  // Dry as long as its surface stays above the dew point.
  const double dry_K = a.T_K - total_W / (passed_kg_s * air::specific_heat_J_kgK(a.W_1));
  if (air::saturation_humidity_ratio_1(dry_K, a.p_Pa) >= a.W_1) return {total_W, 0, 0};
  const double h_adp = air::enthalpy_J_kg(a.T_K, a.W_1) - total_W / passed_kg_s;
  const double W_adp = saturation_of_enthalpy_1(h_adp, a.p_Pa, T_adp_guess_K);
  const double moisture_kg_s = std::max(0.0, passed_kg_s * (a.W_1 - W_adp));
  const double latent_W = moisture_kg_s * vapour_J_kg(a.T_K);
  return {total_W - latent_W, latent_W, moisture_kg_s};
}

double latent_share_1(double t_on_s, double t_off_s, double t_wet_s, double gamma_1, double tau_s) {
  if (t_on_s <= 0) return 0;
  const double off_s = std::min(t_off_s, 2 * t_wet_s / gamma_1);
  const double evaporated_s = gamma_1 * off_s - gamma_1 * gamma_1 / (4 * t_wet_s) * off_s * off_s;
  const double t_0_s = time_to_gather_s(evaporated_s, tau_s);
  const double gathered_s = tau_s > 0 ? t_on_s + tau_s * (std::exp(-t_on_s / tau_s) - 1) : t_on_s;
  return gathered_s > 0 ? std::clamp((t_on_s - t_0_s) / gathered_s, 0.0, 1.0) : 0.0;
}

}  // namespace cabinload::unit
