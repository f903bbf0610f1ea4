// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/store/store.hpp>
#include <vector>

#include "writer.hpp"

namespace cabinload::store {

/// What a file of `pets` holds beside scenario and answer. @param hours  of the time axis
void write_failures(H5::Group& root, const PetsResult& result, const std::vector<double>& hours,
                    const char* time_units);

}  // namespace cabinload::store
