// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/study/variants.hpp>
#include <cmath>
#include <mutex>
#include <set>

#include "on_threads.hpp"

namespace cabinload::study {
namespace {

/// Forcings that are kept at the same time: about 15 MB each for a year.
constexpr std::size_t kMostForcings = 8;
/// Before a season that does not start with the period: long enough for walls, bedding and battery
/// to have forgotten how it began to the last digits that matter.
constexpr int kSeasonWarmUp_days = 10;

bool one_of(const std::string& word, std::initializer_list<const char*> list) {
  return std::find(list.begin(), list.end(), word) != list.end();
}

std::string table_of(const std::string& key) {
  return key.substr(0, key.find_first_of(".["));
}

/// What sun and air around the vehicle depend on: place, shape, glass and covers. Layers, cracks
/// and what is inside do not matter.
bool shapes_forcing(const scenario::Entry& e) {
  if (one_of(e.key,
             {"vehicle.insulation", "vehicle.volume", "vehicle.leakage_area",
              "vehicle.air_capacity_factor", "vehicle.moisture_capacity_factor",
              "vehicle.sun_floor", "vehicle.sun_walls", "vehicle.sun_air", "vehicle.sun_lost"}))
    return false;
  return one_of(table_of(e.key),
                {"vehicle", "surface", "window", "parking", "skyline", "weather", "panels"});
}

/// What matters with the unit off: all but the unit, and what of the battery only follows from the
/// unit's volts (the same energy at other volts).
bool matters_unit_off(const scenario::Entry& e) {
  if (one_of(table_of(e.key), {"name", "unit", "measured", "compressor"})) return false;
  return !(e.origin == "default" &&
           one_of(e.key, {"battery.volts", "battery.disconnect", "battery.reconnect"}));
}

template <class Wanted>
std::string identity(const Variant& v, Wanted wanted) {
  std::string text = v.weather->file + '\n' + v.weather->sha256 + '\n';
  for (const scenario::Entry& e : v.scenario->entries)
    if (wanted(e)) text += e.key + '=' + e.value + '\n';
  return text;
}

std::string forcing_key(const Variant& v) {
  return identity(v, shapes_forcing);
}
std::string off_key(const Variant& v) {
  return identity(v, matters_unit_off) + v.layers;
}

/// First and last night, by index in the period, that the unit is run for.
struct Season {
  std::size_t first = 0, last = 0;
  bool none = true, whole = false;
};

Season season_of(const Variant& v, const simulation::Trace& off) {
  Season s;
  const auto wanted = [&](std::size_t i) {
    return needs_cooling(off.nights[i]) || (i < v.also.size() && v.also[i]);
  };
  for (std::size_t i = 0; i < off.nights.size(); ++i) {
    if (!wanted(i)) continue;
    if (s.none) s.first = i;
    s.last = i;
    s.none = false;
  }
  if (s.none) return s;
  // A battery that is only charged by what is simulated remembers every day.
  if (std::isnan(v.scenario->battery_full_at_s)) {
    s.first = 0;
    s.last = off.nights.size() - 1;
  }
  s.whole = s.first == 0 && s.last + 1 == off.nights.size();
  return s;
}

scenario::Scenario in_season(const Variant& v, const Season& s, const simulation::Trace& off) {
  scenario::Scenario narrowed = *v.scenario;
  if (s.whole) return narrowed;
  narrowed.night.from = off.nights[s.first].date;
  narrowed.night.to = off.nights[s.last].date;
  narrowed.start.warm_up_days = std::max(narrowed.start.warm_up_days, kSeasonWarmUp_days);
  return narrowed;
}

/// Sets the nights of a season into those with the unit off.
void fill_in(const Season& s, const simulation::Trace& off, simulation::Trace& on) {
  std::vector<simulation::NightRecord> nights = off.nights;
  std::copy(on.nights.begin(), on.nights.end(),
            nights.begin() + static_cast<std::ptrdiff_t>(s.first));
  on.nights = std::move(nights);
}

}  // namespace

bool needs_cooling(const simulation::NightRecord& unit_off) {
  return unit_off.minutes_above > 0;
}

void Variants::run_batch(std::span<const Variant> variants, std::span<const std::size_t> which,
                         std::vector<Outcome>& out, const std::function<void()>& tick) {
  const auto last = [&](double share_1) {
    if (share_1 >= 0.949) tick();
  };
  std::vector<network::Cabin> cabins(which.size());
  std::vector<const forcing::Forcing*> forcing(which.size());
  std::vector<std::string> off_keys(which.size());
  std::vector<Case> off_cases, on_cases;
  std::vector<std::string> off_wanted;
  for (std::size_t k = 0; k < which.size(); ++k) {
    const Variant& v = variants[which[k]];
    cabins[k] = network::assemble(v.scenario->vehicle);
    forcing[k] = forcings_.at(forcing_key(v)).get();
    off_keys[k] = off_key(v);
    if (off_.contains(off_keys[k]) ||
        std::find(off_wanted.begin(), off_wanted.end(), off_keys[k]) != off_wanted.end())
      continue;
    off_wanted.push_back(off_keys[k]);
    simulation::Options options;
    options.unit_enabled = false;
    options.progress = last;
    off_cases.push_back({v.label, &cabins[k], forcing[k], v.scenario.get(), options});
  }
  std::vector<simulation::Trace> off = study::run(off_cases, threads_);
  counts_.unit_off += off.size();
  for (std::size_t i = 0; i < off.size(); ++i) {
    off[i].hourly = {};
    off_[off_wanted[i]] = std::make_shared<const simulation::Trace>(std::move(off[i]));
  }
  std::vector<scenario::Scenario> narrowed(which.size());
  std::vector<Season> seasons(which.size());
  std::vector<std::size_t> of_case, of_demand;
  std::vector<DemandCase> demand_cases;
  for (std::size_t k = 0; k < which.size(); ++k) {
    const Variant& v = variants[which[k]];
    Outcome& o = out[which[k]];
    o.off = off_.at(off_keys[k]);
    o.on.nights = o.off->nights;
    seasons[k] = season_of(v, *o.off);
    if (v.demand) {
      demand_cases.push_back(
          {v.label, &cabins[k], forcing[k], &v.demand->scenario, v.demand->options});
      of_demand.push_back(which[k]);
    }
    if (v.unit_off_only || seasons[k].none) continue;
    narrowed[k] = in_season(v, seasons[k], *o.off);
    simulation::Options options;
    options.progress = last;
    on_cases.push_back({v.label, &cabins[k], forcing[k], &narrowed[k], options});
    of_case.push_back(k);
  }
  std::vector<simulation::Trace> on = study::run(on_cases, threads_);
  counts_.unit_on += on.size();
  for (std::size_t i = 0; i < on.size(); ++i) {
    Outcome& o = out[which[of_case[i]]];
    fill_in(seasons[of_case[i]], *o.off, on[i]);
    o.on = std::move(on[i]);
  }
  std::vector<simulation::Demand> demand = study::demands(demand_cases, threads_);
  counts_.demands += demand.size();
  for (std::size_t i = 0; i < demand.size(); ++i) out[of_demand[i]].demand = std::move(demand[i]);
}

std::vector<Outcome> Variants::run(
    std::span<const Variant> variants,
    const std::function<void(std::size_t done, std::size_t of)>& progress) {
  std::mutex guard;
  std::size_t done = 0;
  std::set<std::string> off_new;
  for (const Variant& v : variants)
    if (const std::string key = off_key(v); !off_.contains(key)) off_new.insert(key);
  const std::size_t of = variants.size() + off_new.size();
  const auto tick = [&] {
    const std::lock_guard lock(guard);
    if (progress) progress(std::min(++done, of), of);
  };
  std::vector<Outcome> out(variants.size());
  std::vector<std::string> keys;
  std::vector<std::size_t> left(variants.size());
  for (std::size_t i = 0; i < variants.size(); ++i) {
    keys.push_back(forcing_key(variants[i]));
    left[i] = i;
  }
  while (!left.empty()) {
    // As many as share a few forcings, in the order they came.
    std::set<std::string> with;
    std::vector<std::size_t> batch, later, first;
    for (const std::size_t i : left) {
      if (with.contains(keys[i]) || with.size() < kMostForcings) {
        if (with.insert(keys[i]).second && !forcings_.contains(keys[i])) first.push_back(i);
        batch.push_back(i);
      } else {
        later.push_back(i);
      }
    }
    if (forcings_.size() + first.size() > kMostForcings)
      std::erase_if(forcings_, [&](const auto& f) { return !with.contains(f.first); });
    std::vector<std::shared_ptr<const forcing::Forcing>> made(first.size());
    on_threads(first.size(), threads_, [&](std::size_t i) {
      const Variant& v = variants[first[i]];
      made[i] = std::make_shared<const forcing::Forcing>(
          forcing::make(*v.weather, v.scenario->site, v.scenario->vehicle));
    });
    counts_.forcings += made.size();
    for (std::size_t i = 0; i < first.size(); ++i) forcings_[keys[first[i]]] = made[i];
    run_batch(variants, batch, out, tick);
    left = later;
  }
  return out;
}

}  // namespace cabinload::study
