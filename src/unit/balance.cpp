// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/compressor.hpp>
#include <cmath>
#include <limits>

namespace cabinload::unit {
namespace {

using core::to_celsius;
using core::to_kelvin;

constexpr double kBeyond_K = 30.0;  ///< how far outside the sheet's range a balance is looked for
constexpr double kResidual_1 = 1e-8;

void require(bool good, const char* what, double value, const char* must) {
  if (!good)
    throw core::RangeError(
        fmt::format("unit: balance point: {} = {:g}, must be {}", what, value, must));
}

void check(const CompressorMap& map, const Exchangers& x, const BalanceInlet& in) {
  const auto positive = [](double v) { return std::isfinite(v) && v > 0; };
  require(positive(x.evaporator_UA_W_K), "evaporator UA in W/K", x.evaporator_UA_W_K, "above 0");
  require(positive(x.condenser_UA_W_K), "condenser UA in W/K", x.condenser_UA_W_K, "above 0");
  require(positive(x.evaporator_flow_m3_s), "evaporator air flow in m3/s", x.evaporator_flow_m3_s,
          "above 0");
  require(positive(x.condenser_flow_m3_s), "condenser air flow in m3/s", x.condenser_flow_m3_s,
          "above 0");
  const auto air = [](double T_K) { return T_K >= 233 && T_K <= 373; };
  require(air(in.T_evaporator_K), "evaporator inlet in degC", to_celsius(in.T_evaporator_K),
          "-40 to 100");
  require(air(in.T_condenser_K), "condenser inlet in degC", to_celsius(in.T_condenser_K),
          "-40 to 100");
  require(in.W_evaporator_1 >= 0 && in.W_evaporator_1 <= 0.2, "humidity ratio", in.W_evaporator_1,
          "0 to 0.2 kg/kg");
  require(in.p_Pa >= 50e3 && in.p_Pa <= 120e3, "pressure in Pa", in.p_Pa, "50000 to 120000");
  const double least = map.sheet().minimum_speed_1;
  if (!(in.speed_1 >= least && in.speed_1 <= 1))
    throw core::RangeError(fmt::format(
        "unit: balance point: speed = {:g}, must be {:g} (the compressor's minimum) to 1",
        in.speed_1, least));
}

struct Root {
  double x;
  int steps;
};

/// Root of f between a and b, where f has opposite signs: inverse quadratic steps while they stay
/// safe, else halving [Chandrupatla1997].
template <class Function>
Root bracketed_root(const Function& f, double a, double b) {
  double fa = f(a), fb = f(b), c = a, fc = fa, t = 0.5;
  for (int step = 2; step < 200; ++step) {
    const double x = a + t * (b - a), fx = f(x);
    if (std::signbit(fx) == std::signbit(fa)) {
      c = a, fc = fa;
    } else {
      c = b, b = a, fc = fb, fb = fa;
    }
    a = x, fa = fx;
    const double best = std::abs(fa) < std::abs(fb) ? a : b;
    const double limit = 2 * std::numeric_limits<double>::epsilon() * (1 + std::abs(best));
    if (fa == 0 || fb == 0 || std::abs(b - a) <= 2 * limit) return {best, step};
    const double near = limit / std::abs(b - a);
    const double xi = (a - b) / (c - b), phi = (fa - fb) / (fc - fb);
    t = 0.5;
    if (phi * phi < xi && (1 - phi) * (1 - phi) < 1 - xi)
      t = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb);
    t = std::clamp(t, near, 1 - near);
  }
  return {a, 200};
}

/// One balance to be found: air at rest, S in degC as the unknown, D solved for each S.
class Problem {
 public:
  Problem(const CompressorMap& map, const Exchangers& x, const BalanceInlet& in)
      : map_(map),
        in_(in),
        T_in_degC_(to_celsius(in.T_evaporator_K)),
        T_out_degC_(to_celsius(in.T_condenser_K)) {
    const double W = in.W_evaporator_1, cp = air::specific_heat_J_kgK(W);
    const double m =
        x.evaporator_flow_m3_s * air::density_kg_m3(in.T_evaporator_K, W, in.p_Pa) / (1 + W);
    reached_kg_s_ = m * -std::expm1(-x.evaporator_UA_W_K / (m * cp));
    h_in_J_kg_ = air::enthalpy_J_kg(in.T_evaporator_K, W);
    const double C = x.condenser_flow_m3_s * air::density_kg_m3(in.T_condenser_K, 0, in.p_Pa) *
                     air::specific_heat_J_kgK(0);
    condenser_W_K_ = C * -std::expm1(-x.condenser_UA_W_K / C);
  }

  /// Humidity of the air that has come to the coil's surface.
  [[nodiscard]] double W_surface_1(double S) const {
    return std::min(in_.W_evaporator_1, air::saturation_humidity_ratio_1(to_kelvin(S), in_.p_Pa));
  }
  /// Heat that the coil takes from the air: falls with S. Dry and wet are one: W at the surface
  /// does not rise.
  [[nodiscard]] double coil_W(double S) const {
    return reached_kg_s_ * (h_in_J_kg_ - air::enthalpy_J_kg(to_kelvin(S), W_surface_1(S)));
  }
  /// D at which the condenser passes on what the compressor gives it at this S.
  [[nodiscard]] double D_degC(double S) const {
    const double D_max = map_.sheet().D_max_degC;
    const auto over = [&](double D) { return D - T_out_degC_ - rejected_W(S, D) / condenser_W_K_; };
    // Above D_max the map stays as it is, so the upper end is a bound.
    const double high = std::max(D_max, T_out_degC_ + rejected_W(S, D_max) / condenser_W_K_ + 1e-6);
    return bracketed_root(over, T_out_degC_, high).x;
  }
  [[nodiscard]] CompressorMap::Point at(double S, double D) const {
    ++evaluations_;
    return map_.at(S, D, in_.speed_1);
  }
  /// Coil less compressor at this S: falls with S.
  [[nodiscard]] double surplus_W(double S) const { return coil_W(S) - at(S, D_degC(S)).capacity_W; }
  [[nodiscard]] double S_degC() const {
    const double lowest = std::min(map_.sheet().S_min_degC, T_in_degC_) - kBeyond_K;
    if (surplus_W(lowest) < 0)
      fail(
          fmt::format("even at a suction dew point of {:.0f} degC the evaporator takes up only "
                      "{:.0f} W; its UA or air flow is too small for the compressor, or the "
                      "inlet too cold",
                      lowest, coil_W(lowest)));
    // At the inlet's temperature, or at the dew point of supersaturated air, the coil takes
    // nothing.
    const double dew = to_celsius(air::dew_point_K(in_.W_evaporator_1, in_.p_Pa));
    const double highest = std::max(T_in_degC_, dew);
    return bracketed_root([&](double S) { return surplus_W(S); }, lowest, highest).x;
  }
  [[nodiscard]] Balance balance() const;

 private:
  [[nodiscard]] double rejected_W(double S, double D) const {
    const auto p = at(S, D);
    return p.capacity_W + p.power_W;
  }
  [[noreturn]] void fail(const std::string& why) const {
    throw core::NumericalError(fmt::format(
        "unit: compressor '{}' has no balance point at evaporator inlet {:.2f} degC, {:.5f} kg/kg, "
        "condenser inlet {:.2f} degC, {:.0f} Pa, speed {:g}: {}",
        map_.sheet().key, T_in_degC_, in_.W_evaporator_1, T_out_degC_, in_.p_Pa, in_.speed_1, why));
  }

  const CompressorMap& map_;
  const BalanceInlet& in_;
  double T_in_degC_, T_out_degC_;
  double reached_kg_s_ = 0;  ///< dry air that comes to the surface: effectiveness x flow
  double h_in_J_kg_ = 0;
  double condenser_W_K_ = 0;  ///< effectiveness x heat capacity flow
  mutable int evaluations_ = 0;
};

Balance Problem::balance() const {
  const double S = S_degC(), D = D_degC(S);
  if (D > map_.sheet().D_max_degC + kBeyond_K)
    fail(
        fmt::format("the discharge dew point would be {:.0f} degC, more than {:.0f} K above the "
                    "sheet's range; the condenser's UA or air flow is too small, or its inlet too "
                    "hot",
                    D, kBeyond_K));
  const auto p = at(S, D);
  const double W_in = in_.W_evaporator_1, W_s = W_surface_1(S);
  Balance b;
  b.capacity_W = p.capacity_W;
  b.power_W = p.power_W;
  // h_in - h_s = (cp + cp_v W_s)(T_in - S) + (W_in - W_s) h_v(T_in), exactly.
  b.sensible_W = reached_kg_s_ * air::specific_heat_J_kgK(W_s) * (T_in_degC_ - S);
  b.moisture_kg_s = reached_kg_s_ * (W_in - W_s);
  b.condenser_heat_W = condenser_W_K_ * (D - T_out_degC_);
  b.T_suction_K = to_kelvin(S);
  b.T_discharge_K = to_kelvin(D);
  b.wet = W_s < W_in;
  b.below_freezing = b.wet && S < 0;
  b.inside_range = map_.inside(S, D);
  b.iterations = evaluations_;
  b.residual = std::max(std::abs(coil_W(S) / p.capacity_W - 1),
                        std::abs(b.condenser_heat_W / (p.capacity_W + p.power_W) - 1));
  if (!(b.residual < kResidual_1))
    fail(fmt::format("the heat balances differ by {:.1e} of the capacity", b.residual));
  return b;
}

}  // namespace

Balance balance_point(const CompressorMap& map, const Exchangers& exchangers,
                      const BalanceInlet& inlet) {
  check(map, exchangers, inlet);
  return Problem(map, exchangers, inlet).balance();
}

}  // namespace cabinload::unit
