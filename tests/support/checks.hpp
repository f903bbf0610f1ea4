// SPDX-License-Identifier: Apache-2.0
// Each published check leaves a line; tests/python/checks_table.py makes tests/README.md of them.
#pragma once
#include <algorithm>
#include <cmath>
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
  std::string reason;          ///< why it lies outside, when it does, or why it is not judged
  bool judged = true;          ///< false: shown with the reason, counted neither inside nor outside
  std::string kept_from = {};  ///< day on which `ours` was computed, when it is kept in a file
  std::string kept_in = {};    ///< that file, below tests
  [[nodiscard]] bool inside() const { return ours >= low && ours <= high; }
};

/// Appends to the file that the environment names (begun anew by each program); does nothing
/// without it.
inline void record(const Check& c) {
  const char* path = std::getenv("CABINLOAD_CHECKS");
  if (path == nullptr) return;
  static std::ofstream out(path);
  out << nlohmann::json{{"group", c.group},    {"what", c.what},
                        {"source", c.source},  {"low", c.low},
                        {"high", c.high},      {"ours", c.ours},
                        {"unit", c.unit},      {"reason", c.reason},
                        {"judged", c.judged},  {"kept_from", c.kept_from},
                        {"kept_in", c.kept_in}}
             .dump()
      << '\n';
}

/// The largest of several differences, for one line of the table.
class Worst {
 public:
  /// @return the difference, so that a case can check it too
  double see(double ours, double expected) { return take(std::abs(ours - expected)); }
  double see_relative(double ours, double expected) { return take(std::abs(ours / expected - 1)); }
  /// Leaves the line; below: the bar that the case checks.
  void record(const char* group, const std::string& what, const char* source, double bar,
              const char* unit) const {
    test::record({group, what, source, 0, bar, worst_, unit, ""});
  }

 private:
  double take(double off) {
    worst_ = std::isnan(off) ? off : std::max(worst_, off);
    return off;
  }
  double worst_ = 0;
};

}  // namespace cabinload::test
