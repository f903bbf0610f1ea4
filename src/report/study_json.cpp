// SPDX-License-Identifier: Apache-2.0
#include <cabinload/report/json.hpp>
#include <cabinload/report/study.hpp>

#include "json_parts.hpp"

namespace cabinload::report {
namespace {

using study::Summary;

Json effect_json(const study::Effect& e) {
  return {{"first", e.first}, {"first_low", e.first_range.low}, {"first_high", e.first_range.high},
          {"total", e.total}, {"total_low", e.total_range.low}, {"total_high", e.total_range.high}};
}
study::Effect effect_of(const Json& j) {
  return {j.at("first"),
          j.at("total"),
          {j.at("first_low"), j.at("first_high")},
          {j.at("total_low"), j.at("total_high")}};
}

}  // namespace

std::string json(const Summary& s, int indent) {
  Json j = header_json(s.header);
  j["way"] = s.way;
  j["seed"] = s.seed;
  j["cases"] = s.cases;
  j["varied"] = Json::array();
  for (const study::Varied& v : s.varied)
    j["varied"].push_back({{"key", v.key}, {"values", v.values}});
  j["failed"] = {{"cases", s.failed},
                 {"first", s.failed > 0 ? Json(s.first_failed) : Json(nullptr)},
                 {"reason", s.failed > 0 ? Json(s.first_reason) : Json(nullptr)}};
  j["nights"] = {{"needing_cooling", s.needing}, {"held", s.held}};
  j["cases_all_held"] = s.all_held;
  j["figures_of_cases"] = s.sampled > 0 ? s.sampled : s.cases;
  j["figures"] = Json::array();
  for (const study::Figures& f : s.figures)
    j["figures"].push_back({{"name", f.name},
                            {"units", f.units},
                            {"about", f.about},
                            {"cases", f.cases},
                            {"mean", number(f.mean)},
                            {"p05", number(f.p05)},
                            {"p50", number(f.p50)},
                            {"p95", number(f.p95)}});
  j["by_value"] = Json::array();
  for (const study::LevelFigures& l : s.levels)
    j["by_value"].push_back({{"key", l.key},
                             {"value", l.value},
                             {"cases", l.cases},
                             {"nights_needing_cooling", l.needing},
                             {"nights_held", l.held},
                             {"cases_all_held", l.all_held}});
  j["effects"] = Json::array();
  for (const study::InputEffect& e : s.effects)
    j["effects"].push_back({{"key", e.key},
                            {"on_nights_held", effect_json(e.held)},
                            {"on_electric_Wh_per_night", effect_json(e.energy)}});
  return j.dump(indent) + "\n";
}

Summary study_from_json(const std::string& text, const std::string& file) {
  return answer_from<Summary>(text, "study", file, [](Summary& s, const Json& j) {
    s.way = j.at("way");
    s.seed = j.at("seed");
    s.cases = j.at("cases");
    if (j.contains("varied"))
      for (const Json& v : j["varied"]) s.varied.push_back({v.at("key"), v.at("values")});
    s.failed = j.at("failed").at("cases");
    if (s.failed > 0) {
      s.first_failed = j.at("failed").at("first");
      s.first_reason = j.at("failed").at("reason");
    }
    s.needing = j.at("nights").at("needing_cooling");
    s.held = j.at("nights").at("held");
    s.all_held = j.at("cases_all_held");
    const std::uint64_t of = j.at("figures_of_cases");
    s.sampled = of < s.cases ? of : 0;
    for (const Json& f : j.at("figures"))
      s.figures.push_back({f.at("name"), f.at("units"), f.at("about"), f.at("cases"),
                           number_of(f.at("mean")), number_of(f.at("p05")), number_of(f.at("p50")),
                           number_of(f.at("p95"))});
    for (const Json& l : j.at("by_value"))
      s.levels.push_back({l.at("key"), l.at("value"), l.at("cases"), l.at("nights_needing_cooling"),
                          l.at("nights_held"), l.at("cases_all_held")});
    for (const Json& e : j.at("effects"))
      s.effects.push_back({e.at("key"), effect_of(e.at("on_nights_held")),
                           effect_of(e.at("on_electric_Wh_per_night"))});
  });
}

}  // namespace cabinload::report
