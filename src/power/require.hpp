// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <fmt/format.h>
#include <cabinload/core/error.hpp>

namespace cabinload::power {

/// Refuses a value by part, key, value and what would be right. A NaN fails every comparison.
inline void require(bool good, const char* part, const char* key, double value, const char* must) {
  if (!good)
    throw core::RangeError(fmt::format("{}: {} = {:g}, must be {}", part, key, value, must));
}

}  // namespace cabinload::power
