// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/weather/series.hpp>

namespace cabinload::weather {

/// Some days of a whole year as a series of its own, for a look at a few nights: the same hours,
/// which from there on repeat after `days` instead of after the year. What remembers the days
/// before (ground: about one day) needs some of them in front.
/// @param first  day of the first one, counted from the series' first day; taken modulo the year
/// @param days   1..365
/// @return the series itself where it is no whole year, or `days` is all of it
[[nodiscard]] Series days_of(const Series& year, int first, int days);

}  // namespace cabinload::weather
