// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/run.hpp>
#include <cabinload/weather/series.hpp>
#include <memory>
#include <span>
#include <vector>

namespace cabinload::study {

/// One vehicle in its climate, and the days on which failures are tried.
struct PeakAsk {
  std::shared_ptr<const scenario::Scenario> scenario;  ///< without an animal: an ordinary dog
  std::shared_ptr<const weather::Series> weather;
  std::vector<simulation::Nights>
      days;  ///< stretches of whole days, counted from the weather's first; at
  ///< least one
};

/// What all those days leave.
struct FailurePeak {
  double fewest_min = 0;    ///< from any failure of the cooling to the limit; infinite: not in 4 h
  double cabin_peak_K = 0;  ///< of the air, the unit running
  double margin_K = 0;      ///< the unit running, to the strictest line; negative: passed
};

/// Any failure of the cooling at any hour of the days. The model of `pets`, uncertain numbers on
/// the side that shortens the minutes; only those days, so that many vehicles can be laid side by
/// side. Hours elsewhere in the year may be shorter.
/// @param threads  0: as many as the machine has cores; the same bits whatever their number
/// @throws what simulation::failures throws
[[nodiscard]] std::vector<FailurePeak> failure_peaks(std::span<const PeakAsk> asks,
                                                     unsigned threads = 0);

}  // namespace cabinload::study
