// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/markup.hpp>
#include <cstdint>

namespace cabinload::core {
namespace {

constexpr std::string_view kReplacement = "\xEF\xBF\xBD";

/// Bytes of the UTF-8 sequence at the front of `rest`; 0 when it is none. Source: [RFC3629] sec. 4.
std::size_t sequence(std::string_view rest) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(rest[i]); };
  const unsigned char first = byte(0);
  if (first < 0x80) return 1;
  const std::size_t n = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
  if (first < 0xC2 || first > 0xF4 || rest.size() < n) return 0;
  std::uint32_t code = first & (0x7FU >> n);
  for (std::size_t i = 1; i < n; ++i) {
    if ((byte(i) & 0xC0) != 0x80) return 0;
    code = code << 6 | (byte(i) & 0x3FU);
  }
  const bool shortest = code >= (n == 2 ? 0x80U : n == 3 ? 0x800U : 0x10000U);
  const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
  const bool refused = code == 0xFFFE || code == 0xFFFF || code > 0x10FFFF;
  return shortest && !surrogate && !refused ? n : 0;
}

}  // namespace

std::string markup_escaped(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  while (!text.empty()) {
    const std::size_t n = sequence(text);
    const char c = text.front();
    const bool control =
        (static_cast<unsigned char>(c) < 0x20 && c != '\t' && c != '\n') || c == '\x7F';
    if (n == 0 || control)
      out += kReplacement;
    else if (c == '&')
      out += "&amp;";
    else if (c == '<')
      out += "&lt;";
    else if (c == '>')
      out += "&gt;";
    else if (c == '"')
      out += "&quot;";
    else if (c == '\'')
      out += "&#39;";
    else
      out += text.substr(0, n);
    text.remove_prefix(n == 0 ? 1 : n);
  }
  return out;
}

}  // namespace cabinload::core
