// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/air/comfort.hpp>
#include <cabinload/answers/hold.hpp>
#include <optional>

/// What the heat of the nights, the unit running as it can, may do to who sleeps in them.
namespace cabinload::answers {

/// Highest heat index at the bed in the sleep windows.
struct HeatAtBed {
  double peak_K = 0;
  core::Date date{1, 1};  ///< of the evening
  air::HeatBand band = air::HeatBand::none;
  int nights = 0;  ///< that come to a class in which heat stroke is possible (90 degF and more)
};
/// @pre answer.each_night is not empty
[[nodiscard]] HeatAtBed heat_at_bed(const Hold& answer);

/// To people, where heat stroke is possible; nothing where it is not. WARNING, and DANGER from the
/// chart's class of that name on.
[[nodiscard]] std::optional<Caution> heat_caution(const HeatAtBed& heat);

}  // namespace cabinload::answers
