// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/weather/series.hpp>
#include <memory>
#include <span>
#include <vector>

namespace cabinload::study {

/// One vehicle in its climate, and the day about which failures are tried.
struct PeakAsk {
  std::shared_ptr<const scenario::Scenario> scenario;  ///< without an animal: an ordinary dog
  std::shared_ptr<const weather::Series> weather;
  int day = 0;  ///< counted from the weather's first day
};

/// The fewest minutes from any failure of the cooling at any hour of answers::kPeakDays to the
/// animal's limit; infinite: not within 4 h. The model of `pets`, uncertain numbers on the side
/// that shortens the minutes; only those days, so that many vehicles can be laid side by side.
/// Hours elsewhere in the year may be shorter.
/// @param threads  0: as many as the machine has cores; the same bits whatever their number
/// @throws what simulation::failures throws
[[nodiscard]] std::vector<double> fewest_minutes(std::span<const PeakAsk> asks,
                                                 unsigned threads = 0);

}  // namespace cabinload::study
