// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string>
#include <string_view>

namespace cabinload::core {

/// SHA-256 of bytes as 64 lower-case hex digits. Source: [FIPS180-4] sec. 6.2.
[[nodiscard]] std::string sha256_hex(std::string_view bytes);

}  // namespace cabinload::core
