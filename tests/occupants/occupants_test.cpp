// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/occupants/occupants.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace core = cabinload::core;
namespace occupants = cabinload::occupants;
namespace test = cabinload::test;
using core::DaySchedule;
using test::Table;
using test::Worst;

namespace {

occupants::Person person() {
  occupants::Person p;
  p.present = DaySchedule::parse("18:00-08:00");
  p.asleep = DaySchedule::parse("22:00-07:00");
  return p;
}

constexpr const char* kGroup = "People and animals";

// Identities of double arithmetic.
constexpr double kRounding = 1e-9;

double heat_W(const occupants::Gains& g) {
  return g.convective_W + g.radiant_W;
}

}  // namespace

TEST_CASE("occupants: animals give the handbook's heat", "[occupants][table]") {
  // ASHRAE Fundamentals, laboratory animals: M = 3.5 m^0.75, total 2.5 M: exact; its table rows
  // within 15 %.
  constexpr double kDigits_1 = 3e-4, kTable_1 = 0.15, kShare_1 = 0.02;
  const Table t("occupants/animal_heat.csv");
  Worst formula, total, share;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    occupants::Pet pet;
    pet.mass_kg = t.number(i, "body_mass_kg");
    INFO(t.text(i, "row") << " " << pet.mass_kg << " kg");
    const double ours_W = occupants::pet_total_W(pet),
                 theirs_W = t.number(i, "average_total_heat_gain_W");
    if (t.text(i, "row") == "formula") {
      CHECK(formula.see_relative(ours_W, theirs_W) <= kDigits_1);
      continue;
    }
    CHECK(total.see_relative(ours_W, theirs_W) <= kTable_1);
    CHECK(share.see(occupants::pet_sensible_share_1(core::to_kelvin(22)),
                    t.number(i, "sensible_W") / theirs_W) <= kShare_1);
  }
  constexpr const char* kSource = "ASHRAE Fundamentals, laboratory animals (from memory)";
  formula.record(kGroup, "animals of 3 to 40 kg by the formula, relative, worst", kSource,
                 kDigits_1, "1");
  total.record(kGroup, "cat and dogs, total heat, relative, worst", kSource, kTable_1, "1");
  share.record(kGroup, "cat and dogs, sensible share, worst", kSource, kShare_1, "1");
}

TEST_CASE("occupants: people split their heat as the handbook's table", "[occupants][table]") {
  // ASHRAE Fundamentals 2009 and 2013 ch. 18 table 1, at 24 degC; at 27 degC sensible about 20 %
  // less, the total unchanged. Total heat in met of an average adult of 1.8 m2.
  // The table rounds to 5 W and mixes postures: its own rows scatter by 0.05 about any smooth line.
  constexpr double kScatter = 0.06, kRest_W = 0.5;
  const Table t("occupants/people_heat.csv");
  REQUIRE(t.rows() == 14);
  Worst share, warmer, rest;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const double total_W = t.number(i, "total_adjusted_W");
    const double printed = t.number(i, "sensible_W") / total_W;
    const double met = total_W / (58.2 * 1.8);
    INFO(t.text(i, "activity") << ", " << met << " met");
    const double ours_1 = occupants::person_sensible_share_1(core::to_kelvin(24), met);
    CHECK(share.see(ours_1, printed) <= kScatter);
    CHECK(warmer.see_relative(occupants::person_sensible_share_1(core::to_kelvin(27), met),
                              0.8 * ours_1) <= kRounding);
    if (t.text(i, "activity") == "seated at theatre, night")
      CHECK_WITHIN(occupants::person_sensible_share_1(core::to_kelvin(24)), printed, kRounding);
  }
  // 1 met of 1.8 m2 is 104.8 W: the table's 105 W, printed to 5 W.
  CHECK(rest.see(occupants::person_total_W(person(), false), 105) <= kRest_W);
  CHECK_WITHIN(occupants::person_total_W(person(), true), 0.7 * 104.76, kRounding);
  constexpr const char* kSource = "ASHRAE Fundamentals 2009 and 2013, ch. 18 table 1";
  share.record(kGroup, "people, 14 activities, sensible share at 24 degC, worst", kSource, kScatter,
               "1");
  warmer.record(kGroup, "people, sensible at 27 degC over 0.8 of that at 24 degC, less 1, worst",
                kSource, kRounding, "1");
  rest.record(kGroup, "a seated adult's heat, off the 105 W that is printed to 5 W", kSource,
              kRest_W, "W");
}

TEST_CASE("occupants: a busier person gives more heat and a smaller sensible share of it",
          "[occupants][property]") {
  double before_W = 0, before_1 = 1;
  for (double met = 1.0; met <= 4.0; met += 0.1) {
    occupants::Person p = person();
    p.awake_met = met;
    const auto g = occupants::gains({p}, {}, {}, 20 * 3600.0, core::to_kelvin(24), 298);
    const double share_1 = occupants::person_sensible_share_1(core::to_kelvin(24), met);
    CHECK_RELATIVE(heat_W(g), share_1 * occupants::person_total_W(p, false), kRounding);
    CHECK(heat_W(g) + 3 > before_W);  // nearly level where sweating takes the rise: 3 W
    CHECK(share_1 <= before_1);
    before_W = heat_W(g);
    before_1 = share_1;
  }
}

TEST_CASE("occupants: sensible and latent add up to the metabolic heat at any temperature",
          "[occupants][property]") {
  // 2501 + (1.86 - 4.186) 34 kJ/kg, ASHRAE Fundamentals 2017 ch. 1.
  constexpr double kVaporization_J_kg = 2.501e6 - 2326.0 * 34;
  occupants::Pet dog;
  dog.present = DaySchedule::always();
  double person_W = 1e9, dog_W = 1e9;
  for (double t = -30; t <= 60; t += 2) {
    INFO(t << " degC");
    const auto one = occupants::gains({person()}, {}, {}, 23 * 3600.0, core::to_kelvin(t), 298);
    CHECK_RELATIVE(heat_W(one) + one.moisture_kg_s * kVaporization_J_kg, 0.7 * 58.2 * 1.8,
                   kRounding);
    CHECK_RELATIVE(one.radiant_W, 0.6 * heat_W(one), kRounding);
    CHECK(heat_W(one) <= person_W);
    person_W = heat_W(one);
    const auto animal = occupants::gains({}, {dog}, {}, 0, core::to_kelvin(t), 298);
    CHECK_RELATIVE(heat_W(animal) + animal.moisture_kg_s * kVaporization_J_kg,
                   occupants::pet_total_W(dog), kRounding);
    CHECK(heat_W(animal) <= dog_W);
    dog_W = heat_W(animal);
  }
}

TEST_CASE("occupants: the sensible share keeps its bounds however hot or cold",
          "[occupants][unit]") {
  for (double t : {-60.0, 0.0, 100.0}) {
    CHECK(occupants::person_sensible_share_1(core::to_kelvin(t)) >= 0.05);
    CHECK(occupants::person_sensible_share_1(core::to_kelvin(t)) <= 0.9);
    CHECK(occupants::pet_sensible_share_1(core::to_kelvin(t)) >= 0.05);
    CHECK(occupants::pet_sensible_share_1(core::to_kelvin(t)) <= 0.85);
  }
  CHECK(occupants::person_sensible_share_1(core::to_kelvin(100)) == 0.05);
  CHECK(occupants::person_sensible_share_1(core::to_kelvin(-60)) == 0.9);
  // gains() takes temperatures beyond 250..330 K as the nearer end.
  const auto cold = occupants::gains({person()}, {}, {}, 0, 100, 298);
  CHECK(cold.moisture_kg_s == occupants::gains({person()}, {}, {}, 0, 250, 298).moisture_kg_s);
}

TEST_CASE("occupants: CO2 of a resting adult is the usual figure", "[occupants][table]") {
  // ASTM D6245: an average adult at 1.2 met gives about 0.0052 L/s (printed to two digits: 3 %);
  // here 1.0 met of 1.8 m2.
  const auto g = occupants::gains({person()}, {}, {}, 20 * 3600.0, core::to_kelvin(22), 298);
  constexpr double kTwoDigits_1 = 0.03, kByHand_1 = 1e-4;
  Worst usual, equation;
  CHECK(usual.see_relative(g.co2_kg_s / 1.83e-3, 0.0052 / 1.2) <= kTwoDigits_1);
  // Its equation, by hand: 0.00276 x 1.8 x 1.0 x 0.83 / (0.23 x 0.83 + 0.77) = 0.0042909 L/s.
  CHECK(equation.see_relative(g.co2_kg_s, 0.0042909 * 1.83e-3) <= kByHand_1);
  usual.record(kGroup, "a resting adult's CO2, relative", "ASTM D6245 (two digits)", kTwoDigits_1,
               "1");
  equation.record(kGroup, "a resting adult's CO2 by the equation, relative", "ASTM D6245 (by hand)",
                  kByHand_1, "1");
  // It follows the heat, not the temperature; an animal's goes by its heat too.
  const auto hot = occupants::gains({person()}, {}, {}, 20 * 3600.0, core::to_kelvin(35), 298);
  CHECK(hot.co2_kg_s == g.co2_kg_s);
  occupants::Pet dog;
  dog.present = DaySchedule::always();
  const auto of_dog = occupants::gains({}, {dog}, {}, 0, core::to_kelvin(22), 298);
  CHECK_RELATIVE(of_dog.co2_kg_s / g.co2_kg_s, occupants::pet_total_W(dog) / (58.2 * 1.8),
                 kRounding);
}

TEST_CASE("occupants: hours start on the minute and end before it", "[occupants][unit]") {
  const double awake_W = 1.0 * 58.2 * 1.8, asleep_W = 0.7 * 58.2 * 1.8, share_1 = 70.0 / 105.0;
  const double warm_K = core::to_kelvin(24);
  const auto heat_at = [&](double second_of_day) {
    return heat_W(occupants::gains({person()}, {}, {}, second_of_day, warm_K, 298));
  };
  CHECK(heat_at(18 * 3600.0 - 1) == 0);  // in from 18:00
  CHECK_RELATIVE(heat_at(18 * 3600.0), share_1 * awake_W, kRounding);
  CHECK_RELATIVE(heat_at(22 * 3600.0 - 1), share_1 * awake_W, kRounding);
  CHECK_RELATIVE(heat_at(22 * 3600.0), share_1 * asleep_W, kRounding);
  CHECK_RELATIVE(heat_at(0), share_1 * asleep_W, kRounding);  // past midnight
  CHECK(heat_at(86400.0) == heat_at(0));
  CHECK_RELATIVE(heat_at(7 * 3600.0), share_1 * awake_W, kRounding);
  CHECK(heat_at(8 * 3600.0) == 0);  // out at 08:00
  occupants::Person away = person();
  away.present = {};
  const auto none = occupants::gains({away}, {}, {}, 0, warm_K, 298);  // asleep elsewhere
  CHECK(heat_W(none) == 0);
  CHECK(none.moisture_kg_s == 0);
  CHECK(none.co2_kg_s == 0);
}

TEST_CASE("occupants: schedules, counts and appliances", "[occupants][unit]") {
  occupants::Person two = person();
  two.count = 2;
  CHECK(heat_W(occupants::gains({two}, {}, {}, 12 * 3600.0, 295, 298)) == 0);
  CHECK_RELATIVE(heat_W(occupants::gains({two}, {}, {}, 19 * 3600.0, 295, 298)),
                 2 * heat_W(occupants::gains({person()}, {}, {}, 19 * 3600.0, 295, 298)), 1e-12);
  occupants::Appliance stove{"stove", core::DayProfile(1000),           0.8, 0.4, 1e-4,
                             true,    DaySchedule::parse("19:00-20:00")};
  occupants::Appliance lamp{"lamp", core::DayProfile(10), 1, 0.4, 0, false, DaySchedule::always()};
  CHECK(occupants::load({stove, lamp}, 19.5 * 3600, 295, 298).direct_W == 1000);
  CHECK(occupants::load({stove, lamp}, 20 * 3600.0, 295, 298).direct_W == 0);
  const auto g = occupants::gains({}, {}, {stove, lamp}, 19.5 * 3600, 295, 298);
  CHECK_RELATIVE(heat_W(g), 810, 1e-12);
  CHECK_RELATIVE(g.moisture_kg_s, 1e-4, 1e-12);
}

TEST_CASE("occupants: a dog pants as it gets hot", "[occupants][property]") {
  CHECK(occupants::pet_sensible_share_1(core::to_kelvin(36)) < 0.25);
  CHECK(occupants::pet_sensible_share_1(core::to_kelvin(60)) >= 0.05);
  CHECK(occupants::pet_sensible_share_1(core::to_kelvin(0)) <= 0.85);
}
