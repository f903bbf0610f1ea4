// SPDX-License-Identifier: Apache-2.0
// A step of a bank of cells, of a whole supply, and of one asked first for the most that it gives
// the unit, beside a step of the demo van's network: a year of minutes, processor time. JSON.
#include <cabinload/network/stepper.hpp>
#include <cabinload/power/supply.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cstdio>
#include <cstdlib>
#include <vector>

#include "bench/timings.hpp"
#include "support/sample_cabin.hpp"

namespace network = cabinload::network;
namespace power = cabinload::power;

namespace {

constexpr int kSteps = 525600;

power::BankDescription bank() {
  power::BankDescription d = power::bank_of(power::Chemistry::lfp, 2.4 * 3.6e6, 48);
  d.standby_W = 3;
  d.start_1 = 0.6;
  return d;
}

/// A load by half hours, charging in between.
double bank_year() {
  power::Bank b(bank());
  double sink = 0;
  for (int i = 0; i < kSteps; ++i) {
    const bool load = i / 30 % 2 == 0;
    sink += b.step(load ? 300.0 : 0.0, load ? 0.0 : 300.0, 298.15, 60).terminal_V;
  }
  return sink;
}

/// All sources, a converter and an inverter.
/// @param ask_most  before each step, as a run does while the unit is scheduled
double supply_year(bool ask_most) {
  power::SupplyDescription d;
  d.bank = bank();
  d.to_unit = power::dc_converter_of(700);
  d.inverter = power::inverter_of(1500);
  d.panels.emplace().stc_W = 300;
  d.alternator = power::Alternator{20, 0, 0.9};
  d.shore.emplace().hours = cabinload::core::DaySchedule::parse("18:00-08:00");
  d.shore->charger_W = 300;
  power::Supply s(d);
  power::Around around;
  double sink = 0;
  for (int i = 0; i < kSteps; ++i) {
    const int minute = i % 1440;
    around.second_of_day = minute * 60.0;
    around.panel_irradiance_W_m2 = minute > 400 && minute < 1000 ? 500 : 0;
    around.driving = minute > 900 && minute < 960;
    const power::Ask ask{i % 40 < 20 ? 350.0 : 0.0, 20, i % 600 < 10 ? 500.0 : 0.0};
    if (ask_most) sink += s.most_unit_W(ask, around, 60);
    sink += s.step(ask, around, 60).state_of_charge_1;
  }
  return sink;
}

/// The network's kernel alone, with drives made beforehand.
class CabinYear {
 public:
  CabinYear() : stepper_(std::span(&cabin_, 1), 60) {
    for (int minute = 0; minute < 1440; ++minute) {
      drives_.emplace_back(cabin_.chains.size());
      cabinload::test::sample_drive(cabin_, minute * 60.0, drives_.back());
    }
  }
  double run() {
    for (int i = 0; i < kSteps; ++i) {
      const auto& drive = drives_[static_cast<std::size_t>(i % 1440)];
      (void)stepper_.prepare(drive);
      stepper_.finish(drive, network::Lane<1>::Constant(i % 90 < 45 ? -1200.0 : 25.0));
    }
    return stepper_.T_air_K()[0];
  }

 private:
  network::Cabin cabin_ = network::assemble(cabinload::vehicle::make({}));
  network::Stepper<1> stepper_;
  std::vector<network::Drive<1>> drives_;
};

}  // namespace

int main(int argc, char** argv) {
  const int repetitions = argc > 1 ? std::atoi(argv[1]) : 9;
  constexpr const char* kOf[] = {"bank", "supply", "supply, most asked", "cabin"};
  constexpr int kCabin = 3;
  cabinload::test::Timings times[kCabin + 1];
  CabinYear cabin;
  double sink = 0;
  for (int r = 0; r < repetitions; ++r)
    for (int which = 0; which <= kCabin; ++which)
      times[which].time([&] {
        sink += which == kCabin ? cabin.run() : which == 0 ? bank_year() : supply_year(which == 2);
      });
  for (int which = 0; which <= kCabin; ++which) {
    const auto& t = times[which];
    std::printf(
        "{\"bench\": \"supply\", \"of\": \"%s\", \"steps\": %d, \"repetitions\": %d, "
        "\"ns_per_step\": {\"median\": %.1f, \"least\": %.1f, \"most\": %.1f}, "
        "\"over_cabin\": %.3f, \"sink\": %.1f}\n",
        kOf[which], kSteps, repetitions, 1e9 * t.at(0.5) / kSteps, 1e9 * t.at(0) / kSteps,
        1e9 * t.at(1) / kSteps, t.at(0.5) / times[kCabin].at(0.5), sink);
  }
  return 0;
}
