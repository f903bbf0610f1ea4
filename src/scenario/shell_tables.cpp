// SPDX-License-Identifier: Apache-2.0
// [[surface]], [[window]], [[furnishing]]: a shell of one's own.
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cmath>
#include <sstream>

#include "tables.hpp"

namespace cabinload::scenario {
namespace {

using core::kDegree_rad;
using core::kPi;
using core::Quantity;
using vehicle::Layer;

constexpr const char* kJudgement = "engineering judgement";

void bind_layers(Binder& b, const std::string& at, std::vector<Layer>& layers) {
  int n = 0;
  while (b.given().has_below(fmt::format("{}[{}]", at, n))) ++n;
  layers.resize(static_cast<std::size_t>(n));
  for (int i = 0; i < n; ++i) {
    Layer& l = layers[static_cast<std::size_t>(i)];
    const std::string key = fmt::format("{}[{}].", at, i);
    l.material = "own";
    if (b.given().all().contains(key + "conductivity"))
      b.text(key + "material", l.material, {"name of an own material", ""});
    else {
      b.choice(key + "material", l.material, keys_of(vehicle::materials()),
               {"material of the table, or own values below", ""});
      if (l.material != "own") l = vehicle::layer_of(l.material, 0);
    }
    b.quantity(key + "thickness", Quantity::length, "mm", l.thickness_m, {1e-5, 3},
               {"thickness", ""});
    b.quantity(key + "conductivity", Quantity::conductivity, "W/(m K)", l.k_W_mK, {1e-3, 500},
               {"thermal conductivity", "materials table"});
    b.quantity(key + "density", Quantity::density, "kg/m3", l.rho_kg_m3, {0, 25000},
               {"density; 0 stores no heat", "materials table"});
    b.quantity(key + "specific_heat", Quantity::specific_heat, "J/(kg K)", l.c_J_kgK, {0, 10000},
               {"specific heat", "materials table"});
  }
}

/// A layer must say how thick it is and how well it conducts.
void check_layers(Binder& b, const std::string& at, const std::vector<Layer>& layers) {
  for (std::size_t i = 0; i < layers.size(); ++i) {
    const Layer& l = layers[i];
    const std::string key = fmt::format("{}[{}].", at, i);
    if (!(l.thickness_m > 0))
      b.problem(b.was_given(key + "material") ? key + "material" : at,
                "layer '" + l.material + "' needs a thickness above 0", "thickness = \"20 mm\"");
    const bool unknown_material = b.was_given(key + "material") && l.material == "own" &&
                                  !b.was_given(key + "conductivity");  // that is said already
    if (!(l.k_W_mK > 0) && !unknown_material)
      b.problem(b.was_given(key + "thickness") ? key + "thickness" : at,
                "layer '" + l.material + "' needs a conductivity, or a material of the table",
                "conductivity = \"0.035 W/(m K)\"");
  }
}

/// Films that are stated instead of following their law.
void bind_films(Binder& b, const std::string& key, vehicle::Films& f, bool outside) {
  const auto film = [&](const char* name, double& value_W_m2K, const char* about) {
    std::optional<double> stated;
    b.maybe(key + name, Quantity::conductance, "W/(m2 K)", stated, {0.01, 500}, "by law",
            {about, "network/films.hpp"});
    value_W_m2K = stated.value_or(0);
  };
  if (outside)
    film("outside_film", f.outside_W_m2K, "outside convection; with emittance 0 the whole film");
  film("inside_film", f.inside_W_m2K, "inside convection to the cabin air");
  film("inside_radiant_film", f.inside_radiant_W_m2K, "inside long wave to the radiant star");
}

/// An overhang and side fins above a rectangular face.
void bind_shelter(Binder& b, const std::string& key, vehicle::Shelter& s) {
  const auto length = [&](const char* name, double& value_m, const char* about) {
    b.quantity(key + name, Quantity::length, "m", value_m, {0, 50}, {about, "none"});
  };
  length("width", s.width_m, "of the face, for overhang and fins");
  length("height", s.height_m, "of the face, for overhang and fins");
  length("overhang_depth", s.overhang_depth_m, "an awning or roof edge standing out above it");
  length("overhang_gap", s.overhang_gap_m, "overhang above the face's top edge");
  length("overhang_beyond", s.overhang_beyond_m, "overhang past each side edge");
  length("fin_depth", s.fin_depth_m, "plates standing out at both sides");
  length("fin_gap", s.fin_gap_m, "fins beside each side edge");
  length("fin_above", s.fin_above_m, "fins above the top edge");
  length("fin_below", s.fin_below_m, "fins below the bottom edge");
  if (s.any() && (s.width_m <= 0 || s.height_m <= 0))
    b.problem(key + (s.overhang_depth_m > 0 ? "overhang_depth" : "fin_depth"),
              "what shades a face needs the face's width and height", "width = \"3 m\"");
}

void bind_gain_shares(Binder& b, const std::string& key, vehicle::Surface& s) {
  b.maybe(key + "solar_share", Quantity::dimensionless, "", s.solar_share_1, {0, 1}, "by kind",
          {"of the sun that entered; all faces, air and what is lost make 1", "vehicle.sun_floor"});
  b.maybe(key + "radiant_share", Quantity::dimensionless, "", s.radiant_share_1, {0, 1},
          "by radiation", {"of radiant gains; all faces make 1", "through the radiant star"});
  b.maybe_profile(key + "sun", Quantity::irradiance, "W/m2", s.sun_W_m2, {0, 2000}, "from weather",
                  {"sun on the outer face, stated by the clock", ""});
  b.maybe_profile(key + "heat_inside", Quantity::irradiance, "W/m2", s.heat_inside_W_m2,
                  {-5000, 5000}, "none", {"heat to the inner face, stated by the clock", ""});
}

void bind_surface(Binder& b, int i, vehicle::Surface& s) {
  const std::string key = fmt::format("surface[{}].", i);
  s.name = fmt::format("surface {}", i + 1);
  std::string part = "wall", outside = "open-air";
  double tilt = kPi / 2;
  b.text(key + "name", s.name, {"name in messages and results", ""});
  b.choice(key + "part", part, {"roof", "wall", "floor", "partition"}, {"what it is", ""});
  s.part = part == "roof"        ? vehicle::Part::roof
           : part == "floor"     ? vehicle::Part::floor
           : part == "partition" ? vehicle::Part::partition
                                 : vehicle::Part::wall;
  if (s.part == vehicle::Part::roof) tilt = 0;
  if (s.part == vehicle::Part::floor) tilt = kPi, outside = "underbody";
  if (s.part == vehicle::Part::partition) outside = "adiabatic";
  s.tilt_rad = tilt;
  b.quantity(key + "area", Quantity::area, "m2", s.area_m2, {1e-3, 200},
             {"area with the windows in it", ""});
  b.quantity(key + "tilt", Quantity::angle, "degree", s.tilt_rad, {0, kPi + 1e-9},
             {"0 faces up, 90 vertical, 180 down", "by part"});
  b.quantity(key + "azimuth", Quantity::angle, "degree", s.azimuth_rad, {-2 * kPi, 2 * kPi},
             {"clockwise from the vehicle's nose", ""});
  b.choice(key + "outside", outside, {"open-air", "underbody", "adiabatic", "fixed"},
           {"what the outer face meets", "by part"});
  s.outside = outside == "open-air"    ? vehicle::Outside::open_air
              : outside == "underbody" ? vehicle::Outside::underbody
              : outside == "fixed"     ? vehicle::Outside::fixed
                                       : vehicle::Outside::adiabatic;
  s.T_fixed_K = core::DayProfile(core::to_kelvin(20));
  b.profile(key + "fixed_temperature", Quantity::temperature, "degC", s.T_fixed_K, {200, 400},
            {"behind the outer film, for outside = fixed", ""});
  b.maybe(key + "wind_share", Quantity::dimensionless, "", s.wind_share_1, {0, 1}, "by outside",
          {"of the wind that reaches the outer face", "1, underbody 0.5; engineering judgement"});
  b.share(key + "absorptance", s.absorptance_1, {0, 1}, {"solar, outer face", "vehicle.paint"});
  b.share(key + "emittance", s.emittance_out_1, {0, 1}, {"long-wave, outer face", "vehicle.paint"});
  b.share(key + "emittance_inside", s.emittance_in_1, {0, 1},
          {"long-wave, inner face", kJudgement});
  b.share(key + "framing_fraction", s.framing_fraction, {0, 0.5},
          {"share of the area that is ribs", ""});
  bind_films(b, key, s.films, true);
  bind_shelter(b, key, s.shelter);
  bind_gain_shares(b, key, s);
  bind_layers(b, key + "layers", s.layers);
  bind_layers(b, key + "ribs", s.framing);
  if (s.area_m2 <= 0) b.problem(key + "area", "an area is needed", "area = \"2.8 m2\"");
  if (s.layers.empty())
    b.problem(key + "layers", "at least one layer is needed, outside first",
              "layers = [{material = \"steel\", thickness = \"0.8 mm\"}]");
  if (s.framing_fraction > 0 && s.framing.empty())
    b.problem(key + "ribs", "a framing fraction needs the layers of the ribs",
              "ribs = [{material = \"steel\", thickness = \"20 mm\"}]");
  check_layers(b, key + "layers", s.layers);
  check_layers(b, key + "ribs", s.framing);
}

/// "0 1, 40 0.98, 60 0.87": angle of incidence in degree and ratio to normal.
void parse_curve(const std::string& text, vehicle::Window& w) {
  w.curve_angle_rad.clear();
  w.curve_ratio_1.clear();
  std::istringstream in(text);
  std::string point;
  while (std::getline(in, point, ',')) {
    std::istringstream pair(point);
    double degree = -1, ratio = -1;
    if (!(pair >> degree >> ratio) || degree < 0 || degree > 90 || ratio < 0 || ratio > 1)
      throw core::Error("'" + point + "' is not an angle in degree with a ratio from 0 to 1");
    if (!w.curve_angle_rad.empty() && degree * kDegree_rad <= w.curve_angle_rad.back())
      throw core::Error("the angles must rise: '" + text + "'");
    w.curve_angle_rad.push_back(degree * kDegree_rad);
    w.curve_ratio_1.push_back(ratio);
  }
  if (w.curve_angle_rad.empty() || w.curve_angle_rad[0] != 0 || w.curve_ratio_1[0] != 1)
    throw core::Error("the curve must start with 0 1 (normal incidence): '" + text + "'");
}

void bind_optics(Binder& b, const std::string& key, vehicle::Window& w) {
  static const std::vector<std::string> kinds = {"normal", "panes", "pane", "curve"};
  std::string optics = "normal", curve = "none";
  b.choice(key + "optics", optics, kinds,
           {"how the glass is stated: normal (transmittance and absorptance of the window), panes "
            "(index and extinction), pane (transmittance and reflectance of one), curve (by angle)",
            "normal"});
  for (std::size_t k = 0; k < kinds.size(); ++k)
    if (optics == kinds[k]) w.optics = static_cast<vehicle::Optics>(k);
  b.whole(key + "panes", w.panes, 1, 2, {"panes one behind the other", "glazing table"});
  b.quantity(key + "pane_thickness", Quantity::length, "mm", w.pane_thickness_m, {0.0005, 0.03},
             {"of one pane", "glazing table"});
  b.share(key + "solar_transmittance", w.solar_transmittance_1, {0, 1},
          {"at normal incidence", "glazing table"});
  b.share(key + "solar_absorptance", w.solar_absorptance_1, {0, 0.95},
          {"at normal incidence", "glazing table"});
  b.maybe(key + "outer_share", Quantity::dimensionless, "", w.outer_share_1, {0, 1}, "by optics",
          {"of what the panes absorb: in the outer one", "computed"});
  std::optional<double> g_value;
  b.maybe(key + "g_value", Quantity::dimensionless, "", g_value, {0, 1}, "by optics",
          {"total solar transmittance at normal incidence; sets the absorptance", "EN 410"});
  b.share(key + "index", w.index_1, {1.01, 4}, {"of refraction, for optics = panes", "glass"});
  b.share(key + "extinction_per_m", w.extinction_1_m, {0, 500},
          {"along the path in the pane, 1/m, for optics = panes", "clear glass, about 10"});
  b.share(key + "pane_transmittance", w.pane_transmittance_1, {0, 1},
          {"of one pane at normal incidence, for optics = pane", ""});
  b.share(key + "pane_reflectance", w.pane_reflectance_1, {0, 1},
          {"of one pane at normal incidence, for optics = pane", ""});
  b.custom(key + "angle_curve", curve,
           [&](const std::string& t) {
             if (t != "none") parse_curve(t, w);
           },
           {"transmitted by angle over normal, for optics = curve: 0 1, 40 0.98, 60 0.87", "none"});
  if (w.optics == vehicle::Optics::curve && w.curve_angle_rad.empty())
    b.problem(key + "optics", "optics = curve needs an angle_curve",
              "angle_curve = \"0 1, 40 0.98, 60 0.87, 80 0.4\"");
  if (g_value) {
    // Of what is absorbed, the part that goes inwards: by the resistances of ISO 6946 films, the
    // middle of the panes taken as the place.
    constexpr double kOut_m2K_W = 0.04, kIn_m2K_W = 0.13;
    const double inwards_1 = (kOut_m2K_W + 0.5 * w.resistance_face_to_face()) /
                             (kOut_m2K_W + kIn_m2K_W + w.resistance_face_to_face());
    const double absorptance = (*g_value - w.solar_transmittance_1) / inwards_1;
    if (absorptance < 0 || absorptance + w.solar_transmittance_1 > 1)
      b.problem(key + "g_value",
                fmt::format("{:g} does not go with a transmittance of {:g}", *g_value,
                            w.solar_transmittance_1),
                "the rest is what the panes absorb and give inwards");
    else
      w.solar_absorptance_1 = absorptance;
  }
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
  b.quantity(key + "tilt", Quantity::angle, "degree", w.tilt_rad, {0, kPi + 1e-9},
             {"0 faces up, 90 vertical", ""});
  b.quantity(key + "azimuth", Quantity::angle, "degree", w.azimuth_rad, {-2 * kPi, 2 * kPi},
             {"clockwise from the vehicle's nose", ""});
  b.quantity(key + "u_value", Quantity::conductance, "W/(m2 K)", w.U_W_m2K, {0.3, 8},
             {"centre of glass, with still-air films", "glazing table"});
  b.maybe(key + "resistance", Quantity::resistance, "m2 K/W", w.resistance_m2K_W, {0.001, 5},
          "by u_value", {"face to face, without films", "u_value"});
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
  const bool level = std::sin(w.tilt_rad) < 1e-6;
  if (!level && !b.was_given(key + "azimuth"))
    b.problem(b.was_given(key + "tilt") ? key + "tilt" : key + "area",
              "window '" + name + "' faces nowhere: it is not level and has no azimuth",
              "azimuth = \"90 degree\" (clockwise from the nose)");
}

void bind_furnishing(Binder& b, int i, vehicle::Furnishing& f) {
  const std::string key = fmt::format("furnishing[{}].", i);
  f.name = fmt::format("furnishing {}", i + 1);
  b.text(key + "name", f.name, {"name in messages and results", ""});
  b.quantity(key + "area", Quantity::area, "m2", f.area_m2, {1e-3, 200},
             {"exposed to air and radiation", ""});
  b.share(key + "emittance", f.emittance_1, {0, 1}, {"long-wave", kJudgement});
  b.share(key + "solar_share", f.solar_share_1, {0, 1}, {"of the sun that entered", "none"});
  b.share(key + "radiant_share", f.radiant_share_1, {0, 1},
          {"of radiant gains, where surfaces state theirs", "none"});
  bind_films(b, key, f.films, false);
  bind_layers(b, key + "layers", f.layers);
  if (f.area_m2 <= 0) b.problem(key + "area", "an area is needed", "area = \"2 m2\"");
  if (f.layers.empty())
    b.problem(key + "layers", "at least one layer is needed, bulk first, skin last",
              "layers = [{material = \"plywood\", thickness = \"9 mm\"}]");
  check_layers(b, key + "layers", f.layers);
}

/// Where faces state their shares of the sun or of radiant gains, all of it must go somewhere.
void check_shares(Binder& b, const vehicle::Vehicle& v) {
  double sun = v.sun_inside.air_1, radiant = 0;
  bool sun_stated = false, radiant_stated = false;
  for (const vehicle::Surface& s : v.surfaces) {
    sun += s.solar_share_1.value_or(0);
    radiant += s.radiant_share_1.value_or(0);
    sun_stated = sun_stated || s.solar_share_1;
    radiant_stated = radiant_stated || s.radiant_share_1;
  }
  for (const vehicle::Window& w : v.windows) radiant += w.radiant_share_1.value_or(0);
  for (const vehicle::Furnishing& f : v.furnishings) {
    sun += f.solar_share_1;
    radiant += f.radiant_share_1;
  }
  constexpr double kOne_1 = 1e-6;
  sun += v.sun_inside.lost_1.value_or(0);
  if (sun_stated && std::abs(sun - 1) > kOne_1)
    b.problem("surface",
              fmt::format("the shares of the sun add to {:.4f}, must be 1: faces, furnishings, "
                          "vehicle.sun_air and vehicle.sun_lost together",
                          sun),
              fmt::format("sun_lost = {:.4f} under [vehicle] would make it so",
                          v.sun_inside.lost_1.value_or(0) + 1 - sun));
  if (radiant_stated && std::abs(radiant - 1) > kOne_1)
    b.problem("surface", fmt::format("the radiant shares add to {:.4f}, must be 1", radiant),
              "radiant_share of every surface, window and furnishing together");
}

/// A surface's area was given with its windows: take them out.
void take_out_windows(Binder& b, vehicle::Vehicle& v) {
  for (std::size_t i = 0; i < v.surfaces.size(); ++i) {
    vehicle::Surface& s = v.surfaces[i];
    if (s.outside != vehicle::Outside::open_air) continue;
    const double gross_m2 = s.area_m2;
    for (const vehicle::Window& w : v.windows) {
      const bool same =
          std::abs(w.tilt_rad - s.tilt_rad) < kDegree_rad &&
          (s.tilt_rad < kDegree_rad ||
           std::abs(std::remainder(w.azimuth_rad - s.azimuth_rad, 2 * kPi)) < kDegree_rad);
      if (same) s.area_m2 -= w.area_m2;
    }
    if (gross_m2 > 0 && s.area_m2 <= 0)
      b.problem(fmt::format("surface[{}].area", i),
                fmt::format("its windows are larger than the wall: {:.2f} m2 of glass in {:.2f} m2",
                            gross_m2 - s.area_m2, gross_m2));
  }
}

}  // namespace

void bind_shell(Binder& b, Scenario& s) {
  const int surfaces = b.given().count("surface"), windows = b.given().count("window");
  const int furnishings = b.given().count("furnishing");
  vehicle::Vehicle& v = s.vehicle;
  if (windows > 0) v.windows.assign(static_cast<std::size_t>(windows), {});
  for (int i = 0; i < windows; ++i) bind_window(b, i, s, v.windows[static_cast<std::size_t>(i)]);
  if (surfaces > 0) {
    const vehicle::Surface like = v.surfaces.empty() ? vehicle::Surface{} : v.surfaces.front();
    v.surfaces.assign(static_cast<std::size_t>(surfaces), {});
    for (int i = 0; i < surfaces; ++i) {
      auto& surface = v.surfaces[static_cast<std::size_t>(i)];
      surface.absorptance_1 = like.absorptance_1;
      surface.emittance_out_1 = like.emittance_out_1;
      bind_surface(b, i, surface);
    }
    v.body = "own";
    v.insulation = "own";
    take_out_windows(b, v);
  }
  if (furnishings > 0) v.furnishings.assign(static_cast<std::size_t>(furnishings), {});
  for (int i = 0; i < furnishings; ++i)
    bind_furnishing(b, i, v.furnishings[static_cast<std::size_t>(i)]);
  if (b.failed()) return;
  check_shares(b, v);
  for (const std::string& sentence : vehicle::problems(v))
    b.problem(surfaces > 0 ? "surface" : "vehicle", sentence);
}

}  // namespace cabinload::scenario
