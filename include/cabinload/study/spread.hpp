// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/hold.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/weather/series.hpp>
#include <cstddef>
#include <functional>
#include <memory>
#include <span>
#include <vector>

/// What follows for an answer from the inputs that nobody knows exactly.
namespace cabinload::study {

/// Numbers 0..1 of van `index`, one for each of scenario::unknowns(): a Latin hypercube over the
/// samples. A van's numbers do not depend on what is switched off, nor on what is asked of it: two
/// options compared on the same vans differ by the option (common random numbers).
/// @param index  0 .. samples - 1
[[nodiscard]] std::vector<double> draw(const scenario::Uncertainty& uncertainty, std::size_t index);

/// The nights of one van.
struct DrawnNights {
  std::vector<bool> needs_cooling, held;  ///< of each night of the period
  double electric_Wh_median = 0;          ///< over those that need cooling; NaN when none
};

/// Some of the vans of scenario.uncertainty.
struct Vans {
  std::size_t first = 0, count = 0;  ///< first + count at most the samples
};

/// Runs these vans and tells how they fare, van by van; the same bits for any number of threads.
/// @param progress  called with vans done and vans; may be empty
/// @throws what simulation::run throws
[[nodiscard]] std::vector<DrawnNights> drawn_nights(
    const scenario::Scenario& scenario, const std::shared_ptr<const weather::Series>& weather,
    Vans which, const std::function<void(std::size_t done, std::size_t of)>& progress = {},
    unsigned threads = 0);
/// All of them.
[[nodiscard]] std::vector<DrawnNights> drawn_nights(
    const scenario::Scenario& scenario, const std::shared_ptr<const weather::Series>& weather,
    const std::function<void(std::size_t done, std::size_t of)>& progress = {},
    unsigned threads = 0);

/// Puts together what they say about an answer to the same scenario.
/// @param vans  at least one
[[nodiscard]] answers::HoldSpread spread_of(const answers::Hold& described,
                                            std::span<const DrawnNights> vans);

}  // namespace cabinload::study
