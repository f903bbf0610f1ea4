// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/power/cell_bank.hpp>

namespace cabinload::power {

/// @throws core::RangeError  a value out of range, by key, with what would be right
void check(const BankDescription& description);

}  // namespace cabinload::power
