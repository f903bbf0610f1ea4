// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <vector>

/// What stands on the roof, where, and what is left: rectangles on its plan.
///
/// Coordinates from the front-left corner: x along the length backwards, y across to the right.
namespace cabinload::roof {

inline constexpr double kTouch_m = 1e-9;  ///< rectangles nearer to an overlap than this touch

/// An upright rectangle; empty when a side is not above 0.
struct Rect {
  double x0_m = 0, y0_m = 0, x1_m = 0, y1_m = 0;
  /// Along x [m]; negative for sides in the wrong order.
  [[nodiscard]] double length_m() const { return x1_m - x0_m; }
  /// Along y [m]; negative for sides in the wrong order.
  [[nodiscard]] double width_m() const { return y1_m - y0_m; }
  /// Area [m2]; 0 when empty.
  [[nodiscard]] double area_m2() const {
    return length_m() > 0 && width_m() > 0 ? length_m() * width_m() : 0;
  }
  /// Moved outward by d_m on every side (inward when negative).
  [[nodiscard]] Rect grown(double d_m) const {
    return {x0_m - d_m, y0_m - d_m, x1_m + d_m, y1_m + d_m};
  }
  /// `inner` lies in this one, but for `slack_m`.
  [[nodiscard]] bool holds(const Rect& inner, double slack_m = kTouch_m) const {
    return inner.x0_m >= x0_m - slack_m && inner.y0_m >= y0_m - slack_m &&
           inner.x1_m <= x1_m + slack_m && inner.y1_m <= y1_m + slack_m;
  }
  /// Both share more than a touch.
  [[nodiscard]] bool overlaps(const Rect& o) const {
    return x0_m < o.x1_m - kTouch_m && o.x0_m < x1_m - kTouch_m && y0_m < o.y1_m - kTouch_m &&
           o.y0_m < y1_m - kTouch_m;
  }
};

/// What both cover; empty when they do not overlap.
[[nodiscard]] Rect shared(const Rect& a, const Rect& b);

/// Area of `room` that no block covers [m2], exact: strips between the blocks' edges.
[[nodiscard]] double free_area_m2(const Rect& room, const std::vector<Rect>& blocks);

/// The largest rectangle in `room` that no block touches, exact; empty when there is none. Of
/// equals the foremost, then the leftmost.
[[nodiscard]] Rect largest_free(const Rect& room, const std::vector<Rect>& blocks);

}  // namespace cabinload::roof
