// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cstdint>
#include <string>
#include <vector>

/// What a scenario file says about a study: texts as written, made sense of by study/plan.hpp.
namespace cabinload::scenario {

/// One [[vary]]: an input that differs from case to case.
struct Vary {
  std::string key;     ///< of the scenario; "uncertainty": every one of that table
  std::string values;  ///< "thin, good": a list; where there is a ';' that parts them instead
  std::string files;   ///< a folder, whose files are the values, or a text with one value a line
  std::string range;   ///< "1 kWh to 5 kWh"
  int steps = 5;       ///< values of a range when every combination is run
  std::string spread = "even";  ///< of a range: even, triangle, bell, factor
  std::string likeliest, deviation;
  double factor_1 = 2;
};

/// [study] and every [[vary]].
struct StudyPlan {
  std::string way = "all";  ///< all, latin, sobol
  std::uint64_t cases = 1024;
  int seed = 1;
  bool effects = false;
  std::vector<Vary> vary;
};

}  // namespace cabinload::scenario
