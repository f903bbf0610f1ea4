// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/error.hpp>
#include <cabinload/study/sensitivity.hpp>
#include <cmath>
#include <functional>
#include <numbers>

#include "support/catch.hpp"
#include "support/table.hpp"

namespace study = cabinload::study;
namespace test = cabinload::test;
using cabinload::core::RangeError;
using test::contains;

namespace {
using Function = std::function<double(std::span<const double>)>;

Eigen::ArrayXXd evaluated(const Function& f, const study::Sobol& sequence, std::size_t inputs,
                          Eigen::Index base) {
  Eigen::ArrayXXd y(base, inputs + 2);
  std::vector<double> u(inputs);
  for (Eigen::Index i = 0; i < y.rows(); ++i)
    for (Eigen::Index block = 0; block < y.cols(); ++block) {
      study::saltelli_point(sequence, static_cast<std::uint64_t>(i),
                            static_cast<std::size_t>(block), u);
      y(i, block) = f(u);
    }
  return y;
}

constexpr double kPi = std::numbers::pi, kA = 7, kB = 0.1;

double ishigami(std::span<const double> u) {
  const auto x = [&](std::size_t i) { return kPi * (2 * u[i] - 1); };
  return std::sin(x(0)) + kA * std::pow(std::sin(x(1)), 2) +
         kB * std::pow(x(2), 4) * std::sin(x(0));
}

double linear(std::span<const double> u) {
  return 300 + 4 * u[0] - 2 * u[1] + u[2];
}
constexpr std::array<double, 3> kLinearShare = {16.0 / 21, 4.0 / 21, 1.0 / 21};
}  // namespace

TEST_CASE("study: indices of the Ishigami function lie at their closed form",
          "[study][published]") {
  // [Ishigami1990], a = 7, b = 0.1; variances by integration.
  const double pi4 = std::pow(kPi, 4), pi8 = pi4 * pi4;
  const double v1 = 0.5 * std::pow(1 + kB * pi4 / 5, 2), v2 = kA * kA / 8;
  const double v13 = 8 * kB * kB * pi8 / 225, v = v1 + v2 + v13;
  const std::array<double, 3> first = {v1 / v, v2 / v, 0};
  const std::array<double, 3> total = {(v1 + v13) / v, v2 / v, v13 / v};
  const study::Bootstrap few{100, 0.9, 1};
  for (const study::Sobol& sequence : {study::Sobol(6), study::Sobol(6, 1), study::Sobol(6, 2)}) {
    const auto found = study::effects(evaluated(ishigami, sequence, 3, 1 << 14), few);
    REQUIRE(found.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
      INFO("input " << i + 1);
      CHECK_WITHIN(found[i].first, first[i], 0.02);
      CHECK_WITHIN(found[i].total, total[i], 0.02);
      CHECK(found[i].first_range.low < first[i]);
      CHECK(found[i].first_range.high > first[i]);
      CHECK(found[i].total_range.high - found[i].total_range.low < 0.04);
    }
  }
}

TEST_CASE("study: an additive function has first and total indices alike, adding up to one",
          "[study][property]") {
  const auto found = study::effects(evaluated(linear, study::Sobol(6, 5), 3, 1 << 12));
  double sum = 0;
  for (std::size_t i = 0; i < 3; ++i) {
    CHECK_WITHIN(found[i].first, kLinearShare[i], 0.01);
    CHECK_WITHIN(found[i].total, kLinearShare[i], 0.01);
    CHECK(found[i].first_range.low <= found[i].first);
    CHECK(found[i].first <= found[i].first_range.high);
    sum += found[i].first;
  }
  CHECK_WITHIN(sum, 1.0, 0.01);
}

TEST_CASE("study: an input that does not matter has indices 0, exactly", "[study][property]") {
  const auto f = [](std::span<const double> u) { return std::exp(u[0]) * (1 + u[2]); };
  const auto found = study::effects(evaluated(f, study::Sobol(6), 3, 256));
  CHECK(found[1].first == 0);
  CHECK(found[1].total == 0);
  CHECK(found[1].total_range.high == 0);
  CHECK(found[0].total > 0.1);
  const auto none = study::effects(evaluated([](auto) { return 0.1; }, study::Sobol(4), 2, 64));
  CHECK(none[0].first == 0);
  CHECK(none[1].total_range.high == 0);
  // One base point differs: replicates without it have no variance, by rounding almost none.
  Eigen::ArrayXXd y = Eigen::ArrayXXd::Constant(5, 3, 0.1);
  y.row(3) << 0.7, 0.1, 0.7;
  y(0, 2) = 0.2;
  const auto rare = study::effects(y);
  for (const study::Interval& x : {rare[0].first_range, rare[0].total_range})
    CHECK((std::abs(x.low) < 10 && std::abs(x.high) < 10));
}

TEST_CASE("study: indices do not change with the output's origin and scale", "[study][property]") {
  const Eigen::ArrayXXd y = evaluated(ishigami, study::Sobol(6, 2), 3, 512);
  const auto plain = study::effects(y), moved = study::effects(1e4 - 3 * y);
  for (std::size_t i = 0; i < 3; ++i) {
    CHECK_WITHIN(plain[i].first, moved[i].first, 1e-9);
    CHECK_WITHIN(plain[i].total_range.low, moved[i].total_range.low, 1e-9);
  }
}

TEST_CASE("study: indices equal a reference library's on the same outputs", "[study][published]") {
  const test::Table outputs("study/saltelli_outputs.csv"), indices("study/saltelli_indices.csv");
  Eigen::ArrayXXd y(outputs.rows(), 5);
  for (Eigen::Index i = 0; i < y.rows(); ++i)
    for (Eigen::Index j = 0; j < 5; ++j)
      y(i, j) =
          outputs.number(static_cast<std::size_t>(i),
                         std::array{"A", "B", "AB1", "AB2", "AB3"}[static_cast<std::size_t>(j)]);
  const auto found = study::effects(y);
  for (std::size_t i = 0; i < 3; ++i) {
    CHECK_WITHIN(found[i].first, indices.number(i, "first"), 1e-12);
    CHECK_WITHIN(found[i].total, indices.number(i, "total"), 1e-12);
  }
}

TEST_CASE("study: nine in ten bootstrap ranges hold the truth", "[study][property]") {
  // Independent random points, 200 repetitions; binomial standard error 0.021, small-sample bias.
  const int repetitions = 200;
  std::array<int, 3> first{}, total{};
  for (int r = 0; r < repetitions; ++r) {
    Eigen::ArrayXXd y(256, 5);
    for (Eigen::Index i = 0; i < y.rows(); ++i) {
      std::array<double, 6> ab{};
      for (std::size_t k = 0; k < 6; ++k)
        ab[k] = study::to_unit(study::random_bits(99, static_cast<std::uint64_t>(r),
                                                  static_cast<std::uint64_t>(i) * 6 + k));
      for (std::size_t block = 0; block < 5; ++block) {
        std::array<double, 3> u{};
        for (std::size_t k = 0; k < 3; ++k) u[k] = ab[block == 1 || block == 2 + k ? 3 + k : k];
        y(i, static_cast<Eigen::Index>(block)) = linear(u);
      }
    }
    const auto found = study::effects(y, {200, 0.9, static_cast<std::uint64_t>(r)});
    for (std::size_t k = 0; k < 3; ++k) {
      const auto holds = [&](const study::Interval& x) {
        return x.low <= kLinearShare[k] && kLinearShare[k] <= x.high;
      };
      first[k] += holds(found[k].first_range);
      total[k] += holds(found[k].total_range);
    }
  }
  for (std::size_t k = 0; k < 3; ++k) {
    CHECK_WITHIN(first[k] / 200.0, 0.9, 0.07);
    CHECK_WITHIN(total[k] / 200.0, 0.9, 0.07);
  }
}

TEST_CASE("study: bootstrap ranges on Sobol points are too wide rather than too narrow",
          "[study][property]") {
  int holds = 0;
  for (std::uint64_t seed = 0; seed < 60; ++seed) {
    const auto y = evaluated(linear, study::Sobol(6, seed), 3, 256);
    const auto found = study::effects(y, {200, 0.9, seed});
    for (std::size_t k = 0; k < 3; ++k)
      holds += found[k].first_range.low <= kLinearShare[k] &&
               kLinearShare[k] <= found[k].first_range.high;
  }
  CHECK(holds >= 0.95 * 180);
}

TEST_CASE("study: the bootstrap follows its seed", "[study][property]") {
  const Eigen::ArrayXXd y = evaluated(linear, study::Sobol(6), 3, 64);
  const auto one = study::effects(y, {100, 0.9, 1}), same = study::effects(y, {100, 0.9, 1});
  const auto other = study::effects(y, {100, 0.9, 2}), narrow = study::effects(y, {100, 0.5, 1});
  CHECK(one[0].first_range.low == same[0].first_range.low);
  CHECK(one[0].first_range.low != other[0].first_range.low);
  CHECK(one[0].first_range.low < narrow[0].first_range.low);
  CHECK(one[0].first == other[0].first);
  // As the confidence goes to 0, both ends go to the median.
  const auto median = study::effects(y, {100, 1e-9, 1});
  CHECK_WITHIN(median[0].first_range.low, median[0].first_range.high, 1e-7);
  CHECK(narrow[0].first_range.low < median[0].first_range.low);
}

TEST_CASE("study: points of a sensitivity study take one input from the other half",
          "[study][unit]") {
  const study::Sobol sequence(6);
  std::vector<double> a(3), b(3), mixed(3);
  study::saltelli_point(sequence, 5, 0, a);
  study::saltelli_point(sequence, 5, 1, b);
  study::saltelli_point(sequence, 5, 3, mixed);
  CHECK(a[0] == sequence.at(5, 0));
  CHECK(b[2] == sequence.at(5, 5));
  CHECK(mixed == std::vector<double>{a[0], b[1], a[2]});
  CHECK(study::saltelli_runs(1024, 3) == 5120);
}

TEST_CASE("study: impossible sensitivity studies are refused", "[study][bad]") {
  std::vector<double> u(4);
  CHECK_THROWS_WITH(study::saltelli_point(study::Sobol(6), 0, 0, u),
                    contains("inputs = 4, must be between 1 and 3"));
  u.resize(3);
  CHECK_THROWS_WITH(study::saltelli_point(study::Sobol(6), 0, 5, u),
                    contains("block = 5, must be below 5"));
  CHECK_THROWS_WITH(study::saltelli_runs(0, 3), contains("base samples = 0, must be at least 1"));
  CHECK_THROWS_WITH(study::saltelli_runs(4, 0), contains("inputs = 0, must be at least 1"));
  CHECK_THROWS_WITH(study::saltelli_runs(std::uint64_t{1} << 63U, 2), contains("more than 2^64"));
  Eigen::ArrayXXd y = Eigen::ArrayXXd::Random(4, 3);
  CHECK_THROWS_WITH(study::effects(y.leftCols(2)), contains("columns = 2, must be at least 3"));
  CHECK_THROWS_WITH(study::effects(y.topRows(0)), contains("base samples = 0, must be at least 2"));
  CHECK_THROWS_WITH(study::effects(y, {19, 0.9, 1}), contains("replicates = 19, must be"));
  CHECK_THROWS_WITH(study::effects(y, {20, 1.0, 1}), contains("confidence = 1, must lie"));
  y(2, 1) = std::nan("");
  CHECK_THROWS_WITH(study::effects(y), contains("base sample 2, block 1 is not finite"));
}
