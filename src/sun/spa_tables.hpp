// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <vector>

namespace cabinload::sun {

/// A cos(B + C t), multiplied by t^power; t in Julian ephemeris millennia. A in 1e-8 rad or au.
struct PeriodicTerm {
  int power;
  double A, B, C;
};
/// Multipliers of the five fundamental arguments, then coefficients in 0.0001 arcsec.
struct NutationTerm {
  std::array<double, 5> y;
  double a, b, c, d;
};

extern const std::vector<PeriodicTerm> kLongitude, kLatitude, kRadius;
extern const std::vector<NutationTerm> kNutation;

}  // namespace cabinload::sun
