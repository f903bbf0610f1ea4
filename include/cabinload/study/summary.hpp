// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/common.hpp>
#include <cabinload/study/journal.hpp>
#include <cabinload/study/plan.hpp>
#include <cabinload/study/sensitivity.hpp>
#include <cstdint>
#include <string>
#include <vector>

/// What all cases of a study say together.
namespace cabinload::study {

/// A figure over the cases that have it.
struct Figures {
  std::string name, units, about;              ///< of AnswerColumn
  std::uint64_t cases = 0;                     ///< that have it
  double mean = 0, p05 = 0, p50 = 0, p95 = 0;  ///< NaN: no case has it
};
/// Cases that share a value of a list.
struct LevelFigures {
  std::string key, value;
  std::uint64_t cases = 0;       ///< that did not fail
  double needing = 0, held = 0;  ///< nights, summed over them
  std::uint64_t all_held = 0;    ///< cases in which no night is lost
};
/// Which input an answer's spread goes with.
struct InputEffect {
  std::string key;
  Effect held, energy;  ///< on nights held and on the night's electricity
};

/// An input and what it was given: "0.5 kWh to 4 kWh", "thin, good".
struct Varied {
  std::string key, values;
};

/// Everything a view of a study prints.
struct Summary {
  answers::Header header;  ///< of the scenario as it is before anything varies
  std::vector<Varied> varied;
  std::string way;
  std::uint64_t seed = 1, cases = 0, failed = 0;
  std::string first_reason;        ///< of the failed case with the lowest number
  std::uint64_t first_failed = 0;  ///< its number
  double needing = 0, held = 0;    ///< nights, summed over cases
  std::uint64_t all_held = 0;      ///< cases in which no night is lost
  std::vector<Figures> figures;
  std::vector<LevelFigures> levels;
  std::vector<InputEffect> effects;  ///< the largest on nights held first
  /// Percentiles and effects are of so many cases, evenly spaced, when there are more.
  std::uint64_t sampled = 0;  ///< 0: of all
};

/// Reads a whole journal, block by block; memory does not grow with the cases beyond
/// kMostInMemory of them.
/// @param header  of the study's scenario
/// @pre every block is there
[[nodiscard]] Summary summary_of(const Plan& plan, const Journal& journal,
                                 const answers::Header& header);
inline constexpr std::uint64_t kMostInMemory = 1000000;

}  // namespace cabinload::study
