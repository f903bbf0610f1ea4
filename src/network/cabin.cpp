// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/network/cabin.hpp>
#include <cmath>
#include <span>

namespace cabinload::network {
namespace {

using vehicle::Layer;

int slices(const Layer& layer, double period_s) {
  const double capacity = layer.rho_kg_m3 * layer.c_J_kgK;
  if (capacity <= 0) return 1;
  const double depth_m = std::sqrt(layer.k_W_mK / capacity * period_s / core::kPi);
  const double slice_m =
      depth_m * std::min(kSliceDepth_1, std::sqrt(kSliceError_1 * depth_m / layer.thickness_m));
  return std::max(1, static_cast<int>(std::ceil(layer.thickness_m / slice_m)));
}

/// Appends the layers' nodes and conductances to a chain of the given area.
void lump(std::span<const Layer> layers, double area_m2, double period_s, Chain& chain) {
  chain.C_J_K.assign(1, 0.0);
  chain.G_W_K.clear();
  for (const Layer& layer : layers) {
    if (!(layer.thickness_m > 0) || !(layer.k_W_mK > 0))
      throw core::RangeError(chain.name + ": layer '" + layer.material +
                             "' needs a thickness and a conductivity above zero");
    // No slice thinner than what a node can tell apart; a layer that is, is mass alone.
    const double least = std::floor(layer.resistance_m2K_W() / kThinResistance_m2K_W);
    const int n = std::max(1, std::min(slices(layer, period_s), static_cast<int>(least)));
    const double R_m2K_W = layer.resistance_m2K_W() / n;
    const double half_J_K = 0.5 * layer.areal_heat_capacity_J_m2K() * area_m2 / n;
    for (int i = 0; i < n; ++i) {
      if (R_m2K_W < kThinResistance_m2K_W) {  // then n is 1
        chain.C_J_K.back() += 2.0 * half_J_K;
        continue;
      }
      chain.C_J_K.back() += half_J_K;
      chain.G_W_K.push_back(area_m2 / R_m2K_W);
      chain.C_J_K.push_back(half_J_K);
    }
  }
}

Group group_of(vehicle::Part part) {
  switch (part) {
    case vehicle::Part::roof:
      return Group::roof;
    case vehicle::Part::floor:
      return Group::floor;
    case vehicle::Part::partition:
      return Group::partition;
    case vehicle::Part::wall:
      break;
  }
  return Group::wall;
}

Chain shell_chain(const vehicle::Surface& surface, int index, std::span<const Layer> layers,
                  double share_1, const char* path) {
  Chain chain;
  chain.name = surface.name + path;
  chain.group = group_of(surface.part);
  chain.area_m2 = surface.area_m2 * share_1;
  lump(layers, chain.area_m2, kSlicePeriod_s, chain);
  chain.outside = surface.outside;
  chain.T_fixed_K = surface.T_fixed_K;
  chain.wind_share_1 = surface.wind_share_1.value_or(
      surface.outside == vehicle::Outside::underbody ? kUnderbodyWindShare_1 : 1.0);
  chain.films = surface.films;
  chain.emittance_out_1 = surface.emittance_out_1;
  chain.view = surface.outside == vehicle::Outside::underbody ? LongWaveView{0, 0, 1}
                                                              : long_wave_view(surface.tilt_rad);
  chain.absorptance_1 = surface.absorptance_1;
  chain.surface = index;
  chain.film = natural_film(-std::cos(surface.tilt_rad));
  chain.emittance_in_1 = surface.emittance_in_1;
  chain.solar_share_1 = surface.solar_share_1.value_or(0) * share_1;
  chain.radiant_share_1 = surface.radiant_share_1.value_or(0) * share_1;
  return chain;
}

Chain window_chain(const vehicle::Window& window, int index) {
  Chain chain;
  chain.name = window.name;
  chain.group = Group::window;
  chain.area_m2 = window.area_m2;
  const double half_J_K = 0.5 * window.areal_heat_capacity_J_m2K * window.area_m2;
  chain.C_J_K = {half_J_K, half_J_K};
  chain.G_W_K = {window.area_m2 / window.resistance_face_to_face()};
  chain.outside = vehicle::Outside::open_air;
  chain.emittance_out_1 = window.emittance_1;
  chain.view = long_wave_view(window.tilt_rad);
  chain.window = index;
  chain.film = natural_film(-std::cos(window.tilt_rad));
  chain.emittance_in_1 = window.emittance_1;
  chain.wind_share_1 = window.wind_share_1;
  chain.films = window.films;
  chain.radiant_share_1 = window.radiant_share_1.value_or(0);
  chain.inside_cover = window.inside_cover;
  chain.outside_cover = window.outside_cover;
  return chain;
}

Chain furnishing_chain(const vehicle::Furnishing& furnishing) {
  Chain chain;
  chain.name = furnishing.name;
  chain.group = Group::furnishing;
  chain.area_m2 = furnishing.area_m2;
  lump(furnishing.layers, furnishing.area_m2, kFurnishingPeriod_s, chain);
  chain.outside = vehicle::Outside::adiabatic;
  chain.film = natural_film(1.0);
  chain.emittance_in_1 = furnishing.emittance_1;
  chain.solar_share_1 = furnishing.solar_share_1;
  chain.radiant_share_1 = furnishing.radiant_share_1;
  chain.films = furnishing.films;
  return chain;
}

/// Areas towards the radiant star: each face sees a mean of all others.
/// F_i = 1 / (1 - A_i F_i / sum A F), G_i = A_i / ((1 - e_i)/e_i + 1/F_i) * 4 sigma T^3.
/// Source: [Carroll1980]. F is capped at 2 (a face as large as half of all).
void share_radiation(std::vector<Chain>& chains) {
  std::vector<double> F(chains.size(), 1.0);
  for (int round = 0; round < 50; ++round) {
    double sum_m2 = 0;
    for (std::size_t i = 0; i < chains.size(); ++i) sum_m2 += chains[i].area_m2 * F[i];
    for (std::size_t i = 0; i < chains.size(); ++i)
      F[i] = 1.0 / std::max(0.5, 1.0 - chains[i].area_m2 * F[i] / sum_m2);
  }
  for (std::size_t i = 0; i < chains.size(); ++i) {
    const double e = chains[i].emittance_in_1;
    chains[i].radiant_area_m2 = e > 0 ? chains[i].area_m2 / ((1.0 - e) / e + 1.0 / F[i]) : 0.0;
  }
}

/// Shares of the sun that entered, where surfaces do not state them: furnishings bring theirs, the
/// rest goes by kind. Returns what is lost by the glass.
double share_sun(std::vector<Chain>& chains, const vehicle::SunInside& sun) {
  double taken = 0, floor_m2 = 0, shell_m2 = 0;
  const auto is_shell = [](const Chain& c) {
    return c.group == Group::wall || c.group == Group::roof || c.group == Group::partition;
  };
  for (const Chain& c : chains) {
    taken += c.solar_share_1;
    if (c.group == Group::floor) floor_m2 += c.area_m2;
    if (is_shell(c)) shell_m2 += c.area_m2;
  }
  const double rest = std::max(0.0, 1.0 - taken);
  const double to_floor = floor_m2 > 0 ? sun.floor_1 : 0.0;
  const double to_shell = shell_m2 > 0 ? sun.shell_1 + sun.floor_1 - to_floor : 0.0;
  for (Chain& c : chains) {
    if (c.group == Group::floor) c.solar_share_1 += rest * to_floor * c.area_m2 / floor_m2;
    if (is_shell(c)) c.solar_share_1 += rest * to_shell * c.area_m2 / shell_m2;
  }
  double landed = 0;
  for (const Chain& c : chains) landed += c.solar_share_1;
  return 1.0 - landed;
}

/// A cabin whose faces do not radiate to each other (emittances of 0) has no star to take radiant
/// gains: they go to the faces by area.
void share_radiant_gains(Cabin& cabin) {
  if (cabin.radiant_shares) return;
  double star_m2 = 0, area_m2 = 0;
  for (const Chain& c : cabin.chains) {
    star_m2 += c.radiant_area_m2 + c.films.inside_radiant_W_m2K * c.area_m2;
    area_m2 += c.area_m2;
  }
  if (star_m2 > 0) return;
  cabin.radiant_shares = true;
  for (Chain& c : cabin.chains) c.radiant_share_1 = c.area_m2 / area_m2;
}

/// Puts the vehicle's shares of sun and radiant gains on the chains.
void share_gains(const vehicle::Vehicle& vehicle, Cabin& cabin) {
  bool sun_stated = false;
  for (const vehicle::Surface& s : vehicle.surfaces) {
    sun_stated = sun_stated || s.solar_share_1;
    cabin.radiant_shares = cabin.radiant_shares || s.radiant_share_1;
  }
  share_radiant_gains(cabin);
  if (!sun_stated) {
    cabin.solar_lost_1 = share_sun(cabin.chains, vehicle.sun_inside);
    return;
  }
  cabin.solar_air_1 = vehicle.sun_inside.air_1;
  cabin.solar_lost_1 = 1.0 - cabin.solar_air_1;
  for (const Chain& c : cabin.chains) cabin.solar_lost_1 -= c.solar_share_1;
}

}  // namespace

std::size_t Cabin::nodes() const {
  std::size_t n = 0;
  for (const Chain& chain : chains) n += chain.C_J_K.size();
  return n + 2;
}

int Cabin::roof() const {
  constexpr double kGroundSeen_1 =
      0.1;  // a face that looks up sees hardly any; engineering judgement
  int roof = -1;
  for (std::size_t c = 0; c < chains.size(); ++c) {
    const Chain& x = chains[c];
    if (x.surface < 0 || x.outside != vehicle::Outside::open_air || x.view.ground_1 > kGroundSeen_1)
      continue;
    if (roof < 0 || x.area_m2 > chains[static_cast<std::size_t>(roof)].area_m2)
      roof = static_cast<int>(c);
  }
  return roof;
}

Cabin assemble(const vehicle::Vehicle& vehicle) {
  if (vehicle.surfaces.empty()) throw core::RangeError("a cabin needs at least one surface");
  Cabin cabin;
  for (std::size_t i = 0; i < vehicle.surfaces.size(); ++i) {
    const vehicle::Surface& s = vehicle.surfaces[i];
    const int index = static_cast<int>(i);
    cabin.chains.push_back(shell_chain(s, index, s.layers, 1.0 - s.framing_fraction, ""));
    if (s.framing_fraction > 0)
      cabin.chains.push_back(shell_chain(s, index, s.framing, s.framing_fraction, ", ribs"));
  }
  for (std::size_t i = 0; i < vehicle.windows.size(); ++i)
    cabin.chains.push_back(window_chain(vehicle.windows[i], static_cast<int>(i)));
  for (const vehicle::Furnishing& f : vehicle.furnishings)
    cabin.chains.push_back(furnishing_chain(f));
  for (Chain& chain : cabin.chains) {
    chain.film.surface_warmer *= vehicle.inside_film_factor_1;
    chain.film.surface_cooler *= vehicle.inside_film_factor_1;
  }
  share_radiation(cabin.chains);
  share_gains(vehicle, cabin);
  cabin.volume_m3 = vehicle.volume_m3;
  cabin.air_capacity_factor_1 = vehicle.air_capacity_factor_1;
  cabin.moisture_capacity_factor_1 = vehicle.moisture_capacity_factor_1;
  cabin.leakage_area_m2 = vehicle.leakage_area_m2;
  return cabin;
}

}  // namespace cabinload::network
