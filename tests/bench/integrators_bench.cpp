// SPDX-License-Identifier: Apache-2.0
// Days of the demo van's network with a stated unit at night: the stepper, one lane, against
// Boost.odeint's dopri5 and SUNDIALS CVODE on the same equations (continuous_cabin.hpp), each at
// the loosest of a few tolerances that keeps the air within the bar of CVODE at 1e-10. CVODE is
// stopped and begun anew each minute, as a control that acts each minute makes it. Processor time,
// repetitions interleaved. Prints JSON.
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_config.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <boost/numeric/odeint.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <cstdio>
#include <cstdlib>

#include "bench/timings.hpp"
#include "support/continuous_cabin.hpp"

namespace network = cabinload::network;
namespace test = cabinload::test;
using test::Equations, test::World, test::Timings;

namespace {

constexpr double kStart_K = 300, kBar_K = 0.005;
using Airs = std::vector<double>;  // air at the end of every 10 min

/// Heat of a unit by the clock, constant within a slot [W].
double unit_W(double t_s) {
  const double hour = std::fmod(t_s / 3600, 24);
  return hour >= 22 || hour < 7 ? -600 : 0;
}

std::size_t nodes_of(const World& world) {
  std::size_t n = 1;
  for (const auto& c : world.cabin.chains) n += c.C_J_K.size();
  return n;
}

Equations equations_of(const World& world) {
  return {world, Airs(world.cabin.chains.size()), Airs(world.cabin.chains.size())};
}

void enter_slot(const World& world, double from_s, Equations& e) {
  world.sun(world.slot(from_s), e.outer_W, e.inner_W);
  e.unit_W = unit_W(from_s);
}

int rhs(double t_s, N_Vector T, N_Vector dT, void* user) {
  static_cast<Equations*>(user)->rates(t_s, N_VGetArrayPointer(T), N_VGetArrayPointer(dT));
  return 0;
}

Airs by_cvode(const World& world, int days, double relative, double absolute_K, double stop_s) {
  Equations e = equations_of(world);
  const std::size_t n = nodes_of(world);
  SUNContext context = nullptr;
#if SUNDIALS_VERSION_MAJOR >= 7
  SUNContext_Create(SUN_COMM_NULL, &context);
#else
  SUNContext_Create(nullptr, &context);
#endif
  N_Vector T = N_VNew_Serial(static_cast<sunindextype>(n), context);
  N_VConst(kStart_K, T);
  void* solver = CVodeCreate(CV_BDF, context);
  CVodeInit(solver, rhs, 0.0, T);
  CVodeSStolerances(solver, relative, absolute_K);
  CVodeSetUserData(solver, &e);
  CVodeSetMaxNumSteps(solver, 100000);
  SUNMatrix A = SUNDenseMatrix(static_cast<sunindextype>(n), static_cast<sunindextype>(n), context);
  SUNLinearSolver linear = SUNLinSol_Dense(T, A, context);
  CVodeSetLinearSolver(solver, linear, A);
  Airs air_K;
  for (int s = 0; s < days * 144; ++s) {
    enter_slot(world, 600.0 * s, e);
    for (double from_s = 600.0 * s; from_s < 600.0 * (s + 1) - 1e-6; from_s += stop_s) {
      CVodeReInit(solver, from_s, T);
      CVodeSetStopTime(solver, from_s + stop_s);
      double t_s = from_s;
      if (CVode(solver, from_s + stop_s, T, &t_s, CV_NORMAL) < 0) std::abort();
    }
    air_K.push_back(N_VGetArrayPointer(T)[n - 1]);
  }
  SUNLinSolFree(linear);
  SUNMatDestroy(A);
  CVodeFree(&solver);
  N_VDestroy(T);
  SUNContext_Free(&context);
  return air_K;
}

Airs by_dopri5(const World& world, int days, double tolerance) {
  namespace odeint = boost::numeric::odeint;
  using State = std::vector<double>;
  Equations e = equations_of(world);
  State T(nodes_of(world), kStart_K);
  auto stepper = odeint::make_controlled(tolerance, tolerance, odeint::runge_kutta_dopri5<State>());
  const auto rates = [&](const State& x, State& dx, double t_s) {
    e.rates(t_s, x.data(), dx.data());
  };
  Airs air_K;
  double dt_s = 1, t_s = 0;
  for (int s = 0; s < days * 144; ++s) {
    enter_slot(world, 600.0 * s, e);
    const double end_s = 600.0 * (s + 1);
    while (t_s < end_s - 1e-9) {
      const double wanted_s = dt_s;
      dt_s = std::min(dt_s, end_s - t_s);
      const bool cut = dt_s < wanted_s;
      const bool taken = stepper.try_step(rates, T, t_s, dt_s) == odeint::success;
      if (taken && cut) dt_s = std::max(dt_s, wanted_s);  // the slot's end says nothing about it
    }
    t_s = end_s;
    air_K.push_back(T.back());
  }
  return air_K;
}

Airs by_stepper(const World& world, int days, double dt_s) {
  network::Stepper<1> stepper(std::span(&world.cabin, 1), dt_s);
  stepper.start_at(network::Lane<1>::Constant(kStart_K));
  network::Drive<1> d(world.cabin.chains.size());
  Airs air_K, outer_W(d.at.size()), inner_W(d.at.size());
  for (double t_s = 0; t_s < days * 86400 - 1e-6; t_s += dt_s) {
    d.at_changed = std::fmod(t_s + 1e-6, 600) < 1;
    test::set_drive(world, t_s + 0.5 * dt_s, stepper.T_air_K(0), outer_W, inner_W, d);
    (void)stepper.prepare(d);
    stepper.finish(d, network::Lane<1>::Constant(unit_W(t_s + 0.5 * dt_s)));
    if (std::fmod(t_s + dt_s + 1e-6, 600) < 1) air_K.push_back(stepper.T_air_K(0));
  }
  return air_K;
}

/// Without the first hour, which forgets the uniform start.
double rms_K(const Airs& a, const Airs& exact) {
  double squares = 0;
  for (std::size_t i = 6; i < exact.size(); ++i) squares += (a[i] - exact[i]) * (a[i] - exact[i]);
  return std::sqrt(squares / static_cast<double>(exact.size() - 6));
}

}  // namespace

int main(int argc, char** argv) {
  const int days = argc > 1 ? std::atoi(argv[1]) : 1;
  const int repetitions = argc > 2 ? std::atoi(argv[2]) : 9;
  const auto tucson =
      cabinload::weather::read(cabinload::weather::shipped_folder() + "/722740TYA.CSV");
  const auto van = cabinload::vehicle::make({});
  const auto f = cabinload::forcing::make(tucson, {}, van);
  const network::Cabin cabin = network::assemble(van);
  const World world{f, cabin, van.length_m};
  const Airs exact = by_cvode(world, days, 1e-10, 1e-8, 600);
  double dopri5 = 0, cvode = 0;
  for (const double tolerance : {1e-1, 1e-2, 1e-3, 1e-4, 1e-5, 1e-6})
    if (dopri5 = tolerance; rms_K(by_dopri5(world, days, tolerance), exact) <= kBar_K) break;
  for (const double tolerance : {1e-3, 1e-4, 1e-5, 1e-6, 1e-7})
    if (cvode = tolerance; rms_K(by_cvode(world, days, tolerance, tolerance, 60), exact) <= kBar_K)
      break;
  Timings ours, explicit_s, implicit_s;
  Airs a, b, c;
  for (int r = 0; r < repetitions; ++r) {
    ours.time([&] {
      for (int k = 0; k < 10; ++k) a = by_stepper(world, days, 60);
    });
    explicit_s.time([&] { b = by_dopri5(world, days, dopri5); });
    implicit_s.time([&] { c = by_cvode(world, days, cvode, cvode, 60); });
  }
  const double own_s = ours.at(0.5) / 10;
  std::printf(
      "{\"bench\": \"integrators\", \"days\": %d, \"repetitions\": %d, \"nodes\": %zu, "
      "\"stepper\": {\"ms_per_day\": %.4f, \"rms_K\": %.2g}, "
      "\"dopri5\": {\"ms_per_day\": %.3f, \"rms_K\": %.2g, \"tolerance\": %g, \"ratio\": %.1f}, "
      "\"cvode_each_minute\": {\"ms_per_day\": %.3f, \"rms_K\": %.2g, \"tolerance\": %g, "
      "\"ratio\": %.1f}}\n",
      days, repetitions, nodes_of(world), own_s / days * 1e3, rms_K(a, exact),
      explicit_s.at(0.5) / days * 1e3, rms_K(b, exact), dopri5, explicit_s.at(0.5) / own_s,
      implicit_s.at(0.5) / days * 1e3, rms_K(c, exact), cvode, implicit_s.at(0.5) / own_s);
  return 0;
}
