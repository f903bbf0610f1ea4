// SPDX-License-Identifier: Apache-2.0
#include "lanes.hpp"

namespace cabinload::network {
namespace {

std::vector<InstructionSet> found() {
  std::vector<InstructionSet> sets{InstructionSet::baseline};
#ifdef CABINLOAD_WIDE_KERNELS
  const bool avx2 = __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma");
  if (avx2) sets.push_back(InstructionSet::avx2);
  if (avx2 && __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") &&
      __builtin_cpu_supports("avx512vl"))
    sets.push_back(InstructionSet::avx512);
#endif
  return sets;
}

}  // namespace

std::string_view name_of(InstructionSet set) {
  switch (set) {
    case InstructionSet::avx2:
      return "avx2";
    case InstructionSet::avx512:
      return "avx512";
    default:
      return "baseline";
  }
}

const std::vector<InstructionSet>& instruction_sets() {
  static const std::vector<InstructionSet> sets = found();
  return sets;
}

InstructionSet widest() {
  return instruction_sets().back();
}

namespace detail {

template <int L>
StepKernel<L> kernel_for([[maybe_unused]] InstructionSet set) {
#ifdef CABINLOAD_WIDE_KERNELS
  if (set == InstructionSet::avx512) return avx512::kernel<L>();
  if (set == InstructionSet::avx2) return avx2::kernel<L>();
#endif
  return baseline::kernel<L>();
}
template StepKernel<1> kernel_for<1>(InstructionSet);
template StepKernel<4> kernel_for<4>(InstructionSet);
template StepKernel<8> kernel_for<8>(InstructionSet);

}  // namespace detail
}  // namespace cabinload::network
