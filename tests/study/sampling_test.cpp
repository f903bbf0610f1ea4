// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cabinload/core/error.hpp>
#include <cabinload/study/sampling.hpp>
#include <cmath>
#include <set>

#include "support/catch.hpp"
#include "support/table.hpp"

namespace study = cabinload::study;
namespace test = cabinload::test;
using cabinload::core::RangeError;
using test::contains;

namespace {
std::uint64_t whole(const test::Table& table, std::size_t row, const std::string& column) {
  return std::stoull(table.text(row, column));
}

study::Distribution named(const test::Table& t, std::size_t row) {
  const std::string& kind = t.text(row, "kind");
  const double p1 = t.number(row, "p1"), p2 = t.number(row, "p2"), p3 = t.number(row, "p3");
  if (kind == "uniform") return study::Uniform{p1, p2};
  if (kind == "triangular") return study::Triangular{p1, p2, p3};
  if (kind == "truncated_normal") return study::TruncatedNormal{p1, p2, p3, t.number(row, "p4")};
  if (kind == "lognormal") return study::Lognormal{p1, p2};
  throw std::runtime_error(kind);
}
}  // namespace

TEST_CASE("study: splitmix64 gives the numbers of its reference program", "[study][unit]") {
  const std::array<std::uint64_t, 5> expected = {6457827717110365317U, 3203168211198807973U,
                                                 9817491932198370423U, 4593380528125082431U,
                                                 16408922859458223821U};
  for (std::size_t i = 0; i < expected.size(); ++i)
    CHECK(study::splitmix64(1234567, i) == expected[i]);
}

TEST_CASE("study: random bits of streams and seeds are even and unrelated", "[study][property]") {
  std::set<std::uint64_t> seen;
  for (std::uint64_t seed = 0; seed < 20; ++seed)
    for (std::uint64_t stream = 0; stream < 20; ++stream)
      for (std::uint64_t i = 0; i < 20; ++i) seen.insert(study::random_bits(seed, stream, i));
  CHECK(seen.size() == 8000);
  double sum = 0, product = 0;
  const int n = 20000;
  for (int i = 0; i < n; ++i) {
    const double a = study::to_unit(study::random_bits(7, 0, static_cast<std::uint64_t>(i)));
    const double b = study::to_unit(study::random_bits(7, 1, static_cast<std::uint64_t>(i)));
    sum += a - 0.5;
    product += (a - 0.5) * (b - 0.5);
  }
  CHECK(std::abs(sum / n) < 4 * std::sqrt(1.0 / 12 / n));  // four standard errors
  CHECK(std::abs(product / n) < 4 * (1.0 / 12) / std::sqrt(n));
  CHECK(study::to_unit(0) == 0x1p-53);
  CHECK(study::to_unit(~std::uint64_t{0}) == 1 - 0x1p-53);
}

TEST_CASE("study: Sobol points equal a reference library's to the last bit", "[study][published]") {
  const test::Table table("study/sobol.csv");
  const study::Sobol sequence(study::kSobolDimensions);
  std::size_t equal = 0;
  for (std::size_t row = 0; row < table.rows(); ++row)
    equal += sequence.bits(whole(table, row, "index"), whole(table, row, "dimension")) ==
             whole(table, row, "value_2_32");
  CHECK(table.rows() == 16 * study::kSobolDimensions);
  CHECK(equal == table.rows());
  CHECK(sequence.at(1, 0) == 0.5 + 0x1p-53);
}

TEST_CASE("study: shifted Sobol points stay one in each part, and move with the seed",
          "[study][property]") {
  const study::Sobol plain(40), shifted(40, 3), same(40, 3), other(40, 4);
  for (std::size_t d = 0; d < 40; ++d) {
    std::set<int> parts;
    for (std::uint64_t i = 0; i < 64; ++i) {
      const double u = shifted.at(i, d);
      parts.insert(static_cast<int>(u * 64));
      CHECK(u == same.at(i, d));
      CHECK(u != other.at(i, d));
      CHECK(u != plain.at(i, d));
      CHECK(shifted.bits(i, d) == plain.bits(i, d));
    }
    CHECK(parts.size() == 64);
    // Each dimension has a shift of its own: at point 0 it stands alone.
    if (d > 0) CHECK(std::abs(shifted.at(0, d) - shifted.at(0, d - 1)) > 1e-4);
  }
  double sum = 0;  // over seeds, a point is uniform: mean 1/2, standard error sqrt(1/12/2000)
  for (std::uint64_t seed = 0; seed < 2000; ++seed) sum += study::Sobol(1, seed).at(0, 0);
  CHECK_WITHIN(sum / 2000, 0.5, 4 * std::sqrt(1.0 / 12 / 2000));
}

TEST_CASE("study: a Latin hypercube has one point in each part of each dimension",
          "[study][property]") {
  for (const std::uint64_t n : {1U, 2U, 3U, 5U, 16U, 17U, 64U, 1000U, 4097U}) {
    const study::LatinHypercube points(n, 11);
    for (std::uint64_t d = 0; d < 5; ++d) {
      std::vector<int> count(n);
      for (std::uint64_t i = n; i-- > 0;) {
        ++count[points.cell(i, d)];
        const double u = points.at(i, d);
        CHECK((u > 0 && u < 1));
        CHECK(std::floor(u * static_cast<double>(n)) == static_cast<double>(points.cell(i, d)));
      }
      CHECK(std::all_of(count.begin(), count.end(), [](int c) { return c == 1; }));
    }
  }
  const study::LatinHypercube most(study::kMostPoints, 1);
  CHECK(most.at(study::kMostPoints - 1, 3) < 1);
}

TEST_CASE("study: permutations of a Latin hypercube are even and unrelated", "[study][property]") {
  for (const std::uint64_t n : {2U, 3U, 5U, 8U}) {
    std::vector<double> pairs(n * n);  // part of point 0 by part of the last point
    const int seeds = 4000;
    for (int seed = 0; seed < seeds; ++seed) {
      const study::LatinHypercube points(n, static_cast<std::uint64_t>(seed));
      pairs[points.cell(0, 0) * n + points.cell(n - 1, 0)] += 1;
    }
    const double expected = seeds / static_cast<double>(n * (n - 1));
    for (std::uint64_t i = 0; i < n * n; ++i) {
      INFO("n " << n << " pair " << i);
      if (i % n == i / n)
        CHECK(pairs[i] == 0);
      else
        CHECK_WITHIN(pairs[i], expected, 5 * std::sqrt(expected));
    }
  }
}

TEST_CASE("study: a Latin hypercube is random between dimensions and inside its parts",
          "[study][property]") {
  double product = 0, place = 0, place_square = 0;
  const int n = 10000;
  const study::LatinHypercube points(n, 5);
  for (std::uint64_t i = 0; i < n; ++i) {
    product += (points.at(i, 0) - 0.5) * (points.at(i, 1) - 0.5) / n;
    const double inside = points.at(i, 0) * n - static_cast<double>(points.cell(i, 0)) - 0.5;
    place += inside / n;
    place_square += inside * inside / n;
  }
  CHECK(std::abs(product) < 4 * (1.0 / 12) / std::sqrt(n));  // four standard errors
  CHECK(std::abs(place) < 4 * std::sqrt(1.0 / 12 / n));
  CHECK_WITHIN(place_square, 1.0 / 12, 0.005);
}

TEST_CASE("study: a full factorial counts through all combinations", "[study][unit]") {
  const std::vector<std::size_t> levels = {2, 1, 3};
  REQUIRE(study::factorial_points(levels) == 6);
  CHECK(study::factorial_point(levels, 0) == std::vector<std::size_t>{0, 0, 0});
  CHECK(study::factorial_point(levels, 1) == std::vector<std::size_t>{0, 0, 1});
  CHECK(study::factorial_point(levels, 5) == std::vector<std::size_t>{1, 0, 2});
  std::set<std::vector<std::size_t>> all;
  for (std::uint64_t i = 0; i < 6; ++i) all.insert(study::factorial_point(levels, i));
  CHECK(all.size() == 6);
}

TEST_CASE("study: inverse distributions equal a reference library's", "[study][published]") {
  const test::Table table("study/distributions.csv");
  for (std::size_t row = 0; row < table.rows(); ++row) {
    INFO(table.text(row, "kind") << " at u = " << table.text(row, "u"));
    const double u = table.number(row, "u"), expected = table.number(row, "value");
    if (table.text(row, "kind") == "normal") {
      CHECK(test::close(study::normal_quantile(u), expected, 1e-14, 1e-15));
      continue;
    }
    const study::Distribution distribution = named(table, row);
    CHECK_NOTHROW(study::check(distribution, "x"));
    CHECK(test::close(study::quantile(distribution, u), expected, 1e-11, 1e-12));
  }
}

TEST_CASE("study: distributions rise with u and stay in their range", "[study][property]") {
  const std::vector<study::Distribution> all = {
      study::Uniform{-3, 2},    study::Triangular{1, 1, 5},           study::Triangular{1, 4, 5},
      study::Lognormal{2, 1.5}, study::TruncatedNormal{0, 1, -9, 9},  study::Choice{7},
      study::Uniform{4, 4},     study::TruncatedNormal{0, 1, 3, 3.1}, study::Triangular{2, 2, 2}};
  for (const study::Distribution& d : all) {
    study::check(d, "x");
    double last = study::quantile(d, 0x1p-53);
    for (int i = 1; i <= 1000; ++i) {
      const double x = study::quantile(d, i < 1000 ? i / 1000.0 : 1 - 0x1p-53);
      CHECK(x >= last);
      last = x;
    }
  }
  CHECK(study::quantile(study::Uniform{4, 4}, 0.3) == 4);
  CHECK(study::quantile(study::Triangular{2, 2, 2}, 0.3) == 2);
  CHECK(study::quantile(study::Lognormal{2, 1}, 0.01) == 2);
  CHECK_RELATIVE(study::quantile(study::Lognormal{2, 3}, 0.95), 6.0, 1e-12);
  CHECK_RELATIVE(study::quantile(study::Lognormal{2, 3}, 0.05), 2.0 / 3, 1e-12);
  CHECK(study::quantile(study::Choice{4}, 0.2499) == 0);
  CHECK(study::quantile(study::Choice{4}, 0.25) == 1);
  CHECK(study::quantile(study::Choice{4}, 1 - 0x1p-53) == 3);
}

TEST_CASE("study: a sampled distribution has its mean and deviation", "[study][property]") {
  const study::Sobol points(1, 9);
  double uniform = 0, square = 0, triangular = 0;
  const int n = 4096;
  for (std::uint64_t i = 0; i < n; ++i) {
    const double u = points.at(i, 0), x = study::quantile(study::Uniform{10, 16}, u);
    uniform += x / n;
    square += x * x / n;
    triangular += study::quantile(study::Triangular{0, 1, 5}, u) / n;
  }
  CHECK_WITHIN(uniform, 13.0, 0.002);                   // (low + high) / 2
  CHECK_WITHIN(square - uniform * uniform, 3.0, 0.01);  // (high - low)^2 / 12
  CHECK_WITHIN(triangular, 2.0, 0.002);                 // (low + mode + high) / 3
}

TEST_CASE("study: intervals and percentiles equal reference libraries'", "[study][published]") {
  const test::Table wilson("study/proportions.csv");
  for (std::size_t row = 0; row < wilson.rows(); ++row) {
    INFO("row " << row);
    const study::Interval found =
        study::wilson(whole(wilson, row, "count"), whole(wilson, row, "trials"),
                      wilson.number(row, "confidence"));
    CHECK_WITHIN(found.low, wilson.number(row, "low"), 1e-13);
    CHECK_WITHIN(found.high, wilson.number(row, "high"), 1e-13);
  }
  const std::vector<double> values = {3.5,  -1.25, 8.0,   0.0, 2.75, 2.75,
                                      19.5, -7.0,  4.125, 6.5, 1.0};
  const test::Table percentiles("study/percentiles.csv");
  for (std::size_t row = 0; row < percentiles.rows(); ++row) {
    INFO("row " << row);
    const auto n = static_cast<std::ptrdiff_t>(whole(percentiles, row, "n"));
    const std::array<double, 1> percent{percentiles.number(row, "percent")};
    const auto found = study::percentiles({values.begin(), values.begin() + n}, percent);
    CHECK_WITHIN(found.at(0), percentiles.number(row, "value"), 1e-13);
  }
}

TEST_CASE("study: impossible samples are refused with the value and the rule", "[study][bad]") {
  CHECK_THROWS_WITH(study::Sobol(129), contains("dimensions = 129, must be between 1 and 128"));
  CHECK_THROWS_AS(study::Sobol(0), RangeError);
  const study::Sobol two(2);
  CHECK_THROWS_WITH(two.at(0, 2), contains("dimension = 2, must be below 2"));
  CHECK_THROWS_WITH(two.at(study::kMostPoints, 0), contains("must be below 4294967296"));
  CHECK_THROWS_WITH(study::LatinHypercube(0, 1), contains("samples = 0, must be between 1"));
  CHECK_THROWS_AS(study::LatinHypercube(study::kMostPoints + 1, 1), RangeError);
  CHECK_THROWS_WITH(study::LatinHypercube(5, 1).at(5, 0), contains("index = 5, must be below 5"));
  CHECK_THROWS_WITH(study::factorial_points({}), contains("no input varies"));
  CHECK_THROWS_WITH(study::factorial_points(std::vector<std::size_t>{3, 0}),
                    contains("levels of input 2 = 0, must be at least 1"));
  CHECK_THROWS_WITH(study::factorial_points(std::vector<std::size_t>(17, 16)),
                    contains("more than 2^64"));
  CHECK_THROWS_AS(study::factorial_point(std::vector<std::size_t>{3, 2}, 6), RangeError);
  CHECK_THROWS_WITH(study::wilson(0, 0, 0.9), contains("samples = 0, must be at least 1"));
  CHECK_THROWS_WITH(study::wilson(3, 2, 0.9), contains("count = 3, must be at most samples = 2"));
  CHECK_THROWS_WITH(study::wilson(1, 2, 1.0), contains("confidence = 1, must lie between 0 and 1"));
  const std::array<double, 1> half{50}, beyond{101};
  CHECK_THROWS_WITH(study::percentiles({}, half), contains("values = 0, must be at least 1"));
  CHECK_THROWS_WITH(study::percentiles({1.0}, beyond), contains("percentile = 101, must be"));
  CHECK_THROWS_WITH(study::percentiles({1.0, std::nan("")}, half), contains("not finite"));
}

TEST_CASE("study: impossible distributions are refused with key, value and rule", "[study][bad]") {
  const auto said = [](const study::Distribution& d) -> std::string {
    try {
      study::check(d, "shell.absorptance");
    } catch (const RangeError& e) {
      return e.what();
    }
    return "";
  };
  CHECK(said(study::Uniform{0.9, 0.2}) ==
        "shell.absorptance: low = 0.9, must be at most high = 0.2");
  CHECK_THAT(said(study::Uniform{0, INFINITY}), contains("high = inf, must be a finite number"));
  CHECK_THAT(said(study::Uniform{std::nan(""), 1}), contains("low = nan, must be a finite number"));
  CHECK_THAT(said(study::Triangular{3, 3, 1}), contains("low = 3, must be at most high = 1"));
  CHECK_THAT(said(study::Triangular{0, 2, 1}), contains("mode = 2, must be between low = 0"));
  CHECK_THAT(said(study::TruncatedNormal{0, 0, -1, 1}), contains("deviation = 0, must be above 0"));
  CHECK_THAT(said(study::TruncatedNormal{0, 1, 1, -1}), contains("low = 1, must be at most"));
  CHECK_THAT(said(study::TruncatedNormal{0, 1, 1, 1}), contains("low = 1, must be below high = 1"));
  CHECK_THAT(said(study::TruncatedNormal{0, 1, 6, 9}), contains("less than a millionth"));
  CHECK_THAT(said(study::TruncatedNormal{0, 1, -9, -6}), contains("less than a millionth"));
  CHECK_THAT(said(study::Lognormal{0, 2}), contains("median = 0, must be above 0"));
  CHECK_THAT(said(study::Lognormal{1, 0.5}), contains("factor = 0.5, must be at least 1"));
  CHECK_THAT(said(study::Choice{0}), contains("choices = 0, must be at least 1"));
  for (const double u : {0.0, 1.0, -0.1, std::nan("")}) {
    CHECK_THROWS_AS(study::quantile(study::Uniform{}, u), RangeError);
    CHECK_THROWS_AS(study::normal_quantile(u), RangeError);
  }
}
