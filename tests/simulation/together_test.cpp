// SPDX-License-Identifier: Apache-2.0
// Runs side by side in the lanes of one stepper: each is the run alone, to the last bit.
#include <random>

#include "support/catch.hpp"
#include "support/sample_run.hpp"

namespace simulation = cabinload::simulation;
namespace scenario = cabinload::scenario;
namespace network = cabinload::network;
namespace core = cabinload::core;
namespace test = cabinload::test;

namespace {

/// A run of random settings with what it points at.
struct Sample {
  scenario::Scenario scenario = test::sample_scenario();
  network::Cabin cabin;
  cabinload::forcing::Forcing forcing;
  simulation::Options options;

  [[nodiscard]] simulation::Job job() const { return {&cabin, &forcing, &scenario, &options}; }
};

Sample sample(unsigned seed) {
  std::mt19937 random(seed);
  std::uniform_real_distribution<double> share(0, 1);
  Sample x;
  auto& vehicle = x.scenario.vehicle;
  for (auto& surface : vehicle.surfaces) {
    surface.absorptance_1 = share(random);
    surface.layers[1].thickness_m = 0.005 + 0.06 * share(random);
  }
  vehicle.volume_m3 = 6 + 8 * share(random);
  x.cabin = network::assemble(vehicle);
  x.forcing = test::sample_forcing(72, 27 + 8 * share(random), 5 + 5 * share(random));
  x.scenario.unit_settings.T_set_K = core::to_kelvin(20 + 6 * share(random));
  x.scenario.unit_settings.power_cap_W = share(random) < 0.3 ? 350 : 0;
  x.scenario.supply.bank = cabinload::power::bank_of(cabinload::power::Chemistry::lfp,
                                                     (600 + 3000 * share(random)) * 3600, 24);
  x.scenario.start.warm_up_days = share(random) < 0.5 ? 1 : 2;
  x.scenario.step_s = share(random) < 0.3 ? 30 : share(random) < 0.5 ? 60 : 120;
  constexpr const char* kOn[] = {"21:00-07:00", "14:00-09:00", "never", "always"};
  x.scenario.unit_on = core::DaySchedule::parse(kOn[random() % 4]);
  x.scenario.air.bed_offset_K = share(random);
  x.options.unit_enabled = share(random) < 0.7;
  if (share(random) < 0.2) x.options.window = simulation::Window{86400 + 72000, 9, 0.9};
  if (share(random) < 0.2) x.options.flows = {{86400, 2 * 86400}};
  if (share(random) < 0.2)
    x.options.failing = simulation::Failing{simulation::Failure::supply_lost, 1.9 * 86400};
  return x;
}

/// Every figure of a trace, one after another.
std::vector<double> figures(const simulation::Trace& t) {
  std::vector<double> all = {t.electric_total_Wh,
                             t.unit_on_h,
                             t.beyond_map_h,
                             t.condenser_air_max_K,
                             static_cast<double>(t.steps),
                             t.hottest.cabin_air.T_K,
                             t.balance.throughput_J,
                             t.balance.heat_residual_relative,
                             t.balance.moisture_residual_relative,
                             t.balance.battery_residual_relative};
  const simulation::Hourly& h = t.hourly;
  for (const auto* v : {&h.T_air_mean_K, &h.T_air_min_K, &h.T_bed_mean_K, &h.T_operative_mean_K,
                        &h.heat_index_end_K, &h.W_air_1, &h.co2_ppm, &h.unit_electric_W,
                        &h.sensible_W, &h.latent_W, &h.battery_K, &h.state_of_charge_end_1})
    all.insert(all.end(), v->begin(), v->end());
  for (const simulation::NightRecord& n : t.nights)
    all.insert(all.end(), {n.bed_peak_K, n.minutes_above, n.electric_Wh, n.cooling_Wh,
                           n.battery_at_dawn_1, n.condensate_L, n.co2_peak_ppm});
  for (const simulation::Step& s : t.window.steps)
    all.insert(all.end(), {s.T_air_K, s.state_of_charge_1, s.unit_electric_W, s.W_air_1});
  for (const simulation::FlowAccount& f : t.flows)
    all.insert(all.end(), {f.roof_W, f.windows_W, f.sun_W, f.coil_W, f.given_back_W});
  all.push_back(t.cut_s);
  for (double& x : all)
    if (std::isnan(x)) x = -1;  // nothing there: the same in both
  return all;
}

}  // namespace

TEST_CASE("simulation: runs side by side are the runs alone, to the last bit",
          "[simulation][property]") {
  std::vector<Sample> samples;
  std::vector<std::vector<double>> alone;
  for (unsigned seed = 1; seed <= 9; ++seed) samples.push_back(sample(seed));
  for (const Sample& x : samples)
    alone.push_back(figures(simulation::run(x.cabin, x.forcing, x.scenario, x.options)));
  for (const auto& [first, count] : {std::pair{0, 2}, {0, 3}, {5, 4}, {0, 5}, {1, 8}, {2, 7}}) {
    std::vector<simulation::Job> jobs;
    for (int i = 0; i < count; ++i)
      jobs.push_back(samples[static_cast<std::size_t>(first + i)].job());
    const std::vector<simulation::Result> together = simulation::run_together(jobs);
    for (std::size_t i = 0; i < together.size(); ++i) {
      INFO("sample " << static_cast<std::size_t>(first) + i + 1 << " among " << count);
      REQUIRE_FALSE(together[i].failure);
      const bool same = figures(together[i].trace) == alone[static_cast<std::size_t>(first) + i];
      CHECK(same);
    }
  }
}

TEST_CASE("simulation: a run that fails leaves its neighbours alone", "[simulation][unit]") {
  std::vector<Sample> samples;
  for (unsigned seed = 1; seed <= 4; ++seed) samples.push_back(sample(seed));
  const auto second = figures(simulation::run(samples[1].cabin, samples[1].forcing,
                                              samples[1].scenario, samples[1].options));
  samples[0].scenario.step_s = 7;  // refused before it starts
  samples[2].forcing.T_out_K[40] = std::numeric_limits<double>::quiet_NaN();  // on the way
  std::vector<simulation::Job> jobs;
  for (const Sample& x : samples) jobs.push_back(x.job());
  const std::vector<simulation::Result> together = simulation::run_together(jobs);
  CHECK(together[0].failure);
  CHECK(together[2].failure);
  CHECK_FALSE(together[3].failure);
  const bool same = figures(together[1].trace) == second;
  CHECK(same);
  CHECK_THROWS_AS(std::rethrow_exception(together[0].failure), core::RangeError);
}
