// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/common.hpp>
#include <cabinload/report/terminal.hpp>
#include <string>

namespace cabinload::report {

inline constexpr std::size_t kWidth = 80;

[[nodiscard]] std::size_t columns(const std::string& text);
[[nodiscard]] std::string padded(const std::string& text, std::size_t width, bool right = false);
/// "44 min", "4 h 20 min".
[[nodiscard]] std::string duration(double minutes);
/// "1 night", "3 nights".
[[nodiscard]] std::string plural(long n, const char* one, const char* many);
/// Text in an ANSI style, or plain.
[[nodiscard]] std::string marked(const std::string& text, const char* code, bool colour);
[[nodiscard]] std::string cautions_text(const answers::Header& header, const Style& style);
[[nodiscard]] std::string warnings_text(const answers::Header& header);

}  // namespace cabinload::report
