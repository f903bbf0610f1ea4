// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/network/lanes.hpp>
#include <cabinload/network/step_data.hpp>

namespace cabinload::network::detail {

// Each in a file of its own, compiled for its instruction set.
namespace baseline {
template <int L>
StepKernel<L> kernel();
}
namespace avx2 {
template <int L>
StepKernel<L> kernel();
}
namespace avx512 {
template <int L>
StepKernel<L> kernel();
}

template <int L>
StepKernel<L> kernel_for(InstructionSet set);

}  // namespace cabinload::network::detail
