// SPDX-License-Identifier: Apache-2.0
// [[window]]: glass, its optics and covers.
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <sstream>

#include "shell_tables.hpp"

namespace cabinload::scenario {
namespace {

using core::kDegree_rad;
using core::kPi;
using core::Quantity;

/// "0 1, 40 0.98, 60 0.87": angle of incidence in degree and ratio to normal.
void parse_curve(const std::string& text, vehicle::Window& w) {
  w.curve_angle_rad.clear();
  w.curve_ratio_1.clear();
  std::istringstream in(text);
  std::string point;
  while (std::getline(in, point, ',')) {
    std::istringstream pair(point);
    double degree = -1, ratio = -1;
    if (!(pair >> degree >> ratio) || !(pair >> std::ws).eof() || degree < 0 || degree > 90 ||
        ratio < 0 || ratio > 1)
      throw core::Error("'" + point +
                        "' is not an angle in degree with a ratio from 0 to 1, as in " +
                        "\"0 1, 40 0.98, 60 0.87\"");
    if (!w.curve_angle_rad.empty() && degree * kDegree_rad <= w.curve_angle_rad.back())
      throw core::Error("the angles must rise: '" + text + "'");
    w.curve_angle_rad.push_back(degree * kDegree_rad);
    w.curve_ratio_1.push_back(ratio);
  }
  if (w.curve_angle_rad.empty() || w.curve_angle_rad[0] != 0 || w.curve_ratio_1[0] != 1)
    throw core::Error("the curve must start with 0 1 (normal incidence): '" + text + "'");
}

/// Keys of glass that only some optics use.
struct OpticsKey {
  const char* name;
  std::vector<std::string> optics;
  const char* unset = "";  ///< the word that states nothing
};

/// What the chosen optics do not use would be lost in silence.
void refuse_other_optics(Binder& b, const std::string& key, const std::string& optics) {
  const auto said = b.given().all().find(key + "optics");
  const bool misspelt = said != b.given().all().end() && said->second.text != optics;
  static const std::vector<std::string> window = {"normal", "curve"};
  static const OpticsKey keys[] = {
      {"solar_transmittance", window},  {"solar_absorptance", window},
      {"g_value", window, "by optics"}, {"index", {"panes"}},
      {"extinction_per_m", {"panes"}},  {"pane_transmittance", {"pane"}},
      {"pane_reflectance", {"pane"}},   {"angle_curve", {"curve"}, "none"}};
  for (const OpticsKey& k : keys) {
    if (std::find(k.optics.begin(), k.optics.end(), optics) != k.optics.end()) continue;
    const Given* given = b.idle(key + k.name);
    if (given == nullptr || given->text == k.unset || misspelt) continue;
    b.problem(key + k.name, fmt::format("'{}' is not used with optics = {}", given->text, optics),
              fmt::format("it belongs to optics = {}", fmt::join(k.optics, " or ")));
  }
}

/// Of the window at normal incidence: transmittance, and what is absorbed or let in by all ways.
void bind_normal_optics(Binder& b, const std::string& key, vehicle::Window& w) {
  std::optional<double> g_value;
  b.share(key + "solar_transmittance", w.solar_transmittance_1, {0, 1},
          {"at normal incidence", "glazing table"});
  b.maybe(
      key + "g_value", Quantity::dimensionless, "", g_value, {0, 1}, "by optics",
      {"total solar transmittance at normal incidence; instead of solar_absorptance", "EN 410"});
  if (!g_value) {
    b.share(key + "solar_absorptance", w.solar_absorptance_1, {0, 0.95},
            {"at normal incidence", "glazing table"});
    return;
  }
  if (const Given* absorptance = b.idle(key + "solar_absorptance"))
    b.problem(key + "solar_absorptance", "'" + absorptance->text + "' is not used beside a g_value",
              "take one away: g_value and solar_transmittance give the absorptance");
  // Of what is absorbed, the part that goes inwards: by the resistances of ISO 6946 films, the
  // middle of the panes taken as the place.
  constexpr double kOut_m2K_W = 0.04, kIn_m2K_W = 0.13;
  const double inwards_1 = (kOut_m2K_W + 0.5 * w.resistance_face_to_face()) /
                           (kOut_m2K_W + kIn_m2K_W + w.resistance_face_to_face());
  const double T = w.solar_transmittance_1, absorptance = (*g_value - T) / inwards_1;
  if (absorptance < 0 || absorptance + T > 1)
    b.problem(key + "g_value",
              fmt::format("{:g} does not go with a transmittance of {:g}", *g_value, T),
              fmt::format("{:g} to {:.3g}: the rest is what the panes absorb and give inwards", T,
                          T + inwards_1 * (1 - T)));
  else
    w.solar_absorptance_1 = absorptance;
}

/// Of one pane at normal incidence; both are needed.
void bind_pane_optics(Binder& b, const std::string& key, vehicle::Window& w) {
  b.share(key + "pane_transmittance", w.pane_transmittance_1, {0, 1},
          {"of one pane at normal incidence", ""});
  b.share(key + "pane_reflectance", w.pane_reflectance_1, {0, 1},
          {"of one pane at normal incidence", ""});
  const std::string fault = forcing::impossible_pane(w.pane_transmittance_1, w.pane_reflectance_1);
  if (fault.empty()) return;
  std::string at = key + "optics";
  for (const char* name : {"pane_reflectance", "pane_transmittance"})
    if (b.was_given(key + name)) at = key + name;
  b.problem(at, fault,
            "give pane_transmittance and pane_reflectance of bare glass, or of the coated window "
            "solar_transmittance and solar_absorptance with optics = normal or curve");
}

void bind_angle_curve(Binder& b, const std::string& key, vehicle::Window& w) {
  b.custom(key + "angle_curve", "none",
           [&](const std::string& t) {
             if (t != "none") parse_curve(t, w);
           },
           {"transmitted by angle over normal: 0 1, 40 0.98, 60 0.87", "none"});
  if (w.curve_angle_rad.empty())
    b.problem(key + "optics", "optics = curve needs an angle_curve",
              "angle_curve = \"0 1, 40 0.98, 60 0.87, 80 0.4\"");
}

void bind_optics(Binder& b, const std::string& key, vehicle::Window& w) {
  static const std::vector<std::string> kinds = {"normal", "panes", "pane", "curve"};
  std::string optics = "normal";
  b.choice(key + "optics", optics, kinds,
           {"how the glass is stated: normal (transmittance and absorptance of the window), panes "
            "(index and extinction), pane (transmittance and reflectance of one), curve (by angle)",
            "normal"});
  for (std::size_t k = 0; k < kinds.size(); ++k)
    if (optics == kinds[k]) w.optics = static_cast<vehicle::Optics>(k);
  refuse_other_optics(b, key, optics);
  b.whole(key + "panes", w.panes, 1, 2, {"panes one behind the other", "glazing table"});
  b.quantity(key + "pane_thickness", Quantity::length, "mm", w.pane_thickness_m, {0.0005, 0.03},
             {"of one pane", "glazing table"});
  b.maybe(key + "outer_share", Quantity::dimensionless, "", w.outer_share_1, {0, 1}, "by optics",
          {"of what the panes absorb: in the outer one", "computed"});
  if (w.optics == vehicle::Optics::normal || w.optics == vehicle::Optics::curve)
    bind_normal_optics(b, key, w);
  if (w.optics == vehicle::Optics::panes) {
    b.share(key + "index", w.index_1, {1.01, 4}, {"of refraction", "glass"});
    b.share(key + "extinction_per_m", w.extinction_1_m, {0, 500},
            {"along the path in the pane, 1/m", "clear glass, about 10"});
  }
  if (w.optics == vehicle::Optics::pane) bind_pane_optics(b, key, w);
  if (w.optics == vehicle::Optics::curve) bind_angle_curve(b, key, w);
}

void bind_covers(Binder& b, const std::string& key, const Scenario& s, vehicle::Window& w) {
  std::string cover = s.choice.cover, outside = "none";
  core::DaySchedule hours = s.choice.cover_hours, outside_hours = core::DaySchedule::always();
  std::vector<std::string> outer;
  for (const auto& c : vehicle::covers())
    if (c.side != vehicle::CoverSide::inside) outer.push_back(c.key);
  b.choice(key + "cover", cover, keys_of(vehicle::covers()),
           {"cover of the table", "vehicle.cover"});
  b.hours(key + "cover_hours", hours, {"when the cover is in place", "vehicle.cover_hours"});
  b.choice(key + "outside_cover", outside, outer, {"a second cover, outside", "none"});
  b.hours(key + "outside_cover_hours", outside_hours, {"when that one is in place", "always"});
  if (hours.overlaps())
    b.problem(key + "cover_hours", "'" + hours.text() + "': two spans share hours",
              "say each hour once");
  if (outside_hours.overlaps())
    b.problem(key + "outside_cover_hours", "'" + outside_hours.text() + "': two spans share hours",
              "say each hour once");
  const vehicle::Cover first = vehicle::cover_of(cover, hours);
  (first.side == vehicle::CoverSide::outside ? w.outside_cover : w.inside_cover) = first;
  if (outside == "none") return;
  if (first.side == vehicle::CoverSide::outside)
    b.problem(key + "outside_cover", "there is one outside already: '" + cover + "'",
              "name an inside cover in cover");
  w.outside_cover = vehicle::cover_of(outside, outside_hours);
}

/// By resistance or by U, not both.
void bind_conductance(Binder& b, const std::string& key, vehicle::Window& w) {
  using vehicle::Window;
  b.maybe(key + "resistance", Quantity::resistance, "m2 K/W", w.resistance_m2K_W,
          {Window::kLeast_m2K_W, Window::kMost_m2K_W}, "by u_value",
          {"face to face, without films; instead of u_value", "u_value"});
  if (!w.resistance_m2K_W) {
    b.quantity(key + "u_value", Quantity::conductance, "W/(m2 K)", w.U_W_m2K,
               {0.3, 5.8,
                "still-air films alone have 0.17 m2 K/W (ISO 6946) and the glass 0.002 at least; "
                "for other films state resistance, outside_film and inside_film"},
               {"centre of glass, with still-air films", "glazing table"});
    return;
  }
  w.U_W_m2K = 1 / (*w.resistance_m2K_W + Window::kFilms_m2K_W);
  if (const Given* u = b.idle(key + "u_value"))
    b.problem(key + "u_value", "'" + u->text + "' is not used beside a resistance",
              fmt::format("take one away; the resistance gives {:.3g} W/(m2 K)", w.U_W_m2K));
}

}  // namespace

void bind_window(Binder& b, int i, const Scenario& s, vehicle::Window& w) {
  const std::string key = fmt::format("window[{}].", i);
  std::string type = "acrylic-double";
  std::string name = fmt::format("window {}", i + 1);
  b.text(key + "name", name, {"name in messages and results", ""});
  b.choice(key + "type", type, keys_of(vehicle::glazings()), {"glazing of the table", "built-in"});
  w = vehicle::window_of(type);
  w.name = name;
  w.tilt_rad = kPi / 2;
  b.quantity(key + "area", Quantity::area, "m2", w.area_m2, {1e-3, 50}, {"glass area", ""});
  b.quantity(key + "tilt", Quantity::angle, "degree", w.tilt_rad, {0, kMostTilt_rad},
             {"0 faces up, 90 vertical", ""});
  b.quantity(key + "azimuth", Quantity::angle, "degree", w.azimuth_rad, {-2 * kPi, 2 * kPi},
             {"clockwise from the vehicle's nose", ""});
  bind_conductance(b, key, w);
  b.quantity(key + "heat_capacity", Quantity::areal_heat_capacity, "J/(m2 K)",
             w.areal_heat_capacity_J_m2K, {0, 1e6}, {"of all panes", "glazing table"});
  b.share(key + "emittance", w.emittance_1, {0, 1}, {"long-wave, both faces", "glazing table"});
  b.share(key + "wind_share", w.wind_share_1, {0, 1},
          {"of the wind that reaches the outer face", "all of it"});
  bind_optics(b, key, w);
  bind_films(b, key, w.films, true);
  bind_shelter(b, key, w.shelter);
  b.maybe(key + "radiant_share", Quantity::dimensionless, "", w.radiant_share_1, {0, 1},
          "by radiation", {"of radiant gains; all faces make 1", "through the radiant star"});
  bind_covers(b, key, s, w);
  if (w.area_m2 <= 0) b.problem(key + "area", "an area is needed", "area = \"0.35 m2\"");
  check_azimuth(b, key, "window '" + name + "'", w.tilt_rad);
}

}  // namespace cabinload::scenario
