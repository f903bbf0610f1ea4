// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/hold.hpp>

/// How a night is shown in a season's calendar, in every view of it.
namespace cabinload::report {

/// From the least to the worst.
enum class NightMark {
  quiet,  ///< needs no cooling
  held,
  close,  ///< held, but little more would have lost it
  lost,
};

/// Closer to the limit than this [K], or to the battery's cut-off than this [1], is close: less
/// than what a model of a described van can promise. Engineering judgement.
inline constexpr double kCloseToLimit_K = 0.5;
inline constexpr double kCloseToCutOff_1 = 0.10;

/// @param cut_off_1  charge at which the battery is cut off
[[nodiscard]] NightMark mark_of(const answers::HoldNight& night, double T_limit_K,
                                double cut_off_1);
/// "held", "lost" ...; for tables and for those who do not see the mark.
[[nodiscard]] const char* mark_word(NightMark mark);

}  // namespace cabinload::report
