// SPDX-License-Identifier: Apache-2.0
// The same right-hand side by SUNDIALS CVODE (BDF, tolerance 1e-10): the demo van through a real
// July without a unit, one day of it driving. Shares with the program the cabin's description, the
// film laws and the forcing; the equations are written out again.
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_config.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <cabinload/core/constants.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/stepper.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/checks.hpp"

namespace core = cabinload::core;
namespace forcing = cabinload::forcing;
namespace network = cabinload::network;
namespace test = cabinload::test;
namespace vehicle = cabinload::vehicle;
namespace weather = cabinload::weather;
using network::Lane;

namespace {

constexpr double kSigma = core::kStefanBoltzmann_W_m2K4;
constexpr double kPeople_W = 120, kRadiant_W = 80;  // constant, so that both see the same
constexpr double kAirDensity_kg_m3 = 1.15;          // of the air node, see stepper.cpp
constexpr int kFirstDay = 181, kDays = 31, kDrivingDay = 15;
constexpr double kDrivingSpeed_m_s = 25;

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

/// dT/dt of all nodes, the air last.
struct Equations {
  const World& world;
  std::vector<double> outer_W, inner_W;
  double star_K = 300;

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
    const double air_K = T[n], T_out = world.at(world.f.T_out_K, t_s);
    for (int i = 0; i < 20; ++i)
      star_K =
          sum_rad_T / sum_rad_m2 + kRadiant_W / (4 * kSigma * std::pow(star_K, 3) * sum_rad_m2);
    const double star_W_m2K = 4 * kSigma * std::pow(star_K, 3);
    double air_W = kPeople_W + world.exchange_W_K(t_s, air_K) * (T_out - air_K);
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
        if (i == at) W += outside_W(c, t_s, T[i], T_out) + outer_W[k];
        if (i == last)
          W += inner_W[k] - to_air_W + c.radiant_area_m2 * star_W_m2K * (star_K - T[i]);
        dT[i] = W / c.C_J_K[i - at];
      }
      at = last + 1;
    }
    dT[n] = air_W / C_air_J_K();
  }
  double outside_W(const network::Chain& c, double t_s, double T_K, double T_out) const {
    if (c.outside == vehicle::Outside::adiabatic) return 0;
    const network::OutsideFilm film = world.film(t_s);
    const double h = film.still_W_m2K + c.wind_share_1 * film.wind_W_m2K;
    const double below = world.at(
        c.outside == vehicle::Outside::underbody ? world.f.T_under_K : world.f.T_ground_K, t_s);
    const double seen = c.view.sky_1 * std::pow(world.at(world.f.T_sky_K, t_s), 4) +
                        c.view.air_1 * std::pow(T_out, 4) + c.view.ground_1 * std::pow(below, 4);
    return c.area_m2 * (h * (T_out - T_K) + c.emittance_out_1 * kSigma * (seen - std::pow(T_K, 4)));
  }
};

int rhs(double t_s, N_Vector T, N_Vector dT, void* user) {
  static_cast<Equations*>(user)->rates(t_s, N_VGetArrayPointer(T), N_VGetArrayPointer(dT));
  return 0;
}

/// Air temperature at the end of every slot.
std::vector<double> by_cvode(const World& world, double T_start_K) {
  Equations equations{world, std::vector<double>(world.cabin.chains.size()),
                      std::vector<double>(world.cabin.chains.size())};
  std::size_t n = 1;
  for (const auto& c : world.cabin.chains) n += c.C_J_K.size();
  SUNContext context = nullptr;
#if SUNDIALS_VERSION_MAJOR >= 7
  SUNContext_Create(SUN_COMM_NULL, &context);
#else
  SUNContext_Create(nullptr, &context);
#endif
  const auto size = static_cast<sunindextype>(n);
  N_Vector T = N_VNew_Serial(size, context);
  N_VConst(T_start_K, T);
  void* solver = CVodeCreate(CV_BDF, context);
  CVodeInit(solver, rhs, 0.0, T);
  CVodeSStolerances(solver, 1e-10, 1e-8);
  CVodeSetUserData(solver, &equations);
  CVodeSetMaxNumSteps(solver, 100000);
  SUNMatrix A = SUNDenseMatrix(size, size, context);
  SUNLinearSolver linear = SUNLinSol_Dense(T, A, context);
  CVodeSetLinearSolver(solver, linear, A);
  std::vector<double> air_K;
  for (int s = 0; s < kDays * 144; ++s) {
    const double from_s = 600.0 * s, to_s = from_s + 600;
    world.sun(world.slot(from_s), equations.outer_W, equations.inner_W);
    CVodeReInit(solver, from_s, T);
    CVodeSetStopTime(solver, to_s);
    double t_s = from_s;
    REQUIRE(CVode(solver, to_s, T, &t_s, CV_NORMAL) >= 0);
    air_K.push_back(N_VGetArrayPointer(T)[n - 1]);
  }
  SUNLinSolFree(linear);
  SUNMatDestroy(A);
  CVodeFree(&solver);
  N_VDestroy(T);
  SUNContext_Free(&context);
  return air_K;
}

std::vector<double> by_stepper(const World& world, double T_start_K, double dt_s) {
  network::Stepper<1> stepper(std::span(&world.cabin, 1), dt_s);
  stepper.start_at(Lane<1>::Constant(T_start_K));
  network::Drive<1> d(world.cabin.chains.size());
  d.air_W = kPeople_W;
  d.radiant_W = kRadiant_W;
  std::vector<double> air_K, outer_W(d.at.size()), inner_W(d.at.size());
  for (double t_s = 0; t_s < kDays * 86400 - 1e-6; t_s += dt_s) {
    const double middle_s = t_s + 0.5 * dt_s;
    world.sun(world.slot(middle_s), outer_W, inner_W);
    for (std::size_t c = 0; c < d.at.size(); ++c) {
      d.at[c].outer_W = outer_W[c];
      d.at[c].inner_W = inner_W[c];
    }
    d.T_out_K = world.at(world.f.T_out_K, middle_s);
    d.T_sky_K = world.at(world.f.T_sky_K, middle_s);
    d.T_ground_K = world.at(world.f.T_ground_K, middle_s);
    d.T_under_K = world.at(world.f.T_under_K, middle_s);
    d.film_still_W_m2K = world.film(middle_s).still_W_m2K;
    d.film_wind_W_m2K = world.film(middle_s).wind_W_m2K;
    d.exchange_W_K = world.exchange_W_K(middle_s, stepper.T_air_K()[0]);
    (void)stepper.prepare(d);
    stepper.finish(d, Lane<1>::Zero());
    if (std::fmod(t_s + dt_s + 1e-6, 600) < 1) air_K.push_back(stepper.T_air_K()[0]);
  }
  return air_K;
}

}  // namespace

TEST_CASE("network: a July of the demo van agrees with CVODE", "[network][table][slow]") {
  constexpr double kRms_K = 0.005, kWorst_K = 0.05, kStart_K = 300;
  const weather::Series tucson = weather::read(weather::shipped_folder() + "/722740TYA.CSV");
  const vehicle::Vehicle van = vehicle::make({});
  const forcing::Forcing f = forcing::make(tucson, {}, van);
  const network::Cabin cabin = network::assemble(van);
  const World world{f, cabin, van.length_m};
  const std::vector<double> exact = by_cvode(world, kStart_K),
                            ours = by_stepper(world, kStart_K, 60);
  REQUIRE(exact.size() == ours.size());
  double squares = 0, worst_K = 0;
  for (std::size_t i = 6; i < exact.size(); ++i) {  // an hour to forget the uniform start
    const double off = ours[i] - exact[i];
    squares += off * off;
    worst_K = std::max(worst_K, std::abs(off));
  }
  const double rms_K = std::sqrt(squares / static_cast<double>(exact.size() - 6));
  INFO("rms " << rms_K << " K, worst " << worst_K << " K");
  CHECK(rms_K < kRms_K);
  CHECK(worst_K < kWorst_K);
  constexpr const char* kSource = "SUNDIALS CVODE, BDF, tolerance 1e-10";
  test::record({"Integration", "a July of the demo van, one day driving: air, rms", kSource, 0,
                kRms_K, rms_K, "K", ""});
  test::record({"Integration", "the same, worst 10 min", kSource, 0, kWorst_K, worst_K, "K", ""});
}
