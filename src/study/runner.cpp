// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <atomic>
#include <cabinload/study/runner.hpp>
#include <exception>
#include <thread>

namespace cabinload::study {

std::vector<simulation::Trace> run(std::span<const Case> cases, unsigned threads) {
  std::vector<simulation::Trace> traces(cases.size());
  std::vector<std::exception_ptr> failures(cases.size());
  std::atomic<std::size_t> next{0};
  const auto work = [&] {
    for (std::size_t i = next++; i < cases.size(); i = next++) {
      try {
        const Case& c = cases[i];
        traces[i] = simulation::run(*c.cabin, *c.forcing, *c.scenario, c.options);
      } catch (...) {
        failures[i] = std::current_exception();
      }
    }
  };
  if (threads == 0) threads = std::max(1U, std::thread::hardware_concurrency());
  const std::size_t helpers = std::min<std::size_t>(threads, cases.size());
  std::vector<std::thread> pool;
  for (std::size_t i = 1; i < helpers; ++i) pool.emplace_back(work);
  work();
  for (std::thread& thread : pool) thread.join();
  for (const std::exception_ptr& failure : failures)
    if (failure) std::rethrow_exception(failure);
  return traces;
}

}  // namespace cabinload::study
