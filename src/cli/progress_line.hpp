// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <chrono>
#include <cstdio>

namespace cabinload::cli {

/// A line of progress on a terminal once a run takes more than a second; gone when the run is over.
class ProgressLine {
 public:
  explicit ProgressLine(bool wanted) : wanted_(wanted), start_(std::chrono::steady_clock::now()) {}
  ~ProgressLine() {
    if (shown_) std::fputs("\r                    \r", stderr);
  }
  ProgressLine(const ProgressLine&) = delete;
  ProgressLine& operator=(const ProgressLine&) = delete;
  void show(double share_1) {
    if (!wanted_ || std::chrono::steady_clock::now() - start_ < std::chrono::seconds(1)) return;
    std::fprintf(stderr, "\rsimulating %3.0f %%", 100 * share_1);
    shown_ = true;
  }

 private:
  bool wanted_, shown_ = false;
  std::chrono::steady_clock::time_point start_;
};

}  // namespace cabinload::cli
