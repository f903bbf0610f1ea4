// SPDX-License-Identifier: Apache-2.0
#define CABINLOAD_KERNEL baseline
#define CABINLOAD_WIDTH 4
#include "step_kernel.hpp"
