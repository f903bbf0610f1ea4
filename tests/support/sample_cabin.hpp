// SPDX-License-Identifier: Apache-2.0
// A small invented box with every kind of chain, and a lively day to drive it: for network tests.
#pragma once
#include <cabinload/core/constants.hpp>
#include <cabinload/network/stepper.hpp>
#include <cmath>

namespace cabinload::test {

inline vehicle::Surface sample_surface(const char* name, vehicle::Part part, double area_m2,
                                       double tilt_deg, vehicle::Outside outside) {
  vehicle::Surface s;
  s.name = name;
  s.part = part;
  s.area_m2 = area_m2;
  s.tilt_rad = tilt_deg * core::kDegree_rad;
  s.outside = outside;
  s.layers = {{"sheet", 0.0008, 50, 7800, 460},
              {"foam", 0.02, 0.038, 30, 1400},
              {"ply", 0.004, 0.13, 500, 1600}};
  s.framing_fraction = 0.08;
  s.framing = {{"sheet", 0.0008, 50, 7800, 460},
               {"rib", 0.02, 0.3, 800, 500},
               {"ply", 0.004, 0.13, 500, 1600}};
  return s;
}

inline vehicle::Vehicle sample_vehicle() {
  using vehicle::Outside, vehicle::Part;
  vehicle::Vehicle v;
  v.volume_m3 = 10;
  v.floor_area_m2 = 5.5;
  v.leakage_area_m2 = 0.008;
  v.air_capacity_factor_1 = 2.5;
  v.moisture_capacity_factor_1 = 3;
  v.surfaces = {sample_surface("roof", Part::roof, 5.5, 0, Outside::open_air),
                sample_surface("left", Part::wall, 5.0, 90, Outside::open_air),
                sample_surface("right", Part::wall, 5.0, 90, Outside::open_air),
                sample_surface("floor", Part::floor, 5.5, 180, Outside::underbody),
                sample_surface("bulkhead", Part::partition, 3.0, 90, Outside::adiabatic)};
  v.surfaces[2].azimuth_rad = core::kPi;
  vehicle::Window w;
  w.name = "window";
  w.area_m2 = 1.0;
  w.tilt_rad = 0.5 * core::kPi;
  w.inside_cover.side = vehicle::CoverSide::inside;
  w.inside_cover.resistance_m2K_W = 0.2;
  w.inside_cover.hours = core::DaySchedule();
  v.windows = {w};
  vehicle::Furnishing bed;
  bed.name = "bed";
  bed.area_m2 = 3.0;
  bed.layers = {{"foam", 0.08, 0.04, 30, 1400}, {"cloth", 0.003, 0.06, 200, 1300}};
  bed.solar_share_1 = 0.4;
  v.furnishings = {bed};
  return v;
}

/// Weather and sun at a moment, made up: hot days, cool nights, gusts.
inline void sample_drive(const network::Cabin& cabin, double t_s, network::Drive<1>& d) {
  const double day = 2 * core::kPi * t_s / 86400.0;
  const double sun = std::max(0.0, -std::cos(day));
  d.T_out_K = 302.0 - 8.0 * std::cos(day - 0.6) + 3.0 * std::sin(day / 17.0);
  d.T_sky_K = d.T_out_K - 18.0;
  d.T_ground_K = d.T_out_K + 15.0 * sun;
  d.T_under_K = d.T_out_K + 4.0 * sun;
  const double wind_m_s = 2.0 + 1.5 * std::sin(5.3 * day);
  d.film_wind_W_m2K = network::parked_film(wind_m_s).wind_W_m2K;
  d.exchange_W_K = 6.0 + wind_m_s;
  d.mixing_W_m2K = std::fmod(t_s, 7200.0) < 3600.0 ? 3.0 : 0.0;
  d.air_W = 80.0;
  d.radiant_W = 60.0;
  for (std::size_t c = 0; c < cabin.chains.size(); ++c) {
    const network::Chain& chain = cabin.chains[c];
    network::AtChain<1>& at = d.at[c];
    at.outer_W = chain.surface >= 0
                     ? chain.absorptance_1 * 800.0 * sun * chain.view.sky_1 * chain.area_m2
                     : 0.0;
    at.inner_W = chain.solar_share_1 * 400.0 * sun;
    const bool covered = chain.inside_cover.side == vehicle::CoverSide::inside && sun == 0.0;
    at.inside_cover_m2K_W = covered ? 0.2 : 0.0;
  }
}

}  // namespace cabinload::test
