// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/report/terminal.hpp>
#include <nlohmann/json.hpp>
#include <sstream>

#include "support/catch.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace report = cabinload::report;
using cabinload::test::contains;

namespace {

/// Made up by hand: one day in July, noon the highest hour.
answers::Load sample() {
  answers::Load a;
  a.header.answer = "load";
  a.header.program_version = "0.1.0";
  a.header.scenario_line = "van, thin insulation, white";
  a.header.weather_place = "Invented";
  a.header.cautions = answers::standing_cautions();
  a.header.assumptions = {{"unit.set_point", "Held day and night."}};
  a.header.from = a.header.to = {7, 14};
  a.T_set_K = core::to_kelvin(24);
  a.humidity_1 = 0.6;
  a.hours_text = "always";
  a.floor_area_m2 = 7.5;
  a.hours_in_period = 24;
  a.hours_with_demand = 23;
  a.percentile_W = {800, 900, 950, 1200, 1200};
  a.causes = {{"roof", "roof", 500, 0, 5, 0},
              {"sun:windscreen", "sun, windscreen", 550, 0, 6, 0},
              {"people", "people", 100, 200, 1, 2},
              {"stored", "stored before", -150, 0, -1.0 / 3, 0}};
  for (int h = 0; h < 24; ++h)
    a.peak_day.push_back({core::to_kelvin(20.0 + h), core::to_kelvin(24),
                          h == 12 ? 1000.0 : 40.0 * h, h == 12 ? 200.0 : 0.0});
  a.peak = answers::Load::Peak{{7, 14}, 12, a.peak_day[12]};
  a.sensible_kWh = 12 - 1.0 / 3;
  a.latent_kWh = 2;
  a.by_month = {{7, 23, 1200, 12 - 1.0 / 3, 2, {5, 6, 3, -1.0 / 3}}};
  return a;
}

std::string first_line(const std::string& text) {
  return text.substr(0, text.find('\n'));
}

}  // namespace

TEST_CASE("report: a demand goes through JSON and comes back the same", "[report][property]") {
  answers::Load a = sample();
  a.headings = {{0.5, 1200}, {1.0, 1100}};
  const answers::Load b = report::load_from_json(report::json(a), "x");
  CHECK(report::json(b) == report::json(a));
  CHECK(report::terminal(b, {}) == report::terminal(a, {}));
  CHECK(report::answer_of(report::json(a), "x") == "load");
  CHECK_THROWS_WITH(report::hold_from_json(report::json(a), "x"), contains("'load', not 'hold'"));
  a.peak.reset();
  a.peak_day.clear();
  CHECK(report::json(report::load_from_json(report::json(a), "x")) == report::json(a));
}

TEST_CASE("report: a demand's JSON holds the keys that others build on", "[report][golden]") {
  const auto j = nlohmann::json::parse(report::json(sample()));
  CHECK(j["answer"] == "load");
  CHECK(j["peak"]["time"] == "07-14 12:00");
  CHECK_WITHIN(j["peak"]["total_W"].get<double>(), 1200, 1e-9);
  CHECK_WITHIN(j["peak"]["sensible_W"].get<double>(), 1000, 1e-9);
  CHECK_WITHIN(j["peak"]["latent_W"].get<double>(), 200, 1e-9);
  CHECK_WITHIN(j["peak"]["by_cause_W"]["people"].get<double>(), 300, 1e-9);
  CHECK_WITHIN(j["percentile_W"]["99.6"].get<double>(), 1200, 1e-9);
  CHECK_WITHIN(j["by_cause_kWh"]["people"].get<double>(), 3, 1e-9);
  // 1200 W on 7.5 m2: 160 W/m2; a square foot is 0.09290304 m2, a BTU/h 0.2930711 W.
  CHECK_RELATIVE(j["per_floor"]["W_ft2"].get<double>(), 14.8645, 1e-5);
  CHECK_RELATIVE(j["per_floor"]["BTU_h_ft2"].get<double>(), 50.7197, 1e-5);
}

TEST_CASE("report: the demand's verdict comes first, the cautions last", "[report][golden]") {
  answers::Load a = sample();
  const std::string text = report::terminal(a, {});
  CHECK(first_line(text) ==
        "Cooling demand: up to 1200 W (4095 BTU/h) in an hour, on 14 July, 12:00-13:00.");
  CHECK_THAT(text, contains("common practice, no published source") &&
                       contains("15 W or 51 BTU/h") && contains("sun, windscreen"));
  CHECK(text.rfind("WARNING") > text.find("What this rests on"));
  a.peak.reset();
  CHECK(first_line(report::terminal(a, {})) ==
        "Nothing needs cooling: the cabin stays at or below 24.0 °C without it, in all of");
  CHECK_THAT(report::terminal(a, {}), contains("24 hours.") && contains("Never leave"));
}

TEST_CASE("report: a demand fits 80 columns and can be drawn in plain characters",
          "[report][property]") {
  for (const auto units : {core::UnitSystem::si, core::UnitSystem::us})
    for (const bool ascii : {true, false}) {
      report::Style style;
      style.units = units;
      style.ascii = ascii;
      const std::string text = report::terminal(sample(), style);
      CHECK((text.find("█") == std::string::npos) == ascii);
      CHECK((text.find("##") != std::string::npos) == ascii);
      std::istringstream lines(text);
      for (std::string line; std::getline(lines, line);) {
        INFO(line);
        std::size_t columns = 0;
        for (const char c : line) columns += (static_cast<unsigned char>(c) & 0xC0) != 0x80 ? 1 : 0;
        CHECK(columns <= 80);
      }
    }
}
