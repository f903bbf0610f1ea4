// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/error.hpp>
#include <functional>
#include <limits>

#include "roof/samples.hpp"
#include "support/catch.hpp"

using namespace cabinload::roof;
using cabinload::test::contains;
using cabinload::test::item;
using cabinload::test::plain_roof;

namespace {

/// A good roof that one change makes bad.
struct Case {
  Roof roof = plain_roof();
  std::vector<Item> items{item("a", Kind::unit, 0.5, 0.5, 0.8, 0.6),
                          item("b", Kind::vent, 2.0, 0.5, 0.4, 0.4)};
  PanelSize panel{1.0, 0.5, 100, 0.01, 0.04};
};

}  // namespace

TEST_CASE("roof: bad input is named with its value and what would be right", "[roof][unit]") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  const struct {
    std::function<void(Case&)> spoil;
    const char* sentence;
  } cases[] = {
      {[](Case& c) { c.roof.length_m = -4; },
       "roof: length in m = -4, must be above 0 and at most 30"},
      {[&](Case& c) { c.roof.width_m = nan; }, "roof: width in m = nan, must be above 0"},
      {[](Case& c) { c.roof.width_m = 1800; }, "roof: width in m = 1800, must be"},
      {[](Case& c) { c.roof.overall_height_m = 0; },
       "roof: overall height in m = 0, must be above 0"},
      {[](Case& c) { c.roof.limit_m = -1; }, "roof: height limit in m = -1, must be above 0"},
      {[](Case& c) { c.roof.rib_width_m = 2; },
       "roof: rib width in m = 2, must be between 0 and 0.5"},
      {[](Case& c) {
         c.roof.ribs_m = {1, 4.5};
       },
       "roof: rib at m = 4.5, must be on the roof, between 0 and 4"},
      {[](Case& c) { c.roof.edges.left_m = -0.1; },
       "roof: left edge kept free in m = -0.1, must be between 0"},
      {[](Case& c) { c.roof.edges.front_m = 3.9; },
       "roof: front and rear edges kept free take 4 m of its 4 m, must leave some"},
      {[](Case& c) { c.roof.edges.right_m = 2; },
       "roof: left and right edges kept free take 2.1 m of its 1.8 m, must leave some"},
      {[](Case& c) { c.items[0].length_m = 4.2; },
       "unit 'a': 4.2 x 0.6 m, must not be larger than the roof of 4 x 1.8 m"},
      {[](Case& c) { c.items[0].width_m = 2; }, "unit 'a': 0.8 x 2 m, must not be larger"},
      {[](Case& c) { c.items[1].length_m = -0.4; },
       "vent 'b': length in m = -0.4, must be above 0"},
      {[](Case& c) { c.items[1].width_m = 0; }, "vent 'b': width in m = 0, must be above 0"},
      {[](Case& c) { c.items[1].height_m = -0.1; },
       "vent 'b': height in m = -0.1, must be between 0 and 3"},
      {[](Case& c) { c.items[1].at->x_m = 2000; },
       "vent 'b': x in m = 2000, must be between -30 and 30"},
      {[&](Case& c) { c.items[1].at->y_m = nan; }, "vent 'b': y in m = nan, must be between"},
      {[](Case& c) { c.items[1].at.reset(); },
       "vent 'b': has no position; state x and y (only a unit is placed by itself)"},
      {[](Case& c) { c.items[0].width_m = 0.3; },
       "unit 'a': opening in m = 0.356, must be at least 0 and no larger than the unit"},
      {[](Case& c) { c.items[1].opening_m = -0.3; },
       "vent 'b': opening in m = -0.3, must be at least 0"},
      {[](Case& c) { c.items[1].power_W = 100; },
       "vent 'b': power in W = 100, must be 0, since only panels have one"},
      {[](Case& c) { c.items[1].power_W = -100; },
       "vent 'b': power in W = -100, must be between 0"},
      {[](Case& c) { c.items[1].name = "a"; },
       "vent 'a': name is given twice, must be unlike all others"},
      {[](Case& c) { c.items[1].name = ""; }, "vent '': its name must be text of at least one"},
      {[](Case& c) { c.items[1].name = "x\ny"; }, "vent 'x?y': its name must be text"},
      {[](Case& c) {
         for (int k = 0; k < 99; ++k)
           c.items.push_back(item(std::to_string(k), Kind::rack, 0, 0, 1, 1));
       },
       "roof: number of items = 101, must be at most 100"},
      {[](Case& c) { c.panel.length_m = -1; }, "panels: length in m = -1, must be above 0"},
      {[](Case& c) { c.panel.length_m = 4.5; },
       "panels: 4.5 x 0.5 m, must not be larger than the roof"},
      {[](Case& c) {
         c.panel = {2.0, 1.9, 0, 0, 0};
       },
       "panels: 2 x 1.9 m, must not be larger"},
      {[](Case& c) { c.panel.power_W = -1; }, "panels: power in W each = -1, must be between 0"},
      {[](Case& c) { c.panel.gap_m = -0.1; }, "panels: gap in m = -0.1, must be between 0 and 1"},
      {[](Case& c) { c.panel.height_m = 5; }, "panels: height in m = 5, must be between 0 and 3"},
      {[](Case& c) {
         c.panel = {0.1, 0.05, 5, 0, 0};
       },
       "panels: number that the roof has area for = 1440, must be at most 100; is the unit"},
  };
  CHECK(problems(Case().roof, Case().items, Case().panel).empty());
  for (const auto& bad : cases) {
    Case c;
    bad.spoil(c);
    const auto found = problems(c.roof, c.items, c.panel);
    INFO(bad.sentence);
    REQUIRE_FALSE(found.empty());
    CHECK_THAT(found.front(), Catch::Matchers::StartsWith(bad.sentence));
    CHECK_THROWS_AS(plan(c.roof, c.items, c.panel), cabinload::core::RangeError);
    CHECK_THROWS_AS(pack(c.roof, c.items, c.panel), cabinload::core::RangeError);
  }
}

TEST_CASE("roof: every problem is told, and all stand in the error", "[roof][unit]") {
  Case c;
  c.roof.edges.left_m = -1;
  c.items[0].height_m = 9;
  c.items[1].name = "a";
  CHECK(problems(c.roof, c.items).size() == 3);
  CHECK_THROWS_WITH(check(c.roof, c.items),
                    contains("left edge") && contains("height in m = 9") && contains("twice"));
}

TEST_CASE("roof: a panel that fits turned and a position off the roof are no problem",
          "[roof][unit]") {
  Case c;
  c.panel.length_m = 0.5;
  c.panel.width_m = 3.5;  // wider than the roof, unless it lies along it
  c.items[1].at = Place{-3, 5};
  CHECK(problems(c.roof, c.items, c.panel).empty());
  const auto layout = check(c.roof, c.items);
  REQUIRE(layout.outside.size() == 1);
  CHECK_WITHIN(layout.outside[0].past_roof_m, 3.6, 1e-12);  // 5 + 0.4 - 1.8, more than the 3 ahead
}
