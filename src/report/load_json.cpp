// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/json.hpp>
#include <cstdio>

#include "json_parts.hpp"

namespace cabinload::report {
namespace {

using answers::Load;
using answers::LoadCause;
using core::to_celsius;
using core::to_kelvin;

std::string percent_key(std::size_t i) {
  return fmt::format("{:g}", answers::kLoadPercents[i]);
}

/// One number a cause, by its key.
template <class Value>
Json by_cause(const Load& a, Value value) {
  Json j = Json::object();
  for (std::size_t c = 0; c < a.causes.size(); ++c) j[a.causes[c].key] = value(c);
  return j;
}

Json hour_json(const answers::LoadHour& h) {
  return {{"total_W", h.total_W()},
          {"sensible_W", h.sensible_W},
          {"latent_W", h.latent_W},
          {"outdoor_degC", to_celsius(h.T_out_K)},
          {"cabin_degC", to_celsius(h.T_air_K)}};
}
answers::LoadHour hour_of(const Json& j) {
  return {to_kelvin(j.at("outdoor_degC")), to_kelvin(j.at("cabin_degC")), j.at("sensible_W"),
          j.at("latent_W")};
}

Json peak_json(const Load& a) {
  if (!a.peak) return nullptr;
  Json j;
  j["time"] = moment_text({a.peak->date, a.peak->hour * core::kSecondsInHour});
  j.update(hour_json(a.peak->at));
  j["by_cause_W"] = by_cause(
      a, [&](std::size_t c) { return a.causes[c].peak_sensible_W + a.causes[c].peak_latent_W; });
  j["sensible_by_cause_W"] =
      by_cause(a, [&](std::size_t c) { return a.causes[c].peak_sensible_W; });
  j["latent_by_cause_W"] = by_cause(a, [&](std::size_t c) { return a.causes[c].peak_latent_W; });
  return j;
}

Json month_json(const Load& a, const answers::LoadMonth& m) {
  return {{"month", m.month},
          {"hours_with_demand", m.hours_with_demand},
          {"peak_W", m.peak_W},
          {"energy_kWh", m.sensible_kWh + m.latent_kWh},
          {"sensible_kWh", m.sensible_kWh},
          {"latent_kWh", m.latent_kWh},
          {"by_cause_kWh", by_cause(a, [&](std::size_t c) { return m.by_cause_kWh[c]; })}};
}

answers::LoadMonth month_of(const Json& j) {
  answers::LoadMonth m;
  m.month = j.at("month");
  m.hours_with_demand = j.at("hours_with_demand");
  m.peak_W = j.at("peak_W");
  m.sensible_kWh = j.at("sensible_kWh");
  m.latent_kWh = j.at("latent_kWh");
  for (const auto& [key, value] : j.at("by_cause_kWh").items()) m.by_cause_kWh.push_back(value);
  return m;
}

void read_peak(const Json& j, Load& a) {
  if (j.is_null()) return;
  const Moment time = moment_of(j.at("time"));
  a.peak = Load::Peak{time.date, static_cast<int>(time.second_of_day / core::kSecondsInHour),
                      hour_of(j)};
  for (LoadCause& c : a.causes) {
    c.peak_sensible_W = j.at("sensible_by_cause_W").at(c.key);
    c.peak_latent_W = j.at("latent_by_cause_W").at(c.key);
  }
}

Json per_floor_json(double peak_W, double floor_area_m2) {
  const double m2_ft2 = core::parse_quantity("1 ft2", core::Quantity::area);
  const double W_BTU_h = core::parse_quantity("1 BTU/h", core::Quantity::power);
  const double W_m2 = peak_W / floor_area_m2;
  return {{"floor_m2", floor_area_m2},
          {"W_m2", W_m2},
          {"W_ft2", W_m2 * m2_ft2},
          {"BTU_h_ft2", W_m2 * m2_ft2 / W_BTU_h},
          {"note", "the trade's rule of thumb: common practice, no published source"}};
}

Json bodies_json(const Load& a) {
  Json j = Json::array();
  for (const Load::Body& b : a.bodies)
    j.push_back({{"body", b.key},
                 {"peak_W", b.peak_W},
                 {"floor_m2", b.floor_area_m2},
                 {"per_floor", b.floor_area_m2 > 0 ? per_floor_json(b.peak_W, b.floor_area_m2)
                                                   : Json(nullptr)}});
  return j;
}

}  // namespace

std::string json(const Load& a, int indent) {
  Json j = header_json(a.header);
  j["set_point_degC"] = to_celsius(a.T_set_K);
  j["humidity"] = a.humidity_1;
  j["held"] = a.hours_text;
  j["held_always"] = a.held_always;
  j["hours"] = {{"in_period", a.hours_in_period},
                {"with_demand", a.hours_with_demand},
                {"with_demand_cooler_outdoors", a.hours_cooler_outdoors}};
  j["cooler_outdoors_kWh"] = a.cooler_outdoors_kWh;
  j["peak"] = peak_json(a);
  j["percentile_W"] = Json::object();
  for (std::size_t i = 0; i < a.percentile_W.size(); ++i)
    j["percentile_W"][percent_key(i)] = number(a.percentile_W[i]);
  j["energy_kWh"] = a.sensible_kWh + a.latent_kWh;
  j["sensible_kWh"] = a.sensible_kWh;
  j["latent_kWh"] = a.latent_kWh;
  j["by_cause_kWh"] =
      by_cause(a, [&](std::size_t c) { return a.causes[c].sensible_kWh + a.causes[c].latent_kWh; });
  j["causes"] = Json::array();
  for (const LoadCause& c : a.causes)
    j["causes"].push_back({{"key", c.key},
                           {"words", c.words},
                           {"sensible_kWh", c.sensible_kWh},
                           {"latent_kWh", c.latent_kWh}});
  j["by_month"] = Json::array();
  for (const auto& m : a.by_month) j["by_month"].push_back(month_json(a, m));
  j["peak_day"] = Json::array();
  for (const auto& h : a.peak_day) j["peak_day"].push_back(hour_json(h));
  j["per_floor"] =
      a.peak && a.floor_area_m2 > 0 ? per_floor_json(a.peak_W(), a.floor_area_m2) : Json(nullptr);
  j["bodies"] = bodies_json(a);
  j["floor_m2"] = a.floor_area_m2;
  j["heading_deg"] = a.heading_rad / core::kDegree_rad;
  j["headings"] = Json::array();
  for (const auto& h : a.headings)
    j["headings"].push_back(
        {{"heading_deg", h.heading_rad / core::kDegree_rad}, {"peak_W", h.peak_W}});
  j["balance"] = {{"residual_relative", a.residual_relative}, {"parts_W", a.parts_residual_W}};
  return j.dump(indent) + "\n";
}

answers::Load load_from_json(const std::string& text, const std::string& file) {
  return answer_from<answers::Load>(text, "load", file, [](answers::Load& a, const Json& j) {
    a.T_set_K = to_kelvin(j.at("set_point_degC"));
    a.humidity_1 = j.at("humidity");
    a.hours_text = j.at("held");
    a.held_always = j.at("held_always");
    a.hours_in_period = j.at("hours").at("in_period");
    a.hours_with_demand = j.at("hours").at("with_demand");
    a.hours_cooler_outdoors = j.at("hours").at("with_demand_cooler_outdoors");
    a.cooler_outdoors_kWh = j.at("cooler_outdoors_kWh");
    for (const Json& c : j.at("causes"))
      a.causes.push_back(
          {c.at("key"), c.at("words"), 0, 0, c.at("sensible_kWh"), c.at("latent_kWh")});
    read_peak(j.at("peak"), a);
    for (std::size_t i = 0; i < a.percentile_W.size(); ++i)
      a.percentile_W[i] = number_of(j.at("percentile_W").at(percent_key(i)));
    a.sensible_kWh = j.at("sensible_kWh");
    a.latent_kWh = j.at("latent_kWh");
    for (const Json& m : j.at("by_month")) a.by_month.push_back(month_of(m));
    for (const Json& h : j.at("peak_day")) a.peak_day.push_back(hour_of(h));
    a.floor_area_m2 = j.at("floor_m2");
    a.heading_rad = j.at("heading_deg").get<double>() * core::kDegree_rad;
    for (const Json& h : j.at("headings"))
      a.headings.push_back({h.at("heading_deg").get<double>() * core::kDegree_rad, h.at("peak_W")});
    if (j.contains("bodies"))  // not in files of format 1.2 and older
      for (const Json& b : j.at("bodies"))
        a.bodies.push_back({b.at("body"), b.at("floor_m2"), b.at("peak_W")});
    a.residual_relative = j.at("balance").at("residual_relative");
    a.parts_residual_W = j.at("balance").at("parts_W");
  });
}

}  // namespace cabinload::report
