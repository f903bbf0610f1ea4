// SPDX-License-Identifier: Apache-2.0
#include "why.hpp"

#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/core/schedule.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/study/runner.hpp>

#include "command.hpp"

namespace cabinload::cli {
core::Date date_of(const char* option, const std::string& text) {
  try {
    return core::parse_date(text);
  } catch (const core::Error& e) {
    refuse_option(option, e.what(), "an evening as 07-14");
  }
}

Moment moment_of(const char* option, const std::string& text) {
  Moment m;
  if (text.empty() || text == "true") return m;
  const std::size_t space = text.find_last_of(' ');
  std::string date = text;
  const std::string last = space == std::string::npos ? text : text.substr(space + 1);
  if (last.find(':') != std::string::npos) {
    const std::optional<int> minutes = core::parse_clock_min(last);
    if (!minutes || *minutes >= 24 * 60)
      refuse_option(option, "'" + last + "' is no time of the day", "\"07-14 21:00\"");
    m.second_of_day = *minutes * 60.0;
    date = space == std::string::npos ? "" : text.substr(0, space);
  }
  if (date.empty()) return m;
  try {
    m.date = core::parse_date(date);
  } catch (const core::Error& e) {
    refuse_option(option, e.what(), "\"07-14 21:00\"");
  }
  return m;
}

void refuse_moment(const std::string& why) {
  refuse_option("--why", "'" + why + "' is not in the period",
                "a day of it as --why=07-14, or an hour as --why=\"07-14 15:00\"");
}

int evening_of(const char* option, core::Date date, const simulation::Nights& nights,
               int first_day) {
  for (int day = nights.first; day < nights.first + nights.count; ++day)
    if (core::date_of(first_day + day) == date) return day;
  refuse_option(option, core::long_text(date) + " is no night of the period",
                "an evening from " + core::long_text(core::date_of(first_day + nights.first)) +
                    " to " +
                    core::long_text(core::date_of(first_day + nights.first + nights.count - 1)));
}

std::size_t asked_night(const std::string& why, const answers::Hold& answer) {
  const auto& nights = answer.each_night;
  if (why != "true") {
    const int first_day = core::day_index(nights.front().date);
    return static_cast<std::size_t>(evening_of("--why", date_of("--why", why),
                                               {0, static_cast<int>(nights.size())}, first_day));
  }
  if (answer.worst_night) return *answer.worst_night;
  const auto warmest =
      std::max_element(nights.begin(), nights.end(),
                       [](const auto& a, const auto& b) { return a.bed_peak_K < b.bed_peak_K; });
  return static_cast<std::size_t>(warmest - nights.begin());
}

std::vector<answers::Ledger> night_flows(const scenario::Scenario& scenario,
                                         const weather::Series& weather,
                                         const answers::HoldNight& night, const std::string& of) {
  const forcing::Forcing forcing = forcing::make(weather, scenario.site, scenario.vehicle);
  const network::Cabin cabin = network::assemble(scenario.vehicle);
  const int day = evening_of(
      "--why", night.date, simulation::nights_of(scenario.night, forcing.hours, forcing.first_day),
      forcing.first_day);
  scenario::Scenario until = scenario;
  until.night.to = night.date;
  simulation::Options options;
  options.flows = answers::spans_of(night, scenario.night, day);
  const study::Case cases[] = {{"why", &cabin, &forcing, &until, options}};
  return answers::night_ledgers(study::run(cases)[0].flows, forcing.first_day, of);
}

}  // namespace cabinload::cli
