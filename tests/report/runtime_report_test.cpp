// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/report/terminal.hpp>
#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>
#include <sstream>

#include "support/catch.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace report = cabinload::report;
using cabinload::test::contains;

namespace {

/// Made up by hand: an evening of July, empty after 7 h 10 min.
answers::Runtime sample() {
  answers::Runtime a;
  a.header.answer = "runtime";
  a.header.program_version = "0.1.0";
  a.header.scenario_line = "van; unit; battery";
  a.header.weather_place = "Invented";
  a.header.cautions = answers::standing_cautions();
  a.header.assumptions = {{"unit.on", "Unit asked on."}};
  a.header.from = {7, 14};
  a.header.to = {7, 15};
  a.date = {7, 14};
  a.second_of_day = 21 * 3600.0;
  a.charge_1 = 0.8;
  a.charge_end_1 = a.cut_off_1 = 0.1;
  a.usable_Wh = 1680;
  a.hours_to_empty = 7 + 10.0 / 60;
  a.hours_displayed_at_start = 2.8;
  a.mean_W = 250;
  a.first_hour_W = 600;
  a.used_Wh = 250 * a.hours_to_empty;
  a.unit_Wh = 1700;
  a.lost_Wh = 40;
  a.duty_1 = 0.6;
  a.running_W = 390;
  for (int h = 0; h < 8; ++h)
    a.path.push_back({h < 3 ? core::Date{7, 14} : core::Date{7, 15}, std::fmod(21 + h, 24) * 3600.0,
                      h < 7 ? 1 : 1.0 / 6, 0.8 - 0.09 * h, h == 0 ? 590.0 : 190.0, 10, 0,
                      core::to_kelvin(30 - h), core::to_kelvin(24), 2.8});
  a.residual_relative = 1e-12;
  return a;
}

std::string first_line(const std::string& text) {
  return text.substr(0, text.find('\n'));
}

}  // namespace

TEST_CASE("report: a runtime goes through JSON and comes back the same", "[report][property]") {
  auto a = sample();
  auto b = report::runtime_from_json(report::json(a), "x");
  CHECK(report::json(b) == report::json(a));
  CHECK(report::terminal(b, {}) == report::terminal(a, {}));
  CHECK(report::answer_of(report::json(a), "x") == "runtime");
  CHECK_THROWS_WITH(report::load_from_json(report::json(a), "x"),
                    contains("'runtime', not 'load'"));
  CHECK_THROWS_WITH(report::runtime_from_json("{", "x"), contains("cannot be read"));
  // No end, neither in truth nor on the display.
  a.hours_to_empty = std::numeric_limits<double>::quiet_NaN();
  a.hours_displayed_at_start = a.path[0].hours_displayed = std::numeric_limits<double>::infinity();
  b = report::runtime_from_json(report::json(a), "x");
  CHECK(report::terminal(b, {}) == report::terminal(a, {}));
  CHECK(nlohmann::json::parse(report::json(a))["hours_displayed_at_start"].is_null());
}

TEST_CASE("report: a runtime's JSON holds the keys that others build on", "[report][golden]") {
  const auto j = nlohmann::json::parse(report::json(sample()));
  CHECK(j["answer"] == "runtime");
  CHECK_WITHIN(j["hours_to_empty"].get<double>(), 7.1666666667, 1e-9);
  CHECK(j["hours_displayed_at_start"] == 2.8);
  CHECK(j["mean_W"] == 250);
  CHECK(j["first_hour_W"] == 600);
  CHECK_WITHIN(j["used_Wh"].get<double>(), 1791.6666667, 1e-6);
  const auto& hour = j["path"][3];
  CHECK(hour["time"] == "07-15 00:00");
  for (const char* key : {"state_of_charge", "unit_W", "other_W", "solar_W", "hours_displayed"})
    CHECK(hour[key].is_number());
}

TEST_CASE("report: a runtime's verdict comes first, then hours, reasons, figures, cautions",
          "[report][golden]") {
  auto a = sample();
  std::string text = report::terminal(a, {});
  CHECK(first_line(text) ==
        "Empty at 04:10, after 7 h 10 min; the display said 2.8 h at the start.");
  const std::size_t table = text.find("in truth"), why = text.find("Why the display"),
                    figures = text.find("Until it was empty"),
                    rests = text.find("What this rests on"), caution = text.find("WARNING");
  CHECK(table < why);
  CHECK(why < figures);
  CHECK(figures < rests);
  CHECK(rests < caution);
  CHECK(caution != std::string::npos);
  CHECK_THAT(text, contains("The load falls: 600 W") && contains("it ran 60 %") &&
                       contains("Losses of cells"));
  CHECK_THAT(text, !contains("The sun gave"));
  a.solar_Wh = 300;
  a.lost_Wh = -60;
  a.first_hour_W = 100;
  text = report::terminal(a, {});
  CHECK_THAT(text, contains("The sun gave 300 Wh") && contains("The load rises") &&
                       contains("60 Wh more than was counted"));
  a.by_voltage = true;
  CHECK(first_line(report::terminal(a, {})).rfind("Cut off by low voltage at 04:10", 0) == 0);
  a.hours_to_empty = 31;
  CHECK(first_line(report::terminal(a, {})).find("04:00 on 15 July") != std::string::npos);
  a.hours_to_empty = std::numeric_limits<double>::quiet_NaN();
  a.hours_displayed_at_start = std::numeric_limits<double>::infinity();
  CHECK_THAT(report::terminal(a, {}),
             contains("Not empty after 48 h: 10 % left; the display showed "
                      "no end"));
}

TEST_CASE("report: a runtime fits 80 columns", "[report][property]") {
  auto a = sample();
  a.header.warnings = {
      "shore: the breaker of the pitch trips on 14 July at 21:01: loads and "
      "charger together draw more than its 15 A (1800 W)"};
  a.path[0].unit_W = a.path[0].solar_W = a.path[0].other_W = 12345;
  for (const auto units : {core::UnitSystem::si, core::UnitSystem::us}) {
    report::Style style;
    style.units = units;
    std::istringstream lines(report::terminal(a, style));
    for (std::string line; std::getline(lines, line);) {
      INFO(line);
      std::size_t columns = 0;
      for (const char c : line) columns += (static_cast<unsigned char>(c) & 0xC0) != 0x80 ? 1 : 0;
      CHECK(columns <= 80);
    }
  }
}
