// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <algorithm>
#include <array>
#include <cabinload/answers/hold.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/units.hpp>
#include <optional>
#include <string>

/// What several answers say or ask in the same way.
namespace cabinload::answers {

/// "25.0 °C (77.0 °F)".
[[nodiscard]] inline std::string degrees_both(double T_K) {
  const auto in = [T_K](core::UnitSystem units) {
    return core::format_quantity(T_K, core::Quantity::temperature, units, 1);
  };
  return in(core::UnitSystem::si) + " (" + in(core::UnitSystem::us) + ")";
}

/// Of reasons counted by Why the one that comes most often, the first of equals; none: no night.
[[nodiscard]] inline Why most_often(const std::array<int, kWhys>& nights) {
  const auto most = std::max_element(nights.begin() + 1, nights.end());
  return *most > 0 ? static_cast<Why>(most - nights.begin()) : Why::none;
}

/// Among the cautions of every answer.
[[nodiscard]] Caution roof_opening();

/// A warning of panels that the roof as described has no room for.
[[nodiscard]] std::optional<std::string> panels_without_room(const scenario::Scenario& scenario);

/// A schedule is active in all of a span of clock hours.
[[nodiscard]] inline bool covers(const core::DaySchedule& hours, int from_h, int to_h) {
  for (int minute = from_h * 60; minute < to_h * 60; minute += 10)
    if (!hours.active(minute * 60.0)) return false;
  return true;
}

/// The day of a moment in seconds after the midnight that first_day, a day index, begins with.
[[nodiscard]] inline core::Date date_at(double t_s, int first_day) {
  return core::date_of(first_day + static_cast<int>(core::whole(t_s / core::kSecondsInDay)));
}

}  // namespace cabinload::answers
