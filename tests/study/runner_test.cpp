// SPDX-License-Identifier: Apache-2.0
#include <cabinload/study/runner.hpp>

#include "support/catch.hpp"
#include "support/sample_run.hpp"

namespace network = cabinload::network;
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
