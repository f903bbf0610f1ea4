// SPDX-License-Identifier: Apache-2.0
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
      CHECK_WITHIN(roof_m2, v.floor_area_m2, 1e-9);
      CHECK_WITHIN(left_m2, right_m2, 1e-9);  // walls with their windows mirror each other
      CHECK(shares < 1);
      // 10 to 40 m2 of thin shell between 1 and 6 W/m2K: 15 to 250 W/K; engineering judgement.
      CHECK(loss_W_K(v) > 15);
      CHECK(loss_W_K(v) < 250);
    }
}

TEST_CASE("vehicle: more insulation always loses less", "[vehicle][property]") {
  for (const auto& body : vehicle::bodies()) {
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
  choice.side_windows = 40;
  CHECK_THROWS_WITH(vehicle::make(choice), contains("do not fit"));
  choice = {};
  choice.height_m = 0.6;  // lower than its windscreen
  CHECK_THROWS_WITH(vehicle::make(choice),
                    contains("windows of the front") && contains("do not fit"));
  choice.height_m = -1;
  CHECK_THROWS_WITH(vehicle::make(choice), contains("height"));
}

TEST_CASE("vehicle: impossible vehicles are told in sentences", "[vehicle][unit]") {
  const auto said = [](const vehicle::Vehicle& v, const char* part) {
    for (const auto& s : vehicle::problems(v))
      if (s.find(part) != std::string::npos) return true;
    return false;
  };
  const vehicle::Vehicle good = vehicle::make({});
  auto v = good;
  v.surfaces[0].area_m2 = -2;
  CHECK(said(v, "surface 'roof': area in m2"));
  v = good;
  v.surfaces[1].layers[0].thickness_m = 0;
  CHECK(said(v, "thickness"));
  v = good;
  v.surfaces[1].layers.clear();
  CHECK(said(v, "has no layer"));
  v = good;
  v.surfaces[1].tilt_rad = 4;
  CHECK(said(v, "tilt"));
  v = good;
  v.surfaces[1].absorptance_1 = std::nan("");
  CHECK(said(v, "absorptance"));
  v = good;
  v.windows[0].solar_transmittance_1 = 0.9;
  CHECK(said(v, "transmittance plus absorptance"));
  v = good;
  v.windows[0].panes = 3;
  CHECK(said(v, "panes"));
  v = good;
  v.windows[0].inside_cover.solar_transmittance_1 = v.windows[0].inside_cover.solar_reflectance_1 =
      0.8;
  CHECK(said(v, "cover transmittance"));
  v = good;
  v.furnishings[0].solar_share_1 = 0.9;
  CHECK(said(v, "shares of the sun together"));
  v = good;
  v.surfaces.clear();
  CHECK(said(v, "no surface"));
  v = good;
  v.volume_m3 = 0;
  CHECK(said(v, "air volume"));
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
