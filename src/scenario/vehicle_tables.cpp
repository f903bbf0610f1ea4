// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "tables.hpp"

namespace cabinload::scenario {
namespace {

using core::kDegree_rad;
using core::kPi;
using core::Quantity;
using vehicle::Layer;

template <class Entries>
std::vector<std::string> keys_of(const Entries& table) {
  std::vector<std::string> keys;
  for (const auto& e : table) keys.push_back(e.key);
  return keys;
}

constexpr const char* kJudgement = "engineering judgement";
constexpr const char* kOfBody = "of the body";

/// "SW" or "225 degree".
double parse_heading(const std::string& text) {
  static const std::vector<std::string> names = {"N", "NE", "E", "SE", "S", "SW", "W", "NW"};
  for (std::size_t i = 0; i < names.size(); ++i)
    if (text == names[i]) return static_cast<double>(i) * kPi / 4;
  return core::parse_quantity(text, Quantity::angle);
}

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
    b.quantity(key + "thickness", Quantity::length, "mm", l.thickness_m, {1e-5, 1},
               {"thickness", ""});
    b.quantity(key + "conductivity", Quantity::conductivity, "W/(m K)", l.k_W_mK, {1e-3, 500},
               {"thermal conductivity", "materials table"});
    b.quantity(key + "density", Quantity::density, "kg/m3", l.rho_kg_m3, {0, 25000},
               {"density; 0 stores no heat", "materials table"});
    b.quantity(key + "specific_heat", Quantity::specific_heat, "J/(kg K)", l.c_J_kgK, {0, 10000},
               {"specific heat", "materials table"});
  }
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
  s.T_fixed_K = core::to_kelvin(20);
  b.quantity(key + "fixed_temperature", Quantity::temperature, "degC", s.T_fixed_K, {200, 400},
             {"behind the outer film, for outside = fixed", ""});
  b.share(key + "absorptance", s.absorptance_1, {0, 1}, {"solar, outer face", "vehicle.paint"});
  b.share(key + "emittance", s.emittance_out_1, {0, 1}, {"long-wave, outer face", "vehicle.paint"});
  b.share(key + "emittance_inside", s.emittance_in_1, {0, 1},
          {"long-wave, inner face", kJudgement});
  b.share(key + "framing_fraction", s.framing_fraction, {0, 0.5},
          {"share of the area that is ribs", ""});
  bind_layers(b, key + "layers", s.layers);
  bind_layers(b, key + "ribs", s.framing);
  if (s.area_m2 <= 0) b.problem(key + "area", "an area is needed", "area = \"2.8 m2\"");
  if (s.layers.empty())
    b.problem(key + "layers", "at least one layer is needed, outside first",
              "layers = [{material = \"steel\", thickness = \"0.8 mm\"}]");
  if (s.framing_fraction > 0 && s.framing.empty())
    b.problem(key + "ribs", "a framing fraction needs the layers of the ribs",
              "ribs = [{material = \"steel\", thickness = \"20 mm\"}]");
  for (const Layer& l : s.layers)
    if (!(l.thickness_m > 0))
      b.problem(key + "layers", "layer '" + l.material + "' needs a thickness above 0",
                "thickness = \"20 mm\"");
}

void bind_window(Binder& b, int i, const Scenario& s, vehicle::Window& w) {
  const std::string key = fmt::format("window[{}].", i);
  std::string type = "acrylic-double", cover = s.choice.cover;
  std::string name = fmt::format("window {}", i + 1);
  core::DaySchedule hours = s.choice.cover_hours;
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
  b.share(key + "solar_transmittance", w.solar_transmittance_1, {0, 1},
          {"at normal incidence", "glazing table"});
  b.share(key + "solar_absorptance", w.solar_absorptance_1, {0, 0.95},
          {"at normal incidence", "glazing table"});
  b.choice(key + "cover", cover, keys_of(vehicle::covers()),
           {"cover of the table", "vehicle.cover"});
  b.hours(key + "cover_hours", hours, {"when the cover is in place", "vehicle.cover_hours"});
  w.cover = vehicle::cover_of(cover, hours);
  if (w.area_m2 <= 0) b.problem(key + "area", "an area is needed", "area = \"0.35 m2\"");
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

void bind_vehicle(Binder& b, Scenario& s) {
  vehicle::Choice& c = s.choice;
  b.text("name", s.name, {"name of the scenario, for headings", "built-in"});
  b.choice("vehicle.body", c.body, keys_of(vehicle::bodies()),
           {"built-in body: `cabinload list vehicles`", "invented"});
  b.choice("vehicle.insulation", c.insulation, keys_of(vehicle::insulations()),
           {"insulation level: `cabinload list insulation`", kJudgement});
  b.choice("vehicle.paint", c.paint, keys_of(vehicle::paints()),
           {"colour: `cabinload list paints`", "the coolest common colour"});
  b.choice("vehicle.cover", c.cover, keys_of(vehicle::covers()),
           {"cover on every window: `cabinload list covers`", "none unless said"});
  b.hours("vehicle.cover_hours", c.cover_hours,
          {"when the covers are in place", "always, once there is a cover"});
  const auto body = [&] {
    for (const auto& x : vehicle::bodies())
      if (x.key == c.body) return x;
    return vehicle::bodies().front();
  }();
  int windows = c.side_windows.value_or(-1);
  b.custom("vehicle.side_windows", "of the body",
           [&](const std::string& t) {
             if (t == "of the body") return;
             windows = static_cast<int>(core::parse_quantity(t, Quantity::dimensionless));
             if (windows < 0 || windows > 20)
               throw core::Error("'" + t + "' must be a whole number from 0 to 20");
             c.side_windows = windows;
           },
           {"number of side windows in the living space", kOfBody});
  double length_m = body.length_m, width_m = body.width_m, height_m = body.height_m;
  b.quantity("vehicle.length", Quantity::length, "m", length_m, {1, 15},
             {"inside length, cab included", kOfBody});
  b.quantity("vehicle.width", Quantity::length, "m", width_m, {0.8, 3}, {"inside width", kOfBody});
  b.quantity("vehicle.height", Quantity::length, "m", height_m, {0.6, 3.5},
             {"inside height", kOfBody});
  b.custom("vehicle.heading", "N", [&](const std::string& t) { c.heading_rad = parse_heading(t); },
           {"where the nose points: N, NE .. or degree clockwise from north", kJudgement});
  if (b.was_given("vehicle.length")) c.length_m = length_m;
  if (b.was_given("vehicle.width")) c.width_m = width_m;
  if (b.was_given("vehicle.height")) c.height_m = height_m;
  try {
    s.vehicle = vehicle::make(c);
  } catch (const core::RangeError& e) {
    b.problem("vehicle", e.what());
    s.vehicle = vehicle::make({});
  }
  vehicle::Vehicle& v = s.vehicle;
  b.quantity("vehicle.volume", Quantity::volume, "m3", v.volume_m3, {0.3, 400},
             {"air in the cabin", "inside box less 10 % of contents"});
  b.quantity("vehicle.leakage_area", Quantity::area, "cm2", v.leakage_area_m2, {0, 0.5},
             {"all cracks together, effective at 4 Pa", kJudgement});
  b.share("vehicle.air_capacity_factor", v.air_capacity_factor_1, {1, 50},
          {"heat capacity of the air with what is really light in it", kJudgement});
  b.share("vehicle.moisture_capacity_factor", v.moisture_capacity_factor_1, {1, 100},
          {"vapour stored in air, bedding and wood over air alone", kJudgement});
}

void bind_surfaces(Binder& b, Scenario& s) {
  const int surfaces = b.given().count("surface"), windows = b.given().count("window");
  if (windows > 0) {
    s.vehicle.windows.assign(static_cast<std::size_t>(windows), {});
    for (int i = 0; i < windows; ++i)
      bind_window(b, i, s, s.vehicle.windows[static_cast<std::size_t>(i)]);
  }
  if (surfaces > 0) {
    const vehicle::Surface roof = s.vehicle.surfaces.front();
    s.vehicle.surfaces.assign(static_cast<std::size_t>(surfaces), {});
    for (int i = 0; i < surfaces; ++i) {
      auto& surface = s.vehicle.surfaces[static_cast<std::size_t>(i)];
      surface.absorptance_1 = roof.absorptance_1;
      surface.emittance_out_1 = roof.emittance_out_1;
      bind_surface(b, i, surface);
    }
    s.vehicle.body = "own";
    s.vehicle.insulation = "own";
    take_out_windows(b, s.vehicle);
  }
  if (b.failed()) return;
  for (const std::string& sentence : vehicle::problems(s.vehicle))
    b.problem(surfaces > 0 ? "surface" : "vehicle", sentence);
}

void bind_parking(Binder& b, Scenario& s) {
  forcing::Site& p = s.site;
  b.hours("parking.shade_hours", p.shade_hours,
          {"when the vehicle stands in shade", "the unsafe side: no shade"});
  if (b.was_given("parking.shade_hours"))
    p.shade_beam_1 = 0.1, p.shade_diffuse_1 = 0.5, p.shade_sky_view_1 = 0.5;
  b.share("parking.shade_beam", p.shade_beam_1, {0, 1},
          {"share of direct sun that comes through while shaded", kJudgement});
  b.share("parking.shade_diffuse", p.shade_diffuse_1, {0, 1},
          {"share of sky light that comes through while shaded", kJudgement});
  b.share("parking.shade_sky_view", p.shade_sky_view_1, {0, 1},
          {"share of the cold sky seen while shaded", kJudgement});
  b.share("parking.ground_albedo", p.ground_albedo_1, {0, 1},
          {"reflectance of the ground where the file has none",
           "common practice, no published source"});
  b.share("parking.ground_absorptance", p.ground_absorptance_1, {0, 1},
          {"of the sunlit ground around, which warms the walls", kJudgement});
  b.share("parking.wind_factor", p.wind_factor_1, {0, 2},
          {"wind at the vehicle over the file's 10 m wind", kJudgement});
}

}  // namespace cabinload::scenario
