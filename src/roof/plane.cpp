// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/roof/plane.hpp>
#include <utility>

namespace cabinload::roof {
namespace {

/// The x of both ends of the room and of every block's edges within it, ascending.
std::vector<double> cuts_m(const Rect& room, const std::vector<Rect>& blocks) {
  std::vector<double> x_m{room.x0_m, room.x1_m};
  for (const Rect& b : blocks)
    for (const double edge_m : {b.x0_m, b.x1_m})
      if (edge_m > room.x0_m && edge_m < room.x1_m) x_m.push_back(edge_m);
  std::sort(x_m.begin(), x_m.end());
  x_m.erase(std::unique(x_m.begin(), x_m.end()), x_m.end());
  return x_m;
}

/// Calls gap(y0, y1) for each stretch of the strip x0..x1 that no block reaches into.
template <typename Gap>
void gaps(const Rect& strip, const std::vector<Rect>& blocks, double slack_m, Gap gap) {
  std::vector<std::pair<double, double>> taken;
  for (const Rect& b : blocks)
    if (b.x0_m < strip.x1_m - slack_m && b.x1_m > strip.x0_m + slack_m && b.width_m() > 0)
      taken.emplace_back(b.y0_m, b.y1_m);
  std::sort(taken.begin(), taken.end());
  double y_m = strip.y0_m;
  for (const auto& [from_m, to_m] : taken) {
    if (std::min(from_m, strip.y1_m) > y_m) gap(y_m, std::min(from_m, strip.y1_m));
    y_m = std::max(y_m, to_m);
  }
  if (strip.y1_m > y_m) gap(y_m, strip.y1_m);
}

}  // namespace

Rect shared(const Rect& a, const Rect& b) {
  if (!a.overlaps(b)) return {};
  return {std::max(a.x0_m, b.x0_m), std::max(a.y0_m, b.y0_m), std::min(a.x1_m, b.x1_m),
          std::min(a.y1_m, b.y1_m)};
}

double free_area_m2(const Rect& room, const std::vector<Rect>& blocks) {
  const std::vector<double> x_m = cuts_m(room, blocks);
  double area_m2 = 0;
  for (std::size_t i = 0; i + 1 < x_m.size(); ++i)
    gaps({x_m[i], room.y0_m, x_m[i + 1], room.y1_m}, blocks, 0,
         [&](double from_m, double to_m) { area_m2 += (x_m[i + 1] - x_m[i]) * (to_m - from_m); });
  return area_m2;
}

Rect largest_free(const Rect& room, const std::vector<Rect>& blocks) {
  constexpr double kMore_m2 = 1e-12;
  const std::vector<double> x_m = cuts_m(room, blocks);
  Rect best;
  for (std::size_t i = 0; i < x_m.size(); ++i)
    for (std::size_t j = i + 1; j < x_m.size(); ++j)
      gaps({x_m[i], room.y0_m, x_m[j], room.y1_m}, blocks, kTouch_m,
           [&](double from_m, double to_m) {
             const Rect r{x_m[i], from_m, x_m[j], to_m};
             if (r.area_m2() > best.area_m2() + kMore_m2) best = r;
           });
  return best;
}

}  // namespace cabinload::roof
