// SPDX-License-Identifier: Apache-2.0
#include <cabinload/simulation/observers.hpp>
#include <cmath>

#include "../../src/simulation/cabin_air.hpp"
#include "support/catch.hpp"

namespace core = cabinload::core;
namespace simulation = cabinload::simulation;
using simulation::Limit;
using simulation::Step;

namespace {

constexpr double kLimit_K = 298.15;

/// Feeds a day from noon to noon.
template <class Bed>
simulation::NightRecord night_of(const cabinload::scenario::Night& night, Bed bed_K,
                                 double on_from_h, Limit limit = Limit::capacity,
                                 double dt_s = 60) {
  std::vector<simulation::NightRecord> out;
  simulation::NightObserver observer(out, night, 0);
  for (int m = 0; m * dt_s < 86400; ++m) {
    Step s;
    s.dt_s = dt_s;
    s.t_s = 12 * 3600.0 + (m + 1) * dt_s;
    s.T_bed_K = bed_K(s.t_s / 3600.0);
    s.unit_scheduled = s.t_s / 3600.0 > on_from_h;
    s.limit = limit;
    s.co2_ppm = 2200 - s.t_s / 360.0;
    s.state_of_charge_1 = 1.0 - m / 1440.0;
    s.unit_electric_W = s.unit_scheduled ? 100 : 0;
    observer.step(s);
  }
  REQUIRE(out.size() == 1);
  return out[0];
}

}  // namespace

TEST_CASE("simulation: a night counts minutes above the limit after the allowance",
          "[simulation][unit]") {
  cabinload::scenario::Night night;
  night.T_limit_K = kLimit_K;
  // Hot until 23:00, cool a minute later; judged from 22:30: 30 minutes above, and of the minute
  // between, from 2 K above to 1 K below, the share that a straight line says.
  const double share_1 = (2 - simulation::kLimitTolerance_K) / 3;
  const auto n = night_of(
      night, [](double h) { return h <= 23.0 ? kLimit_K + 2 : kLimit_K - 1; }, 21);
  CHECK_WITHIN(n.minutes_above, 30 + share_1, 1e-9);
  CHECK_WITHIN(n.minutes_above_pulling_down, 30 + share_1, 1e-9);
  CHECK(n.reached_limit);
  CHECK_WITHIN(n.pull_down_min, 120 + share_1, 1e-9);  // from 21:00
  CHECK_WITHIN(n.bed_peak_K, kLimit_K + 2, 1e-12);
  CHECK_WITHIN(n.electric_Wh, 15 * 100.0, 1e-6);
  CHECK_WITHIN(n.battery_at_dawn_1, 1.0 - 1139 / 1440.0, 1e-9);  // the minute that ends at 07:00
}

TEST_CASE("simulation: peaks count from the moment at which their span begins",
          "[simulation][unit]") {
  cabinload::scenario::Night night;
  night.T_limit_K = kLimit_K;
  // Falls by 1 K an hour, at 22:30 exactly on the limit: whatever the step, that is the peak.
  for (const double dt_s : {60.0, 120.0, 300.0}) {
    const auto n = night_of(
        night, [](double h) { return kLimit_K + 22.5 - h; }, 21, Limit::capacity, dt_s);
    CHECK_WITHIN(n.bed_peak_K, kLimit_K, 1e-9);
    CHECK(n.bed_peak_second_of_day == 22.5 * 3600);
    CHECK(n.minutes_above == 0);
    CHECK_WITHIN(n.co2_peak_ppm, 2200 - 22 * 10, 1e-9);  // at 22:00
    CHECK_WITHIN(n.pull_down_min, (1.5 - simulation::kLimitTolerance_K) * 60, 1e-9);
  }
}

TEST_CASE("simulation: a met set point within a step does not change why", "[simulation][unit]") {
  // At its limit until 22:40, then the set point is met in the very step in which the bed comes
  // down.
  cabinload::scenario::Night night;
  night.T_limit_K = kLimit_K;
  std::vector<simulation::NightRecord> out;
  simulation::NightObserver observer(out, night, 0);
  for (int m = 0; m < 720; ++m) {
    Step s;
    s.dt_s = 120;
    s.t_s = 12 * 3600.0 + (m + 1) * 120.0;
    const bool down = s.t_s > 22 * 3600.0 + 40 * 60;
    s.T_bed_K = kLimit_K + (down ? -1 : 1);
    s.unit_scheduled = s.t_s > 22 * 3600.0;
    s.limit = !s.unit_scheduled ? Limit::schedule : down ? Limit::none : Limit::capacity;
    observer.step(s);
  }
  const auto& n = out.at(0);
  CHECK_WITHIN(n.minutes_above, 10 + 2 * (1 - simulation::kLimitTolerance_K) / 2, 1e-9);
  CHECK(n.minutes_above_pulling_down == n.minutes_above);
  CHECK(n.minutes_above_by_limit[static_cast<std::size_t>(Limit::capacity)] == n.minutes_above);
}

TEST_CASE("simulation: exactly the limit is not above it", "[simulation][unit]") {
  cabinload::scenario::Night night;
  night.T_limit_K = kLimit_K;
  CHECK(night_of(
            night, [](double) { return kLimit_K; }, 21)
            .minutes_above == 0);
  CHECK(night_of(
            night, [](double) { return kLimit_K + 0.01; }, 21)
            .minutes_above == 8.5 * 60);
  CHECK(night_of(
            night, [](double) { return kLimit_K; }, 21)
            .pull_down_min == 0);
}

TEST_CASE("simulation: never reaching the limit is not pulling down", "[simulation][unit]") {
  cabinload::scenario::Night night;
  night.T_limit_K = kLimit_K;
  const auto n = night_of(
      night, [](double) { return kLimit_K + 3; }, 21);
  CHECK_FALSE(n.reached_limit);
  CHECK(std::isnan(n.pull_down_min));
  CHECK(n.minutes_above_by_limit[static_cast<std::size_t>(Limit::capacity)] == 8.5 * 60);
}

TEST_CASE("simulation: a met set point above the limit counts as not asked for",
          "[simulation][unit]") {
  cabinload::scenario::Night night;
  night.T_limit_K = kLimit_K;
  const auto n = night_of(
      night, [](double) { return kLimit_K + 1; }, 21, Limit::none);
  CHECK(n.minutes_above_by_limit[static_cast<std::size_t>(Limit::schedule)] == 8.5 * 60);
}

TEST_CASE("simulation: day sleepers have their account cut at midnight", "[simulation][unit]") {
  cabinload::scenario::Night night;
  CHECK(simulation::NightObserver::account_cut_s(night) == 12 * 3600.0);
  night.sleep_start_s = 9 * 3600.0;
  night.sleep_end_s = 16 * 3600.0;
  CHECK(simulation::NightObserver::account_cut_s(night) == 0.0);
  night.sleep_start_s = 12 * 3600.0;  // noon itself belongs to the window
  CHECK(simulation::NightObserver::account_cut_s(night) == 0.0);
  night.sleep_start_s = 22 * 3600.0;  // noon and midnight: amid the waking hours
  night.sleep_end_s = 13 * 3600.0;
  CHECK(simulation::NightObserver::account_cut_s(night) == 17.5 * 3600.0);
}

TEST_CASE("simulation: a mixed box follows its closed form", "[simulation][property]") {
  // M dx/dt = m (x_out - x) + s: x = x_inf + (x0 - x_inf) exp(-m t / M), x_inf = x_out + s/m.
  constexpr double kBar_1 = 1e-4;  // of the change; the midpoint rule at 60 s and M/m of 30 min
  const double M = 12.0, m = M / 1800.0, s = 2e-5, x_out = 6e-4;
  simulation::MixedAir box;
  box.start_at(x_out);
  const double x_inf = x_out + s / m;
  for (int i = 1; i <= 120; ++i) {
    box.step(M, m, x_out, s, 60);
    const double exact = x_inf + (x_out - x_inf) * std::exp(-m * 60.0 * i / M);
    CHECK_WITHIN(box.value(), exact, kBar_1 * (x_inf - x_out));
  }
  for (int i = 0; i < 2000; ++i) box.step(M, m, x_out, s, 60);
  CHECK_RELATIVE(box.value(), x_inf, 1e-9);
  CHECK(box.residual_relative() < 1e-12);
}

TEST_CASE("simulation: a mixed box faster than the step does not ring", "[simulation][property]") {
  simulation::MixedAir box;
  box.start_at(1.0);
  double before = 1.0;
  for (int i = 0; i < 20; ++i) {
    box.step(1.0, 1.0, 0.0, 0.0, 60);  // 60 changes a step
    CHECK(box.value() >= 0.0);
    CHECK(box.value() <= before);
    before = box.value();
  }
}
