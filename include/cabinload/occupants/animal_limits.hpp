// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/occupants/occupants.hpp>
#include <span>
#include <string>

/// Lines that the air around an animal must not pass, each with the rule it is taken from. They are
/// lines of law and of survival, not of comfort; nothing here says that a place is fit for animals.
namespace cabinload::occupants {

/// A rule as printed.
struct AnimalRule {
  const char* rule;               ///< "9 CFR part 3"
  const char* section;            ///< "3.3(a)"
  const char* animals;            ///< to whom it applies
  const char* quantity;           ///< "ambient must not rise above"
  double limit_degF, limit_degC;  ///< both as printed; degC is no exact conversion
  double hours;                   ///< it may last this long; 0: not at all
  const char* key;                ///< [Key] in references.bib
};
/// The rules that limit_of() and excess_K() rest on, and those shown beside them.
[[nodiscard]] std::span<const AnimalRule> animal_rules();

/// The line of [9CFR3] that is used here names it: dogs and cats.
[[nodiscard]] bool covered_by_9cfr3(const std::string& species);

/// What holds for one animal.
struct AnimalLimit {
  double T_most_K = 0;     ///< the line to which minutes are counted
  double lowered_K = 0;    ///< below the general line (29.5 degC); the humidity lines come down too
  double longest_s = 0;    ///< duration rule: not above the general line for more than this
  double T_general_K = 0;  ///< that line
  double T_least_K = 0;    ///< cold line
  double longest_cold_s = 0;
  std::string animal;  ///< "short-nosed dog of 12 kg"
  std::string source;  ///< citation of T_most_K and why this line
  std::string cold_source;
};

/// Mass from which a dog counts as very large [kg]; engineering judgement: a large body sheds heat
/// slowly.
inline constexpr double kVeryLarge_kg = 45;

/// Healthy dogs and cats: 29.5 degC (85 degF), [9CFR3]. Short-nosed, old, young, overweight or very
/// large ones, and every other kind: 26.7 degC (80 degF), the line of [50CFR14] for mammals and
/// birds on the way; that it is taken for them is engineering judgement. A limit of the animal's
/// own (Pet::T_limit_K) goes before both, and may only be lower.
[[nodiscard]] AnimalLimit limit_of(const Pet& pet);
/// The strictest of several. @pre at least one
[[nodiscard]] AnimalLimit limit_of(const std::vector<Pet>& pets);

/// Relative humidity [0..1] that beagles stood for 6 h: 90 % at 85 degF, 4 % less for every degF
/// above. Survival, not comfort; how far up it holds is not known. Source: [Hanneman1987],
/// abstract.
[[nodiscard]] double humidity_line_1(double T_K);

/// How far the air is past the strictest line [K]; negative: below all of them.
///  temperature  T - T_most
///  humidity     T over the temperature at which humidity_line_1 is the air's own humidity
///  heat index   the heat index over 90 degF, which must never be exceeded; [7Pa28a4] (3)
/// The last two come down with `lowered_K`; engineering judgement.
/// @param W_1  humidity ratio  @param p_Pa  pressure
[[nodiscard]] double excess_K(const AnimalLimit& limit, double T_K, double W_1, double p_Pa);

/// The temperature below which excess_K() is negative whatever the humidity [K].
[[nodiscard]] double least_at_risk_K(const AnimalLimit& limit);

}  // namespace cabinload::occupants
