// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/compare.hpp>
#include <cabinload/answers/what_helps.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cmath>
#include <limits>

#include "support/catch.hpp"

namespace answers = cabinload::answers;
namespace scenario = cabinload::scenario;
namespace core = cabinload::core;
using cabinload::test::contains;
using Overrides = std::vector<scenario::Override>;
using Verdict = answers::HelpPair::Verdict;

namespace {

constexpr double kNoMost = std::numeric_limits<double>::infinity();

const answers::Improvement& improvement(const std::string& key) {
  for (const auto& i : answers::improvements())
    if (key == i.key) return i;
  FAIL(key);
  return answers::improvements().front();
}
/// Why it is skipped; "" when it is not.
std::string skipped(const std::string& key, const Overrides& given) {
  const auto plan = improvement(key).plan(scenario::read("", given));
  return plan.index() == 1 ? std::get<1>(plan) : "";
}
scenario::Scenario with(const std::string& key, const Overrides& given = {}) {
  const auto plan = improvement(key).plan(scenario::read("", given));
  REQUIRE(plan.index() == 0);
  return answers::changed("", given, std::get<0>(plan).front());
}

}  // namespace

TEST_CASE("answers: every improvement can be had or says why not", "[answers][property]") {
  const Overrides vehicles[] = {{},
                                {{"vehicle.body", "box-body", ""}, {"vehicle.paint", "black", ""}},
                                {{"panels.power", "300 W", ""}},
                                {{"driving.hours", "09:00-12:00", ""},
                                 {"driving.speed", "90 km/h", ""},
                                 {"alternator.power", "500 W", ""}},
                                {{"vehicle.cover", "outside-mesh", ""}, {"unit.on", "always", ""}}};
  for (const Overrides& given : vehicles)
    for (const auto& i : answers::improvements()) {
      INFO(i.key);
      const auto plan = i.plan(scenario::read("", given));
      if (plan.index() == 1) {
        CHECK_FALSE(std::get<1>(plan).empty());
        continue;
      }
      REQUIRE_FALSE(std::get<0>(plan).empty());
      for (const auto& way : std::get<0>(plan)) CHECK_NOTHROW(answers::changed("", given, way));
    }
}

TEST_CASE("answers: an improvement changes what it says", "[answers][unit]") {
  const scenario::Scenario now = scenario::read("", {});
  CHECK(with("insulation").vehicle.insulation == "good");
  CHECK_RELATIVE(with("bigger-unit").unit.capacity_W, 1.3 * now.unit.capacity_W, 1e-12);
  CHECK_RELATIVE(with("sealing").vehicle.leakage_area_m2, 0.5 * now.vehicle.leakage_area_m2, 1e-9);
  CHECK_RELATIVE(with("second-battery").supply.bank.nominal_energy_J,
                 2 * now.supply.bank.nominal_energy_J, 1e-9);
  CHECK_WITHIN(with("warmer").unit_settings.T_set_K, now.unit_settings.T_set_K + 1, 1e-9);
  CHECK_RELATIVE(with("economy").unit_settings.power_cap_W, 0.75 * now.unit.power_W, 1e-9);
  CHECK(with("white-paint", {{"vehicle.paint", "blue", ""}}).vehicle.paint == "white");
  CHECK(with("shade-afternoon").site.shade_hours.text() == "13:00-20:00");
  CHECK(with("pre-cooling").unit_on.text() == "19:00-07:00");
  CHECK(with("pre-cooling").battery_full_at_s == now.battery_full_at_s);
  CHECK(with("later-arrival").site.driving_hours.active(18 * 3600.0));
  CHECK_RELATIVE(
      cabinload::power::rated_W(*with("panels", {{"panels.power", "300 W", ""}}).supply.panels),
      500, 1e-9);
  // A part alone: its layers change, the others' do not.
  const auto resistance = [](const cabinload::vehicle::Surface& x) {
    double R = 0;
    for (const auto& l : x.layers) R += l.resistance_m2K_W();
    return R;
  };
  using cabinload::vehicle::Part;
  const std::pair<const char*, Part> parts[] = {{"roof-insulation", Part::roof},
                                                {"wall-insulation", Part::wall},
                                                {"floor-insulation", Part::floor}};
  for (const auto& [key, part] : parts) {
    INFO(key);
    const scenario::Scenario then = with(key);
    int changed = 0;
    for (std::size_t i = 0; i < now.vehicle.surfaces.size(); ++i) {
      const double Ra = resistance(now.vehicle.surfaces[i]);
      const double Rb = resistance(then.vehicle.surfaces[i]);
      if (now.vehicle.surfaces[i].part != part) CHECK(Ra == Rb);
      changed += Rb > 1.2 * Ra ? 1 : 0;
    }
    CHECK(changed >= 1);
  }
}

TEST_CASE("answers: what is so already is skipped and says so", "[answers][unit]") {
  CHECK_THAT(skipped("white-paint", {}), contains("white already"));
  CHECK_THAT(skipped("insulation", {{"vehicle.insulation", "very-good", ""}}),
             contains("very-good already"));
  CHECK_THAT(skipped("inside-covers", {{"vehicle.cover", "curtain", ""}}), contains("curtain"));
  CHECK(skipped("outside-covers", {{"vehicle.cover", "curtain", ""}}).empty());
  CHECK_THAT(skipped("shade-day", {{"parking.shade", "carport", ""}}), contains("carport"));
  CHECK(skipped("shade-day",
                {{"parking.shade", "tree", ""}, {"parking.shade_hours", "7:00-12:00", ""}})
            .empty());
  CHECK_THAT(skipped("panels", {}), contains("battery.full_at"));
  CHECK_THAT(skipped("warmer", {{"unit.set_point", "25 degC", ""}}), contains("limit"));
  CHECK_THAT(skipped("economy", {{"unit.speed_cap", "60 %", ""}}), contains("already"));
  CHECK_THAT(skipped("vent-fan", {{"fan.flow", "900 m3/h", ""}}), contains("already"));
  CHECK_THAT(skipped("pre-cooling", {{"unit.on", "always", ""}}), contains("already"));
}

TEST_CASE("answers: pairs are judged against their sum", "[answers][unit]") {
  using answers::HelpBy, answers::judge_pair;
  CHECK(judge_pair(5, 6, 11, HelpBy::nights, 20) == Verdict::add_up);
  CHECK(judge_pair(5, 6, 12, HelpBy::nights, 20) == Verdict::add_up);  // a night is nothing
  CHECK(judge_pair(5, 6, 15, HelpBy::nights, 20) == Verdict::help);
  CHECK(judge_pair(5, 6, 7, HelpBy::nights, 20) == Verdict::cancel);
  CHECK(judge_pair(9, 8, 11, HelpBy::nights, 11) == Verdict::nothing_left);
  CHECK(judge_pair(1, 1, 1, HelpBy::nights, 2) == Verdict::cancel);
  CHECK(judge_pair(2, 1, 2, HelpBy::nights, 2) == Verdict::nothing_left);
  CHECK(judge_pair(100, 200, 290, HelpBy::energy, kNoMost) == Verdict::add_up);
  CHECK(judge_pair(100, 200, 220, HelpBy::energy, kNoMost) == Verdict::cancel);
  CHECK(judge_pair(100, 200, 400, HelpBy::peak, kNoMost) == Verdict::help);
}

TEST_CASE("answers: what sets the same thing cannot be had together", "[answers][unit]") {
  answers::Change insulation, roof, cover, larger;
  insulation.overrides = {{"vehicle.insulation", "good", ""}};
  roof.insulation[cabinload::vehicle::Part::roof] = "good";
  answers::Change walls;
  walls.insulation[cabinload::vehicle::Part::wall] = "good";
  cover.overrides = {{"vehicle.cover", "thermal-mat", ""}};
  larger.unit_factor_1 = 1.3;
  CHECK(answers::share_a_key(insulation, roof));
  CHECK(answers::share_a_key(roof, insulation));
  CHECK(answers::share_a_key(larger, larger));
  CHECK(answers::share_a_key(roof, roof));
  CHECK_FALSE(answers::share_a_key(roof, walls));
  CHECK(answers::insulation_text(answers::together(roof, walls)) == "roof good, walls good");
  CHECK_FALSE(answers::share_a_key(roof, cover));
  CHECK_FALSE(answers::share_a_key(cover, larger));
  const answers::Change both = answers::together(larger, cover);
  CHECK(both.unit_factor_1 == 1.3);
  CHECK(both.overrides.size() == 1);
}

TEST_CASE("answers: improvements are ranked by what is asked, skipped ones last",
          "[answers][unit]") {
  answers::Helps a;
  a.now = {100, 20, 1000, 2000};
  const auto row = [](const char* key, int lost, double Wh, double W, const char* skipped = "") {
    answers::HelpRow r;
    r.key = key;
    r.skipped = skipped;
    r.then = {100, lost, Wh, W};
    r.change.overrides = {{key, "x", ""}};
    return r;
  };
  a.rows = {row("skipped", 0, 0, 0, "so"), row("nights", 5, 1100, 2000),
            row("energy", 18, 500, 1900), row("peak", 20, 900, 900), row("worse", 30, 1200, 2100)};
  const auto order = [&](answers::HelpBy by) {
    a.by = by;
    answers::rank(a);
    std::string keys;
    for (const auto& r : a.rows) keys += r.key + " ";
    return keys;
  };
  CHECK(order(answers::HelpBy::nights) == "nights energy peak worse skipped ");
  CHECK(order(answers::HelpBy::energy) == "energy peak nights worse skipped ");
  CHECK(order(answers::HelpBy::peak) == "peak energy nights worse skipped ");
  // The best three that help; what makes it worse is not among them.
  CHECK(answers::best_together(a).size() == 2);
  a.rows[1].change = a.rows[0].change;
  CHECK(answers::best_together(a).size() == 1);
  CHECK(answers::help_by("energy") == answers::HelpBy::energy);
  CHECK_THROWS_AS(answers::help_by("money"), core::RangeError);
}

TEST_CASE("answers: a comparison sums climates, never settings, the best first",
          "[answers][unit]") {
  answers::Comparison c;
  // Unit, climate, vehicle, setting; nights, needing, held.
  c.rows = {{0, 0, 0, 0, 365, 100, 90, 0, {}, 0, 298}, {1, 0, 0, 0, 365, 100, 100, 0, {}, 0, 298},
            {0, 1, 0, 0, 365, 10, 7, 0, {}, 0, 298},   {1, 1, 0, 0, 365, 10, 10, 0, {}, 0, 298},
            {0, 0, 0, 1, 365, 50, 50, 0, {}, 0, 300},  {1, 0, 0, 1, 365, 50, 20, 0, {}, 0, 300}};
  const auto all = answers::choices(c);
  REQUIRE(all.size() == 4);
  CHECK((all[0].unit == 1 && all[0].setting == 0));
  CHECK((all[0].held == 110 && all[0].needing_cooling == 110));
  CHECK((all[1].unit == 0 && all[1].setting == 1 && all[1].lost() == 0));
  CHECK((all[2].unit == 0 && all[2].held == 97 && all[2].lost() == 13));
  CHECK(all[3].lost() == 30);
  CHECK_FALSE(c.nothing_needs_cooling());
}
