// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/load.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>
#include <numeric>

#include "shared.hpp"

namespace cabinload::answers {
namespace {

using simulation::Cause;
using simulation::CauseKind;
using simulation::Demand;

constexpr std::size_t kDay_h = 24;

struct Named {
  CauseKind kind;
  const char *key, *words;
};
constexpr Named kNamed[] = {
    {CauseKind::roof, "roof", "roof"},
    {CauseKind::walls, "walls", "walls"},
    {CauseKind::floor, "floor", "floor"},
    {CauseKind::partitions, "partitions", "partitions"},
    {CauseKind::window, "window:", ""},
    {CauseKind::window_sun, "sun:", "sun, "},
    {CauseKind::air_exchange, "air_exchange", "air exchange"},
    {CauseKind::people, "people", "people"},
    {CauseKind::pets, "pets", "pets"},
    {CauseKind::appliances, "appliances", "appliances"},
    {CauseKind::condensation, "condensation", "water on cold faces"},
    {CauseKind::stored, "stored", "stored before"},
};

const Named& named(CauseKind kind) {
  return *std::find_if(std::begin(kNamed), std::end(kNamed),
                       [kind](const Named& n) { return n.kind == kind; });
}

double sum_kWh(const std::vector<double>& hours_W) {
  return std::accumulate(hours_W.begin(), hours_W.end(), 0.0) / 1000.0;
}

LoadHour hour_of(const Demand& d, std::size_t h) {
  return {d.T_out_mean_K[h], d.T_air_mean_K[h], d.sensible_W[h], d.latent_W[h]};
}

int day_of(const Demand& d, const weather::Series& weather, std::size_t h) {
  return weather.first_day +
         static_cast<int>(std::floor((d.start_s + static_cast<double>(h) * core::kSecondsInHour) /
                                     core::kSecondsInDay));
}

/// The highest hour of a demand, if any hour has one.
void find_peak(Load& a, const Demand& d, const weather::Series& weather) {
  const std::size_t hours = d.sensible_W.size();
  const std::size_t highest = highest_hour(d);
  std::vector<double> with_demand_W;
  for (std::size_t h = 0; h < hours; ++h) {
    const double W = hour_of(d, h).total_W();
    if (W < kLeastDemand_W) continue;
    with_demand_W.push_back(W);
    if (d.T_out_mean_K[h] >= a.T_set_K) continue;
    ++a.hours_cooler_outdoors;
    a.cooler_outdoors_kWh += W / 1000.0;
  }
  a.hours_in_period = static_cast<int>(hours);
  a.hours_with_demand = static_cast<int>(with_demand_W.size());
  for (std::size_t i = 0; i < kLoadPercents.size(); ++i)
    a.percentile_W[i] = quantile(with_demand_W, kLoadPercents[i] / 100.0);
  if (with_demand_W.empty()) return;
  a.peak = Load::Peak{core::date_of(day_of(d, weather, highest)),
                      static_cast<int>(highest % kDay_h), hour_of(d, highest)};
  const std::size_t midnight = highest - highest % kDay_h;
  for (std::size_t h = midnight; h < std::min(midnight + kDay_h, hours); ++h)
    a.peak_day.push_back(hour_of(d, h));
  for (std::size_t c = 0; c < a.causes.size(); ++c) {
    a.causes[c].peak_sensible_W = d.sensible_by_cause_W[c][highest];
    a.causes[c].peak_latent_W = d.latent_by_cause_W[c][highest];
  }
}

void sum_months(Load& a, const Demand& d, const weather::Series& weather) {
  std::array<LoadMonth, 12> months;
  std::array<bool, 12> there{};
  for (LoadMonth& m : months) m.by_cause_kWh.assign(d.causes.size(), 0.0);
  for (std::size_t h = 0; h < d.sensible_W.size(); ++h) {
    const auto i = static_cast<std::size_t>(core::date_of(day_of(d, weather, h)).month - 1);
    LoadMonth& m = months[i];
    const LoadHour hour = hour_of(d, h);
    there[i] = true;
    m.month = static_cast<int>(i) + 1;
    m.hours_with_demand += hour.total_W() >= kLeastDemand_W ? 1 : 0;
    m.peak_W = std::max(m.peak_W, hour.total_W());
    m.sensible_kWh += hour.sensible_W / 1000.0;
    m.latent_kWh += hour.latent_W / 1000.0;
    for (std::size_t c = 0; c < d.causes.size(); ++c)
      m.by_cause_kWh[c] += (d.sensible_by_cause_W[c][h] + d.latent_by_cause_W[c][h]) / 1000.0;
  }
  for (std::size_t i = 0; i < months.size(); ++i)
    if (there[i]) a.by_month.push_back(months[i]);
}

/// What the demand rests on: the common list without unit and battery, and its own.
void state_assumptions(Load& a, const simulation::DemandOptions& options) {
  auto& list = a.header.assumptions;
  const auto of_the_unit = [](const Assumption& x) {
    return x.key == "unit.model" || x.key == "unit.on" || x.key == "battery.full_at";
  };
  list.erase(std::remove_if(list.begin(), list.end(), of_the_unit), list.end());
  list.push_back(
      {"unit.set_point",
       fmt::format("Held {} at {}{}, not wetter than {:.0f} % there, by a cooling "
                   "of any capacity{}.",
                   a.held_always ? "day and night" : a.hours_text, degrees_both(a.T_set_K),
                   options.T_set_K.constant() ? "" : " and above, by the clock", 100 * a.humidity_1,
                   options.stirring_m3_s > 0
                       ? fmt::format(", whose fan moves {:.0f} m³/h",
                                     options.stirring_m3_s * core::kSecondsInHour)
                       : "")});
  list.push_back(
      {"method",
       "Parts: every step's linear system, its films frozen, solved once for each cause with "
       "the air kept at the set point; they add up without a remainder."});
}

}  // namespace

std::string cause_key(const Cause& cause) {
  return named(cause.kind).key + cause.window;
}
std::string cause_words(const Cause& cause) {
  return named(cause.kind).words + cause.window;
}

std::size_t highest_hour(const Demand& d) {
  std::size_t highest = 0;
  for (std::size_t h = 0; h < d.sensible_W.size(); ++h)
    if (hour_of(d, h).total_W() > hour_of(d, highest).total_W()) highest = h;
  return highest;
}

double highest_W(const Demand& d) {
  const double W = d.sensible_W.empty() ? 0.0 : hour_of(d, highest_hour(d)).total_W();
  return std::max(W, 0.0);
}

Load load(const Demand& d, const simulation::DemandOptions& options,
          const scenario::Scenario& scenario, const weather::Series& weather) {
  Load a;
  a.header = header_of("load", scenario, weather);
  a.header.scenario_line = scenario.vehicle.body == "own"
                               ? scenario.name
                               : fmt::format("{}, {} insulation, {}", scenario.vehicle.body,
                                             scenario.vehicle.insulation, scenario.vehicle.paint);
  a.header.from = core::date_of(day_of(d, weather, 0));
  a.header.to = core::date_of(day_of(d, weather, d.sensible_W.size() - 1));
  a.T_set_K = d.T_set_K;
  a.humidity_1 = options.humidity_1;
  a.hours_text = options.hours.text();
  a.held_always = options.hours.hours() >= 24;
  a.floor_area_m2 = scenario.vehicle.floor_area_m2;
  a.heading_rad = scenario.vehicle.heading_rad;
  a.sensible_kWh = sum_kWh(d.sensible_W);
  a.latent_kWh = sum_kWh(d.latent_W);
  for (std::size_t c = 0; c < d.causes.size(); ++c)
    a.causes.push_back({cause_key(d.causes[c]), cause_words(d.causes[c]), 0, 0,
                        sum_kWh(d.sensible_by_cause_W[c]), sum_kWh(d.latent_by_cause_W[c])});
  find_peak(a, d, weather);
  sum_months(a, d, weather);
  a.residual_relative = std::max(d.heat_residual_relative, d.moisture_residual_relative);
  a.parts_residual_W = d.parts_residual_W;
  state_assumptions(a, options);
  return a;
}

}  // namespace cabinload::answers
