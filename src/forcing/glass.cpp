// SPDX-License-Identifier: Apache-2.0
#include "glass.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cmath>

namespace cabinload::forcing {
namespace {

constexpr double kIndex = 1.526;

struct Optics {
  double transmittance = 0, outer = 0, inner = 0;  // outer, inner: absorbed in that pane
  [[nodiscard]] double absorptance() const { return outer + inner; }
};

/// One or two equal panes for one polarisation: interface reflectance r, internal transmittance a.
Optics panes_of(int panes, double r, double a) {
  const double t = a * (1 - r) * (1 - r) / (1 - r * r * a * a);
  const double R = r * (1 + a * t), absorbed = 1 - t - R;
  if (panes == 1) return {t, 0.5 * absorbed, 0.5 * absorbed};
  const double bounce = 1 / (1 - R * R);  // light between the panes
  return {t * t * bounce, absorbed * (1 + t * R * bounce), absorbed * t * bounce};
}

Optics window(int panes, double index, double extinction_path, double cos_1) {
  cos_1 = std::max(cos_1, 1e-4);  // grazing light is all reflected: no limit of 0/0
  const double sin_in = std::sqrt(std::max(0.0, 1 - cos_1 * cos_1)) / index;
  const double cos_in = std::sqrt(1 - sin_in * sin_in);
  const double perpendicular = (cos_1 - index * cos_in) / (cos_1 + index * cos_in);
  const double parallel = (index * cos_1 - cos_in) / (index * cos_1 + cos_in);
  const double a = std::exp(-extinction_path / cos_in);
  Optics sum;
  for (const double amplitude : {perpendicular, parallel}) {
    const Optics one = panes_of(panes, amplitude * amplitude, a);
    sum.transmittance += 0.5 * one.transmittance;
    sum.outer += 0.5 * one.outer;
    sum.inner += 0.5 * one.inner;
  }
  return sum;
}

/// Where a rising function crosses zero.
template <class Function>
double crossing(double low, double high, Function f) {
  for (int i = 0; i < 80; ++i) {
    const double middle = 0.5 * (low + high);
    (f(middle) < 0 ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

constexpr double kLeastIndex = 1.01, kMostIndex = 2.2;  // what glass and plastics have
constexpr double kReached_1 = 1e-6;

/// For an index the extinction that gives the transmittance.
double path_for(double index, double transmittance_1) {
  return crossing(
      0, 6, [&](double x) { return transmittance_1 - window(1, index, x, 1.0).transmittance; });
}

Optics pane_for(double index, double transmittance_1) {
  return window(1, index, path_for(index, transmittance_1), 1.0);
}

double reflectance(const Optics& o) {
  return 1 - o.transmittance - o.absorptance();
}

/// The index with which a pane of this transmittance reflects that much: it rises with the index.
double index_for(double transmittance_1, double reflectance_1) {
  return crossing(kLeastIndex, kMostIndex, [&](double index) {
    return reflectance(pane_for(index, transmittance_1)) - reflectance_1;
  });
}

}  // namespace

std::string impossible_pane(double transmittance_1, double reflectance_1) {
  const auto transmits = [&](const Optics& o) {
    return std::abs(o.transmittance - transmittance_1) <= kReached_1;
  };
  const Optics found = pane_for(index_for(transmittance_1, reflectance_1), transmittance_1);
  if (transmits(found) && std::abs(reflectance(found) - reflectance_1) <= kReached_1) return "";
  const Optics least = pane_for(kLeastIndex, transmittance_1);
  if (!transmits(least))
    return fmt::format("no uncoated pane transmits {:g}: {:.4f} to {:.4f} are possible",
                       transmittance_1, window(1, kLeastIndex, 6, 1.0).transmittance,
                       window(1, kLeastIndex, 0, 1.0).transmittance);
  // The most that it reflects: with the highest index, or with nothing absorbed.
  const Optics most = pane_for(kMostIndex, transmittance_1);
  return fmt::format("an uncoated pane that transmits {:g} reflects {:.4f} to {:.4f}, not {:g}",
                     transmittance_1, reflectance(least),
                     transmits(most) ? reflectance(most) : 1 - transmittance_1, reflectance_1);
}

Glass::Glass(int panes, double absorptance_1) {
  const double path = crossing(
      0, 6, [&](double x) { return window(panes, kIndex, x, 1.0).absorptance() - absorptance_1; });
  tabulate(panes, kIndex, path);
}

Glass Glass::from_panes(int panes, double thickness_m, double index_1, double extinction_1_m) {
  Glass g;
  g.tabulate(panes, index_1, thickness_m * extinction_1_m);
  return g;
}

Glass Glass::from_pane_optics(int panes, double transmittance_1, double reflectance_1) {
  const std::string fault = impossible_pane(transmittance_1, reflectance_1);
  if (!fault.empty()) throw core::RangeError(fault);
  const double index = index_for(transmittance_1, reflectance_1);
  Glass g;
  g.tabulate(panes, index, path_for(index, transmittance_1));
  return g;
}

Glass Glass::from_curve(int panes, double absorptance_1, const std::vector<double>& angles_rad,
                        const std::vector<double>& ratios_1) {
  Glass g(panes, absorptance_1);
  for (int i = 0; i <= kPoints; ++i) {
    const double angle = std::acos(static_cast<double>(i) / kPoints);
    const auto after = std::upper_bound(angles_rad.begin(), angles_rad.end(), angle);
    const auto k = static_cast<std::size_t>(after - angles_rad.begin());
    const double a0 = angles_rad[k - 1], r0 = ratios_1[k - 1];
    const double a1 = k < angles_rad.size() ? angles_rad[k] : std::acos(0.0);
    const double r1 = k < ratios_1.size() ? ratios_1[k] : 0.0;
    g.transmitted_[static_cast<std::size_t>(i)] =
        a1 > a0 ? r0 + (angle - a0) / (a1 - a0) * (r1 - r0) : r0;
  }
  g.integrate();
  return g;
}

void Glass::tabulate(int panes, double index_1, double extinction_path) {
  const Optics normal = window(panes, index_1, extinction_path, 1.0);
  transmittance_1_ = normal.transmittance;
  absorptance_1_ = normal.absorptance();
  for (int i = 0; i <= kPoints; ++i) {
    const Optics o = window(panes, index_1, extinction_path, static_cast<double>(i) / kPoints);
    const auto k = static_cast<std::size_t>(i);
    transmitted_[k] = o.transmittance / normal.transmittance;
    const bool absorbs = absorptance_1_ > 1e-9;
    absorbed_[k] = absorbs ? o.absorptance() / absorptance_1_ : 1.0;
    outer_[k] = absorbs && o.absorptance() > 0 ? o.outer / o.absorptance() : 0.5;
  }
  integrate();
}

void Glass::integrate() {
  constexpr int kSteps = 1000;
  transmitted_diffuse_ = absorbed_diffuse_ = 0;
  double outer = 0;
  for (int i = 0; i < kSteps; ++i) {
    const double cos_1 = (i + 0.5) / kSteps, weight = 2 * cos_1 / kSteps;  // 2 f(c) c dc
    transmitted_diffuse_ += weight * transmitted(cos_1);
    absorbed_diffuse_ += weight * absorbed(cos_1);
    outer += weight * absorbed(cos_1) * outer_share(cos_1);
  }
  outer_diffuse_ = outer / absorbed_diffuse_;
}

double Glass::at(const Table& table, double cos_1) {
  const double x = std::clamp(cos_1, 0.0, 1.0) * kPoints;
  const int i = std::min(static_cast<int>(x), kPoints - 1);
  const auto k = static_cast<std::size_t>(i);
  return table[k] + (x - i) * (table[k + 1] - table[k]);
}

}  // namespace cabinload::forcing
