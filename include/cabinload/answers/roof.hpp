// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/common.hpp>
#include <cabinload/roof/roof.hpp>
#include <vector>

namespace cabinload::answers {

/// The answer to `roof`: what fits, how high it becomes, what is left for panels.
struct Roof {
  Header header;
  roof::Roof roof;
  roof::Plan plan;
  std::size_t listed_panels = 0;  ///< among the items

  /// Rated power of all panels, listed and packed [W].
  [[nodiscard]] double panel_W() const { return plan.layout.panel_W + plan.packing.power_W; }
  /// Number of panels, listed and packed.
  [[nodiscard]] std::size_t panels() const { return listed_panels + plan.packing.panels.size(); }
  /// Everything has a place, nothing overlaps or stands out, and it stays below the limit.
  [[nodiscard]] bool met() const { return plan.layout.fits(); }
};

/// @throws core::InputError  a body of one's own without its height over the road
/// @throws core::RangeError  as roof::plan()
[[nodiscard]] Roof roof_plan(const scenario::Scenario& scenario, const weather::Series& weather);

/// Structure, ribs, sealing, height, panels, licensed work: always in the same order.
[[nodiscard]] std::vector<Caution> roof_cautions();

}  // namespace cabinload::answers
