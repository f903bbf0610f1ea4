// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/occupants/occupants.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/table.hpp"

namespace core = cabinload::core;
namespace occupants = cabinload::occupants;
using cabinload::test::Table;
using core::DaySchedule;

namespace {

occupants::Person person() {
  occupants::Person p;
  p.present = DaySchedule::parse("18:00-08:00");
  p.asleep = DaySchedule::parse("22:00-07:00");
  return p;
}

double heat_W(const occupants::Gains& g) {
  return g.convective_W + g.radiant_W;
}

}  // namespace

TEST_CASE("occupants: animals give the handbook's heat", "[occupants][table]") {
  // ASHRAE Fundamentals, laboratory animals: M = 3.5 m^0.75, total 2.5 M: exact; its table rows
  // within 15 %.
  const Table t("occupants/animal_heat.csv");
  for (std::size_t i = 0; i < t.rows(); ++i) {
    occupants::Pet pet;
    pet.mass_kg = t.number(i, "body_mass_kg");
    INFO(t.text(i, "row") << " " << pet.mass_kg << " kg");
    const bool formula = t.text(i, "row") == "formula";
    CHECK_RELATIVE(occupants::pet_total_W(pet), t.number(i, "average_total_heat_gain_W"),
                   formula ? 3e-4 : 0.15);  // printed digits
    if (!formula)
      CHECK_WITHIN(occupants::pet_sensible_share_1(core::to_kelvin(22)),
                   t.number(i, "sensible_W") / t.number(i, "average_total_heat_gain_W"), 0.02);
  }
}

TEST_CASE("occupants: people split their heat as the handbook's table", "[occupants][table]") {
  // ASHRAE Fundamentals 2009 and 2013 ch. 18 table 1, at 24 degC: seated, night: 70 W of 105 W
  // sensible; at 27 degC about 20 % less.
  const Table t("occupants/people_heat.csv");
  double share = 0;
  for (std::size_t i = 0; i < t.rows(); ++i)
    if (t.text(i, "activity") == "seated at theatre, night")
      share = t.number(i, "sensible_W") / t.number(i, "total_adjusted_W");
  REQUIRE(share > 0);
  CHECK_WITHIN(occupants::person_sensible_share_1(core::to_kelvin(24)), share, 1e-12);
  CHECK_RELATIVE(occupants::person_sensible_share_1(core::to_kelvin(27)), 0.8 * share, 1e-9);
  // 1 met of 1.8 m2 is 104.8 W: the table's 105 W.
  CHECK_WITHIN(occupants::person_total_W(person(), false), 105, 0.5);
  CHECK_WITHIN(occupants::person_total_W(person(), true), 0.7 * 104.76, 1e-9);
}

TEST_CASE("occupants: sensible and latent add up to the metabolic heat at any temperature",
          "[occupants][property]") {
  constexpr double kVaporization_J_kg = core::kVaporizationHeat_J_kg - 2326.0 * 34;
  double before = 1e9;
  for (double t = -10; t <= 50; t += 2) {
    const auto g = occupants::gains({person()}, {}, {}, 23 * 3600.0, core::to_kelvin(t));
    CHECK_RELATIVE(heat_W(g) + g.moisture_kg_s * kVaporization_J_kg, 0.7 * 58.2 * 1.8 * 1, 1e-9);
    CHECK(heat_W(g) <= before);
    before = heat_W(g);
  }
}

TEST_CASE("occupants: CO2 of a resting adult is the usual figure", "[occupants][table]") {
  // ASTM D6245: an average adult at 1.2 met gives about 0.0052 L/s; here 1.0 met of 1.8 m2: 0.0043
  // L/s within 3 %.
  const auto g = occupants::gains({person()}, {}, {}, 20 * 3600.0, core::to_kelvin(22));
  CHECK_RELATIVE(g.co2_kg_s / 1.83e-3, 0.0052 / 1.2, 0.03);
}

TEST_CASE("occupants: schedules, counts and appliances", "[occupants][unit]") {
  occupants::Person two = person();
  two.count = 2;
  CHECK(heat_W(occupants::gains({two}, {}, {}, 12 * 3600.0, 295)) == 0);
  CHECK_RELATIVE(heat_W(occupants::gains({two}, {}, {}, 19 * 3600.0, 295)),
                 2 * heat_W(occupants::gains({person()}, {}, {}, 19 * 3600.0, 295)), 1e-12);
  occupants::Appliance stove{"stove", core::DayProfile(1000),           0.8, 0.4, 1e-4,
                             true,    DaySchedule::parse("19:00-20:00")};
  occupants::Appliance lamp{"lamp", core::DayProfile(10), 1, 0.4, 0, false, DaySchedule::always()};
  CHECK(occupants::battery_load_W({stove, lamp}, 19.5 * 3600) == 1000);
  CHECK(occupants::battery_load_W({stove, lamp}, 20 * 3600.0) == 0);
  const auto g = occupants::gains({}, {}, {stove, lamp}, 19.5 * 3600, 295);
  CHECK_RELATIVE(heat_W(g), 810, 1e-12);
  CHECK_RELATIVE(g.moisture_kg_s, 1e-4, 1e-12);
}

TEST_CASE("occupants: a dog pants as it gets hot", "[occupants][property]") {
  CHECK(occupants::pet_sensible_share_1(core::to_kelvin(36)) < 0.25);
  CHECK(occupants::pet_sensible_share_1(core::to_kelvin(60)) >= 0.05);
  CHECK(occupants::pet_sensible_share_1(core::to_kelvin(0)) <= 0.85);
}
