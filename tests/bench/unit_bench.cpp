// SPDX-License-Identifier: Apache-2.0
// A step of the cooling unit (what it can give, what it does) beside a step of the demo van's
// network, interleaved in one run, processor time. Prints JSON.
#include <cabinload/core/constants.hpp>
#include <cabinload/unit/machine.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cstdio>
#include <cstdlib>
#include <vector>

#include "bench/timings.hpp"
#include "support/sample_cabin.hpp"

namespace core = cabinload::core;
namespace network = cabinload::network;
namespace unit = cabinload::unit;
namespace test = cabinload::test;

namespace {

constexpr int kSteps = 200000;

/// States of a summer's nights: humidity, outdoors and demand wander; `share` of the steps ask.
double unit_steps(const unit::Machine& machine, double low_W, double high_W) {
  unit::State state;
  double sink = 0;
  for (int i = 0; i < kSteps; ++i) {
    const double wave = static_cast<double>(i % 600) / 600;
    unit::Inlet in;
    in.T_cabin_K = core::to_kelvin(24) + wave;
    in.W_cabin_1 = 0.007 + 0.007 * wave;
    in.T_out_K = core::to_kelvin(22) + 14 * wave;
    in.second_of_day = 80000;
    unit::Demand demand;
    demand.net_W = low_W + (high_W - low_W) * wave;
    const unit::Offer offer = machine.offer(in, true, state, 60);
    sink += machine.deliver(offer, demand, state, 60).electric_W;
  }
  return sink;
}

double network_steps(const network::Cabin& cabin, const std::vector<network::Drive<1>>& drives) {
  network::Stepper<1> stepper(std::span(&cabin, 1), 60);
  for (int i = 0; i < kSteps; ++i) {
    const auto& drive = drives[static_cast<std::size_t>(i) % drives.size()];
    (void)stepper.prepare(drive);
    stepper.finish(drive, network::Lane<1>::Constant(-500));
  }
  return stepper.T_air_K()[0];
}

}  // namespace

int main(int argc, char** argv) {
  const int repetitions = argc > 1 ? std::atoi(argv[1]) : 9;
  unit::Settings settings;
  settings.T_set_K = core::to_kelvin(24);
  const unit::Machine machine(unit::built_in().at(2), settings);
  const network::Cabin cabin = network::assemble(cabinload::vehicle::make({}));
  std::vector<network::Drive<1>> drives;
  for (double t_s = 0; t_s < 86400; t_s += 60) {
    drives.emplace_back(cabin.chains.size());
    test::sample_drive(cabin, t_s, drives.back());
  }
  const char* names[] = {"network", "unit, modulating", "unit, cycling"};
  test::Timings times[3];
  double sink = 0;
  for (int r = 0; r < repetitions; ++r)
    for (int which = 0; which < 3; ++which)
      times[which].time([&] {
        sink += which == 0   ? network_steps(cabin, drives)
                : which == 1 ? unit_steps(machine, 900, 1900)
                             : unit_steps(machine, 50, 600);
      });
  for (int which = 0; which < 3; ++which) {
    const auto& t = times[which];
    std::printf(
        "{\"bench\": \"unit\", \"of\": \"%s\", \"steps\": %d, \"repetitions\": %d, "
        "\"ns_per_step\": {\"median\": %.1f, \"least\": %.1f, \"most\": %.1f}, "
        "\"over_network\": %.3f, \"sink\": %.1f}\n",
        names[which], kSteps, repetitions, 1e9 * t.at(0.5) / kSteps, 1e9 * t.at(0) / kSteps,
        1e9 * t.at(1) / kSteps, t.at(0.5) / times[0].at(0.5), sink);
  }
  return 0;
}
