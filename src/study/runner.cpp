// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <atomic>
#include <cabinload/study/runner.hpp>
#include <exception>
#include <thread>

namespace cabinload::study {
namespace {

/// Calls `one(i)` for i in 0..n-1 on threads; rethrows what the first failing case threw.
template <class One>
void on_threads(std::size_t n, unsigned threads, One one) {
  std::vector<std::exception_ptr> failures(n);
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < n; i = next++) {
      try {
        one(i);
      } catch (...) {
        failures[i] = std::current_exception();
      }
    }
  };
  if (threads == 0) threads = std::max(1U, std::thread::hardware_concurrency());
  const std::size_t helpers = std::min<std::size_t>(threads, n);
  std::vector<std::thread> pool;
  for (std::size_t i = 1; i < helpers; ++i) pool.emplace_back(work);
  work();
  for (std::thread& thread : pool) thread.join();
  for (const std::exception_ptr& failure : failures)
    if (failure) std::rethrow_exception(failure);
}

}  // namespace

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
