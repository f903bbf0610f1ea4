// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <span>
#include <string>
#include <string_view>

/// Enthalpies of refrigerants before and after an evaporator.
namespace cabinload::unit {

/// Polynomials fitted to [CoolProp] by src/unit/refrigerants.py, which says their form.
struct Refrigerant {
  std::string_view name;
  double S_min_degC, S_max_degC, superheat_max_K;   ///< range of the vapour's fit
  double D_min_degC, D_max_degC, subcooling_max_K;  ///< range of the liquid's fit
  double vapour_error_1, liquid_error_1;  ///< largest error over the latent heat at 30 degC
  std::array<double, 15> vapour;
  std::array<double, 28> liquid;

  /// Vapour at the pressure whose dew point is S, superheated above it [J/kg].
  /// Inputs are clamped to the range of the fit.
  [[nodiscard]] double vapour_J_kg(double S_degC, double superheat_K) const;
  /// Liquid at the pressure whose dew point is D, cooled below its bubble point [J/kg], on the same
  /// zero. Inputs are clamped to the range of the fit.
  [[nodiscard]] double liquid_J_kg(double D_degC, double subcooling_K) const;
};

/// R134a, R1234yf, R290, R32, R410A.
[[nodiscard]] std::span<const Refrigerant> refrigerants();
/// @throws core::RangeError  unknown name, with the nearest and all known
[[nodiscard]] const Refrigerant& refrigerant(const std::string& name);

}  // namespace cabinload::unit
