// SPDX-License-Identifier: Apache-2.0
// Roofs for tests. All dimensions are invented.
#pragma once
#include <cabinload/roof/roof.hpp>
#include <random>

namespace cabinload::test {

/// 4.0 x 1.8 m, 0.1 m kept free all round, 2.6 m high, no ribs.
inline roof::Roof plain_roof() {
  return {4.0, 1.8, {0.1, 0.1, 0.1, 0.1}, {}, 0.05, 2.6, roof::kGarage_m};
}

inline roof::Item item(const std::string& name, roof::Kind kind, double x_m, double y_m,
                       double length_m, double width_m, double height_m = 0.1) {
  return {name, kind, length_m, width_m, height_m, roof::Place{x_m, y_m}, {}, 0};
}

inline roof::Item unit_without_place(double length_m, double width_m) {
  return {"cooler", roof::Kind::unit, length_m, width_m, 0.2, {}, {}, 0};
}

/// A roof with up to seven things strewn on it (they may overlap or hang over), and a panel size.
struct Sample {
  roof::Roof roof;
  std::vector<roof::Item> items;
  roof::PanelSize panel;
};

inline Sample sample(unsigned seed) {
  std::mt19937 engine(seed);
  // Not std::uniform_real_distribution: its numbers differ between libraries.
  const auto between = [&](double low, double high) {
    return low + (high - low) * static_cast<double>(engine()) / 4294967296.0;
  };
  Sample s;
  s.roof = plain_roof();
  s.roof.length_m = between(2.0, 6.0);
  s.roof.width_m = between(1.3, 2.4);
  s.roof.edges = {between(0, 0.3), between(0, 0.3), between(0, 0.2), between(0, 0.2)};
  s.panel = {between(0.5, 1.3), between(0.4, 1.0), 100, between(0, 1) < 0.5 ? 0 : between(0, 0.05),
             0.04};
  const auto count = engine() % 8;
  for (unsigned k = 0; k < count; ++k) {  // one draw a statement: arguments have no order
    const double x_m = between(-0.2, s.roof.length_m), y_m = between(-0.2, s.roof.width_m);
    const double l_m = between(0.05, 0.9), w_m = between(0.05, 0.9);
    s.items.push_back(item("thing " + std::to_string(k), roof::Kind::rack, x_m, y_m, l_m, w_m));
  }
  return s;
}

}  // namespace cabinload::test
