// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/weather/series.hpp>
#include <string>

namespace cabinload::weather {

/// Reads an hourly file of any known format; the format is told from the content, never the name.
///
/// Gaps of up to 6 h in a quantity are filled and remarked (straight lines; radiation: the same
/// hour of the day before); longer ones are refused with the row. Rows out of order are sorted by
/// date.
/// @throws core::IoError     no such file, a directory, unreadable
/// @throws core::InputError  empty, binary, cut off, unknown format, text where a number belongs,
///                           a row count other than 8760, repeated or missing hours, a gap over 6
///                           h, a value outside what is physically possible; file, line, column
///                           named
[[nodiscard]] Series read(const std::string& path);

/// As read(), from memory and without the hash: `path` is only used in messages and in
/// Series::file.
[[nodiscard]] Series read_text(const std::string& bytes, const std::string& path);

}  // namespace cabinload::weather
