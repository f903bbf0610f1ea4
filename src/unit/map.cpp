// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/map.hpp>
#include <cmath>

namespace cabinload::unit {
namespace {

/// Weights of a parabola through three equal steps at t in 0..2; straight beyond.
struct Stencil {
  int first = 0;
  double w[3] = {1, 0, 0};
  bool inside = true;
};

/// @param nodes  odd
Stencil stencil(double value, double low, double high, int nodes) {
  Stencil s;
  const double step = (high - low) / (nodes - 1);
  const double position = (value - low) / step;
  s.inside = position >= -1e-9 && position <= nodes - 1 + 1e-9;
  s.first = std::clamp(static_cast<int>(position / 2) * 2, 0, nodes - 3);
  const double t = position - s.first;
  const double u = std::clamp(t, 0.0, 2.0);
  s.w[0] = 0.5 * (u - 1) * (u - 2);
  s.w[1] = u * (2 - u);
  s.w[2] = 0.5 * u * (u - 1);
  if (t != u) {  // on with the slope of the edge
    s.w[0] += (t - u) * (u - 1.5);
    s.w[1] += (t - u) * (2 - 2 * u);
    s.w[2] += (t - u) * (u - 0.5);
  }
  return s;
}

constexpr GenericFactors kGeneric[] = {
#include "generic_factors.inc"
};

double cubic(const std::array<double, 20>& c, double x, double y, double s) {
  // The order of generic_factors.py: by degree, then by falling powers of x, of y.
  return c[0] + c[1] * x + c[2] * y + c[3] * s + x * (c[4] * x + c[5] * y + c[6] * s) +
         y * (c[7] * y + c[8] * s) + c[9] * s * s + x * x * (c[10] * x + c[11] * y + c[12] * s) +
         x * (y * (c[13] * y + c[14] * s) + c[15] * s * s) +
         y * (y * (c[16] * y + c[17] * s) + c[18] * s * s) + c[19] * s * s * s;
}

}  // namespace

Map::Map(const Range& range, const Function& function) : range_(range) {
  nodes_.reserve(std::size_t{kWet} * kCondenser * kSpeed);
  const auto along = [](double low, double high, int i, int n) {
    return low + (high - low) * i / (n - 1);
  };
  for (int x = 0; x < kWet; ++x)
    for (int y = 0; y < kCondenser; ++y)
      for (int s = 0; s < kSpeed; ++s)
        nodes_.push_back(
            function(along(range.wet_bulb_low_K, range.wet_bulb_high_K, x, kWet),
                     along(range.condenser_low_K, range.condenser_high_K, y, kCondenser),
                     along(range.speed_low_1, 1, s, kSpeed)));
}

Map::Line Map::line(double wet_bulb_K, double condenser_K) const {
  const Stencil x = stencil(wet_bulb_K, range_.wet_bulb_low_K, range_.wet_bulb_high_K, kWet);
  const Stencil y =
      stencil(condenser_K, range_.condenser_low_K, range_.condenser_high_K, kCondenser);
  Line line;
  line.speed_low_1 = range_.speed_low_1;
  line.inside = x.inside && y.inside;
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j) {
      const double w = x.w[i] * y.w[j];
      for (int s = 0; s < kSpeed; ++s) {
        const Output& n = node(x.first + i, y.first + j, s);
        line.at[static_cast<std::size_t>(s)].total_W += w * n.total_W;
        line.at[static_cast<std::size_t>(s)].power_W += w * n.power_W;
      }
    }
  if (line.inside) return line;
  for (int s = 0; s < kSpeed; ++s) {
    Output& o = line.at[static_cast<std::size_t>(s)];
    o.total_W = std::max(o.total_W, 0.0);
    o.power_W = std::max(o.power_W, 0.1 * node(0, 0, s).power_W);
  }
  return line;
}

Output Map::Line::speed(double speed_1) const {
  if (speed_low_1 >= 1) return at[2];
  const double t = 2 * (std::clamp(speed_1, speed_low_1, 1.0) - speed_low_1) / (1 - speed_low_1);
  const double w0 = 0.5 * (t - 1) * (t - 2), w1 = t * (2 - t), w2 = 0.5 * t * (t - 1);
  return {w0 * at[0].total_W + w1 * at[1].total_W + w2 * at[2].total_W,
          w0 * at[0].power_W + w1 * at[1].power_W + w2 * at[2].power_W};
}

Output GenericFactors::at(double x, double y, double s) const {
  return {cubic(capacity, x, y, s), cubic(power, x, y, s)};
}

const std::vector<GenericFactors>& generic_factors() {
  static const std::vector<GenericFactors> all(std::begin(kGeneric), std::end(kGeneric));
  return all;
}

const GenericFactors& generic_factors(const std::string& refrigerant) {
  std::string known;
  for (const GenericFactors& g : generic_factors()) {
    if (refrigerant == g.refrigerant) return g;
    known += (known.empty() ? "" : ", ") + std::string(g.refrigerant);
  }
  throw core::RangeError(
      fmt::format("unit: refrigerant = {}, must be one of {}", refrigerant, known));
}

}  // namespace cabinload::unit
