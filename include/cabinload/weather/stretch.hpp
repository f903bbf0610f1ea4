// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/weather/series.hpp>

namespace cabinload::weather {

/// Some days of a year as a series of its own, its rows as they are, which from there on repeat
/// after `days`; remarks are left out. What remembers the days before (ground: about one day) needs
/// some of them in front. A series that is no longer than that is given back whole.
/// @param first_day  counted from the series' first day; may lie before it: the year follows itself
/// @param days       > 0
[[nodiscard]] Series stretch(const Series& series, int first_day, int days);

}  // namespace cabinload::weather
