// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <utility>

#include "parts.hpp"

namespace cabinload::roof {
namespace {

/// How far `r` reaches across the worst side of `bound`; 0 inside.
double past_m(const Rect& r, const Rect& bound) {
  const double worst_m = std::max(
      {bound.x0_m - r.x0_m, r.x1_m - bound.x1_m, bound.y0_m - r.y0_m, r.y1_m - bound.y1_m});
  return worst_m > kTouch_m ? worst_m : 0;
}

/// Straight out from each side to the edge and to the nearest item that faces it.
Clearance clearance(const Item& item, const std::vector<Item>& items, const Roof& roof) {
  const Rect r = *item.rect();
  Clearance c{item.name, {}};
  const std::array<double, 4> edge_m{r.x0_m, roof.length_m - r.x1_m, r.y0_m, roof.width_m - r.y1_m};
  for (std::size_t s = 0; s < 4; ++s) c.sides[s].edge_m = edge_m[s];
  for (const Item& other : items) {
    if (&other == &item || !other.at) continue;
    const Rect o = *other.rect();
    const bool abreast = std::min(r.y1_m, o.y1_m) - std::max(r.y0_m, o.y0_m) > kTouch_m;
    const bool in_line = std::min(r.x1_m, o.x1_m) - std::max(r.x0_m, o.x0_m) > kTouch_m;
    const std::array<double, 4> way{r.x0_m - o.x1_m, o.x0_m - r.x1_m, r.y0_m - o.y1_m,
                                    o.y0_m - r.y1_m};
    for (std::size_t s = 0; s < 4; ++s) {
      Gap& gap = c.sides[s];
      if (!(s < 2 ? abreast : in_line) || way[s] < -kTouch_m) continue;
      if (gap.next.empty() || way[s] < gap.next_m) {
        gap.next = other.name;
        gap.next_m = std::max(way[s], 0.0);
      }
    }
  }
  return c;
}

}  // namespace

Layout check(const Roof& roof, std::vector<Item> items) {
  demand(roof, items);
  Layout out;
  out.items = std::move(items);
  const Rect free = room(roof), whole{0, 0, roof.length_m, roof.width_m};
  double highest_m = 0;
  for (std::size_t i = 0; i < out.items.size(); ++i) {
    const Item& item = out.items[i];
    if (!item.at) {
      out.unplaced.push_back(item.name);
      continue;
    }
    for (std::size_t j = i + 1; j < out.items.size(); ++j)
      if (const Item& other = out.items[j]; other.at && item.rect()->overlaps(*other.rect()) &&
                                            !stands_on(item, other) && !stands_on(other, item))
        out.overlaps.push_back({item.name, other.name, shared(*item.rect(), *other.rect())});
    if (const double past = past_m(*item.rect(), free); past > 0)
      out.outside.push_back({item.name, past, past_m(*item.rect(), whole)});
    out.clearances.push_back(clearance(item, out.items, roof));
    for (const double x_m : ribs_cut_m(roof, item, out.items))
      out.ribs_cut.push_back({item.name, x_m});
    if (item.height_m > highest_m) {
      highest_m = item.height_m;
      out.tallest = item.name;
    }
    out.panel_W += item.power_W;
  }
  out.overall_height_m = roof.overall_height_m + highest_m;
  out.headroom_m = roof.limit_m - out.overall_height_m;
  out.area_left_m2 = free_area_m2(free, taken(out.items));
  out.largest_free = largest_free(free, taken(out.items));
  return out;
}

Plan plan(const Roof& roof, std::vector<Item> items, const std::optional<PanelSize>& panel) {
  Plan p;
  p.layout = check(roof, place(roof, std::move(items), panel));
  p.packing.area_left_m2 = p.layout.area_left_m2;
  if (!panel) return p;
  p.panel = *panel;
  p.packing = pack(roof, p.layout.items, *panel);
  const double with_panels_m = roof.overall_height_m + panel->height_m;
  if (!p.packing.panels.empty() && with_panels_m > p.layout.overall_height_m) {
    p.layout.overall_height_m = with_panels_m;
    p.layout.headroom_m = roof.limit_m - with_panels_m;
    p.layout.tallest = "panels";
  }
  return p;
}

}  // namespace cabinload::roof
