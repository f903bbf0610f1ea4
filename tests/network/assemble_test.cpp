// SPDX-License-Identifier: Apache-2.0
#include <numeric>

#include "support/catch.hpp"
#include "support/sample_cabin.hpp"

namespace network = cabinload::network;
namespace vehicle = cabinload::vehicle;
namespace test = cabinload::test;

namespace {
constexpr double kRounding_1 = 1e-12;
}

TEST_CASE("network: assembling keeps heat capacity, resistance and area", "[network][property]") {
  const vehicle::Vehicle v = test::sample_vehicle();
  const network::Cabin cabin = network::assemble(v);
  const auto& roof = cabin.chains[0];
  const auto& ribs = cabin.chains[1];
  CHECK_RELATIVE(roof.area_m2 + ribs.area_m2, v.surfaces[0].area_m2, kRounding_1);
  double C_J_K = 0, R_K_W = 0;
  for (const auto& layer : v.surfaces[0].layers)
    C_J_K += layer.areal_heat_capacity_J_m2K() * roof.area_m2;
  CHECK_RELATIVE(std::accumulate(roof.C_J_K.begin(), roof.C_J_K.end(), 0.0), C_J_K, kRounding_1);
  for (const double G : roof.G_W_K) R_K_W += 1 / G;
  // The steel sheet is a node of its own without resistance.
  const double R_m2K_W =
      v.surfaces[0].layers[1].resistance_m2K_W() + v.surfaces[0].layers[2].resistance_m2K_W();
  CHECK_RELATIVE(R_K_W * roof.area_m2, R_m2K_W, kRounding_1);
}

TEST_CASE("network: shares of the sun that entered add to one", "[network][property]") {
  constexpr double kLost_1 = 0.10;  // what floor and shell leave, see vehicle::SunInside
  auto v = test::sample_vehicle();
  const auto sum = [](const network::Cabin& cabin) {
    double s = cabin.solar_lost_1;
    for (const auto& c : cabin.chains) s += c.solar_share_1;
    return s;
  };
  CHECK_WITHIN(sum(network::assemble(v)), 1.0, kRounding_1);
  CHECK_WITHIN(network::assemble(v).solar_lost_1, 0.6 * kLost_1, kRounding_1);
  v.surfaces.erase(v.surfaces.begin() + 3);  // without a floor the shell takes its share
  CHECK_WITHIN(sum(network::assemble(v)), 1.0, kRounding_1);
  CHECK_WITHIN(network::assemble(v).solar_lost_1, 0.6 * kLost_1, kRounding_1);
}

TEST_CASE("network: two equal grey faces exchange as the two-surface formula says",
          "[network][table]") {
  // Parallel plates: G/A = 4 sigma T^3 / (1/e1 + 1/e2 - 1), any heat-transfer handbook.
  vehicle::Vehicle v;
  v.volume_m3 = 1;
  v.surfaces = {test::sample_surface("a", vehicle::Part::wall, 2, 90, vehicle::Outside::open_air),
                test::sample_surface("b", vehicle::Part::wall, 2, 90, vehicle::Outside::open_air)};
  for (auto& s : v.surfaces) s.framing_fraction = 0;
  v.surfaces[0].emittance_in_1 = 0.3;
  v.surfaces[1].emittance_in_1 = 0.8;
  const network::Cabin cabin = network::assemble(v);
  const double a = cabin.chains[0].radiant_area_m2, b = cabin.chains[1].radiant_area_m2;
  CHECK_RELATIVE(a * b / (a + b), 2.0 / (1 / 0.3 + 1 / 0.8 - 1), 1e-9);
}

TEST_CASE("network: the roof is the largest opaque face that looks up", "[network][unit]") {
  auto v = cabinload::test::sample_vehicle();
  const auto name_of = [](const network::Cabin& cabin) {
    return cabin.roof() < 0 ? "none" : cabin.chains[static_cast<std::size_t>(cabin.roof())].name;
  };
  for (auto& s : v.surfaces)
    if (s.tilt_rad < 0.1 && s.outside == cabinload::vehicle::Outside::open_air) {
      CHECK(name_of(network::assemble(v)).rfind(s.name, 0) == 0);
      auto larger = s;
      larger.name = "pop-top";
      larger.area_m2 *= 1.5;
      v.surfaces.push_back(larger);
      break;
    }
  CHECK(name_of(network::assemble(v)) == "pop-top");
  for (auto& s : v.surfaces)
    if (s.tilt_rad < 0.1) s.outside = cabinload::vehicle::Outside::underbody;
  CHECK(network::assemble(v).roof() == -1);
}

TEST_CASE("network: views of a face add to one", "[network][property]") {
  for (double tilt_rad = 0; tilt_rad <= 3.1416; tilt_rad += 0.1) {
    const auto view = network::long_wave_view(tilt_rad);
    CHECK_WITHIN(view.sky_1 + view.air_1 + view.ground_1, 1.0, kRounding_1);
  }
  CHECK_WITHIN(network::long_wave_view(0).sky_1, 1.0, kRounding_1);
}

TEST_CASE("network: film laws meet at a vertical face", "[network][table]") {
  const auto wall = network::natural_film(0), floor = network::natural_film(1),
             ceiling = network::natural_film(-1);
  CHECK_WITHIN(wall.surface_warmer, 1.31, 0.005);  // printed digits of the source
  CHECK_WITHIN(wall.surface_cooler, 1.31, 0.005);
  CHECK_WITHIN(floor.surface_warmer, 1.52, 0.005);
  CHECK_WITHIN(floor.surface_cooler, 0.76, 0.005);
  CHECK_WITHIN(ceiling.surface_cooler, 1.52, 0.005);
  // ISO 6946 annex C: 4 W/m2K still air, 20 at the standard's 4 m/s.
  CHECK_WITHIN(network::parked_film(4.0).still_W_m2K + network::parked_film(4.0).wind_W_m2K, 20.0,
               kRounding_1);
}

TEST_CASE("network: a cabin without a surface or a layer without thickness is refused",
          "[network][unit]") {
  vehicle::Vehicle v;
  v.volume_m3 = 1;
  CHECK_THROWS_WITH(network::assemble(v), cabinload::test::contains("at least one surface"));
  v = test::sample_vehicle();
  v.surfaces[0].layers[1].thickness_m = 0;
  CHECK_THROWS_WITH(network::assemble(v), cabinload::test::contains("thickness"));
}
