// SPDX-License-Identifier: Apache-2.0
// JSON of the answers that lay many runs side by side: size, compare, what-helps.
#include <cabinload/core/constants.hpp>
#include <cabinload/report/json.hpp>

#include "json_parts.hpp"

namespace cabinload::report {
namespace {

using core::to_celsius;

Json maybe(const std::optional<double>& value) {
  return value ? number(*value) : Json(nullptr);
}
Json texts(const std::vector<scenario::Override>& overrides) {
  Json j = Json::array();
  for (const auto& o : overrides) j.push_back(o.key + "=" + o.value);
  return j;
}

Json size_json(const answers::Size& s) {
  return {
      {"nights_percent", s.nights_percent},
      {"capacity_W", maybe(s.capacity_W)},
      {"battery_Wh", maybe(s.battery_Wh)},
      {"units_that_meet_it", s.units_that_meet},
      {"nights_held", s.capacity_W && s.battery_Wh ? Json(s.held) : Json(nullptr)},
      {"needing_cooling", s.capacity_W && s.battery_Wh ? Json(s.needing_cooling) : Json(nullptr)},
      {"electric_Wh_per_night",
       s.capacity_W && s.battery_Wh ? number(s.electric_Wh) : Json(nullptr)},
      {"share_of_vans", maybe(s.vans_1)},
      {"why_not", s.why_not.empty() ? Json(nullptr) : Json(s.why_not)},
      {"overrides", s.overrides}};
}

Json help_row(const answers::Helps& a, const answers::HelpRow& r) {
  const bool run = r.skipped.empty();
  const auto change = [&](answers::HelpBy by, double sign) {
    return run ? number(sign * answers::effect(a.now, r.then, by)) : Json(nullptr);
  };
  const double effect = answers::effect(a.now, r.then, a.by);
  Json overrides = texts(r.overrides);
  if (r.change.unit_factor_1 != 1)
    overrides.push_back("unit scaled by " + Json(r.change.unit_factor_1).dump());
  if (!r.change.roof_insulation.empty())
    overrides.push_back("roof insulation " + r.change.roof_insulation);
  return {
      {"key", r.key},
      {"words", r.words},
      {"way", r.label},
      {"nights_held", change(answers::HelpBy::nights, 1)},
      {"needing_cooling",
       run ? Json(r.then.needing_cooling - a.now.needing_cooling) : Json(nullptr)},
      {"electric_Wh_per_night", change(answers::HelpBy::energy, -1)},
      {"load_peak_W", change(answers::HelpBy::peak, -1)},
      {"drawn", r.drawn ? Json{{"nights_held", likely_json(r.drawn->nights)},
                               {"electric_Wh_saved_per_night", likely_json(r.drawn->electric_Wh)}}
                        : Json(nullptr)},
      {"minutes_to_limit", nullptr},
      {"skipped", run ? Json(nullptr) : Json(r.skipped)},
      {"cost", maybe(r.cost)},
      {"effect_per_cost", run && r.cost ? number(effect / *r.cost) : Json(nullptr)},
      {"overrides", overrides},
      {"source", r.source}};
}

const char* verdict_key(answers::HelpPair::Verdict v) {
  using Verdict = answers::HelpPair::Verdict;
  return v == Verdict::help           ? "help_each_other"
         : v == Verdict::cancel       ? "cancel"
         : v == Verdict::nothing_left ? "nothing_left"
                                      : "add_up";
}

}  // namespace

std::string json(const answers::Sizes& a, int indent) {
  Json j = header_json(a.header);
  j["limit_degC"] = to_celsius(a.T_limit_K);
  j["nights"] = {{"in_period", a.in_period}, {"needing_cooling", a.needing_cooling}};
  j["now"] = {
      {"capacity_W", a.unit_capacity_W}, {"battery_Wh", a.battery_Wh}, {"nights_held", a.held_now}};
  j["steps"] = {{"capacity_W", answers::kCapacityStep_W}, {"battery_Wh", answers::kBatteryStep_Wh}};
  j["sizes"] = Json::array();
  for (const auto& s : a.sizes) j["sizes"].push_back(size_json(s));
  j["listed_units"] = Json::array();
  for (const auto& u : a.listed) {
    Json by_percent = Json::object();
    for (std::size_t i = 0; i < u.battery_Wh.size(); ++i)
      by_percent[std::to_string(answers::kSizePercents[i])] = maybe(u.battery_Wh[i]);
    j["listed_units"].push_back(
        {{"keys", u.keys}, {"capacity_W", u.capacity_W}, {"battery_Wh", by_percent}});
  }
  j["trade_off"] = Json::array();
  for (const auto& t : a.trade_off)
    j["trade_off"].push_back({{"nights_percent", answers::kSizeMain_percent},
                              {"capacity_W", t.capacity_W},
                              {"battery_Wh", maybe(t.battery_Wh)},
                              {"electric_Wh_per_night", number(t.electric_Wh)}});
  j["too_large"] = Json::array();
  for (const auto& t : a.too_large)
    j["too_large"].push_back({{"capacity_W", t.capacity_W},
                              {"over_needed", t.over_1},
                              {"starts", t.starts},
                              {"electric_Wh_per_night", number(t.electric_Wh)},
                              {"humidity", number(t.humidity_1)},
                              {"humidity_highest", number(t.wettest_1)},
                              {"condensate_L_per_night", number(t.condensate_L)}});
  j["typical_night"] = a.typical_night ? Json(core::iso_text(*a.typical_night)) : Json(nullptr);
  j["runs"] = a.runs;
  j["balance"] = {{"residual_relative", a.residual_relative}};
  return j.dump(indent) + "\n";
}

std::string json(const answers::Comparison& a, int indent) {
  Json j = header_json(a.header);
  j["limit_degC"] = to_celsius(a.T_limit_K);
  j["units"] = a.units;
  j["vehicles"] = a.vehicles;
  j["settings"] = a.settings;
  j["weathers"] = Json::array();
  for (const auto& w : a.weathers)
    j["weathers"].push_back(
        {{"key", w.key}, {"place", w.place}, {"file", w.file}, {"sha256", w.sha256}});
  j["rows"] = Json::array();
  for (const auto& r : a.rows)
    j["rows"].push_back(
        {{"unit", a.units[r.unit]},
         {"weather", a.weathers[r.weather].key},
         {"vehicle", a.vehicles[r.vehicle]},
         {"setting", a.settings[r.setting]},
         {"nights_in_period", r.in_period},
         {"needing_cooling", r.needing_cooling},
         {"nights_held", r.held},
         {"electric_Wh_per_night", number(r.electric_Wh)},
         {"minutes_to_limit", nullptr},
         {"why", r.most_often == answers::Why::none ? Json(nullptr)
                                                    : Json(answers::why_key(r.most_often))}});
  j["runs"] = {
      {"unit_on", a.unit_on_runs}, {"unit_off", a.unit_off_runs}, {"forcings", a.forcings}};
  j["balance"] = {{"residual_relative", a.residual_relative}};
  return j.dump(indent) + "\n";
}

std::string json(const answers::Helps& a, int indent) {
  Json j = header_json(a.header);
  j["limit_degC"] = to_celsius(a.T_limit_K);
  j["by"] = answers::help_key(a.by);
  j["now"] = {
      {"nights_in_period", a.in_period},     {"needing_cooling", a.now.needing_cooling},
      {"nights_lost", a.now.lost},           {"electric_Wh_per_night", number(a.now.electric_Wh)},
      {"load_peak_W", number(a.now.peak_W)}, {"minutes_to_limit", nullptr}};
  j["peak_date"] = a.peak_date ? Json(core::iso_text(*a.peak_date)) : Json(nullptr);
  j["samples"] = a.samples;
  j["rows"] = Json::array();
  for (const auto& r : a.rows) j["rows"].push_back(help_row(a, r));
  j["pairs"] = Json::array();
  for (const auto& p : a.pairs)
    j["pairs"].push_back({{"a", p.a},
                          {"b", p.b},
                          {"effect_a", p.alone_a},
                          {"effect_b", p.alone_b},
                          {"effect_both", p.both},
                          {"verdict", verdict_key(p.verdict)}});
  j["balance"] = {{"residual_relative", a.residual_relative}};
  return j.dump(indent) + "\n";
}

}  // namespace cabinload::report
