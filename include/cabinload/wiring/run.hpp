// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/wiring/ampacity.hpp>
#include <cabinload/wiring/fuse.hpp>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

/// One run of cable from the battery to a load: conductor, drop, fuse; 12, 24, 48 V side by side.
/// A screening by published tables: the local code and a licensed electrician decide.
namespace cabinload::wiring {

/// What is asked. Lengths are one way; the current goes there and back.
struct Ask {
  double power_W = kUnknown;       ///< at the load, > 0, drawn for hours (continuous)
  double volts = 12;               ///< nominal: 12, 24 or 48
  double length_m = kUnknown;      ///< one way along the cable, > 0
  double ambient_degC = kUnknown;  ///< hottest air where it lies, -40 up to warmest_ambient_degC
  Insulation insulation = Insulation::c90;
  double terminal_degC = 75;           ///< lugs and terminals: 60, 75, 90, 105
  bool engine_space = false;           ///< counts as 50 degC at least [ABYC-E11]
  int conductors_together = 2;         ///< carrying current, this run's two included; 2..60
  double drop_limit_percent = 3;       ///< of the nominal voltage, there and back; above 0, <= 10
  double vehicle_length_m = kUnknown;  ///< for a warning; may stay unknown
  bool fused = true;                   ///< false is refused
  double fuse_distance_m = 0;          ///< cable from the battery's post to the fuse, >= 0
  double battery_resistance_ohm = kUnknown;  ///< as arranged for `volts`; unknown: Class T

  static constexpr double kUnknown = std::numeric_limits<double>::quiet_NaN();
};

/// Where a rule comes from: [NEC]; [ABYC-E11] or [ISO13297]; common practice, no published source.
enum class Origin { nec, marine, common_practice };
[[nodiscard]] std::string_view name_of(Origin origin);  ///< "nec", "marine", "common_practice"

/// A rule applied, or a warning, with where it comes from.
struct Note {
  Origin origin;
  std::string text;  ///< one sentence
};

/// What made the conductor as thick as it is: what the next thinner one fails first.
enum class Governs { ampacity, terminal, fuse, drop, smallest };
/// "drop", as the enumerator.
[[nodiscard]] std::string_view name_of(Governs governs);

/// What was chosen for one voltage.
struct Run {
  double volts = 0, current_A = 0;
  double design_current_A = 0;  ///< 1.25 x current
  double ambient_degC = 0;      ///< counted with
  /// False when no conductor up to 4 x 4/0 with a fuse exists; then the rest is empty but warnings.
  bool possible = false;
  std::string awg;                      ///< "6", "2/0"
  int parallel = 1;                     ///< conductors side by side in each direction
  double conductor_mm2 = 0;             ///< of copper, one conductor of this gauge
  std::optional<double> metric_mm2;     ///< metric size instead: not less copper, within the drop
  double conductor_degC = 0;            ///< at current_A
  double drop_percent = 0, drop_V = 0;  ///< at current_A and conductor_degC, there and back
  double loss_W = 0;                    ///< heat of the cable
  double ampacity_A = 0;  ///< of all parallel conductors, corrected, with the terminal cap
  double fuse_A = 0;      ///< design_current_A <= fuse_A <= ampacity_A
  FuseFamily fuse_type = FuseFamily::class_t;
  std::optional<double> short_circuit_A;  ///< prospective, at the battery; empty when unknown
  Governs governs = Governs::smallest;
  std::vector<Note> rules;     ///< what was applied, with its origin
  std::vector<Note> warnings;  ///< what the user must look at
};

/// Battery's voltage when full and at rest over its nominal: 13.6, 27.2, 54.4 V (lithium iron
/// phosphate, 3.4 V a cell; common practice, no published source).
inline constexpr double kRestOverNominal_1 = 13.6 / 12.0;
/// [NEC] 210.19, 215.2: a load of 3 h or more counts 125 %.
inline constexpr double kContinuous_1 = 1.25;
/// [ABYC-E11]: the fuse at most 7 in along the cable from the battery's post.
inline constexpr double kFuseDistance_m = 0.178;

/// Drop over the round trip [V] at the conductor's own temperature, one conductor each way.
/// @throws core::RangeError  as conductor_degC
[[nodiscard]] double drop_V(const AwgSize& size, const Laying& laying, double current_A,
                            double length_m);
/// The thinnest sold conductor that keeps the drop; nullptr when none up to 4/0 does. Conductors
/// that the current would overheat are passed over.
[[nodiscard]] const AwgSize* size_for_drop(const Laying& laying, double current_A, double length_m,
                                           double most_drop_V);

/// Nobody routes it in a vehicle: thicker than 2/0 AWG, in parallel, or no conductor at all. Common
/// practice, no published source.
[[nodiscard]] bool hard_to_route(const Run& run);

/// The thinnest conductor (up to four in parallel, then 2/0 and thicker) that carries 125 % of the
/// current where it lies, within the terminals' rating, keeps the drop, and has a standard fuse not
/// above its ampacity that breaks the battery's short circuit.
/// Cold ambient never raises the ampacity here: the cable also serves in summer.
/// @throws core::RangeError  a value out of range, named, with what would be right
[[nodiscard]] Run choose_run(const Ask& ask);

/// The same power at 12, 24 and 48 V; `ask.volts` says what the battery's resistance is for: the
/// same cells arranged for another voltage have it times (V / volts)^2. Where 12 or 24 V need
/// more than 2/0 or parallel conductors, their warnings say what more volts need.
/// @throws core::RangeError  as choose_run
[[nodiscard]] std::array<Run, 3> side_by_side(const Ask& ask);

}  // namespace cabinload::wiring
