// SPDX-License-Identifier: Apache-2.0
// Moments that an option names, and the nights for which --why asks.
#pragma once
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/ledger.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/run.hpp>
#include <cabinload/weather/series.hpp>
#include <optional>
#include <string>
#include <vector>

namespace cabinload::cli {

/// The parts of a moment that were named.
struct Moment {
  std::optional<core::Date> date;
  std::optional<double> second_of_day;
};
/// "07-14 21:00", "07-14", "21:00"; "" and "true" (the option alone) name nothing.
/// @throws core::InputError  anything else, naming the option
[[nodiscard]] Moment moment_of(const char* option, const std::string& text);
/// "07-14" alone. @throws core::InputError  anything else, naming the option
[[nodiscard]] core::Date date_of(const char* option, const std::string& text);

/// @throws core::InputError  --why names a moment that is not in the period
[[noreturn]] void refuse_moment(const std::string& why);

/// Day of the series on which an evening of the period lies.
/// @throws core::InputError  it is no evening of the period, naming the option
[[nodiscard]] int evening_of(const char* option, core::Date date, const simulation::Nights& nights,
                             int first_day);

/// Which night --why is about: the one that was named, else the hardest, else the warmest.
/// @param why  "true" or a date
/// @throws core::InputError  it names no night of the answer
[[nodiscard]] std::size_t asked_night(const std::string& why, const answers::Hold& answer);

/// What flowed in a night: the same run again up to it.
/// @param night  it is the stretches of this night that are looked at, whatever the scenario
/// @param of     as answers::night_ledgers()
[[nodiscard]] std::vector<answers::Ledger> night_flows(const scenario::Scenario& scenario,
                                                       const weather::Series& weather,
                                                       const answers::HoldNight& night,
                                                       const std::string& of = "");

}  // namespace cabinload::cli
