// SPDX-License-Identifier: Apache-2.0
// A step of a bank of cells and of a whole supply: a year of minutes, processor time. Prints JSON.
#include <algorithm>
#include <cabinload/power/supply.hpp>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <vector>

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
double supply_year() {
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
    sink += s.step(ask, around, 60).state_of_charge_1;
  }
  return sink;
}

}  // namespace

int main(int argc, char** argv) {
  const int repetitions = argc > 1 ? std::atoi(argv[1]) : 9;
  std::vector<double> times[2];
  double sink = 0;
  for (int r = 0; r < repetitions; ++r)
    for (int which = 0; which < 2; ++which) {
      const std::clock_t start = std::clock();
      sink += which == 0 ? bank_year() : supply_year();
      times[which].push_back(static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
    }
  for (int which = 0; which < 2; ++which) {
    std::vector<double>& t = times[which];
    std::sort(t.begin(), t.end());
    std::printf(
        "{\"bench\": \"supply\", \"of\": \"%s\", \"steps\": %d, \"repetitions\": %d, "
        "\"ns_per_step\": {\"median\": %.1f, \"least\": %.1f, \"most\": %.1f}, \"sink\": %.1f}\n",
        which == 0 ? "bank" : "supply", kSteps, repetitions, 1e9 * t[t.size() / 2] / kSteps,
        1e9 * t.front() / kSteps, 1e9 * t.back() / kSteps, sink);
  }
  return 0;
}
