// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/study/sampling.hpp>
#include <cstdint>

namespace cabinload::study {

/// One dimension's primitive polynomial and its first direction numbers. [Joe2008]
struct SobolPolynomial {
  std::uint16_t bits;                   ///< coefficients, highest power first; degree = width - 1
  std::array<std::uint16_t, 10> first;  ///< m_1 .. m_degree, odd, m_i < 2^i
};

/// The first row stands for the first dimension, whose direction numbers are all 1.
extern const std::array<SobolPolynomial, kSobolDimensions> kSobolPolynomials;

}  // namespace cabinload::study
