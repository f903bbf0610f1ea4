// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/scenario/scenario.hpp>
#include <string>

namespace cabinload::scenario {

/// The scenario of a text, as effective_toml() writes it and result files keep it. A key whose
/// value is that of the built-in scenario counts as a default again: such a text spells out both.
/// @param name  for messages: the file that kept it
/// @throws core::InputError  as read()
[[nodiscard]] Scenario read_stored(const std::string& toml, const std::string& name);

}  // namespace cabinload::scenario
