// SPDX-License-Identifier: Apache-2.0
// Processor time of repetitions, for benchmarks.
#pragma once
#include <algorithm>
#include <ctime>
#include <vector>

namespace cabinload::test {

/// Of the whole process, all threads.
inline double processor_s() {
  timespec t{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return static_cast<double>(t.tv_sec) + 1e-9 * static_cast<double>(t.tv_nsec);
}

struct Timings {
  std::vector<double> seconds;
  template <class Work>
  void time(Work work) {
    const double start = processor_s();
    work();
    seconds.push_back(processor_s() - start);
  }
  /// Of the sorted repetitions: 0.5 the median.
  [[nodiscard]] double at(double share) const {
    auto sorted = seconds;
    std::sort(sorted.begin(), sorted.end());
    return sorted[static_cast<std::size_t>(share * static_cast<double>(sorted.size() - 1))];
  }
};

}  // namespace cabinload::test
