// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cmath>

namespace cabinload::vehicle {
namespace {

/// Collects sentences "<what> '<name>': <key> = <value>, must be <rule>".
class Findings {
 public:
  void rule(bool good, const std::string& what, const char* key, double value, const char* must) {
    if (!good) list_.push_back(fmt::format("{}: {} = {:g}, must be {}", what, key, value, must));
  }
  void share(const std::string& what, const char* key, double value) {
    rule(value >= 0 && value <= 1, what, key, value, "between 0 and 1");
  }
  void layers(const std::string& what, const std::vector<Layer>& layers) {
    if (layers.empty()) list_.push_back(what + ": has no layer");
    for (const Layer& l : layers) {
      const std::string at = what + ", layer '" + l.material + "'";
      rule(l.thickness_m > 0 && l.thickness_m < 2, at, "thickness in m", l.thickness_m,
           "above 0 and below 2");
      rule(l.k_W_mK > 0 && l.k_W_mK < 1000, at, "conductivity in W/(m K)", l.k_W_mK, "above 0");
      rule(l.rho_kg_m3 >= 0 && l.rho_kg_m3 < 25000, at, "density in kg/m3", l.rho_kg_m3,
           "0 or above");
      rule(l.c_J_kgK >= 0 && l.c_J_kgK < 10000, at, "specific heat in J/(kg K)", l.c_J_kgK,
           "0 or above");
    }
  }
  void say(std::string sentence) { list_.push_back(std::move(sentence)); }
  std::vector<std::string> take() { return std::move(list_); }

 private:
  std::vector<std::string> list_;
};

void check(const Surface& s, Findings& f) {
  const std::string what = "surface '" + s.name + "'";
  f.rule(s.area_m2 > 0 && s.area_m2 < 200, what, "area in m2 without its windows", s.area_m2,
         "above 0 (a window may be larger than its wall)");
  f.rule(s.tilt_rad >= 0 && s.tilt_rad <= core::kPi + 1e-9, what, "tilt in degree",
         s.tilt_rad / core::kDegree_rad, "between 0 and 180");
  f.share(what, "absorptance", s.absorptance_1);
  f.share(what, "emittance outside", s.emittance_out_1);
  f.share(what, "emittance inside", s.emittance_in_1);
  f.rule(s.framing_fraction >= 0 && s.framing_fraction <= 0.5, what, "framing fraction",
         s.framing_fraction, "between 0 and 0.5");
  f.layers(what, s.layers);
  if (s.framing_fraction > 0) f.layers(what + ", ribs", s.framing);
  if (s.outside == Outside::fixed)
    f.rule(s.T_fixed_K.lowest() > 150 && s.T_fixed_K.highest() < 400, what,
           "fixed temperature in K", s.T_fixed_K.lowest(), "between 150 and 400");
}

void check(const Window& w, Findings& f) {
  const std::string what = "window '" + w.name + "'";
  f.rule(w.area_m2 > 0 && w.area_m2 < 50, what, "area in m2", w.area_m2, "above 0");
  f.rule(w.tilt_rad >= 0 && w.tilt_rad <= core::kPi + 1e-9, what, "tilt in degree",
         w.tilt_rad / core::kDegree_rad, "between 0 and 180");
  f.rule(w.panes == 1 || w.panes == 2, what, "panes", w.panes, "1 or 2");
  f.rule(w.U_W_m2K > 0.2 && w.U_W_m2K < 8, what, "U in W/(m2 K)", w.U_W_m2K, "between 0.2 and 8");
  f.share(what, "solar transmittance", w.solar_transmittance_1);
  f.share(what, "solar absorptance", w.solar_absorptance_1);
  f.rule(w.solar_transmittance_1 + w.solar_absorptance_1 <= 1, what,
         "transmittance plus absorptance", w.solar_transmittance_1 + w.solar_absorptance_1,
         "at most 1");
  for (const Cover* c : {&w.inside_cover, &w.outside_cover}) {
    f.rule(c->solar_transmittance_1 + c->solar_reflectance_1 <= 1 + 1e-12, what,
           "cover transmittance plus reflectance",
           c->solar_transmittance_1 + c->solar_reflectance_1, "at most 1");
    f.rule(c->resistance_m2K_W >= 0, what, "cover resistance in m2 K/W", c->resistance_m2K_W,
           "0 or above");
  }
}

}  // namespace

std::vector<std::string> problems(const Vehicle& v) {
  Findings f;
  if (v.surfaces.empty()) f.say("the cabin has no surface");
  f.rule(v.volume_m3 > 0.2 && v.volume_m3 < 500, "cabin", "air volume in m3", v.volume_m3,
         "between 0.2 and 500");
  f.rule(v.leakage_area_m2 >= 0 && v.leakage_area_m2 < 1, "cabin", "leakage area in m2",
         v.leakage_area_m2, "between 0 and 1");
  f.rule(v.air_capacity_factor_1 >= 0 && v.air_capacity_factor_1 <= 50, "cabin",
         "air capacity factor", v.air_capacity_factor_1, "between 0 and 50");
  f.rule(v.moisture_capacity_factor_1 >= 1 && v.moisture_capacity_factor_1 <= 100, "cabin",
         "moisture capacity factor", v.moisture_capacity_factor_1, "between 1 and 100");
  for (const Surface& s : v.surfaces) check(s, f);
  for (const Window& w : v.windows) check(w, f);
  double shares = 0;
  for (const Furnishing& x : v.furnishings) {
    const std::string what = "furnishing '" + x.name + "'";
    f.rule(x.area_m2 > 0, what, "area in m2", x.area_m2, "above 0");
    f.share(what, "share of the sun", x.solar_share_1);
    f.layers(what, x.layers);
    shares += x.solar_share_1;
  }
  f.rule(shares <= 1 + 1e-12, "furnishings", "shares of the sun together", shares, "at most 1");
  return f.take();
}

}  // namespace cabinload::vehicle
