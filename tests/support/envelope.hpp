// SPDX-License-Identifier: Apache-2.0
// Figures of a published test box over a year, named as in the tables of tests/data/envelope.
#pragma once
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cmath>
#include <cstdio>
#include <map>
#include <numeric>

#include "support/box_run.hpp"

namespace cabinload::test {

inline constexpr std::size_t kYear_h = 8760;

inline std::string box_path(const std::string& id) {
  return std::string(CABINLOAD_SOURCE_DIR) + "/tests/data/envelope/" + id + ".toml";
}

/// annual_heating MWh, peak_cooling kW, max_temperature degC, monthly_heating_07 kWh ...
inline std::map<std::string, double> box_figures(const BoxRun& box) {
  const simulation::Hourly& h = box.trace.hourly;
  std::map<std::string, double> f;
  if (!box.scenario.ideal.heat_to_K) {
    const auto first = h.T_air_mean_K.begin(), last = first + kYear_h;
    f["max_temperature"] = core::to_celsius(*std::max_element(first, last));
    f["min_temperature"] = core::to_celsius(*std::min_element(first, last));
    f["mean_temperature"] = core::to_celsius(std::accumulate(first, last, 0.0) / kYear_h);
    return f;
  }
  for (std::size_t k = 0; k < kYear_h; ++k) {
    const double heat_kW = h.ideal_heating_W[k] / 1000, cool_kW = h.ideal_cooling_W[k] / 1000;
    f["annual_heating"] += heat_kW / 1000;
    f["annual_cooling"] += cool_kW / 1000;
    f["peak_heating"] = std::max(f["peak_heating"], heat_kW);
    f["peak_cooling"] = std::max(f["peak_cooling"], cool_kW);
    char month[32];
    const int number = core::date_of(static_cast<int>(k / 24)).month;
    std::snprintf(month, sizeof month, "monthly_heating_%02d", number);
    f[month] += heat_kW;
    std::snprintf(month, sizeof month, "monthly_cooling_%02d", number);
    f[month] += cool_kW;
  }
  return f;
}

/// Mean over an hour of a slot series.
inline double hour_mean(const std::vector<double>& slots, std::size_t hour) {
  const auto first = slots.begin() + static_cast<long>(hour * forcing::kSlotsPerHour);
  return std::accumulate(first, first + forcing::kSlotsPerHour, 0.0) / forcing::kSlotsPerHour;
}

inline const std::vector<double>& incident(const BoxRun& box, std::string face) {
  if (face == "horizontal") face = "roof";
  for (std::size_t i = 0; i < box.forcing.surfaces.size(); ++i)
    if (box.scenario.vehicle.surfaces[i].name == face) return box.forcing.surfaces[i].incident_W_m2;
  throw std::runtime_error("no face " + face);
}

/// Sun through the windows that face a side, mean over their area, in an hour [W/m2].
inline double transmitted(const BoxRun& box, const std::string& side, std::size_t hour) {
  double sum = 0;
  int n = 0;
  for (std::size_t i = 0; i < box.forcing.windows.size(); ++i) {
    if (box.scenario.vehicle.windows[i].name.rfind(side, 0) != 0) continue;
    sum += hour_mean(box.forcing.windows[i].transmitted_W_m2, hour);
    ++n;
  }
  return sum / n;
}

/// A figure of day_profiles.csv in the hour that ends at `hour_ending` of a day of the year.
inline double profile_figure(const BoxRun& box, const std::string& quantity, int day,
                             int hour_ending) {
  const auto k = static_cast<std::size_t>(24 * day + hour_ending - 1);
  const simulation::Hourly& h = box.trace.hourly;
  if (quantity == "zone_temperature") return core::to_celsius(h.T_air_mean_K[k]);
  if (quantity == "load_heating_plus_cooling_minus")
    return (h.ideal_heating_W[k] - h.ideal_cooling_W[k]) / 1000;
  if (quantity == "sky_temperature")
    return core::to_celsius(
        0.5 * (box.forcing.T_sky_K[k] + box.forcing.T_sky_K[(k + 1) % box.forcing.T_sky_K.size()]));
  if (quantity == "transmitted_south_window") return transmitted(box, "south", k);
  return hour_mean(incident(box, quantity.substr(quantity.find('_') + 1)), k);
}

}  // namespace cabinload::test
