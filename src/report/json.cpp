// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/report/json.hpp>
#include <cmath>
#include <limits>

#include "json_parts.hpp"

namespace cabinload::report {
namespace {

using core::to_celsius;
using core::to_kelvin;

Json shares_json(const answers::HoldNight& n) {
  if (n.why == answers::Why::none) return nullptr;
  Json j;
  for (std::size_t i = 1; i < answers::kWhys; ++i)
    j[answers::why_key(static_cast<answers::Why>(i))] = n.limit_share_1[i];
  return j;
}

Json would_hold_json(const std::optional<answers::WouldHold>& w) {
  if (!w) return nullptr;
  return {
      {"date", core::iso_text(w->date)},
      {"capacity_W", maybe(w->capacity_W)},
      {"battery_Wh", maybe(w->battery_Wh)},
      {"shade", maybe(w->shade)},
      {"largest_tried", {{"capacity_W", w->most_capacity_W}, {"battery_Wh", w->most_battery_Wh}}},
      {"evenings_before", w->evenings_before}};
}

std::optional<answers::WouldHold> would_hold_of(const Json& j) {
  if (j.is_null()) return std::nullopt;
  answers::WouldHold w;
  w.date = core::parse_date(j.at("date").get<std::string>());
  w.capacity_W = maybe_of<double>(j.at("capacity_W"));
  w.battery_Wh = maybe_of<double>(j.at("battery_Wh"));
  w.shade = maybe_of<bool>(j.at("shade"));
  w.most_capacity_W = j.at("largest_tried").at("capacity_W");
  w.most_battery_Wh = j.at("largest_tried").at("battery_Wh");
  w.evenings_before = j.at("evenings_before");
  return w;
}

Json night_json(const answers::HoldNight& n) {
  return {{"date", core::iso_text(n.date)},
          {"needs_cooling", n.needs_cooling},
          {"held", n.held},
          {"held_share", nullptr},
          {"why", why_json(n.why)},
          {"limit_shares", shares_json(n)},
          {"bed_peak_degC", number(to_celsius(n.bed_peak_K))},
          {"bed_peak_at", clock_json(n.bed_peak_second_of_day)},
          {"operative_peak_degC", number(to_celsius(n.operative_peak_K))},
          {"heat_index_peak_degC", number(to_celsius(n.heat_index_peak_K))},
          {"minutes_above", n.minutes_above},
          {"electric_Wh", n.electric_Wh},
          {"cooling_Wh", n.cooling_Wh},
          {"refrigerator_Wh", n.refrigerator_Wh},
          {"duty", n.duty_1},
          {"battery_at_dawn", n.battery_at_dawn_1},
          {"battery_empty_at", clock_json(n.battery_empty_second_of_day)},
          {"missing_Wh", n.missing_Wh},
          {"pull_down_min", number(n.pull_down_min)},
          {"condensate_L", n.condensate_L},
          {"co2_peak_ppm", n.co2_peak_ppm},
          {"outdoor_at_start_degC", number(to_celsius(n.outdoor_at_start_K))},
          {"outdoor_min_degC", number(to_celsius(n.outdoor_min_K))},
          {"bed_peak_unit_off_degC", number(to_celsius(n.bed_peak_unit_off_K))},
          {"unserved_Wh", n.unserved_Wh},
          {"unserved_asleep_Wh", n.unserved_asleep_Wh},
          {"battery_temperature_hours", n.cells_bound_h}};
}

answers::HoldNight night_of(const Json& j) {
  answers::HoldNight n;
  n.date = core::parse_date(j.at("date").get<std::string>());
  n.needs_cooling = j.at("needs_cooling");
  n.held = j.at("held");
  n.why = why_of(j.at("why"));
  // Files of format 1.2 and older have no shares.
  if (j.contains("limit_shares") && !j.at("limit_shares").is_null())
    for (std::size_t i = 1; i < answers::kWhys; ++i)
      n.limit_share_1[i] = j.at("limit_shares").at(answers::why_key(static_cast<answers::Why>(i)));
  n.bed_peak_K = to_kelvin(number_of(j.at("bed_peak_degC")));
  n.bed_peak_second_of_day = clock_of(j.at("bed_peak_at"));
  n.operative_peak_K = to_kelvin(number_of(j.at("operative_peak_degC")));
  n.heat_index_peak_K = to_kelvin(number_of(j.at("heat_index_peak_degC")));
  n.minutes_above = j.at("minutes_above");
  n.electric_Wh = j.at("electric_Wh");
  n.cooling_Wh = j.at("cooling_Wh");
  n.refrigerator_Wh = j.at("refrigerator_Wh");
  n.duty_1 = j.at("duty");
  n.battery_at_dawn_1 = j.at("battery_at_dawn");
  n.battery_empty_second_of_day = clock_of(j.at("battery_empty_at"));
  n.missing_Wh = j.at("missing_Wh");
  n.pull_down_min = number_of(j.at("pull_down_min"));
  n.condensate_L = j.at("condensate_L");
  n.co2_peak_ppm = j.at("co2_peak_ppm");
  n.outdoor_at_start_K = to_kelvin(number_of(j.at("outdoor_at_start_degC")));
  n.outdoor_min_K = to_kelvin(number_of(j.at("outdoor_min_degC")));
  n.bed_peak_unit_off_K = to_kelvin(number_of(j.at("bed_peak_unit_off_degC")));
  // Results before format 1.4 have none.
  n.unserved_Wh = j.value("unserved_Wh", 0.0);
  n.unserved_asleep_Wh = j.value("unserved_asleep_Wh", 0.0);
  n.cells_bound_h = j.value("battery_temperature_hours", 0.0);
  return n;
}

Json soak_json(const std::optional<answers::Soak>& s) {
  if (!s) return nullptr;
  return {{"date", core::iso_text(s->date)},
          {"switch_on", core::clock_text(s->switch_on_second_of_day)},
          {"cabin_degC", number(to_celsius(s->T_cabin_K))},
          {"target_degC", number(to_celsius(s->T_target_K))},
          {"minutes", number(s->minutes)},
          {"lowest_degC", number(to_celsius(s->lowest_K))}};
}

std::optional<answers::Soak> soak_of(const Json& j) {
  if (j.is_null()) return std::nullopt;
  return answers::Soak{core::parse_date(j.at("date").get<std::string>()),
                       clock_of(j.at("switch_on")),
                       to_kelvin(number_of(j.at("cabin_degC"))),
                       to_kelvin(number_of(j.at("target_degC"))),
                       number_of(j.at("minutes")),
                       to_kelvin(number_of(j.at("lowest_degC")))};
}

Json cycles_json(const std::optional<answers::CycleNight>& c) {
  if (!c) return nullptr;
  return {{"date", core::iso_text(c->date)},
          {"starts", c->starts},
          {"electric_Wh", number(c->electric_Wh)},
          {"in_step_electric_Wh", number(c->in_step_electric_Wh)},
          {"bed_peak_degC", number(to_celsius(c->bed_peak_K))},
          {"in_step_bed_peak_degC", number(to_celsius(c->in_step_bed_peak_K))}};
}

std::optional<answers::CycleNight> cycles_of(const Json& j) {
  if (j.is_null()) return std::nullopt;
  return answers::CycleNight{core::parse_date(j.at("date").get<std::string>()),
                             j.at("starts"),
                             number_of(j.at("electric_Wh")),
                             number_of(j.at("in_step_electric_Wh")),
                             to_kelvin(number_of(j.at("bed_peak_degC"))),
                             to_kelvin(number_of(j.at("in_step_bed_peak_degC")))};
}

/// Sets held_probability, spread and held_share of each night.
void put_spread(const answers::Hold& a, Json& j) {
  j["held_probability"] = nullptr;
  j["spread"] = nullptr;
  if (!a.spread) return;
  const answers::HoldSpread& s = *a.spread;
  j["held_probability"] = {
      {"mean", number(s.mean_1)}, {"low", number(s.low_1)}, {"high", number(s.high_1)}};
  j["spread"] = {{"samples", s.samples},
                 {"nights_held", likely_json(s.held)},
                 {"nights_needing_cooling", likely_json(s.needing_cooling)},
                 {"electric_Wh_per_night", likely_json(s.electric_Wh)}};
  for (std::size_t i = 0; i < s.held_share_1.size(); ++i)
    j["each_night"][i]["held_share"] = s.held_share_1[i];
}

std::optional<answers::HoldSpread> spread_of(const Json& j) {
  if (!j.contains("spread") || j.at("spread").is_null()) return std::nullopt;
  const Json &p = j.at("held_probability"), &s = j.at("spread");
  answers::HoldSpread spread;
  spread.samples = s.at("samples");
  spread.mean_1 = number_of(p.at("mean"));
  spread.low_1 = number_of(p.at("low"));
  spread.high_1 = number_of(p.at("high"));
  spread.held = likely_of(s.at("nights_held"));
  spread.needing_cooling = likely_of(s.at("nights_needing_cooling"));
  spread.electric_Wh = likely_of(s.at("electric_Wh_per_night"));
  for (const Json& n : j.at("each_night")) spread.held_share_1.push_back(n.at("held_share"));
  return spread;
}

Json month_json(const answers::HoldMonth& m) {
  return {{"month", m.month},
          {"nights", m.nights},
          {"needing_cooling", m.needing_cooling},
          {"held", m.held},
          {"electric_Wh_median", m.electric_Wh_median},
          {"bed_peak_degC", number(to_celsius(m.bed_peak_K))},
          {"why", why_json(m.most_frequent_why)}};
}

Json range_json(const answers::Range& r, double factor, double offset) {
  if (r.known == 0) return nullptr;
  return {{"low", r.low * factor + offset},
          {"mean", r.mean * factor + offset},
          {"high", r.high * factor + offset},
          {"hours_known", r.known}};
}

}  // namespace

std::string json(const answers::Hold& a, int indent) {
  Json j = header_json(a.header);
  j["limit_degC"] = to_celsius(a.T_limit_K);
  j["nights"] = {
      {"in_period", a.in_period}, {"needing_cooling", a.needing_cooling}, {"held", a.held}};
  j["heading_deg"] = a.heading_rad / core::kDegree_rad;
  j["headings"] = Json::array();
  for (const auto& h : a.headings)
    j["headings"].push_back({{"heading_deg", h.heading_rad / core::kDegree_rad},
                             {"held", h.held},
                             {"needing_cooling", h.needing_cooling}});
  j["by_month"] = Json::array();
  for (const auto& m : a.by_month) j["by_month"].push_back(month_json(m));
  j["worst_night"] = nullptr;
  if (a.worst_night) {
    const auto& n = a.each_night[*a.worst_night];
    j["worst_night"] = {{"date", core::iso_text(n.date)},
                        {"bed_peak_degC", number(to_celsius(n.bed_peak_K))},
                        {"operative_peak_degC", number(to_celsius(n.operative_peak_K))},
                        {"heat_index_peak_degC", number(to_celsius(n.heat_index_peak_K))},
                        {"minutes_above", n.minutes_above},
                        {"why", why_json(n.why)},
                        {"limit_shares", shares_json(n)}};
  }
  j["would_have_held"] = would_hold_json(a.would_hold);
  j["pull_down_min"] = {{"median", number(a.pull_down_min.median)},
                        {"worst", number(a.pull_down_min.worst)}};
  j["electric_Wh_per_night"] = {{"median", number(a.electric_Wh.median)},
                                {"p90", number(a.electric_Wh.p90)},
                                {"worst", number(a.electric_Wh.worst)}};
  j["battery_at_dawn"] = {{"median", number(a.battery_at_dawn_1.median)},
                          {"worst", number(a.battery_at_dawn_1.worst)},
                          {"cut_off", number(a.cut_off_1)}};
  j["condensate_L_per_night"] = number(a.condensate_L_median);
  j["unit_beyond_data_share"] = number(a.beyond_map_share_1);
  j["condenser_air_max_degC"] =
      a.condenser_air_max_K > 0 ? Json(to_celsius(a.condenser_air_max_K)) : Json(nullptr);
  j["soak"] = soak_json(a.soak);
  j["cycles"] = cycles_json(a.cycles);
  j["co2_peak_ppm"] = number(a.co2_peak_ppm);
  j["balance"] = {{"residual_relative", a.residual_relative}};
  j["each_night"] = Json::array();
  for (const auto& n : a.each_night) j["each_night"].push_back(night_json(n));
  put_spread(a, j);
  return j.dump(indent) + "\n";
}

answers::Hold hold_from_json(const std::string& text, const std::string& file) {
  return answer_from<answers::Hold>(text, "hold", file, [&file](answers::Hold& a, const Json& j) {
    a.T_limit_K = to_kelvin(j.at("limit_degC"));
    a.heading_rad = j.at("heading_deg").get<double>() * core::kDegree_rad;
    for (const Json& h : j.at("headings"))
      a.headings.push_back({h.at("heading_deg").get<double>() * core::kDegree_rad, h.at("held"),
                            h.at("needing_cooling")});
    a.in_period = j.at("nights").at("in_period");
    a.needing_cooling = j.at("nights").at("needing_cooling");
    a.held = j.at("nights").at("held");
    for (const Json& m : j.at("by_month"))
      a.by_month.push_back({m.at("month"), m.at("nights"), m.at("needing_cooling"), m.at("held"),
                            m.at("electric_Wh_median"), to_kelvin(number_of(m.at("bed_peak_degC"))),
                            why_of(m.at("why"))});
    for (const Json& n : j.at("each_night")) a.each_night.push_back(night_of(n));
    if (a.each_night.empty())
      throw core::InputError({file, 0, 0, "", "the stored answer has no nights", ""});
    const Json& e = j.at("electric_Wh_per_night");
    a.electric_Wh = {number_of(e.at("median")), number_of(e.at("p90")), number_of(e.at("worst"))};
    a.pull_down_min = {number_of(j.at("pull_down_min").at("median")),
                       number_of(j.at("pull_down_min").at("worst"))};
    a.battery_at_dawn_1 = {number_of(j.at("battery_at_dawn").at("median")),
                           number_of(j.at("battery_at_dawn").at("worst"))};
    a.cut_off_1 = j.at("battery_at_dawn").value("cut_off", 0.0);  // younger than its table
    a.condensate_L_median = number_of(j.at("condensate_L_per_night"));
    a.co2_peak_ppm = number_of(j.at("co2_peak_ppm"));
    a.beyond_map_share_1 = number_of(j.at("unit_beyond_data_share"));
    if (!j.at("condenser_air_max_degC").is_null())
      a.condenser_air_max_K = to_kelvin(j.at("condenser_air_max_degC"));
    a.soak = soak_of(j.at("soak"));
    a.cycles = cycles_of(j.at("cycles"));
    if (j.contains("would_have_held")) a.would_hold = would_hold_of(j.at("would_have_held"));
    a.spread = spread_of(j);
    a.residual_relative = j.at("balance").at("residual_relative");
    answers::rank_nights(a);
  });
}

std::string json(const answers::WeatherSummary& a, int indent) {
  Json j = header_json(a.header);
  j.erase("scenario");
  j.erase("assumptions");
  j["format"] = a.format;
  j["recognised_by"] = a.how_recognised;
  j["time_convention"] = a.time_convention;
  j["elevation_m"] = a.place.elevation_m;
  j["time_zone_h"] = a.place.time_zone_h;
  const double zero = -core::kZeroCelsius_K;
  j["ranges"] = {{"dry_bulb_degC", range_json(a.T_dry_K, 1, zero)},
                 {"dew_point_degC", range_json(a.T_dew_K, 1, zero)},
                 {"pressure_Pa", range_json(a.p_Pa, 1, 0)},
                 {"wind_m_s", range_json(a.wind_m_s, 1, 0)},
                 {"global_W_m2", range_json(a.ghi_W_m2, 1, 0)},
                 {"direct_normal_W_m2", range_json(a.dni_W_m2, 1, 0)},
                 {"diffuse_W_m2", range_json(a.dhi_W_m2, 1, 0)},
                 {"infrared_W_m2", range_json(a.infrared_W_m2, 1, 0)},
                 {"cloud_cover", range_json(a.cloud_1, 1, 0)}};
  j["sums_kWh_m2"] = {
      {"global", a.ghi_kWh_m2}, {"direct_normal", a.dni_kWh_m2}, {"diffuse", a.dhi_kWh_m2}};
  j["warm"] = Json::array();
  for (const auto& w : a.warm)
    j["warm"].push_back({{"percent_of_hours", w.percent},
                         {"dry_bulb_degC", to_celsius(w.T_dry_K)},
                         {"dew_point_degC", to_celsius(w.T_dew_K)}});
  j["nights_above"] = {{"20_degC", a.nights_above_20degC}, {"25_degC", a.nights_above_25degC}};
  j["warmest_nights"] = Json::array();
  for (const auto& n : a.warmest_nights)
    j["warmest_nights"].push_back({{"date", core::iso_text(n.date)},
                                   {"lowest_degC", to_celsius(n.T_min_K)},
                                   {"mean_degC", to_celsius(n.T_mean_K)}});
  j["warmest_month"] = a.warmest_month;
  j["month_mean_degC"] = Json::array();
  for (const double m : a.month_mean_K) j["month_mean_degC"].push_back(number(to_celsius(m)));
  j["remarks"] = Json::array();
  for (const auto& r : a.remarks) {
    const char* kind = r.kind == weather::Remark::Kind::note     ? "note"
                       : r.kind == weather::Remark::Kind::filled ? "filled"
                                                                 : "fault";
    j["remarks"].push_back(
        {{"kind", kind}, {"text", r.text}, {"hours", r.count}, {"first_line", r.first_line}});
  }
  return j.dump(indent) + "\n";
}

}  // namespace cabinload::report
