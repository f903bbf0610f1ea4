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
      rule(l.k_W_mK > 0 && l.k_W_mK < 1000, at, "conductivity in W/(m K)", l.k_W_mK,
           "above 0 and below 1000");
      rule(l.rho_kg_m3 >= 0 && l.rho_kg_m3 <= 25000, at, "density in kg/m3", l.rho_kg_m3,
           "between 0 and 25000");
      rule(l.c_J_kgK >= 0 && l.c_J_kgK <= 10000, at, "specific heat in J/(kg K)", l.c_J_kgK,
           "between 0 and 10000");
    }
  }
  void say(std::string sentence) { list_.push_back(std::move(sentence)); }
  std::vector<std::string> take() { return std::move(list_); }

 private:
  std::vector<std::string> list_;
};

/// A pane with films and a body of the poorest conductor in use cannot insulate better than this.
/// Low-emittance coatings may double the films of ISO 6946 (0.17 m2 K/W); engineering judgement.
double least_single_pane_U_W_m2K(double thickness_m) {
  constexpr double kFilms_m2K_W = 2 * 0.17, kPoorest_W_mK = 0.1;
  return 1.0 / (kFilms_m2K_W + thickness_m / kPoorest_W_mK);
}

void check(const Surface& s, const std::vector<Window>& windows, Findings& f) {
  const std::string what = "surface '" + s.name + "'";
  double glass_m2 = 0;
  for (const Window& w : windows)
    if (same_face(w, s)) glass_m2 += w.area_m2;
  const bool overfull = s.area_m2 <= 0 && glass_m2 > 0;
  f.rule(s.area_m2 > 0 && s.area_m2 < 200, what, "area in m2 without its windows", s.area_m2,
         "above 0 and below 200");
  if (overfull)
    f.say(fmt::format("{}: its windows of {:g} m2 are larger than the {:g} m2 it has", what,
                      glass_m2, s.area_m2 + glass_m2));
  f.rule(s.tilt_rad >= 0 && s.tilt_rad <= core::kPi + 1e-9, what, "tilt in degree",
         s.tilt_rad / core::kDegree_rad, "between 0 and 180");
  f.rule(std::isfinite(s.azimuth_rad), what, "azimuth in degree", s.azimuth_rad / core::kDegree_rad,
         "a number");
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

void check(const Cover& c, const std::string& what, Findings& f) {
  f.share(what, "cover transmittance", c.solar_transmittance_1);
  f.share(what, "cover reflectance", c.solar_reflectance_1);
  const double sum_1 = c.solar_transmittance_1 + c.solar_reflectance_1;
  f.rule(sum_1 <= 1 + 1e-12, what, "cover transmittance plus reflectance", sum_1, "at most 1");
  f.rule(c.resistance_m2K_W >= 0 && c.resistance_m2K_W < 20, what, "cover resistance in m2 K/W",
         c.resistance_m2K_W, "between 0 and 20");
}

void check(const Window& w, Findings& f) {
  const std::string what = "window '" + w.name + "'";
  f.rule(w.area_m2 > 0 && w.area_m2 < 50, what, "area in m2", w.area_m2, "above 0 and below 50");
  f.rule(w.tilt_rad >= 0 && w.tilt_rad <= core::kPi + 1e-9, what, "tilt in degree",
         w.tilt_rad / core::kDegree_rad, "between 0 and 180");
  f.rule(std::isfinite(w.azimuth_rad), what, "azimuth in degree", w.azimuth_rad / core::kDegree_rad,
         "a number");
  f.rule(w.panes == 1 || w.panes == 2, what, "panes", w.panes, "1 or 2");
  f.rule(w.pane_thickness_m > 0 && w.pane_thickness_m < 0.1, what, "pane thickness in m",
         w.pane_thickness_m, "above 0 and below 0.1");
  constexpr double kMost_W_m2K = 1 / (Window::kFilms_m2K_W + Window::kLeast_m2K_W);
  if (w.resistance_m2K_W)
    f.rule(
        *w.resistance_m2K_W >= Window::kLeast_m2K_W && *w.resistance_m2K_W <= Window::kMost_m2K_W,
        what, "resistance in m2 K/W", *w.resistance_m2K_W, "between 0.002 and 4.8");
  else
    f.rule(w.U_W_m2K > 0.2 && w.U_W_m2K <= kMost_W_m2K, what, "U in W/(m2 K)", w.U_W_m2K,
           "above 0.2 and at most 5.81: films of ISO 6946 alone");
  if (w.panes == 1 && w.pane_thickness_m > 0 && w.U_W_m2K > 0.2) {
    const double least_W_m2K = least_single_pane_U_W_m2K(w.pane_thickness_m);
    if (w.U_W_m2K < least_W_m2K)
      f.say(fmt::format("{}: U = {:g} W/(m2 K), one pane of {:g} mm cannot be below {:.1f}", what,
                        w.U_W_m2K, 1e3 * w.pane_thickness_m, least_W_m2K));
  }
  f.share(what, "solar transmittance", w.solar_transmittance_1);
  f.share(what, "solar absorptance", w.solar_absorptance_1);
  f.rule(w.solar_transmittance_1 + w.solar_absorptance_1 <= 1 + 1e-12, what,
         "transmittance plus absorptance", w.solar_transmittance_1 + w.solar_absorptance_1,
         "at most 1");
  f.share(what, "emittance", w.emittance_1);
  f.rule(w.areal_heat_capacity_J_m2K >= 0 && w.areal_heat_capacity_J_m2K < 1e6, what,
         "heat capacity in J/(m2 K)", w.areal_heat_capacity_J_m2K, "between 0 and 1e6");
  check(w.inside_cover, what, f);
  check(w.outside_cover, what, f);
}

void check_cabin(const Vehicle& v, Findings& f) {
  if (v.surfaces.empty()) f.say("the cabin has no surface");
  const struct {
    const char* key;
    double value_m;
  } sizes[] = {{"length in m", v.length_m},
               {"width in m", v.width_m},
               {"height in m", v.height_m},
               {"overall height in m", v.overall_height_m}};
  for (const auto& size : sizes)
    f.rule(size.value_m > 0 && size.value_m < 100, "cabin", size.key, size.value_m,
           "above 0 and below 100");
  f.rule(v.floor_area_m2 > 0 && v.floor_area_m2 < 500, "cabin", "floor area in m2", v.floor_area_m2,
         "above 0 and below 500");
  f.rule(std::isfinite(v.heading_rad), "cabin", "heading in degree",
         v.heading_rad / core::kDegree_rad, "a number");
  f.rule(v.volume_m3 > 0.2 && v.volume_m3 < 500, "cabin", "air volume in m3", v.volume_m3,
         "between 0.2 and 500");
  f.rule(v.leakage_area_m2 >= 0 && v.leakage_area_m2 < 1, "cabin", "leakage area in m2",
         v.leakage_area_m2, "between 0 and 1");
  f.rule(v.air_capacity_factor_1 >= 0 && v.air_capacity_factor_1 <= 50, "cabin",
         "air capacity factor", v.air_capacity_factor_1, "between 0 and 50");
  f.rule(v.moisture_capacity_factor_1 >= 1 && v.moisture_capacity_factor_1 <= 100, "cabin",
         "moisture capacity factor", v.moisture_capacity_factor_1, "between 1 and 100");
}

}  // namespace

bool same_face(const Window& w, const Surface& s) {
  constexpr double kSame_rad = core::kDegree_rad;
  if (s.outside != Outside::open_air || std::abs(w.tilt_rad - s.tilt_rad) >= kSame_rad)
    return false;
  const double turn_rad = std::remainder(w.azimuth_rad - s.azimuth_rad, 2 * core::kPi);
  return std::sin(s.tilt_rad) < std::sin(kSame_rad) || std::abs(turn_rad) < kSame_rad;
}

std::vector<std::string> problems(const Vehicle& v) {
  Findings f;
  check_cabin(v, f);
  for (const Surface& s : v.surfaces) check(s, v.windows, f);
  for (const Window& w : v.windows) check(w, f);
  double shares = 0;
  for (const Furnishing& x : v.furnishings) {
    const std::string what = "furnishing '" + x.name + "'";
    f.rule(x.area_m2 > 0 && x.area_m2 < 500, what, "area in m2", x.area_m2,
           "above 0 and below 500");
    f.share(what, "emittance", x.emittance_1);
    f.share(what, "share of the sun", x.solar_share_1);
    f.layers(what, x.layers);
    shares += x.solar_share_1;
  }
  f.rule(shares <= 1 + 1e-12, "furnishings", "shares of the sun together", shares, "at most 1");
  return f.take();
}

}  // namespace cabinload::vehicle
