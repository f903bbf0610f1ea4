// SPDX-License-Identifier: Apache-2.0
// Each published check leaves a line; tests/python/checks_table.py makes tests/README.md of them.
#pragma once
#include <cstdlib>
#include <fstream>
#include <limits>
#include <nlohmann/json.hpp>
#include <string>

namespace cabinload::test {

/// One published value or range beside ours.
struct Check {
  std::string group;         ///< heading in the table
  std::string what;          ///< "600, annual heating"
  std::string source;        ///< citation
  double low = 0, high = 0;  ///< the published range, or value -+ tolerance
  double ours = 0;
  std::string unit;
  std::string reason;  ///< why it lies outside, when it does
  [[nodiscard]] bool inside() const { return ours >= low && ours <= high; }
};

/// Appends to the file that the environment names (begun anew by each program); does nothing
/// without it.
inline void record(const Check& c) {
  const char* path = std::getenv("CABINLOAD_CHECKS");
  if (path == nullptr) return;
  static std::ofstream out(path);
  out << nlohmann::json{{"group", c.group}, {"what", c.what},    {"source", c.source},
                        {"low", c.low},     {"high", c.high},    {"ours", c.ours},
                        {"unit", c.unit},   {"reason", c.reason}}
             .dump()
      << '\n';
}

}  // namespace cabinload::test
