// SPDX-License-Identifier: Apache-2.0
#include "multiply_add.hpp"

#ifdef __FMA__
#include <immintrin.h>
#endif

namespace cabinload::test {

/// Twelve chains that do not wait for each other, `rounds` multiply-adds of four numbers in each.
double multiply_adds(long rounds) {
  using V = double __attribute__((vector_size(32)));
  V x[12];
  for (int k = 0; k < 12; ++k) x[k] = 1.0 + k - V{};
  const V factor = 0.999 - V{}, summand = 1e-3 - V{};
  for (long i = 0; i < rounds; ++i)
    for (V& a : x)
#ifdef __FMA__
      a = _mm256_fmadd_pd(a, factor, summand);
#else
      a = a * factor + summand;
#endif
  V sum{};
  for (const V& a : x) sum += a;
  return sum[0] + sum[1] + sum[2] + sum[3];
}

}  // namespace cabinload::test
