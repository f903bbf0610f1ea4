// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/refrigerant.hpp>
#include <vector>

namespace cabinload::unit {
namespace {

const std::array<Refrigerant, 5> kRefrigerants = {{
#include "refrigerants.inc"
}};

/// Sum of c (t/100)^(n-j) (dt/100)^j, n = 0 .. Degree, j = 0 .. n: the order of the script.
template <int Degree, std::size_t Size>
double polynomial(const std::array<double, Size>& c, double t_degC, double dt_K) {
  static_assert(Size == (Degree + 1) * (Degree + 2) / 2);
  std::array<double, Degree + 1> x{1.0}, y{1.0};
  for (std::size_t i = 1; i <= Degree; ++i) {
    x[i] = x[i - 1] * t_degC / 100.0;
    y[i] = y[i - 1] * dt_K / 100.0;
  }
  double sum = 0.0;
  std::size_t k = 0;
  for (std::size_t n = 0; n <= Degree; ++n)
    for (std::size_t j = 0; j <= n; ++j) sum += c[k++] * x[n - j] * y[j];
  return sum;
}

}  // namespace

double Refrigerant::vapour_J_kg(double S_degC, double superheat_K) const {
  return polynomial<4>(vapour, std::clamp(S_degC, S_min_degC, S_max_degC),
                       std::clamp(superheat_K, 0.0, superheat_max_K));
}

double Refrigerant::liquid_J_kg(double D_degC, double subcooling_K) const {
  return polynomial<6>(liquid, std::clamp(D_degC, D_min_degC, D_max_degC),
                       std::clamp(subcooling_K, 0.0, subcooling_max_K));
}

std::span<const Refrigerant> refrigerants() {
  return kRefrigerants;
}

const Refrigerant& refrigerant(const std::string& name) {
  std::vector<std::string> known;
  for (const Refrigerant& r : kRefrigerants) {
    if (r.name == name) return r;
    known.emplace_back(r.name);
  }
  const core::UnknownName text = core::unknown_name(name, known);
  throw core::RangeError("unit: refrigerant " + text.what + "; " + text.hint);
}

}  // namespace cabinload::unit
