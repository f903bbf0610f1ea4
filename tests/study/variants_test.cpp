// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/study/variants.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <cabinload/weather/typed_day.hpp>
#include <cmath>

#include "support/catch.hpp"

namespace study = cabinload::study;
namespace scenario = cabinload::scenario;
namespace simulation = cabinload::simulation;
namespace weather = cabinload::weather;
namespace core = cabinload::core;

namespace {

using Overrides = std::vector<scenario::Override>;

std::shared_ptr<const weather::Series> year(const std::string& key) {
  for (const auto& y : weather::shipped_years())
    if (y.key == key)
      return std::make_shared<const weather::Series>(
          weather::read(weather::shipped_folder() + "/" + y.file));
  return nullptr;
}

study::Variant variant(const Overrides& overrides,
                       std::shared_ptr<const weather::Series> series = nullptr) {
  auto s = std::make_shared<const scenario::Scenario>(scenario::read("", overrides));
  if (!series) series = std::make_shared<const weather::Series>(weather::make(*s->weather.day));
  return {"", s, series, "", {}, {}};
}

/// The same without sharing anything.
std::vector<simulation::Trace> alone(const study::Variant& v) {
  const auto forcing = cabinload::forcing::make(*v.weather, v.scenario->site, v.scenario->vehicle);
  const auto cabin = cabinload::network::assemble(v.scenario->vehicle);
  simulation::Options off;
  off.unit_enabled = off.hours = false;
  const study::Case cases[] = {{"on", &cabin, &forcing, v.scenario.get(), {}},
                               {"off", &cabin, &forcing, v.scenario.get(), off}};
  return study::run(cases, 1);
}

void check_same(const study::Outcome& o, const std::vector<simulation::Trace>& t, double within_K) {
  REQUIRE(o.on.nights.size() == t[0].nights.size());
  for (std::size_t i = 0; i < t[0].nights.size(); ++i) {
    CHECK(o.off->nights[i].bed_peak_K == t[1].nights[i].bed_peak_K);
    CHECK(o.off->nights[i].minutes_above == t[1].nights[i].minutes_above);
    if (!study::needs_cooling(o.off->nights[i])) continue;
    CHECK_WITHIN(o.on.nights[i].bed_peak_K, t[0].nights[i].bed_peak_K, within_K);
    CHECK(o.on.nights[i].minutes_above == t[0].nights[i].minutes_above);
  }
}

}  // namespace

TEST_CASE("study: variants share what they can and give what each gives alone",
          "[study][property]") {
  const scenario::Override hot = {"weather.high", "42 degC", "--high"};
  const std::vector<study::Variant> list = {
      variant({hot}),
      variant({hot, {"unit.model", "generic-1500-12v", "--unit"}}),
      variant({hot, {"unit.set_point", "23 degC", "--set"}}),
      variant({hot, {"vehicle.insulation", "good", "--set"}}),
      variant({hot, {"battery.capacity", "5 kWh", "--battery"}}),
      variant({hot, {"vehicle.cover", "thermal-mat", "--cover"}}),
  };
  study::Variants runs(2);
  std::size_t last = 0, of = 0;
  const auto outcomes = runs.run(list, [&](std::size_t done, std::size_t all) {
    last = std::max(last, done);
    of = all;
  });
  // Unit and set point share the run with the unit off (12 V with 24 V too); walls and battery do
  // not, but they share sun and air; a cover takes its own.
  CHECK(runs.counts().unit_off == 4);
  CHECK(runs.counts().forcings == 2);
  CHECK(runs.counts().unit_on == 6);
  CHECK(of == 10);
  CHECK(last >= 9);
  CHECK(outcomes[0].off == outcomes[1].off);
  for (std::size_t i = 0; i < list.size(); ++i) check_same(outcomes[i], alone(list[i]), 0);
  // A later list takes what is there.
  (void)runs.run(std::span(list).first(3));
  CHECK(runs.counts().unit_off == 4);
  CHECK(runs.counts().forcings == 2);
  CHECK(runs.counts().unit_on == 9);
}

TEST_CASE("study: layers beside the entries are a vehicle of their own", "[study][unit]") {
  study::Variant a = variant({{"weather.high", "40 degC", "--high"}}), b = a;
  b.layers = "another roof";
  auto other = *b.scenario;
  for (auto& surface : other.vehicle.surfaces)
    for (auto& layer : surface.layers) layer.k_W_mK *= 0.5;
  b.scenario = std::make_shared<const scenario::Scenario>(other);
  study::Variants runs;
  const study::Variant list[] = {a, b};
  const auto outcomes = runs.run(list);
  CHECK(runs.counts().unit_off == 2);
  CHECK(runs.counts().forcings == 1);
  CHECK(outcomes[0].off->nights[0].bed_peak_K != outcomes[1].off->nights[0].bed_peak_K);
}

TEST_CASE("study: a season alone gives the nights of the whole period", "[study][property]") {
  const auto golden = year("golden");
  const study::Variant v = variant({{"weather.file", "golden", "--weather"},
                                    {"night.from", "05-01", "--from"},
                                    {"night.to", "09-30", "--to"}},
                                   golden);
  study::Variants runs;
  const study::Variant list[] = {v};
  const auto outcomes = runs.run(list);
  const auto whole = alone(v);
  check_same(outcomes[0], whole, 1e-4);
  std::size_t needing = 0;
  double season_Wh = 0, whole_Wh = 0;
  for (std::size_t i = 0; i < whole[0].nights.size(); ++i) {
    if (!study::needs_cooling(whole[1].nights[i])) continue;
    ++needing;
    season_Wh += outcomes[0].on.nights[i].electric_Wh;
    whole_Wh += whole[0].nights[i].electric_Wh;
  }
  CHECK(needing > 5);
  CHECK(needing + 20 < whole[0].nights.size());
  CHECK_RELATIVE(season_Wh, whole_Wh, 1e-5);
  // The unit was not run for the whole period.
  CHECK(outcomes[0].on.steps < whole[0].steps);
}

TEST_CASE("study: where nothing needs cooling the unit is not run", "[study][unit]") {
  const study::Variant list[] = {variant({{"weather.high", "15 degC", "--high"}})};
  study::Variants runs;
  const auto outcomes = runs.run(list);
  CHECK(runs.counts().unit_on == 0);
  CHECK(outcomes[0].on.nights.size() == 1);
  CHECK(outcomes[0].on.nights[0].electric_Wh == 0);
}

TEST_CASE("study: more places than are kept at a time are all answered", "[study][property]") {
  std::vector<study::Variant> list;
  for (int i = 0; i < 11; ++i)
    list.push_back(variant({{"weather.high", std::to_string(30 + i) + " degC", "--high"}}));
  study::Variants runs;
  const auto outcomes = runs.run(list);
  CHECK(runs.counts().forcings == 11);
  for (std::size_t i = 1; i < list.size(); ++i)
    CHECK(outcomes[i].off->nights[0].bed_peak_K > outcomes[i - 1].off->nights[0].bed_peak_K);
}
