// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <algorithm>
#include <array>
#include <cabinload/answers/common.hpp>
#include <cabinload/core/calendar.hpp>
#include <cabinload/occupants/animal_limits.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/failures.hpp>
#include <cabinload/weather/series.hpp>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace cabinload::answers {

/// A number that is not known well, and what is taken for it here: on the side that shortens the
/// minutes.
struct ShorteningSide {
  const char *key, *words, *source;
  double value;
};
/// cracks while it is warmer outdoors (factor), cracks while it is not (factor), paint (added to
/// the absorptance), covers (share of the window left open), covers (factor on the resistance),
/// air (factor on the effective capacity).
enum class Side { cracks_warm, cracks_cool, paint, cover_gap, cover_resistance, air_capacity };
[[nodiscard]] std::span<const ShorteningSide> shortening_sides();  ///< in the order of Side
/// One of them.
[[nodiscard]] const ShorteningSide& shortening(Side side);

/// What the runs are of: unit on and animals in the cabin at all hours, uncertain numbers on the
/// side that shortens the minutes.
[[nodiscard]] scenario::Scenario pets_scenario(const scenario::Scenario& scenario);
/// The same when parking shade and covers are gone; nothing where there are none.
[[nodiscard]] std::optional<scenario::Scenario> pets_bare(const scenario::Scenario& pets_scenario);

/// What helps, and where an alarm is set: sizes that people fit; engineering judgement.
[[nodiscard]] simulation::Helps pets_helps(const scenario::Scenario& scenario,
                                           const occupants::AnimalLimit& limit);

/// Options of one run over some days.
[[nodiscard]] simulation::FailureOptions pets_options(const scenario::Scenario& pets_scenario,
                                                      const simulation::Nights& days);
/// Options of the runs that cover a period, whole days; each starts with its own warm-up, so that
/// they can run beside each other. The same list whatever the number of threads.
[[nodiscard]] std::vector<simulation::FailureOptions> pets_options(
    const scenario::Scenario& pets_scenario, std::size_t hours, int first_day);

/// Bars for the share of hours [min].
inline constexpr std::array<int, 4> kPetsBars_min = {10, 20, 30, 60};

/// Minutes to the limit over all hours of the period; infinite: not within the longest branch.
struct PetsFigures {
  double min_min = 0, p05_min = 0, median_min = 0;
  std::array<double, kPetsBars_min.size()> share_under_1{};
};

/// Something that helps, beside the unit's fault without it.
struct PetsHelp {
  PetsFigures with;  ///< for the alarm: minutes left after it has sounded
  /// Minutes won in the hours in which the limit is passed without it; what is not passed any more
  /// counts as the longest branch.
  double won_median_min = 0, won_least_min = 0;
  int hours_passed = 0;   ///< hours in which the limit is passed without it
  int hours_spared = 0;   ///< of these, not passed any more
  int hours_shorter = 0;  ///< of these, passed sooner by more than half a minute
};

/// The answer to `pets`.
struct Pets {
  Header header;
  occupants::AnimalLimit limit;  ///< of the animal with the strictest line
  double T_set_K = 0;
  int hours = 0;
  double longest_min = 240;
  // The unit running.
  double cabin_peak_K = 0, margin_K = 0;  ///< margin to the strictest line, negative: passed
  core::Date peak_date{1, 1};
  double peak_second_of_day = 0;
  double above_general_h = 0;      ///< longest stretch above the general line
  double least_K = 0, cold_h = 0;  ///< coldest air, longest stretch below the cold line
  // When it stops.
  PetsFigures all;  ///< the shortest of the five, hour by hour
  std::array<PetsFigures, simulation::kFailures> by_failure;
  /// The hour and the failure that leave the fewest minutes.
  struct Shortest {
    core::Date date{1, 1};
    int hour = 0;
    simulation::Failure failure = simulation::Failure::unit_fault;
    double T_out_K = 0;
  };
  std::optional<Shortest> shortest;  ///< nothing when no hour passes the limit
  double T_alarm_K = 0, fan_m3_s = 0, opening_m2 = 0;
  PetsHelp alarm, second_fan, opening;
  /// Shortest minutes by month and hour of the day; NaN: not in the period.
  std::array<std::array<double, 24>, 12> map{};
  double residual_relative = 0;
  /// One of eight headings, where they were asked for.
  struct Heading {
    double heading_rad = 0, min_min = 0, p05_min = 0;
  };
  std::vector<Heading> headings;  ///< empty unless asked for
  double heading_rad = 0;
  /// The unsafe end of the vans drawn, each on the days of worst_days(): one in twenty is worse.
  struct Drawn {
    int samples = 0;
    std::vector<core::Date> days;
    double min_min = 0, cabin_peak_K = 0, margin_K = 0;
  };
  std::optional<Drawn> drawn;

  /// Fewest minutes and smallest margin, of what is described and of the vans drawn.
  [[nodiscard]] double fewest_min() const {
    return drawn ? std::min(drawn->min_min, all.min_min) : all.min_min;
  }
  [[nodiscard]] double least_margin_K() const {  ///< below 0: the limit is exceeded
    return drawn ? std::min(drawn->margin_K, margin_K) : margin_K;
  }

  /// The stretch above the general line lasts longer than the rule allows.
  [[nodiscard]] bool too_long_above() const {
    return above_general_h * 3600.0 > limit.longest_s + 1e-6;
  }
  /// No line is passed while the unit runs. It never says that an animal may stay.
  [[nodiscard]] bool met() const { return least_margin_K() > 0 && !too_long_above(); }
};

/// Cautions of every answer that tells minutes to an animal's limit: its own, then the standing
/// ones.
[[nodiscard]] std::vector<Caution> animal_cautions();
/// How many days around the hottest one are looked at for a table of many vehicles.
inline constexpr int kPeakDays = 3;
/// The day and those beside it.
[[nodiscard]] inline simulation::Nights days_about(int day) {
  return {day - kPeakDays / 2, kPeakDays};
}
/// What the minutes in a table of many vehicles are counted to.
struct MinutesRule {
  std::string animal, source;
  double T_limit_K = 0;
  double longest_min = 0;  ///< what is not passed within that counts as that
};
/// Of the animal with the strictest line; without an animal of an ordinary dog.
[[nodiscard]] MinutesRule minutes_rule(const scenario::Scenario& scenario);

/// An ordinary dog, where no animal is in the scenario.
void add_animal(scenario::Scenario& scenario);

[[nodiscard]] const char* failure_key(simulation::Failure failure);    ///< "unit_fault"
[[nodiscard]] const char* failure_words(simulation::Failure failure);  ///< "the unit fails"

/// @param runs  one after the other, as pets_options() lists them; @pre at least one
/// @param scenario  as pets_scenario() gave it
[[nodiscard]] Pets pets(std::span<const simulation::Failures> runs,
                        const scenario::Scenario& scenario, const weather::Series& weather);

/// So many of the days of either kind, not beside each other. Engineering judgement, set beside all
/// days of a season (DEVELOPERS.md, on what draws vans).
inline constexpr std::size_t kWorstDays = 3;
/// Days, counted from the weather's first, on which the vehicle is nearest to a limit: those of the
/// fewest minutes, those of the warmest cabin while the unit runs; of equal ones the warmest in the
/// cabin, outdoors. Each with those beside it that were run; rising.
/// @param runs  as joined() gave them; @pre at least one hour
[[nodiscard]] std::vector<simulation::Nights> worst_days(const simulation::Failures& runs);

/// The runs as one, for the file.
[[nodiscard]] simulation::Failures joined(std::span<const simulation::Failures> runs);

}  // namespace cabinload::answers
