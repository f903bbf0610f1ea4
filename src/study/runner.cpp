// SPDX-License-Identifier: Apache-2.0
#include <cabinload/study/runner.hpp>

#include "on_threads.hpp"

namespace cabinload::study {

std::vector<simulation::Trace> run(std::span<const Case> cases, unsigned threads) {
  std::vector<simulation::Trace> traces(cases.size());
  on_threads(cases.size(), threads, [&](std::size_t i) {
    const Case& c = cases[i];
    traces[i] = simulation::run(*c.cabin, *c.forcing, *c.scenario, c.options);
  });
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
