// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/roof.hpp>

#include "support/catch.hpp"
#include "support/scenario_text.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace test = cabinload::test;
using test::contains;

namespace {

answers::Roof roof(const std::string& toml) {
  cabinload::weather::Series weather;
  weather.place.name = "Invented";
  return answers::roof_plan(test::read_text(toml), weather);
}

constexpr const char* kTwoByFour =
    "[roof]\nlength = \"4 m\"\nwidth = \"2 m\"\nmargin_front = \"0 m\"\nmargin_rear = \"0 m\"\n"
    "margin_left = \"0 m\"\nmargin_right = \"0 m\"\noverall_height = \"2.8 m\"\n"
    "panel_length = \"1 m\"\npanel_width = \"1 m\"\npanel_gap = \"0 m\"\npanel_power = \"200 W\"\n";

}  // namespace

TEST_CASE("answers: a roof by hand", "[answers][unit]") {
  // 4 x 2 m, a unit of 1 x 1 m in the front-left corner: 7 m2 and seven panels of 1 m2 are left.
  const auto a = roof(std::string(kTwoByFour) +
                      "[[roof_item]]\nname = \"unit\"\nlength = \"1 m\"\nwidth = \"1 m\"\n"
                      "height = \"0.2 m\"\nx = \"0 m\"\ny = \"0 m\"\n");
  CHECK(a.met());
  CHECK_WITHIN(a.plan.layout.overall_height_m, 3.0, 1e-9);
  CHECK_WITHIN(a.plan.layout.headroom_m, 0.05, 1e-9);
  CHECK_WITHIN(a.plan.layout.area_left_m2, 7, 1e-9);
  CHECK(a.panels() == 7);
  CHECK_WITHIN(a.panel_W(), 1400, 1e-9);
}

TEST_CASE("answers: what does not fit is not met", "[answers][unit]") {
  const std::string unit = "[[roof_item]]\nname = \"unit\"\nlength = \"1 m\"\nwidth = \"1 m\"\n";
  const std::string base = kTwoByFour;
  CHECK_FALSE(roof(base + unit + "height = \"0.25 m\"\n").met());  // 3.05 m is not below 3.05 m
  CHECK(roof(base + unit + "height = \"0.24 m\"\n").met());
  CHECK_FALSE(roof(base + unit + "x = \"3.5 m\"\ny = \"0 m\"\n").met());  // over the edge
  CHECK_FALSE(roof(base + "ribs = \"0.5 m\"\n" + unit + "x = \"0 m\"\ny = \"0 m\"\n").met());
  const auto full = roof(base + unit +
                         "[[roof_item]]\nname = \"tent\"\nkind = \"rack\"\nlength = "
                         "\"3.5 m\"\nwidth = \"2 m\"\nx = \"0 m\"\ny = \"0 m\"\n");
  CHECK_FALSE(full.met());
  CHECK(full.plan.layout.unplaced == std::vector<std::string>{"unit"});
}

TEST_CASE("answers: listed panels and packed ones count together, none on request",
          "[answers][unit]") {
  const auto a = roof(std::string(kTwoByFour) +
                      "[[roof_item]]\nname = \"old panel\"\nkind = \"panel\"\nlength = \"1 m\"\n"
                      "width = \"1 m\"\nx = \"0 m\"\ny = \"0 m\"\npower = \"150 W\"\n");
  CHECK(a.panels() == 8);
  CHECK_WITHIN(a.panel_W(), 150 + 7 * 200, 1e-9);
  REQUIRE(a.header.warnings.size() == 1);
  CHECK_THAT(a.header.warnings[0], contains("no unit"));
  CHECK(roof("[roof]\npanel_power = \"0 W\"\n").panels() == 0);
}

TEST_CASE("answers: panels that the battery counts on must find room on the roof",
          "[answers][unit]") {
  const auto noted = [](const std::string& toml) {
    for (const auto& w : roof(toml).header.warnings)
      if (w.find("of which 500 W find room") != std::string::npos) return true;
    return false;
  };
  CHECK(noted("[panels]\npower = \"600 W\"\n"));
  CHECK_FALSE(noted("[panels]\npower = \"500 W\"\n"));
  CHECK(noted("[panels]\narea = \"4 m2\"\nefficiency = 0.2\n"));  // 800 W
  CHECK_FALSE(noted("[panels]\npower = \"600 W\"\nmount = \"portable\"\n"));
}

TEST_CASE("answers: a body of one's own needs its height over the road", "[answers][unit]") {
  const std::string own =
      "[vehicle]\nbody = \"own\"\nvolume = \"10 m3\"\n[[surface]]\nname = \"roof\"\npart = "
      "\"roof\"\narea = \"8 m2\"\ntilt = \"0 degree\"\nlayers = [{material = \"steel\", thickness "
      "= \"1 mm\"}]\n";
  CHECK_THROWS_WITH(roof(own), contains("roof.overall_height") && contains("road to roof"));
  CHECK_NOTHROW(roof(own + "[roof]\noverall_height = \"2.5 m\"\n"));
}

TEST_CASE("answers: an invented size is said to be invented", "[answers][unit]") {
  const auto says = [](const answers::Roof& a, const char* part) {
    for (const auto& x : a.header.assumptions)
      if (x.text.find(part) != std::string::npos) return true;
    return false;
  };
  CHECK(says(roof(""), "which is invented"));
  CHECK_FALSE(says(roof("[[roof_item]]\nlength = \"0.9 m\"\nwidth = \"0.6 m\"\nheight = \"0.2 "
                        "m\"\n"),
                   "which is invented"));
  CHECK(says(roof(""), "No ribs are known"));
  // Who cuts reads which hole was taken.
  CHECK(says(roof(""), "The hole of 'unit' is the standard one of 0.356 m (14 in)"));
  CHECK_FALSE(says(roof("[[roof_item]]\nopening = \"0.4 m\"\n"), "the standard one"));
}

TEST_CASE("answers: a roof has its cautions", "[answers][unit]") {
  std::vector<std::string> ids;
  for (const auto& c : roof("").header.cautions) ids.push_back(c.id);
  CHECK(ids == std::vector<std::string>{"sealing", "ribs", "roof_load", "height", "panel_voltage",
                                        "licensed_work", "roof_opening"});
}
