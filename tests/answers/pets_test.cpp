// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/answers/pets.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/report/terminal.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/sample_run.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace report = cabinload::report;
namespace simulation = cabinload::simulation;
namespace test = cabinload::test;
using simulation::Failure;
using simulation::kNever_min;

namespace {

/// 31 July and 1 August, made by hand: the unit's fault passes the limit after as many minutes as
/// the hour of the first day, plus 5; never on the second.
simulation::Failures two_days() {
  simulation::Failures f;
  f.start_s = 211 * core::kSecondsInDay;
  for (int h = 0; h < 48; ++h) {
    const double fault = h < 24 ? 5.0 + h : kNever_min;
    f.T_air_K.push_back(core::to_kelvin(24));
    f.T_out_K.push_back(core::to_kelvin(30 + 0.1 * h));
    f.minutes[0].push_back(fault);
    f.minutes[1].push_back(fault + 1);
    f.minutes[2].push_back(kNever_min);
    f.minutes[3].push_back(h == 30 ? 3.5 : fault + 2);
    f.minutes[4].push_back(kNever_min);
    f.alarm_min.push_back(h < 24 ? 2.0 : kNever_min);
    f.second_fan_min.push_back(h < 12 ? kNever_min : fault + 10);
    f.opening_min.push_back(fault - (h == 20 ? 4 : 0));
  }
  f.peak_K = core::to_kelvin(25);
  f.peak_at_s = f.start_s + 15.5 * 3600;
  f.worst_excess_K = -4.5;
  f.least_K = core::to_kelvin(20);
  return f;
}

cabinload::scenario::Scenario with_dog() {
  auto s = test::sample_scenario();
  s.pets = {{"dog", 1, 20, core::DaySchedule::parse("18:00-08:00"), 2.5}};
  return s;
}

answers::Pets answer(const simulation::Failures& f) {
  cabinload::weather::Series weather;
  weather.place.name = "Invented";
  const simulation::Failures runs[] = {f};
  return answers::pets(runs, answers::pets_scenario(with_dog()), weather);
}

}  // namespace

TEST_CASE("answers: pets counts minutes over all hours and failures", "[answers][unit]") {
  const answers::Pets a = answer(two_days());
  CHECK(a.header.from == core::Date{7, 31});
  CHECK(a.header.to == core::Date{8, 1});
  CHECK(a.hours == 48);
  const auto& fault = a.by_failure[0];
  CHECK_WITHIN(fault.min_min, 5, 1e-12);
  CHECK_WITHIN(fault.p05_min, 7, 1e-12);      // the third of 48
  CHECK_WITHIN(fault.median_min, 28, 1e-12);  // the 24th
  CHECK_WITHIN(fault.share_under_1[0], 5.0 / 48, 1e-12);
  CHECK_WITHIN(fault.share_under_1[2], 24.0 / 48, 1e-12);
  CHECK(a.by_failure[2].min_min == kNever_min);
  // Whichever is soonest: one hour of the second day passes by the cut-out.
  CHECK_WITHIN(a.all.min_min, 3.5, 1e-12);
  CHECK_WITHIN(a.all.share_under_1[3], 25.0 / 48, 1e-12);
  REQUIRE(a.shortest);
  CHECK(a.shortest->date == core::Date{8, 1});
  CHECK(a.shortest->hour == 6);
  CHECK(a.shortest->failure == Failure::cut_out);
  CHECK_WITHIN(a.map[6][0], 5, 1e-12);
  CHECK_WITHIN(a.map[7][6], 3.5, 1e-12);
  CHECK(a.map[7][5] == kNever_min);
  CHECK(std::isnan(a.map[0][0]));
  CHECK_WITHIN(a.margin_K, 4.5, 1e-12);
  CHECK(a.met());
}

TEST_CASE("answers: help is told in minutes, also where it costs some", "[answers][unit]") {
  const answers::Pets a = answer(two_days());
  CHECK(a.alarm.hours_passed == 24);
  CHECK_WITHIN(a.alarm.with.min_min, 3, 1e-12);     // 5 less 2
  CHECK_WITHIN(a.alarm.won_median_min, 14, 1e-12);  // left: 3 to 26, the twelfth
  CHECK(a.second_fan.hours_spared == 12);
  CHECK_WITHIN(a.second_fan.won_least_min, 10, 1e-12);
  CHECK(a.opening.hours_shorter == 1);
  CHECK_WITHIN(a.opening.won_least_min, -4, 1e-12);
  CHECK(a.opening.hours_spared == 0);
}

TEST_CASE("answers: a margin passed or a stretch too long is not met", "[answers][unit]") {
  simulation::Failures f = two_days();
  f.worst_excess_K = 0.5;
  CHECK_FALSE(answer(f).met());
  CHECK(answer(f).margin_K < 0);
  f = two_days();
  f.above_general_s = 4 * 3600;
  CHECK(answer(f).met());  // 9 CFR 3: for more than four hours
  f.above_general_s = 4 * 3600 + 60;
  CHECK_FALSE(answer(f).met());
  CHECK(answer(f).header.warnings.empty());
  f.cold_s = 5 * 3600;
  CHECK(answer(f).header.warnings.size() == 1);
}

TEST_CASE("answers: pieces of a period are one", "[answers][unit]") {
  const simulation::Failures one = two_days();
  simulation::Failures first = one, second = one;
  const auto halve = [](std::vector<double>& a, std::vector<double>& b) {
    a.resize(24);
    b.erase(b.begin(), b.begin() + 24);
  };
  halve(first.T_air_K, second.T_air_K);
  halve(first.T_out_K, second.T_out_K);
  for (std::size_t k = 0; k < simulation::kFailures; ++k)
    halve(first.minutes[k], second.minutes[k]);
  halve(first.alarm_min, second.alarm_min);
  halve(first.second_fan_min, second.second_fan_min);
  halve(first.opening_min, second.opening_min);
  second.start_s += core::kSecondsInDay;
  first.peak_K -= 1;
  const simulation::Failures pieces[] = {first, second};
  const simulation::Failures whole = answers::joined(pieces);
  CHECK(whole.minutes == one.minutes);
  CHECK(whole.opening_min == one.opening_min);
  CHECK(whole.peak_K == one.peak_K);
}

TEST_CASE("answers: the scenario of pets is on the side that shortens", "[answers][unit]") {
  auto s = with_dog();
  const auto taken = answers::pets_scenario(s);
  CHECK(taken.pets[0].present.hours() == 24);
  CHECK(taken.unit_on.hours() == 24);
  CHECK(taken.vehicle.air_capacity_factor_1 < s.vehicle.air_capacity_factor_1);
  for (std::size_t i = 0; i < s.vehicle.surfaces.size(); ++i)
    CHECK(taken.vehicle.surfaces[i].absorptance_1 >= s.vehicle.surfaces[i].absorptance_1);
  CHECK(taken.vehicle.windows[0].inside_cover.resistance_m2K_W <
        s.vehicle.windows[0].inside_cover.resistance_m2K_W);
  const auto bare = answers::pets_bare(taken);
  REQUIRE(bare);
  CHECK(bare->vehicle.windows[0].inside_cover.side == cabinload::vehicle::CoverSide::none);
  CHECK_FALSE(answers::pets_bare(*bare));  // nothing left to lose
  for (const answers::ShorteningSide& side : answers::shortening_sides())
    CHECK(std::string(side.source).find("engineering judgement") != std::string::npos);
}

TEST_CASE("answers: runs of a period do not overlap and leave nothing out", "[answers][unit]") {
  auto s = answers::pets_scenario(with_dog());
  int next = 0;
  for (const simulation::FailureOptions& o : answers::pets_options(s, 8760, 0)) {
    CHECK(o.days.first == next);
    next += o.days.count;
  }
  CHECK(next == 365);
  s.night.from = core::Date{11, 20};
  s.night.to = core::Date{2, 10};
  int days = 0;
  for (const simulation::FailureOptions& o : answers::pets_options(s, 8760, 0))
    days += o.days.count;
  CHECK(days == 11 + 31 + 31 + 10);
}

TEST_CASE("answers: an answer on animals reads back as it was written", "[answers][unit]") {
  const answers::Pets a = answer(two_days());
  const std::string text = report::json(a);
  const answers::Pets back = report::pets_from_json(text, "a.h5");
  CHECK(report::json(back) == text);
  CHECK(report::terminal(back, {}) == report::terminal(a, {}));
  CHECK_THROWS_AS(report::pets_from_json("{\"answer\": \"hold\"}", "a.h5"), core::InputError);
}

TEST_CASE("answers: days that are worst for an animal, and those beside them", "[answers][unit]") {
  simulation::Failures f;
  f.start_s = 100 * core::kSecondsInDay;
  const auto at = [](int day, std::initializer_list<std::pair<int, double>> list, double other) {
    for (const auto& [of, value] : list)
      if (of == day) return value;
    return other;
  };
  for (int h = 0; h < 25 * 24; ++h) {
    const int day = 100 + h / 24;
    const bool afternoon = h % 24 == 15;
    f.T_air_K.push_back(afternoon ? at(day, {{120, 310}, {121, 309}, {108, 308}}, 300) : 300);
    f.T_out_K.push_back(305);
    for (auto& minutes : f.minutes) minutes.push_back(kNever_min);
    if (afternoon)
      f.minutes[2].back() = at(day, {{104, 10}, {105, 11}, {112, 12}, {124, 13}}, kNever_min);
  }
  // 105 and 121 stand beside days that are worse; 100 is the first of those left.
  const auto told = [](const simulation::Failures& runs) {
    std::vector<std::pair<int, int>> list;
    for (const simulation::Nights& n : answers::worst_days(runs))
      list.emplace_back(n.first, n.count);
    return list;
  };
  CHECK(told(f) == std::vector<std::pair<int, int>>{
                       {100, 2}, {103, 3}, {107, 3}, {111, 3}, {119, 3}, {123, 2}});
  for (auto* x : {&f.T_air_K, &f.T_out_K}) x->resize(3 * 24);
  for (auto& minutes : f.minutes) minutes.resize(3 * 24);
  CHECK(told(f) == std::vector<std::pair<int, int>>{{100, 3}});
}

TEST_CASE("answers: cautions on animals use the standard's signal words", "[answers][unit]") {
  const answers::Pets a = answer(two_days());
  const char* const words[] = {"DANGER", "WARNING", "CAUTION", "NOTICE"};
  for (const answers::Caution& c : a.header.cautions) {
    INFO(c.id);
    CHECK(std::find(std::begin(words), std::end(words), c.signal) != std::end(words));
  }
  CHECK(a.header.cautions[0].signal == "DANGER");
  const auto standing = answers::standing_cautions();
  for (const answers::Caution& c : standing)  // none of them is left out
    CHECK(std::any_of(a.header.cautions.begin(), a.header.cautions.end(),
                      [&](const answers::Caution& x) { return x.id == c.id; }));
}
