// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/hold.hpp>
#include <cmath>
#include <limits>

#include "support/catch.hpp"
#include "support/sample_run.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace simulation = cabinload::simulation;
namespace test = cabinload::test;
using answers::Why;
using simulation::Limit;

namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

simulation::NightRecord record(int day, double minutes_above, Limit limit = Limit::capacity) {
  simulation::NightRecord n;
  n.date = core::date_of(day);
  n.bed_peak_K = 297.15 + minutes_above / 60.0;
  n.minutes_above = minutes_above;
  n.minutes_above_by_limit[static_cast<std::size_t>(limit)] = minutes_above;
  n.reached_limit = true;
  n.electric_Wh = 1000 + day;
  n.scheduled_h = 10;
  n.compressor_on_h = 4;
  n.battery_at_dawn_1 = 0.5 - 0.001 * day;
  n.battery_empty_second_of_day = kNaN;
  return n;
}

struct Pair {
  simulation::Trace on, off;
  void add(const simulation::NightRecord& with, double minutes_off) {
    on.nights.push_back(with);
    off.nights.push_back(record(core::day_index(with.date), minutes_off, Limit::schedule));
  }
  [[nodiscard]] answers::Hold hold() const {
    cabinload::weather::Series weather;
    weather.place.name = "Invented";
    return answers::hold(on, off, test::sample_scenario(), weather);
  }
};

}  // namespace

TEST_CASE("answers: hold counts only nights that need cooling", "[answers][unit]") {
  Pair p;
  p.add(record(10, 0), 0);      // needs nothing
  p.add(record(190, 0), 300);   // held
  p.add(record(191, 45), 400);  // lost
  p.add(record(192, 90), 400);  // lost, harder
  const auto h = p.hold();
  CHECK(h.in_period == 4);
  CHECK(h.needing_cooling == 3);
  CHECK(h.held == 1);
  CHECK_FALSE(h.met());
  REQUIRE(h.worst_night);
  CHECK(*h.worst_night == 3);
  CHECK(h.lost_worst_first == std::vector<std::size_t>{3, 2});
  CHECK(h.electric_Wh.median == 1191);
  CHECK(h.electric_Wh.worst == 1192);
  CHECK_WITHIN(h.battery_at_dawn_1.worst, 0.5 - 0.192, 1e-12);
  CHECK_WITHIN(h.each_night[1].duty_1, 0.4, 1e-12);
  REQUIRE(h.by_month.size() == 2);
  CHECK(h.by_month[0].month == 1);
  CHECK(h.by_month[0].needing_cooling == 0);
  CHECK(h.by_month[1].month == 7);
  CHECK(h.by_month[1].held == 1);
  CHECK(h.by_month[1].most_frequent_why == Why::capacity);
}

TEST_CASE("answers: hold names the reason that cost the most minutes", "[answers][unit]") {
  Pair p;
  p.add(record(200, 60, Limit::battery), 400);
  p.add(record(201, 60, Limit::cut_out), 400);
  p.add(record(202, 60, Limit::schedule), 400);
  p.add(record(203, 60, Limit::supply_limit), 400);
  auto pulling = record(204, 60);
  pulling.minutes_above_pulling_down = 60;
  p.add(pulling, 400);
  pulling.date = core::date_of(205);
  pulling.reached_limit = false;  // never got there: too small, not late
  p.add(pulling, 400);
  const auto h = p.hold();
  const std::vector<Why> expected = {Why::battery,      Why::cut_out,   Why::schedule,
                                     Why::supply_limit, Why::pull_down, Why::capacity};
  for (std::size_t i = 0; i < expected.size(); ++i) {
    INFO(answers::why_key(expected[i]));
    CHECK(h.each_night[i].why == expected[i]);
    CHECK(answers::why_from_key(answers::why_key(expected[i])) == expected[i]);
  }
  CHECK_THROWS_AS(answers::why_from_key("wind"), core::RangeError);
}

TEST_CASE("answers: a lost night tells the share that each limit had", "[answers][unit]") {
  Pair p;
  auto mixed = record(200, 120, Limit::capacity);
  mixed.minutes_above_by_limit[static_cast<std::size_t>(Limit::capacity)] = 30;
  mixed.minutes_above_by_limit[static_cast<std::size_t>(Limit::battery)] = 60;
  mixed.minutes_above_by_limit[static_cast<std::size_t>(Limit::schedule)] = 30;
  mixed.minutes_above_pulling_down = 24;  // late, and six minutes of flutter
  p.add(mixed, 400);
  p.add(record(201, 0), 400);
  const auto h = p.hold();
  const auto share = [&](std::size_t night, Why why) {
    return h.each_night[night].limit_share_1[static_cast<std::size_t>(why)];
  };
  CHECK(h.each_night[0].why == Why::battery);
  CHECK_WITHIN(share(0, Why::battery), 0.5, 1e-12);
  CHECK_WITHIN(share(0, Why::schedule), 0.25, 1e-12);
  CHECK_WITHIN(share(0, Why::pull_down), 0.2, 1e-12);
  CHECK_WITHIN(share(0, Why::capacity), 0.05, 1e-12);
  double sum = 0;
  for (const double x : h.each_night[0].limit_share_1) sum += x;
  CHECK_WITHIN(sum, 1, 1e-12);
  for (const double x : h.each_night[1].limit_share_1) CHECK(x == 0);
}

TEST_CASE("answers: a period without need of cooling is met", "[answers][unit]") {
  Pair p;
  p.add(record(10, 0), 0);
  p.add(record(11, 0), 0);
  const auto h = p.hold();
  CHECK(h.met());
  CHECK(h.needing_cooling == 0);
  CHECK_FALSE(h.worst_night);
  CHECK(std::isnan(h.electric_Wh.median));
}

TEST_CASE("answers: pull-down counts nights that began above the limit", "[answers][unit]") {
  Pair p;
  for (int i = 0; i < 3; ++i) {
    auto n = record(200 + i, 0);
    n.pull_down_min = 10.0 * i;
    p.add(n, 300);
  }
  CHECK(p.hold().pull_down_min.median == 10);
  CHECK(p.hold().pull_down_min.worst == 20);
  auto never = record(210, 300);
  never.pull_down_min = kNaN;
  p.add(never, 300);
  CHECK(std::isnan(p.hold().pull_down_min.worst));
}

TEST_CASE("answers: the cautions are always there, in one order", "[answers][unit]") {
  Pair p;
  p.add(record(10, 0), 0);
  const auto h = p.hold();
  REQUIRE(h.header.cautions.size() == answers::standing_cautions().size());
  CHECK(h.header.cautions[0].id == "heat_animals_children");
  CHECK(h.header.cautions[0].signal == "WARNING");
  CHECK_FALSE(h.header.assumptions.empty());
  for (const auto& assumption : h.header.assumptions) CHECK_FALSE(assumption.text.empty());
}

TEST_CASE("answers: a night on which other loads went dark is lost, by its supply (#6)",
          "[answers][unit]") {
  Pair p;
  auto dark = record(190, 0);
  dark.unserved_Wh = 400;
  dark.unserved_asleep_Wh = 200;
  dark.unserved_asleep_empty_Wh = 150;
  dark.cells_bound_h = 2;
  p.add(dark, 300);
  auto limited = record(191, 0);
  limited.unserved_Wh = limited.unserved_asleep_Wh = 100;
  p.add(limited, 300);
  auto by_day = record(192, 0);
  by_day.unserved_Wh = 50;
  p.add(by_day, 300);
  auto unnoticed = record(193, 0);
  unnoticed.unserved_Wh = unnoticed.unserved_asleep_Wh = 0.4;
  p.add(unnoticed, 300);
  auto cold = record(10, 0);  // dark, and needs no cooling: temperature alone says so
  cold.unserved_Wh = cold.unserved_asleep_Wh = 10;
  p.add(cold, 0);
  p.add(record(195, 5), 300);  // lost by heat
  const auto h = p.hold();
  CHECK(h.needing_cooling == 5);
  CHECK(h.held == 2);
  CHECK(h.each_night[0].why == Why::battery);
  CHECK_WITHIN(h.each_night[0].limit_share_1[static_cast<std::size_t>(Why::battery)], 0.75, 1e-12);
  CHECK_WITHIN(h.each_night[0].limit_share_1[static_cast<std::size_t>(Why::supply_limit)], 0.25,
               1e-12);
  CHECK(h.each_night[0].dark());
  CHECK(h.each_night[1].why == Why::supply_limit);
  CHECK(h.each_night[2].held);
  CHECK(h.each_night[3].held);
  CHECK_FALSE(h.each_night[4].needs_cooling);
  CHECK_FALSE(h.each_night[5].dark());
  CHECK(*h.worst_night == 5);  // heat is harder than dark
  CHECK(h.lost_worst_first.size() == 3);
  std::string warnings;
  for (const auto& w : h.header.warnings) warnings += w + "\n";
  CHECK_THAT(warnings, test::contains("loads: on 4 of 6 nights") && test::contains("560 Wh") &&
                           test::contains("(400 Wh). On 3 it was in the sleep window") &&
                           test::contains("battery: on 1 of 6 nights"));
}

TEST_CASE("answers: nights in which heat stroke is possible are a caution to people, first",
          "[answers][unit]") {
  const auto degF = [](double T_degF) { return core::to_kelvin((T_degF - 32) / 1.8); };
  const auto first = [&](double a_degF, double b_degF) {
    Pair p;
    for (const double T_degF : {a_degF, 78.0, b_degF}) {
      auto n = record(190 + static_cast<int>(p.on.nights.size()), 60);
      n.heat_index_peak_K = degF(T_degF);
      p.add(n, 300);
    }
    return p.hold();
  };
  CHECK(first(79, 89.9).header.cautions.size() == answers::standing_cautions().size());
  const auto warned = first(90.1, 79);
  REQUIRE(warned.header.cautions.size() == answers::standing_cautions().size() + 1);
  CHECK(warned.header.cautions[0].id == "heat_sleepers");
  CHECK(warned.header.cautions[0].signal == "WARNING");
  CHECK_THAT(warned.header.cautions[0].text, test::contains("on 1 night") &&
                                                 test::contains("32.3 °C (90.1 °F)") &&
                                                 test::contains("'extreme caution'"));
  const auto danger = first(91, 103.2);
  CHECK(danger.header.cautions[0].signal == "DANGER");
  CHECK_THAT(danger.header.cautions[0].text,
             test::contains("on 2 nights") && test::contains("heat stroke possible"));
  CHECK(danger.header.cautions[1].id == answers::standing_cautions()[0].id);
}
