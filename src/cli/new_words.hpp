// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string>

namespace cabinload::cli {

/// The key that an option of `new` fills in, as "--windows"; "" for any other text. Other commands
/// have it as an everyday option or with --set.
[[nodiscard]] std::string key_of_new(const std::string& flag);

}  // namespace cabinload::cli
