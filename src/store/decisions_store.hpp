// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/store/store.hpp>

#include "writer.hpp"

/// What files of size, compare and what-helps hold beside scenario and answer.
namespace cabinload::store {

void write_rows(H5::Group& root, const answers::Sizes& answer);
void write_rows(H5::Group& root, const answers::Comparison& answer);
void write_rows(H5::Group& root, const answers::Helps& answer);

}  // namespace cabinload::store
