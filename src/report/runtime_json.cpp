// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/json.hpp>
#include <limits>

#include "json_parts.hpp"

namespace cabinload::report {
namespace {

using answers::Runtime;
using answers::RuntimeHour;
using core::to_celsius;
using core::to_kelvin;

Json hour_json(const RuntimeHour& h) {
  return {{"time", moment_text({h.date, h.second_of_day})},
          {"hours", h.hours},
          {"state_of_charge", h.state_of_charge_1},
          {"unit_W", h.unit_W},
          {"other_W", h.other_W},
          {"refrigerator_W", h.refrigerator_W},
          {"unserved_W", h.unserved_W},
          {"solar_W", h.solar_W},
          {"hours_displayed", number(h.hours_displayed)},
          {"outdoor_degC", to_celsius(h.T_out_K)},
          {"bed_degC", to_celsius(h.T_bed_K)}};
}

RuntimeHour hour_of(const Json& j) {
  const Moment time = moment_of(j.at("time"));
  return {time.date,
          time.second_of_day,
          j.at("hours"),
          j.at("state_of_charge"),
          j.at("unit_W"),
          j.at("other_W"),
          j.at("solar_W"),
          to_kelvin(j.at("outdoor_degC")),
          to_kelvin(j.at("bed_degC")),
          j.at("refrigerator_W"),
          endless_of(j.at("hours_displayed")),
          j.value("unserved_W", 0.0)};  // results before format 1.4 have none
}

}  // namespace

std::string json(const Runtime& a, int indent) {
  Json j = header_json(a.header);
  j["start"] = {{"time", moment_text({a.date, a.second_of_day})},
                {"state_of_charge", a.charge_1},
                {"usable_Wh", a.usable_Wh}};
  j["hours_to_empty"] = number(a.hours_to_empty);
  j["hours_followed"] = answers::kRuntimeHours;
  j["by_voltage"] = a.by_voltage;
  j["state_of_charge_end"] = a.charge_end_1;
  j["cut_off"] = a.cut_off_1;
  j["hours_displayed_at_start"] = number(a.hours_displayed_at_start);
  j["mean_W"] = a.mean_W;
  j["first_hour_W"] = a.first_hour_W;
  j["used_Wh"] = a.used_Wh;
  j["unit_Wh"] = a.unit_Wh;
  j["refrigerator_Wh"] = a.refrigerator_Wh;
  j["unserved_Wh"] = a.unserved_Wh;
  j["limited_hours"] = a.limited_h;
  j["sources_Wh"] = {{"solar", a.solar_Wh}, {"alternator", a.alternator_Wh}, {"shore", a.shore_Wh}};
  j["lost_Wh"] = a.lost_Wh;
  j["duty"] = a.duty_1;
  j["running_W"] = a.running_W;
  j["path"] = Json::array();
  for (const RuntimeHour& h : a.path) j["path"].push_back(hour_json(h));
  j["heading_deg"] = a.heading_rad / core::kDegree_rad;
  j["balance"] = {{"residual_relative", a.residual_relative}};
  return j.dump(indent) + "\n";
}

answers::Runtime runtime_from_json(const std::string& text, const std::string& file) {
  return answer_from<answers::Runtime>(
      text, "runtime", file, [](answers::Runtime& a, const Json& j) {
        const Json& start = j.at("start");
        const Moment time = moment_of(start.at("time"));
        a.date = time.date;
        a.second_of_day = time.second_of_day;
        a.charge_1 = start.at("state_of_charge");
        a.usable_Wh = start.at("usable_Wh");
        a.hours_to_empty = number_of(j.at("hours_to_empty"));
        a.by_voltage = j.at("by_voltage");
        a.charge_end_1 = j.at("state_of_charge_end");
        a.cut_off_1 = j.at("cut_off");
        a.hours_displayed_at_start = endless_of(j.at("hours_displayed_at_start"));
        a.mean_W = j.at("mean_W");
        a.first_hour_W = j.at("first_hour_W");
        a.used_Wh = j.at("used_Wh");
        a.unit_Wh = j.at("unit_Wh");
        a.refrigerator_Wh = j.at("refrigerator_Wh");
        a.unserved_Wh = j.value("unserved_Wh", 0.0);
        a.limited_h = j.value("limited_hours", 0.0);
        const Json& sources = j.at("sources_Wh");
        a.solar_Wh = sources.at("solar");
        a.alternator_Wh = sources.at("alternator");
        a.shore_Wh = sources.at("shore");
        a.lost_Wh = j.at("lost_Wh");
        a.duty_1 = j.at("duty");
        a.running_W = j.at("running_W");
        for (const Json& h : j.at("path")) a.path.push_back(hour_of(h));
        a.heading_rad = j.at("heading_deg").get<double>() * core::kDegree_rad;
        a.residual_relative = j.at("balance").at("residual_relative");
      });
}

}  // namespace cabinload::report
