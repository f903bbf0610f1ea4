// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/wiring/conductor.hpp>

/// How much current a conductor may carry where it lies.
namespace cabinload::wiring {

/// Temperature rating of the insulation, and with it the table that holds: 60, 75, 90 degC
/// [NEC] 310.16 (not more than three conductors together, 30 degC, 14 AWG and thicker); 105 degC
/// boat cable [ABYC-E11] (single in air, 30 degC, 18 AWG and thicker).
enum class Insulation { c60, c75, c90, marine_c105 };
/// The rating [degC]: 60, 75, 90, 105.
[[nodiscard]] double rating_degC(Insulation insulation);

/// Ampacity as printed, 30 degC, alone [A]; NaN where the table has no such conductor.
[[nodiscard]] double table_ampacity_A(const AwgSize& size, Insulation insulation);

/// sqrt((rating - ambient) / (rating - 30)) ([NEC] 310.15(B)).
/// @throws core::RangeError  ambient not below the rating, or not finite
[[nodiscard]] double ambient_formula_1(double rating_degC, double ambient_degC);

/// Correction for the ambient.
/// 60, 75, 90 degC: the table [NEC] 310.15(B)(1)(1), by whole ranges; between two ranges the
/// warmer one holds. Above 1 below 26 degC.
/// 105 degC: 1 up to 30 degC, above it the formula; in an engine space at most 0.85 (printed for
/// 50 degC [ABYC-E11]).
/// @throws core::RangeError  ambient above the last row of the table (55, 70, 85 degC), or 100 degC
///                           for marine cable (engineering judgement: the formula nears zero)
[[nodiscard]] double ambient_factor_1(Insulation insulation, double ambient_degC,
                                      bool engine_space = false);
/// The warmest ambient that ambient_factor_1 takes.
[[nodiscard]] double warmest_ambient_degC(Insulation insulation);

/// Correction for conductors that carry current and lie together, this run's own included.
/// [NEC] 310.15(C)(1): 4-6 0.8, 7-9 0.7, 10-20 0.5, 21-30 0.45, 31-40 0.4, more 0.35.
/// [ABYC-E11]: 3 0.7, 4-6 0.6, 7-24 0.5, more 0.4 (the last from memory).
/// @throws core::RangeError  fewer than one
[[nodiscard]] double bundle_factor_1(Insulation insulation, int conductors_together);

/// Where and how a conductor lies.
struct Laying {
  Insulation insulation = Insulation::c90;
  double ambient_degC = 30;
  bool engine_space = false;
  int conductors_together = 2;  ///< carrying current, >= 1; a direct-current run has two
};
/// Table x ambient x bundle [A]; NaN where the table has no such conductor.
/// @throws core::RangeError  as the factors do
[[nodiscard]] double ampacity_A(const AwgSize& size, const Laying& laying);

/// What terminals of a lower rating leave of the ampacity [A]; infinite when they are rated as the
/// insulation or above.
/// 60, 75, 90 degC insulation: the table's column of the terminal ([NEC] 110.14(C)), uncorrected.
/// Marine: the current that warms the conductor to the terminal's rating from 30 degC by the
/// formula above (engineering judgement: [ABYC-E11] has no such rule).
/// @param terminal_degC  60, 75, 90 or 105
/// @throws core::RangeError  another terminal rating
[[nodiscard]] double terminal_cap_A(const AwgSize& size, Insulation insulation,
                                    double terminal_degC);

/// Steady temperature of a conductor [degC]. Heat is I^2 R(T), given off in proportion to the
/// rise, and a current equal to the ampacity brings the insulation's rating; solved exactly.
/// @param current_A   >= 0
/// @param ampacity_A  corrected for where it lies, > 0, without any terminal cap
/// @throws core::RangeError  a current so far above the ampacity that the rise runs away
[[nodiscard]] double conductor_degC(double current_A, double ampacity_A, double ambient_degC,
                                    double rating_degC);

}  // namespace cabinload::wiring
