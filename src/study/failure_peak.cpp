// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/answers/pets.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/simulation/failures.hpp>
#include <cabinload/study/failure_peak.hpp>
#include <cabinload/weather/stretch.hpp>

#include "on_threads.hpp"

namespace cabinload::study {
namespace {

/// Before and after the days: the ground's temperature and the run's warm-up; the longest branch.
constexpr int kBefore_days = 8, kAfter_days = 1;
/// Most cabins are at the limit this soon, and then longer branches say nothing new.
constexpr double kSoon_s = 900;

/// Of all failures and hours, looked for no further than needed.
FailurePeak peak_of(const simulation::World& as_is, const simulation::World& bare,
                    const scenario::Scenario& taken, simulation::FailureOptions options) {
  FailurePeak peak;
  peak.fewest_min = simulation::kNever_min;
  for (const double longest_s : {kSoon_s, options.longest_s}) {
    options.longest_s = longest_s;
    const simulation::Failures f = simulation::failures(as_is, bare, taken, options);
    for (const std::vector<double>& minutes : f.minutes)
      peak.fewest_min =
          std::min(peak.fewest_min, *std::min_element(minutes.begin(), minutes.end()));
    peak.cabin_peak_K = f.peak_K;
    peak.margin_K = -f.worst_excess_K;
    if (60 * peak.fewest_min <= longest_s) break;
  }
  return peak;
}

FailurePeak peak_of(const scenario::Scenario& taken, const weather::Series& year,
                    const simulation::Nights& days) {
  const int before = std::max(kBefore_days, taken.start.warm_up_days + 4);
  const weather::Series weather =
      weather::stretch(year, days.first - before, before + days.count + kAfter_days);
  const bool cut = weather.hours() < year.hours();
  const forcing::Forcing sun = forcing::make(weather, taken.site, taken.vehicle);
  const network::Cabin cabin = network::assemble(taken.vehicle);
  const simulation::World as_is{&cabin, &sun};
  const simulation::FailureOptions options =
      answers::pets_options(taken, simulation::Nights{cut ? before : days.first, days.count});
  const auto without = answers::pets_bare(taken);
  if (!without) return peak_of(as_is, as_is, taken, options);
  const forcing::Forcing bare_sun = forcing::make(weather, without->site, without->vehicle);
  const network::Cabin bare_cabin = network::assemble(without->vehicle);
  return peak_of(as_is, {&bare_cabin, &bare_sun}, taken, options);
}

FailurePeak peak_of(const PeakAsk& ask) {
  scenario::Scenario with_animal = *ask.scenario;
  answers::add_animal(with_animal);
  const scenario::Scenario taken = answers::pets_scenario(with_animal);
  FailurePeak worst = peak_of(taken, *ask.weather, ask.days.front());
  for (const simulation::Nights& days : std::span(ask.days).subspan(1)) {
    const FailurePeak peak = peak_of(taken, *ask.weather, days);
    worst.fewest_min = std::min(worst.fewest_min, peak.fewest_min);
    worst.cabin_peak_K = std::max(worst.cabin_peak_K, peak.cabin_peak_K);
    worst.margin_K = std::min(worst.margin_K, peak.margin_K);
  }
  return worst;
}

}  // namespace

std::vector<FailurePeak> failure_peaks(std::span<const PeakAsk> asks, unsigned threads) {
  std::vector<FailurePeak> peaks(asks.size());
  on_threads(asks.size(), threads, [&](std::size_t i) { peaks[i] = peak_of(asks[i]); });
  return peaks;
}

}  // namespace cabinload::study
