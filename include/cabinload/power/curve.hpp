// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cstddef>
#include <vector>

/// Curves through points and values by bands: what the tables of the cells are made of.
namespace cabinload::power {

/// Straight lines through points; the end values hold beyond the ends.
struct Curve {
  /// A corner of the curve.
  struct Point {
    double x, y;
  };
  std::vector<Point> points;  ///< at least one, x rising

  /// The value at x, any finite number.
  [[nodiscard]] double at(double x) const {
    if (x <= points.front().x) return points.front().y;
    for (std::size_t i = 1; i < points.size(); ++i)
      if (x <= points[i].x) {
        const Point &a = points[i - 1], &b = points[i];
        return a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x);
      }
    return points.back().y;
  }
};

/// One value from each start up to the next, as data sheets print limits; nothing below the first.
struct Bands {
  /// A value and where it begins to hold.
  struct Band {
    double from, value;
  };
  std::vector<Band> bands;  ///< at least one, `from` rising, value >= 0

  /// The value of the band that holds x; 0 below the first.
  [[nodiscard]] double at(double x) const {
    double value = 0;
    for (const Band& b : bands) {
      if (x < b.from) break;
      value = b.value;
    }
    return value;
  }
  /// The largest value of all bands.
  [[nodiscard]] double largest() const {
    double value = 0;
    for (const Band& b : bands) value = value < b.value ? b.value : value;
    return value;
  }
};

}  // namespace cabinload::power
