// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <limits>

#include "parts.hpp"

namespace cabinload::roof {
namespace {

using Rects = std::vector<Rect>;

/// One of the eight ways to look at the roof: mirrored along, across, and transposed.
Rect seen(const Rect& r, const Rect& room, unsigned way, bool back) {
  const auto mirror = [&](Rect q) {
    if ((way & 1U) != 0)
      q = {room.x0_m + room.x1_m - q.x1_m, q.y0_m, room.x0_m + room.x1_m - q.x0_m, q.y1_m};
    if ((way & 2U) != 0)
      q = {q.x0_m, room.y0_m + room.y1_m - q.y1_m, q.x1_m, room.y0_m + room.y1_m - q.y0_m};
    return q;
  };
  const auto transpose = [&](const Rect& q) {
    return (way & 4U) != 0 ? Rect{q.y0_m, q.x0_m, q.y1_m, q.x1_m} : q;
  };
  return back ? mirror(transpose(r)) : transpose(mirror(r));
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

/// Panels (with half their gap) of the best order tried. `tries`: how many numbers of panels in the
/// first direction before the other is tried, besides all of them.
Rects best(const Task& t, unsigned ways, std::size_t tries) {
  Rects found;
  const auto better = [&](unsigned way, const Rects& blocks) {
    if (blocks.size() - t.blocks.size() <= found.size()) return;
    found.clear();
    for (std::size_t i = t.blocks.size(); i < blocks.size(); ++i)
      found.push_back(seen(blocks[i], t.room, way, true));
  };
  for (unsigned k = 0; k < ways; ++k) {
    const unsigned way = ways == 8 ? k : (k & 1U) | ((k & 2U) << 1U);  // 4: along and across
    const Rect area = seen(t.room, t.room, way, false);
    Rects start;
    for (const Rect& b : t.blocks) start.push_back(seen(b, t.room, way, false));
    for (const bool turned : {false, true}) {
      const double l_m = turned ? t.w_m : t.l_m, w_m = turned ? t.l_m : t.w_m;
      Rects all = start;
      const std::size_t full = fill(area, all, l_m, w_m, t.at_most);
      fill(area, all, w_m, l_m, t.at_most);
      better(way, all);
      const std::size_t stride = tries == 0 ? full + 1 : full / tries + 1;
      for (std::size_t first = stride; first < full && found.size() < t.at_most; first += stride) {
        Rects mixed = start;
        fill(area, mixed, l_m, w_m, first);
        fill(area, mixed, w_m, l_m, t.at_most);
        fill(area, mixed, l_m, w_m, t.at_most);
        better(way, mixed);
      }
      if (found.size() >= t.at_most) return found;
    }
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
  for (const Rect& cell : best(t, 8, 25)) {
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

std::size_t quick_count(const Roof& roof, const std::vector<Item>& items, const PanelSize& panel) {
  return best(task(roof, items, panel), 4, 0).size();
}

}  // namespace cabinload::roof
