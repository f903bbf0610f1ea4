// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Moist air: [ASHRAE-F2017] ch. 1. T in K, W humidity ratio kg/kg dry air, p in Pa.
/// Valid 173..473 K for saturation, 60..110 kPa.
namespace cabinload::air {

/// Saturation pressure over ice (T < 273.16 K) or water [Pa]. Source: eqs. 5 and 6.
[[nodiscard]] double saturation_pressure_Pa(double T_K);
/// Humidity ratio of air whose water-vapour pressure is p_w [kg/kg]. Source: eq. 20. @pre p_w < p
[[nodiscard]] double humidity_ratio_1(double p_w_Pa, double p_Pa);
/// Humidity ratio of saturated air [kg/kg]. As humidity_ratio_1() there. @pre its pressure < p
[[nodiscard]] double saturation_humidity_ratio_1(double T_K, double p_Pa);
/// From dew point. [kg/kg]
[[nodiscard]] double humidity_ratio_from_dew_point_1(double T_dew_K, double p_Pa);
/// From relative humidity 0..1.
[[nodiscard]] double humidity_ratio_from_relative_1(double T_K, double rh_1, double p_Pa);
/// From thermodynamic wet bulb. Source: eqs. 33 and 35, over water above 0 degC. @pre T_wet <= T
[[nodiscard]] double humidity_ratio_from_wet_bulb_1(double T_K, double T_wet_K, double p_Pa);
/// Relative humidity [1], may exceed 1 for supersaturated input.
[[nodiscard]] double relative_humidity_1(double T_K, double W_1, double p_Pa);
/// Dew point [K], by Newton on saturation_pressure; W below 1e-7 is taken as 1e-7.
[[nodiscard]] double dew_point_K(double W_1, double p_Pa);
/// Thermodynamic wet bulb [K]. Source: eqs. 33 and 35. Within 0.001 K.
[[nodiscard]] double wet_bulb_K(double T_K, double W_1, double p_Pa);
/// The same from a guess: quick when it is near.
[[nodiscard]] double wet_bulb_K(double T_K, double W_1, double p_Pa, double guess_K);
/// Specific enthalpy [J/kg dry air], 0 at 0 degC dry. Source: eq. 30.
[[nodiscard]] double enthalpy_J_kg(double T_K, double W_1);
/// Dry bulb from enthalpy and humidity ratio [K].
[[nodiscard]] double temperature_from_enthalpy_K(double h_J_kg, double W_1);
/// Density, dry air and vapour together [kg/m3]. Source: eqs. 8 and 26 of the chapter.
[[nodiscard]] double density_kg_m3(double T_K, double W_1, double p_Pa);
/// Specific heat of moist air per kg dry air [J/(kg K)].
[[nodiscard]] double specific_heat_J_kgK(double W_1);
/// Pressure of the standard atmosphere at an elevation [Pa]. Source: eq. 3. -500..11000 m.
[[nodiscard]] double standard_pressure_Pa(double elevation_m);

}  // namespace cabinload::air
