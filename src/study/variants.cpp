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
  return !unit_off.cool();
}

/// Variants that are run together, and what each of them needs for it.
struct Variants::Batch {
  std::span<const Variant> variants;
  std::vector<std::size_t> which;  // of the variants
  std::vector<network::Cabin> cabins;
  std::vector<const forcing::Forcing*> forcing;
  std::vector<std::string> off_keys;
  std::function<void(double share_1)> progress;

  [[nodiscard]] const Variant& at(std::size_t k) const { return variants[which[k]]; }
};

void Variants::run_off(const Batch& b) {
  std::vector<Case> cases;
  std::vector<std::string> keys;
  for (std::size_t k = 0; k < b.which.size(); ++k) {
    if (off_.contains(b.off_keys[k]) ||
        std::find(keys.begin(), keys.end(), b.off_keys[k]) != keys.end())
      continue;
    keys.push_back(b.off_keys[k]);
    simulation::Options options;
    options.unit_enabled = options.hours = false;
    options.progress = b.progress;
    cases.push_back({b.at(k).label, &b.cabins[k], b.forcing[k], b.at(k).scenario.get(), options});
  }
  std::vector<simulation::Trace> traces = study::run(cases, threads_);
  counts_.unit_off += traces.size();
  for (std::size_t i = 0; i < traces.size(); ++i)
    off_[keys[i]] = std::make_shared<const simulation::Trace>(std::move(traces[i]));
}

void Variants::run_on(const Batch& b, std::vector<Outcome>& out) {
  std::vector<Case> cases;
  std::vector<scenario::Scenario> narrowed(b.which.size());
  std::vector<Season> seasons(b.which.size());
  std::vector<std::size_t> of_case;
  for (std::size_t k = 0; k < b.which.size(); ++k) {
    Outcome& o = out[b.which[k]];
    o.off = off_.at(b.off_keys[k]);
    o.on.nights = o.off->nights;
    seasons[k] = season_of(b.at(k), *o.off);
    if (seasons[k].none) continue;
    narrowed[k] = in_season(b.at(k), seasons[k], *o.off);
    simulation::Options options;
    options.hours = b.at(k).hours;
    options.progress = b.progress;
    cases.push_back({b.at(k).label, &b.cabins[k], b.forcing[k], &narrowed[k], options});
    of_case.push_back(k);
  }
  std::vector<simulation::Trace> traces = study::run(cases, threads_);
  counts_.unit_on += traces.size();
  for (std::size_t i = 0; i < traces.size(); ++i) {
    Outcome& o = out[b.which[of_case[i]]];
    fill_in(seasons[of_case[i]], *o.off, traces[i]);
    o.on = std::move(traces[i]);
  }
}

void Variants::run_demands(const Batch& b, std::vector<Outcome>& out) {
  std::vector<DemandCase> cases;
  std::vector<std::size_t> of_case;
  for (std::size_t k = 0; k < b.which.size(); ++k) {
    const std::optional<VariantDemand>& d = b.at(k).demand;
    if (!d) continue;
    cases.push_back({b.at(k).label, &b.cabins[k], b.forcing[k], &d->scenario, d->options});
    of_case.push_back(b.which[k]);
  }
  std::vector<simulation::Demand> demands = study::demands(cases, threads_);
  counts_.demands += demands.size();
  for (std::size_t i = 0; i < demands.size(); ++i) out[of_case[i]].demand = std::move(demands[i]);
}

/// The next variants that share a few forcings, taken from `left` in their order; makes what
/// forcings they lack and lets go of those that they do not need when there are too many.
std::vector<std::size_t> Variants::take(std::span<const Variant> variants,
                                        const std::vector<std::string>& keys,
                                        std::vector<std::size_t>& left) {
  std::set<std::string> with;
  std::vector<std::size_t> batch, later, first;
  for (const std::size_t i : left) {
    if (!with.contains(keys[i]) && with.size() >= kMostForcings) {
      later.push_back(i);
      continue;
    }
    if (with.insert(keys[i]).second && !forcings_.contains(keys[i])) first.push_back(i);
    batch.push_back(i);
  }
  left = later;
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
  return batch;
}

std::vector<Outcome> Variants::run(
    std::span<const Variant> variants,
    const std::function<void(std::size_t done, std::size_t of)>& progress) {
  std::vector<std::string> keys, off_keys;
  std::vector<std::size_t> left;
  std::set<std::string> off_new;
  for (const Variant& v : variants) {
    left.push_back(keys.size());
    keys.push_back(forcing_key(v));
    off_keys.push_back(off_key(v));
    if (!off_.contains(off_keys.back())) off_new.insert(off_keys.back());
  }
  std::mutex guard;
  std::size_t done = 0;
  const std::size_t of = variants.size() + off_new.size();
  const auto tick = [&](double share_1) {
    if (share_1 < 0.949) return;  // a run tells of itself at 5, 10 .. 95 %
    const std::lock_guard lock(guard);
    if (progress) progress(std::min(++done, of), of);
  };
  std::vector<Outcome> out(variants.size());
  while (!left.empty()) {
    Batch batch{variants, take(variants, keys, left), {}, {}, {}, tick};
    for (const std::size_t i : batch.which) {
      batch.cabins.push_back(network::assemble(variants[i].scenario->vehicle));
      batch.forcing.push_back(forcings_.at(keys[i]).get());
      batch.off_keys.push_back(off_keys[i]);
    }
    run_off(batch);
    run_on(batch, out);
    run_demands(batch, out);
  }
  return out;
}

}  // namespace cabinload::study
