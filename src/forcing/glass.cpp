// SPDX-License-Identifier: Apache-2.0
#include "glass.hpp"

#include <algorithm>
#include <cmath>

namespace cabinload::forcing {
namespace {

constexpr double kIndex = 1.526;

struct Optics {
  double transmittance, absorptance;
};

/// One pane for one polarisation: interface reflectance r, internal transmittance a.
Optics pane(double r, double a) {
  const double t = a * (1 - r) * (1 - r) / (1 - r * r * a * a);
  const double reflected = r * (1 + a * t);
  return {t, 1 - t - reflected};
}

/// Two equal panes one behind the other, with the light between them bouncing.
Optics both(const Optics& p) {
  const double R = 1 - p.transmittance - p.absorptance;
  const double bounce = 1 / (1 - R * R);
  return {p.transmittance * p.transmittance * bounce,
          p.absorptance * (1 + p.transmittance * bounce * (1 + R))};
}

Optics window(int panes, double extinction_path, double cos_1) {
  cos_1 = std::max(cos_1, 1e-4);  // grazing light is all reflected: no limit of 0/0
  const double sin_in = std::sqrt(std::max(0.0, 1 - cos_1 * cos_1)) / kIndex;
  const double cos_in = std::sqrt(1 - sin_in * sin_in);
  const double perpendicular = (cos_1 - kIndex * cos_in) / (cos_1 + kIndex * cos_in);
  const double parallel = (kIndex * cos_1 - cos_in) / (kIndex * cos_1 + cos_in);
  const double a = std::exp(-extinction_path / cos_in);
  Optics sum{0, 0};
  for (const double amplitude : {perpendicular, parallel}) {
    const Optics one = pane(amplitude * amplitude, a);
    const Optics all = panes == 1 ? one : both(one);
    sum.transmittance += 0.5 * all.transmittance;
    sum.absorptance += 0.5 * all.absorptance;
  }
  return sum;
}

}  // namespace

Glass::Glass(int panes, double absorptance_1) {
  // Extinction by bisection: absorptance at normal incidence grows with it.
  double low = 0, high = 6;
  for (int i = 0; i < 60; ++i) {
    const double middle = 0.5 * (low + high);
    (window(panes, middle, 1.0).absorptance < absorptance_1 ? low : high) = middle;
  }
  const double path = 0.5 * (low + high);
  const Optics normal = window(panes, path, 1.0);
  for (int i = 0; i <= kPoints; ++i) {
    const Optics o = window(panes, path, static_cast<double>(i) / kPoints);
    const auto k = static_cast<std::size_t>(i);
    transmitted_[k] = o.transmittance / normal.transmittance;
    absorbed_[k] = normal.absorptance > 1e-9 ? o.absorptance / normal.absorptance : 1.0;
  }
  constexpr int kSteps = 1000;
  for (int i = 0; i < kSteps; ++i) {
    const double cos_1 = (i + 0.5) / kSteps;  // 2 f(c) c dc
    transmitted_diffuse_ += 2 * transmitted(cos_1) * cos_1 / kSteps;
    absorbed_diffuse_ += 2 * absorbed(cos_1) * cos_1 / kSteps;
  }
}

double Glass::at(const Table& table, double cos_1) {
  const double x = std::clamp(cos_1, 0.0, 1.0) * kPoints;
  const int i = std::min(static_cast<int>(x), kPoints - 1);
  const auto k = static_cast<std::size_t>(i);
  return table[k] + (x - i) * (table[k + 1] - table[k]);
}

}  // namespace cabinload::forcing
