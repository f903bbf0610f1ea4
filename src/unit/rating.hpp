// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/unit/coil.hpp>
#include <cabinload/unit/unit.hpp>

namespace cabinload::unit {

/// The coil at the rating point of a description with that map, at sea level.
/// @throws core::RangeError  no coil gives that sensible share with that air flow
[[nodiscard]] BypassResult rated_coil(const Description& description, const Map& map);

}  // namespace cabinload::unit
