// SPDX-License-Identifier: Apache-2.0
// The demo van's equations written out again, continuous in time, for integrators that the stepper
// is compared with. Shares with the program the cabin's description, the film laws and the forcing.
#pragma once
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/stepper.hpp>
#include <cmath>
#include <span>
#include <vector>

namespace cabinload::test {

inline constexpr double kSigma = core::kStefanBoltzmann_W_m2K4;
inline constexpr double kPeople_W = 120, kRadiant_W = 80;  // constant, so that both see the same
inline constexpr double kAirDensity_kg_m3 = 1.15;  // of the air node, see stepper_layout.cpp
inline constexpr int kFirstDay = 181, kDays = 31, kDrivingDay = 15;
inline constexpr double kDrivingSpeed_m_s = 25;

/// The world at a moment: as the program's run takes it between hours and in slots.
struct World {
  const forcing::Forcing& f;
  const network::Cabin& cabin;
  double length_m;

  double at(const std::vector<double>& v, double t_s) const {
    const double hours = kFirstDay * 24 + t_s / 3600, whole = std::floor(hours);
    const auto k = static_cast<std::size_t>(whole);
    return v[k] + (hours - whole) * (v[k + 1] - v[k]);
  }
  network::OutsideFilm film(double t_s) const {
    const double wind = at(f.wind_m_s, t_s), clock_h = std::fmod(t_s / 3600, 24);
    const bool driving = std::floor(t_s / 86400) == kDrivingDay && clock_h >= 9 && clock_h < 12;
    return driving ? network::driving_film(kDrivingSpeed_m_s, wind, length_m)
                   : network::parked_film(wind);
  }
  double exchange_W_K(double t_s, double T_air_K) const {
    const double dT = T_air_K - at(f.T_out_K, t_s);
    return 1.1 * 1006 * network::leakage_m3_s(cabin.leakage_area_m2, dT, at(f.wind_m_s, t_s));
  }
  std::size_t slot(double t_s) const {
    return static_cast<std::size_t>(kFirstDay * 144 + std::floor(t_s / 600));
  }
  /// Sun at the outer and inner face of every chain in a slot [W].
  void sun(std::size_t s, std::vector<double>& outer_W, std::vector<double>& inner_W) const {
    double entered_W = 0;
    for (const auto& c : cabin.chains)
      if (c.window >= 0)
        entered_W += f.windows[static_cast<std::size_t>(c.window)].transmitted_W_m2[s] * c.area_m2;
    for (std::size_t i = 0; i < cabin.chains.size(); ++i) {
      const network::Chain& c = cabin.chains[i];
      outer_W[i] = inner_W[i] = 0;
      if (c.surface >= 0)
        outer_W[i] = c.absorptance_1 * c.area_m2 *
                     f.surfaces[static_cast<std::size_t>(c.surface)].incident_W_m2[s];
      if (c.window < 0) {
        inner_W[i] = c.solar_share_1 * entered_W;
        continue;
      }
      const auto& w = f.windows[static_cast<std::size_t>(c.window)];
      outer_W[i] = w.absorbed_outer_W_m2[s] * c.area_m2;
      inner_W[i] = w.absorbed_inner_W_m2[s] * c.area_m2;
    }
  }
};

inline double fourth(double T_K) {
  return T_K * T_K * T_K * T_K;
}

/// What outside faces feel at a moment.
struct Sky {
  network::OutsideFilm film;
  double T_out, sky_K4, air_K4, ground_K4, under_K4;
  Sky(const World& w, double t_s)
      : film(w.film(t_s)),
        T_out(w.at(w.f.T_out_K, t_s)),
        sky_K4(fourth(w.at(w.f.T_sky_K, t_s))),
        air_K4(fourth(T_out)),
        ground_K4(fourth(w.at(w.f.T_ground_K, t_s))),
        under_K4(fourth(w.at(w.f.T_under_K, t_s))) {}
  double outside_W(const network::Chain& c, double T_K) const {
    if (c.outside == vehicle::Outside::adiabatic) return 0;
    const double h = film.still_W_m2K + c.wind_share_1 * film.wind_W_m2K;
    const double below = c.outside == vehicle::Outside::underbody ? under_K4 : ground_K4;
    const double seen = c.view.sky_1 * sky_K4 + c.view.air_1 * air_K4 + c.view.ground_1 * below;
    return c.area_m2 * (h * (T_out - T_K) + c.emittance_out_1 * kSigma * (seen - fourth(T_K)));
  }
};

/// dT/dt of all nodes, the air last.
struct Equations {
  const World& world;
  std::vector<double> outer_W, inner_W;
  double star_K = 300;
  double unit_W = 0;  ///< heat to the air beside all else

  double C_air_J_K() const {
    return world.cabin.volume_m3 * kAirDensity_kg_m3 * core::kSpecificHeatDryAir_J_kgK *
           world.cabin.air_capacity_factor_1;
  }
  void rates(double t_s, const double* T, double* dT) {
    const auto& chains = world.cabin.chains;
    std::size_t n = 0;
    double sum_rad_m2 = 0, sum_rad_T = 0;
    for (const auto& c : chains) {
      n += c.C_J_K.size();
      sum_rad_m2 += c.radiant_area_m2;
      sum_rad_T += c.radiant_area_m2 * T[n - 1];
    }
    const double air_K = T[n];
    const Sky sky(world, t_s);
    for (int i = 0; i < 20; ++i) {
      const double before_K = star_K;
      star_K = sum_rad_T / sum_rad_m2 +
               kRadiant_W / (4 * kSigma * star_K * star_K * star_K * sum_rad_m2);
      if (std::abs(star_K - before_K) < 1e-11) break;
    }
    const double star_W_m2K = 4 * kSigma * star_K * star_K * star_K;
    double air_W = kPeople_W + unit_W + world.exchange_W_K(t_s, air_K) * (sky.T_out - air_K);
    std::size_t at = 0;
    for (std::size_t k = 0; k < chains.size(); ++k) {
      const network::Chain& c = chains[k];
      const std::size_t last = at + c.C_J_K.size() - 1;
      const double diff = T[last] - air_K;
      const double natural =
          (diff > 0 ? c.film.surface_warmer : c.film.surface_cooler) * std::cbrt(std::abs(diff));
      const double to_air_W = std::max(natural, network::kLeastInsideFilm_W_m2K) * c.area_m2 * diff;
      air_W += to_air_W;
      for (std::size_t i = at; i <= last; ++i) {
        double W = 0;
        if (i > at) W += c.G_W_K[i - at - 1] * (T[i - 1] - T[i]);
        if (i < last) W += c.G_W_K[i - at] * (T[i + 1] - T[i]);
        if (i == at) W += sky.outside_W(c, T[i]) + outer_W[k];
        if (i == last)
          W += inner_W[k] - to_air_W + c.radiant_area_m2 * star_W_m2K * (star_K - T[i]);
        dT[i] = W / c.C_J_K[i - at];
      }
      at = last + 1;
    }
    dT[n] = air_W / C_air_J_K();
  }
};

/// Nodes of the chains and the air.
inline std::size_t nodes_of(const World& world) {
  std::size_t n = 1;
  for (const auto& c : world.cabin.chains) n += c.C_J_K.size();
  return n;
}
inline Equations equations_of(const World& world) {
  return {world, std::vector<double>(world.cabin.chains.size()),
          std::vector<double>(world.cabin.chains.size())};
}
/// Sun and unit of the slot that begins at a moment.
template <class UnitW>
void enter_slot(const World& world, double from_s, UnitW unit_W, Equations& e) {
  world.sun(world.slot(from_s), e.outer_W, e.inner_W);
  e.unit_W = unit_W(from_s);
}

/// What the stepper is given of the same world, for the step around a moment.
inline void set_drive(const World& world, double middle_s, double T_air_K,
                      std::vector<double>& outer_W, std::vector<double>& inner_W,
                      network::Drive<1>& d) {
  world.sun(world.slot(middle_s), outer_W, inner_W);
  for (std::size_t c = 0; c < d.at.size(); ++c) {
    d.at[c].outer_W = outer_W[c];
    d.at[c].inner_W = inner_W[c];
  }
  d.air_W = kPeople_W;
  d.radiant_W = kRadiant_W;
  d.T_out_K = world.at(world.f.T_out_K, middle_s);
  d.T_sky_K = world.at(world.f.T_sky_K, middle_s);
  d.T_ground_K = world.at(world.f.T_ground_K, middle_s);
  d.T_under_K = world.at(world.f.T_under_K, middle_s);
  const network::OutsideFilm film = world.film(middle_s);
  d.film_still_W_m2K = film.still_W_m2K;
  d.film_wind_W_m2K = film.wind_W_m2K;
  d.exchange_W_K = world.exchange_W_K(middle_s, T_air_K);
}

/// Air at the end of every slot [K], by the program's stepper in one lane; unit_W(t_s) is the heat
/// of a unit to the air.
template <class UnitW>
std::vector<double> by_stepper(const World& world, int days, double start_K, double dt_s,
                               UnitW unit_W) {
  using network::Lane;
  network::Stepper<1> stepper(std::span(&world.cabin, 1), dt_s);
  stepper.start_at(Lane<1>::Constant(start_K));
  network::Drive<1> d(world.cabin.chains.size());
  std::vector<double> air_K, outer_W(d.at.size()), inner_W(d.at.size());
  for (double t_s = 0; t_s < days * 86400 - 1e-6; t_s += dt_s) {
    d.at_changed = std::fmod(t_s + 1e-6, 600) < 1;
    set_drive(world, t_s + 0.5 * dt_s, stepper.T_air_K(0), outer_W, inner_W, d);
    (void)stepper.prepare(d);
    stepper.finish(d, Lane<1>::Constant(unit_W(t_s + 0.5 * dt_s)));
    if (std::fmod(t_s + dt_s + 1e-6, 600) < 1) air_K.push_back(stepper.T_air_K(0));
  }
  return air_K;
}

struct Apart {
  double rms_K = 0, worst_K = 0;
};
/// How far two histories of the air are apart, without the first hour, which forgets the uniform
/// start.
inline Apart apart(const std::vector<double>& ours_K, const std::vector<double>& exact_K) {
  Apart a;
  double squares = 0;
  for (std::size_t i = 6; i < exact_K.size(); ++i) {
    const double off_K = ours_K[i] - exact_K[i];
    squares += off_K * off_K;
    a.worst_K = std::max(a.worst_K, std::abs(off_K));
  }
  a.rms_K = std::sqrt(squares / static_cast<double>(exact_K.size() - 6));
  return a;
}

}  // namespace cabinload::test
