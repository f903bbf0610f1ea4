// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/scenario/parking.hpp>
#include <cmath>
#include <iterator>

#include "tables.hpp"

namespace cabinload::scenario {
namespace {

using core::kPi;
using core::Quantity;

/// "SW" or "225 degree".
double parse_heading(const std::string& text) {
  static const std::vector<std::string> names = {"N", "NE", "E", "SE", "S", "SW", "W", "NW"};
  for (std::size_t i = 0; i < names.size(); ++i)
    if (text == names[i]) return static_cast<double>(i) * kPi / 4;
  return core::parse_quantity(text, Quantity::angle);
}

/// Inside size of a body of one's own that does not say its own.
vehicle::Body own_body() {
  return {"own", "", 4, 2, 2, 2, kJudgement};
}

void make_vehicle(Binder& b, bool own, Scenario& s) {
  if (own) {
    s.vehicle = {};
    s.vehicle.body = s.vehicle.insulation = "own";
    s.vehicle.paint = s.choice.paint;
    s.vehicle.length_m = s.choice.length_m.value_or(own_body().length_m);
    s.vehicle.width_m = s.choice.width_m.value_or(own_body().width_m);
    s.vehicle.height_m = s.choice.height_m.value_or(own_body().height_m);
    s.vehicle.overall_height_m = s.vehicle.height_m;
    s.vehicle.floor_area_m2 = s.vehicle.length_m * s.vehicle.width_m;
    s.vehicle.heading_rad = s.choice.heading_rad;
    return;
  }
  try {
    s.vehicle = vehicle::make(s.choice);
  } catch (const core::RangeError& e) {
    b.problem("vehicle", e.what());
    s.vehicle = vehicle::make({});
  }
}

/// Inside dimensions and side windows: of the body unless given.
void bind_size(Binder& b, vehicle::Choice& c) {
  const auto body = [&] {
    for (const auto& x : vehicle::bodies())
      if (x.key == c.body) return x;
    return own_body();
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
  if (b.was_given("vehicle.length")) c.length_m = length_m;
  if (b.was_given("vehicle.width")) c.width_m = width_m;
  if (b.was_given("vehicle.height")) c.height_m = height_m;
}

/// Numbers of the cabin as a whole, once it is made.
void bind_cabin(Binder& b, bool own, vehicle::Vehicle& v) {
  b.quantity("vehicle.volume", Quantity::volume, "m3", v.volume_m3, {0.3, 400},
             {"air in the cabin", "inside box less 10 % of contents; own: to be stated"});
  if (own && !b.was_given("vehicle.volume"))
    b.problem("vehicle.body", "a body of one's own needs its air volume",
              "volume = \"12 m3\" under [vehicle]");
  if (own && b.given().count("surface") == 0)
    b.problem("vehicle.body",
              "the cabin has no surface: a body of one's own needs [[surface]] tables",
              "or take a built-in body: `cabinload list vehicles`");
  b.quantity("vehicle.leakage_area", Quantity::area, "cm2", v.leakage_area_m2, {0, 0.5},
             {"all cracks together, effective at 4 Pa", kJudgement});
  b.share("vehicle.air_capacity_factor", v.air_capacity_factor_1, {0, 50},
          {"heat capacity of the air with what is really light in it, over air alone", kJudgement});
  b.share("vehicle.moisture_capacity_factor", v.moisture_capacity_factor_1, {1, 100},
          {"vapour stored in air, bedding and wood over air alone", kJudgement});
  b.share("vehicle.sun_floor", v.sun_inside.floor_1, {0, 1},
          {"of the sun that entered and missed the furnishings: to the floor", kJudgement});
  b.share("vehicle.sun_walls", v.sun_inside.shell_1, {0, 1},
          {"the same: to walls, roof and partitions by area; the rest leaves by the glass",
           kJudgement});
  if (v.sun_inside.floor_1 + v.sun_inside.shell_1 > 1 + 1e-9)
    b.problem("vehicle.sun_walls",
              fmt::format("sun_floor and sun_walls add to {:g}, must be at most 1",
                          v.sun_inside.floor_1 + v.sun_inside.shell_1));
  b.share("vehicle.sun_air", v.sun_inside.air_1, {0, 1},
          {"of the sun that entered, at once to the air; where surfaces state their solar_share",
           "none"});
  b.maybe("vehicle.sun_lost", Quantity::dimensionless, "", v.sun_inside.lost_1, {0, 1}, "the rest",
          {"of the sun that entered, out again by the glass; where surfaces state theirs",
           "nothing unless stated"});
}

/// One row of `cabinload`'s parking shades: what passes while it stands there.
struct Shade {
  const char* key;
  double beam_1, diffuse_1, sky_view_1;
};
constexpr Shade kShades[] = {
    {"none", 1, 1, 1},
    {"tree", 0.15, 0.4, 0.4},     // dense crown in leaf; engineering judgement
    {"carport", 0.0, 0.35, 0.3},  // opaque roof, open sides; engineering judgement
    {"cloth", 0.25, 0.5, 0.4},    // a shade sail or net of 75 %; engineering judgement
    {"building", 0.0, 0.5, 0.5},  // the shadow of a wall beside it; engineering judgement
};

void set_shade(forcing::Site& p, const std::string& kind) {
  for (const Shade& x : kShades)
    if (kind == x.key)
      p.shade_beam_1 = x.beam_1, p.shade_diffuse_1 = x.diffuse_1, p.shade_sky_view_1 = x.sky_view_1;
}

}  // namespace

bool shaded(const forcing::Site& p) {
  return !p.shade_hours.empty() && (p.shade_beam_1 < 1 || p.shade_diffuse_1 < 1);
}

void stand_under(Scenario& s, const std::string& kind, const core::DaySchedule& hours) {
  if (std::none_of(std::begin(kShades), std::end(kShades),
                   [&](const Shade& x) { return kind == x.key; }))
    throw core::RangeError("'" + kind + "' is not a shade");
  set_shade(s.site, kind);
  s.site.shade_hours = hours;
}

void bind_vehicle(Binder& b, Scenario& s) {
  vehicle::Choice& c = s.choice;
  b.text("name", s.name, {"name of the scenario, for headings", "built-in"});
  std::vector<std::string> body_keys = keys_of(vehicle::bodies());
  body_keys.push_back("own");
  b.choice("vehicle.body", c.body, body_keys,
           {"built-in body: `cabinload list vehicles`; own: only what [[surface]], [[window]] and "
            "[[furnishing]] describe",
            "invented"});
  const bool own = c.body == "own";
  b.choice("vehicle.insulation", c.insulation, keys_of(vehicle::insulations()),
           {"insulation level: `cabinload list insulation`", kJudgement});
  b.choice("vehicle.paint", c.paint, keys_of(vehicle::paints()),
           {"colour: `cabinload list paints`", "the coolest common colour"});
  b.choice("vehicle.cover", c.cover, keys_of(vehicle::covers()),
           {"cover on every window: `cabinload list covers`", "none unless said"});
  b.hours("vehicle.cover_hours", c.cover_hours,
          {"when the covers are in place", "always, once there is a cover"});
  if (c.cover_hours.overlaps())
    b.problem("vehicle.cover_hours", "'" + c.cover_hours.text() + "': two spans share hours",
              "say each hour once");
  bind_size(b, c);
  b.custom("vehicle.heading", "N",
           [&](const std::string& t) {
             s.heading_worst = t == "worst";
             if (!s.heading_worst) c.heading_rad = parse_heading(t);
           },
           {"where the nose points: N, NE .. or degree clockwise from north; worst: the hardest of "
            "eight",
            kJudgement});
  make_vehicle(b, own, s);
  bind_cabin(b, own, s.vehicle);
}

void bind_parking(Binder& b, Scenario& s) {
  forcing::Site& p = s.site;
  std::string shade = "none", ground = "asphalt";
  std::vector<std::string> shades;
  for (const Shade& x : kShades) shades.push_back(x.key);
  if (b.was_given("parking.shade_hours") && !b.was_given("parking.shade")) shade = "building";
  b.choice("parking.shade", shade, shades, {"what it stands under", "the unsafe side: no shade"});
  if (shade != "none") p.shade_hours = core::DaySchedule::always();
  set_shade(p, shade);
  b.hours("parking.shade_hours", p.shade_hours,
          {"when it stands in that shade", "always, once there is a shade"});
  b.share("parking.shade_beam", p.shade_beam_1, {0, 1},
          {"share of direct sun that comes through while shaded", kJudgement});
  b.share("parking.shade_diffuse", p.shade_diffuse_1, {0, 1},
          {"share of sky light that comes through while shaded", kJudgement});
  b.share("parking.shade_sky_view", p.shade_sky_view_1, {0, 1},
          {"share of the cold sky seen while shaded", kJudgement});
  b.choice("parking.ground", ground, {"asphalt", "soil", "grass", "as-air"},
           {"what it stands on; as-air: the ground is as warm as the air", "the hottest"});
  p.ground = ground == "soil"     ? forcing::Ground::soil
             : ground == "grass"  ? forcing::Ground::grass
             : ground == "as-air" ? forcing::Ground::as_air
                                  : forcing::Ground::asphalt;
  b.share("parking.ground_albedo", p.ground_albedo_1, {0, 1},
          {"reflectance of the ground where the file has none", kPractice});
  b.maybe("parking.ground_absorptance", Quantity::dimensionless, "", p.ground_absorptance_1, {0, 1},
          "of the ground", {"of the sunlit ground around, which warms the walls", kJudgement});
  b.maybe_profile("parking.ground_temperature", Quantity::temperature, "degC", p.T_ground_K,
                  {200, 400}, "computed", {"of the ground around and under it, stated", ""});
  b.share("parking.wind_factor", p.wind_factor_1, {0, 2},
          {"wind at the vehicle over the file's 10 m wind", kJudgement});
  for (int i = 0; i < b.given().count("skyline"); ++i) {
    const std::string key = fmt::format("skyline[{}].", i);
    forcing::SkylinePoint point;
    b.quantity(key + "azimuth", Quantity::angle, "degree", point.azimuth_rad, {-2 * kPi, 2 * kPi},
               {"direction, clockwise from north", ""});
    b.quantity(key + "elevation", Quantity::angle, "degree", point.elevation_rad, {0, kPi / 2},
               {"height of hills or buildings there; straight lines between points", "flat"});
    p.skyline.push_back(point);
  }
  b.hours("driving.hours", p.driving_hours,
          {"when it drives: wind of the road on the shell", "parked all day"});
  b.quantity("driving.speed", Quantity::speed, "km/h", p.driving_speed_m_s, {0, 45},
             {"mean speed then", "none"});
  if (!p.driving_hours.empty() && p.driving_speed_m_s <= 0)
    b.problem("driving.hours", "driving needs a speed", "speed = \"80 km/h\" under [driving]");
}

}  // namespace cabinload::scenario
