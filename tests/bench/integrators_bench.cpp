// SPDX-License-Identifier: Apache-2.0
// Days of the demo van's network with a stated unit at night: the stepper, one lane, against
// Boost.odeint's dopri5 and SUNDIALS CVODE on the same equations (continuous_cabin.hpp), each at
// the loosest of a few tolerances that keeps the air within the bar of CVODE at 1e-10. CVODE is
// stopped and begun anew each minute, as a control that acts each minute makes it. Processor time,
// repetitions interleaved. Prints JSON.
#include <boost/numeric/odeint.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <cstdio>
#include <cstdlib>

#include "bench/timings.hpp"
#include "support/by_cvode.hpp"

namespace network = cabinload::network;
namespace test = cabinload::test;
using test::World, test::Timings;

namespace {

constexpr double kStart_K = 300, kBar_K = 0.005;
using Airs = std::vector<double>;  // air at the end of every 10 min

/// Heat of a unit by the clock, constant within a slot [W].
double unit_W(double t_s) {
  const double hour = std::fmod(t_s / 3600, 24);
  return hour >= 22 || hour < 7 ? -600 : 0;
}

Airs by_dopri5(const World& world, int days, double tolerance) {
  namespace odeint = boost::numeric::odeint;
  using State = std::vector<double>;
  test::Equations e = test::equations_of(world);
  State T(test::nodes_of(world), kStart_K);
  auto stepper = odeint::make_controlled(tolerance, tolerance, odeint::runge_kutta_dopri5<State>());
  const auto rates = [&](const State& x, State& dx, double t_s) {
    e.rates(t_s, x.data(), dx.data());
  };
  Airs air_K;
  double dt_s = 1, t_s = 0;
  for (int s = 0; s < days * 144; ++s) {
    test::enter_slot(world, 600.0 * s, unit_W, e);
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

double rms_K(const Airs& a, const Airs& exact) {
  return test::apart(a, exact).rms_K;
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
  const auto cvode_at = [&](test::CvodeSettings settings) {
    return test::by_cvode(world, days, kStart_K, settings, unit_W);
  };
  const Airs exact = cvode_at({});
  double dopri5 = 0, cvode = 0;
  for (const double tolerance : {1e-1, 1e-2, 1e-3, 1e-4, 1e-5, 1e-6})
    if (dopri5 = tolerance; rms_K(by_dopri5(world, days, tolerance), exact) <= kBar_K) break;
  for (const double tolerance : {1e-3, 1e-4, 1e-5, 1e-6, 1e-7})
    if (cvode = tolerance; rms_K(cvode_at({tolerance, tolerance, 60}), exact) <= kBar_K) break;
  Timings ours, explicit_s, implicit_s;
  Airs a, b, c;
  for (int r = 0; r < repetitions; ++r) {
    ours.time([&] {
      for (int k = 0; k < 10; ++k) a = test::by_stepper(world, days, kStart_K, 60, unit_W);
    });
    explicit_s.time([&] { b = by_dopri5(world, days, dopri5); });
    implicit_s.time([&] { c = cvode_at({cvode, cvode, 60}); });
  }
  const double own_s = ours.at(0.5) / 10;
  std::printf(
      "{\"bench\": \"integrators\", \"days\": %d, \"repetitions\": %d, \"nodes\": %zu, "
      "\"stepper\": {\"ms_per_day\": %.4f, \"rms_K\": %.2g}, "
      "\"dopri5\": {\"ms_per_day\": %.3f, \"rms_K\": %.2g, \"tolerance\": %g, \"ratio\": %.1f}, "
      "\"cvode_each_minute\": {\"ms_per_day\": %.3f, \"rms_K\": %.2g, \"tolerance\": %g, "
      "\"ratio\": %.1f}}\n",
      days, repetitions, test::nodes_of(world), own_s / days * 1e3, rms_K(a, exact),
      explicit_s.at(0.5) / days * 1e3, rms_K(b, exact), dopri5, explicit_s.at(0.5) / own_s,
      implicit_s.at(0.5) / days * 1e3, rms_K(c, exact), cvode, implicit_s.at(0.5) / own_s);
  return 0;
}
