// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/load.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/sample_run.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace simulation = cabinload::simulation;
namespace test = cabinload::test;
using simulation::CauseKind;

namespace {

/// 31 July and 1 August, made by hand: 100 W more every hour of the first day, the roof's and the
/// air's; moisture of 7 W all the time on the second.
simulation::Demand two_days() {
  simulation::Demand d;
  d.start_s = 211 * core::kSecondsInDay;
  d.T_set_K = core::to_kelvin(24);
  d.causes = {{CauseKind::roof, ""},
              {CauseKind::window, "pane"},
              {CauseKind::window_sun, "pane"},
              {CauseKind::air_exchange, ""},
              {CauseKind::stored, ""}};
  d.sensible_by_cause_W.resize(5);
  d.latent_by_cause_W.resize(5);
  for (int h = 0; h < 48; ++h) {
    const double sensible = h < 24 ? 100.0 * h : 0.0, latent = h < 24 ? 0.0 : 7.0;
    d.sensible_W.push_back(sensible);
    d.latent_W.push_back(latent);
    d.T_out_mean_K.push_back(core::to_kelvin(h < 24 ? 30 : 20));
    d.T_air_mean_K.push_back(core::to_kelvin(24));
    const double parts[] = {0.5 * sensible, 0, 0.75 * sensible, 0, -0.25 * sensible};
    for (std::size_t c = 0; c < 5; ++c) {
      d.sensible_by_cause_W[c].push_back(parts[c]);
      d.latent_by_cause_W[c].push_back(c == 3 ? latent : 0.0);
    }
  }
  return d;
}

answers::Load answer(const simulation::Demand& d) {
  const auto scenario = test::sample_scenario();
  cabinload::weather::Series weather;
  weather.place.name = "Invented";
  return answers::load(d, simulation::demand_options(scenario), scenario, weather);
}

}  // namespace

TEST_CASE("answers: the demand's peak, percentiles, months and parts", "[answers][unit]") {
  const answers::Load a = answer(two_days());
  CHECK(a.header.from == core::Date{7, 31});
  CHECK(a.header.to == core::Date{8, 1});
  CHECK(a.hours_in_period == 48);
  CHECK(a.hours_with_demand == 47);  // 00:00 of the first day has none
  CHECK(a.hours_cooler_outdoors == 24);
  CHECK_WITHIN(a.cooler_outdoors_kWh, 0.168, 1e-12);
  REQUIRE(a.peak);
  CHECK(a.peak->date == core::Date{7, 31});
  CHECK(a.peak->hour == 23);
  CHECK_WITHIN(a.peak_W(), 2300, 1e-9);
  REQUIRE(a.peak_day.size() == 24);
  CHECK_WITHIN(a.peak_day[10].sensible_W, 1000, 1e-9);
  // 24 hours of 7 W, then 100 W to 2300 W: the 24th of 47 is 7 W, the 43rd 1900 W.
  CHECK_WITHIN(a.percentile_W[0], 7, 1e-9);
  CHECK_WITHIN(a.percentile_W[1], 1900, 1e-9);
  CHECK_WITHIN(a.percentile_W[4], 2300, 1e-9);
  CHECK_WITHIN(a.sensible_kWh, 27.6, 1e-9);
  CHECK_WITHIN(a.latent_kWh, 0.168, 1e-9);
  REQUIRE(a.by_month.size() == 2);
  CHECK(a.by_month[0].month == 7);
  CHECK(a.by_month[0].hours_with_demand == 23);
  CHECK_WITHIN(a.by_month[0].by_cause_kWh[2], 20.7, 1e-9);
  CHECK_WITHIN(a.by_month[1].by_cause_kWh[3], 0.168, 1e-9);
  const char* keys[] = {"roof", "window:pane", "sun:pane", "air_exchange", "stored"};
  double peak_W = 0, kWh = 0;
  for (std::size_t c = 0; c < a.causes.size(); ++c) {
    CHECK(a.causes[c].key == keys[c]);
    peak_W += a.causes[c].peak_sensible_W + a.causes[c].peak_latent_W;
    kWh += a.causes[c].sensible_kWh + a.causes[c].latent_kWh;
  }
  CHECK_WITHIN(peak_W, a.peak_W(), 1e-9);
  CHECK_WITHIN(kWh, a.sensible_kWh + a.latent_kWh, 1e-9);
}

TEST_CASE("answers: without a demand there is no peak and no percentile", "[answers][unit]") {
  simulation::Demand d = two_days();
  for (auto* hours : {&d.sensible_W, &d.latent_W})
    for (double& W : *hours) W = 0.0;
  const answers::Load a = answer(d);
  CHECK_FALSE(a.peak);
  CHECK(a.hours_with_demand == 0);
  CHECK(std::isnan(a.percentile_W[0]));
  CHECK(a.peak_day.empty());
  CHECK(a.peak_W() == 0);
}

TEST_CASE("answers: a demand is not said to rest on a unit or a battery", "[answers][unit]") {
  for (const auto& x : answer(two_days()).header.assumptions) {
    CHECK(x.key != "unit.model");
    CHECK(x.key != "battery.full_at");
  }
  CHECK(answer(two_days()).header.scenario_line.find("battery") == std::string::npos);
}
