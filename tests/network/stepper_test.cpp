// SPDX-License-Identifier: Apache-2.0
#include <cabinload/vehicle/catalogue.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/dense_network.hpp"
#include "support/sample_cabin.hpp"

namespace network = cabinload::network;
namespace test = cabinload::test;
using network::Lane;

namespace {
/// Both solve the same linear equations: only rounding separates them.
constexpr double kSameEquations_K = 1e-8;
/// Sum of a month of rounding over the heat that flowed.
constexpr double kBalance_1 = 1e-11;

/// A plain on/off unit that makes the air jump.
double toggling_unit_W(double t_s) {
  return std::fmod(t_s, 5400.0) < 2700.0 ? -1200.0 : 25.0;
}
}  // namespace

TEST_CASE("network: one lane equals the dense reference over a month", "[network][property]") {
  const network::Cabin cabin = network::assemble(test::sample_vehicle());
  for (const double dt_s : {10.0, 60.0, 120.0}) {
    network::Stepper<1> stepper(std::span(&cabin, 1), dt_s);
    test::DenseNetwork dense(cabin, dt_s);
    network::Drive<1> drive(cabin.chains.size());
    double worst_K = 0;
    for (double t_s = 0; t_s < (dt_s < 60 ? 3.0 : 30.0) * 86400.0; t_s += dt_s) {
      test::sample_drive(cabin, t_s + 0.5 * dt_s, drive);
      const auto response = stepper.prepare(drive);
      const double unit_W = toggling_unit_W(t_s);
      stepper.finish(drive, Lane<1>::Constant(unit_W));
      dense.step(drive, unit_W);
      worst_K = std::max(worst_K, std::abs(stepper.T_air_K()[0] - dense.T_air_K()));
      worst_K = std::max(
          worst_K, std::abs(response.free_K[0] + response.per_W[0] * unit_W - dense.T_air_K()));
    }
    INFO("step " << dt_s << " s");
    CHECK(worst_K < kSameEquations_K);
  }
}

TEST_CASE("network: the demo van equals the dense reference, covers on too",
          "[network][property]") {
  cabinload::vehicle::Choice choice;
  choice.cover = "thermal-mat";
  const network::Cabin cabin = network::assemble(cabinload::vehicle::make(choice));
  network::Stepper<1> stepper(std::span(&cabin, 1), 60);
  test::DenseNetwork dense(cabin, 60);
  network::Drive<1> drive(cabin.chains.size());
  double worst_K = 0;
  for (double t_s = 0; t_s < 5 * 86400.0; t_s += 60) {
    test::sample_drive(cabin, t_s, drive);
    (void)stepper.prepare(drive);
    stepper.finish(drive, Lane<1>::Constant(toggling_unit_W(t_s)));
    dense.step(drive, toggling_unit_W(t_s));
    worst_K = std::max(worst_K, std::abs(stepper.T_air_K()[0] - dense.T_air_K()));
  }
  CHECK(worst_K < kSameEquations_K);
}

TEST_CASE("network: the step changes under way", "[network][property]") {
  // A stepper that takes another's step goes on as one that was made with it and stands where it
  // stood, to the last bit; its neighbours do not notice.
  std::vector<network::Cabin> cabins(4, network::assemble(test::sample_vehicle()));
  network::Stepper<4> changing(cabins, 120), calm(cabins, 120);
  const network::Stepper<4> longer(cabins, 300), as_before(cabins, 120);
  network::Stepper<4> made(cabins, 300);
  network::Drive<4> drive(cabins[0].chains.size());
  network::Drive<1> one(cabins[0].chains.size());
  const auto step = [&](network::Stepper<4>& s, double W) {
    (void)s.prepare(drive);
    s.finish(drive, Lane<4>::Constant(W));
  };
  for (int i = 0; i < 60; ++i) {
    drive.T_out_K = Lane<4>::Constant(295 + 0.1 * i);
    if (i == 20) {
      made.start_from(changing);
      changing.use_step_of(longer, 2);
    }
    if (i == 40) changing.use_step_of(as_before, 2);
    step(changing, 40 * (i % 7));
    step(calm, 40 * (i % 7));
    if (i >= 20 && i < 40) {
      step(made, 40 * (i % 7));
      CHECK(changing.T_air_K(2) == made.T_air_K(2));
      CHECK(changing.coldest_inner_K(2) == made.coldest_inner_K(2));
    }
    CHECK(changing.T_air_K(1) == calm.T_air_K(1));
    CHECK(changing.T_air_K(3) == calm.T_air_K(3));
  }
  CHECK(changing.T_air_K(2) != calm.T_air_K(2));
}

TEST_CASE("network: what the air loses hardly depends on the step", "[network][property]") {
  // Within a minute the faces hardly warm.
  constexpr double kBar_1 = 0.02;
  const network::Cabin cabin = network::assemble(test::sample_vehicle());
  const auto air_W_K = [&](double dt_s) {
    network::Stepper<1> stepper(std::span(&cabin, 1), dt_s);
    const network::Drive<1> drive(cabin.chains.size());
    (void)stepper.prepare(drive);
    return stepper.air_W_K();
  };
  CHECK(air_W_K(1) > 5);
  for (const double dt_s : {10.0, 60.0, 120.0}) CHECK_RELATIVE(air_W_K(dt_s), air_W_K(1), kBar_1);
}

TEST_CASE("network: eight lanes equal eight single runs", "[network][property]") {
  std::vector<network::Cabin> cabins;
  for (int l = 0; l < 8; ++l) {
    auto vehicle = test::sample_vehicle();
    vehicle.surfaces[0].absorptance_1 = 0.2 + 0.1 * l;
    vehicle.surfaces[1].area_m2 = 4.0 + 0.3 * l;
    vehicle.windows[0].U_W_m2K = 5.8 - 0.4 * l;
    vehicle.air_capacity_factor_1 = 1.5 + 0.3 * l;
    cabins.push_back(network::assemble(vehicle));
  }
  network::Stepper<8> eight(cabins, 60);
  network::Drive<8> drive8(cabins[0].chains.size());
  std::vector<network::Stepper<1>> singles;
  for (const auto& cabin : cabins) singles.emplace_back(std::span(&cabin, 1), 60.0);
  std::vector<network::Drive<1>> drives(8, network::Drive<1>(cabins[0].chains.size()));
  double worst_K = 0;
  for (double t_s = 0; t_s < 2 * 86400.0; t_s += 60) {
    Lane<8> unit8_W;
    for (int l = 0; l < 8; ++l) {
      auto& d = drives[static_cast<std::size_t>(l)];
      test::sample_drive(cabins[static_cast<std::size_t>(l)], t_s, d);
      drive8.T_out_K[l] = d.T_out_K[0];
      drive8.T_sky_K[l] = d.T_sky_K[0];
      drive8.T_ground_K[l] = d.T_ground_K[0];
      drive8.T_under_K[l] = d.T_under_K[0];
      drive8.film_wind_W_m2K[l] = d.film_wind_W_m2K[0];
      drive8.exchange_W_K[l] = d.exchange_W_K[0];
      drive8.mixing_W_m2K[l] = d.mixing_W_m2K[0];
      drive8.air_W[l] = d.air_W[0];
      drive8.radiant_W[l] = d.radiant_W[0];
      for (std::size_t c = 0; c < d.at.size(); ++c) {
        drive8.at[c].outer_W[l] = d.at[c].outer_W[0];
        drive8.at[c].inner_W[l] = d.at[c].inner_W[0];
        drive8.at[c].inside_cover_m2K_W[l] = d.at[c].inside_cover_m2K_W[0];
      }
      unit8_W[l] = -100.0 * l;
    }
    (void)eight.prepare(drive8);
    eight.finish(drive8, unit8_W);
    for (std::size_t l = 0; l < 8; ++l) {
      (void)singles[l].prepare(drives[l]);
      singles[l].finish(drives[l], Lane<1>::Constant(unit8_W[static_cast<int>(l)]));
      worst_K = std::max(worst_K,
                         std::abs(singles[l].T_air_K()[0] - eight.T_air_K()[static_cast<int>(l)]));
    }
  }
  CHECK(worst_K < kSameEquations_K);
}

TEST_CASE("network: stored heat changes by the flows", "[network][property]") {
  const network::Cabin cabin = network::assemble(test::sample_vehicle());
  for (const double dt_s : {10.0, 60.0, 120.0}) {
    network::Stepper<1> stepper(std::span(&cabin, 1), dt_s);
    network::Drive<1> drive(cabin.chains.size());
    const double before_J = stepper.stored_J();
    double in_J = 0, through_J = 0;
    for (double t_s = 0; t_s < 10 * 86400.0; t_s += dt_s) {
      test::sample_drive(cabin, t_s, drive);
      (void)stepper.prepare(drive);
      stepper.finish(drive, Lane<1>::Constant(toggling_unit_W(t_s)));
      const auto& f = stepper.flows();
      for (const auto* w :
           {&f.envelope_W, &f.windows_W, &f.sun_inside_W, &f.exchange_W, &f.gains_W, &f.unit_W}) {
        in_J += (*w)[0] * dt_s;
        through_J += std::abs((*w)[0]) * dt_s;
      }
    }
    INFO("step " << dt_s << " s");
    CHECK(std::abs(stepper.stored_J() - before_J - in_J) < kBalance_1 * through_J);
  }
}

TEST_CASE("network: no gains and a constant world end at the world's temperature",
          "[network][property]") {
  const network::Cabin cabin = network::assemble(test::sample_vehicle());
  network::Stepper<1> stepper(std::span(&cabin, 1), 60);
  network::Drive<1> drive(cabin.chains.size());
  drive.T_out_K = drive.T_sky_K = drive.T_ground_K = drive.T_under_K = Lane<1>::Constant(308.0);
  drive.film_wind_W_m2K = network::parked_film(3.0).wind_W_m2K;
  drive.exchange_W_K = 5.0;
  for (int i = 0; i < 20 * 1440; ++i) {
    (void)stepper.prepare(drive);
    stepper.finish(drive, Lane<1>::Zero());
  }
  constexpr double kSettled_K = 1e-6;  // twenty days are some forty time constants
  CHECK_WITHIN(stepper.T_air_K()[0], 308.0, kSettled_K);
  for (std::size_t i = 0; i < stepper.nodes(); ++i)
    CHECK_WITHIN(stepper.T_node_K(i), 308.0, kSettled_K);
}

TEST_CASE("network: the unit's heat moves the air as the response says", "[network][unit]") {
  const network::Cabin cabin = network::assemble(test::sample_vehicle());
  network::Drive<1> drive(cabin.chains.size());
  test::sample_drive(cabin, 50000, drive);
  network::Stepper<1> stepper(std::span(&cabin, 1), 60);
  stepper.start_at(Lane<1>::Constant(303.0));
  const auto response = stepper.prepare(drive);
  const double wanted_K = 297.15;
  stepper.finish(drive, Lane<1>((wanted_K - response.free_K) / response.per_W));
  CHECK_WITHIN(stepper.T_air_K()[0], wanted_K, 1e-9);
  CHECK(response.per_W[0] > 0);
}
