// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <map>

#include "tables.hpp"

namespace cabinload::scenario {
namespace {

using core::Quantity;
using roof::Kind;
constexpr const char* kInvented = "invented";
constexpr std::array kKinds{Kind::unit, Kind::vent, Kind::rack, Kind::panel, Kind::opening};

/// A roof of one part of the vehicle: that of the living space.
double roof_length_m(const vehicle::Vehicle& v) {
  double area_m2 = 0;
  for (const auto& s : v.surfaces) {
    if (s.part != vehicle::Part::roof || s.outside != vehicle::Outside::open_air) continue;
    double whole_m2 = s.area_m2;  // with the windows let into it
    for (const auto& w : v.windows)
      if (vehicle::same_face(w, s)) whole_m2 += w.area_m2;
    area_m2 = std::max(area_m2, whole_m2);
  }
  const double least_m = std::min(1.0, v.length_m);
  const double length_m = std::clamp(area_m2 / v.width_m, least_m, v.length_m);
  return std::round(length_m * 100) / 100;
}

/// "0.9 m, 1.8 m" or "none".
std::vector<double> parse_ribs(const std::string& text) {
  std::vector<double> list;
  if (text == "none") return list;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t comma = std::min(text.find(',', at), text.size());
    list.push_back(core::parse_quantity(text.substr(at, comma - at), Quantity::length));
    at = comma + 1;
  }
  return list;
}

void bind_margins(Binder& b, roof::Roof& r) {
  struct Side {
    const char* key;
    double& value_m;
    const char* about;
  };
  for (const Side& side :
       {Side{"roof.margin_front", r.edges.front_m, "kept free at the front: curvature, seams"},
        Side{"roof.margin_rear", r.edges.rear_m, "kept free at the rear: hinges, lamps"},
        Side{"roof.margin_left", r.edges.left_m, "kept free on the left: gutter, rails"},
        Side{"roof.margin_right", r.edges.right_m, "kept free on the right: gutter, rails"}}) {
    side.value_m = 0.1;
    b.quantity(side.key, Quantity::length, "m", side.value_m, {0, 10}, {side.about, kJudgement});
  }
  const auto leave = [&](const char* near, const char* far, double margins_m, double size_m) {
    if (margins_m >= size_m)
      b.problem(b.was_given(near) ? near : far,
                fmt::format("the margins take {:g} m of {:g} m, must leave some roof", margins_m,
                            size_m));
  };
  leave("roof.margin_front", "roof.margin_rear", r.edges.front_m + r.edges.rear_m, r.length_m);
  leave("roof.margin_left", "roof.margin_right", r.edges.left_m + r.edges.right_m, r.width_m);
}

void bind_outline(Binder& b, const vehicle::Vehicle& v, roof::Roof& r) {
  r.length_m = roof_length_m(v);
  r.width_m = v.width_m;
  r.overall_height_m = v.overall_height_m;
  b.quantity("roof.length", Quantity::length, "m", r.length_m, {0.5, 30},
             {"of the flat roof, from the front", kOfBody});
  b.quantity("roof.width", Quantity::length, "m", r.width_m, {0.5, 30}, {"across", kOfBody});
  bind_margins(b, r);
  b.custom("roof.ribs", "none",
           [&](const std::string& t) {
             r.ribs_m = parse_ribs(t);
             for (const double x_m : r.ribs_m)
               if (!(x_m >= 0 && x_m <= r.length_m))
                 throw core::Error(
                     fmt::format("'{}': a rib at {:g} m is not on the roof, must be 0 to {:g} m", t,
                                 x_m, r.length_m));
           },
           {"middle of each rib that runs across, from the front: \"0.9 m, 1.8 m\"",
            "not known: measure them"});
  b.quantity("roof.rib_width", Quantity::length, "m", r.rib_width_m, {0, 0.5},
             {"of each", kJudgement});
  b.quantity("roof.overall_height", Quantity::length, "m", r.overall_height_m, {0.3, 10},
             {"road to the roof's top, nothing on it", kOfBody});
  b.quantity(
      "roof.height_limit", Quantity::length, "m", r.limit_m, {0.5, 30},
      {"what the vehicle must stay under", "10 ft garages; common practice, no published source"});
}

void bind_panel(Binder& b, RoofPlan& plan) {
  roof::PanelSize p{1.0, 0.5, 100, 0.02, 0.04};
  b.quantity("roof.panel_length", Quantity::length, "m", p.length_m, {0.05, 30},
             {"of one panel; it may lie either way round", kInvented});
  b.quantity("roof.panel_width", Quantity::length, "m", p.width_m, {0.05, 30},
             {"of one panel", kInvented});
  b.quantity("roof.panel_power", Quantity::power, "W", p.power_W, {0, 5000},
             {"of one panel at standard test conditions; 0 W: no panels are packed", kInvented});
  b.quantity("roof.panel_gap", Quantity::length, "m", p.gap_m, {0, 1},
             {"between panels and to other things", kJudgement});
  b.quantity("roof.panel_height", Quantity::length, "m", p.height_m, {0, 3},
             {"top of a panel above the roof", kJudgement});
  const roof::Roof& r = plan.roof;
  const bool along = p.length_m <= r.length_m && p.width_m <= r.width_m;
  const bool across = p.width_m <= r.length_m && p.length_m <= r.width_m;
  if (!along && !across)
    b.problem(
        p.length_m > std::max(r.length_m, r.width_m) ? "roof.panel_length" : "roof.panel_width",
        fmt::format("a panel of {:g} x {:g} m is larger than the roof of {:g} x {:g} m", p.length_m,
                    p.width_m, r.length_m, r.width_m),
        "smaller panels, or roof.panel_power = \"0 W\" for none");
  if (p.power_W > 0) plan.panel = p;
}

/// What an item needs that its keys alone do not tell.
void check_item(Binder& b, const std::string& key, const roof::Roof& r, const roof::Item& i,
                bool one_of_two) {
  if (one_of_two)
    b.problem(b.was_given(key + "x") ? key + "x" : key + "y",
              "a position needs both x and y, from the front-left corner",
              "x = \"0.4 m\", y = \"0.5 m\"");
  else if (!i.at && i.kind != Kind::unit)
    b.problem(key + "x",
              fmt::format("'{}' is a {} without a position; only a unit is placed by itself",
                          i.name, roof::word(i.kind)),
              "x = \"0.4 m\", y = \"0.5 m\" from the front-left corner");
  if (i.length_m > r.length_m || i.width_m > r.width_m)
    b.problem(i.length_m > r.length_m ? key + "length" : key + "width",
              fmt::format("'{}' of {:g} x {:g} m is larger than the roof of {:g} x {:g} m", i.name,
                          i.length_m, i.width_m, r.length_m, r.width_m),
              "length goes along the vehicle, width across");
  if (i.opening_m && *i.opening_m > std::min(i.length_m, i.width_m))
    b.problem(key + "opening", fmt::format("a hole of {:g} m is larger than '{}' of {:g} x {:g} m",
                                           *i.opening_m, i.name, i.length_m, i.width_m));
  if (i.power_W > 0 && i.kind != Kind::panel)
    b.problem(key + "power",
              fmt::format("'{}' is a {}; only a panel gives power", i.name, roof::word(i.kind)));
}

roof::Item bind_item(Binder& b, int index, const roof::Roof& r) {
  const std::string key = fmt::format("roof_item[{}].", index);
  roof::Item i;
  std::vector<std::string> kinds;
  for (const Kind k : kKinds) kinds.emplace_back(roof::word(k));
  std::string kind = index == 0 ? "unit" : "rack";
  b.choice(key + "kind", kind, kinds,
           {"unit (over a hole), vent, rack (boxes, antennas too), panel, or an opening that is "
            "there",
            "the first is the unit"});
  for (const Kind k : kKinds)
    if (kind == roof::word(k)) i.kind = k;
  i.name = index == 0 ? kind : fmt::format("{} {}", kind, index + 1);
  b.text(key + "name", i.name, {"unlike all others", "by kind"});
  if (i.name.empty()) b.problem(key + "name", "'' is no name", "name = \"vent over the bed\"");
  const bool unit = i.kind == Kind::unit;
  i.length_m = unit ? 0.95 : 0, i.width_m = unit ? 0.70 : 0;
  i.height_m = unit ? 0.17 : 0.1;
  b.quantity(key + "length", Quantity::length, "m", i.length_m, {0.02, 30},
             {"along the vehicle", kInvented});
  b.quantity(key + "width", Quantity::length, "m", i.width_m, {0.02, 30}, {"across", kInvented});
  b.quantity(key + "height", Quantity::length, "m", i.height_m, {0, 3},
             {"above the roof", kInvented});
  if (!unit)
    for (const char* need : {"length", "width"})
      if (!b.was_given(key + need))
        b.problem(key + need, fmt::format("'{}' needs its size", i.name),
                  "length = \"0.4 m\", width = \"0.4 m\"");
  std::optional<double> x_m, y_m;
  b.maybe(key + "x", Quantity::length, "m", x_m, {-30, 30}, "to be placed",
          {"its front edge, from the front of the roof; a unit without finds its own", "best"});
  b.maybe(key + "y", Quantity::length, "m", y_m, {-30, 30}, "to be placed",
          {"its left edge, from the left of the roof", "best"});
  b.maybe(key + "opening", Quantity::length, "m", i.opening_m, {0, 3}, "by kind",
          {"side of the square hole under its middle",
           "0.356 m (14 in) for a unit, none for others; common practice, no published source"});
  b.quantity(key + "power", Quantity::power, "W", i.power_W, {0, 5000},
             {"of a panel at standard test conditions", "none"});
  if (x_m && y_m) i.at = roof::Place{*x_m, *y_m};
  check_item(b, key, r, i, x_m.has_value() != y_m.has_value());
  return i;
}

}  // namespace

void bind_roof(Binder& b, Scenario& s) {
  RoofPlan& plan = s.roof;
  bind_outline(b, s.vehicle, plan.roof);
  bind_panel(b, plan);
  const int count = std::max(1, b.given().count("roof_item"));
  std::map<std::string, int> seen;
  for (int i = 0; i < count; ++i) {
    plan.items.push_back(bind_item(b, i, plan.roof));
    const auto [at, fresh] = seen.emplace(plan.items.back().name, i);
    if (!fresh)
      b.problem(fmt::format("roof_item[{}].name", i),
                fmt::format("'{}' is the name of item {} already, must be unlike all others",
                            plan.items.back().name, at->second + 1),
                fmt::format("name = \"{} {}\"", plan.items.back().name, i + 1));
  }
  if (b.failed()) return;
  for (const std::string& text : roof::problems(plan.roof, plan.items, plan.panel))
    b.problem("roof", text);
}

}  // namespace cabinload::scenario
