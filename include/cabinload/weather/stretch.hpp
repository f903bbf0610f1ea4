// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/weather/series.hpp>

namespace cabinload::weather {

/// Some days of a series, its rows as they are; remarks are left out. A series that is no longer
/// than that is given back whole.
/// @param first_day  counted from the series' first day; may lie before it: the year follows itself
/// @param days       > 0
[[nodiscard]] Series stretch(const Series& series, int first_day, int days);

}  // namespace cabinload::weather
