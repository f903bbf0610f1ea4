// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <span>
#include <string>
#include <string_view>

/// Copper conductors: sizes and resistance.
namespace cabinload::wiring {

/// An American wire gauge. Number counts down through zero: 1/0 is 0, 4/0 is -3.
struct AwgSize {
  std::string_view name;  ///< "20" .. "1", "1/0" .. "4/0"
  int number;             ///< 20 .. -3
  bool sold;  ///< offered by choose_run; 3 AWG and 20 AWG are not (common practice: rarely sold
              ///< as battery cable; the tables of marine cable skip 3 AWG when they size for drop)
};

/// Thin to thick: 20, 18, .. 4/0.
[[nodiscard]] std::span<const AwgSize> awg_sizes();
/// @throws core::RangeError  unknown name, with the nearest and all known
[[nodiscard]] const AwgSize& awg_size(const std::string& name);

/// Solid diameter 0.127 mm x 92^((36 - n) / 39) and its area [ASTM-B258]. Stranded conductors of
/// the same gauge have the same area of copper.
[[nodiscard]] double diameter_mm(const AwgSize& size);
/// Area of copper of the gauge [mm2].
[[nodiscard]] double area_mm2(const AwgSize& size);

/// Annealed copper, 100 % IACS, at 20 degC [NBS-H100].
inline constexpr double kCopperResistivity20_ohm_m = 1.7241e-8;
inline constexpr double kCopperCoefficient20_1_K = 0.00393;
inline constexpr double kCopperDensity_kg_m3 = 8890.0;

/// R(T) / R(20 degC) of copper, linear in T; any T above -230 degC.
[[nodiscard]] double copper_ratio_1(double T_degC);

/// Stranded conductors are longer along the lay: 2 % more resistance ([NEC] ch. 9 table 8).
enum class Strand { solid, stranded };
/// Direct-current resistance of one conductor [ohm/m] at its own temperature.
[[nodiscard]] double resistance_ohm_m(const AwgSize& size, double T_degC,
                                      Strand strand = Strand::stranded);

/// A metric flexible conductor, class 5, with its largest resistance at 20 degC [IEC60228].
struct MetricSize {
  double area_mm2;
  double plain_20C_ohm_km, tinned_20C_ohm_km;
};
/// 0.5 .. 150 mm2, thin to thick.
[[nodiscard]] std::span<const MetricSize> metric_sizes();
/// The smallest metric size with at least this area; nullptr above 150 mm2.
[[nodiscard]] const MetricSize* next_metric(double area_mm2);

/// R(20 degC) / R(T) by the rounded coefficient 0.004 / K that the table of factors of [IEC60228]
/// follows; it makes warm cable up to 0.4 % worse than copper_ratio_1.
[[nodiscard]] double iec_factor_1(double T_degC);
/// Of the strands; a tinned conductor may have a little more resistance.
enum class Finish { plain, tinned };
/// Largest resistance of the metric size [ohm/m] at its own temperature.
[[nodiscard]] double resistance_ohm_m(const MetricSize& size, double T_degC,
                                      Finish finish = Finish::tinned);

}  // namespace cabinload::wiring
