// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/answers/size.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "support/catch.hpp"

namespace answers = cabinload::answers;
namespace scenario = cabinload::scenario;
namespace core = cabinload::core;
using answers::SizePoint;

namespace {

/// An invented vehicle: night i of 100 needs a capacity of 505 + 20 i W and takes
/// 400 + 10 i Wh and a tenth of the unit's capacity in Wh, of which the battery gives 90 %.
struct Invented {
  double listed_W[2] = {900, 4000};
  int asked = 0;

  answers::SizeSeen operator()(const SizePoint& p) {
    ++asked;
    const double capacity_W = p.listed >= 0 ? listed_W[p.listed] : p.capacity_W();
    answers::SizeSeen seen;
    seen.needing_cooling = 100;
    for (int i = 0; i < 100; ++i) {
      const double Wh = 400 + 10 * i + 0.1 * capacity_W;
      if (capacity_W < 505 + 20 * i || (!p.ample() && 0.9 * p.battery_Wh() < Wh)) continue;
      ++seen.held;
      seen.held_Wh.push_back(Wh);
    }
    return seen;
  }
};

answers::SizeSearch found(Invented& model, int listed = 2) {
  answers::SizeSearch search(0.9, listed);
  for (int round = 0; round < 100; ++round) {
    const auto points = search.wanted();
    if (points.empty()) return search;
    for (const SizePoint& p : points) search.tell(p, model(p));
  }
  FAIL("the search does not end");
  return search;
}

}  // namespace

TEST_CASE("answers: a size holds its share and one step less does not", "[answers][property]") {
  Invented model;
  const answers::SizeSearch search = found(model);
  REQUIRE(search.sizes().size() == answers::kSizePercents.size());
  for (std::size_t i = 0; i < search.sizes().size(); ++i) {
    const auto& s = search.sizes()[i];
    INFO(s.percent);
    CHECK(s.percent == answers::kSizePercents[i]);
    REQUIRE(s.holds);
    CHECK(model(s.size).holds(s.percent));
    CHECK_FALSE(model({s.size.capacity - 1, -1, -1}).holds(s.percent));
    CHECK_FALSE(model({s.size.capacity, s.size.battery - 1, -1}).holds(s.percent));
  }
  // By hand: 95 of 100 nights are those up to i = 94: 2385 W, so 2400 W; 1340 + 240 Wh over 0.9.
  CHECK(search.sizes()[2].size.capacity_W() == 2400);
  CHECK(search.sizes()[2].size.battery_Wh() == 1800);
  // Fewer tries than two bisections for each of five shares over the whole range would take.
  CHECK(search.tries() < 90);
}

TEST_CASE("answers: larger capacities and listed units have batteries of their own",
          "[answers][property]") {
  Invented model;
  const answers::SizeSearch search = found(model);
  REQUIRE(search.trade_off().size() == answers::kTradeOff_1.size());
  for (const auto& t : search.trade_off()) {
    CHECK(model(t.size).holds(answers::kSizeMain_percent));
    CHECK_FALSE(model({t.size.capacity, t.size.battery - 1, -1}).holds(answers::kSizeMain_percent));
  }
  REQUIRE(search.listed().size() == 10);
  for (const auto& l : search.listed()) {
    // 900 W hold the nights up to i = 19, no share of the list; 4000 W hold all.
    CHECK(l.holds == (l.size.listed == 1));
    CHECK(l.capacity_short == (l.size.listed == 0));
    if (!l.holds) continue;
    CHECK(model(l.size).holds(l.percent));
    CHECK_FALSE(model({0, l.size.battery - 1, 1}).holds(l.percent));
  }
}

TEST_CASE("answers: what no size holds is said, with its reason", "[answers][unit]") {
  answers::SizeSearch no_capacity(0.9, 0);
  for (auto points = no_capacity.wanted(); !points.empty(); points = no_capacity.wanted())
    for (const SizePoint& p : points) no_capacity.tell(p, {10, 4, 0, {1, 2, 3, 4}});
  for (const auto& s : no_capacity.sizes()) {
    CHECK_FALSE(s.holds);
    CHECK(s.capacity_short);
  }
  answers::SizeSearch no_battery(0.9, 0);
  for (auto points = no_battery.wanted(); !points.empty(); points = no_battery.wanted())
    for (const SizePoint& p : points)
      no_battery.tell(p, {10, p.ample() ? 10 : 0, 0, std::vector<double>(p.ample() ? 10 : 0, 5e5)});
  for (const auto& s : no_battery.sizes()) {
    CHECK_FALSE(s.holds);
    CHECK_FALSE(s.capacity_short);
  }
}

TEST_CASE("answers: a share of the nights is never rounded down", "[answers][unit]") {
  CHECK(answers::SizeSeen{134, 128, 0, {}}.holds(95) == (128 >= 127.3));
  CHECK_FALSE(answers::SizeSeen{134, 127, 0, {}}.holds(95));
  CHECK(answers::SizeSeen{100, 95, 0, {}}.holds(95));
  CHECK_FALSE(answers::SizeSeen{3, 2, 0, {}}.holds(90));
  CHECK(answers::SizeSeen{3, 3, 0, {}}.holds(100));
}

TEST_CASE("answers: a size written as keys is the scenario of that size", "[answers][property]") {
  const scenario::Scenario base = scenario::read("", {{"battery.volts", "12 V", "--set"}});
  const SizePoint point{27, 31, -1};
  const scenario::Scenario a = answers::sized(base, point);
  auto overrides = answers::size_overrides(base, point);
  CHECK_RELATIVE(a.unit.capacity_W, 1350, 1e-12);
  CHECK_RELATIVE(a.supply.bank.nominal_energy_J, 3100 * 3600.0, 1e-12);
  overrides.insert(overrides.begin(), {"battery.volts", "12 V", "--set"});
  const scenario::Scenario b = scenario::read("", overrides);
  const std::pair<double, double> same[] = {
      {a.unit.capacity_W, b.unit.capacity_W},
      {a.unit.power_W, b.unit.power_W},
      {a.unit.air_flow_m3_s, b.unit.air_flow_m3_s},
      {a.unit.cabin_fan_W, b.unit.cabin_fan_W},
      {a.unit.standby_W, b.unit.standby_W},
      {a.supply.bank.nominal_energy_J, b.supply.bank.nominal_energy_J},
      {a.supply.bank.heat_capacity_J_K, b.supply.bank.heat_capacity_J_K},
      {a.supply.bank.ua_W_K, b.supply.bank.ua_W_K},
      {a.supply.to_unit->rated_W, b.supply.to_unit->rated_W}};
  for (const auto& [x, y] : same) CHECK_RELATIVE(x, y, 1e-9);
  // As a plate has them: the fan's 23.625 W and the 2.025 W at rest would help nobody.
  const auto told = [&](const std::string& key) {
    return std::find_if(overrides.begin(), overrides.end(),
                        [&](const auto& o) { return o.key == key; })
        ->value;
  };
  CHECK(told("unit.cabin_fan") == "23.6 W");
  CHECK(told("unit.standby") == "2 W");
  CHECK(told("unit.power") == "486 W");
  // A unit that is not described by a plate has no such keys.
  scenario::Scenario mapped = base;
  mapped.unit.map = cabinload::unit::characteristics(mapped.unit).map;
  CHECK(answers::size_overrides(mapped, point).empty());
}

TEST_CASE("answers: an ample battery changes nothing but that it never runs empty",
          "[answers][unit]") {
  const scenario::Scenario base = scenario::read("", {});
  const scenario::Scenario s = answers::sized(base, {20, -1, -1});
  CHECK(s.supply.bank.nominal_energy_J > 100 * base.supply.bank.nominal_energy_J);
  CHECK(s.supply.bank.heat_capacity_J_K == base.supply.bank.heat_capacity_J_K);
  // One that only panels charge would else end the year empty.
  const scenario::Scenario panels = scenario::read("", {{"panels.power", "200 W", "--set"}});
  CHECK(std::isnan(panels.battery_full_at_s));
  CHECK_FALSE(std::isnan(answers::sized(panels, {20, -1, -1}).battery_full_at_s));
}
