// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <algorithm>
#include <atomic>
#include <cstddef>
#include <exception>
#include <thread>
#include <vector>

namespace cabinload::study {

/// @param threads  0: as many as the machine has cores
inline unsigned threads_or_cores(unsigned threads) {
  return threads > 0 ? threads : std::max(1U, std::thread::hardware_concurrency());
}

/// Calls `one(i)` for i in 0..n-1 on threads; rethrows what the first failing case threw. After a
/// failure no other case begins; those before it have begun already.
template <class One>
void on_threads(std::size_t n, unsigned threads, One one) {
  std::vector<std::exception_ptr> failures(n);
  std::atomic<std::size_t> next{0};
  std::atomic<bool> failed{false};
  const auto work = [&] {
    while (!failed) {
      const std::size_t i = next++;
      if (i >= n) break;
      try {
        one(i);
      } catch (...) {
        failures[i] = std::current_exception();
        failed = true;
      }
    }
  };
  const std::size_t helpers = std::min<std::size_t>(threads_or_cores(threads), n);
  std::vector<std::thread> pool;
  for (std::size_t i = 1; i < helpers; ++i) pool.emplace_back(work);
  work();
  for (std::thread& thread : pool) thread.join();
  for (const std::exception_ptr& failure : failures)
    if (failure) std::rethrow_exception(failure);
}

}  // namespace cabinload::study
