// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/heat_at_bed.hpp>
#include <cabinload/core/error.hpp>

#include "shared.hpp"

namespace cabinload::answers {
namespace {

constexpr air::HeatBand kTold = air::HeatBand::extreme_caution;

}  // namespace

HeatAtBed heat_at_bed(const Hold& answer) {
  CABINLOAD_ASSERT(!answer.each_night.empty());
  const auto hottest = std::max_element(answer.each_night.begin(), answer.each_night.end(),
                                        [](const HoldNight& a, const HoldNight& b) {
                                          return a.heat_index_peak_K < b.heat_index_peak_K;
                                        });
  HeatAtBed h{hottest->heat_index_peak_K, hottest->date, air::heat_band(hottest->heat_index_peak_K),
              0};
  for (const HoldNight& n : answer.each_night)
    h.nights += air::heat_band(n.heat_index_peak_K) >= kTold ? 1 : 0;
  return h;
}

std::optional<Caution> heat_caution(const HeatAtBed& heat) {
  if (heat.nights == 0) return std::nullopt;
  return Caution{
      "heat_sleepers", heat.band >= air::HeatBand::danger ? "DANGER" : "WARNING",
      fmt::format("To whoever sleeps in it: {} the heat index at the bed comes to {} or more, at "
                  "most {} on "
                  "{}. The US National Weather Service calls that '{}': {}, sooner for the old, "
                  "the very young and the ill. Do not sleep in it: leave, or get it cool first.",
                  heat.nights == 1 ? "on 1 night" : fmt::format("on {} nights", heat.nights),
                  degrees_both(air::heat_band_from_K(kTold)), degrees_both(heat.peak_K),
                  core::long_text(heat.date), air::heat_band_name(heat.band),
                  air::heat_band_means(heat.band))};
}

}  // namespace cabinload::answers
