// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/ledger.hpp>
#include <cabinload/core/calendar.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/weather/series.hpp>
#include <string>
#include <vector>

namespace cabinload::answers {

/// A caution that no option removes.
struct Caution {
  std::string id;      ///< stable key: "heat_animals"
  std::string signal;  ///< ANSI Z535 signal word: "WARNING", "CAUTION", "NOTICE"
  std::string text;
};

/// An assumption that matters, in words, with its value and where it comes from.
struct Assumption {
  std::string key;   ///< scenario key
  std::string text;  ///< "Insulation: thin (20 mm foam, ribs 8 %)"
};

/// What every answer says about itself.
struct Header {
  std::string answer;  ///< "hold"
  std::string program_version;
  std::string scenario_name;
  std::string scenario_line;  ///< one line for people: vehicle, unit, battery
  std::string weather_file, weather_sha256, weather_place, weather_source;
  double latitude_rad = 0, longitude_rad = 0;
  core::Date from{1, 1}, to{12, 31};
  std::vector<std::string> warnings;
  std::vector<Caution> cautions;
  std::vector<Assumption> assumptions;
  std::vector<Ledger> flows;  ///< of the hours for which --why asked; else empty
};

/// Cautions for a cabin with a cooling unit, people and pets, always in the same order.
[[nodiscard]] std::vector<Caution> standing_cautions();

/// The header of an answer: who, where, with what, resting on what. The period is the caller's.
[[nodiscard]] Header header_of(const std::string& answer, const scenario::Scenario& scenario,
                               const weather::Series& weather);
/// The part of it that weather alone gives.
[[nodiscard]] Header header_of(const std::string& answer, const weather::Series& weather);

/// Share of the vans drawn that lies below, and as much above, what is told of them.
inline constexpr double kUnlikely_1 = 0.05;

/// What nine in ten of the vans drawn are like: a tenth is below or above, half of it each.
struct Likely {
  double low = 0, median = 0, high = 0;  ///< NaN: no van
};

/// Value below which a share of the sorted sample lies (nearest rank); NaN for an empty one.
[[nodiscard]] double quantile(std::vector<double> sample, double share_1);

/// Of one figure of every van. Nine in ten of them lie between its ends.
[[nodiscard]] Likely likely(const std::vector<double>& values);

}  // namespace cabinload::answers
