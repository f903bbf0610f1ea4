// SPDX-License-Identifier: Apache-2.0
// Pictures of characters, in a Unicode and an ASCII form; nothing in them is told by colour alone.
#pragma once
#include <cabinload/answers/hold.hpp>
#include <cabinload/report/terminal.hpp>
#include <string>

namespace cabinload::report {

/// The evenings of the period, a mark each; "" without pictures or for a single night.
[[nodiscard]] std::string season_picture(const answers::Hold& answer, const Style& style);
/// The hardest night: bed and outdoors against the limit, the battery below; "" without pictures
/// or where its hours are not at hand.
[[nodiscard]] std::string night_picture(const answers::Hold& answer, const Style& style);

}  // namespace cabinload::report
