// SPDX-License-Identifier: Apache-2.0
// Catch2 2.13 (Debian 12) and 3.x behind one include. Use only names that both have.
#pragma once
#include <string>
#if CABINLOAD_CATCH_MAJOR >= 3
#include <catch2/catch_all.hpp>
#else
#include <catch2/catch.hpp>
#endif

namespace cabinload::test {
/// Matches within a relative OR an absolute tolerance, so that values near zero can be compared.
inline bool close(double a, double b, double relative, double absolute) {
  const double d = a > b ? a - b : b - a;
  const double m = (a < 0 ? -a : a) > (b < 0 ? -b : b) ? (a < 0 ? -a : a) : (b < 0 ? -b : b);
  return d <= absolute || d <= relative * m;
}
/// Matcher: text contains a part. Catch2 2 and 3 name it differently.
#if CABINLOAD_CATCH_MAJOR >= 3
inline auto contains(const std::string& part) {
  return Catch::Matchers::ContainsSubstring(part);
}
#else
inline auto contains(const std::string& part) {
  return Catch::Matchers::Contains(part);
}
#endif
}  // namespace cabinload::test

/// CHECK that prints both sides when |a - b| exceeds `absolute`.
#define CHECK_WITHIN(a, b, absolute)                                           \
  do {                                                                         \
    INFO(#a " = " << (a) << ", expected " << (b) << " within " << (absolute)); \
    CHECK(cabinload::test::close((a), (b), 0.0, (absolute)));                  \
  } while (false)
/// CHECK that prints both sides when the relative difference exceeds `relative`.
#define CHECK_RELATIVE(a, b, relative)                                                  \
  do {                                                                                  \
    INFO(#a " = " << (a) << ", expected " << (b) << " within relative " << (relative)); \
    CHECK(cabinload::test::close((a), (b), (relative), 0.0));                           \
  } while (false)
