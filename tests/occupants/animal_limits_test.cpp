// SPDX-License-Identifier: Apache-2.0
#include <cabinload/air/comfort.hpp>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/occupants/animal_limits.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/table.hpp"

namespace air = cabinload::air;
namespace core = cabinload::core;
namespace occupants = cabinload::occupants;
using cabinload::test::contains;
using cabinload::test::Table;
using occupants::Age;
using occupants::Nose;
using occupants::Pet;

namespace {

double kelvin_of_degF(double degF) {
  return core::to_kelvin((degF - 32) / 1.8);
}

/// Air at a temperature and a relative humidity, at sea level.
double excess_K(const occupants::AnimalLimit& l, double T_K, double rh_1) {
  return occupants::excess_K(l, T_K, air::humidity_ratio_from_relative_1(T_K, rh_1, 101325),
                             101325);
}

}  // namespace

TEST_CASE("occupants: every rule on animals is as printed", "[occupants][table]") {
  const Table t("occupants/animal_limits.csv");
  for (const occupants::AnimalRule& rule : occupants::animal_rules()) {
    INFO(rule.rule << " " << rule.section << ": " << rule.quantity);
    int found = 0;
    for (std::size_t i = 0; i < t.rows(); ++i) {
      const std::string section = t.text(i, "section");
      if (section.rfind(rule.section, 0) != 0 || t.text(i, "quantity") != rule.quantity ||
          t.text(i, "rule").rfind(rule.rule, 0) != 0 || t.text(i, "applies_to") != rule.animals)
        continue;
      ++found;
      CHECK(t.number(i, "limit_degF") == rule.limit_degF);
      CHECK(t.number(i, "limit_degC") == rule.limit_degC);
      CHECK(t.number(i, "max_duration_h") == rule.hours);
      // The two printed units are one temperature, as far as a printed digit goes.
      CHECK(std::abs((rule.limit_degF - 32) / 1.8 - rule.limit_degC) < 0.1);
    }
    if (std::string(rule.section).find("16(e)") == std::string::npos) CHECK(found == 1);
    CHECK(found >= 1);
    CHECK(std::string(rule.key).size() > 3);
  }
}

TEST_CASE("occupants: the humidity line of the beagles is as printed", "[occupants][table]") {
  const Table t("occupants/animal_limits.csv");
  double at_degF = 0, percent = 0, fall = 0;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    if (t.text(i, "quantity") == "tolerance boundary passes through") {
      at_degF = t.number(i, "limit_degF");
      percent = t.number(i, "other_value");
    }
    if (t.text(i, "other_unit") == "percent_RH_per_degF") fall = t.number(i, "other_value");
  }
  REQUIRE(fall > 0);
  for (double degF = 80; degF <= 100; degF += 2.5)
    CHECK(std::abs(100 * occupants::humidity_line_1(kelvin_of_degF(degF)) -
                   (percent - fall * (degF - at_degF))) < 1e-9);
}

TEST_CASE("occupants: an animal's limit goes by kind, nose, age and weight", "[occupants][unit]") {
  const auto most_degC = [](Pet p) { return core::to_celsius(occupants::limit_of(p).T_most_K); };
  Pet dog;
  CHECK(std::abs(most_degC(dog) - 29.5) < 1e-9);
  CHECK_THAT(occupants::limit_of(dog).source, contains("9 CFR part 3 3.3(a)"));
  CHECK_THAT(occupants::limit_of(dog).source, contains("85 °F") && contains("more than 4 h"));
  CHECK(occupants::limit_of(dog).longest_s == 4 * 3600);
  Pet cat = dog;
  cat.species = "cat";
  CHECK(std::abs(most_degC(cat) - 29.5) < 1e-9);
  const auto lower = [&](auto change, const char* word) {
    Pet p = dog;
    change(p);
    INFO(word);
    CHECK(std::abs(most_degC(p) - 26.7) < 1e-9);
    CHECK_THAT(occupants::limit_of(p).animal, contains(word));
    CHECK_THAT(occupants::limit_of(p).source, contains("14.109(b)") && contains("judgement"));
  };
  lower([](Pet& p) { p.nose = Nose::short_nosed; }, "short-nosed");
  lower([](Pet& p) { p.age = Age::old; }, "old");
  lower([](Pet& p) { p.age = Age::young; }, "young");
  lower([](Pet& p) { p.overweight = true; }, "overweight");
  lower([](Pet& p) { p.mass_kg = 60; }, "very large");
  Pet rabbit = dog;
  rabbit.species = "rabbit";
  CHECK(std::abs(most_degC(rabbit) - 26.7) < 1e-9);
  // One's own limit only ever lowers it.
  dog.T_limit_K = core::to_kelvin(27);
  CHECK(std::abs(most_degC(dog) - 27) < 1e-9);
  dog.T_limit_K = core::to_kelvin(35);
  CHECK(std::abs(most_degC(dog) - 29.5) < 1e-9);
}

TEST_CASE("occupants: the cold line goes by acclimatisation", "[occupants][unit]") {
  Pet p;
  CHECK(std::abs(core::to_celsius(occupants::limit_of(p).T_least_K) - 7.2) < 1e-9);
  CHECK(occupants::limit_of(p).longest_cold_s == 4 * 3600);
  p.acclimated = false;
  CHECK(std::abs(core::to_celsius(occupants::limit_of(p).T_least_K) - 10) < 1e-9);
  CHECK(occupants::limit_of(p).longest_cold_s == 0);
  Pet old;
  old.age = Age::old;
  CHECK(std::abs(core::to_celsius(occupants::limit_of(old).T_least_K) - 10) < 1e-9);
}

TEST_CASE("occupants: of several animals the strictest line counts", "[occupants][unit]") {
  Pet dog, pug;
  pug.nose = Nose::short_nosed;
  for (const std::vector<Pet>& pets : {std::vector<Pet>{dog, pug}, std::vector<Pet>{pug, dog}}) {
    const auto l = occupants::limit_of(pets);
    CHECK(std::abs(core::to_celsius(l.T_most_K) - 26.7) < 1e-9);
    CHECK(std::abs(core::to_celsius(l.T_least_K) - 10) < 1e-9);
    CHECK_THAT(l.animal, contains("short-nosed"));
  }
}

TEST_CASE("occupants: dry air passes at the temperature, humid air before it",
          "[occupants][unit]") {
  const auto l = occupants::limit_of(Pet{});
  CHECK(std::abs(excess_K(l, core::to_kelvin(29.5), 0.3)) < 1e-6);
  CHECK(excess_K(l, core::to_kelvin(29.4), 0.3) < 0);
  // On the humidity line, and on the heat index of 90 degF, the excess is 0 or the other's.
  const double T_K = kelvin_of_degF(84);
  CHECK(excess_K(l, T_K, occupants::humidity_line_1(T_K)) >= -1e-9);
  CHECK(excess_K(l, core::to_kelvin(28.5), 0.85) > 0);  // heat index 34 degC
  const double index_K = air::heat_index_K(core::to_kelvin(28.5), 0.85);
  CHECK(std::abs(excess_K(l, core::to_kelvin(28.5), 0.85) - (index_K - kelvin_of_degF(90))) < 1e-6);
  // Never the wrong way: wetter or warmer air is nearer to the line.
  for (double degC = 22; degC < 34; degC += 0.5)
    for (double rh = 0.2; rh < 0.99; rh += 0.1) {
      CHECK(excess_K(l, core::to_kelvin(degC + 0.5), rh) > excess_K(l, core::to_kelvin(degC), rh));
      CHECK(excess_K(l, core::to_kelvin(degC), rh + 0.05) >=
            excess_K(l, core::to_kelvin(degC), rh) - 0.2);  // the index's own steps at its borders
    }
  const double least_K = occupants::least_at_risk_K(l);
  CHECK(excess_K(l, least_K - 0.01, 1.0) < 0);
  CHECK(excess_K(l, least_K + 0.01, 1.0) > 0);
}
