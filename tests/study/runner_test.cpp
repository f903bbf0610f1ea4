// SPDX-License-Identifier: Apache-2.0
#include <cabinload/study/runner.hpp>

#include "support/catch.hpp"
#include "support/sample_run.hpp"

namespace network = cabinload::network;
namespace scenario = cabinload::scenario;
namespace simulation = cabinload::simulation;
namespace study = cabinload::study;
namespace test = cabinload::test;

TEST_CASE("study: any number of threads gives the same bits in the same order",
          "[study][property]") {
  const auto scenario = test::sample_scenario();
  const auto forcing = test::sample_forcing(48, 31, 8);
  const network::Cabin cabin = network::assemble(scenario.vehicle);
  std::vector<study::Case> cases;
  for (int i = 0; i < 5; ++i) cases.push_back({"case", &cabin, &forcing, &scenario, {}});
  cases[1].options.unit_enabled = cases[4].options.unit_enabled = false;
  const auto one = study::run(cases, 1), three = study::run(cases, 3);
  REQUIRE(one.size() == 5);
  for (std::size_t i = 0; i < 5; ++i) {
    CHECK(one[i].unit_enabled == cases[i].options.unit_enabled);
    CHECK(one[i].hourly.T_air_mean_K == three[i].hourly.T_air_mean_K);
    CHECK(one[i].electric_total_Wh == three[i].electric_total_Wh);
  }
  CHECK(study::run({}, 4).empty());
}

TEST_CASE("study: a case that fails is reported, the others do not hang", "[study][unit]") {
  auto scenario = test::sample_scenario();
  auto broken = scenario;
  broken.step_s = 7;
  const auto forcing = test::sample_forcing(24, 31, 8);
  const network::Cabin cabin = network::assemble(scenario.vehicle);
  const std::vector<study::Case> cases = {{"good", &cabin, &forcing, &scenario, {}},
                                          {"bad", &cabin, &forcing, &broken, {}}};
  CHECK_THROWS_AS(study::run(cases, 2), cabinload::core::RangeError);
}

TEST_CASE("study: any number of cases on any number of threads is the cases alone",
          "[study][property]") {
  const auto forcing = test::sample_forcing(48, 30, 8);
  std::vector<scenario::Scenario> scenarios;
  std::vector<network::Cabin> cabins;
  for (int i = 0; i < 9; ++i) {
    auto s = test::sample_scenario();
    s.vehicle.volume_m3 += 0.5 * i;
    s.vehicle.surfaces[0].layers[1].thickness_m = 0.01 + 0.01 * i;
    s.start.warm_up_days = 1;
    cabins.push_back(network::assemble(s.vehicle));
    scenarios.push_back(std::move(s));
  }
  std::vector<double> alone_Wh;
  for (std::size_t i = 0; i < scenarios.size(); ++i)
    alone_Wh.push_back(simulation::run(cabins[i], forcing, scenarios[i], {}).electric_total_Wh);
  for (std::size_t count = 1; count <= 9; ++count)
    for (const unsigned threads : {1U, 2U}) {
      std::vector<study::Case> cases;
      for (std::size_t i = 0; i < count; ++i)
        cases.push_back({"", &cabins[i], &forcing, &scenarios[i], {}});
      const auto traces = study::run(cases, threads);
      INFO(count << " cases, " << threads << " threads");
      for (std::size_t i = 0; i < count; ++i) CHECK(traces[i].electric_total_Wh == alone_Wh[i]);
    }
}

TEST_CASE("study: a case that fails does not take the others with it", "[study][unit]") {
  const auto forcing = test::sample_forcing(48, 30, 8);
  const auto good = test::sample_scenario();
  auto bad = good;
  bad.step_s = 7;
  const auto cabin = network::assemble(good.vehicle);
  const std::vector<study::Case> cases = {{"", &cabin, &forcing, &good, {}},
                                          {"", &cabin, &forcing, &bad, {}},
                                          {"", &cabin, &forcing, &good, {}},
                                          {"", &cabin, &forcing, &good, {}}};
  const auto results = study::run_each(cases, 1);
  CHECK(results[1].failure);
  for (const std::size_t i : {0U, 2U, 3U}) {
    CHECK_FALSE(results[i].failure);
    CHECK(results[i].trace.electric_total_Wh == results[0].trace.electric_total_Wh);
  }
  CHECK_THROWS_AS(study::run(cases, 1), cabinload::core::RangeError);
}
