// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>

namespace cabinload::air {
namespace {

/// Mass of water vapour over that of dry air at equal pressure. [ASHRAE-F2017] ch. 1 eq. 20.
constexpr double kVapourRatio_1 = 0.621945;
constexpr double kTriplePoint_K = 273.16;
/// Air drier than this is taken as this dry when a dew point is asked for.
constexpr double kDriest_1 = 1e-7;

struct LogPressure {
  double value, slope;
};  // ln p and d ln p / dT

/// [ASHRAE-F2017] ch. 1 eq. 5 (over ice) and 6 (over water).
LogPressure log_saturation(double T) {
  if (T < kTriplePoint_K) {
    constexpr double c1 = -5.6745359e3, c2 = 6.3925247, c3 = -9.677843e-3, c4 = 6.2215701e-7,
                     c5 = 2.0747825e-9, c6 = -9.484024e-13, c7 = 4.1635019;
    return {c1 / T + c2 + T * (c3 + T * (c4 + T * (c5 + T * c6))) + c7 * std::log(T),
            -c1 / (T * T) + c3 + T * (2 * c4 + T * (3 * c5 + T * 4 * c6)) + c7 / T};
  }
  constexpr double c8 = -5.8002206e3, c9 = 1.3914993, c10 = -4.8640239e-2, c11 = 4.1764768e-5,
                   c12 = -1.4452093e-8, c13 = 6.5459673;
  return {c8 / T + c9 + T * (c10 + T * (c11 + T * c12)) + c13 * std::log(T),
          -c8 / (T * T) + c10 + T * (2 * c11 + T * 3 * c12) + c13 / T};
}

}  // namespace

double saturation_pressure_Pa(double T_K) {
  return std::exp(log_saturation(T_K).value);
}

double humidity_ratio_1(double p_w_Pa, double p_Pa) {
  return kVapourRatio_1 * p_w_Pa / (p_Pa - p_w_Pa);
}

double saturation_humidity_ratio_1(double T_K, double p_Pa) {
  return humidity_ratio_1(saturation_pressure_Pa(T_K), p_Pa);
}

double humidity_ratio_from_dew_point_1(double T_dew_K, double p_Pa) {
  return saturation_humidity_ratio_1(T_dew_K, p_Pa);
}

double humidity_ratio_from_relative_1(double T_K, double rh_1, double p_Pa) {
  return humidity_ratio_1(rh_1 * saturation_pressure_Pa(T_K), p_Pa);
}

double humidity_ratio_from_wet_bulb_1(double T_K, double T_wet_K, double p_Pa) {
  const double t = core::to_celsius(T_K), wet = core::to_celsius(T_wet_K);
  const double Ws = saturation_humidity_ratio_1(T_wet_K, p_Pa);
  if (wet < 0)
    return ((2830.0 - 0.24 * wet) * Ws - 1.006 * (t - wet)) / (2830.0 + 1.86 * t - 2.1 * wet);
  return ((2501.0 - 2.326 * wet) * Ws - 1.006 * (t - wet)) / (2501.0 + 1.86 * t - 4.186 * wet);
}

double relative_humidity_1(double T_K, double W_1, double p_Pa) {
  return p_Pa * W_1 / (kVapourRatio_1 + W_1) / saturation_pressure_Pa(T_K);
}

double dew_point_K(double W_1, double p_Pa) {
  const double W = std::max(W_1, kDriest_1);
  const double target = std::log(p_Pa * W / (kVapourRatio_1 + W));
  double T_K = 285.0;
  for (int i = 0; i < 30; ++i) {
    const LogPressure p = log_saturation(T_K);
    const double step_K = (target - p.value) / p.slope;
    T_K = std::clamp(T_K + step_K, 150.0, 480.0);
    if (std::abs(step_K) < 1e-7) break;
  }
  return T_K;
}

double wet_bulb_K(double T_K, double W_1, double p_Pa) {
  // A rough start within some 3 K of the answer between 0 and 45 degC; Newton does the rest.
  const double t = core::to_celsius(T_K);
  const double saturation = std::min(1.0, W_1 / saturation_humidity_ratio_1(T_K, p_Pa));
  return wet_bulb_K(T_K, W_1, p_Pa,
                    core::to_kelvin(std::clamp(
                        t - (1.0 - saturation) * (6.0 + 0.35 * std::max(t, -10.0)), -90.0, t)));
}

double wet_bulb_K(double T_K, double W_1, double p_Pa, double guess_K) {
  // Eqs. 33 and 35: W = ((2501 - k t*) Ws* - c (t - t*)) / (2501 + 1.86 t - m t*), Newton on t*.
  // Its error is squared each time (0.02 e^2 in K): after a step below 0.004 K nothing is left.
  constexpr double kLastStep_K = 0.004;
  const double t = core::to_celsius(T_K);
  double wet = std::min(core::to_celsius(guess_K), t);
  for (int i = 0; i < 30; ++i) {
    const bool ice = wet < 0;
    const LogPressure lp = log_saturation(core::to_kelvin(wet));
    const double p_s = std::exp(lp.value);
    const double Ws = humidity_ratio_1(p_s, p_Pa);
    const double dWs = Ws * p_Pa / (p_Pa - p_s) * lp.slope;
    const double a = ice ? 2830.0 - 0.24 * wet : 2501.0 - 2.326 * wet;
    const double da = ice ? -0.24 : -2.326;
    constexpr double c = 1.006;
    const double d = ice ? 2830.0 + 1.86 * t - 2.1 * wet : 2501.0 + 1.86 * t - 4.186 * wet;
    const double dd = ice ? -2.1 : -4.186;
    const double f = a * Ws - c * (t - wet) - W_1 * d;
    const double slope = da * Ws + a * dWs + c - W_1 * dd;
    const double step = -f / slope;
    wet = std::min(wet + step, t);
    if (std::abs(step) < kLastStep_K) break;
  }
  return core::to_kelvin(wet);
}

double enthalpy_J_kg(double T_K, double W_1) {
  const double t = core::to_celsius(T_K);
  return core::kSpecificHeatDryAir_J_kgK * t +
         W_1 * (core::kVaporizationHeat_J_kg + core::kSpecificHeatVapour_J_kgK * t);
}

double temperature_from_enthalpy_K(double h_J_kg, double W_1) {
  return core::to_kelvin((h_J_kg - W_1 * core::kVaporizationHeat_J_kg) / specific_heat_J_kgK(W_1));
}

double density_kg_m3(double T_K, double W_1, double p_Pa) {
  return p_Pa * (1.0 + W_1) / (core::kGasConstantDryAir_J_kgK * T_K * (1.0 + 1.607858 * W_1));
}

double specific_heat_J_kgK(double W_1) {
  return core::kSpecificHeatDryAir_J_kgK + W_1 * core::kSpecificHeatVapour_J_kgK;
}

double standard_pressure_Pa(double elevation_m) {
  return core::kStandardPressure_Pa * std::pow(1.0 - 2.25577e-5 * elevation_m, 5.2559);
}

}  // namespace cabinload::air
