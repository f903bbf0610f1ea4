// SPDX-License-Identifier: Apache-2.0
// Sentences of the answers, for every view of them: one place for their words.
#pragma once
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/pets.hpp>
#include <cabinload/answers/roof.hpp>
#include <cabinload/answers/what_helps.hpp>
#include <cabinload/answers/wire.hpp>
#include <cabinload/report/terminal.hpp>
#include <string>
#include <vector>

namespace cabinload::report {

/// The first line of an answer.
[[nodiscard]] std::string verdict(const answers::Hold& answer, const Style& style);
[[nodiscard]] std::string verdict(const answers::Pets& answer, const Style& style);
[[nodiscard]] std::string verdict(const answers::Roof& answer, const Style& style);
[[nodiscard]] std::string verdict(const answers::Helps& answer, const Style& style);
[[nodiscard]] std::string verdict(const answers::Wire& answer);

// hold
/// How sure it is; "" where nothing needs cooling.
[[nodiscard]] std::string how_sure(const answers::Hold& answer);
/// What tells more of that on the command line.
[[nodiscard]] std::string how_surer(const answers::Hold& answer);
/// Why a night was lost, short, for tables; "" when held. A bed may be cool and other loads dark.
[[nodiscard]] std::string lost_word(const answers::HoldNight& night);
/// A reason, in the same words.
[[nodiscard]] const char* why_word(answers::Why why);
/// How hot the hardest night becomes and why; "" when no night needs cooling.
[[nodiscard]] std::string hardest_words(const answers::Hold& answer, const Style& style);
/// What alone would have held that night; "" when it is held or nothing was tried.
[[nodiscard]] std::string would_hold_words(const answers::Hold& answer, const Style& style);

// flows
/// A row of an account for a table; rows are rounded so that they add up as printed.
struct LedgerLine {
  std::string words, in, out;  ///< "" on the side where nothing is
};
/// Rows that are not 0 as printed, and the line "together".
[[nodiscard]] std::vector<LedgerLine> ledger_lines(const answers::LedgerAccount& account,
                                                   const Style& style);
/// "The whole sleep window: 16 July, 22:00 to 07:00."
[[nodiscard]] std::string ledger_when(const answers::Ledger& ledger);
[[nodiscard]] std::string ledger_means(const answers::Ledger& ledger, const Style& style);

// what-helps
/// An improvement by name, the best way of several with it.
[[nodiscard]] std::string named(const answers::HelpRow& row);

/// What a change makes of a row's figures, with their signs; no "-0".
struct HelpCells {
  std::string electricity, peak, minutes;
};
[[nodiscard]] HelpCells help_cells(const answers::Helps& answer, const answers::HelpRow& row,
                                   const Style& style);

// wire
/// "2 x 4/0 AWG".
[[nodiscard]] std::string conductor(const wiring::Run& run);
[[nodiscard]] std::string ambient_words(const answers::Wire& answer, const Style& style);
inline constexpr const char* kWireScreening =
    "A screening by published tables: the local code and a licensed electrician decide.";

// compare, what-helps
inline constexpr const char* kMinutesMeaning =
    "Minutes: the shortest of any failure at any hour of the three days around the hottest, "
    "uncertain numbers on the side that shortens them. They tell how little time there is, and are "
    "no permission: `cabinload pets` has every hour.";

// pets
/// A limit as its rule prints it: 29.5 °C is printed beside 85 °F.
[[nodiscard]] std::string line_of_law(double T_K, const Style& style);
/// "44 min", rounded down; "not in 4 h" when it is not passed.
[[nodiscard]] std::string minutes_left(double minutes);
/// When it is shortest; "" when no hour passes the limit.
[[nodiscard]] std::string shortest_words(const answers::Pets& answer, const Style& style);
/// How the cabin fares with the unit running.
[[nodiscard]] std::string running_words(const answers::Pets& answer, const Style& style);

}  // namespace cabinload::report
