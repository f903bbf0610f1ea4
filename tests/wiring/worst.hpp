// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <algorithm>
#include <cmath>

#include "support/catch.hpp"
#include "support/checks.hpp"

namespace cabinload::test {

/// Largest deviation of a column, with its bar; leaves a line for tests/README.md.
struct WorstRow {
  const char* what;
  const char* source;
  double bar;
  const char* unit;
  double seen = 0;
  void take(double off) {
    CHECK(std::abs(off) <= bar);
    seen = std::max(seen, std::abs(off));
  }
  ~WorstRow() { record({"Conductors and fuses", what, source, 0, bar, seen, unit, ""}); }
};

}  // namespace cabinload::test
