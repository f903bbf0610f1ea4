// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/json.hpp>
#include <cmath>

#include "json_parts.hpp"

namespace cabinload::report {
namespace {

using answers::Pets;
using answers::PetsFigures;
using answers::PetsHelp;
using core::to_celsius;
using core::to_kelvin;
using simulation::Failure;

/// The two keys that every set of figures has.
void put_figures(Json& j, const PetsFigures& f) {
  j["minutes_to_limit"] = {
      {"min", number(f.min_min)}, {"p05", number(f.p05_min)}, {"median", number(f.median_min)}};
  Json shares = Json::object();
  for (std::size_t b = 0; b < f.share_under_1.size(); ++b)
    shares[std::to_string(answers::kPetsBars_min[b])] = f.share_under_1[b];
  j["share_of_hours_under_min"] = shares;
}
PetsFigures figures_of(const Json& j) {
  PetsFigures f;
  const Json& m = j.at("minutes_to_limit");
  f.min_min = endless_of(m.at("min"));
  f.p05_min = endless_of(m.at("p05"));
  f.median_min = endless_of(m.at("median"));
  for (std::size_t b = 0; b < f.share_under_1.size(); ++b)
    f.share_under_1[b] =
        j.at("share_of_hours_under_min").at(std::to_string(answers::kPetsBars_min[b]));
  return f;
}

Json help_json(const PetsHelp& h) {
  Json j;
  put_figures(j, h.with);
  j["won_min"] = {{"median", number(h.won_median_min)}, {"least", number(h.won_least_min)}};
  j["hours"] = {
      {"passed_without", h.hours_passed}, {"spared", h.hours_spared}, {"shorter", h.hours_shorter}};
  return j;
}
PetsHelp help_of(const Json& j) {
  PetsHelp h;
  h.with = figures_of(j);
  h.won_median_min = number_of(j.at("won_min").at("median"));
  h.won_least_min = number_of(j.at("won_min").at("least"));
  h.hours_passed = j.at("hours").at("passed_without");
  h.hours_spared = j.at("hours").at("spared");
  h.hours_shorter = j.at("hours").at("shorter");
  return h;
}

Json shortest_json(const Pets& a) {
  if (!a.shortest) return nullptr;
  return {{"time", moment_text({a.shortest->date, a.shortest->hour * core::kSecondsInHour})},
          {"failure", answers::failure_key(a.shortest->failure)},
          {"outdoor_degC", to_celsius(a.shortest->T_out_K)}};
}
void read_shortest(const Json& j, Pets& a) {
  if (j.is_null()) return;
  const Moment time = moment_of(j.at("time"));
  const std::string key = j.at("failure");
  a.shortest =
      Pets::Shortest{time.date, static_cast<int>(time.second_of_day / core::kSecondsInHour),
                     Failure::unit_fault, to_kelvin(j.at("outdoor_degC"))};
  for (std::size_t k = 0; k < simulation::kFailures; ++k)
    if (key == answers::failure_key(static_cast<Failure>(k)))
      a.shortest->failure = static_cast<Failure>(k);
}

/// By month and hour of the day: minutes, "never", null where the period has none.
Json map_json(const Pets& a) {
  Json rows = Json::array();
  for (std::size_t m = 0; m < a.map.size(); ++m) {
    Json hours = Json::array();
    for (const double x : a.map[m])
      hours.push_back(std::isnan(x) ? Json(nullptr) : std::isfinite(x) ? Json(x) : Json("never"));
    rows.push_back({{"month", m + 1}, {"min", hours}});
  }
  return rows;
}
void read_map(const Json& rows, Pets& a) {
  for (std::size_t m = 0; m < a.map.size(); ++m)
    for (std::size_t h = 0; h < 24; ++h) {
      const Json& v = rows.at(m).at("min").at(h);
      a.map[m][h] = v.is_string() ? simulation::kNever_min : number_of(v);
    }
}

Json limits_json(const Pets& a) {
  const occupants::AnimalLimit& l = a.limit;
  return {{"animal", l.animal},
          {"most_degC", to_celsius(l.T_most_K)},
          {"general_degC", to_celsius(l.T_general_K)},
          {"longest_above_general_h", l.longest_s / core::kSecondsInHour},
          {"lowered_K", l.lowered_K},
          {"least_degC", to_celsius(l.T_least_K)},
          {"longest_below_least_h", l.longest_cold_s / core::kSecondsInHour},
          {"least_source", l.cold_source},
          {"humidity_source", "DOT/FAA/AM-87/8 (1987): 90 % at 85 degF, 4 % less a degF, 6 h"},
          {"heat_index_source", "7 Pa. Code 28a.4(3): heat index never above 90 degF"}};
}
void read_limits(const Json& j, Pets& a) {
  const Json& x = j.at("limits");
  occupants::AnimalLimit& l = a.limit;
  l.T_most_K = to_kelvin(j.at("limit_degC"));
  l.source = j.at("limit_source");
  l.animal = x.at("animal");
  l.T_general_K = to_kelvin(x.at("general_degC"));
  l.longest_s = x.at("longest_above_general_h").get<double>() * core::kSecondsInHour;
  l.lowered_K = x.at("lowered_K");
  l.T_least_K = to_kelvin(x.at("least_degC"));
  l.longest_cold_s = x.at("longest_below_least_h").get<double>() * core::kSecondsInHour;
  l.cold_source = x.at("least_source");
}

}  // namespace

std::string json(const Pets& a, int indent) {
  Json j = header_json(a.header);
  j["limit_degC"] = to_celsius(a.limit.T_most_K);
  j["limit_source"] = a.limit.source;
  j["limits"] = limits_json(a);
  j["set_point_degC"] = to_celsius(a.T_set_K);
  j["cabin_peak_degC"] = to_celsius(a.cabin_peak_K);
  j["cabin_peak_at"] = moment_text({a.peak_date, a.peak_second_of_day});
  j["margin_K"] = a.margin_K;
  j["longest_above_general_h"] = a.above_general_h;
  j["cabin_least_degC"] = to_celsius(a.least_K);
  j["longest_cold_h"] = a.cold_h;
  j["hours"] = a.hours;
  j["longest_min"] = a.longest_min;
  put_figures(j, a.all);
  j["shortest"] = shortest_json(a);
  j["by_failure"] = Json::object();
  for (std::size_t k = 0; k < simulation::kFailures; ++k)
    put_figures(j["by_failure"][answers::failure_key(static_cast<Failure>(k))], a.by_failure[k]);
  j["helps"] = {{"alarm", help_json(a.alarm)},
                {"second_fan", help_json(a.second_fan)},
                {"opening", help_json(a.opening)}};
  j["helps"]["alarm"]["at_degC"] = to_celsius(a.T_alarm_K);
  j["helps"]["second_fan"]["flow_m3_s"] = a.fan_m3_s;
  j["helps"]["opening"]["area_m2"] = a.opening_m2;
  j["by_month_and_hour"] = map_json(a);
  j["heading_deg"] = a.heading_rad / core::kDegree_rad;
  j["headings"] = Json::array();
  for (const auto& h : a.headings)
    j["headings"].push_back({{"heading_deg", h.heading_rad / core::kDegree_rad},
                             {"min", number(h.min_min)},
                             {"p05", number(h.p05_min)}});
  j["drawn"] = nullptr;
  if (a.drawn) {
    Json days = Json::array();
    for (const core::Date& d : a.drawn->days) days.push_back(core::iso_text(d));
    j["drawn"] = {{"samples", a.drawn->samples},
                  {"days", std::move(days)},
                  {"minutes_to_limit", {{"min", number(a.drawn->min_min)}}},
                  {"cabin_peak_degC", to_celsius(a.drawn->cabin_peak_K)},
                  {"margin_K", a.drawn->margin_K}};
  }
  j["balance"] = {{"residual_relative", a.residual_relative}};
  return j.dump(indent) + "\n";
}

Pets pets_from_json(const std::string& text, const std::string& file) {
  return answer_from<Pets>(text, "pets", file, [](Pets& a, const Json& j) {
    read_limits(j, a);
    a.T_set_K = to_kelvin(j.at("set_point_degC"));
    a.cabin_peak_K = to_kelvin(j.at("cabin_peak_degC"));
    const Moment peak = moment_of(j.at("cabin_peak_at"));
    a.peak_date = peak.date;
    a.peak_second_of_day = peak.second_of_day;
    a.margin_K = j.at("margin_K");
    a.above_general_h = j.at("longest_above_general_h");
    a.least_K = to_kelvin(j.at("cabin_least_degC"));
    a.cold_h = j.at("longest_cold_h");
    a.hours = j.at("hours");
    a.longest_min = j.at("longest_min");
    a.all = figures_of(j);
    read_shortest(j.at("shortest"), a);
    for (std::size_t k = 0; k < simulation::kFailures; ++k)
      a.by_failure[k] =
          figures_of(j.at("by_failure").at(answers::failure_key(static_cast<Failure>(k))));
    const Json& helps = j.at("helps");
    a.alarm = help_of(helps.at("alarm"));
    a.second_fan = help_of(helps.at("second_fan"));
    a.opening = help_of(helps.at("opening"));
    a.T_alarm_K = to_kelvin(helps.at("alarm").at("at_degC"));
    a.fan_m3_s = helps.at("second_fan").at("flow_m3_s");
    a.opening_m2 = helps.at("opening").at("area_m2");
    read_map(j.at("by_month_and_hour"), a);
    a.heading_rad = j.at("heading_deg").get<double>() * core::kDegree_rad;
    for (const Json& h : j.at("headings"))
      a.headings.push_back({h.at("heading_deg").get<double>() * core::kDegree_rad,
                            endless_of(h.at("min")), endless_of(h.at("p05"))});
    if (j.contains("drawn") && !j.at("drawn").is_null()) {
      const Json& d = j.at("drawn");
      std::vector<core::Date> days;
      for (const Json& day : d.at("days")) days.push_back(core::parse_date(day.get<std::string>()));
      a.drawn = Pets::Drawn{d.at("samples"), std::move(days),
                            endless_of(d.at("minutes_to_limit").at("min")),
                            to_kelvin(d.at("cabin_peak_degC")), d.at("margin_K")};
    }
    a.residual_relative = j.at("balance").at("residual_relative");
  });
}

}  // namespace cabinload::report
