// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/pets.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>
#include <limits>
#include <set>
#include <utility>

#include "shared.hpp"

namespace cabinload::answers {
namespace {

using simulation::Failure;
using simulation::Failures;
using simulation::kNever_min;

struct Named {
  const char *key, *words;
};
constexpr Named kNamed[simulation::kFailures] = {
    {"unit_fault", "the unit fails"},
    {"battery_empty", "the battery is empty"},
    {"supply_lost", "the supply is lost"},
    {"cut_out", "the unit cuts out, fan on"},
    {"shade_lost", "shade and covers are lost"},
};

PetsFigures figures(const std::vector<double>& minutes) {
  PetsFigures f;
  f.min_min = quantile(minutes, 0);
  f.p05_min = quantile(minutes, 0.05);
  f.median_min = quantile(minutes, 0.5);
  for (std::size_t b = 0; b < kPetsBars_min.size(); ++b) {
    const auto under = std::count_if(minutes.begin(), minutes.end(),
                                     [&](double m) { return m < kPetsBars_min[b]; });
    f.share_under_1[b] = static_cast<double>(under) / static_cast<double>(minutes.size());
  }
  return f;
}

/// @param longest_min  what counts for a limit that is not passed any more
/// @param left  `with` are minutes left, not minutes to the limit
PetsHelp help(const std::vector<double>& without, const std::vector<double>& with,
              double longest_min, bool left = false) {
  PetsHelp h;
  std::vector<double> won, all(without.size(), kNever_min);
  for (std::size_t i = 0; i < without.size(); ++i) {
    if (without[i] == kNever_min) continue;
    all[i] = with[i];
    const double gain_min = std::min(with[i], longest_min) - (left ? 0 : without[i]);
    won.push_back(gain_min);
    h.hours_spared += with[i] == kNever_min ? 1 : 0;
    h.hours_shorter += gain_min < -0.5 ? 1 : 0;
  }
  h.hours_passed = static_cast<int>(won.size());
  h.with = figures(all);
  h.won_median_min = quantile(won, 0.5);
  h.won_least_min = quantile(won, 0);
  return h;
}

/// Minutes left after the alarm.
std::vector<double> left_after(const Failures& f) {
  const auto& fault = f.minutes[0];
  std::vector<double> left(fault.size(), kNever_min);
  for (std::size_t i = 0; i < fault.size(); ++i)
    if (fault[i] != kNever_min) left[i] = fault[i] - std::min(f.alarm_min[i], fault[i]);
  return left;
}

struct When {
  core::Date date;
  int hour = 0;
};
When when(const Failures& f, const weather::Series& weather, std::size_t row) {
  const double s = f.start_s + static_cast<double>(row) * core::kSecondsInHour;
  const int day = static_cast<int>(std::floor(s / core::kSecondsInDay));
  return {core::date_of(weather.first_day + day),
          static_cast<int>(std::lround(s / core::kSecondsInHour)) - 24 * day};
}

void find_shortest(Pets& a, const Failures& f, const weather::Series& weather) {
  std::vector<double> all(f.T_air_K.size(), kNever_min);
  for (auto& month : a.map) month.fill(std::numeric_limits<double>::quiet_NaN());
  double least = kNever_min;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const When w = when(f, weather, i);
    for (std::size_t k = 0; k < f.minutes.size(); ++k) {
      all[i] = std::min(all[i], f.minutes[k][i]);
      if (f.minutes[k][i] >= least) continue;
      least = f.minutes[k][i];
      a.shortest = Pets::Shortest{w.date, w.hour, static_cast<Failure>(k), f.T_out_K[i]};
    }
    double& cell =
        a.map[static_cast<std::size_t>(w.date.month - 1)][static_cast<std::size_t>(w.hour)];
    cell = std::isnan(cell) ? all[i] : std::min(cell, all[i]);
  }
  a.all = figures(all);
  for (std::size_t k = 0; k < f.minutes.size(); ++k) a.by_failure[k] = figures(f.minutes[k]);
}

/// What the minutes rest on, before the common list.
void state_assumptions(Pets& a, const scenario::Scenario& s) {
  auto& list = a.header.assumptions;
  const auto replaced = [](const Assumption& x) {
    return x.key == "unit.on" || x.key == "battery.full_at";
  };
  list.erase(std::remove_if(list.begin(), list.end(), replaced), list.end());
  std::string sides;
  for (const ShorteningSide& side : shortening_sides())
    sides += std::string(sides.empty() ? "" : "; ") + side.words;
  std::vector<Assumption> own = {
      {"pet", fmt::format("Limit of the {}: {}. Humidity lowers it: {}; heat index 90 °F at most "
                          "(7 Pa. Code 28a.4){}.",
                          a.limit.animal, a.limit.source,
                          "90 % at 85 °F, 4 % less a degree (DOT/FAA/AM-87/8)",
                          a.limit.lowered_K > 0
                              ? fmt::format(", both lowered with it by {:.1f} K (engineering "
                                            "judgement)",
                                            a.limit.lowered_K)
                              : "")},
      {"unit.set_point",
       fmt::format("Before a failure the unit holds {} at all hours, on a battery taken as full; "
                   "animals are in the cabin at all hours.",
                   degrees_both(s.unit_settings.T_set_K))},
      {"failure",
       "Supply lost: nothing charges any more, the full battery carries unit and loads "
       "until it is empty. Battery empty: nothing electric runs."},
      {"sides",
       "Taken on the side that shortens the minutes (engineering judgement): " + sides + "."},
  };
  list.insert(list.begin(), own.begin(), own.end());
}

}  // namespace

/// Signal words after [Z535]: DANGER what will kill or maim if not avoided, WARNING what may,
/// CAUTION what may hurt.
std::vector<Caution> animal_cautions() {
  std::vector<Caution> list = {
      {"never_alone", "DANGER",
       "A parked vehicle is never a place to leave an animal unattended, nor a child, nor an adult "
       "who depends on others: not with the cooling on, not for a few minutes. When the cooling "
       "stops they die of heat."},
      {"local_law", "WARNING",
       "In many places leaving an animal, a child or a dependent adult in a vehicle is an offence, "
       "and rescuers may break the glass. The local law counts, not this calculation."},
      {"lines_of_law", "WARNING",
       "The limits are lines of law and of survival, not of comfort: heat stroke begins below "
       "them in animals that are excited, ill, short-nosed, old, young or overweight. Ask a "
       "veterinarian. An animal that pants hard, drools or staggers needs cooling and help at "
       "once."},
      {"alarms_fail", "WARNING",
       "Alarms need a network, a charged battery and someone near enough; fans and vents bring in "
       "outdoor air, which can be hotter than the cabin. None of them replaces a person beside "
       "the animal, the child or the dependent adult."},
      {"vent_openings", "CAUTION",
       "Openings that are to work when the power is gone have to open without it; check them on "
       "the vehicle."},
  };
  for (Caution& c : standing_cautions()) list.push_back(std::move(c));
  return list;
}

const char* failure_key(Failure failure) {
  return kNamed[static_cast<std::size_t>(failure)].key;
}
const char* failure_words(Failure failure) {
  return kNamed[static_cast<std::size_t>(failure)].words;
}

Failures joined(std::span<const Failures> runs) {
  Failures all = runs.front();
  const auto append = [](std::vector<double>& to, const std::vector<double>& from) {
    to.insert(to.end(), from.begin(), from.end());
  };
  for (const Failures& f : runs.subspan(1)) {
    append(all.T_air_K, f.T_air_K);
    append(all.T_out_K, f.T_out_K);
    for (std::size_t k = 0; k < f.minutes.size(); ++k) append(all.minutes[k], f.minutes[k]);
    append(all.alarm_min, f.alarm_min);
    append(all.second_fan_min, f.second_fan_min);
    append(all.opening_min, f.opening_min);
    if (f.peak_K > all.peak_K) {
      all.peak_K = f.peak_K;
      all.peak_at_s = f.peak_at_s;
    }
    all.worst_excess_K = std::max(all.worst_excess_K, f.worst_excess_K);
    all.above_general_s = std::max(all.above_general_s, f.above_general_s);
    all.least_K = std::min(all.least_K, f.least_K);
    all.cold_s = std::max(all.cold_s, f.cold_s);
    all.heat_residual_relative = std::max(all.heat_residual_relative, f.heat_residual_relative);
    all.moisture_residual_relative =
        std::max(all.moisture_residual_relative, f.moisture_residual_relative);
    all.branches += f.branches;
    all.branch_steps += f.branch_steps;
  }
  return all;
}

std::vector<simulation::Nights> worst_days(const Failures& f) {
  struct Day {
    int day = 0;
    double soonest_min = kNever_min, T_air_K = 0, T_out_K = 0;
  };
  std::vector<Day> days;
  for (std::size_t row = 0; row < f.T_air_K.size(); ++row) {
    const int day = static_cast<int>(std::floor(
        (f.start_s + static_cast<double>(row) * core::kSecondsInHour) / core::kSecondsInDay));
    if (days.empty() || days.back().day != day) days.push_back({day});
    Day& d = days.back();
    for (const std::vector<double>& minutes : f.minutes)
      d.soonest_min = std::min(d.soonest_min, minutes[row]);
    d.T_air_K = std::max(d.T_air_K, f.T_air_K[row]);
    d.T_out_K = std::max(d.T_out_K, f.T_out_K[row]);
  }
  std::set<int> worst;
  const auto take = [&](auto worse) {
    std::stable_sort(days.begin(), days.end(), worse);
    for (std::size_t i = 0, taken = 0; i < days.size() && taken < kWorstDays; ++i) {
      const int day = days[i].day;
      const auto near = worst.lower_bound(day - kPeakDays / 2);
      if (near != worst.end() && *near <= day + kPeakDays / 2) continue;
      worst.insert(day);
      ++taken;
    }
  };
  take([](const Day& a, const Day& b) {
    return std::pair(a.soonest_min, -a.T_air_K) < std::pair(b.soonest_min, -b.T_air_K);
  });
  take([](const Day& a, const Day& b) {
    return std::pair(a.T_air_K, a.T_out_K) > std::pair(b.T_air_K, b.T_out_K);
  });
  const auto [first, last] = std::minmax_element(
      days.begin(), days.end(), [](const Day& a, const Day& b) { return a.day < b.day; });
  std::vector<simulation::Nights> stretches;
  for (const int day : worst) {
    const simulation::Nights about = days_about(day);
    const int from = std::max(about.first, first->day),
              to = std::min(about.first + about.count - 1, last->day);
    if (!stretches.empty() && from <= stretches.back().first + stretches.back().count)
      stretches.back().count = to - stretches.back().first + 1;
    else
      stretches.push_back({from, to - from + 1});
  }
  return stretches;
}

Pets pets(std::span<const Failures> runs, const scenario::Scenario& s,
          const weather::Series& weather) {
  const Failures f = joined(runs);
  Pets a;
  a.header = header_of("pets", s, weather);
  a.header.cautions = animal_cautions();
  a.header.from = when(f, weather, 0).date;
  a.header.to = when(f, weather, f.T_air_K.size() - 1).date;
  a.limit = occupants::limit_of(s.pets);
  a.T_set_K = s.unit_settings.T_set_K;
  a.hours = static_cast<int>(f.T_air_K.size());
  a.cabin_peak_K = f.peak_K;
  a.margin_K = -f.worst_excess_K;
  a.peak_date = date_at(f.peak_at_s, weather.first_day);
  a.peak_second_of_day = core::second_of_day(f.peak_at_s);
  a.above_general_h = f.above_general_s / core::kSecondsInHour;
  a.least_K = f.least_K;
  a.cold_h = f.cold_s / core::kSecondsInHour;
  find_shortest(a, f, weather);
  const simulation::Helps helps = pets_helps(s, a.limit);
  a.T_alarm_K = helps.T_alarm_K;
  a.fan_m3_s = helps.fan_m3_s;
  a.opening_m2 = helps.opening_m2;
  a.alarm = help(f.minutes[0], left_after(f), a.longest_min, true);
  a.second_fan = help(f.minutes[0], f.second_fan_min, a.longest_min);
  a.opening = help(f.minutes[0], f.opening_min, a.longest_min);
  a.residual_relative = std::max(f.heat_residual_relative, f.moisture_residual_relative);
  a.heading_rad = s.vehicle.heading_rad;
  if (f.cold_s > a.limit.longest_cold_s)
    a.header.warnings.push_back(
        fmt::format("cold: the cabin falls to {:.1f} degC, for {:.0f} h in a row below {:.1f} degC "
                    "({}); nothing heats it here",
                    core::to_celsius(a.least_K), a.cold_h, core::to_celsius(a.limit.T_least_K),
                    a.limit.cold_source));
  state_assumptions(a, s);
  return a;
}

}  // namespace cabinload::answers
