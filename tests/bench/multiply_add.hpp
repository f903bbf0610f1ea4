// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace cabinload::test {

/// Multiply-adds as fast as the processor does them, compiled for the widest registers that this
/// machine has (see CMakeLists.txt): rounds x 12 x 4 of them. The result keeps them from being left
/// out.
double multiply_adds(long rounds);
inline constexpr double kMultiplyAddsPerRound = 12.0 * 4.0;

}  // namespace cabinload::test
