// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/air/comfort.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>

namespace cabinload::air {
namespace {

double regression_degF(double T, double R) {
  return -42.379 + 2.04901523 * T + 10.14333127 * R - 0.22475541 * T * R - 6.83783e-3 * T * T -
         5.481717e-2 * R * R + 1.22874e-3 * T * T * R + 8.5282e-4 * T * R * R -
         1.99e-6 * T * T * R * R;
}

}  // namespace

double heat_index_K(double T_K, double rh_1) {
  const double T = 32 + 1.8 * core::to_celsius(T_K), R = 100 * std::clamp(rh_1, 0.0, 1.0);
  double index = 0.5 * (T + 61.0 + (T - 68.0) * 1.2 + R * 0.094);
  if (0.5 * (index + T) >= 80) {  // the simple formula's mean with the temperature decides
    index = regression_degF(T, R);
    if (R < 13 && T >= 80 && T <= 112)
      index -= (13 - R) / 4 * std::sqrt((17 - std::abs(T - 95)) / 17);
    else if (R > 85 && T >= 80 && T <= 87)
      index += (R - 85) / 10 * (87 - T) / 5;
  }
  return core::to_kelvin((index - 32) / 1.8);
}

double operative_temperature_K(double T_air_K, double T_radiant_K, double air_speed_m_s) {
  const double A = air_speed_m_s < 0.2 ? 0.5 : air_speed_m_s < 0.6 ? 0.6 : 0.7;
  return A * T_air_K + (1 - A) * T_radiant_K;
}

}  // namespace cabinload::air
