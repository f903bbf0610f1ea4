// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/wire.hpp>
#include <cmath>
#include <limits>

#include "support/catch.hpp"
#include "support/sample_run.hpp"
#include "support/scenario_text.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace simulation = cabinload::simulation;
namespace scenario = cabinload::scenario;
namespace test = cabinload::test;
namespace wiring = cabinload::wiring;
using test::contains;

namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

/// A run that found these temperatures [degC] on the second day at noon.
simulation::Trace found(double cabin, double cavity, double surface) {
  constexpr double kWhen_s = 1.5 * 86400;
  simulation::Trace t;
  t.hottest = {{core::to_kelvin(cabin), kWhen_s},
               {core::to_kelvin(cavity), kWhen_s},
               {core::to_kelvin(surface), kWhen_s},
               {core::to_kelvin(41), kWhen_s}};
  t.balance.heat_residual_relative = 1e-12;
  return t;
}

answers::Wire wire(const std::string& toml, const simulation::Trace& trace = found(51, 61.04, 70)) {
  cabinload::weather::Series weather;
  weather.place.name = "Invented";
  return answers::wire(trace, test::read_text(toml), weather);
}

bool warned(const answers::Wire& a, const char* part) {
  for (const auto& w : a.header.warnings)
    if (w.find(part) != std::string::npos) return true;
  return false;
}

}  // namespace

TEST_CASE("answers: wire counts with the heat where the cable lies", "[answers][unit]") {
  const struct {
    const char* place;
    double degC;
  } cases[] = {{"roof-cavity", 61.1}, {"cabin", 51}, {"engine-bay", 81}};  // 40 K over 41 degC
  for (const auto& c : cases) {
    INFO(c.place);
    const auto a = wire(std::string("[cable]\nplace = \"") + c.place + "\"\n");
    CHECK_WITHIN(a.ambient_degC, c.degC, 0.05);
    for (const auto& run : a.runs) CHECK(run.ambient_degC == a.ambient_degC);
    CHECK_FALSE(a.ambient_stated);
  }
  // As much hotter than outdoors as stated; too hot for the insulation is said with both.
  CHECK_WITHIN(
      wire("[cable]\nplace = \"engine-bay\"\nengine_bay_difference = \"25 K\"\n").ambient_degC, 66,
      0.05);
  CHECK_THROWS_WITH(
      wire("[cable]\nplace = \"engine-bay\"\ninsulation = \"75 degC\"\n"),
      test::contains("case.toml:3") &&
          test::contains("engine bay comes to, 40 K over the hottest outdoors, 81.0 degC") &&
          test::contains("above 70 degC"));
  // A cable in the roof comes there through the cabin.
  CHECK_WITHIN(wire("", found(72, 61, 70)).ambient_degC, 72, 0.1001);
  const auto stated = wire("[cable]\nambient = \"40 degC\"\n");
  CHECK(stated.ambient_stated);
  CHECK_WITHIN(stated.ambient_degC, 40, 1e-9);
  CHECK(warned(stated, "says 40 degC, but the roof cavity or the cabin below it reaches 61 degC"));
  CHECK_FALSE(warned(wire("[cable]\nambient = \"65 degC\"\n"), "but the roof cavity"));
}

TEST_CASE("answers: wire's runs are those of the wiring rules", "[answers][unit]") {
  const auto a = wire(
      "[cable]\nlength = \"3.5 m\"\npower = \"900 W\"\ninsulation = \"105 degC\"\n"
      "terminals = \"90 degC\"\nallowed_drop = \"5 %\"\nbundle = 4\n");
  wiring::Ask ask;
  ask.power_W = 900;
  ask.length_m = 3.5;
  ask.ambient_degC = 61.1;
  ask.insulation = wiring::Insulation::marine_c105;
  ask.terminal_degC = 90;
  ask.drop_limit_percent = 5;
  ask.conductors_together = 4;
  ask.fuse_distance_m = 0.15;
  ask.volts = 24;
  const auto by_hand = wiring::side_by_side(ask);
  for (std::size_t i = 0; i < by_hand.size(); ++i) {
    CHECK(a.runs[i].awg == by_hand[i].awg);
    CHECK(a.runs[i].fuse_A == by_hand[i].fuse_A);
    CHECK_WITHIN(a.runs[i].drop_percent, by_hand[i].drop_percent, 1e-9);
    CHECK_WITHIN(a.runs[i].ampacity_A, by_hand[i].ampacity_A, 1e-9);
    CHECK_WITHIN(a.runs[i].current_A, 900 / by_hand[i].volts, 1e-9);
  }
  REQUIRE(a.own);
  CHECK(a.runs[*a.own].volts == 24);
  CHECK(a.met());
}

TEST_CASE("answers: wire takes the most that a unit draws", "[answers][unit]") {
  for (const auto& unit : cabinload::unit::built_in()) {
    INFO(unit.key);
    const double W = answers::full_power_W(unit);
    CHECK(W > unit.power_W);      // the rating point is not the hottest
    CHECK(W < 2 * unit.power_W);  // engineering judgement: nothing absurd
  }
  CHECK_WITHIN(wire("").power_W, answers::full_power_W(test::sample_scenario().unit), 600);
  const auto more = wire("[unit]\npower = \"900 W\"\n"), less = wire("[unit]\npower = \"700 W\"\n");
  CHECK_RELATIVE(more.power_W / less.power_W, 9.0 / 7, 0.03);
  // An economy cap is a setting that somebody may change: it makes no cable thinner.
  CHECK(wire("[unit]\npower_cap = \"300 W\"\n").power_W == wire("").power_W);
}

TEST_CASE("answers: a battery's short circuit follows the arrangement of its cells",
          "[answers][unit]") {
  const auto a = wire("[cable]\nshort_circuit = \"2 kA\"\n");  // at the unit's 24 V
  CHECK_RELATIVE(*a.runs[0].short_circuit_A, 4000, 1e-9);
  CHECK_RELATIVE(*a.runs[1].short_circuit_A, 2000, 1e-9);
  CHECK_RELATIVE(*a.runs[2].short_circuit_A, 1000, 1e-9);
  CHECK_FALSE(warned(a, "not known"));
  CHECK(warned(wire(""), "not known: a Class T fuse"));
}

TEST_CASE("answers: the unit's voltage is one of three, or none", "[answers][unit]") {
  const struct {
    const char* volts;
    int index;
  } cases[] = {{"12 V", 0}, {"12.8 V", 0}, {"25.6 V", 1}, {"48 V", 2}, {"51.2 V", 2}, {"36 V", -1}};
  for (const auto& c : cases) {
    INFO(c.volts);
    const auto a = wire(std::string("[unit]\nvolts = \"") + c.volts + "\"\n");
    CHECK((a.own ? static_cast<int>(*a.own) : -1) == c.index);
    CHECK(warned(a, "none of 12, 24 and 48 V") == (c.index < 0));
  }
}

TEST_CASE("answers: a battery of another voltage is pointed out", "[answers][unit]") {
  CHECK(warned(wire("[battery]\nvolts = \"12 V\"\n"), "the battery has 12 V and the unit 24 V"));
  CHECK_FALSE(warned(wire(""), "before the converter"));
}

TEST_CASE("answers: what nobody can route is not met, and more volts are named",
          "[answers][unit]") {
  const auto a = wire("[unit]\nmodel = \"generic-1500-12v\"\n[cable]\npower = \"3 kW\"\n");
  CHECK_FALSE(a.met());
  CHECK(warned(a, "thicker than anyone routes"));
  CHECK(warned(a, "For the same power 24 V needs"));
  const auto high = wire("[unit]\nmodel = \"generic-2600-48v\"\n[cable]\npower = \"3 kW\"\n");
  CHECK(high.met());
}

TEST_CASE("answers: a cable longer than the vehicle is warned of", "[answers][unit]") {
  CHECK(warned(wire("[cable]\nlength = \"9 m\"\n"), "longer than the vehicle of 4.3 m"));
  CHECK_FALSE(warned(wire(""), "longer than"));
}

TEST_CASE("answers: insulation that the heat found is above is refused at its line",
          "[answers][unit]") {
  const std::string toml = "name = \"hot\"\n[cable]\ninsulation = \"60 degC\"\n";
  try {
    (void)wire(toml);
    FAIL("accepted");
  } catch (const core::InputError& e) {
    REQUIRE(e.problems().size() == 1);
    CHECK(e.problems()[0].line == 3);
    CHECK_THAT(e.problems()[0].file, contains("case.toml"));
    CHECK(e.problems()[0].key == "cable.insulation");
    CHECK_THAT(e.problems()[0].what, contains("61.1 degC, above 55 degC") && contains("60 degC"));
    CHECK_THAT(e.problems()[0].hint, contains("insulation rated 105 degC: ") && contains("shade"));
  }
  CHECK_THROWS_WITH(wire("", found(51, 90, 95)), contains("above 85 degC"));
  CHECK_THROWS_WITH(wire("", found(51, kNaN, kNaN)), contains("no roof face"));
  CHECK_NOTHROW(wire("[cable]\nplace = \"cabin\"\n", found(51, kNaN, kNaN)));
}

TEST_CASE("answers: a cable's vehicle is closed", "[answers][unit]") {
  const auto open = test::read_text(
      "[fan]\nflow = \"300 m3/h\"\n[[opening]]\narea = \"200 cm2\"\n"
      "[ideal]\ncool_to = \"22 degC\"\n");
  REQUIRE_FALSE(open.air.fresh_air_hours.empty());
  const auto closed = answers::closed_up(open);
  CHECK(closed.air.fresh_air_hours.empty());
  CHECK(closed.air.openings.empty());
  CHECK(closed.air.fan.flow_m3_s == 0);
  CHECK_FALSE(closed.ideal.cool_to_K);
}

TEST_CASE("answers: a cable's roof has the paint as described, with its dirt and age (#6)",
          "[answers][unit]") {
  const auto absorptance_1 = [](const cabinload::scenario::Scenario& s) {
    for (const auto& face : s.vehicle.surfaces)
      if (face.name == "roof") return face.absorptance_1;
    return kNaN;
  };
  const auto clean = test::read_text("");
  const double dirt_1 = absorptance_1(answers::closed_up(clean)) - absorptance_1(clean);
  CHECK_WITHIN(dirt_1, 0.15, 1e-12);  // the high end of uncertainty.paint
  const auto own = test::read_text("[uncertainty]\npaint = \"0 to 0.05\"\nleakage = \"1 to 3\"\n");
  const auto closed = answers::closed_up(own);
  CHECK_WITHIN(absorptance_1(closed) - absorptance_1(own), 0.05, 1e-12);
  CHECK(closed.vehicle.leakage_area_m2 == own.vehicle.leakage_area_m2);  // nothing else is drawn
  const auto off = test::read_text("[uncertainty]\npaint = \"off\"\n");
  CHECK(absorptance_1(answers::closed_up(off)) == absorptance_1(off));
  const auto a = wire("");
  CHECK(std::any_of(a.header.assumptions.begin(), a.header.assumptions.end(), [](const auto& x) {
    return x.text.find("takes 0.15 more of the sun") != std::string::npos;
  }));
}

TEST_CASE("answers: a cable that nobody can route comes with other ways (#6)", "[answers][unit]") {
  const auto hot = wire("", found(63, 82, 100));
  REQUIRE_FALSE(hot.met());
  REQUIRE(hot.ways.size() == 3);
  CHECK_THAT(hot.ways[0].words, contains("105 degC") && !contains("cabin"));
  CHECK_WITHIN(hot.ways[0].ambient_degC, 82, 0.11);
  CHECK_WITHIN(hot.ways[1].ambient_degC, 63, 0.11);
  CHECK_THAT(hot.ways[2].words, contains("through the cabin") && contains("105 degC"));
  for (const auto& way : hot.ways) {
    REQUIRE(way.run);
    CHECK(way.run->volts == 24);
    CHECK_FALSE(cabinload::wiring::hard_to_route(*way.run));
  }
  CHECK(wire("", found(40, 45, 50)).ways.empty());
}

TEST_CASE("answers: the hotter of each place", "[answers][unit]") {
  const auto a = found(50, 60, 70).hottest, b = found(55, 58, kNaN).hottest;
  for (const auto& h : {answers::hotter(a, b), answers::hotter(b, a)}) {
    CHECK_WITHIN(core::to_celsius(h.cabin_air.T_K), 55, 1e-9);
    CHECK_WITHIN(core::to_celsius(h.roof_cavity.T_K), 60, 1e-9);
    CHECK_WITHIN(core::to_celsius(h.roof_surface.T_K), 70, 1e-9);
  }
}

TEST_CASE("answers: every electrical answer has its cautions and the origin of its rules",
          "[answers][unit]") {
  const auto a = wire("");
  std::vector<std::string> ids;
  for (const auto& c : a.header.cautions) ids.push_back(c.id);
  CHECK(ids == std::vector<std::string>{"stored_energy", "fuse_at_source", "ventilation",
                                        "licensed_work", "chafe", "model"});
  bool nec = false, marine = false, practice = false;
  for (const auto& r : a.rules) {
    nec = nec || r.origin == wiring::Origin::nec;
    marine = marine || r.origin == wiring::Origin::marine;
    practice = practice || r.origin == wiring::Origin::common_practice;
  }
  CHECK((nec && marine && practice));
}
