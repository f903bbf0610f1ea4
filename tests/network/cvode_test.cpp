// SPDX-License-Identifier: Apache-2.0
// The same right-hand side by SUNDIALS CVODE (BDF, tolerance 1e-10): the demo van through a real
// July without a unit, one day of it driving. Shares with the program the cabin's description, the
// film laws and the forcing; the equations are written out again (continuous_cabin.hpp).
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>

#include "support/by_cvode.hpp"
#include "support/catch.hpp"
#include "support/checks.hpp"

namespace forcing = cabinload::forcing;
namespace network = cabinload::network;
namespace test = cabinload::test;
namespace vehicle = cabinload::vehicle;
namespace weather = cabinload::weather;
using test::World, test::kDays;

TEST_CASE("network: a July of the demo van agrees with CVODE", "[network][table][slow]") {
  constexpr double kRms_K = 0.005, kWorst_K = 0.05, kStart_K = 300;
  const weather::Series tucson = weather::read(weather::shipped_folder() + "/722740TYA.CSV");
  const vehicle::Vehicle van = vehicle::make({});
  const forcing::Forcing f = forcing::make(tucson, {}, van);
  const network::Cabin cabin = network::assemble(van);
  const World world{f, cabin, van.length_m};
  const auto no_unit_W = [](double) { return 0.0; };
  const std::vector<double> exact = test::by_cvode(world, kDays, kStart_K, {}, no_unit_W),
                            ours = test::by_stepper(world, kDays, kStart_K, 60, no_unit_W);
  REQUIRE(exact.size() == ours.size());
  const auto [rms_K, worst_K] = test::apart(ours, exact);
  INFO("rms " << rms_K << " K, worst " << worst_K << " K");
  CHECK(rms_K < kRms_K);
  CHECK(worst_K < kWorst_K);
  constexpr const char* kSource = "SUNDIALS CVODE, BDF, tolerance 1e-10";
  test::record({"Integration", "a July of the demo van, one day driving: air, rms", kSource, 0,
                kRms_K, rms_K, "K", ""});
  test::record({"Integration", "the same, worst 10 min", kSource, 0, kWorst_K, worst_K, "K", ""});
}
