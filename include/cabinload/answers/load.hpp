// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/answers/common.hpp>
#include <cabinload/core/calendar.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/demand.hpp>
#include <cabinload/weather/series.hpp>
#include <optional>
#include <string>
#include <vector>

namespace cabinload::answers {

/// An hour counts as having a demand from this mean on [W].
inline constexpr double kLeastDemand_W = 1.0;
/// Percentiles of the hourly demand that are told.
inline constexpr std::array<double, 5> kLoadPercents = {50, 90, 95, 99, 99.6};

/// What one cause brings. Parts may be negative: a cause that cools.
struct LoadCause {
  std::string key;    ///< "roof", "window:windscreen", "sun:windscreen", "air_exchange"
  std::string words;  ///< for people
  double peak_sensible_W = 0, peak_latent_W = 0;  ///< in the hour of the highest demand
  double sensible_kWh = 0, latent_kWh = 0;        ///< over the period
};

/// The demand of one month.
struct LoadMonth {
  int month = 1;
  int hours_with_demand = 0;
  double peak_W = 0;  ///< highest hour
  double sensible_kWh = 0, latent_kWh = 0;
  std::vector<double> by_cause_kWh;  ///< as Load::causes, sensible and latent together
};

/// One hour of the demand; heat to take from the cabin counts positive.
struct LoadHour {
  double T_out_K = 0, T_air_K = 0;  ///< hour means
  double sensible_W = 0, latent_W = 0;
  /// Sensible and latent together [W].
  [[nodiscard]] double total_W() const { return sensible_W + latent_W; }
};

/// The answer to `load`: hourly cooling demand at a set point with unlimited capacity.
struct Load {
  Header header;
  double T_set_K = 0;      ///< lowest of the day where it changes by the clock
  double humidity_1 = 0;   ///< highest relative humidity at T_set_K
  std::string hours_text;  ///< when the cabin is held: "always", "21:00-07:00"
  bool held_always = true;
  double floor_area_m2 = 0;
  int hours_in_period = 0, hours_with_demand = 0;
  int hours_cooler_outdoors = 0;   ///< of those with a demand: outdoors below the set point
  double cooler_outdoors_kWh = 0;  ///< demand of these
  double sensible_kWh = 0, latent_kWh = 0;
  /// The highest hour; nothing when no hour has a demand.
  struct Peak {
    core::Date date;
    int hour = 0;  ///< it starts at this hour of the day
    LoadHour at;
  };
  std::optional<Peak> peak;
  std::vector<LoadCause> causes;
  /// Of the hours with a demand, as kLoadPercents; NaN when there is none.
  std::array<double, kLoadPercents.size()> percentile_W{};
  std::vector<LoadMonth> by_month;  ///< months of the period, in calendar order
  std::vector<LoadHour> peak_day;   ///< 24 hours of the day of the peak; empty without one
  double residual_relative = 0;     ///< worst of heat and water accounts
  double parts_residual_W = 0;      ///< worst step's |sum of the parts - demand|
  /// Asked for the worst of eight headings: each one's highest hour.
  struct Heading {
    double heading_rad = 0, peak_W = 0;
  };
  std::vector<Heading> headings;  ///< empty unless asked for
  double heading_rad = 0;         ///< of this answer
  /// The same in a built-in body, all else as the scenario says.
  struct Body {
    std::string key;
    double floor_area_m2 = 0;
    double peak_W = 0;  ///< highest hour; 0 when no hour has a demand
  };
  std::vector<Body> bodies;  ///< empty unless asked for

  /// The highest hour [W]; 0 when no hour has a demand.
  [[nodiscard]] double peak_W() const { return peak ? peak->at.total_W() : 0.0; }
};

/// Its key: "sun:windscreen".
[[nodiscard]] std::string cause_key(const simulation::Cause& cause);
/// The same for people; ends with the window's name, where it is one.
[[nodiscard]] std::string cause_words(const simulation::Cause& cause);

/// Row of the highest hour of a demand, sensible and latent together; the first of equals.
/// @pre at least one hour
[[nodiscard]] std::size_t highest_hour(const simulation::Demand& demand);
/// That hour [W]; 0 when no hour has a demand.
[[nodiscard]] double highest_W(const simulation::Demand& demand);

/// The answer. @param options  with which the demand was computed
[[nodiscard]] Load load(const simulation::Demand& demand, const simulation::DemandOptions& options,
                        const scenario::Scenario& scenario, const weather::Series& weather);

}  // namespace cabinload::answers
