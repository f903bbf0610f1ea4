// SPDX-License-Identifier: Apache-2.0
// A lane is the run of its cabin alone, to the last bit, whatever stands beside it.
#include <random>

#include "support/catch.hpp"
#include "support/sample_cabin.hpp"

namespace network = cabinload::network;
namespace test = cabinload::test;
using network::Lane;

namespace {

/// Instruction sets round differently, over two days of steps.
constexpr double kRounding_K = 1e-9;

/// A cabin of random numbers, layers, windows and furnishings: other slices, chains and kinds.
network::Cabin random_cabin(std::mt19937& random) {
  std::uniform_real_distribution<double> share(0, 1);
  auto v = test::sample_vehicle();
  for (auto& s : v.surfaces) {
    s.area_m2 *= 0.5 + share(random);
    s.absorptance_1 = share(random);
    s.layers[1].thickness_m = 0.005 + 0.08 * share(random);
    if (share(random) < 0.3) s.layers.resize(1);
    if (share(random) < 0.2) s.outside = cabinload::vehicle::Outside::fixed;
    if (share(random) < 0.2) s.films.inside_W_m2K = 2 + 3 * share(random);
    if (share(random) < 0.2) s.films.outside_W_m2K = 10 + 9 * share(random);
  }
  while (share(random) < 0.4) v.windows.push_back(v.windows[0]);
  if (share(random) < 0.3) v.windows[0].inside_cover = {};
  if (share(random) < 0.3) v.windows[0].outside_cover.side = cabinload::vehicle::CoverSide::outside;
  if (share(random) < 0.3) v.furnishings.clear();
  v.air_capacity_factor_1 = 1.0 + 3 * share(random);
  v.volume_m3 *= 0.5 + share(random);
  return network::assemble(v);
}

template <int L>
void set_lane(network::Drive<L>& all, const network::Drive<1>& one, int l) {
  using One = network::Drive<1>;
  using All = network::Drive<L>;
  const auto copy = [&](Lane<L> All::*to, Lane<1> One::*from) { (all.*to)[l] = (one.*from)[0]; };
  copy(&All::T_out_K, &One::T_out_K);
  copy(&All::T_sky_K, &One::T_sky_K);
  copy(&All::T_ground_K, &One::T_ground_K);
  copy(&All::T_under_K, &One::T_under_K);
  copy(&All::film_still_W_m2K, &One::film_still_W_m2K);
  copy(&All::film_wind_W_m2K, &One::film_wind_W_m2K);
  copy(&All::exchange_W_K, &One::exchange_W_K);
  copy(&All::mixing_W_m2K, &One::mixing_W_m2K);
  copy(&All::air_W, &One::air_W);
  copy(&All::radiant_W, &One::radiant_W);
  for (std::size_t c = 0; c < one.at.size(); ++c) {
    all.at[c].outer_W[l] = one.at[c].outer_W[0];
    all.at[c].inner_W[l] = one.at[c].inner_W[0];
    all.at[c].T_fixed_K[l] = one.at[c].T_fixed_K[0];
    all.at[c].inside_cover_m2K_W[l] = one.at[c].inside_cover_m2K_W[0];
    all.at[c].outside_cover_m2K_W[l] = one.at[c].outside_cover_m2K_W[0];
    all.at[c].outside_cover_W[l] = one.at[c].outside_cover_W[0];
  }
}

/// Steps L cabins together and apart. @return numbers that are not the same to the last bit
template <int L>
long differing(const std::vector<network::Cabin>& cabins, network::InstructionSet set,
               std::vector<double>& T_end_K) {
  std::size_t chains = 0;
  for (const auto& cabin : cabins) chains = std::max(chains, cabin.chains.size());
  network::Stepper<L> together(std::span<const network::Cabin>(cabins), 60, set);
  network::Drive<L> drive(chains);
  std::vector<network::Stepper<1>> alone;
  std::vector<network::Drive<1>> drives;
  for (const auto& cabin : cabins) {
    alone.emplace_back(std::span<const network::Cabin>(&cabin, 1), 60.0, set);
    drives.emplace_back(cabin.chains.size());
  }
  long different = 0;
  const auto compare = [&](double a, double b) { different += a == b ? 0 : 1; };
  for (double t_s = 0; t_s < 2 * 86400.0; t_s += 60) {
    Lane<L> unit_W;
    for (int l = 0; l < L; ++l) {
      const auto i = static_cast<std::size_t>(l);
      test::sample_drive(cabins[i], t_s + 3600.0 * l, drives[i]);
      drives[i].at[0].outside_cover_m2K_W = 0.3;
      set_lane(drive, drives[i], l);
      unit_W[l] = -100.0 * l;
    }
    const auto response = together.prepare(drive);
    for (int l = 0; l < L; ++l) {
      const auto i = static_cast<std::size_t>(l);
      const auto own = alone[i].prepare(drives[i]);
      compare(response.free_K[l], own.free_K[0]);
      compare(response.per_W[l], own.per_W[0]);
      alone[i].heat_face(1, 5.0 * l);
      together.heat_face(1, 5.0 * l, l);
      alone[i].finish(drives[i], Lane<1>::Constant(unit_W[l]));
    }
    together.finish(drive, unit_W);
    for (int l = 0; l < L; ++l) {
      const auto& own = alone[static_cast<std::size_t>(l)];
      compare(together.T_air_K(l), own.T_air_K(0));
      compare(together.coldest_inner_K(l), own.coldest_inner_K());
      compare(together.flows().envelope_W[l], own.flows().envelope_W[0]);
      compare(together.flows().windows_W[l], own.flows().windows_W[0]);
      compare(together.flows().sun_inside_W[l], own.flows().sun_inside_W[0]);
    }
  }
  for (int l = 0; l < L; ++l) {
    const auto& own = alone[static_cast<std::size_t>(l)];
    for (std::size_t i = 0; i < own.nodes(); ++i) compare(together.T_node_K(i, l), own.T_node_K(i));
    compare(together.stored_J(l), own.stored_J());
    T_end_K.push_back(together.T_air_K(l));
  }
  return different;
}

std::vector<network::Cabin> random_cabins(std::size_t count, unsigned seed) {
  std::mt19937 random(seed);
  std::vector<network::Cabin> cabins;
  for (std::size_t i = 0; i < count; ++i) cabins.push_back(random_cabin(random));
  return cabins;
}

}  // namespace

TEST_CASE("network: a lane equals the run alone to the last bit", "[network][property]") {
  for (const auto set : network::instruction_sets())
    for (unsigned seed = 1; seed <= 3; ++seed) {
      INFO("instruction set " << network::name_of(set) << ", seed " << seed);
      std::vector<double> T_K;
      CHECK(differing<4>(random_cabins(4, seed), set, T_K) == 0);
      CHECK(differing<8>(random_cabins(8, seed), set, T_K) == 0);
      // Another neighbourhood: the first four in eight lanes are the same four.
      for (std::size_t l = 0; l < 4; ++l) CHECK(T_K[l] == T_K[4 + l]);
    }
}

TEST_CASE("network: instruction sets differ by rounding", "[network][property]") {
  std::vector<double> first;
  for (const auto set : network::instruction_sets()) {
    std::vector<double> T_K;
    (void)differing<8>(random_cabins(8, 7), set, T_K);
    if (first.empty()) first = T_K;
    for (std::size_t l = 0; l < T_K.size(); ++l) CHECK_WITHIN(T_K[l], first[l], kRounding_K);
  }
}
