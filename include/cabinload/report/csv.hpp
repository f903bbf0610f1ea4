// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string>
#include <vector>

/// Tables of an answer as comma-separated text: the names, units and rows of its JSON.
namespace cabinload::report {

/// Tables of an answer, the main one first: "hold" has "each_night", "by_month"; none for an
/// unknown answer.
[[nodiscard]] const std::vector<std::string>& tables_of(const std::string& answer);

/// One table as text: a line of column names, a line a row, then the cautions as lines that begin
/// with #.
///
/// Quoting is that of [RFC4180]; lines end in LF; texts are quoted, numbers are not; what JSON
/// calls null is empty. Of an object in a row each member is a column "key.member". A list that
/// holds more than texts and notes in some row has a column for each place, "min.0"; another is one
/// cell with "; " between. A table that is an object of objects ("by_failure") has its keys in a
/// first column "key". Without a row there is no line of names, but "# no rows".
/// @param answer_json  as json() wrote it
/// @param table        one of tables_of() of that answer
/// @throws core::InputError  it is no such table (names them), or the text is no answer
[[nodiscard]] std::string csv(const std::string& answer_json, const std::string& table);

}  // namespace cabinload::report
