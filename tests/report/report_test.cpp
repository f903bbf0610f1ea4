// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/error.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/report/terminal.hpp>
#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>
#include <set>

#include "support/catch.hpp"
#include "support/sample_run.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace report = cabinload::report;
namespace test = cabinload::test;
using answers::Why;
using test::contains;

namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

/// A short answer made up by hand: nights of July, one lost, one held, one quiet.
answers::Hold sample(Why why = Why::battery) {
  answers::Hold a;
  a.header.answer = "hold";
  a.header.program_version = "0.1.0";
  a.header.scenario_name = "sample \"quoted\"";
  a.header.scenario_line = "van; 2 people; unit; battery";
  a.header.weather_place = "Invented";
  a.header.cautions = answers::standing_cautions();
  a.header.assumptions = {{"unit.on", "Unit on 21:00-07:00."}};
  a.header.warnings = {"odd input"};
  a.header.from = {7, 1};
  a.header.to = {7, 3};
  a.T_limit_K = 298.15;
  a.in_period = 3;
  a.needing_cooling = 2;
  a.held = 1;
  for (int d = 1; d <= 3; ++d) {
    answers::HoldNight n;
    n.date = {7, d};
    n.needs_cooling = d < 3;
    n.held = d != 1;
    n.why = n.held ? Why::none : why;
    n.bed_peak_K = d == 1 ? 303.25 : 297.15;
    n.bed_peak_second_of_day = 6 * 3600.0;
    n.minutes_above = d == 1 ? 95 : 0;
    n.electric_Wh = 1000.0 / 3;
    n.battery_at_dawn_1 = 0.1 * d;
    n.battery_empty_second_of_day = d == 1 ? 3 * 3600.0 + 43 * 60 : kNaN;
    n.pull_down_min = d == 1 ? kNaN : 12;
    n.bed_peak_unit_off_K = 306;
    n.outdoor_at_start_K = 305;
    n.outdoor_min_K = 299;
    a.each_night.push_back(n);
  }
  a.by_month = {{7, 3, 2, 1, 333.3, 303.25, why}};
  a.electric_Wh = {300, 400, 500};
  a.pull_down_min = {12, kNaN};
  a.battery_at_dawn_1 = {0.2, 0.1};
  a.condensate_L_median = 0.4;
  a.co2_peak_ppm = 1800;
  answers::rank_nights(a);
  return a;
}

std::string first_line(const std::string& text) {
  return text.substr(0, text.find('\n'));
}

/// Every key of a JSON text, each once.
void keys_of(const nlohmann::json& j, std::set<std::string>& keys) {
  for (const auto& [key, value] : j.items()) {
    if (j.is_object()) keys.insert(key);
    if (value.is_structured()) keys_of(value, keys);
  }
}

}  // namespace

TEST_CASE("report: an answer goes through JSON and comes back the same", "[report][property]") {
  for (const Why why : {Why::capacity, Why::battery, Why::supply_limit, Why::cut_out,
                        Why::pull_down, Why::schedule}) {
    const answers::Hold a = sample(why), b = report::hold_from_json(report::json(a), "x");
    CHECK(report::json(b) == report::json(a));
    CHECK(report::terminal(b, {}) == report::terminal(a, {}));
    CHECK(b.each_night[0].electric_Wh == a.each_night[0].electric_Wh);  // to the last bit
    CHECK(std::isnan(b.each_night[0].pull_down_min));
  }
}

TEST_CASE("report: JSON holds the keys that others build on", "[report][golden]") {
  const auto j = nlohmann::json::parse(report::json(sample()));
  CHECK(j["schema_version"] == 1);
  CHECK(j["answer"] == "hold");
  CHECK(j["nights"]["in_period"] == 3);
  CHECK(j["nights"]["needing_cooling"] == 2);
  CHECK(j["nights"]["held"] == 1);
  CHECK(j["worst_night"]["date"] == "07-01");
  CHECK(j["worst_night"]["why"] == "battery");
  CHECK_WITHIN(j["limit_degC"].get<double>(), 25.0, 1e-9);
  CHECK_WITHIN(j["each_night"][0]["bed_peak_degC"].get<double>(), 30.1, 1e-9);
  CHECK(j["each_night"][1]["why"].is_null());
  CHECK(j["each_night"][1]["battery_empty_at"].is_null());
  CHECK(j["pull_down_min"]["worst"].is_null());
  for (const char* key : {"program_version", "scenario", "weather", "period", "warnings",
                          "cautions", "balance", "by_month", "electric_Wh_per_night",
                          "battery_at_dawn", "condensate_L_per_night", "co2_peak_ppm"})
    CHECK(j.contains(key));
}

TEST_CASE("report: stored answers of another kind are refused", "[report][unit]") {
  CHECK_THROWS_WITH(report::hold_from_json("{", "r.h5"),
                    contains("r.h5") && contains("cannot be read"));
  CHECK_THROWS_WITH(report::hold_from_json("{\"answer\": \"load\"}", "r.h5"),
                    contains("'load', not 'hold'"));
  CHECK_THROWS_WITH(report::hold_from_json("{\"answer\": \"hold\", \"schema_version\": 7}", "r.h5"),
                    contains("is 7, this program reads 1"));
  CHECK_THROWS_AS(report::hold_from_json("{\"answer\": \"hold\", \"schema_version\": 1}", "r.h5"),
                  core::InputError);
}

TEST_CASE("report: a stored answer that holds what it cannot is refused", "[report][unit]") {
  const std::string text = report::json(sample());
  for (const auto& [from, to] : {std::pair{"\"03:43\"", "\"3 to 4\""}, {"\"07-02\"", "\"7\""}}) {
    std::string broken = text;
    REQUIRE(broken.find(from) != std::string::npos);
    broken.replace(broken.find(from), std::string(from).size(), to);
    INFO(to);
    CHECK_THROWS_AS(report::hold_from_json(broken, "r.h5"), core::InputError);
    CHECK_THROWS_WITH(report::hold_from_json(broken, "r.h5"), contains("r.h5"));
  }
}

TEST_CASE("report: a key that is missing in a stored answer is named with its file",
          "[report][property]") {
  const std::string text = report::json(sample());
  std::set<std::string> keys;
  keys_of(nlohmann::json::parse(text), keys);
  int refused = 0;
  for (const std::string& key : keys) {
    INFO(key);
    std::string renamed = text;
    const std::string name = "\"" + key + "\":";
    for (std::size_t at = renamed.find(name); at != std::string::npos;
         at = renamed.find(name, at + 1))
      renamed.replace(at, name.size(), "\"x" + key + "\":");
    try {
      (void)report::hold_from_json(renamed, "r.h5");  // some keys may be missing
    } catch (const core::InputError& e) {
      ++refused;
      CHECK_THAT(e.what(), contains("r.h5: error: the stored answer cannot be read: key '" + key +
                                    "' not found"));
    }
  }
  CHECK(refused > 50);
}

TEST_CASE("report: what vans drawn need is told of a stored answer too", "[report][property]") {
  answers::Sizes a;
  a.header.answer = "size";
  a.header.from = a.header.to = {7, 1};
  a.in_period = a.needing_cooling = 1;
  a.sizes = {answers::Size{}};
  a.sizes[0].nights_percent = 100;
  a.sizes[0].capacity_W = 900;
  a.sizes[0].battery_Wh = 1400;
  a.sizes[0].vans_1 = 0.25;
  const answers::Sizes back = report::sizes_from_json(report::json(a), "r.h5");
  CHECK(report::terminal(back, {}) == report::terminal(a, {}));
  CHECK(report::json(back) == report::json(a));
  answers::Sizes without = a;
  without.sizes.clear();
  without.needing_cooling = 1;
  CHECK_THROWS_WITH(report::sizes_from_json(report::json(without), "r.h5"),
                    contains("r.h5") && contains("sizes: is empty"));
  without = a;
  without.typical_night.reset();
  without.too_large.resize(1);
  CHECK_THROWS_WITH(report::sizes_from_json(report::json(without), "r.h5"),
                    contains("r.h5") && contains("typical_night: is null"));

  answers::Helps h;
  h.header = a.header;
  h.header.answer = "what-helps";
  h.samples = 4;
  h.peak_date = core::Date{7, 14};
  h.now.needing_cooling = h.now.lost = 2;
  h.now.minutes = h.now.electric_Wh = h.now.peak_W = 100;
  h.rows = {answers::HelpRow{}};
  h.rows[0].key = h.rows[0].words = "shade";
  h.rows[0].then = h.now;
  h.rows[0].drawn = {{1, 2, 3}, {40, 50, 60}};
  const answers::Helps again = report::helps_from_json(report::json(h), "r.h5");
  CHECK(report::terminal(again, {}) == report::terminal(h, {}));
  CHECK(report::json(again) == report::json(h));
  h.peak_date.reset();
  CHECK_THROWS_WITH(report::helps_from_json(report::json(h), "r.h5"),
                    contains("r.h5") && contains("peak_date") && contains("is null"));
}

TEST_CASE("report: the verdict fits what happened", "[report][golden]") {
  answers::Hold a = sample();
  CHECK(first_line(report::terminal(a, {})) ==
        "Held: 1 of the 2 nights that need cooling. 1 is lost.");
  CHECK_THAT(report::terminal(a, {}), contains("The battery was empty at 03:43") &&
                                          contains("1 h 35 min") && contains("odd input") &&
                                          contains("some nights never") &&
                                          contains("1800 ppm: let more outdoor air in"));
  a.held = 2;
  CHECK(first_line(report::terminal(a, {})) ==
        "Held: all 2 nights that need cooling stay at or below 25.0 °C at the bed.");
  a.needing_cooling = a.held = 0;
  CHECK(first_line(report::terminal(a, {})).rfind("No cooling needed", 0) == 0);
  a.each_night[0].minutes_above = 0;
  a.each_night[0].held = false;
  CHECK_THAT(report::terminal(a, {}), contains("No cooling needed") &&
                                          contains(", but other loads go dark in the") &&
                                          contains("sleep window of 1 of them.\n"));
  a.in_period = 1;
  CHECK_THAT(report::terminal(a, {}),
             contains("but other loads go") && contains("dark in the sleep window.\n"));
  a = sample();
  a.in_period = a.needing_cooling = 1;
  a.held = 0;
  CHECK(first_line(report::terminal(a, {})) ==
        "Not held: the bed is above 25.0 °C for 1 h 35 min of the night.");
  report::Style us;
  us.units = core::UnitSystem::us;
  CHECK_THAT(report::terminal(a, us), contains("77.0 °F"));
}

TEST_CASE("report: every reason has its words", "[report][unit]") {
  for (const auto& [why, words] : {std::pair{Why::capacity, "at its limit"},
                                   {Why::battery, "battery was empty"},
                                   {Why::supply_limit, "supply could not"},
                                   {Why::cut_out, "cut-out"},
                                   {Why::pull_down, "too late"},
                                   {Why::schedule, "unit was off"}})
    CHECK_THAT(report::terminal(sample(why), {}), contains(words));
}

TEST_CASE("report: colour marks only what words already say", "[report][property]") {
  report::Style colour;
  colour.colour = true;
  std::string text = report::terminal(sample(), colour);
  CHECK(text.find("\x1b[1m") != std::string::npos);
  for (const char* code : {"\x1b[1m", "\x1b[0m"})
    for (std::size_t at = 0; (at = text.find(code)) != std::string::npos;)
      text.erase(at, std::string(code).size());
  CHECK(text == report::terminal(sample(), {}));
}

TEST_CASE("report: text is wrapped by characters, not bytes", "[report][unit]") {
  CHECK(report::wrapped("a bb ccc", 4, 1) == "a bb\n ccc\n");
  CHECK(report::wrapped("°°° °°°", 7, 0) == "°°° °°°\n");
  CHECK(report::wrapped("  keep", 80, 4) == "  keep\n");
  CHECK(report::wrapped("averylongwordthatdoesnotfit b", 10, 0) ==
        "averylongwordthatdoesnotfit\nb\n");
}
