// SPDX-License-Identifier: Apache-2.0
#define CABINLOAD_KERNEL avx2
#define CABINLOAD_WIDTH 4
#include "step_kernel.hpp"
