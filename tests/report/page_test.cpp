// SPDX-License-Identifier: Apache-2.0
// The page as text: structure, escaping, what must always stand in it. What a browser makes of it
// is tested in tests/page.
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/night_mark.hpp>
#include <cabinload/report/page.hpp>
#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>
#include <regex>
#include <set>

#include "report/page_parts.hpp"
#include "support/catch.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace report = cabinload::report;
namespace page = cabinload::report::page;
namespace scenario = cabinload::scenario;
using answers::Why;
using cabinload::test::contains;
using report::NightMark;

namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

answers::HoldNight night(int day, bool needs, bool held, double bed_degC, double dawn_1) {
  answers::HoldNight n;
  n.date = {7, day};
  n.needs_cooling = needs;
  n.held = held;
  n.why = needs && !held ? Why::battery : Why::none;
  n.bed_peak_K = core::to_kelvin(bed_degC);
  n.minutes_above = held ? 0 : 100;
  n.battery_at_dawn_1 = dawn_1;
  n.battery_empty_second_of_day = kNaN;
  return n;
}

/// Four nights of July, one of each mark.
report::Page sample(const std::string& name = "sample") {
  report::Page p;
  p.scenario = scenario::read("", {{"name", name}});
  answers::Hold& a = p.hold;
  a.header.answer = "hold";
  a.header.program_version = "0.1.0";
  a.header.scenario_name = name;
  a.header.scenario_line = "van; 2 people; unit; battery";
  a.header.weather_place = "Invented";
  a.header.weather_sha256 = std::string(64, 'a');
  a.header.cautions = answers::standing_cautions();
  a.header.assumptions = {{"vehicle.leakage_area", "Cracks of 80 cm² in all."}};
  a.header.from = {7, 1};
  a.header.to = {7, 4};
  a.T_limit_K = core::to_kelvin(25.0);
  a.cut_off_1 = 0.1;
  a.in_period = 4;
  a.needing_cooling = 3;
  a.held = 2;
  a.each_night = {night(1, false, true, 22, 0.9), night(2, true, true, 24, 0.6),
                  night(3, true, true, 24, 0.15), night(4, true, false, 28, 0.1)};
  a.by_month = {{7, 4, 3, 2, 900, core::to_kelvin(28), Why::battery}};
  answers::rank_nights(a);
  for (int h = 0; h < 24; ++h)
    p.night.push_back({std::fmod(12 + h, 24) * 3600.0, 305, 303, 300, 200, 0, 0, 0, 0, 0.5});
  p.command_line = "cabinload report";
  p.created_utc = "2026-01-01T00:00:00Z";
  return p;
}

std::size_t times(const std::string& text, const std::string& what) {
  std::size_t n = 0;
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++n;
  return n;
}

/// Without scripts and style sheets.
std::string markup_of(const std::string& html) {
  std::string out;
  std::size_t at = 0;
  for (;;) {
    const std::size_t open = std::min(html.find("<script", at), html.find("<style", at));
    out += html.substr(at, open - at);
    if (open == std::string::npos) return out;
    const char* close = html[open + 2] == 'c' ? "</script>" : "</style>";
    at = html.find(close, open) + std::string(close).size();
  }
}

}  // namespace

TEST_CASE("report: a night's mark says what kept or lost it", "[report][unit]") {
  const double limit_K = core::to_kelvin(25);
  const auto mark = [&](const answers::HoldNight& n) { return report::mark_of(n, limit_K, 0.1); };
  CHECK(mark(night(1, false, true, 24.9, 0.1)) == NightMark::quiet);
  CHECK(mark(night(1, true, true, 24.0, 0.6)) == NightMark::held);
  CHECK(mark(night(1, true, true, 24.8, 0.6)) == NightMark::close);
  CHECK(mark(night(1, true, true, 24.0, 0.19)) == NightMark::close);
  CHECK(mark(night(1, true, false, 25.1, 0.6)) == NightMark::lost);
}

TEST_CASE("report: the page has the verdict, every night, the cautions", "[report][unit]") {
  const std::string html = report::html(sample());
  CHECK_THAT(html, contains("<h1>Held: 2 of the 3 nights that need cooling. 1 is lost.</h1>"));
  CHECK_THAT(html, contains("<strong>How sure?</strong> One calculation of this van as described"));
  CHECK(times(html, "<td data-i=") == 4);
  for (const char* word : {"held", "close", "lost", "no cooling needed"})
    CHECK(times(html, std::string("<span class=\"unseen\">") + word + "</span></td>") == 1);
  for (const auto& c : answers::standing_cautions())
    CHECK_THAT(html, contains("<strong>" + c.signal + "</strong> " + page::plain(c.text).text));
  CHECK_THAT(html, contains(std::string(64, 'a')));
  // Every key of the scenario with its source.
  const auto p = sample();
  for (const auto& e : p.scenario.entries) {
    INFO(e.key);
    CHECK(times(html, "<code>" + page::plain(e.key).text + "</code>") == 1);
  }
  CHECK(html.size() < 500'000);
  CHECK(times(html, " \"safe\"") + times(html, ">safe") + times(html, " is safe") == 0);
}

TEST_CASE("report: a danger stands beside the verdict and first among the cautions",
          "[report][unit]") {
  report::Page p = sample();
  p.hold.header.cautions.push_back({"heat_sleepers", "DANGER", "Do not sleep in it."});
  const std::string html = report::html(p);
  const std::string danger = "<li class=\"DANGER\"><strong>DANGER</strong> Do not sleep in it.";
  CHECK(times(html, danger) == 2);
  CHECK(html.find(danger) < html.find("</header>"));
  const std::size_t cautions = html.find("<section id=\"cautions\"");
  CHECK(html.find(danger, cautions) < html.find("<li class=\"WARNING\"", cautions));
  CHECK(times(report::html(sample()), "class=\"DANGER\"") == 0);
  // What the sleepers are warned of is of this van too; the standing warnings are of all.
  p.hold.header.cautions.back().signal = "WARNING";
  const std::string warned = report::html(p), top = warned.substr(0, warned.find("</header>"));
  CHECK_THAT(top, contains("<li class=\"WARNING\"><strong>WARNING</strong> Do not sleep in it."));
  CHECK(times(top, "<li class=\"WARNING\"") == 1);
}

TEST_CASE("report: an hour of the night says from when to when, in chart and table",
          "[report][unit]") {
  report::Page p = sample();
  p.night[3].charge_1 = 0.37;  // at 16:00
  const std::string html = report::html(p);
  report::Json data;
  (void)page::night(p, data);
  (void)page::electricity(p, data);
  for (const char* chart : {"night", "electricity"}) {
    CHECK(data[chart]["hours"][0] == "12:00–13:00");
    CHECK(data[chart]["hours"][11] == "23:00–00:00");
    CHECK(data[chart]["from_hour"] == 12);
    CHECK(data[chart]["sleep"] == report::Json({10.0, 19.0}));  // 22:00 to 07:00
  }
  CHECK_THAT(html, contains("A point is the mean of an hour, in its middle.") &&
                       contains("A bar is the mean of its hour; the line has the charge at the end "
                                "of each."));
  CHECK(times(html, "<th scope=\"row\">15:00–16:00</th>") == 2);
  CHECK_THAT(html, contains("charge at the hour&#39;s end</th>") &&
                       contains("<th scope=\"row\">15:00–16:00</th><td class=\"n\">200 W</td>"
                                "<td class=\"n\">37 %</td>"));
  CHECK(times(html, "Hour from") == 0);
}

TEST_CASE("report: the animals' map has two halves of a day, and notes that are its own",
          "[report][unit]") {
  report::Page p = sample();
  answers::Pets a;
  a.header = p.hold.header;
  a.header.assumptions.push_back({"pet.limit", "Limit of the dog."});
  for (auto& month : a.map) month.fill(kNaN);
  for (std::size_t h = 0; h < 24; ++h) a.map[6][h] = static_cast<double>(h);
  p.pets.answer = a;
  const std::string text = page::animals(p).text;
  for (const char* half : {"00:00 to 11:00\"><table>", "12:00 to 23:00\"><table>"})
    CHECK(times(text, half) == 1);
  CHECK(times(text, "<th scope=\"row\">Jul</th>") == 2);
  for (int h = 0; h < 24; ++h) {
    INFO(h);
    CHECK(times(text, "<th scope=\"col\">" + std::to_string(h) + "</th>") == 1);
    CHECK(times(text, "\">" + std::to_string(h) + "</td>") == 1);
  }
  CHECK_THAT(text, contains("<li>Limit of the dog.</li>") && contains("<a href=\"#basis\">"));
  CHECK_THAT(text, !contains("Cracks of 80"));
  CHECK(times(report::html(p), "Cracks of 80 cm²") == 1);
}

TEST_CASE("report: what alone would have held the hardest night stands with it", "[report][unit]") {
  report::Page p = sample();
  answers::WouldHold would;
  would.date = {7, 4};
  would.battery_Wh = 3000;
  would.most_capacity_W = 6000;
  p.hold.would_hold = would;
  report::Json data;
  CHECK_THAT(page::night(p, data).text,
             contains("Alone, a 3.0 kWh battery would have held it; a larger unit (up to 6000 W)"));
  CHECK_THAT(report::html(sample()), !contains("would have held it"));
}

TEST_CASE("report: changes that win no night stand in one line", "[report][unit]") {
  report::Page p = sample();
  answers::Helps a;
  a.header = p.hold.header;
  a.in_period = 4;
  a.now = {3, 2, 1000, 1500, 60};
  const auto row = [&](const char* words, int lost, double Wh) {
    answers::HelpRow r;
    r.words = words;
    r.then = a.now;
    r.then.lost = lost;
    r.then.electric_Wh = Wh;
    a.rows.push_back(r);
  };
  row("a battery", 0, 1200);
  row("a mat, dark", 2, 900);
  row("paint", 2, 1000);
  row("a drive", 3, 1100);
  const auto advice = [&] {
    p.helps.answer = a;
    return page::advice(p).text;
  };
  const std::string text = advice();
  const std::size_t folded = text.find("<details");
  const std::string open = text.substr(0, folded);
  CHECK_THAT(
      open,
      contains("<p class=\"others\">2 other changes win no night and lose none there: a mat, dark; "
               "paint.</p>"));
  for (const char* shown : {"a battery<", "a drive</th>"}) CHECK_THAT(open, contains(shown));
  CHECK_THAT(open, !contains("<th scope=\"row\">paint") && contains("Peak of demand: the heat"));
  CHECK(text.find("<th scope=\"row\">paint</th><td class=\"n\">2</td>") > folded);
  // One alone stays where it was.
  a.rows.erase(a.rows.begin() + 1);
  CHECK_THAT(advice(), contains("<th scope=\"row\">paint</th>") && !contains("win no night"));
  // Where no night is lost it goes by electricity.
  a.by = answers::HelpBy::energy;
  a.now.lost = 0;
  row("a fan", 0, 1003);
  CHECK_THAT(advice(), contains("2 other changes change next to no electricity there: paint; a "
                                "fan.</p>"));
}

TEST_CASE("report: the page is one file and well formed", "[report][unit]") {
  const std::string html = report::html(sample());
  const std::string text = markup_of(html);
  CHECK(html.rfind("<!DOCTYPE html>", 0) == 0);
  // Nothing is fetched: no address in an attribute but within the page.
  const std::regex address("(src|href|action|data|poster)=\"([^\"]*)\"");
  for (std::sregex_iterator i(text.begin(), text.end(), address), end; i != end; ++i)
    CHECK(((*i)[2].str().rfind('#', 0) == 0 || (*i)[2] == "data:,"));
  CHECK(times(html, "@import") == 0);
  CHECK(times(html, "url(") == 0);
  CHECK_THAT(html, contains("default-src 'none'"));
  CHECK_THAT(html, contains("Permission is hereby granted, free of charge"));
  // An id once, and every reference to one there is.
  std::set<std::string> ids;
  const std::regex id(" id=\"([^\"]*)\"");
  for (std::sregex_iterator i(text.begin(), text.end(), id), end; i != end; ++i)
    CHECK(ids.insert((*i)[1]).second);
  const std::regex reference("(aria-labelledby|aria-describedby|href)=\"#?([^\":]*)\"");
  for (std::sregex_iterator i(text.begin(), text.end(), reference), end; i != end; ++i)
    CHECK(ids.count((*i)[2]) == 1);
  for (const char* tag : {"section", "table", "tr", "td", "th", "ul", "li", "dl", "details",
                          "figure", "div", "span", "p", "bdi", "main", "header"}) {
    INFO(tag);
    const std::regex open(std::string("<") + tag + "[ >]");
    const auto opened = std::distance(std::sregex_iterator(text.begin(), text.end(), open), {});
    CHECK(static_cast<std::size_t>(opened) == times(text, std::string("</") + tag + ">"));
  }
  // Levels of headings follow each other.
  CHECK(times(text, "<h1>") == 1);
  CHECK(times(text, "<canvas") == times(text, "The same as a table"));
}

TEST_CASE("report: no text of a scenario becomes markup", "[report][unit]") {
  const std::string name =
      "</script><script>window.bad = 1</script> \"'&{{data}} \U0001F690 \u05E8";
  const std::string html = report::html(sample(name));
  CHECK(times(html, "window.bad = 1</script>") == 0);
  CHECK_THAT(html, contains("<bdi>&lt;/script&gt;&lt;script&gt;window.bad = 1&lt;/script&gt; &quot;"
                            "&#39;&amp;{{data}} \U0001F690 \u05E8</bdi>"));
  CHECK(times(html, "<script") == 3);
  CHECK(times(html, "</script>") == 3);
  // Ten thousand characters stand in full, and stay text.
  const std::string longest(10'000, 'W');
  CHECK_THAT(report::html(sample(longest)), contains("<bdi>" + longest + "</bdi>"));
}

TEST_CASE("report: data in a page end no element", "[report][unit]") {
  report::Json data;
  data["text"] = "</script><!-- & \u2028 \xFF";
  const std::string text = page::embedded(data);
  CHECK(text.find_first_of("<>&") == std::string::npos);
  CHECK(text.find("\xE2\x80\xA8") == std::string::npos);
  CHECK(nlohmann::json::parse(text)["text"] == "</script><!-- & \u2028 \uFFFD");
}

TEST_CASE("report: values stand in both unit systems", "[report][unit]") {
  using page::in_us;
  CHECK(in_us("Cracks of 80 cm² in all") == "Cracks of 12.4 in² in all");
  CHECK(in_us("24 degC") == "75.2 °F");
  CHECK(in_us("-5 degC, 0.5 K, 25 m3/h 18:00-08:00.") == "23 °F, 0.9 °F, 14.7 cfm 18:00-08:00.");
  CHECK(in_us("set to 24.0 °C (75.2 °F).") == "set to 75.2 °F.");
  CHECK(in_us("above 29.5 °C / 85 °F for") == "above 85 °F for");
  CHECK(in_us("within 178 mm (7 in) of") == "within 7 in of");
  CHECK(in_us("07:00 20 degC, 23:00 17 degC") == "07:00 68 °F, 23:00 62.6 °F");
  CHECK(in_us("at 80 km/h, 4.3 m long") == "at 49.7 mph, 14.1 ft long");
  CHECK(in_us("0.035 W/(m K)") == "0.243 BTU in/(h ft² °F)");
  // Numbers that share a unit.
  CHECK(in_us("Roof 3.10 x 1.75 m, of the body") == "Roof 10.2 x 5.74 ft, of the body");
  CHECK(in_us("front 0.10, rear 0.20 m.") == "front 0.328, rear 0.656 ft.");
  CHECK(in_us("60, 75 or 90 degC") == "140, 167 or 194 °F");
  CHECK(in_us("2 people, 5 K") == "2 people, 9 °F");
  // No values: keys, codes, clocks, electricity, other words.
  for (const char* same :
       {"generic-2000-24v", "R134a", "ISO 6946", "18:00", "720 W", "2.4 kWh", "30 min", "3 meters",
        "9 CFR 3.3", "case.toml:12", "a-5 Kelvin", "3 m.csv"})
    CHECK(in_us(same) == same);
  // A name is not taken for a value.
  CHECK(in_us("'vent 40 cm' 0.40 x 0.50 m") == "'vent 40 cm' 1.31 x 1.64 ft");
  CHECK(in_us("the 'cat 6 kg' of 6 kg") == "the 'cat 6 kg' of 13.2 lb");
  CHECK(in_us("('Bob's 5 m van, 20 degC'), 5 m.") == "('Bob's 5 m van, 20 degC'), 16.4 ft.");
  CHECK(in_us("the vehicle's 5 m, the unit's") == "the vehicle's 16.4 ft, the unit's");
  // One system at a time, where a text tells both.
  CHECK(page::converted("(a) 32.2 °C (90.0 °F) or, (95 °F), 1 °C (x °F)").text ==
        "<span class=\"si\">(a) 32.2 °C or, (95 °F), 1 °C (x °F)</span>"
        "<span class=\"us\">(a) 90.0 °F or, (95 °F), 33.8 °F (x °F)</span>");
  const std::string html = report::html(sample());
  CHECK_THAT(html, contains("<span class=\"si\">25.0 °C</span><span class=\"us\">77.0 °F</span>"));
  CHECK_THAT(report::html(sample("5 m van, 20 degC")),
             contains("<bdi>5 m van, 20 degC</bdi>") && !contains("16.4 ft"));
  report::Page us = sample();
  us.units = core::UnitSystem::us;
  CHECK_THAT(report::html(us), contains("id=\"us\" checked"));
}

TEST_CASE("report: a text is cut between characters", "[report][unit]") {
  CHECK(report::first_columns("café au lait", 4) == "café");
  CHECK(report::first_columns("café", 9) == "café");
  CHECK(report::last_columns("au café", 4) == "café");
  CHECK(report::last_columns("éé", 1) == "é");
  CHECK(report::last_columns("é", 3) == "é");
  CHECK(report::first_columns("é", 0).empty());
}

TEST_CASE("report: a period that needs no cooling makes a page of its own", "[report][unit]") {
  report::Page p = sample();
  p.hold.needing_cooling = p.hold.held = 0;
  for (auto& n : p.hold.each_night) n = night(n.date.day, false, true, 20, 1);
  answers::rank_nights(p.hold);
  p.hold.each_night[2].bed_peak_unit_off_K = 295;
  CHECK(report::shown_night(p.hold) == 2);
  const std::string html = report::html(p);
  CHECK_THAT(html, contains("No cooling needed") && contains("No night needs cooling. The warmest, "
                                                             "3 July"));
  CHECK_THAT(html, !contains("How sure?") && !contains("Every night that needs cooling"));
}
