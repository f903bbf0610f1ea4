// SPDX-License-Identifier: Apache-2.0
// One night hour by hour: temperatures, heat by cause, electricity.
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/simulation/observers.hpp>
#include <cmath>

#include "page_parts.hpp"
#include "sentences.hpp"
#include "text.hpp"

namespace cabinload::report {

std::size_t shown_night(const answers::Hold& a) {
  if (a.worst_night) return *a.worst_night;
  const auto& nights = a.each_night;
  return static_cast<std::size_t>(std::max_element(nights.begin(), nights.end(),
                                                   [](const auto& x, const auto& y) {
                                                     return x.bed_peak_unit_off_K <
                                                            y.bed_peak_unit_off_K;
                                                   }) -
                                  nights.begin());
}

std::vector<PageHour> hours_of_night(const simulation::Hourly& h, std::size_t night,
                                     const scenario::Night& settings) {
  const double cut_s = simulation::NightObserver::account_cut_s(settings);
  const auto cut_h = static_cast<std::size_t>(std::lround(cut_s / core::kSecondsInHour));
  std::vector<PageHour> hours;
  // As a result file keeps it: a page of the run and one of its file are the same to the last
  // digit.
  const auto kept = [](double value) { return static_cast<double>(static_cast<float>(value)); };
  for (std::size_t k = 0; k < 24; ++k) {
    const std::size_t row = 24 * night + cut_h + k;
    if (row >= h.T_bed_mean_K.size()) break;
    hours.push_back({static_cast<double>((cut_h + k) % 24) * core::kSecondsInHour,
                     kept(h.T_out_mean_K[row]), kept(h.T_air_mean_K[row]),
                     kept(h.T_bed_mean_K[row]), kept(h.unit_electric_W[row]), kept(h.other_W[row]),
                     kept(h.solar_W[row]), kept(h.alternator_W[row]), kept(h.shore_W[row]),
                     kept(h.state_of_charge_end_1[row])});
  }
  return hours;
}

namespace page {
namespace {

using Kind = Table::Kind;

Html watts(double W) {
  return plain(fmt::format("{:.0f} W", W));
}

template <class Field>
Json column(const std::vector<PageHour>& hours, Field value) {
  Json list = Json::array();
  for (const PageHour& h : hours) list.push_back(number(value(h)));
  return list;
}

/// "22:00–23:00": whatever is told of an hour says which one.
std::string hour_words(const PageHour& h) {
  return core::clock_text(h.second_of_day) + "–" +
         core::clock_text(std::fmod(h.second_of_day + core::kSecondsInHour, core::kSecondsInDay));
}

Json hour_labels(const std::vector<PageHour>& hours) {
  Json list = Json::array();
  for (const PageHour& h : hours) list.push_back(hour_words(h));
  return list;
}

/// Hour of the clock at which the first one begins.
Json first_hour(const std::vector<PageHour>& hours) {
  return std::lround(hours.front().second_of_day / core::kSecondsInHour);
}

/// The sleep window in hours from the first one; both 0 when it is not there.
Json sleep_hours(const Page& page) {
  const scenario::Night& n = page.scenario.night;
  const auto& hours = page.night;
  const auto hour_of = [&](double clock_s) {
    const double from = hours.front().second_of_day;
    return std::fmod(clock_s - from + core::kSecondsInDay, core::kSecondsInDay) /
           core::kSecondsInHour;
  };
  if (hours.empty()) return {0, 0};
  return {hour_of(n.sleep_start_s), hour_of(n.sleep_end_s)};
}

bool any(const std::vector<PageHour>& hours, double PageHour::*field) {
  return std::any_of(hours.begin(), hours.end(), [&](const PageHour& h) { return h.*field > 0.5; });
}

std::string night_name(const Page& page) {
  const auto& n = page.hold.each_night[shown_night(page.hold)];
  return core::long_text(n.date) + " to " +
         core::long_text(core::date_of(core::day_index(n.date) + 1));
}

}  // namespace

Html night(const Page& page, Json& data) {
  const answers::Hold& a = page.hold;
  const answers::HoldNight& n = a.each_night[shown_night(a)];
  Html out = a.worst_night
                 ? wrap("<p>", both([&](const Style& s) { return hardest_words(a, s); }), "</p>\n")
                 : wrap("<p>", both([&](const Style& s) {
                          return fmt::format(
                              "No night needs cooling. The warmest, {}: with the unit off the bed "
                              "reaches {}.",
                              core::long_text(n.date), degrees(n.bed_peak_unit_off_K, s));
                        }),
                        "</p>\n");
  if (!would_hold_words(a, Style{}).empty())
    out += wrap("<p>", both([&](const Style& s) { return would_hold_words(a, s); }), "</p>\n");
  const char* heading = a.worst_night ? "The hardest night, hour by hour" : "The warmest night";
  if (page.night.empty()) return section("night", heading, out);
  Table t("Hour by hour", {{"Mean of", Kind::text}, {"outdoors"}, {"cabin"}, {"bed"}, {"limit"}},
          "hours");
  for (const PageHour& h : page.night) {
    const auto T = [](double T_K) { return both([&](const Style& s) { return degrees(T_K, s); }); };
    t.row({plain(hour_words(h)), T(h.T_out_K), T(h.T_air_K), T(h.T_bed_K), T(a.T_limit_K)});
  }
  data["night"] = {
      {"hours", hour_labels(page.night)},
      {"from_hour", first_hour(page.night)},
      {"sleep", sleep_hours(page)},
      {"limit_degC", core::to_celsius(a.T_limit_K)},
      {"outdoors_degC",
       column(page.night, [](const auto& h) { return core::to_celsius(h.T_out_K); })},
      {"cabin_degC", column(page.night, [](const auto& h) { return core::to_celsius(h.T_air_K); })},
      {"bed_degC", column(page.night, [](const auto& h) { return core::to_celsius(h.T_bed_K); })}};
  out += chart(
      "temperatures",
      "Temperatures, " + night_name(page) + ". A point is the mean of an hour, in its middle.",
      "Line chart of the temperatures outdoors, in the cabin and at the bed, hour by "
      "hour from noon to noon, with the sleeper's limit; the sleep window is shaded.",
      t.html());
  return section("night", heading, out);
}

Html electricity(const Page& page, Json& data) {
  const auto& hours = page.night;
  if (hours.empty()) return {};
  struct Source {
    const char *key, *words;
    double PageHour::*W;
  };
  std::vector<Source> shown{{"unit", "cooling unit", &PageHour::unit_W}};
  for (const Source& s : {Source{"other", "other loads", &PageHour::other_W},
                          {"sun", "sun", &PageHour::solar_W},
                          {"alternator", "alternator", &PageHour::alternator_W},
                          {"shore", "shore", &PageHour::shore_W}})
    if (any(hours, s.W)) shown.push_back(s);
  std::vector<Table::Column> columns{{"Mean of", Kind::text}};
  for (const Source& s : shown) columns.push_back({s.words});
  columns.push_back({"charge at the hour's end"});
  Table t("Electricity hour by hour", columns, "hours");
  for (const PageHour& h : hours) {
    std::vector<Html> cells{plain(hour_words(h))};
    for (const Source& s : shown) cells.push_back(watts(h.*s.W));
    cells.push_back(plain(fmt::format("{:.0f} %", 100 * h.charge_1)));
    t.row(cells);
  }
  Json& d = data["electricity"];
  d["hours"] = hour_labels(hours);
  d["from_hour"] = first_hour(hours);
  d["sleep"] = sleep_hours(page);
  d["charge_percent"] = column(hours, [](const auto& h) { return 100 * h.charge_1; });
  d["cut_off_percent"] = 100 * page.hold.cut_off_1;
  d["flows"] = Json::array();
  for (const Source& s : shown)
    d["flows"].push_back({{"key", s.key},
                          {"words", s.words},
                          {"W", column(hours, [&](const auto& h) { return h.*s.W; })}});
  const std::string charging =
      !std::isnan(page.scenario.battery_full_at_s)
          ? fmt::format(
                "The battery is taken as full at {}; what fills it by day, sun too, is not "
                "simulated.",
                core::clock_text(page.scenario.battery_full_at_s))
      : page.scenario.supply.panels ? "What the panels give counts as far as the battery takes it."
                                    : "No panels are described.";
  return section("electricity", "Battery and sun in that night",
                 wrap("<p>", plain(charging), "</p>\n") +
                     chart("power",
                           "Charge and power, " + night_name(page) +
                               ". A bar is the mean of its hour; the "
                               "line has the charge at the end of each.",
                           "Chart of the battery's charge as a line and of the power of the unit, "
                           "other loads and sources as bars, hour by hour.",
                           t.html()));
}

Html heat(const Page& page, Json& data) {
  const auto& flows = page.hold.header.flows;
  if (flows.empty()) return {};
  Html out;
  Json& d = data["heat"] = Json::array();
  for (std::size_t i = 0; i < flows.size(); ++i) {
    const answers::Ledger& l = flows[i];
    Html tables;
    for (const answers::LedgerAccount& account : l.accounts) {
      std::vector<LedgerLine> si = ledger_lines(account, Style{}), us;
      Style in_us_units;
      in_us_units.units = core::UnitSystem::us;
      us = ledger_lines(account, in_us_units);
      Table t(account.words, {{account.words, Kind::text}, {"comes in"}, {"goes out"}});
      // Rounding may leave another number of rows in each; pair them by their words.
      for (const LedgerLine& line : us) {
        const auto same = std::find_if(si.begin(), si.end(), [&](const LedgerLine& x) {
          return x.words == line.words && x.in.empty() == line.in.empty();
        });
        const LedgerLine in_si = same == si.end() ? LedgerLine{} : *same;
        t.row({plain(line.words), both(in_si.in, line.in), both(in_si.out, line.out)});
      }
      tables += t.html();
      if (account.key != "heat") continue;
      Json rows = Json::array();
      for (const answers::LedgerRow& r : account.rows)
        if (std::abs(r.W) >= 0.5) rows.push_back({{"words", r.words}, {"W", r.W}});
      d.push_back({{"title", l.title}, {"rows", rows}});
    }
    out += chart(
        fmt::format("heat{}", i), ledger_when(l),
        "Bars of the heat that comes into the cabin, its shell and contents, and of what "
        "leaves, by cause.",
        wrap("<p>", both([&](const Style& s) { return ledger_means(l, s); }), "</p>\n") + tables);
  }
  return section("heat", "Where the heat comes from",
                 wrap("<div class=\"pair\">", out, "</div>\n"));
}

}  // namespace page
}  // namespace cabinload::report
