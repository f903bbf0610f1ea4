// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/power/sources.hpp>
#include <cmath>
#include <limits>

#include "require.hpp"

namespace cabinload::power {
namespace {

bool some(double x) {
  return x >= 0 && std::isfinite(x);
}

}  // namespace

PanelLoss loss_of(Mount mount) {
  return mount == Mount::portable ? PanelLoss{25.0, 6.84} : PanelLoss{16.6, 0.85};
}

PanelLoss loss_of(const Panels& p) {
  return p.own_loss.value_or(loss_of(p.mount));
}

double rated_W(const Panels& p) {
  return p.stc_W > 0 ? p.stc_W : p.area_m2 * p.efficiency_1 * kStandardIrradiance_W_m2;
}

double panel_W(const Panels& p, double irradiance_W_m2, double T_air_K, double wind_m_s) {
  return PanelYield(p).power_W(irradiance_W_m2, T_air_K, wind_m_s);
}

double alternator_W(const Alternator& a, double bank_V) {
  double W = std::numeric_limits<double>::infinity();
  if (a.limit_A > 0) W = a.limit_A * bank_V;
  if (a.limit_W > 0) W = std::min(W, a.limit_W * a.efficiency_1);
  return W;
}

void check(const Panels& p) {
  const auto is = [](bool good, const char* key, double value, const char* must) {
    require(good, "panels", key, value, must);
  };
  is(some(p.area_m2), "area in m2", p.area_m2, "at least 0");
  is(p.efficiency_1 > 0 && p.efficiency_1 < 0.5, "efficiency", p.efficiency_1,
     "above 0 and below 0.5");
  is(some(p.stc_W), "power in W", p.stc_W, "at least 0");
  is(p.tilt_deg >= 0 && p.tilt_deg <= 90, "tilt in deg", p.tilt_deg, "between 0 and 90");
  is(std::abs(p.heading_deg) <= 360, "heading in deg", p.heading_deg, "between -360 and 360");
  is(p.gamma_1_K >= -0.01 && p.gamma_1_K <= 0, "temperature coefficient per K", p.gamma_1_K,
     "between -0.01 and 0 (a share per kelvin: -0.4 %/K is -0.004)");
  const PanelLoss loss = loss_of(p);
  is(loss.u0_W_m2K > 0, "u0 in W/(m2 K)", loss.u0_W_m2K, "above 0");
  is(loss.u1_Ws_m3K >= 0, "u1 in W s/(m3 K)", loss.u1_Ws_m3K, "at least 0");
  is(p.controller_efficiency_1 > 0 && p.controller_efficiency_1 <= 1, "controller efficiency",
     p.controller_efficiency_1, "above 0 and at most 1");
  is(p.soiling_1 >= 0 && p.soiling_1 <= 1, "soiling", p.soiling_1,
     "between 0 (no light passes) and 1 (clean)");
}

void check(const Alternator& a) {
  const auto is = [](bool good, const char* key, double value, const char* must) {
    require(good, "alternator", key, value, must);
  };
  is(some(a.limit_A), "limit in A", a.limit_A, "at least 0 (none)");
  is(some(a.limit_W), "limit in W", a.limit_W, "at least 0 (none)");
  is(a.limit_A > 0 || a.limit_W > 0, "limit in A", a.limit_A,
     "above 0, or a limit in W given: without one it would charge without end");
  is(a.efficiency_1 > 0 && a.efficiency_1 <= 1, "efficiency", a.efficiency_1,
     "above 0 and at most 1");
}

void check(const Shore& s) {
  const auto is = [](bool good, const char* key, double value, const char* must) {
    require(good, "shore", key, value, must);
  };
  is(s.volts > 0 && std::isfinite(s.volts), "volts", s.volts, "above 0, as 120 or 230");
  is(s.limit_A > 0, "limit in A", s.limit_A, "above 0");
  is(some(s.charger_W), "charger in W", s.charger_W, "at least 0");
  is(s.charger_efficiency_1 > 0 && s.charger_efficiency_1 <= 1, "charger efficiency",
     s.charger_efficiency_1, "above 0 and at most 1");
  is(some(s.trip_delay_s), "trip delay in s", s.trip_delay_s, "at least 0");
}

bool ShoreBreaker::overload(double dt_s) {
  over_s_ += dt_s;
  tripped_ = over_s_ > shore_.trip_delay_s;
  if (tripped_) trip_after_s_ = dt_s - (over_s_ - shore_.trip_delay_s);
  return tripped_;
}

}  // namespace cabinload::power
