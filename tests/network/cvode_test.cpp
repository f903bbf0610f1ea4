// SPDX-License-Identifier: Apache-2.0
// The same right-hand side by SUNDIALS CVODE (BDF, tolerance 1e-10): the demo van through a real
// July without a unit, one day of it driving. Shares with the program the cabin's description, the
// film laws and the forcing; the equations are written out again (continuous_cabin.hpp).
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_config.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/stepper.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/continuous_cabin.hpp"

namespace forcing = cabinload::forcing;
namespace network = cabinload::network;
namespace test = cabinload::test;
namespace vehicle = cabinload::vehicle;
namespace weather = cabinload::weather;
using network::Lane;
using test::Equations, test::World, test::kDays;

namespace {

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
  std::vector<double> air_K, outer_W(d.at.size()), inner_W(d.at.size());
  for (double t_s = 0; t_s < kDays * 86400 - 1e-6; t_s += dt_s) {
    test::set_drive(world, t_s + 0.5 * dt_s, stepper.T_air_K()[0], outer_W, inner_W, d);
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
