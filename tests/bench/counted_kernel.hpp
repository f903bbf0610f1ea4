// SPDX-License-Identifier: Apache-2.0
// The step kernel on numbers that count what is done with them.
#pragma once
#include <bit>
#include <cstdint>

namespace cabinload::test {

/// Floating-point operations of all lanes; a fused multiply-add is two.
struct Operations {
  long adds = 0, multiplies = 0, divides = 0, compares = 0;
  /// Comparisons choose and are no arithmetic.
  [[nodiscard]] long arithmetic() const { return adds + multiplies + divides; }
};
inline Operations operations;

struct Counted {
  double x[4];
  double operator[](int i) const { return x[i]; }
};
template <class Act>
Counted each(Counted a, Counted b, Act act) {
  Counted r{};
  for (int i = 0; i < 4; ++i) r.x[i] = act(a.x[i], b.x[i]);
  return r;
}
inline Counted spread(double x) {
  return {{x, x, x, x}};
}
inline Counted operator+(Counted a, Counted b) {
  operations.adds += 4;
  return each(a, b, [](double x, double y) { return x + y; });
}
inline Counted operator*(Counted a, Counted b) {
  operations.multiplies += 4;
  return each(a, b, [](double x, double y) { return x * y; });
}
inline Counted operator/(Counted a, Counted b) {
  operations.divides += 4;
  return each(a, b, [](double x, double y) { return x / y; });
}
inline Counted operator-(Counted a, Counted b) {
  operations.adds += 4;
  return each(a, b, [](double x, double y) { return x - y; });
}
/// A number less an empty pack is how the kernel spreads it: nothing to count.
inline Counted operator-(double a, Counted b) {
  return each(spread(a), b, [](double x, double y) { return x - y; });
}
inline Counted operator+(double a, Counted b) {
  return spread(a) + b;
}
inline Counted operator*(double a, Counted b) {
  return spread(a) * b;
}
inline Counted operator/(double a, Counted b) {
  return spread(a) / b;
}
inline Counted& operator+=(Counted& a, Counted b) {
  return a = a + b;
}
inline Counted& operator*=(Counted& a, Counted b) {
  return a = a * b;
}

}  // namespace cabinload::test

#define CABINLOAD_KERNEL counted
#define CABINLOAD_WIDTH 4
#define CABINLOAD_OWN_VECTOR
namespace cabinload::network::detail::counted {
namespace {
template <int W>
struct Vector {
  using Real = test::Counted;
  static Real fma(Real a, Real b, Real c) { return a * b + c; }
  static Real less(Real a, Real b, Real c) { return c - a * b; }
  static Real where_above(Real a, Real b, Real yes, Real no) {
    test::operations.compares += 4;
    Real r{};
    for (int i = 0; i < 4; ++i) r.x[i] = a.x[i] > b.x[i] ? yes.x[i] : no.x[i];
    return r;
  }
};
/// As the kernel's own: a change of form, a product and a sum.
template <int W>
test::Counted cube_root_guess(test::Counted x) {
  test::operations.adds += 4;
  test::operations.multiplies += 4;
  for (double& y : x.x) {
    const double high = static_cast<double>(std::bit_cast<std::uint64_t>(y) >> 32);
    const auto third = static_cast<std::uint64_t>(high / 3.0 + 715094163.0);
    y = std::bit_cast<double>(third << 32);
  }
  return x;
}
}  // namespace
}  // namespace cabinload::network::detail::counted
#include "network/step_kernel.hpp"
