// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <oneapi/tbb/global_control.h>
#include <oneapi/tbb/parallel_pipeline.h>
#include <oneapi/tbb/task_arena.h>

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

/// Calls `one(i)` for i in 0..n-1 on threads; rethrows what the first failing case threw. Cases
/// begin in order, so that after a failure no other begins and those before it have begun already.
template <class One>
void on_threads(std::size_t n, unsigned threads, One one) {
  std::vector<std::exception_ptr> failures(n);
  std::size_t next = 0;
  std::atomic<bool> failed{false};
  const auto in_order = [&](tbb::flow_control& list) -> std::size_t {
    if (failed || next == n) list.stop();
    return next++;
  };
  const auto work = [&](std::size_t i) {
    try {
      one(i);
    } catch (...) {
      failures[i] = std::current_exception();
      failed = true;
    }
  };
  const unsigned workers = threads_or_cores(threads);
  // More threads than cores, where somebody asks for them: without this the library warns on
  // stderr.
  const tbb::global_control allowed(tbb::global_control::max_allowed_parallelism, workers);
  tbb::task_arena(static_cast<int>(workers)).execute([&] {
    tbb::parallel_pipeline(
        workers, tbb::make_filter<void, std::size_t>(tbb::filter_mode::serial_in_order, in_order) &
                     tbb::make_filter<std::size_t, void>(tbb::filter_mode::parallel, work));
  });
  for (const std::exception_ptr& failure : failures)
    if (failure) std::rethrow_exception(failure);
}

}  // namespace cabinload::study
