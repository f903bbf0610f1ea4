// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <bit>
#include <cabinload/study/sampling.hpp>
#include <cmath>
#include <limits>
#include <utility>

#include "require.hpp"
#include "sobol_directions.hpp"

namespace cabinload::study {
namespace {

constexpr std::uint64_t kGolden = 0x9E3779B97F4A7C15;  // odd, 2^64 over the golden ratio
constexpr unsigned kFeistelRounds = 6;

std::uint64_t mix(std::uint64_t z) {
  z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9;
  z = (z ^ (z >> 27U)) * 0x94D049BB133111EB;
  return z ^ (z >> 31U);
}

std::array<std::uint32_t, 32> directions_of(std::size_t dimension) {
  std::array<std::uint32_t, 32> v{};
  const SobolPolynomial& row = kSobolPolynomials[dimension];
  const auto degree = static_cast<std::size_t>(std::bit_width(row.bits)) - 1;
  for (std::size_t i = 0; i < v.size(); ++i) {
    if (dimension == 0) {
      v[i] = std::uint32_t{1} << (31 - i);
    } else if (i < degree) {
      v[i] = std::uint32_t{row.first[i]} << (31 - i);
    } else {
      v[i] = v[i - degree] ^ (v[i - degree] >> degree);
      for (std::size_t k = 1; k < degree; ++k)
        if ((row.bits >> (degree - k)) & 1) v[i] ^= v[i - k];
    }
  }
  return v;
}

void require_index(std::uint64_t index, std::uint64_t points) {
  require(index < points, "sample index = {}, must be below {}", index, points);
}

}  // namespace

std::uint64_t splitmix64(std::uint64_t seed, std::uint64_t index) {
  return mix(seed + (index + 1) * kGolden);
}

std::uint64_t random_bits(std::uint64_t seed, std::uint64_t stream, std::uint64_t index) {
  return splitmix64(splitmix64(mix(seed), stream), index);
}

double to_unit(std::uint64_t bits) {
  return (static_cast<double>(bits >> 12U) + 0.5) * 0x1p-52;
}

Sobol::Sobol(std::size_t dimensions) {
  require(dimensions >= 1 && dimensions <= kSobolDimensions,
          "Sobol sequence: dimensions = {}, must be between 1 and {}; vary fewer "
          "inputs or use a Latin hypercube",
          dimensions, kSobolDimensions);
  for (std::size_t d = 0; d < dimensions; ++d) directions_.push_back(directions_of(d));
  shift_.assign(dimensions, 0);
}

Sobol::Sobol(std::size_t dimensions, std::uint64_t seed) : Sobol(dimensions) {
  for (std::size_t d = 0; d < dimensions; ++d) shift_[d] = random_bits(seed, d, 0);
}

std::uint32_t Sobol::bits(std::uint64_t index, std::size_t dimension) const {
  require_index(index, kMostPoints);
  require(dimension < dimensions(), "Sobol sequence: dimension = {}, must be below {}", dimension,
          dimensions());
  std::uint32_t x = 0;
  for (std::uint64_t gray = index ^ (index >> 1U); gray != 0; gray &= gray - 1)
    x ^= directions_[dimension][static_cast<std::size_t>(std::countr_zero(gray))];
  return x;
}

double Sobol::at(std::uint64_t index, std::size_t dimension) const {
  return to_unit((std::uint64_t{bits(index, dimension)} << 32U) ^ shift_[dimension]);
}

LatinHypercube::LatinHypercube(std::uint64_t points, std::uint64_t seed)
    : points_(points), seed_(seed) {
  require(points >= 1 && points <= kMostPoints,
          "Latin hypercube: samples = {}, must be between 1 and {}", points, kMostPoints);
  half_bits_ = std::max(1U, (static_cast<unsigned>(std::bit_width(points - 1)) + 1U) / 2U);
}

std::uint64_t LatinHypercube::cell(std::uint64_t index, std::uint64_t dimension) const {
  require_index(index, points_);
  const std::uint64_t key = random_bits(seed_, dimension, 0);
  const std::uint64_t mask = (std::uint64_t{1} << half_bits_) - 1;
  std::uint64_t x = index;
  do {
    std::uint64_t left = x >> half_bits_, right = x & mask;
    for (std::uint64_t round = 0; round < kFeistelRounds; ++round) {
      const std::uint64_t scrambled = splitmix64(key, (round << 32U) | right);
      left = std::exchange(right, left ^ (scrambled & mask));
    }
    x = (left << half_bits_) | right;
  } while (x >= points_);
  return x;
}

double LatinHypercube::at(std::uint64_t index, std::uint64_t dimension) const {
  const std::uint64_t part = cell(index, dimension);
  const double place = to_unit(random_bits(seed_, dimension, part + 1));
  return std::min((static_cast<double>(part) + place) / static_cast<double>(points_),
                  1.0 - 0x1p-53);
}

std::uint64_t factorial_points(std::span<const std::size_t> levels) {
  require(!levels.empty(), "full factorial: no input varies, must be at least one");
  std::uint64_t points = 1;
  for (std::size_t i = 0; i < levels.size(); ++i) {
    require(levels[i] >= 1, "full factorial: levels of input {} = 0, must be at least 1", i + 1);
    require(points <= std::numeric_limits<std::uint64_t>::max() / levels[i],
            "full factorial: more than 2^64 combinations; vary fewer inputs, or sample");
    points *= levels[i];
  }
  return points;
}

std::vector<std::size_t> factorial_point(std::span<const std::size_t> levels, std::uint64_t index) {
  require_index(index, factorial_points(levels));
  std::vector<std::size_t> level(levels.size());
  for (std::size_t i = levels.size(); i-- > 0; index /= levels[i])
    level[i] = static_cast<std::size_t>(index % levels[i]);
  return level;
}

}  // namespace cabinload::study
