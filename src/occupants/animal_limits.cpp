// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/air/comfort.hpp>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/occupants/animal_limits.hpp>
#include <cmath>

namespace cabinload::occupants {
namespace {

constexpr const char* kDogsCats = "dogs and cats, sheltered housing";
constexpr const char* kUnaccustomed =
    "dogs and cats not acclimated, short-haired, sick, aged, young";
constexpr const char* kInTransit = "imported mammals and birds in transit";
/// As printed, read, but 9 CFR 3.2(a), which is from memory.
constexpr AnimalRule kRules[] = {
    {"9 CFR part 3", "3.3(a)", kDogsCats, "ambient must not rise above", 85, 29.5, 4, "9CFR3"},
    {"9 CFR part 3", "3.3(a)", kDogsCats, "ambient must not fall below", 45, 7.2, 4, "9CFR3"},
    {"9 CFR part 3", "3.3(a)", kUnaccustomed, "ambient must not fall below", 50, 10, 0, "9CFR3"},
    {"9 CFR part 3", "3.3(b)", kDogsCats, "auxiliary ventilation required at or above", 85, 29.5, 0,
     "9CFR3"},
    {"9 CFR part 3", "3.2(a)", "dogs and cats, indoor housing", "ambient must not rise above", 85,
     29.5, 4, "9CFR3"},
    {"9 CFR part 3", "3.16(e)", "dogs and cats, surface transport, cargo space",
     "ambient must not exceed", 85, 29.5, 4, "9CFR3"},
    {"50 CFR 14", "14.109(b)", kInTransit, "ambient must not exceed", 80, 26.7, 0, "50CFR14"},
    {"50 CFR 14", "14.109(b)", kInTransit, "ambient must not fall below", 55, 12.8, 0, "50CFR14"},
    {"7 Pa. Code 28a.4", "28a.4(3)", "dog kennels", "heat index must never exceed", 90, 32.2, 0,
     "7Pa28a4"},
};
const AnimalRule& kGeneral = kRules[0];
const AnimalRule& kCold = kRules[1];
const AnimalRule& kColdDelicate = kRules[2];
const AnimalRule& kLower = kRules[6];
const AnimalRule& kLowerCold = kRules[7];
const AnimalRule& kHeatIndex = kRules[8];

constexpr double kKelvinPerDegF = 5.0 / 9.0;
double kelvin_of_degF(double degF) {
  return core::to_kelvin((degF - 32.0) * kKelvinPerDegF);
}
/// The humidity line: 90 % at 85 degF, 4 % a degF.
constexpr double kLine_degF = 85, kLineHumidity_percent = 90, kLineFall_percent_degF = 4;

std::string degrees(const AnimalRule& r) {
  return fmt::format("{:.1f} °C / {:.0f} °F", r.limit_degC, r.limit_degF);
}

/// Why the lower line: "short-nosed", "old" ...; empty for the general one.
std::string weakness(const Pet& p) {
  std::string words;
  const auto add = [&](bool is, const char* word) {
    if (is) words += (words.empty() ? "" : ", ") + std::string(word);
  };
  add(p.nose == Nose::short_nosed, "short-nosed");
  add(p.age == Age::old, "old");
  add(p.age == Age::young, "young");
  add(p.overweight, "overweight");
  add(p.mass_kg >= kVeryLarge_kg, "very large");
  return words;
}

}  // namespace

std::span<const AnimalRule> animal_rules() {
  return kRules;
}

bool covered_by_9cfr3(const std::string& species) {
  return species == "dog" || species == "cat";
}

AnimalLimit limit_of(const Pet& p) {
  const std::string weak = weakness(p);
  const bool covered = covered_by_9cfr3(p.species);
  const AnimalRule& rule = covered && weak.empty() ? kGeneral : kLower;
  AnimalLimit l;
  l.T_general_K = core::to_kelvin(kGeneral.limit_degC);
  l.T_most_K = core::to_kelvin(rule.limit_degC);
  l.longest_s = kGeneral.hours * core::kSecondsInHour;
  const std::string species = covered ? p.species : "'" + p.species + "'";  // the user's own word
  l.animal = fmt::format("{}{}{} of {:g} kg", weak, weak.empty() ? "" : " ", species, p.mass_kg);
  l.source = fmt::format("{} {}: {} {}", rule.rule, rule.section, rule.quantity, degrees(rule));
  if (rule.hours > 0) l.source += fmt::format(" for more than {:.0f} h", rule.hours);
  if (!weak.empty())
    l.source +=
        fmt::format(" ({}), taken for a {} animal: engineering judgement", rule.animals, weak);
  else if (!covered)
    l.source += fmt::format(" ({})", rule.animals);
  if (p.T_limit_K && *p.T_limit_K < l.T_most_K) {
    l.T_most_K = *p.T_limit_K;
    l.source =
        fmt::format("stated for this animal (pet.limit), below {} {}", rule.rule, rule.section);
  }
  l.lowered_K = l.T_general_K - l.T_most_K;
  const AnimalRule& cold =
      !covered ? kLowerCold : (!weak.empty() || !p.acclimated ? kColdDelicate : kCold);
  l.T_least_K = core::to_kelvin(cold.limit_degC);
  l.longest_cold_s = cold.hours * core::kSecondsInHour;
  l.cold_source =
      fmt::format("{} {}: {} {}", cold.rule, cold.section, cold.quantity, degrees(cold));
  if (cold.hours > 0) l.cold_source += fmt::format(" for more than {:.0f} h", cold.hours);
  return l;
}

AnimalLimit limit_of(const std::vector<Pet>& pets) {
  std::vector<AnimalLimit> all;
  all.reserve(pets.size());
  for (const Pet& p : pets) all.push_back(limit_of(p));
  AnimalLimit strictest = *std::min_element(
      all.begin(), all.end(),
      [](const AnimalLimit& a, const AnimalLimit& b) { return a.T_most_K < b.T_most_K; });
  const AnimalLimit& cold = *std::max_element(
      all.begin(), all.end(),
      [](const AnimalLimit& a, const AnimalLimit& b) { return a.T_least_K < b.T_least_K; });
  strictest.T_least_K = cold.T_least_K;
  strictest.longest_cold_s = cold.longest_cold_s;
  strictest.cold_source = cold.cold_source;
  return strictest;
}

double humidity_line_1(double T_K) {
  const double over_degF = (T_K - kelvin_of_degF(kLine_degF)) / kKelvinPerDegF;
  return (kLineHumidity_percent - kLineFall_percent_degF * over_degF) / 100.0;
}

double excess_K(const AnimalLimit& l, double T_K, double W_1, double p_Pa) {
  double excess = T_K - l.T_most_K;
  constexpr double kNear_K = 8;  // drier or cooler than this no humidity line is near
  if (excess < -kNear_K) return excess;
  const double rh_1 = std::min(1.0, air::relative_humidity_1(T_K, W_1, p_Pa));
  const double line_K = kelvin_of_degF(kLine_degF) + (kLineHumidity_percent - 100 * rh_1) /
                                                         kLineFall_percent_degF * kKelvinPerDegF;
  excess = std::max(excess, T_K - (line_K - l.lowered_K));
  const double index_K = kelvin_of_degF(kHeatIndex.limit_degF) - l.lowered_K;
  return std::max(excess, air::heat_index_K(T_K, rh_1) - index_K);
}

double least_at_risk_K(const AnimalLimit& l) {
  constexpr double p_Pa = 101325;
  double low = l.T_most_K - 8, high = l.T_most_K;
  for (int i = 0; i < 40; ++i) {
    const double T_K = 0.5 * (low + high);
    const double W_1 = air::humidity_ratio_from_relative_1(T_K, 1.0, p_Pa);
    (excess_K(l, T_K, W_1, p_Pa) < 0 ? low : high) = T_K;
  }
  return low;
}

}  // namespace cabinload::occupants
