// SPDX-License-Identifier: Apache-2.0
#include <array>
#include <cabinload/study/sensitivity.hpp>
#include <cmath>
#include <limits>

#include "require.hpp"

namespace cabinload::study {
namespace {

constexpr std::size_t kLeastReplicates = 20;  // the 5th percentile of fewer means nothing
constexpr double kNoVariance = 1e-12;         // of the full sample's: rounding alone

void check(const Eigen::Ref<const Eigen::ArrayXXd>& y, const Bootstrap& bootstrap) {
  require(y.cols() >= 3,
          "sensitivity: columns = {}, must be at least 3: A, B and one "
          "for each input",
          y.cols());
  require(y.rows() >= 2 && y.rows() <= std::numeric_limits<std::uint32_t>::max(),
          "sensitivity: base samples = {}, must be at least 2 and below 2^32", y.rows());
  for (Eigen::Index j = 0; j < y.cols(); ++j)
    for (Eigen::Index i = 0; i < y.rows(); ++i)
      require(std::isfinite(y(i, j)),
              "sensitivity: output of base sample {}, block {} is not finite; leave out "
              "all outputs of a base sample that failed",
              i, j);
  require(bootstrap.replicates >= kLeastReplicates,
          "bootstrap: replicates = {}, must be at least {}", bootstrap.replicates,
          kLeastReplicates);
  require(bootstrap.confidence > 0 && bootstrap.confidence < 1,
          "bootstrap: confidence = {:g}, must lie between 0 and 1, both excluded",
          bootstrap.confidence);
}

/// What the estimators average over base points, a column each: first of each input, total of each
/// input, (a + b) / 2, (a^2 + b^2) / 2. Outputs are taken about their mean: the first-order
/// estimator scatters less so.
Eigen::MatrixXd terms_of(const Eigen::Ref<const Eigen::ArrayXXd>& y) {
  const Eigen::Index inputs = y.cols() - 2;
  const double mean = 0.5 * (y.col(0).mean() + y.col(1).mean());
  const Eigen::ArrayXd a = y.col(0) - mean, b = y.col(1) - mean;
  Eigen::MatrixXd terms(y.rows(), 2 * inputs + 2);
  for (Eigen::Index i = 0; i < inputs; ++i) {
    const Eigen::ArrayXd change = y.col(2 + i) - y.col(0);
    terms.col(i) = b * change;
    terms.col(inputs + i) = 0.5 * change.square();
  }
  terms.col(2 * inputs) = 0.5 * (a + b);
  terms.col(2 * inputs + 1) = 0.5 * (a.square() + b.square());
  return terms;
}

double variance(const Eigen::VectorXd& means) {
  const double mean = means(means.size() - 2);
  return means(means.size() - 1) - mean * mean;
}

/// Means of the terms over rows drawn with replacement.
Eigen::VectorXd resampled(const Eigen::MatrixXd& terms, std::uint64_t seed,
                          std::uint64_t replicate) {
  const auto rows = static_cast<std::uint64_t>(terms.rows());
  Eigen::VectorXd weight = Eigen::VectorXd::Zero(terms.rows());
  for (std::uint64_t i = 0; i < rows; ++i) {
    const std::uint64_t drawn = (random_bits(seed, replicate, i) >> 32U) * rows >> 32U;
    weight(static_cast<Eigen::Index>(drawn)) += 1.0;
  }
  return terms.transpose() * weight / static_cast<double>(rows);
}

Interval range(const Eigen::VectorXd& replicates, double confidence) {
  const std::array<double, 2> percents{50.0 * (1 - confidence), 50.0 * (1 + confidence)};
  const auto found = percentiles({replicates.begin(), replicates.end()}, percents);
  return {found[0], found[1]};
}

}  // namespace

std::uint64_t saltelli_runs(std::uint64_t base, std::size_t inputs) {
  require(base >= 1, "sensitivity: base samples = 0, must be at least 1");
  require(inputs >= 1, "sensitivity: varied inputs = 0, must be at least 1");
  require(base <= std::numeric_limits<std::uint64_t>::max() / (inputs + 2),
          "sensitivity: more than 2^64 runs; take fewer base samples");
  return base * (inputs + 2);
}

void saltelli_point(const Sobol& sequence, std::uint64_t base, std::size_t block,
                    std::span<double> u) {
  require(!u.empty() && 2 * u.size() <= sequence.dimensions(),
          "sensitivity: varied inputs = {}, must be between 1 and {}, half of the "
          "sequence's dimensions",
          u.size(), sequence.dimensions() / 2);
  require(block < u.size() + 2, "sensitivity: block = {}, must be below {}", block, u.size() + 2);
  for (std::size_t i = 0; i < u.size(); ++i)
    u[i] = sequence.at(base, block == 1 || block == 2 + i ? u.size() + i : i);
}

std::vector<Effect> effects(const Eigen::Ref<const Eigen::ArrayXXd>& outputs,
                            const Bootstrap& bootstrap) {
  check(outputs, bootstrap);
  const auto inputs = static_cast<std::size_t>(outputs.cols() - 2);
  std::vector<Effect> found(inputs);
  if (outputs.leftCols(2).minCoeff() == outputs.leftCols(2).maxCoeff()) return found;
  const Eigen::MatrixXd terms = terms_of(outputs);
  const Eigen::VectorXd means = terms.colwise().mean();
  const double full = variance(means);
  Eigen::MatrixXd replicates(bootstrap.replicates, 2 * inputs);
  for (Eigen::Index r = 0; r < replicates.rows(); ++r) {
    const Eigen::VectorXd drawn = resampled(terms, bootstrap.seed, static_cast<std::uint64_t>(r));
    const double v = variance(drawn);
    replicates.row(r).setZero();
    if (v > kNoVariance * full) replicates.row(r) = drawn.head(replicates.cols()) / v;
  }
  for (std::size_t i = 0; i < inputs; ++i) {
    const auto first = static_cast<Eigen::Index>(i), total = static_cast<Eigen::Index>(inputs + i);
    found[i] = {means(first) / full, means(total) / full,
                range(replicates.col(first), bootstrap.confidence),
                range(replicates.col(total), bootstrap.confidence)};
  }
  return found;
}

}  // namespace cabinload::study
