// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/unit/refrigerant.hpp>
#include <string>

/// A compressor as its sheet gives it, between two heat exchangers.
///
/// S: dew point at the compressor's suction pressure, D: dew point at its discharge pressure.
/// Pressure drops, the fans and their heat are not counted here: capacity is that of the coil,
/// power that of the compressor.
namespace cabinload::unit {

/// X = c0 + c1 S + c2 D + c3 S2 + c4 S D + c5 D2 + c6 S3 + c7 D S2 + c8 S D2 + c9 D3, S and D in
/// degC. Form and order of [AHRI540] (from memory of the standard).
using TenCoefficients = std::array<double, 10>;
/// The polynomial X, in the unit of its coefficients.
[[nodiscard]] double ten_terms(const TenCoefficients& c, double S_degC, double D_degC);

/// Units in which sheets give capacity and mass flow.
inline constexpr double kBtuPerHour_W = 1055.05585262 / 3600.0;    ///< International Table
inline constexpr double kPoundPerHour_kg_s = 0.45359237 / 3600.0;  ///< avoirdupois
inline constexpr double kKilogramPerHour_kg_s = 1.0 / 3600.0;
/// Scale of a sheet's S and D.
enum class SheetTemperature { degC, degF };
/// The coefficients of a sheet in other units, for S and D in degC and X in SI: the same
/// polynomial, expanded exactly (rounding only).
/// @param unit_in_SI  one unit of the sheet's X in SI: kBtuPerHour_W, 1 for W
[[nodiscard]] TenCoefficients in_celsius_SI(const TenCoefficients& sheet, SheetTemperature scale,
                                            double unit_in_SI);

/// What the first set of coefficients gives; the second always gives power.
enum class SheetForm {
  capacity,   ///< W, at the sheet's superheat and subcooling
  mass_flow,  ///< kg/s; capacity is this times the enthalpy difference of the refrigerant
};

/// A compressor's sheet at full speed. The unit is taken to run at the sheet's superheat, all of it
/// won in the evaporator, and at its subcooling.
struct CompressorSheet {
  std::string key;
  std::string source;
  SheetForm form = SheetForm::capacity;
  std::string refrigerant;                   ///< needed for mass_flow
  TenCoefficients output{};                  ///< W or kg/s, see form
  TenCoefficients power{};                   ///< W
  double superheat_K = 10;                   ///< 0 .. 25
  double subcooling_K = 0;                   ///< 0 .. 20
  double S_min_degC = -15, S_max_degC = 15;  ///< where the coefficients hold; full rectangle,
  double D_min_degC = 30, D_max_degC = 65;   ///< but only where D is above S
  /// Output and power over those of full speed are speed^exponent; 1: both are proportional.
  double output_exponent_1 = 1, power_exponent_1 = 1;  ///< 0.5 .. 2
  double minimum_speed_1 = 0.3;                        ///< of full, above 0, at most 1
};

/// A sheet that has been looked through, as a function of S, D and speed.
class CompressorMap {
 public:
  /// @throws core::RangeError  coefficients that are not finite; an empty range, or one beyond the
  /// refrigerant's fits; inside the range (on a grid of 21 x 21): power or output not above 0, COP
  /// above Carnot's between S and D, at full or minimum speed; capacity that rises with D, or falls
  /// with S, everywhere; unknown refrigerant; superheat, subcooling, exponents or minimum speed out
  /// of bounds
  explicit CompressorMap(const CompressorSheet& sheet);

  /// What the compressor gives and draws.
  struct Point {
    double capacity_W, power_W;
  };
  /// Outside the sheet's range S and D are clamped to it. speed: of full, not checked.
  [[nodiscard]] Point at(double S_degC, double D_degC, double speed_1) const;
  /// In the rectangle, and D above S.
  [[nodiscard]] bool inside(double S_degC, double D_degC) const;
  /// As given.
  [[nodiscard]] const CompressorSheet& sheet() const { return sheet_; }

 private:
  CompressorSheet sheet_;
  const Refrigerant* refrigerant_ = nullptr;
};

/// The two coils, refrigerant at one temperature each (S and D): effectiveness 1 - exp(-UA/(m cp))
/// ([Incropera2007] ch. 11: capacity ratio 0). Evaporator: its surface is taken to be at S, so that
/// the same effectiveness draws the enthalpy of wet air towards saturation at S (Lewis number 1;
/// bypass factor = 1 - effectiveness); UA holds the refrigerant's film too, so a coil whose
/// refrigerant film matters gives a little less wet than here. Condenser: superheat and subcooling
/// are in its UA; its air is counted dry (0.7 % of its heat capacity at 0.03 kg/kg).
struct Exchangers {
  double evaporator_UA_W_K = 0, evaporator_flow_m3_s = 0;  ///< above 0; flow at inlet state
  double condenser_UA_W_K = 0, condenser_flow_m3_s = 0;    ///< above 0; flow at inlet state
};

/// Air at the coils and the compressor's speed.
struct BalanceInlet {
  double T_evaporator_K = 0;  ///< 233 .. 373
  double W_evaporator_1 = 0;  ///< humidity ratio [kg/kg], 0 .. 0.2
  double p_Pa = 101325;       ///< 50 .. 120 kPa
  double T_condenser_K = 0;   ///< 233 .. 373
  double speed_1 = 1;         ///< the sheet's minimum speed .. 1
};

/// Where compressor and coils agree.
struct Balance {
  double capacity_W = 0;     ///< compressor's, equal to the coil's
  double sensible_W = 0;     ///< of the coil; the rest is latent, vapour counted at the inlet's T
  double moisture_kg_s = 0;  ///< condensed
  double power_W = 0;        ///< compressor
  double condenser_heat_W = 0;                ///< taken up by the condenser's air
  double T_suction_K = 0, T_discharge_K = 0;  ///< dew points S and D
  bool wet = false;                           ///< the coil condenses water
  bool below_freezing = false;  ///< wet, and S below 0 degC: frost, which is not modelled
  bool inside_range = false;    ///< of the sheet; else its edge was used
  int iterations = 0;           ///< evaluations of the map
  double residual = 0;          ///< larger of the two heat balances' relative errors, below 1e-8
};

/// Solves for S and D: bracketed, so that it ends. Outside the sheet's range the map's edge is used
/// and marked.
/// @throws core::RangeError  conductances and flows not above 0, inlet out of range
/// @throws core::NumericalError  no balance within 30 K of the sheet's range: the evaporator too
/// small, the condenser too small; names the inlet
[[nodiscard]] Balance balance_point(const CompressorMap& map, const Exchangers& exchangers,
                                    const BalanceInlet& inlet);

}  // namespace cabinload::unit
