// SPDX-License-Identifier: Apache-2.0
// The search for what alone would have held a night, against a vehicle of which all is known.
#include <cabinload/answers/would_hold.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>
#include <functional>

#include "support/catch.hpp"
#include "support/sample_run.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace scenario = cabinload::scenario;
namespace test = cabinload::test;
using What = answers::WouldHoldTry::What;

namespace {

/// Three evenings of which the second is the hardest, and lost.
answers::Hold lost() {
  answers::Hold h;
  for (int i = 0; i < 3; ++i) {
    answers::HoldNight n;
    n.date = core::date_of(200 + i);
    n.needs_cooling = true;
    n.held = i != 1;
    n.minutes_above = i == 1 ? 60 : 0;
    h.each_night.push_back(n);
  }
  h.needing_cooling = 3;
  h.held = 2;
  answers::rank_nights(h);
  return h;
}

using Holds = std::function<bool(const answers::WouldHoldTry&)>;

std::optional<answers::WouldHold> search(const cabinload::scenario::Scenario& s,
                                         const Holds& holds) {
  answers::WouldHoldSearch search(s, lost());
  for (auto tries = search.wanted(); !tries.empty(); tries = search.wanted())
    for (const auto& t : tries) search.tell(t, holds(t));
  return search.found();
}

}  // namespace

TEST_CASE("answers: the least that would have held a night holds, one step less does not",
          "[answers][property]") {
  const auto s = test::sample_scenario();
  const int now_50W = static_cast<int>(s.unit.capacity_W / answers::kCapacityStep_W);
  const int now_100Wh = static_cast<int>(s.supply.bank.nominal_energy_J / core::kSecondsInHour /
                                         answers::kBatteryStep_Wh);
  for (int over = 1; over <= 30; over += 7) {
    INFO(over);
    // Far too large a unit empties the battery: it holds in a span only.
    const auto w = search(s, [&](const answers::WouldHoldTry& t) {
      if (t.what == What::capacity)
        return t.steps >= now_50W + over && t.steps < 3 * (now_50W + over);
      return t.what == What::battery && t.steps >= now_100Wh + over;
    });
    REQUIRE(w);
    CHECK(w->date == core::date_of(201));
    CHECK(w->capacity_W == (now_50W + over) * answers::kCapacityStep_W);
    CHECK(w->battery_Wh == (now_100Wh + over) * answers::kBatteryStep_Wh);
    CHECK(w->shade == false);
  }
}

TEST_CASE("answers: what does not help is nothing, and runs that hold already tell nothing",
          "[answers][unit]") {
  auto s = test::sample_scenario();
  const auto none = search(s, [](const auto&) { return false; });
  REQUIRE(none);
  CHECK_FALSE(none->capacity_W);
  CHECK_FALSE(none->battery_Wh);
  CHECK(none->most_capacity_W == answers::kMostCapacity_W);
  CHECK_FALSE(search(s, [](const auto&) { return true; }));
  s.site.shade_beam_1 = 0.2;
  s.site.shade_hours = core::DaySchedule::parse("06:00-21:00");
  CHECK_FALSE(search(s, [](const auto&) { return false; })->shade);
  // Twenty minutes of sun are left: it is tried.
  s.site.shade_hours = core::DaySchedule::parse("07:20-20:00");
  CHECK(search(s, [](const auto&) { return false; })->shade == false);
}

TEST_CASE("answers: a try changes what it names and the evenings before, nothing else",
          "[answers][unit]") {
  auto s = test::sample_scenario();
  const answers::Hold h = lost();
  const auto at = [&](What what, int steps) {
    return answers::would_hold_scenario(s, h, {what, steps});
  };
  CHECK_RELATIVE(at(What::capacity, 60).unit.capacity_W, 3000, 1e-9);
  CHECK(at(What::capacity, 60).supply.bank.nominal_energy_J == s.supply.bank.nominal_energy_J);
  CHECK(at(What::battery, 50).supply.bank.nominal_energy_J == 5000 * core::kSecondsInHour);
  CHECK(at(What::battery, 50).unit.capacity_W == s.unit.capacity_W);
  CHECK(at(What::shade, 0).site.shade_beam_1 < 1);
  CHECK(at(What::shade, 0).site.shade_hours.hours() == 13);
  CHECK(at(What::as_it_is, 0).night.from == core::date_of(201));
  CHECK(at(What::as_it_is, 0).start.warm_up_days == answers::kRunIn_days);
  // Only what is simulated charges it: every evening from the first one counts.
  s.battery_full_at_s = std::nan("");
  CHECK(at(What::as_it_is, 0).night.from == core::date_of(200));
  CHECK(at(What::as_it_is, 0).night.to == core::date_of(201));
}

TEST_CASE("answers: shade that is tried says what it does to the panels", "[answers][unit]") {
  const auto told = [](const std::vector<scenario::Override>& overrides) {
    const auto a = answers::shade_on_panels(scenario::read("", overrides));
    return a ? a->text : std::string();
  };
  CHECK_THAT(told({}), test::contains("not counted, as the battery is taken as full"));
  CHECK_THAT(told({{"panels.power", "300 W", "--set"}}),
             test::contains("the charge they lose is counted"));
  CHECK_THAT(told({{"panels.power", "300 W", "--set"}, {"panels.mount", "portable", "--set"}}),
             test::contains("does not fall on the panels"));
  CHECK(told({{"battery.full_at", "never", "--set"}}).empty());
}
