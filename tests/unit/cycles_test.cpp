// SPDX-License-Identifier: Apache-2.0
// Real on and off: thermostat, minimum times, ramp, fan that runs on.
#include <cabinload/core/constants.hpp>
#include <cmath>
#include <vector>

#include "samples.hpp"
#include "support/catch.hpp"

namespace core = cabinload::core;
namespace test = cabinload::test;
namespace unit = cabinload::unit;
using core::to_kelvin;
using test::generic_unit;
using test::unit_inlet;
using test::unit_settings;

namespace {

struct Second {
  double T_K;
  unit::Delivered given;
  double speed_1;
};

/// A room of one capacity with a constant gain, cooled second by second.
std::vector<Second> play(const unit::Machine& machine, double gain_W, int seconds,
                         double start_degC = 27, double room_J_K = 1e5) {
  std::vector<Second> out;
  unit::State state;
  double T_K = to_kelvin(start_degC);
  for (int i = 0; i < seconds; ++i) {
    auto in = unit_inlet(25, 17, 33);
    in.T_cabin_K = T_K;
    const auto offer = machine.offer(in, true, state, 1);
    const auto g = machine.deliver_cycles(offer, T_K, 1e9, state, 1);
    T_K += (gain_W + g.fan_heat_W - g.sensible_W) / room_J_K;
    out.push_back({T_K, g, state.speed_1});
  }
  return out;
}

/// Lengths of whole runs and rests of the compressor.
void lengths(const std::vector<Second>& played, std::vector<int>& on, std::vector<int>& off) {
  int count = 0;
  bool first = true;
  for (std::size_t i = 1; i < played.size(); ++i) {
    const bool now = played[i].given.compressor_on_1 > 0;
    const bool before = played[i - 1].given.compressor_on_1 > 0;
    ++count;
    if (now == before) continue;
    if (!first) (before ? on : off).push_back(count);
    first = false;
    count = 0;
  }
}

}  // namespace

TEST_CASE("unit: a thermostat cycles within its differential", "[unit][property]") {
  auto d = generic_unit();
  d.minimum_speed_1 = 1;
  d.minimum_on_s = d.minimum_off_s = 0;
  const unit::Machine machine(d, unit_settings());
  const auto played = play(machine, 500, 6 * 3600);
  std::vector<int> on, off;
  lengths(played, on, off);
  REQUIRE(on.size() > 10);
  for (std::size_t i = 3600; i < played.size(); ++i) {
    CHECK(played[i].T_K < to_kelvin(24.5 + 0.3));  // capacity builds up after a start
    CHECK(played[i].T_K > to_kelvin(23.5 - 0.05));
  }
  // The load, on the mean.
  double net_W = 0;
  for (std::size_t i = 3600; i < played.size(); ++i)
    net_W += played[i].given.sensible_W - played[i].given.fan_heat_W;
  CHECK_RELATIVE(net_W / (5 * 3600), 500.0, 0.05);
}

TEST_CASE("unit: minimum times of run and rest hold", "[unit][property]") {
  auto d = generic_unit();
  d.minimum_speed_1 = 1;
  d.minimum_on_s = 240;
  d.minimum_off_s = 400;
  const unit::Machine machine(d, unit_settings());
  for (const double gain_W : {150.0, 900.0}) {
    std::vector<int> on, off;
    lengths(play(machine, gain_W, 4 * 3600, 27, 2e4), on, off);
    REQUIRE(on.size() > 3);
    for (const int s : on) CHECK(s >= 240);
    for (const int s : off) CHECK(s >= 400);
  }
}

TEST_CASE("unit: speed follows the load by the ramp, without inrush", "[unit][property]") {
  auto d = generic_unit();
  d.ramp_s = 60;
  const unit::Machine machine(d, unit_settings());
  const auto played = play(machine, 1200, 4 * 3600, 30);
  double highest_W = 0;
  for (std::size_t i = 1; i < 120; ++i) {
    const double step = played[i].speed_1 - played[i - 1].speed_1;
    CHECK(std::abs(step) <= 1 / d.ramp_s + 1e-12);
    CHECK(played[i].given.electric_W >= played[i - 1].given.electric_W * 0.999);
    highest_W = std::max(highest_W, played[i].given.electric_W);
  }
  CHECK_RELATIVE(played[0].speed_1, d.minimum_speed_1, 0.05);  // from its slowest
  CHECK(played[0].given.electric_W < 0.5 * highest_W);
  CHECK(played[60].speed_1 == 1);
  // Settles at the set point, without cycling: the load is above its slowest.
  CHECK_WITHIN(played.back().T_K, to_kelvin(24), 0.05);
  CHECK(played.back().given.compressor_on_1 == 1);
  CHECK(played.back().speed_1 < 1);
  CHECK_RELATIVE(played.back().given.sensible_W, 1200 + d.cabin_fan_W, 0.01);
}

TEST_CASE("unit: the cabin fan runs on after the compressor", "[unit][property]") {
  auto d = generic_unit();
  d.minimum_speed_1 = 1;
  for (const double run_on_s : {0.0, 90.0}) {
    auto s = unit_settings();
    s.fan_always = false;
    s.fan_run_on_s = run_on_s;
    const auto played = play(unit::Machine(d, s), 500, 2 * 3600);
    int after = 0, rests = 0;
    for (std::size_t i = 1; i < played.size(); ++i) {
      const auto& g = played[i].given;
      if (g.compressor_on_1 == 0 && played[i - 1].given.compressor_on_1 > 0) {
        ++rests;
        after = 0;
      }
      if (g.compressor_on_1 > 0) {
        CHECK(g.fan_on_1 == 1);
      } else if (rests > 0) {
        ++after;
        INFO("second " << after << " of the rest");
        CHECK((g.fan_on_1 > 0) == (after <= run_on_s));
        CHECK_RELATIVE(g.electric_W, d.standby_W + (g.fan_on_1 > 0 ? d.cabin_fan_W : 0), 1e-12);
      }
    }
    CHECK(rests > 3);
  }
  const auto always = play(unit::Machine(d, unit_settings()), 500, 3600);
  for (const auto& x : always) CHECK(x.given.fan_on_1 == 1);
}

TEST_CASE("unit: heat and water balance second by second", "[unit][property]") {
  auto d = generic_unit();
  d.minimum_speed_1 = 1;
  double gathered_kg = 0, latent_kg = 0;
  for (const auto& x : play(unit::Machine(d, unit_settings()), 400, 7200)) {
    const auto& g = x.given;
    if (g.compressor_on_1 > 0) {
      const double compressor_W = g.electric_W - g.fan_heat_W - d.standby_W;
      CHECK_RELATIVE(g.condenser_W, g.sensible_W + g.latent_W + compressor_W, 1e-12);
    } else {
      CHECK(std::abs(g.sensible_W + g.latent_W) < 1e-9);
      CHECK(g.condenser_W == 0);
      CHECK(g.moisture_kg_s <= 0);
    }
    gathered_kg += std::max(0.0, g.moisture_kg_s);
    latent_kg += g.moisture_kg_s;
    CHECK(latent_kg > -1e-12);  // never more back than was taken
  }
  CHECK(latent_kg < gathered_kg);
}

TEST_CASE("unit: protection stops it at once, in real cycles too", "[unit][property]") {
  const unit::Machine machine(generic_unit(), unit_settings());
  unit::State state;
  const auto second = [&](double condenser_degC, double limit_W) {
    const auto in = unit_inlet(28, 20, condenser_degC);
    return machine.deliver_cycles(machine.offer(in, true, state, 1), in.T_cabin_K, limit_W, state,
                                  1);
  };
  for (int i = 0; i < 60; ++i) CHECK(second(35, 1e9).compressor_on_1 == 1);
  CHECK(second(61, 1e9).compressor_on_1 == 0);
  CHECK(second(35, 1e9).compressor_on_1 == 0);
  int waits = 0;
  while (second(35, 1e9).compressor_on_1 == 0 && waits < 1000) ++waits;
  CHECK(waits >= 175);
  CHECK(waits < 190);
  CHECK(second(35, 40).compressor_on_1 == 0);  // not enough granted
}

TEST_CASE("unit: a strong unit with a rest holds the mean of its cycles", "[unit][property]") {
  // 3 min at full swing this room by kelvins, whatever the differential.
  auto d = generic_unit();
  d.minimum_speed_1 = 1;
  const unit::Machine machine(d, unit_settings());
  for (const double gain_W : {200.0, 700.0, 1300.0}) {
    const auto played = play(machine, gain_W, 8 * 3600, 25, 6e4);
    double mean_K = 0;
    std::size_t n = 0;
    for (std::size_t i = 3 * 3600; i < played.size(); ++i, ++n) mean_K += played[i].T_K;
    INFO("gain " << gain_W << " W");
    CHECK_WITHIN(mean_K / static_cast<double>(n), to_kelvin(24), 0.15);
  }
}

TEST_CASE("unit: switched off, its clocks go on", "[unit][property]") {
  const unit::Machine machine(generic_unit(), unit_settings());
  unit::State state;
  (void)machine.offer(unit_inlet(28, 20, 61), true, state, 1);
  CHECK(state.locked_hot);
  for (int i = 0; i < 200; ++i) machine.rest(state, 1);
  CHECK(state.locked_s == 0);
  CHECK_FALSE(machine.offer(unit_inlet(28, 20, 40), true, state, 1).cut_out);
  const auto in = unit_inlet(28, 20, 35);
  const auto offer = machine.offer(in, true, state, 1);
  CHECK(machine.deliver_cycles(offer, in.T_cabin_K, 1e9, state, 1).compressor_on_1 == 1);
  machine.rest(state, 1);
  CHECK_FALSE(state.on);
  CHECK(state.condenser_heat_W == 0);
  CHECK(state.in_state_s == 1);
  // Its rest counts from there.
  int waits = 0;
  while (machine.deliver_cycles(offer, in.T_cabin_K, 1e9, state, 1).compressor_on_1 == 0) ++waits;
  CHECK(waits + 1 >= static_cast<int>(generic_unit().minimum_off_s) - 1);
}
