// SPDX-License-Identifier: Apache-2.0
#define CABINLOAD_KERNEL avx512
#define CABINLOAD_WIDTH 8
#include "step_kernel.hpp"
