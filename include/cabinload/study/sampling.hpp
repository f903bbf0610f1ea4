// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <variant>
#include <vector>

/// Sample points, distributions and statistics of a study. Point i is a function of i alone: no
/// state, so the same bits come out in any order and on any number of threads.
/// "u" is a number strictly between 0 and 1, [-]. Every error is a core::RangeError.
namespace cabinload::study {

// --- random bits --------------------------------------------------------------------------------

/// Output number `index` (from 0) of the generator splitmix64 started with `seed`. [Steele2014]
[[nodiscard]] std::uint64_t splitmix64(std::uint64_t seed, std::uint64_t index);

/// 64 random bits of a point in a stream; streams of one seed are unrelated.
[[nodiscard]] std::uint64_t random_bits(std::uint64_t seed, std::uint64_t stream,
                                        std::uint64_t index);

/// The middle of one of 2^52 equal parts of (0, 1): never 0, never 1.
[[nodiscard]] double to_unit(std::uint64_t bits);

// --- points -------------------------------------------------------------------------------------

inline constexpr std::size_t kSobolDimensions = 128;
inline constexpr std::uint64_t kMostPoints = std::uint64_t{1} << 32U;

/// Sobol's sequence with the direction numbers of [Joe2008] (new-joe-kuo-6), in Gray-code order:
/// the first 2^m points are a (t, m, s)-net, so take powers of two.
class Sobol {
 public:
  /// The sequence itself. Point 0 lies in the corner where all u are 2^-53.
  /// @param dimensions  1 .. kSobolDimensions
  explicit Sobol(std::size_t dimensions);
  /// Randomised by a digital shift (exclusive or) of each dimension: every point is uniform, the
  /// set keeps its evenness. [LEcuyer2002]
  Sobol(std::size_t dimensions, std::uint64_t seed);

  /// Numbers a point has.
  [[nodiscard]] std::size_t dimensions() const { return directions_.size(); }
  /// Coordinate times 2^32, before the shift. @param index  0 .. kMostPoints - 1
  [[nodiscard]] std::uint32_t bits(std::uint64_t index, std::size_t dimension) const;
  /// u of that point, the shift applied. @param index  0 .. kMostPoints - 1
  [[nodiscard]] double at(std::uint64_t index, std::size_t dimension) const;

 private:
  std::vector<std::array<std::uint32_t, 32>> directions_;
  std::vector<std::uint64_t> shift_;
};

/// Latin hypercube: in each dimension each of `points` equal parts of (0, 1) holds one point, at a
/// random place. [McKay1979] The permutation of the parts is a keyed bijection (a Feistel network
/// that walks until it is back in range [Black2002]), so memory does not grow with the points.
class LatinHypercube {
 public:
  /// @param points  1 .. kMostPoints
  LatinHypercube(std::uint64_t points, std::uint64_t seed);

  /// Points of the whole hypercube.
  [[nodiscard]] std::uint64_t points() const { return points_; }
  /// Which part point `index` has. @param index  0 .. points - 1  @param dimension  any
  [[nodiscard]] std::uint64_t cell(std::uint64_t index, std::uint64_t dimension) const;
  /// u of that point. @param index  0 .. points - 1  @param dimension  any
  [[nodiscard]] double at(std::uint64_t index, std::uint64_t dimension) const;

 private:
  std::uint64_t points_, seed_;
  unsigned half_bits_;
};

/// Every combination of levels: how many there are.
/// @param levels  number of levels of each input, at least one input, none 0
[[nodiscard]] std::uint64_t factorial_points(std::span<const std::size_t> levels);

/// The level of each input in combination `index`; the last input changes fastest.
[[nodiscard]] std::vector<std::size_t> factorial_point(std::span<const std::size_t> levels,
                                                       std::uint64_t index);

// --- distributions ------------------------------------------------------------------------------
// Parameters and results have the unit of the input they describe.

/// low <= high.
struct Uniform {
  double low = 0, high = 1;
};
/// low <= mode <= high.
struct Triangular {
  double low = 0, mode = 0.5, high = 1;
};
/// A normal distribution between bounds; deviation > 0, low < high, and the bounds hold at least a
/// millionth of the unbounded distribution.
struct TruncatedNormal {
  double mean = 0, deviation = 1, low = -1, high = 1;
};
/// median > 0, factor >= 1. Nine in ten lie between median / factor and median * factor: the error
/// factor of reliability work, 95th percentile over median. [Atwood2003]
struct Lognormal {
  double median = 1, factor = 2;
};
/// 0 .. count - 1, all as likely; count >= 1.
struct Choice {
  std::size_t count = 1;
};
/// What an input may be like.
using Distribution = std::variant<Uniform, Triangular, TruncatedNormal, Lognormal, Choice>;

/// @throws core::RangeError  naming `key`, the parameter, its value and what would be right
void check(const Distribution& distribution, const std::string& key);

/// Inverse of the cumulative distribution. The distribution must have passed `check`.
[[nodiscard]] double quantile(const Distribution& distribution, double u);

/// Inverse of the standard normal distribution: [Acklam2003], refined by one step of Newton's rule;
/// relative error below 1e-14 except near u = 0.5, where the absolute one is below 1e-15.
[[nodiscard]] double normal_quantile(double u);

// --- statistics ---------------------------------------------------------------------------------

/// Ends of an interval.
struct Interval {
  double low = 0, high = 0;
};

/// Wilson's score interval of a proportion. [Wilson1927]
/// @param count  0 .. trials  @param trials  at least 1  @param confidence  in (0, 1), e.g. 0.9
[[nodiscard]] Interval wilson(std::uint64_t count, std::uint64_t trials, double confidence);

/// Percentiles by linear interpolation of order statistics: type 7 of [Hyndman1996].
/// @param values  at least one, all finite  @param percents  each 0 .. 100
[[nodiscard]] std::vector<double> percentiles(std::vector<double> values,
                                              std::span<const double> percents);

}  // namespace cabinload::study
