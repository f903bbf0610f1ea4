// SPDX-License-Identifier: Apache-2.0
#include <cabinload/scenario/scenario.hpp>

#include "support/catch.hpp"
#include "support/scenario_text.hpp"

namespace core = cabinload::core;
namespace roof = cabinload::roof;
namespace scenario = cabinload::scenario;
namespace test = cabinload::test;
namespace wiring = cabinload::wiring;
using test::contains;
using test::read_text;

namespace {

struct Refusal {
  const char* toml;
  const char* where;  // line and key
  const char* part;
  const char* remedy;
};

void check(const Refusal& c) {
  INFO(c.toml);
  const std::string said = test::refusal(c.toml);
  CHECK_THAT(said, contains(c.where));
  CHECK_THAT(said, contains(c.part));
  CHECK_THAT(said, contains(c.remedy));
}

}  // namespace

TEST_CASE("scenario: a cable is read", "[scenario][unit]") {
  const auto c = read_text(
                     "[cable]\nlength = \"18 ft\"\nplace = \"engine-bay\"\ninsulation = "
                     "\"105 degC\"\nterminals = \"90 degC\"\nallowed_drop = \"5 %\"\nbundle "
                     "= 6\nambient = \"70 degC\"\npower = \"800 W\"\nshort_circuit = \"3 "
                     "kA\"\nfuse_distance = \"4 in\"\n")
                     .cable;
  CHECK_WITHIN(c.length_m, 5.4864, 1e-9);
  CHECK(c.place == scenario::CablePlace::engine_bay);
  CHECK(c.insulation == wiring::Insulation::marine_c105);
  CHECK(c.terminal_degC == 90);
  CHECK_WITHIN(c.allowed_drop_1, 0.05, 1e-12);
  CHECK(c.conductors_together == 6);
  CHECK_WITHIN(*c.ambient_K, 343.15, 1e-9);
  CHECK_WITHIN(*c.power_W, 800, 1e-9);
  CHECK_WITHIN(*c.short_circuit_A, 3000, 1e-9);
  CHECK_WITHIN(c.fuse_distance_m, 0.1016, 1e-9);
}

TEST_CASE("scenario: a cable's defaults follow the vehicle", "[scenario][unit]") {
  for (const char* body : {"medium-van", "trailer", "car"}) {
    const auto s = read_text(std::string("[vehicle]\nbody = \"") + body + "\"\n");
    CHECK(s.cable.length_m == s.vehicle.length_m);
    CHECK(s.cable.insulation == wiring::Insulation::c90);
    CHECK(s.cable.terminal_degC == 75);
    CHECK_FALSE(s.cable.ambient_K);
    CHECK_FALSE(s.cable.power_W);
  }
  CHECK(read_text("[cable]\ninsulation = \"194 degF\"\n").cable.insulation ==
        wiring::Insulation::c90);
}

TEST_CASE("scenario: a roof and what stands on it is read", "[scenario][unit]") {
  const auto plan =
      read_text(
          "[roof]\nlength = \"4 m\"\nwidth = \"1.8 m\"\nmargin_left = \"0.2 m\"\nribs = "
          "\"0.9 m, 6 ft, 2.7 m\"\nrib_width = \"40 mm\"\noverall_height = \"2.7 m\"\n"
          "height_limit = \"9 ft\"\npanel_power = \"0 W\"\n[[roof_item]]\nname = \"cool\"\n"
          "length = \"1 m\"\nwidth = \"0.8 m\"\nheight = \"7 in\"\nopening = \"0.4 m\"\n"
          "[[roof_item]]\nname = \"hole\"\nkind = \"opening\"\nlength = \"0.4 m\"\nwidth = "
          "\"0.4 m\"\nheight = \"0 m\"\nx = \"2 m\"\ny = \"0.5 m\"\n")
          .roof;
  CHECK_WITHIN(plan.roof.edges.left_m, 0.2, 1e-12);
  REQUIRE(plan.roof.ribs_m.size() == 3);
  CHECK_WITHIN(plan.roof.ribs_m[1], 1.8288, 1e-9);
  CHECK_WITHIN(plan.roof.rib_width_m, 0.04, 1e-12);
  CHECK_WITHIN(plan.roof.limit_m, 2.7432, 1e-9);
  CHECK_FALSE(plan.panel);
  REQUIRE(plan.items.size() == 2);
  CHECK(plan.items[0].kind == roof::Kind::unit);
  CHECK_FALSE(plan.items[0].at);
  CHECK_WITHIN(*plan.items[0].opening_m, 0.4, 1e-12);
  CHECK(plan.items[1].kind == roof::Kind::opening);
  CHECK_WITHIN(plan.items[1].at->x_m, 2, 1e-12);
}

TEST_CASE("scenario: every body has a roof that the defaults fit", "[scenario][property]") {
  for (const auto& body : cabinload::vehicle::bodies())
    for (const char* size :
         {"", "length = \"1 m\"\nwidth = \"0.8 m\"\n", "length = \"15 m\"\nwidth = \"3 m\"\n"}) {
      INFO(body.key << " " << size);
      const std::string text = "[vehicle]\nbody = \"" + body.key + "\"\n" + size;
      if (test::refusal(text) != "no error") {  // windows that do not fit, nothing of the roof
        CHECK_THAT(test::refusal(text), !contains("roof.") && !contains("cable."));
        continue;
      }
      const auto s = read_text(text);
      CHECK(roof::problems(s.roof.roof, s.roof.items, s.roof.panel).empty());
      CHECK(s.roof.roof.length_m <= s.vehicle.length_m);
    }
  // Without the cab: 3.1 of 4.3 m.
  CHECK_WITHIN(read_text("").roof.roof.length_m, 3.1, 0.011);
}

TEST_CASE("scenario: what is written out of cable and roof reads back", "[scenario][property]") {
  const auto first = read_text(
      "[cable]\nfuse_distance = \"6 in\"\nambient = \"50 degC\"\n[roof]\nribs = \"0.9 m, 1.8 m\"\n"
      "[[roof_item]]\nheight = \"0.2 m\"\n[[roof_item]]\nname = \"a \\\"box\\\"\"\nkind = "
      "\"rack\"\nlength = \"0.5 m\"\nwidth = \"0.5 m\"\nx = \"2 m\"\ny = \"0.2 m\"\n");
  const auto second = read_text(scenario::effective_toml(first));
  REQUIRE(first.entries.size() == second.entries.size());
  for (std::size_t i = 0; i < first.entries.size(); ++i) {
    CHECK(first.entries[i].key == second.entries[i].key);
    CHECK(first.entries[i].value == second.entries[i].value);
  }
  REQUIRE(second.roof.items.size() == 2);
  CHECK(second.roof.items[1].name == "a \"box\"");
  CHECK_FALSE(second.roof.items[0].at);
  CHECK(second.roof.items[1].at);
}

TEST_CASE("scenario: a bad cable is refused with line, key, value and remedy", "[scenario][unit]") {
  const Refusal cases[] = {
      {"[cable]\nfuse = false\n", ":2:8: error: cable.fuse: 'false'", "unprotected",
       "within 0.178 m"},
      {"[cable]\nlength = \"-2 m\"\n", ":2:10: error: cable.length: '-2 m'", "out of range",
       "0.2 m to 60 m"},
      {"[cable]\nlength = 5\n", ":2:10: error: cable.length: '5'", "has no unit", "3.2 m"},
      {"[cable]\nplace = \"roof\"\n", ":2:9: error: cable.place: 'roof'", "is not known",
       "roof-cavity, cabin, engine-bay"},
      {"[cable]\ninsulation = \"80 degC\"\n", ":2:14: error: cable.insulation: '80 degC'",
       "no rating", "60 degC, 75 degC, 90 degC or 105 degC"},
      {"[cable]\ninsulation = 90\n", ":2:14: error: cable.insulation: '90'", "has no unit", "degC"},
      {"[cable]\nterminals = \"100 degC\"\n", ":2:13: error: cable.terminals: '100 degC'",
       "no rating", "75 degC"},
      {"[cable]\nambient = \"90 degC\"\n", ":2:11: error: cable.ambient: 90 degC", "above 85 degC",
       "higher cable.insulation"},
      {"[cable]\nengine_bay_difference = \"-5 K\"\n",
       ":2:25: error: cable.engine_bay_difference: '-5 K'", "out of range", "0 K to 100 K"},
      {"[cable]\nallowed_drop = \"30 %\"\n", ":2:16: error: cable.allowed_drop: '30 %'",
       "out of range", "0.001 to 0.1"},
      {"[cable]\nbundle = 1\n", ":2:10: error: cable.bundle: '1'", "whole number", "from 2 to 60"},
      {"[cable]\nfuse_distance = \"9 m\"\n",
       ":2:17: error: cable.fuse_distance:", "9 m lies beyond", "0.15 m"},
      {"[cable]\nshort_circuit = \"12 V\"\n", ":2:17: error: cable.short_circuit: '12 V'",
       "not a current", "30 A"},
      {"[cable]\nlenght = \"5 m\"\n", ":2:10: error: cable.lenght", "not known", "cable.length"}};
  for (const Refusal& c : cases) check(c);
}

TEST_CASE("scenario: a bad roof is refused with line, key, value and remedy", "[scenario][unit]") {
  const Refusal cases[] = {
      {"[roof]\npanel_length = \"9 m\"\n", ":2:16: error: roof.panel_length: a panel of 9 x 0.5 m",
       "larger than the roof of 3.1 x 1.75 m", "smaller panels"},
      {"[roof]\nlength = \"2 m\"\nmargin_front = \"1.5 m\"\nmargin_rear = \"0.5 m\"\n",
       ":3:16: error: roof.margin_front", "take 2 m of 2 m", "leave some roof"},
      {"[roof]\nribs = \"0.9 m, 7 m\"\n", ":2:8: error: roof.ribs: '0.9 m, 7 m'", "not on the roof",
       "0 to 3.1 m"},
      {"[roof]\nribs = \"0.9, 1.8\"\n", ":2:8: error: roof.ribs: '0.9'", "has no unit", "3.2 m"},
      {"[[roof_item]]\nname = \"a\"\n[[roof_item]]\nname = \"a\"\nkind = \"vent\"\nlength = "
       "\"0.4 m\"\nwidth = \"0.4 m\"\nx = \"2 m\"\ny = \"1 m\"\n",
       ":4:8: error: roof_item[1].name: 'a'", "name of item 1 already", "name = \"a 2\""},
      {"[[roof_item]]\nlength = \"5 m\"\n", ":2:10: error: roof_item[0].length: 'unit' of 5 x 0.7",
       "larger than the roof", "along the vehicle"},
      {"[[roof_item]]\nkind = \"vent\"\nlength = \"0.4 m\"\nwidth = \"0.4 m\"\n",
       ":2:8: error: roof_item[0].x: 'vent'", "without a position", "front-left corner"},
      {"[[roof_item]]\nx = \"0.4 m\"\n", ":2:5: error: roof_item[0].x", "both x and y",
       "y = \"0.5 m\""},
      {"[[roof_item]]\nkind = \"rack\"\nx = \"0 m\"\ny = \"0 m\"\n",
       ":2:8: error: roof_item[0].length: 'rack'", "needs its size", "length = \"0.4 m\""},
      {"[[roof_item]]\nopening = \"0.8 m\"\n", ":2:11: error: roof_item[0].opening",
       "hole of 0.8 m is larger", "0.95 x 0.7 m"},
      {"[[roof_item]]\npower = \"100 W\"\n", ":2:9: error: roof_item[0].power: 'unit' is a unit",
       "only a panel", ""},
      {"[[roof_item]]\nkind = \"tent\"\n", ":2:8: error: roof_item[0].kind: 'tent'", "is not known",
       "unit, vent, rack, panel, opening"},
      {"[[roof_item]]\nname = \"\"\n", ":2:8: error: roof_item[0].name: ''", "no name", "bed"},
      {"[[roof_item]]\nname = \"a\\nb\"\n", "roof: unit 'a?b'", "control character", ""}};
  for (const Refusal& c : cases) check(c);
}

TEST_CASE("scenario: a problem found later stands where its key was given", "[scenario][unit]") {
  const auto file = read_text("[cable]\nlength = \"5 m\"\n");
  const auto in_file = scenario::problem_at(file, "cable.length", "what", "hint");
  CHECK(in_file.line == 2);
  CHECK_THAT(in_file.file, contains("case.toml"));
  CHECK(in_file.key == "cable.length");
  const auto by_default = scenario::problem_at(file, "cable.place", "what", "hint");
  CHECK(by_default.line == 0);
  CHECK_THAT(by_default.file, contains("case.toml"));
  const auto flagged = scenario::read("", {{"cable.length", "5 m", "--length"}});
  const auto on_line = scenario::problem_at(flagged, "cable.length", "what", "hint");
  CHECK(on_line.file == "command line");
  CHECK(on_line.key == "--length (cable.length)");
}
