// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/common.hpp>
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/pets.hpp>
#include <string>
#include <vector>

namespace cabinload::answers {

/// One cell of the matrix: places in the lists of Comparison, and what the nights gave.
struct CompareRow {
  std::size_t unit = 0, weather = 0, vehicle = 0, setting = 0;
  int in_period = 0, needing_cooling = 0, held = 0;
  double electric_Wh = 0;      ///< median over the nights that need cooling; NaN when none does
  Why most_often = Why::none;  ///< of the nights lost
  /// Fewest from a failure of the cooling to the animal's limit, in the days around the hottest;
  /// infinite: not within MinutesRule::longest_min.
  double minutes = 0;
  double T_limit_K = 0;  ///< the sleeper's: a setting may change it
};

/// A climate of the list, as shown and as found.
struct ComparedWeather {
  std::string key, place, file, sha256;
};

/// The answer to `compare`: units by climates by vehicles by settings.
struct Comparison {
  Header header;  ///< of the first row
  double T_limit_K = 0;
  MinutesRule to;                                      ///< of the first row
  std::vector<std::string> units, vehicles, settings;  ///< as the user named them
  std::vector<ComparedWeather> weathers;
  std::vector<CompareRow> rows;  ///< vehicle by vehicle, then climate, unit, setting
  std::size_t unit_on_runs = 0, unit_off_runs = 0, forcings = 0;
  double residual_relative = 0;

  /// No row has a night that needs cooling (also when there are no rows).
  [[nodiscard]] bool nothing_needs_cooling() const;
};

/// What the nights of one cell gave. Its places in the lists are the caller's.
[[nodiscard]] CompareRow compare_row(const Hold& hold);

/// What one can choose, all climates together; places in the lists of Comparison.
struct CompareChoice {
  std::size_t unit = 0, vehicle = 0, setting = 0;
  int needing_cooling = 0, held = 0;
  [[nodiscard]] int lost() const { return needing_cooling - held; }  ///< nights
};
/// Every unit in every vehicle and setting; the one with the fewest nights lost first, equal ones
/// as in the rows. Settings are never summed: their nights are not the same nights.
[[nodiscard]] std::vector<CompareChoice> choices(const Comparison& answer);

}  // namespace cabinload::answers
