// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string>
#include <string_view>

namespace cabinload::core {

/// Text as it may stand in HTML, XML and SVG, between tags and within quoted attributes: & < > " '
/// become entities. Control characters but tab and line feed, bytes that are no UTF-8 and code
/// points that XML refuses become U+FFFD. Everything else, of any script, stays as it is.
[[nodiscard]] std::string markup_escaped(std::string_view text);

}  // namespace cabinload::core
