// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <limits>

#include "parts.hpp"

namespace cabinload::roof {
namespace {

using Rects = std::vector<Rect>;

/// The roof as seen from another side: 1 mirrored along, 2 then transposed. `back`: to the roof.
Rect seen(Rect r, const Rect& room, unsigned way, bool back) {
  if (back && way >= 2) r = {r.y0_m, r.x0_m, r.y1_m, r.x1_m};
  const double ends_m = room.x0_m + room.x1_m;
  if (way % 2 == 1) r = {ends_m - r.x1_m, r.y0_m, ends_m - r.x0_m, r.y1_m};
  return !back && way >= 2 ? Rect{r.y0_m, r.x0_m, r.y1_m, r.x1_m} : r;
}

/// Lowest y at which l x w stands free at x; above the room when there is none.
double lowest_m(const Rect& room, const Rects& blocks, double x_m, double l_m, double w_m) {
  double y_m = room.y0_m;
  for (bool moved = true; moved && y_m + w_m <= room.y1_m + kTouch_m;) {
    moved = false;
    for (const Rect& b : blocks)
      if (b.overlaps({x_m, y_m, x_m + l_m, y_m + w_m})) {
        y_m = b.y1_m;
        moved = true;
      }
  }
  return y_m;
}

/// Adds up to `most` blocks of l x w, each at the smallest x (then y) that is free.
std::size_t fill(const Rect& room, Rects& blocks, double l_m, double w_m, std::size_t most) {
  std::size_t count = 0;
  double x_m = room.x0_m;
  while (count < most && x_m + l_m <= room.x1_m + kTouch_m) {
    const double y_m = lowest_m(room, blocks, x_m, l_m, w_m);
    if (y_m + w_m <= room.y1_m + kTouch_m) {
      blocks.push_back({x_m, y_m, x_m + l_m, y_m + w_m});
      ++count;
      continue;
    }
    double next_m = std::numeric_limits<double>::infinity();
    for (const Rect& b : blocks)
      if (b.x1_m > x_m + kTouch_m) next_m = std::min(next_m, b.x1_m);
    x_m = next_m;
  }
  return count;
}

/// What panels may stand on, with half the gap added to every panel and to the room.
struct Task {
  Rect room;
  Rects blocks;
  double l_m, w_m;
  std::size_t at_most;
};

Task task(const Roof& roof, const std::vector<Item>& items, const PanelSize& p) {
  const double half_m = p.gap_m / 2;
  Task t{room(roof).grown(half_m), {}, p.length_m + p.gap_m, p.width_m + p.gap_m, 0};
  for (const Item& item : items)
    if (item.at) t.blocks.push_back(item.rect()->grown(half_m));
  constexpr double kRounding = 1e-9;
  t.at_most = static_cast<std::size_t>(
      std::floor(free_area_m2(t.room, t.blocks) / (t.l_m * t.w_m) + kRounding));
  return t;
}

/// Panels (with half their gap) of the best order tried: from four sides, some in one direction and
/// the rest in the other.
Rects best(const Task& t) {
  Rects found;
  for (unsigned k = 0; k < 8; ++k) {
    const unsigned way = k / 2;
    const double l_m = k % 2 == 0 ? t.l_m : t.w_m, w_m = k % 2 == 0 ? t.w_m : t.l_m;
    const Rect area = seen(t.room, t.room, way, false);
    Rects start = t.blocks;
    for (Rect& b : start) b = seen(b, t.room, way, false);
    const auto attempt = [&](std::size_t first) {
      Rects all = start;
      const std::size_t placed = fill(area, all, l_m, w_m, first);
      fill(area, all, w_m, l_m, t.at_most);
      fill(area, all, l_m, w_m, t.at_most);
      if (all.size() - start.size() > found.size()) {
        found.assign(all.begin() + static_cast<std::ptrdiff_t>(start.size()), all.end());
        for (Rect& f : found) f = seen(f, t.room, way, true);
      }
      return placed;
    };
    const std::size_t full = attempt(t.at_most), stride = full / 25 + 1;
    for (std::size_t first = stride; first < full; first += stride) attempt(first);
    if (found.size() >= t.at_most) break;
  }
  return found;
}

}  // namespace

Packing pack(const Roof& roof, const std::vector<Item>& items, const PanelSize& panel) {
  demand(roof, items, panel);
  const Task t = task(roof, items, panel);
  Packing out;
  out.at_most = t.at_most;
  Rects all = taken(items);
  for (const Rect& cell : best(t)) {
    out.panels.push_back(cell.grown(-panel.gap_m / 2));
    all.push_back(out.panels.back());
  }
  std::sort(out.panels.begin(), out.panels.end(), [](const Rect& a, const Rect& b) {
    return a.x0_m != b.x0_m ? a.x0_m < b.x0_m : a.y0_m < b.y0_m;
  });
  out.power_W = panel.power_W * static_cast<double>(out.panels.size());
  out.area_left_m2 = free_area_m2(room(roof), all);
  return out;
}

std::size_t count(const Roof& roof, const std::vector<Item>& items, const PanelSize& panel) {
  return best(task(roof, items, panel)).size();
}

}  // namespace cabinload::roof
