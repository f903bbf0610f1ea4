// SPDX-License-Identifier: Apache-2.0
// [[surface]] and [[furnishing]]: a shell of one's own; its windows taken out of it.
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "shell_tables.hpp"

namespace cabinload::scenario {
namespace {

using core::kDegree_rad;
using core::kPi;
using core::Quantity;
using vehicle::Layer;

bool in_table(const std::string& material) {
  const auto& table = vehicle::materials();
  return std::any_of(table.begin(), table.end(), [&](const auto& m) { return m.key == material; });
}

/// A name that the table does not have is one's own when the layer says all that the table would.
bool unknown_material(const Binder& b, const std::string& key, const std::string& material) {
  const bool whole = b.was_given(key + "conductivity") && b.was_given(key + "density") &&
                     b.was_given(key + "specific_heat");
  return material != "own" && !in_table(material) && !whole;
}

void bind_layers(Binder& b, const std::string& at, std::vector<Layer>& layers) {
  int n = 0;
  (void)b.given().find(at);  // an empty list
  while (b.given().has_below(fmt::format("{}[{}]", at, n))) ++n;
  layers.resize(static_cast<std::size_t>(n));
  for (int i = 0; i < n; ++i) {
    Layer& l = layers[static_cast<std::size_t>(i)];
    const std::string key = indexed(at, i);
    l.material = "own";
    b.text(key + "material", l.material,
           {"material of the table, whose values those below replace; or a name of one's own", ""});
    if (in_table(l.material))
      l = vehicle::layer_of(l.material, 0);
    else if (unknown_material(b, key, l.material)) {
      const auto [what, hint] = core::unknown_name(l.material, keys_of(vehicle::materials()));
      b.problem(key + "material", what,
                "a material of one's own needs conductivity, density and specific_heat; " + hint);
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
    const std::string key = indexed(at, i);
    if (!(l.thickness_m > 0))
      b.problem(key + "thickness", "layer '" + l.material + "' needs a thickness above 0",
                "thickness = \"20 mm\"");
    if (!(l.k_W_mK > 0) && !unknown_material(b, key, l.material))  // that is said already
      b.problem(key + "conductivity",
                "layer '" + l.material + "' needs a conductivity, or a material of the table",
                "conductivity = \"0.035 W/(m K)\"");
  }
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
  b.quantity(key + "tilt", Quantity::angle, "degree", s.tilt_rad, {0, kMostTilt_rad},
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
  if (s.outside == vehicle::Outside::open_air)
    check_azimuth(b, key, "surface '" + s.name + "'", s.tilt_rad);
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
  std::string sun_stated, radiant_stated;  // the first key that does
  for (std::size_t i = 0; i < v.surfaces.size(); ++i) {
    const vehicle::Surface& s = v.surfaces[i];
    sun += s.solar_share_1.value_or(0);
    radiant += s.radiant_share_1.value_or(0);
    if (s.solar_share_1 && sun_stated.empty())
      sun_stated = fmt::format("surface[{}].solar_share", i);
    if (s.radiant_share_1 && radiant_stated.empty())
      radiant_stated = fmt::format("surface[{}].radiant_share", i);
  }
  for (const vehicle::Window& w : v.windows) radiant += w.radiant_share_1.value_or(0);
  for (const vehicle::Furnishing& f : v.furnishings) {
    sun += f.solar_share_1;
    radiant += f.radiant_share_1;
  }
  constexpr double kOne_1 = 1e-6;
  sun += v.sun_inside.lost_1.value_or(0);
  if (!sun_stated.empty() && std::abs(sun - 1) > kOne_1)
    b.problem(sun_stated,
              fmt::format("the shares of the sun add to {:.4f}, must be 1: faces, furnishings, "
                          "vehicle.sun_air and vehicle.sun_lost together",
                          sun),
              fmt::format("sun_lost = {:.4f} under [vehicle] would make it so",
                          v.sun_inside.lost_1.value_or(0) + 1 - sun));
  if (!radiant_stated.empty() && std::abs(radiant - 1) > kOne_1)
    b.problem(radiant_stated, fmt::format("the radiant shares add to {:.4f}, must be 1", radiant),
              "radiant_share of every surface, window and furnishing together");
}

/// A surface's area was given with its windows: take each out once, in shares of the areas of the
/// surfaces that it may lie in.
void take_out_windows(Binder& b, vehicle::Vehicle& v) {
  std::vector<double> glass_m2(v.surfaces.size(), 0.0);
  for (const vehicle::Window& w : v.windows) {
    double side_m2 = 0;
    for (const vehicle::Surface& s : v.surfaces)
      if (vehicle::same_face(w, s)) side_m2 += s.area_m2;
    for (std::size_t i = 0; i < v.surfaces.size(); ++i)
      if (side_m2 > 0 && vehicle::same_face(w, v.surfaces[i]))
        glass_m2[i] += w.area_m2 * v.surfaces[i].area_m2 / side_m2;
  }
  for (std::size_t i = 0; i < v.surfaces.size(); ++i) {
    double& area_m2 = v.surfaces[i].area_m2;
    constexpr double kLeast_1 = 1e-9;  // of a wall that is left
    if (area_m2 > 0 && area_m2 - glass_m2[i] <= kLeast_1 * area_m2)
      b.problem(fmt::format("surface[{}].area", i),
                fmt::format("its windows are larger than the wall: {:.2f} m2 of glass in {:.2f} m2",
                            glass_m2[i], area_m2),
                "the area is that of the wall with its windows in it");
    area_m2 -= glass_m2[i];
  }
}

/// The table that a sentence of vehicle::problems speaks of.
std::string table_of(Binder& b, const vehicle::Vehicle& v, const std::string& sentence) {
  const auto found = [&](const char* table, const auto& things) {
    for (std::size_t i = 0; i < things.size() && b.given().count(table) > 0; ++i)
      if (sentence.starts_with(fmt::format("{} '{}'", table, things[i].name)))
        return fmt::format("{}[{}]", table, i);
    return std::string();
  };
  for (const std::string& key : {found("surface", v.surfaces), found("window", v.windows),
                                 found("furnishing", v.furnishings)})
    if (!key.empty()) return key;
  return "vehicle";
}

/// Faces take the vehicle's paint where they state nothing of their own.
void paint(const std::string& colour, vehicle::Surface& s) {
  for (const vehicle::Paint& p : vehicle::paints()) {
    if (p.key != colour) continue;
    s.absorptance_1 = p.absorptance_1;
    s.emittance_out_1 = p.emittance_1;
  }
}

}  // namespace

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

void check_azimuth(Binder& b, const std::string& key, const std::string& what, double tilt_rad) {
  if (std::sin(tilt_rad) < 1e-6 || b.was_given(key + "azimuth")) return;
  b.problem(key + "azimuth",
            fmt::format("{} faces nowhere: it has a tilt of {:g} degree and no azimuth", what,
                        tilt_rad / kDegree_rad),
            "azimuth = \"90 degree\": clockwise from the vehicle's nose");
}

void bind_shell(Binder& b, Scenario& s) {
  const int surfaces = b.given().count("surface"), windows = b.given().count("window");
  const int furnishings = b.given().count("furnishing");
  vehicle::Vehicle& v = s.vehicle;
  if (windows > 0) v.windows.assign(static_cast<std::size_t>(windows), {});
  for (int i = 0; i < windows; ++i) bind_window(b, i, s, v.windows[static_cast<std::size_t>(i)]);
  if (surfaces > 0) {
    v.surfaces.assign(static_cast<std::size_t>(surfaces), {});
    for (int i = 0; i < surfaces; ++i) {
      auto& surface = v.surfaces[static_cast<std::size_t>(i)];
      paint(s.choice.paint, surface);
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
    b.problem(table_of(b, v, sentence), sentence);
}

}  // namespace cabinload::scenario
