// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/network/lanes.hpp>
#include <cabinload/study/runner.hpp>
#include <numeric>

#include "on_threads.hpp"

namespace cabinload::study {

namespace {

/// Steps of a case, for the order in which they are run; none of one that cannot be.
double steps_of(const Case& c) try {
  const scenario::Scenario& s = *c.scenario;
  const double days =
      c.options.window
          ? c.options.window->hours / 24
          : simulation::nights_of(s.night, c.forcing->hours, c.forcing->first_day).count;
  return (days + s.start.warm_up_days) /
         (!c.options.unit_enabled && simulation::idles(s, c.options) ? s.idle_step_s : s.step_s);
} catch (const core::Error&) {
  return 0;
}

/// Cases that step together: as many as a register has lanes, the longest first and those of one
/// length side by side; no more than leaves every thread some. Two alone are faster than two in
/// four lanes.
std::vector<std::vector<std::size_t>> groups_of(std::span<const Case> cases, unsigned threads) {
  std::vector<double> steps;
  for (const Case& c : cases) steps.push_back(steps_of(c));
  std::vector<std::size_t> order(cases.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return steps[a] > steps[b]; });
  const std::size_t lanes = network::widest() == network::InstructionSet::avx512 ? 8 : 4;
  const std::size_t fair = (cases.size() + threads - 1) / threads;
  std::vector<std::vector<std::size_t>> groups;
  for (std::size_t i = 0; i < order.size();) {
    std::size_t size = std::min({lanes, fair, order.size() - i});
    if (size < 3) size = 1;
    groups.emplace_back(order.begin() + static_cast<std::ptrdiff_t>(i),
                        order.begin() + static_cast<std::ptrdiff_t>(i + size));
    i += size;
  }
  return groups;
}

}  // namespace

std::vector<simulation::Result> run_each(std::span<const Case> cases, unsigned threads) {
  std::vector<simulation::Result> results(cases.size());
  const auto groups = groups_of(cases, threads_or_cores(threads));
  on_threads(groups.size(), threads, [&](std::size_t g) {
    std::vector<simulation::Job> jobs;
    for (const std::size_t i : groups[g])
      jobs.push_back({cases[i].cabin, cases[i].forcing, cases[i].scenario, &cases[i].options});
    std::vector<simulation::Result> together = simulation::run_together(jobs);
    for (std::size_t k = 0; k < together.size(); ++k)
      results[groups[g][k]] = std::move(together[k]);
  });
  return results;
}

std::vector<simulation::Trace> run(std::span<const Case> cases, unsigned threads) {
  std::vector<simulation::Trace> traces;
  for (simulation::Result& r : run_each(cases, threads)) {
    if (r.failure) std::rethrow_exception(r.failure);
    traces.push_back(std::move(r.trace));
  }
  return traces;
}

std::vector<simulation::Demand> demands(std::span<const DemandCase> cases, unsigned threads) {
  std::vector<simulation::Demand> results(cases.size());
  on_threads(cases.size(), threads, [&](std::size_t i) {
    const DemandCase& c = cases[i];
    results[i] = simulation::demand(*c.cabin, *c.forcing, *c.scenario, c.options);
  });
  return results;
}

std::vector<simulation::Failures> failures(std::span<const FailureCase> cases, unsigned threads) {
  std::vector<simulation::Failures> results(cases.size());
  on_threads(cases.size(), threads, [&](std::size_t i) {
    const FailureCase& c = cases[i];
    results[i] = simulation::failures(c.as_is, c.bare, *c.scenario, c.options);
  });
  return results;
}

}  // namespace cabinload::study
