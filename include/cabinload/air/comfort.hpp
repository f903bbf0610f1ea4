// SPDX-License-Identifier: Apache-2.0
#pragma once

/// How hot it feels: two figures beside the air temperature.
namespace cabinload::air {

/// Heat index [K] of the US National Weather Service: Steadman's simple formula below about
/// 80 degF, the Rothfusz regression above it with its two adjustments (dry: below 13 % RH at
/// 80..112 degF; humid: above 85 % RH at 80..87 degF).
/// @param T_K   air, 200..400 K  @param rh_1  relative humidity, clamped to 0..1
/// @note A shade temperature for people; beyond the chart (43 degC in humid air) an extrapolation.
/// Source: [NWS-HI], the Weather Prediction Center's page of the equation ([Rothfusz1990]).
[[nodiscard]] double heat_index_K(double T_K, double rh_1);

/// What a heat index may do to people who stay in it or move. Sooner to the old, the very young,
/// the ill and those on some medicines.
enum class HeatBand {
  none,             ///< below 80 degF
  caution,          ///< from 80 degF: fatigue possible
  extreme_caution,  ///< from 90 degF: heat cramps, exhaustion or stroke possible
  danger,           ///< from 103 degF: cramps or exhaustion likely, stroke possible
  extreme_danger    ///< from 125 degF: heat stroke highly likely
};
/// Source: classes of the US National Weather Service's heat index chart ([NWS-HI-chart]).
[[nodiscard]] HeatBand heat_band(double heat_index_K);
[[nodiscard]] double heat_band_from_K(HeatBand band);      ///< where it begins; 0 for none
[[nodiscard]] const char* heat_band_name(HeatBand band);   ///< as the chart has it; "" for none
[[nodiscard]] const char* heat_band_means(HeatBand band);  ///< "heat stroke highly likely"; ""

/// Operative temperature [K]: air and mean radiant temperature weighted by air speed, A = 0.5 below
/// 0.2 m/s, 0.6 to 0.6 m/s, 0.7 above. Source: [ASHRAE-55] appendix (operative temperature), table
/// of A.
[[nodiscard]] double operative_temperature_K(double T_air_K, double T_radiant_K,
                                             double air_speed_m_s);

}  // namespace cabinload::air
