// SPDX-License-Identifier: Apache-2.0
// Lanes 1, 4 and 8 of the step kernel for each instruction set, beside its counted arithmetic at
// the rate at which this machine multiplies and adds in the same minutes; lanes 1, 4 and 8 of whole
// runs (unit and power) of a Tucson summer; a list of cases on one and two threads. Processor time
// (threads: the clock), repetitions interleaved. Prints JSON, one line each.
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/study/runner.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <string>

#include "bench/counted_kernel.hpp"
#include "bench/multiply_add.hpp"
#include "bench/timings.hpp"
#include "support/sample_cabin.hpp"

namespace network = cabinload::network;
namespace scenario = cabinload::scenario;
namespace simulation = cabinload::simulation;
namespace study = cabinload::study;
namespace test = cabinload::test;
namespace weather = cabinload::weather;
using test::Timings;

namespace {

/// L lanes of the demo van through made-up days, each lane the same; sun set anew every 10 min.
template <int L>
class Kernel {
 public:
  template <class How>
  explicit Kernel(How how)
      : cabin_(network::assemble(cabinload::vehicle::make({}))),
        stepper_(std::vector<const network::Cabin*>(L, &cabin_), std::vector<double>(L, 60.0),
                 how) {
    network::Drive<1> one(cabin_.chains.size());
    for (double t_s = 0; t_s < 86400; t_s += 600) {
      test::sample_drive(cabin_, t_s, one);
      network::Drive<L>& all = drives_.emplace_back(cabin_.chains.size());
      all.T_out_K = one.T_out_K[0];
      all.T_sky_K = one.T_sky_K[0];
      all.T_ground_K = one.T_ground_K[0];
      all.T_under_K = one.T_under_K[0];
      all.film_wind_W_m2K = one.film_wind_W_m2K[0];
      all.exchange_W_K = one.exchange_W_K[0];
      all.mixing_W_m2K = one.mixing_W_m2K[0];
      all.air_W = one.air_W[0];
      all.radiant_W = one.radiant_W[0];
      for (std::size_t c = 0; c < one.at.size(); ++c) {
        all.at[c].outer_W = one.at[c].outer_W[0];
        all.at[c].inner_W = one.at[c].inner_W[0];
        all.at[c].inside_cover_m2K_W = one.at[c].inside_cover_m2K_W[0];
      }
    }
  }
  void day() {
    const auto W = network::Lane<L>::Constant(-300.0).eval();
    for (network::Drive<L>& drive : drives_)
      for (int i = 0; i < 10; ++i) {
        drive.at_changed = i == 0;
        (void)stepper_.prepare(drive);
        stepper_.finish(drive, W);
      }
  }
  static constexpr double kSteps = 1440.0 * L;

 private:
  network::Cabin cabin_;
  network::Stepper<L> stepper_;
  std::vector<network::Drive<L>> drives_;
};

void kernels(int repetitions) {
  Kernel<4> counted(network::detail::counted::kernel<4>());
  counted.day();
  const double per_step = static_cast<double>(test::operations.arithmetic()) / Kernel<4>::kSteps;
  const double divides = static_cast<double>(test::operations.divides) / Kernel<4>::kSteps;
  constexpr long kRounds = 400000;
  std::map<std::string, Timings> ns;
  Timings rate;
  double sink = 0;
  for (int r = 0; r < repetitions; ++r) {
    rate.time([&] { sink += test::multiply_adds(kRounds); });
    for (const network::InstructionSet set : network::instruction_sets()) {
      const std::string name(network::name_of(set));
      Kernel<1> one(set);
      Kernel<4> four(set);
      Kernel<8> eight(set);
      const auto time = [&](auto& kernel, const char* lanes) {
        kernel.day();
        ns[name + lanes].time([&] {
          for (int k = 0; k < 5; ++k) kernel.day();
        });
        ns[name + lanes].seconds.back() *= 1e9 / (5 * kernel.kSteps);
      };
      time(one, "_1");
      time(four, "_4");
      time(eight, "_8");
    }
  }
  const double flops_ns = 2 * kRounds * test::kMultiplyAddsPerRound / (rate.at(0.5) * 1e9);
  const double limit_ns = per_step / flops_ns;
  std::printf(
      "{\"bench\": \"lanes_kernel\", \"repetitions\": %d, \"operations_per_step\": %.0f, "
      "\"divides_of_them\": %.0f, \"multiply_add_Gflop_s\": %.1f, \"limit_ns_per_step\": %.1f",
      repetitions, per_step, divides, flops_ns, limit_ns);
  for (const auto& [name, t] : ns)
    std::printf(
        ", \"%s\": {\"ns_per_lane_step\": %.1f, \"p10\": %.1f, \"p90\": %.1f, "
        "\"over_limit\": %.2f}",
        name.c_str(), t.at(0.5), t.at(0.1), t.at(0.9), t.at(0.5) / limit_ns);
  std::printf(", \"sink\": %.3g}\n", sink);
}

/// Cases that differ in their numbers, in the shell's thickness and in the unit's set point.
struct Cases {
  weather::Series series = weather::read(weather::shipped_folder() + "/722740TYA.CSV");
  std::vector<scenario::Scenario> scenarios;
  std::vector<network::Cabin> cabins;
  cabinload::forcing::Forcing forcing;
  std::vector<study::Case> list;

  Cases(int count, const char* to, bool unit) {
    for (int i = 0; i < count; ++i) {
      scenarios.push_back(scenario::read(
          "", {{"vehicle.leakage_area", std::to_string(20 + i % 17) + " cm2"},
               {"vehicle.insulation", i % 2 == 0 ? "thin" : "good"},
               {"night.from", "06-01"},
               {"night.to", to},
               {"unit.set_point", std::to_string(22.0 + 0.1 * (i % 13)) + " degC"}}));
      cabins.push_back(network::assemble(scenarios.back().vehicle));
    }
    forcing = cabinload::forcing::make(series, scenarios[0].site, scenarios[0].vehicle);
    simulation::Options options;
    options.unit_enabled = unit;
    for (int i = 0; i < count; ++i) {
      const auto k = static_cast<std::size_t>(i);
      list.push_back({"", &cabins[k], &forcing, &scenarios[k], options});
    }
  }
};

void whole_runs(int repetitions, bool unit) {
  const Cases cases(8, "07-15", unit);
  std::vector<simulation::Job> jobs;
  for (const study::Case& c : cases.list)
    jobs.push_back({c.cabin, c.forcing, c.scenario, &c.options});
  Timings by[3];
  double steps = 0, different = 0;
  for (int r = 0; r < repetitions; ++r) {
    std::vector<simulation::Trace> alone;
    by[0].time([&] {
      for (const simulation::Job& job : jobs)
        alone.push_back(std::move(simulation::run_together(std::span(&job, 1))[0].trace));
    });
    std::vector<simulation::Result> four, eight;
    by[1].time([&] {
      four = simulation::run_together(std::span(jobs).first(4));
      for (auto& x : simulation::run_together(std::span(jobs).last(4)))
        four.push_back(std::move(x));
    });
    by[2].time([&] { eight = simulation::run_together(jobs); });
    for (std::size_t i = 0; i < alone.size(); ++i)
      different += (alone[i].hourly.T_air_mean_K == four[i].trace.hourly.T_air_mean_K ? 0 : 1) +
                   (alone[i].hourly.T_air_mean_K == eight[i].trace.hourly.T_air_mean_K ? 0 : 1);
    steps = static_cast<double>(alone[0].steps * alone.size());
  }
  const double one = by[0].at(0.5);
  std::printf(
      "{\"bench\": \"lanes_runs\", \"unit\": %s, \"repetitions\": %d, \"not_bit_equal\": %.0f, "
      "\"ns_per_lane_step\": {\"1\": %.1f, \"4\": %.1f, \"8\": %.1f}, "
      "\"ratio_to_one_lane\": {\"4\": %.2f, \"8\": %.2f}}\n",
      unit ? "true" : "false", repetitions, different, one / steps * 1e9,
      by[1].at(0.5) / steps * 1e9, by[2].at(0.5) / steps * 1e9, one / by[1].at(0.5),
      one / by[2].at(0.5));
}

void threads(int repetitions) {
  using Clock = std::chrono::steady_clock;
  const Cases cases(64, "06-20", true);
  Timings by[2];
  for (int r = 0; r < repetitions; ++r)
    for (const unsigned n : {1U, 2U}) {
      const auto start = Clock::now();
      (void)study::run(cases.list, n);
      by[n - 1].seconds.push_back(std::chrono::duration<double>(Clock::now() - start).count());
    }
  std::printf(
      "{\"bench\": \"threads\", \"cases\": %zu, \"repetitions\": %d, \"seconds\": {\"1\": %.2f, "
      "\"2\": %.2f}, \"efficiency\": %.3f}\n",
      cases.list.size(), repetitions, by[0].at(0.5), by[1].at(0.5),
      by[0].at(0.5) / (2 * by[1].at(0.5)));
}

}  // namespace

int main(int argc, char** argv) {
  const int repetitions = argc > 1 ? std::atoi(argv[1]) : 9;
  kernels(repetitions);
  whole_runs(repetitions, false);
  whole_runs(repetitions, true);
  threads(repetitions);
  return 0;
}
