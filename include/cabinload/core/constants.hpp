// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <numbers>

/// Physical constants; the only place for them. Sources: CODATA 2018 [CODATA2018] unless said.
namespace cabinload::core {

inline constexpr double kPi = std::numbers::pi;
inline constexpr double kDegree_rad = kPi / 180.0;

/// Stefan-Boltzmann constant [W m-2 K-4].
inline constexpr double kStefanBoltzmann_W_m2K4 = 5.670374419e-8;
/// 0 degC in kelvin [K].
inline constexpr double kZeroCelsius_K = 273.15;
/// Standard atmosphere [Pa].
inline constexpr double kStandardPressure_Pa = 101325.0;
/// Standard acceleration of gravity [m s-2].
inline constexpr double kGravity_m_s2 = 9.80665;
/// Gas constant of dry air [J kg-1 K-1]: [ASHRAE-F2017] ch. 1 eq. 1.
inline constexpr double kGasConstantDryAir_J_kgK = 287.042;
/// Specific heat of dry air and of water vapour [J kg-1 K-1], enthalpy of vaporization of water
/// at 0 degC [J kg-1]: [ASHRAE-F2017] ch. 1 eqs. 28 to 30.
inline constexpr double kSpecificHeatDryAir_J_kgK = 1006.0;
inline constexpr double kSpecificHeatVapour_J_kgK = 1860.0;
inline constexpr double kVaporizationHeat_J_kg = 2.501e6;
/// Solar constant [W m-2]: [ASTM-E490], 1366.1.
inline constexpr double kSolarConstant_W_m2 = 1366.1;

/// A temperature (a point, not a difference) in kelvin [K].
inline constexpr double to_kelvin(double T_degC) {
  return T_degC + kZeroCelsius_K;
}
/// The same in degrees Celsius [degC].
inline constexpr double to_celsius(double T_K) {
  return T_K - kZeroCelsius_K;
}

}  // namespace cabinload::core
