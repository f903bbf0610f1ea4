// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <Eigen/Core>
#include <cabinload/study/sampling.hpp>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

/// Which input is worth measuring: the shares of an output's variance that go with each input.
/// Inputs must be independent. Every error is a core::RangeError.
namespace cabinload::study {

/// Runs that the indices need: `base` points times (inputs + 2).
[[nodiscard]] std::uint64_t saltelli_runs(std::uint64_t base, std::size_t inputs);

/// One run's point in (0, 1)^inputs. [Saltelli2010]
/// @param sequence  at least 2 * u.size() dimensions: A takes the first half, B the second
/// @param base      index of the base point
/// @param block     0: A, 1: B, 2 + i: A with input i from B
/// @param u         out, one number an input
void saltelli_point(const Sobol& sequence, std::uint64_t base, std::size_t block,
                    std::span<double> u);

/// Shares of the output's variance, 1: all of it. Estimates scatter and may fall below 0 or pass 1.
struct Effect {
  double first = 0;      ///< what knowing this input alone would take away [Saltelli2010, 2b]
  double total = 0;      ///< what is left when only this input is unknown [Jansen1999]
  Interval first_range;  ///< bootstrap percentiles
  Interval total_range;
};

/// How the ranges of the effects are drawn.
struct Bootstrap {
  std::size_t replicates = 1000;  ///< at least 20
  double confidence = 0.9;        ///< in (0, 1)
  std::uint64_t seed = 1;
};

/// One effect an input; all 0 when the output does not vary. Ranges are percentiles over
/// replicates that draw base points with replacement [Archer1997], as if those were independent:
/// the points of a Sobol sequence are more even, so their ranges are rather too wide.
/// @param outputs  one row a base point (at least 2), columns as the blocks of `saltelli_point`;
///                 all finite: leave out the whole row of a run that failed
[[nodiscard]] std::vector<Effect> effects(const Eigen::Ref<const Eigen::ArrayXXd>& outputs,
                                          const Bootstrap& bootstrap = {});

}  // namespace cabinload::study
