// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cmath>

namespace cabinload::unit {

/// Search for the two numbers that a function gives back: x = f(x). Each round goes on by the
/// slopes that the rounds before have shown (Broyden's update of their inverse, [Broyden1965]);
/// where that leads away it begins again with f's own value.
class FixedPoint {
 public:
  using Pair = std::array<double, 2>;
  /// Inverse of the slopes of x - f(x), row by row. kPlain: the next x is what f gave.
  using Slopes = std::array<double, 4>;
  static constexpr Slopes kPlain = {1, 0, 0, 1};

  /// @param slopes  kPlain, or those of a search nearby; kept up to date, outlives this
  explicit FixedPoint(Slopes& slopes) : H_(slopes) {}

  /// @param x  as tried, which may be the last answer within some bounds  @param f  what it gave
  /// @return   what to try next
  Pair next(const Pair& x, const Pair& f) {
    const Pair gap = {f[0] - x[0], f[1] - x[1]};
    if (begun_) learn({x[0] - x_[0], x[1] - x_[1]}, gap);
    begun_ = true;
    x_ = x;
    gap_ = gap;
    const Pair step = times(gap);
    return {x[0] + step[0], x[1] + step[1]};
  }

 private:
  [[nodiscard]] Pair times(const Pair& v) const {
    return {H_[0] * v[0] + H_[1] * v[1], H_[2] * v[0] + H_[3] * v[1]};
  }
  void learn(const Pair& step, const Pair& gap) {
    // A gap that grew by so much leads away; a step of so little shows no slope. Engineering
    // judgement.
    constexpr double kAway_1 = 2, kNothing = 1e-30;
    const Pair change = times({gap[0] - gap_[0], gap[1] - gap_[1]});
    const double along = step[0] * change[0] + step[1] * change[1];
    const bool away =
        std::abs(gap[0]) + std::abs(gap[1]) > kAway_1 * (std::abs(gap_[0]) + std::abs(gap_[1]));
    if (away || !(std::abs(along) > kNothing)) {
      H_ = kPlain;
      return;
    }
    const Pair row = {step[0] * H_[0] + step[1] * H_[2], step[0] * H_[1] + step[1] * H_[3]};
    for (std::size_t i = 0; i < 2; ++i) {
      const double by = (-step[i] - change[i]) / along;
      H_[2 * i] += by * row[0];
      H_[2 * i + 1] += by * row[1];
    }
  }

  Slopes& H_;
  bool begun_ = false;
  Pair x_{}, gap_{};
};

}  // namespace cabinload::unit
