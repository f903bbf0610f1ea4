// SPDX-License-Identifier: Apache-2.0
// A year of 60 s steps of one cabin: lane kernel (one lane) against a dense LU of the same network,
// side by side in one run, repetitions interleaved, processor time. Prints JSON: medians, spread,
// ratio, difference in kelvin.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <vector>

#include <cabinload/vehicle/catalogue.hpp>
#include "bench/timings.hpp"
#include "support/dense_network.hpp"
#include "support/sample_cabin.hpp"

namespace network = cabinload::network;
namespace test = cabinload::test;
using network::Lane;
using test::Timings;

namespace {

double unit_W(double t_s) {
  return std::fmod(t_s, 5400.0) < 2700.0 ? -1200.0 : 25.0;
}

/// Drives made beforehand, one a step of a day, so that only stepping is timed.
std::vector<network::Drive<1>> a_day(const network::Cabin& cabin, double dt_s) {
  std::vector<network::Drive<1>> drives;
  for (double t_s = 0; t_s < 86400; t_s += dt_s) {
    drives.emplace_back(cabin.chains.size());
    test::sample_drive(cabin, t_s, drives.back());
  }
  return drives;
}

}  // namespace

int main(int argc, char** argv) {
  const int days = argc > 1 ? std::atoi(argv[1]) : 365;
  const int repetitions = argc > 2 ? std::atoi(argv[2]) : 9;
  constexpr double kStep_s = 60;
  const network::Cabin cabin = network::assemble(cabinload::vehicle::make({}));
  const auto drives = a_day(cabin, kStep_s);

  // Difference first: both over the whole time.
  network::Stepper<1> stepper(std::span(&cabin, 1), kStep_s);
  test::DenseNetwork dense(cabin, kStep_s);
  double squares = 0, worst_K = 0;
  long steps = 0;
  for (int day = 0; day < days; ++day)
    for (const auto& drive : drives) {
      const double W = unit_W(static_cast<double>(steps) * kStep_s);
      (void)stepper.prepare(drive);
      stepper.finish(drive, Lane<1>::Constant(W));
      dense.step(drive, W);
      const double d = stepper.T_air_K()[0] - dense.T_air_K();
      squares += d * d;
      worst_K = std::max(worst_K, std::abs(d));
      ++steps;
    }

  // Speed: a day of each in turn; the dense one is too slow for a year in every repetition.
  Timings lane, lu;
  double sink = 0;
  constexpr int kLaneDays = 20;
  for (int r = 0; r < repetitions; ++r) {
    lane.time([&] {
      for (int day = 0; day < kLaneDays; ++day)
        for (std::size_t i = 0; i < drives.size(); ++i) {
          (void)stepper.prepare(drives[i]);
          stepper.finish(drives[i], Lane<1>::Constant(unit_W(static_cast<double>(i) * kStep_s)));
        }
    });
    lane.seconds.back() /= kLaneDays;
    sink += stepper.T_air_K()[0];
    lu.time([&] {
      for (std::size_t i = 0; i < drives.size(); ++i)
        dense.step(drives[i], unit_W(static_cast<double>(i) * kStep_s));
    });
    sink += dense.T_air_K();
  }
  std::printf(
      "{\"bench\": \"step_kernel\", \"nodes\": %zu, \"chains\": %zu, \"steps_compared\": %ld, "
      "\"rms_K\": %.3g, \"worst_K\": %.3g, \"repetitions\": %d, "
      "\"lane_ns_per_step\": {\"median\": %.1f, \"p10\": %.1f, \"p90\": %.1f}, "
      "\"dense_ns_per_step\": {\"median\": %.1f, \"p10\": %.1f, \"p90\": %.1f}, "
      "\"ratio\": %.1f, \"sink\": %.3f}\n",
      cabin.nodes(), cabin.chains.size(), steps, std::sqrt(squares / static_cast<double>(steps)),
      worst_K, repetitions, lane.at(0.5) / 1440 * 1e9, lane.at(0.1) / 1440 * 1e9,
      lane.at(0.9) / 1440 * 1e9, lu.at(0.5) / 1440 * 1e9, lu.at(0.1) / 1440 * 1e9,
      lu.at(0.9) / 1440 * 1e9, lu.at(0.5) / lane.at(0.5), sink);
  return 0;
}
