// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cmath>
#include <set>

#include "parts.hpp"

namespace cabinload::roof {
namespace {

constexpr double kSame = 1e-6;  // of a grid step

/// Grid steps along one axis at which a unit can start between `from` and `to`.
class Starts {
 public:
  Starts(double from_m, double to_m, double size_m)
      : size_m_(size_m), first_(up(from_m)), last_(down(to_m - size_m)) {}
  void at(double x_m) { add(up(x_m)), add(down(x_m)); }
  void after(double x_m) { add(up(x_m)); }
  void before(double x_m) { add(down(x_m - size_m_)); }
  [[nodiscard]] const std::set<long>& steps() const { return steps_; }

 private:
  static long up(double x_m) { return std::lround(std::ceil(x_m / kGrid_m - kSame)); }
  static long down(double x_m) { return std::lround(std::floor(x_m / kGrid_m + kSame)); }
  void add(long step) {
    if (step >= first_ && step <= last_) steps_.insert(step);
  }
  double size_m_;
  long first_, last_;
  std::set<long> steps_;
};

/// Lengths of rows of panels, some lengthwise and some across, shortest first (0: none).
std::vector<double> rows_m(const std::optional<PanelSize>& p, double within_m) {
  std::set<double> rows{0};
  if (p)
    for (double a_m = 0; a_m <= within_m; a_m += p->length_m + p->gap_m)
      for (double b_m = a_m; b_m <= within_m; b_m += p->width_m + p->gap_m) rows.insert(b_m);
  return {rows.begin(), rows.end()};
}

/// Steps along both axes at which the unit stands against something.
std::array<std::set<long>, 2> starts(const Roof& roof, const std::vector<Item>& items,
                                     const Item& unit, const std::optional<PanelSize>& panel) {
  const Rect free = room(roof);
  Starts x(free.x0_m, free.x1_m, unit.length_m), y(free.y0_m, free.y1_m, unit.width_m);
  y.at((roof.width_m - unit.width_m) / 2);
  const double lip_m = (unit.length_m - unit.opening_m.value_or(kStandardOpening_m)) / 2;
  for (const double rib_m : roof.ribs_m) {  // the hole just behind or before it
    x.after(rib_m + roof.rib_width_m / 2 - lip_m);
    x.before(rib_m - roof.rib_width_m / 2 + lip_m);
  }
  for (const Item& o : items)
    if (o.at && o.kind == Kind::opening) {  // its middle over the hole's
      x.at(o.at->x_m + (o.length_m - unit.length_m) / 2);
      y.at(o.at->y_m + (o.width_m - unit.width_m) / 2);
    }
  // Small panels make many rows, and each position then costs more.
  const bool many = panel && roof.length_m * roof.width_m > 25 * panel->length_m * panel->width_m;
  Rect wall{free.x1_m, free.y1_m, free.x0_m, free.y0_m};  // the edges, as an item inside out
  for (const double row_m : rows_m(panel, std::max(roof.length_m, roof.width_m)))
    for (std::size_t k = 0; k <= items.size(); ++k) {
      if (k < items.size() && !items[k].at) continue;
      const double gap_m = k < items.size() && row_m > 0 ? panel->gap_m : 0;
      const Rect r = (k < items.size() ? *items[k].rect() : wall).grown(gap_m);
      if (x.steps().size() < (many ? 40 : 120)) x.after(r.x1_m + row_m), x.before(r.x0_m - row_m);
      if (y.steps().size() < (many ? 20 : 40)) y.after(r.y1_m + row_m), y.before(r.y0_m - row_m);
    }
  return {x.steps(), y.steps()};
}

bool may_stand(const Roof& roof, const std::vector<Item>& items, const Item& unit) {
  if (!room(roof).holds(*unit.rect())) return false;
  for (const Item& o : items)
    if (o.at && &o != &unit && o.rect()->overlaps(*unit.rect()) && !stands_on(unit, o))
      return false;
  return ribs_cut_m(roof, unit, items).empty();
}

/// How good a position is.
struct Score {
  std::size_t panels = 0;
  double free_m2 = 0, off_middle_m = 0;
  [[nodiscard]] bool better_than(const Score& o) const {
    if (panels != o.panels) return panels > o.panels;
    if (std::abs(free_m2 - o.free_m2) > 1e-9) return free_m2 > o.free_m2;
    return off_middle_m < o.off_middle_m - kTouch_m;
  }
};

/// The best position of a unit, or none.
void place_one(const Roof& roof, std::vector<Item>& items, Item& unit,
               const std::optional<PanelSize>& panel) {
  const auto [xs, ys] = starts(roof, items, unit, panel);
  std::optional<Place> best_at;
  Score best;
  for (const long i : xs)
    for (const long j : ys) {
      unit.at = Place{static_cast<double>(i) * kGrid_m, static_cast<double>(j) * kGrid_m};
      if (!may_stand(roof, items, unit)) continue;
      Score score;
      if (panel) score.panels = count(roof, items, *panel);
      if (best_at && score.panels < best.panels) continue;
      score.free_m2 = largest_free(room(roof), taken(items)).area_m2();
      score.off_middle_m = std::abs(unit.at->y_m + (unit.width_m - roof.width_m) / 2);
      if (best_at && !score.better_than(best)) continue;
      best_at = unit.at;
      best = score;
    }
  unit.at = best_at;
}

}  // namespace

std::vector<Item> place(const Roof& roof, std::vector<Item> items,
                        const std::optional<PanelSize>& panel) {
  demand(roof, items, panel);
  for (Item& item : items)
    if (!item.at) place_one(roof, items, item, panel);
  return items;
}

}  // namespace cabinload::roof
