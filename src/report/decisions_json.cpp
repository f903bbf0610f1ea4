// SPDX-License-Identifier: Apache-2.0
// JSON of the answers that lay many runs side by side: size, compare, what-helps.
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/json.hpp>
#include <cmath>
#include <iterator>

#include "json_parts.hpp"

namespace cabinload::report {
namespace {

using core::to_celsius;
using core::to_kelvin;

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
  if (const std::string parts = answers::insulation_text(r.change); !parts.empty())
    overrides.push_back("insulation of " + parts);
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
      {"minutes_to_limit", change(answers::HelpBy::minutes, 1)},
      {"skipped", run ? Json(nullptr) : Json(r.skipped)},
      {"cost", maybe(r.cost)},
      {"effect_per_cost", run && r.cost ? number(effect / *r.cost) : Json(nullptr)},
      {"overrides", overrides},
      {"source", r.source}};
}

Json rule_json(const answers::MinutesRule& rule) {
  return {{"animal", rule.animal},
          {"limit_degC", number(to_celsius(rule.T_limit_K))},
          {"limit_source", rule.source},
          {"longest_min", rule.longest_min},
          {"days_around_the_hottest", answers::kPeakDays}};
}

using Verdict = answers::HelpPair::Verdict;
constexpr std::pair<Verdict, const char*> kVerdicts[] = {{Verdict::add_up, "add_up"},
                                                         {Verdict::help, "help_each_other"},
                                                         {Verdict::cancel, "cancel"},
                                                         {Verdict::nothing_left, "nothing_left"}};
const char* verdict_key(Verdict v) {
  return std::find_if(std::begin(kVerdicts), std::end(kVerdicts),
                      [&](const auto& row) { return row.first == v; })
      ->second;
}
Verdict verdict_of(const std::string& key) {
  const auto* row = std::find_if(std::begin(kVerdicts), std::end(kVerdicts),
                                 [&](const auto& x) { return x.second == key; });
  return row == std::end(kVerdicts) ? Verdict::add_up : row->first;
}

// Back from JSON.
std::optional<core::Date> date_of(const Json& j) {
  return j.is_null() ? std::nullopt
                     : std::optional<core::Date>(core::parse_date(j.get<std::string>()));
}
answers::MinutesRule rule_of(const Json& j) {
  return {j.at("animal"), j.at("limit_source"), to_kelvin(j.at("limit_degC")), j.at("longest_min")};
}
answers::Size size_of(const Json& j) {
  answers::Size s;
  s.nights_percent = j.at("nights_percent");
  s.capacity_W = maybe_of<double>(j.at("capacity_W"));
  s.battery_Wh = maybe_of<double>(j.at("battery_Wh"));
  s.units_that_meet = j.at("units_that_meet_it");
  s.overrides = j.at("overrides");
  if (!j.at("why_not").is_null()) s.why_not = j.at("why_not");
  s.vans_1 = maybe_of<double>(j.value("share_of_vans", Json(nullptr)));
  if (!s.capacity_W || !s.battery_Wh) return s;
  s.held = j.at("nights_held");
  s.needing_cooling = j.at("needing_cooling");
  s.electric_Wh = number_of(j.at("electric_Wh_per_night"));
  return s;
}
/// Its figures from the changes; what only a run needs stays behind.
answers::HelpRow help_row_of(const answers::HelpFigures& now, const Json& j) {
  answers::HelpRow r;
  r.key = j.at("key");
  r.words = j.at("words");
  r.source = j.at("source");
  r.label = j.at("way");
  r.cost = maybe_of<double>(j.at("cost"));
  if (!j.at("skipped").is_null()) {
    r.skipped = j.at("skipped");
    return r;
  }
  r.then.needing_cooling = now.needing_cooling + j.at("needing_cooling").get<int>();
  r.then.lost = now.lost - static_cast<int>(std::lround(j.at("nights_held").get<double>()));
  r.then.electric_Wh = now.electric_Wh + number_of(j.at("electric_Wh_per_night"));
  r.then.peak_W = now.peak_W + number_of(j.at("load_peak_W"));
  r.then.minutes = now.minutes + number_of(j.at("minutes_to_limit"));
  if (const Json d = j.value("drawn", Json(nullptr)); !d.is_null())
    r.drawn = {likely_of(d.at("nights_held")), likely_of(d.at("electric_Wh_saved_per_night"))};
  return r;
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
  j["with_room"] = nullptr;
  if (const auto& r = a.roomy)
    j["with_room"] = {{"over_largest", r->over_1},
                      {"capacity_W", r->capacity_W},
                      {"battery_Wh", r->battery_Wh},
                      {"nights_held", r->held},
                      {"needing_cooling", r->needing_cooling},
                      {"share_of_vans", maybe(r->vans_1)},
                      {"overrides", r->overrides}};
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
    j["rows"].push_back({{"unit", a.units[r.unit]},
                         {"weather", a.weathers[r.weather].key},
                         {"vehicle", a.vehicles[r.vehicle]},
                         {"setting", a.settings[r.setting]},
                         {"nights_in_period", r.in_period},
                         {"needing_cooling", r.needing_cooling},
                         {"nights_held", r.held},
                         {"limit_degC", to_celsius(r.T_limit_K)},
                         {"electric_Wh_per_night", number(r.electric_Wh)},
                         {"minutes_to_limit", number(r.minutes)},
                         {"why", why_json(r.most_often)}});
  j["minutes_to"] = rule_json(a.to);
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
      {"load_peak_W", number(a.now.peak_W)}, {"minutes_to_limit", number(a.now.minutes)}};
  j["minutes_to"] = rule_json(a.to);
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

answers::Sizes sizes_from_json(const std::string& text, const std::string& file) {
  return answer_from<answers::Sizes>(text, "size", file, [&file](answers::Sizes& a, const Json& j) {
    a.T_limit_K = to_kelvin(j.at("limit_degC"));
    a.in_period = j.at("nights").at("in_period");
    a.needing_cooling = j.at("nights").at("needing_cooling");
    a.unit_capacity_W = j.at("now").at("capacity_W");
    a.battery_Wh = j.at("now").at("battery_Wh");
    a.held_now = j.at("now").at("nights_held");
    for (const Json& s : j.at("sizes")) a.sizes.push_back(size_of(s));
    for (const Json& u : j.at("listed_units")) {
      answers::SizeListed listed{u.at("keys"), u.at("capacity_W"), {}};
      for (std::size_t i = 0; i < listed.battery_Wh.size(); ++i)
        listed.battery_Wh[i] =
            maybe_of<double>(u.at("battery_Wh").at(std::to_string(answers::kSizePercents[i])));
      a.listed.push_back(listed);
    }
    for (const Json& t : j.at("trade_off"))
      a.trade_off.push_back({t.at("capacity_W"), maybe_of<double>(t.at("battery_Wh")),
                             number_of(t.at("electric_Wh_per_night"))});
    for (const Json& t : j.at("too_large"))
      a.too_large.push_back({t.at("capacity_W"), t.at("over_needed"), t.at("starts"),
                             number_of(t.at("electric_Wh_per_night")), number_of(t.at("humidity")),
                             number_of(t.at("humidity_highest")),
                             number_of(t.at("condensate_L_per_night"))});
    if (const Json r = j.value("with_room", Json(nullptr)); !r.is_null())
      a.roomy = {r.at("over_largest"),    r.at("capacity_W"),
                 r.at("battery_Wh"),      r.at("nights_held"),
                 r.at("needing_cooling"), maybe_of<double>(r.at("share_of_vans")),
                 r.at("overrides")};
    a.typical_night = date_of(j.at("typical_night"));
    if (a.sizes.empty() && a.needing_cooling > 0)
      throw core::InputError({file, 0, 0, "sizes", "is empty, although nights need cooling", ""});
    if (!a.typical_night && !a.too_large.empty())
      throw core::InputError(
          {file, 0, 0, "typical_night", "is null, although a night was looked at", "MM-DD"});
    a.runs = j.at("runs");
    a.residual_relative = j.at("balance").at("residual_relative");
  });
}

answers::Comparison comparison_from_json(const std::string& text, const std::string& file) {
  return answer_from<answers::Comparison>(
      text, "compare", file, [](answers::Comparison& a, const Json& j) {
        a.T_limit_K = to_kelvin(j.at("limit_degC"));
        a.to = rule_of(j.at("minutes_to"));
        a.units = j.at("units");
        a.vehicles = j.at("vehicles");
        a.settings = j.at("settings");
        std::vector<std::string> climates;
        for (const Json& w : j.at("weathers")) {
          a.weathers.push_back({w.at("key"), w.at("place"), w.at("file"), w.at("sha256")});
          climates.push_back(w.at("key"));
        }
        const auto place = [](const std::vector<std::string>& list, const Json& name) {
          return static_cast<std::size_t>(std::find(list.begin(), list.end(), name) - list.begin());
        };
        for (const Json& r : j.at("rows")) {
          answers::CompareRow row;
          row.unit = place(a.units, r.at("unit"));
          row.weather = place(climates, r.at("weather"));
          row.vehicle = place(a.vehicles, r.at("vehicle"));
          row.setting = place(a.settings, r.at("setting"));
          row.in_period = r.at("nights_in_period");
          row.needing_cooling = r.at("needing_cooling");
          row.held = r.at("nights_held");
          row.T_limit_K = to_kelvin(r.value("limit_degC", to_celsius(a.T_limit_K)));
          row.electric_Wh = number_of(r.at("electric_Wh_per_night"));
          row.minutes = endless_of(r.at("minutes_to_limit"));
          row.most_often = why_of(r.at("why"));
          a.rows.push_back(row);
        }
        a.unit_on_runs = j.at("runs").at("unit_on");
        a.unit_off_runs = j.at("runs").at("unit_off");
        a.forcings = j.at("runs").at("forcings");
        a.residual_relative = j.at("balance").at("residual_relative");
      });
}

answers::Helps helps_from_json(const std::string& text, const std::string& file) {
  return answer_from<answers::Helps>(
      text, "what-helps", file, [&file](answers::Helps& a, const Json& j) {
        a.T_limit_K = to_kelvin(j.at("limit_degC"));
        a.by = answers::help_by(j.at("by"));
        a.to = rule_of(j.at("minutes_to"));
        const Json& now = j.at("now");
        a.in_period = now.at("nights_in_period");
        a.now.needing_cooling = now.at("needing_cooling");
        a.now.lost = now.at("nights_lost");
        a.now.electric_Wh = number_of(now.at("electric_Wh_per_night"));
        a.now.peak_W = number_of(now.at("load_peak_W"));
        a.now.minutes = number_of(now.at("minutes_to_limit"));
        a.peak_date = date_of(j.at("peak_date"));
        if (!a.peak_date && a.now.needing_cooling > 0)
          throw core::InputError(
              {file, 0, 0, "peak_date", "is null, although nights need cooling", "MM-DD"});
        a.samples = j.value("samples", 0);
        for (const Json& r : j.at("rows")) a.rows.push_back(help_row_of(a.now, r));
        for (const Json& p : j.at("pairs"))
          a.pairs.push_back({p.at("a"), p.at("b"), p.at("effect_a"), p.at("effect_b"),
                             p.at("effect_both"), verdict_of(p.at("verdict"))});
        a.residual_relative = j.at("balance").at("residual_relative");
      });
}

}  // namespace cabinload::report
