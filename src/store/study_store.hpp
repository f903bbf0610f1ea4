// SPDX-License-Identifier: Apache-2.0
// The table of a study's cases; store.cpp writes what every file has.
#pragma once
#include <cabinload/store/store.hpp>

#include "writer.hpp"

namespace cabinload::store {

/// Writes /cases, block by block.
void write_cases(H5::Group& root, const StudyResult& result);

}  // namespace cabinload::store
