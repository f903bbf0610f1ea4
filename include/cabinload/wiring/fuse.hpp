// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/wiring/conductor.hpp>
#include <optional>
#include <span>
#include <string_view>

/// Fuses: standard ratings and what short circuit they can break.
namespace cabinload::wiring {

/// Families of fuses, by what short circuit they break and how they are mounted.
enum class FuseFamily {
  class_t,     ///< fast, current limiting; ratings of [NEC] 240.6(A) up to 600 A
  anl,         ///< bolt-down limiter
  terminal,    ///< single bolt, on the battery's post (MRBF) [ISO8820]-6
  bolt_large,  ///< bolt-down strip, SF 51 (MEGA class) [ISO8820]-5
  bolt_small,  ///< bolt-down strip, SF 30 (MIDI class) [ISO8820]-5
  blade,       ///< [ISO8820]-3
  iec,         ///< industrial fuse-links [IEC60269], for comparison; not chosen here
};
/// For people: "Class T", "bolt-down fuse (MEGA class)".
[[nodiscard]] std::string_view name_of(FuseFamily family);

/// Standard ratings [A], rising. class_t: [NEC] 240.6(A) with its additional fuse ratings; iec:
/// [IEC60269]. All others are from memory; for anl and terminal only those that are also in
/// [NEC] 240.6(A).
[[nodiscard]] std::span<const double> ratings_A(FuseFamily family);
/// The smallest rating not below the current; none above the family's largest.
[[nodiscard]] std::optional<double> next_rating_A(FuseFamily family, double current_A);

/// The largest fuse for a small conductor [A]: 14, 12, 10 AWG 15, 20, 30 A ([NEC] 240.4(D));
/// infinite for all others.
[[nodiscard]] double small_conductor_limit_A(const AwgSize& size);

/// What a family can break [A] at a voltage; 0 above its voltage.
/// blade 1 kA at 32 V (its 58 V kind is not counted on), bolt-down 2 kA at 32 V, terminal 2 kA at
/// 58 V: scopes of [ISO8820] parts 3, 5, 6. Class T 20 kA at 125 V: what [ABYC-E11] asks of a main
/// fuse where the battery gives more than 10 kA, as quoted; that the family gives it is from
/// memory, as are terminal 10 kA at 14 V and 5 kA at 32 V, anl 6 kA at 32 V. The fuse's own data
/// sheet decides.
[[nodiscard]] double breaks_A(FuseFamily family, double voltage_V);

/// A fuse of a standard rating.
struct Fuse {
  FuseFamily family;
  double rating_A;
  double breaks_A;  ///< at the voltage asked for
};
/// The first family, weak to strong (blade, small bolt, large bolt, ANL, terminal, Class T), that
/// breaks the short circuit and has a rating from `least_A` to `most_A`.
/// @param short_circuit_A  prospective; infinite when unknown: then Class T is taken
[[nodiscard]] std::optional<Fuse> choose_fuse(double least_A, double most_A, double voltage_V,
                                              double short_circuit_A);

}  // namespace cabinload::wiring
