// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string_view>
#include <vector>

/// Which vector registers the step kernel uses. One scenario's results
/// are the same to the last bit in any number of lanes; between instruction sets they differ by
/// rounding (products are added without rounding in between where the machine can).
namespace cabinload::network {

/// Registers of a processor.
enum class InstructionSet {
  baseline,  ///< what every processor of the kind has
  avx2,      ///< 4 numbers a register
  avx512     ///< 8
};
/// "baseline", "avx2", "avx512".
[[nodiscard]] std::string_view name_of(InstructionSet set);
/// Those that this processor has and this build holds, narrowest first.
[[nodiscard]] const std::vector<InstructionSet>& instruction_sets();
/// The last of them.
[[nodiscard]] InstructionSet widest();

}  // namespace cabinload::network
