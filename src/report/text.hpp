// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/common.hpp>
#include <cabinload/report/terminal.hpp>
#include <string>
#include <vector>

namespace cabinload::report {

inline constexpr std::size_t kWidth = 80;

[[nodiscard]] std::size_t columns(const std::string& text);
[[nodiscard]] std::string padded(const std::string& text, std::size_t width, bool right = false);
/// Not more than the first, or the last, `width` columns: whole characters.
/// @{
[[nodiscard]] std::string first_columns(const std::string& text, std::size_t width);
[[nodiscard]] std::string last_columns(const std::string& text, std::size_t width);
/// @}
/// "44 min", "4 h 20 min".
[[nodiscard]] std::string duration(double minutes);
/// "1 night", "3 nights".
[[nodiscard]] std::string plural(long n, const char* one, const char* many);
/// Text in an ANSI style, or plain.
[[nodiscard]] std::string marked(const std::string& text, const char* code, bool colour);
[[nodiscard]] std::string degrees(double T_K, const Style& style, int decimals = 1);
[[nodiscard]] std::string power(double W, const Style& style);
[[nodiscard]] std::string energy(double Wh, const Style& style, int decimals = 2);

/// A text of SI values with them in US units: "80 cm²" -> "12.4 in²", "24.0 °C" -> "75.2 °F".
/// Electricity stays in watts. What is no value stays as it is, and so does a name, which stands
/// between single quotes: 'vent 40 cm'. Texts are turned here and not where they are made because
/// an answer keeps them, in SI, in its JSON and in result files.
[[nodiscard]] std::string in_us(const std::string& text);
/// Of values given in both systems, "32.2 °C (90.0 °F)", the one in SI alone.
[[nodiscard]] std::string in_si(const std::string& text);
/// in_us() where the style asks for it.
[[nodiscard]] std::string in_units(const std::string& text, const Style& style);

/// Whole numbers that sum to `total`, the rounded sum of the values, each within one of its value:
/// the largest remainders are rounded up. For tables that add up as printed.
[[nodiscard]] std::vector<long> adding_up(const std::vector<double>& values, long total);

/// The first line of an answer, bold.
[[nodiscard]] std::string verdict_line(const std::string& verdict, const Style& style);
/// What was described: the scenario's name, unless it is the default one, and its line.
[[nodiscard]] std::string subject(const answers::Header& header);
/// What was run on what: subject(), then "Weather: place, source; period."
[[nodiscard]] std::string subject_lines(const answers::Header& header, const std::string& period);
/// "15 July 2026", "1 May 2026 to 30 September 2026".
[[nodiscard]] std::string period_words(const answers::Header& header);
/// What an answer ends with: what it rests on, warnings, and always the cautions.
[[nodiscard]] std::string closing(const answers::Header& header, const Style& style,
                                  const char* title = "What this rests on");
/// Tables of what comes in and goes out, where --why asked for them; closing() prints them.
[[nodiscard]] std::string flows_text(const answers::Header& header, const Style& style);
[[nodiscard]] std::string cautions_text(const answers::Header& header, const Style& style);

}  // namespace cabinload::report
