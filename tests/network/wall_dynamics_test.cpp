// SPDX-License-Identifier: Apache-2.0
// Lumped walls against closed forms: ISO 13786 periodic transmittance, semi-infinite solid, plane
// wall.
#include <cabinload/vehicle/catalogue.hpp>
#include <cmath>
#include <complex>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/sample_cabin.hpp"

namespace core = cabinload::core;
namespace network = cabinload::network;
namespace test = cabinload::test;
namespace vehicle = cabinload::vehicle;
using Complex = std::complex<double>;
using network::Lane;

namespace {

constexpr double kOutside_W_m2K = 1 / 0.04, kInside_W_m2K = 1 / 0.13;  // ISO 6946 films

/// Periodic thermal transmittance Y12 [W/(m2 K)] of layers with films. Source: ISO 13786:2007, heat
/// transfer matrix of a layer and of a film; Y12 = -1/Z12.
Complex closed_form(const std::vector<vehicle::Layer>& layers, double period_s) {
  Complex a = 1, b = -1 / kOutside_W_m2K, c = 0, d = 1;  // running product, outside first
  const auto times = [&](Complex e, Complex f, Complex g, Complex h) {
    const Complex na = e * a + f * c, nb = e * b + f * d, nc = g * a + h * c, nd = g * b + h * d;
    a = na, b = nb, c = nc, d = nd;
  };
  for (const vehicle::Layer& l : layers) {
    const double rho_c = l.rho_kg_m3 * l.c_J_kgK;
    if (rho_c <= 0) {
      times(1, -l.thickness_m / l.k_W_mK, 0, 1);
      continue;
    }
    const double depth_m = std::sqrt(l.k_W_mK / rho_c * period_s / core::kPi);
    const Complex x = l.thickness_m / depth_m * Complex(1, 1),
                  k = l.k_W_mK / depth_m * Complex(1, 1);
    times(std::cosh(x), -std::sinh(x) / k, -k * std::sinh(x), std::cosh(x));
  }
  times(1, -1 / kInside_W_m2K, 0, 1);
  return -1.0 / b;
}

/// The same of the lumps: the chain's nodes under a unit wave outside and none inside.
Complex of_lumps(const network::Chain& chain, double period_s) {
  const double omega = 2 * core::kPi / period_s, A = chain.area_m2;
  const std::size_t n = chain.C_J_K.size();
  std::vector<Complex> p(n), q(n);  // T_i = p_i T_{i+1} + q_i, from outside
  for (std::size_t i = 0; i < n; ++i) {
    const double in = i + 1 < n ? chain.G_W_K[i] : kInside_W_m2K * A;
    const double out = i > 0 ? chain.G_W_K[i - 1] : kOutside_W_m2K * A;
    const Complex diag =
        Complex(0, omega * chain.C_J_K[i]) + in + out - (i > 0 ? out * p[i - 1] : 0.0);
    p[i] = in / diag;
    q[i] = (i > 0 ? out * q[i - 1] : Complex(out)) / diag;
  }
  return kInside_W_m2K * q[n - 1];  // the room at 0: T_{n} = 0
}

struct Worst {
  double amplitude_1 = 0, lag_min = 0;
};

/// Compares a wall at a period; returns what it saw.
Worst compare(const std::string& what, const std::vector<vehicle::Layer>& layers, double period_h) {
  vehicle::Vehicle box;
  box.volume_m3 = 1;
  vehicle::Surface s;
  s.name = what;
  s.area_m2 = 1;
  s.layers = layers;
  box.surfaces = {s};
  const Complex ours = of_lumps(network::assemble(box).chains[0], period_h * 3600);
  const Complex exact = closed_form(layers, period_h * 3600);
  const double lag_min = std::remainder(std::arg(exact) - std::arg(ours), 2 * core::kPi) /
                         (2 * core::kPi) * period_h * 60;
  return {std::abs(std::abs(ours) / std::abs(exact) - 1), std::abs(lag_min)};
}

}  // namespace

TEST_CASE("network: every built-in wall passes waves as ISO 13786 says", "[network][table]") {
  // Bars: amplitude 1 %, lag 3 min at 24 h; at 1 h 2 % of amplitude and of the period (1.2 min).
  const struct {
    double period_h, amplitude_1, lag_min;
  } bars[] = {{24, 0.01, 3}, {12, 0.01, 3}, {3, 0.01, 3}, {1, 0.02, 1.2}};
  for (const auto& bar : bars) {
    Worst worst;
    for (const auto& body : vehicle::bodies())
      for (const auto& level : vehicle::insulations()) {
        vehicle::Choice choice;
        choice.body = body.key;
        choice.insulation = level.key;
        for (const auto& surface : vehicle::make(choice).surfaces)
          for (const auto* layers : {&surface.layers, &surface.framing}) {
            if (layers->empty()) continue;
            const std::string what = body.key + ", " + level.key + ", " + surface.name;
            const Worst seen = compare(what, *layers, bar.period_h);
            INFO(what << ", " << bar.period_h << " h: amplitude off by " << seen.amplitude_1
                      << ", lag by " << seen.lag_min << " min");
            CHECK(seen.amplitude_1 < bar.amplitude_1);
            CHECK(seen.lag_min < bar.lag_min);
            worst.amplitude_1 = std::max(worst.amplitude_1, seen.amplitude_1);
            worst.lag_min = std::max(worst.lag_min, seen.lag_min);
          }
      }
    const std::string period = std::to_string(static_cast<int>(bar.period_h)) + " h";
    test::record({"Walls", "every built-in wall, " + period + " wave: amplitude, relative, worst",
                  "ISO 13786", 0, bar.amplitude_1, worst.amplitude_1, "1", ""});
    test::record({"Walls", "every built-in wall, " + period + " wave: lag, worst", "ISO 13786", 0,
                  bar.lag_min, worst.lag_min, "min", ""});
  }
}

TEST_CASE("network: a thick wall warms as a semi-infinite solid and as a plane wall",
          "[network][table]") {
  // Unit step of the surface; films of 1e5 W/m2K stand for a given surface temperature. Source:
  // Incropera et al. eqs. 5.57 (erfc) and 5.42 (series), from memory. Bar 1 % of the step.
  constexpr double kBar_1 = 0.01, k = 0.5, rho_c = 1.2e6, a = k / rho_c;
  for (const bool both_sides : {false, true}) {
    // 0.8 m is eight depths of six hours: the far face feels nothing.
    const double L = both_sides ? 0.2 : 0.8;
    vehicle::Vehicle box;
    box.volume_m3 = 1e-3;
    vehicle::Surface s;
    s.name = "slab";
    s.area_m2 = 1;
    s.layers = {{"slab", L, k, 1200, 1000}};
    s.emittance_in_1 = s.emittance_out_1 = 0;
    s.films = {1e5, both_sides ? 1e5 : 1e-3, 0};
    box.surfaces = {s};
    const network::Cabin cabin = network::assemble(box);
    network::Stepper<1> stepper(std::span(&cabin, 1), 60);
    network::Drive<1> drive(1);
    drive.T_out_K = 1;
    drive.exchange_W_K = both_sides ? 1e9 : 0.0;  // the room follows outdoors, or nothing comes
    stepper.start_at(Lane<1>::Zero());
    const std::size_t n = stepper.nodes();
    REQUIRE(n > 20);
    double worst = 0;
    for (int minute = 1; minute <= 360; ++minute) {
      (void)stepper.prepare(drive);
      stepper.finish(drive, Lane<1>::Zero());
      if (minute < 30) continue;  // the step itself is not resolved
      const double t = 60.0 * minute;
      for (std::size_t i = 1; i + 1 < n; ++i) {
        const double x = L * static_cast<double>(i) / static_cast<double>(n - 1);
        double exact = std::erfc(x / (2 * std::sqrt(a * t)));
        if (both_sides) {
          exact = 1;
          for (int m = 1; m < 60; m += 2)
            exact -= 4 / (m * core::kPi) * std::sin(m * core::kPi * x / L) *
                     std::exp(-std::pow(m * core::kPi / L, 2) * a * t);
        }
        worst = std::max(worst, std::abs(stepper.T_node_K(i) - exact));
      }
    }
    INFO((both_sides ? "plane wall " : "semi-infinite ") << worst);
    CHECK(worst < kBar_1);
    test::record({"Walls",
                  both_sides ? "plane wall, step on both faces, worst node after 30 min"
                             : "semi-infinite solid, step of the surface, worst node",
                  "closed form (Incropera et al.)", 0, kBar_1, worst, "of the step", ""});
  }
}
