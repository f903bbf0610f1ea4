// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cmath>
#include <map>
#include <set>

#include "support/catch.hpp"
#include "support/table.hpp"

namespace core = cabinload::core;
namespace vehicle = cabinload::vehicle;
using cabinload::test::contains;
using cabinload::test::Table;

namespace {

double loss_W_K(const vehicle::Vehicle& v) {
  double UA = 0;
  for (const auto& s : v.surfaces) {
    UA += s.area_m2 * (1 - s.framing_fraction) * vehicle::u_value_W_m2K(s.layers, 0.13, 0.04);
    if (s.framing_fraction > 0)
      UA += s.area_m2 * s.framing_fraction * vehicle::u_value_W_m2K(s.framing, 0.13, 0.04);
  }
  for (const auto& w : v.windows) UA += w.area_m2 * w.U_W_m2K;
  return UA;
}

}  // namespace

TEST_CASE("vehicle: layers of the standard test boxes give the published U-values",
          "[vehicle][table]") {
  // ANSI/ASHRAE Standard 140: films 8.29 inside and 29.3 outside W/m2K; U within 0.001, R within
  // 0.002 of the column recomputed from the layers, U within 0.001 of the published one. Films from
  // the same specification.
  const Table layers("vehicle/test_box_layers.csv"), ua("vehicle/test_box_ua.csv");
  std::size_t checked = 0;
  for (std::size_t i = 0; i < ua.rows(); ++i) {
    const std::string &series = ua.text(i, "case_series"), &element = ua.text(i, "element");
    std::vector<vehicle::Layer> wall;
    for (std::size_t j = 0; j < layers.rows(); ++j)
      if (layers.text(j, "case_series") == series && layers.text(j, "element") == element)
        wall.push_back({layers.text(j, "material"), layers.number(j, "thickness_m"),
                        layers.number(j, "conductivity_W_per_mK"), 0, 0});
    if (wall.empty()) continue;
    // The floor lies on the ground: no outside film.
    const double U = vehicle::u_value_W_m2K(wall, 1 / 8.29, element == "floor" ? 0.0 : 1 / 29.3);
    INFO(series << " " << element);
    CHECK_WITHIN(U, ua.number(i, "U_air_to_air_published_W_per_m2K"), 0.001);
    CHECK_WITHIN(1 / U, ua.number(i, "R_recomputed_m2K_per_W"), 0.002);
    ++checked;
  }
  CHECK(checked == 6);
}

TEST_CASE("vehicle: every body with every insulation is free of problems and plausible",
          "[vehicle][property]") {
  for (const auto& body : vehicle::bodies())
    for (const auto& level : vehicle::insulations()) {
      vehicle::Choice choice;
      choice.body = body.key;
      choice.insulation = level.key;
      const auto v = vehicle::make(choice);
      INFO(body.key << ", " << level.key);
      CHECK(vehicle::problems(v).empty());
      double floor_m2 = 0, roof_m2 = 0, shares = 0, left_m2 = 0, right_m2 = 0;
      for (const auto& s : v.surfaces) {
        if (s.part == vehicle::Part::floor) floor_m2 += s.area_m2;
        if (s.part == vehicle::Part::roof) roof_m2 += s.area_m2;
        if (s.name.rfind("left", 0) == 0) left_m2 += s.area_m2;
        if (s.name.rfind("right", 0) == 0) right_m2 += s.area_m2;
      }
      for (const auto& w : v.windows) {
        if (w.tilt_rad < 0.01) roof_m2 += w.area_m2;
        if (std::abs(w.azimuth_rad + core::kPi / 2) < 0.01) left_m2 += w.area_m2;
        if (std::abs(w.azimuth_rad - core::kPi / 2) < 0.01) right_m2 += w.area_m2;
      }
      for (const auto& f : v.furnishings) shares += f.solar_share_1;
      CHECK_WITHIN(floor_m2, v.floor_area_m2, 1e-9);
      if (body.key != "car") CHECK_WITHIN(roof_m2, v.floor_area_m2, 1e-9);  // a car's glass slopes
      CHECK_WITHIN(left_m2, right_m2, 1e-9);  // walls with their windows mirror each other
      CHECK(shares < 1);
      // 10 to 40 m2 of thin shell between 1 and 6 W/m2K: 15 to 250 W/K; engineering judgement.
      CHECK(loss_W_K(v) > 15);
      CHECK(loss_W_K(v) < 250);
    }
}

TEST_CASE("vehicle: more insulation always loses less", "[vehicle][property]") {
  for (const auto& body : vehicle::bodies()) {
    if (body.key == "car") continue;  // trimmed as made, whatever is asked for
    double before = 1e9;
    for (const char* level : {"bare", "thin", "good", "very-good"}) {
      vehicle::Choice choice;
      choice.body = body.key;
      choice.insulation = level;
      const double now = loss_W_K(vehicle::make(choice));
      INFO(body.key << " " << level << " " << now << " W/K");
      CHECK(now < before);
      before = now;
    }
  }
}

TEST_CASE("vehicle: what is asked for is built", "[vehicle][unit]") {
  vehicle::Choice choice;
  choice.side_windows = 5;
  choice.length_m = 5.0;
  choice.cover = "thermal-mat";
  choice.paint = "black";
  const auto v = vehicle::make(choice);
  int side = 0;
  for (const auto& w : v.windows) {
    side += w.name.rfind("side window", 0) == 0 ? 1 : 0;
    CHECK(w.inside_cover.side == vehicle::CoverSide::inside);
  }
  CHECK(side == 5);
  CHECK(v.length_m == 5.0);
  CHECK(v.surfaces[0].absorptance_1 == 0.95);
}

TEST_CASE("vehicle: what is not known or does not fit is refused with a hint", "[vehicle][unit]") {
  vehicle::Choice choice;
  choice.body = "medium-vam";
  CHECK_THROWS_WITH(vehicle::make(choice), contains("did you mean 'medium-van'"));
  choice = {};
  choice.insulation = "thik";
  CHECK_THROWS_WITH(vehicle::make(choice), contains("insulation 'thik' is not known"));
  choice = {};
  choice.paint = "whit";
  CHECK_THROWS_WITH(vehicle::make(choice), contains("'white'"));
  choice = {};
  choice.cover = "mat";
  CHECK_THROWS_AS(vehicle::make(choice), core::RangeError);
  choice = {};
  for (int count : {-1, 21}) {
    choice.side_windows = count;
    CHECK_THROWS_WITH(vehicle::make(choice), contains("side windows, must be between 0 and 20"));
  }
  choice.side_windows = 20;
  choice.length_m = 2.0;
  CHECK_THROWS_WITH(vehicle::make(choice), contains("m2 of windows do not fit"));
  choice = {};
  choice.height_m = 0.7;  // lower than the windscreen
  CHECK_THROWS_WITH(vehicle::make(choice), contains("front: 1.19 m2 of windows do not fit"));
  choice = {};
  choice.width_m = std::nan("");
  CHECK_THROWS_WITH(vehicle::make(choice), contains("width"));
  choice = {};
  choice.height_m = 0.6;  // lower than its windscreen
  CHECK_THROWS_WITH(vehicle::make(choice), contains("front: 1.19 m2 of windows do not fit 1.05"));
  choice.height_m = -1;
  CHECK_THROWS_WITH(vehicle::make(choice), contains("height"));
  CHECK_THROWS_WITH(vehicle::layer_of("corc", 0.01), contains("did you mean 'cork'"));
  CHECK_THROWS_WITH(vehicle::window_of("windscren"), contains("did you mean 'windscreen'"));
}

TEST_CASE("vehicle: a medium van loses what its area and foam allow", "[vehicle][unit]") {
  // By hand: 4.3 x 1.75 x 1.85 m is 37.4 m2 of shell, about 35 m2 of it without glass. ISO 6946
  // films 0.17 m2K/W. The least U is the foam's alone, the most twice that (ribs, thin floor);
  // glass 2.85 m2 between 3.0 (double acrylic) and 5.7 W/m2K (single).
  constexpr double kOpaque_m2 = 35, kGlass_m2 = 2.85, kFilms_m2K_W = 0.17;
  const std::map<std::string, double> foam_m = {
      {"thin", 0.020}, {"good", 0.040}, {"very-good", 0.060}};
  for (const auto& [level, thickness_m] : foam_m) {
    vehicle::Choice choice;
    choice.insulation = level;
    const double least_W_m2K = 1 / (kFilms_m2K_W + thickness_m / 0.035 + 0.03);  // lining 0.03
    const double UA = loss_W_K(vehicle::make(choice));
    INFO(level << " " << UA << " W/K");
    CHECK(UA > kOpaque_m2 * least_W_m2K + kGlass_m2 * 3.0);
    CHECK(UA < 2 * kOpaque_m2 * least_W_m2K + kGlass_m2 * 5.7);
  }
  vehicle::Choice bare;
  bare.insulation = "bare";
  CHECK(loss_W_K(vehicle::make(bare)) < (kOpaque_m2 + kGlass_m2) / kFilms_m2K_W);
}

TEST_CASE("vehicle: left and right mirror each other", "[vehicle][property]") {
  for (const auto& body : vehicle::bodies())
    for (int side_windows : {0, 2, 4}) {
      vehicle::Choice choice;
      choice.body = body.key;
      choice.side_windows = side_windows;
      if (body.key == "small-van" && side_windows == 4) choice.length_m = 4.0;
      const auto v = vehicle::make(choice);
      double left = 0, right = 0;  // sums of area x U or transmittance, by the sign of the azimuth
      for (const auto& s : v.surfaces)
        if (std::abs(std::sin(s.azimuth_rad)) > 0.99)
          (s.azimuth_rad < 0 ? left : right) +=
              s.area_m2 * vehicle::u_value_W_m2K(s.layers, 0.13, 0.04);
      for (const auto& w : v.windows)
        if (std::abs(std::sin(w.azimuth_rad)) > 0.99)
          (w.azimuth_rad < 0 ? left : right) += w.area_m2 * (w.U_W_m2K + w.solar_transmittance_1);
      INFO(body.key << ", " << side_windows << " windows");
      CHECK(left > 0);
      CHECK_RELATIVE(left, right, 1e-12);  // the same sums in the same order: rounding
    }
}

TEST_CASE("vehicle: air changes of parked vans are usual and follow the size",
          "[vehicle][property]") {
  // At 2 m/s and 5 K, q = A sqrt(0.0145 dT + 0.0319 v^2): ASHRAE Fundamentals 2017 ch. 16 basic
  // model, one storey, from memory. Parked vans: 0.5 to 1.5 1/h, engineering judgement; canvas
  // more.
  const auto changes_1_h = [](const vehicle::Vehicle& v) {
    return v.leakage_area_m2 * std::sqrt(0.0145 * 5 + 0.0319 * 2 * 2) * 3600 / v.volume_m3;
  };
  for (const auto& body : vehicle::bodies()) {
    vehicle::Choice choice;
    choice.body = body.key;
    const auto v = vehicle::make(choice);
    INFO(body.key << " " << changes_1_h(v) << " 1/h");
    CHECK(changes_1_h(v) > 0.5);
    CHECK(changes_1_h(v) < (body.key == "pop-top" ? 6.0 : 1.5));
    choice.length_m = 2 * body.length_m;
    const auto longer = vehicle::make(choice);
    CHECK(longer.leakage_area_m2 > 1.4 * v.leakage_area_m2);  // shell grows, the two ends do not
    CHECK(longer.leakage_area_m2 < 2.0 * v.leakage_area_m2);
  }
}

TEST_CASE("vehicle: glazing and covers of the tables do not create sun", "[vehicle][property]") {
  for (const auto& g : vehicle::glazings()) {
    INFO(g.key);
    CHECK(g.solar_transmittance_1 > 0);
    CHECK(g.solar_transmittance_1 + g.solar_absorptance_1 < 1);  // some is always reflected
    CHECK(g.U_W_m2K < 1 / 0.17);                                 // films of ISO 6946 alone
    // Heat capacity is that of its panes, glass 1.875 or acrylic 1.770 MJ/m3K; rounded to 100.
    const double per_m3 = g.areal_heat_capacity_J_m2K / (g.panes * g.pane_thickness_m);
    CHECK(std::min(std::abs(per_m3 - 1.875e6), std::abs(per_m3 - 1.770e6)) < 2e4);
  }
  for (const auto& c : vehicle::covers()) {
    INFO(c.key);
    CHECK(c.solar_transmittance_1 + c.solar_reflectance_1 <= 1);
    CHECK(c.resistance_m2K_W >= 0);
  }
  for (const auto& p : vehicle::paints()) CHECK((p.absorptance_1 > 0.2 && p.absorptance_1 < 1));
}

namespace {

bool said(const vehicle::Vehicle& v, const std::string& part) {
  for (const auto& s : vehicle::problems(v))
    if (s.find(part) != std::string::npos) return true;
  return false;
}

/// One thing made wrong in a good vehicle, and the words that must tell of it.
struct Fault {
  const char* words;
  void (*make)(vehicle::Vehicle&);
};
using V = vehicle::Vehicle&;

}  // namespace

TEST_CASE("vehicle: impossible surfaces are told in sentences", "[vehicle][unit]") {
  const Fault faults[] = {
      {"surface 'roof': area in m2 without its windows = -2, must be above 0 and below 200",
       [](V v) { v.surfaces[0].area_m2 = -2; }},
      {"surface 'roof': its windows of 3.16 m2 are larger than the 1.16 m2 it has",
       [](V v) {
         v.surfaces[0].area_m2 = -2;
         v.windows.back().area_m2 = 3.16;
       }},
      {"has no layer", [](V v) { v.surfaces[1].layers.clear(); }},
      {"ribs: has no layer", [](V v) { v.surfaces[1].framing.clear(); }},
      {"thickness", [](V v) { v.surfaces[1].layers[0].thickness_m = 0; }},
      {"conductivity", [](V v) { v.surfaces[1].layers[0].k_W_mK = 0; }},
      {"density", [](V v) { v.surfaces[1].layers[0].rho_kg_m3 = -1; }},
      {"specific heat", [](V v) { v.surfaces[1].framing[0].c_J_kgK = INFINITY; }},
      {"tilt", [](V v) { v.surfaces[1].tilt_rad = 4; }},
      {"azimuth", [](V v) { v.surfaces[1].azimuth_rad = INFINITY; }},
      {"absorptance = nan", [](V v) { v.surfaces[1].absorptance_1 = std::nan(""); }},
      {"absorptance = 1.1", [](V v) { v.surfaces[1].absorptance_1 = 1.1; }},
      {"emittance outside", [](V v) { v.surfaces[1].emittance_out_1 = -0.1; }},
      {"emittance inside", [](V v) { v.surfaces[1].emittance_in_1 = 2; }},
      {"framing fraction", [](V v) { v.surfaces[1].framing_fraction = 0.6; }},
      {"fixed temperature in K = 0", [](V v) { v.surfaces[1].outside = vehicle::Outside::fixed; }},
      {"the cabin has no surface", [](V v) { v.surfaces.clear(); }},
  };
  for (const Fault& fault : faults) {
    vehicle::Vehicle v = vehicle::make({});
    fault.make(v);
    INFO(fault.words);
    CHECK(said(v, fault.words));
  }
}

TEST_CASE("vehicle: impossible windows are told in sentences", "[vehicle][unit]") {
  const Fault faults[] = {
      {"window 'windscreen': area in m2 = -1", [](V v) { v.windows[0].area_m2 = -1; }},
      {"tilt", [](V v) { v.windows[0].tilt_rad = -1; }},
      {"azimuth", [](V v) { v.windows[0].azimuth_rad = std::nan(""); }},
      {"panes = 3, must be 1 or 2", [](V v) { v.windows[0].panes = 3; }},
      {"pane thickness", [](V v) { v.windows[0].pane_thickness_m = 0; }},
      {"U in W/(m2 K) = 9", [](V v) { v.windows[0].U_W_m2K = 9; }},
      {"U in W/(m2 K) = 6.5, must be above 0.2 and at most 5.81",
       [](V v) { v.windows[0].U_W_m2K = 6.5; }},
      {"resistance in m2 K/W = 0.001, must be between 0.002 and 4.8",
       [](V v) { v.windows[0].resistance_m2K_W = 0.001; }},
      {"one pane of 5 mm cannot be below 2.6", [](V v) { v.windows[0].U_W_m2K = 1.5; }},
      {"solar transmittance", [](V v) { v.windows[0].solar_transmittance_1 = -0.1; }},
      {"solar absorptance", [](V v) { v.windows[0].solar_absorptance_1 = 1.2; }},
      {"transmittance plus absorptance", [](V v) { v.windows[0].solar_transmittance_1 = 0.9; }},
      {"emittance", [](V v) { v.windows[0].emittance_1 = 1.5; }},
      {"heat capacity", [](V v) { v.windows[0].areal_heat_capacity_J_m2K = -1; }},
      {"cover transmittance =",
       [](V v) { v.windows[0].inside_cover.solar_transmittance_1 = -0.1; }},
      {"cover reflectance", [](V v) { v.windows[0].inside_cover.solar_reflectance_1 = 1.1; }},
      {"cover transmittance plus reflectance",
       [](V v) {
         v.windows[0].inside_cover.solar_transmittance_1 = 0.8;
         v.windows[0].inside_cover.solar_reflectance_1 = 0.8;
       }},
      {"cover resistance", [](V v) { v.windows[0].inside_cover.resistance_m2K_W = -1; }},
  };
  for (const Fault& fault : faults) {
    vehicle::Vehicle v = vehicle::make({});
    fault.make(v);
    INFO(fault.words);
    CHECK(said(v, fault.words));
  }
}

TEST_CASE("vehicle: impossible cabins and furnishings are told in sentences", "[vehicle][unit]") {
  const Fault faults[] = {
      {"cabin: length in m = 0", [](V v) { v.length_m = 0; }},
      {"width", [](V v) { v.width_m = std::nan(""); }},
      {"height in m", [](V v) { v.height_m = -1; }},
      {"overall height", [](V v) { v.overall_height_m = 0; }},
      {"floor area", [](V v) { v.floor_area_m2 = 0; }},
      {"heading", [](V v) { v.heading_rad = INFINITY; }},
      {"air volume", [](V v) { v.volume_m3 = 0; }},
      {"leakage area", [](V v) { v.leakage_area_m2 = -1e-3; }},
      {"air capacity factor", [](V v) { v.air_capacity_factor_1 = -0.5; }},
      {"moisture capacity factor", [](V v) { v.moisture_capacity_factor_1 = 0; }},
      {"furnishing 'bed': area", [](V v) { v.furnishings[0].area_m2 = 0; }},
      {"furnishing 'bed': emittance", [](V v) { v.furnishings[0].emittance_1 = 1.1; }},
      {"furnishing 'bed': share of the sun", [](V v) { v.furnishings[0].solar_share_1 = -0.1; }},
      {"furnishing 'bed': has no layer", [](V v) { v.furnishings[0].layers.clear(); }},
      {"shares of the sun together", [](V v) { v.furnishings[0].solar_share_1 = 0.9; }},
  };
  for (const Fault& fault : faults) {
    vehicle::Vehicle v = vehicle::make({});
    fault.make(v);
    INFO(fault.words);
    CHECK(said(v, fault.words));
  }
}

TEST_CASE("vehicle: every table entry has a source and a key of its own", "[vehicle][property]") {
  std::set<std::string> keys;
  const auto check = [&](const auto& table) {
    keys.clear();
    for (const auto& e : table) {
      INFO(e.key);
      CHECK_FALSE(e.source.empty());
      CHECK(keys.insert(e.key).second);
    }
  };
  check(vehicle::materials());
  check(vehicle::paints());
  check(vehicle::insulations());
  check(vehicle::glazings());
  check(vehicle::covers());
  check(vehicle::bodies());
}
