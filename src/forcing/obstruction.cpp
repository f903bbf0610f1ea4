// SPDX-License-Identifier: Apache-2.0
#include "obstruction.hpp"

#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cmath>

namespace cabinload::forcing {

Obstruction::Obstruction(const vehicle::Shelter& shelter, double tilt_rad) : s_(shelter) {
  // Hemisphere above the face, weighted by the cosine; a coarser set of points is enough here.
  constexpr int kRings = 36, kSectors = 72, kPoints = 8;
  double sky = 0, sky_seen = 0, ground = 0, ground_seen = 0;
  for (int i = 0; i < kRings; ++i) {
    const double sin2 = (i + 0.5) / kRings;  // equal cosine-weighted rings
    const double s = std::sqrt(sin2), out = std::sqrt(1 - sin2);
    for (int j = 0; j < kSectors; ++j) {
      const double a = 2 * core::kPi * (j + 0.5) / kSectors;
      const double right = s * std::sin(a), up = s * std::cos(a);
      const bool is_sky = up * std::sin(tilt_rad) + out * std::cos(tilt_rad) > 0;
      int seen = 0;
      for (int p = 0; p < kPoints * kPoints; ++p) {
        const int column = p % kPoints, row = p / kPoints;
        const double x_m = ((column + 0.5) / kPoints - 0.5) * s_.width_m;
        const double y_m = (row + 0.5) / kPoints * s_.height_m;
        seen += hidden(x_m, y_m, right, up, out) ? 0 : 1;
      }
      const double part = static_cast<double>(seen) / (kPoints * kPoints);
      (is_sky ? sky : ground) += 1;
      (is_sky ? sky_seen : ground_seen) += part;
    }
  }
  sky_share_1_ = sky > 0 ? sky_seen / sky : 1.0;
  ground_share_1_ = ground > 0 ? ground_seen / ground : 1.0;
}

bool Obstruction::hidden(double x_m, double y_m, double right_1, double up_1, double out_1) const {
  if (s_.overhang_depth_m > 0 && up_1 > 0) {
    const double way = (s_.height_m + s_.overhang_gap_m - y_m) / up_1;
    const double reach_m = 0.5 * s_.width_m + s_.overhang_beyond_m;
    if (way * out_1 <= s_.overhang_depth_m && std::abs(x_m + way * right_1) <= reach_m) return true;
  }
  if (s_.fin_depth_m > 0 && right_1 != 0) {
    const double fin_m = 0.5 * s_.width_m + s_.fin_gap_m;
    const double way = (right_1 > 0 ? fin_m - x_m : fin_m + x_m) / std::abs(right_1);
    const double y_hit_m = y_m + way * up_1;
    if (way * out_1 <= s_.fin_depth_m && y_hit_m >= -s_.fin_below_m &&
        y_hit_m <= s_.height_m + s_.fin_above_m)
      return true;
  }
  return false;
}

double Obstruction::sunlit_share_1(double right_1, double up_1, double out_1) const {
  int lit = 0;
  for (int i = 0; i < kSide; ++i)
    for (int j = 0; j < kSide; ++j)
      lit += hidden(((i + 0.5) / kSide - 0.5) * s_.width_m, (j + 0.5) / kSide * s_.height_m,
                    right_1, up_1, out_1)
                 ? 0
                 : 1;
  return static_cast<double>(lit) / (kSide * kSide);
}

Skyline::Skyline(std::vector<SkylinePoint> points) : points_(std::move(points)) {
  for (SkylinePoint& p : points_)
    p.azimuth_rad -= 2 * core::kPi * std::floor(p.azimuth_rad / (2 * core::kPi));
  std::sort(points_.begin(), points_.end(),
            [](const auto& a, const auto& b) { return a.azimuth_rad < b.azimuth_rad; });
  constexpr int kSteps = 3600;
  double hidden = 0;
  for (int i = 0; i < kSteps; ++i) {
    const double s = std::sin(elevation_rad(2 * core::kPi * (i + 0.5) / kSteps));
    hidden += s * s / kSteps;
  }
  open_sky_1_ = 1 - hidden;
}

double Skyline::elevation_rad(double azimuth_rad) const {
  const double a = azimuth_rad - 2 * core::kPi * std::floor(azimuth_rad / (2 * core::kPi));
  const auto after = std::upper_bound(points_.begin(), points_.end(), a,
                                      [](double x, const auto& p) { return x < p.azimuth_rad; });
  const SkylinePoint& next = after == points_.end() ? points_.front() : *after;
  const SkylinePoint& last = after == points_.begin() ? points_.back() : *(after - 1);
  double span = next.azimuth_rad - last.azimuth_rad, into = a - last.azimuth_rad;
  if (span <= 0) span += 2 * core::kPi;
  if (into < 0) into += 2 * core::kPi;
  return last.elevation_rad + into / span * (next.elevation_rad - last.elevation_rad);
}

}  // namespace cabinload::forcing
