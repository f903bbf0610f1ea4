// SPDX-License-Identifier: Apache-2.0
// The improvements that `what-helps` knows, each with what it means in keys of the scenario.
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/what_helps.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "shared.hpp"

namespace cabinload::answers {
namespace {

using scenario::Scenario;
using Plan = std::variant<std::vector<Change>, std::string>;

constexpr const char* kJudgement = "engineering judgement";
constexpr const char* kPractice = "common practice, no published source";

const scenario::Entry* entry_of(const Scenario& s, const std::string& key) {
  for (const scenario::Entry& e : s.entries)
    if (e.key == key) return &e;
  return nullptr;
}
std::string value_of(const Scenario& s, const std::string& key) {
  const scenario::Entry* e = entry_of(s, key);
  return e == nullptr ? "" : e->value;
}

/// One way, by keys and values.
Plan by(std::initializer_list<std::pair<const char*, std::string>> values) {
  Change c;
  for (const auto& [key, value] : values) c.overrides.push_back({key, value, "what-helps"});
  return std::vector<Change>{c};
}

/// A span added to what a key says already.
std::string with_span(const Scenario& s, const std::string& key, const std::string& span) {
  const scenario::Entry* e = entry_of(s, key);
  if (e == nullptr || e->value.empty() || core::DaySchedule::parse(e->value).empty()) return span;
  return e->value + ", " + span;
}
/// Adding a source of power would else leave the battery uncharged by what fills it now.
std::string refill_of(const Scenario& s) {
  return std::isnan(s.battery_full_at_s) ? "never" : core::clock_text(s.battery_full_at_s);
}

std::string next_insulation(const Scenario& s) {
  const auto& levels = vehicle::insulations();
  for (std::size_t i = 0; i + 1 < levels.size(); ++i)
    if (levels[i].key == s.vehicle.insulation) return levels[i + 1].key;
  return "";
}
std::string no_insulation(const Scenario& s) {
  return s.vehicle.insulation == "own" ? "its layers are described one by one: change them there"
                                       : "it is " + s.vehicle.insulation + " already";
}
Plan insulation(const Scenario& s) {
  const std::string next = next_insulation(s);
  if (next.empty()) return no_insulation(s);
  return by({{"vehicle.insulation", next}});
}
Plan insulation_of(const Scenario& s, vehicle::Part part) {
  const std::string next = next_insulation(s);
  if (next.empty()) return no_insulation(s);
  Change c;
  c.insulation[part] = next;
  return std::vector<Change>{c};
}
Plan roof_insulation(const Scenario& s) {
  return insulation_of(s, vehicle::Part::roof);
}
Plan wall_insulation(const Scenario& s) {
  return insulation_of(s, vehicle::Part::wall);
}
Plan floor_insulation(const Scenario& s) {
  return insulation_of(s, vehicle::Part::floor);
}

Plan cover(const Scenario& s, vehicle::CoverSide side, const char* best) {
  if (s.vehicle.windows.empty()) return std::string("there are no windows");
  for (const auto& c : vehicle::covers())
    if (c.key == s.choice.cover && c.side == side)
      return "every window has one already (" + c.key + ")";
  return by({{"vehicle.cover", best}});
}
Plan inside_covers(const Scenario& s) {
  return cover(s, vehicle::CoverSide::inside, "thermal-mat");
}
Plan outside_covers(const Scenario& s) {
  return cover(s, vehicle::CoverSide::outside, "outside-mat");
}
Plan white_paint(const Scenario& s) {
  if (s.choice.paint == "white") return std::string("it is white already");
  return by({{"vehicle.paint", "white"}});
}

Plan shade(const Scenario& s, int from_h, int to_h) {
  const std::string kind = value_of(s, "parking.shade");
  if (kind != "none" && covers(s.site.shade_hours, from_h, to_h))
    return "it stands in shade then already (" + kind + ")";
  return by({{"parking.shade", kind == "none" ? "tree" : kind},
             {"parking.shade_hours", fmt::format("{:02}:00-{:02}:00", from_h, to_h)}});
}
Plan shade_day(const Scenario& s) {
  return shade(s, 7, 20);
}
Plan shade_afternoon(const Scenario& s) {
  return shade(s, 13, 20);
}

Plan heading(const Scenario& s) {
  std::vector<Change> ways;
  for (const auto& [name, degree] : {std::pair{"N", 0}, {"E", 90}, {"S", 180}, {"W", 270}}) {
    const double turn_rad = degree * core::kDegree_rad - s.vehicle.heading_rad;
    if (std::abs(std::sin(0.5 * turn_rad)) < 1e-3) continue;  // as it stands
    ways.push_back(
        {fmt::format("nose to {}", name), {{"vehicle.heading", name, "what-helps"}}, 1, {}});
  }
  return ways;
}

Plan vent_fan(const Scenario& s) {
  constexpr double kFlow_m3_s = 600 / 3600.0;  // a 14 inch roof fan at middle speed
  if (s.air.fan.flow_m3_s >= kFlow_m3_s) return std::string("there is one already");
  return by({{"fan.flow", "600 m3/h"}, {"fan.power", "25 W"}});
}
Plan sealing(const Scenario& s) {
  constexpr double kTight_m2 = 10e-4;
  if (s.vehicle.leakage_area_m2 <= kTight_m2)
    return fmt::format("its cracks are small already ({:.0f} cm²)",
                       s.vehicle.leakage_area_m2 * 1e4);
  return by(
      {{"vehicle.leakage_area", fmt::format("{:.10g} cm2", s.vehicle.leakage_area_m2 * 5e3)}});
}
Plan bigger_unit(const Scenario&) {
  Change c;
  c.unit_factor_1 = 1.3;
  return std::vector<Change>{c};
}
Plan second_battery(const Scenario& s) {
  return by({{"battery.capacity",
              fmt::format("{:.10g} kWh", 2 * s.supply.bank.nominal_energy_J / 3.6e6)}});
}
Plan panels(const Scenario& s) {
  if (!std::isnan(s.battery_full_at_s))
    return fmt::format(
        "the battery is taken as full every day at {} (battery.full_at): what fills it is not "
        "asked",
        core::clock_text(s.battery_full_at_s));
  const double now_W = s.supply.panels ? power::rated_W(*s.supply.panels) : 0.0;
  return by(
      {{"panels.power", fmt::format("{:.10g} W", now_W + 200)}, {"battery.full_at", refill_of(s)}});
}
Plan economy(const Scenario& s) {
  if (s.unit_settings.power_cap_W > 0 || s.unit_settings.speed_cap_1 < 1)
    return std::string("it runs on economy already");
  return by({{"unit.power_cap", fmt::format("{:.10g} W", 0.75 * unit::rating(s.unit).power_W)}});
}
Plan warmer(const Scenario& s) {
  const double bed_K = s.unit_settings.T_set_K + 1 - s.air.return_offset_K + s.air.bed_offset_K;
  if (bed_K > s.night.T_limit_K + 1e-9)
    return std::string("the bed would be above the sleeper's limit");
  return by({{"unit.set_point",
              fmt::format("{:.10g} degC", core::to_celsius(s.unit_settings.T_set_K + 1))}});
}

Plan later_arrival(const Scenario& s) {
  const core::DaySchedule& on_road = s.site.driving_hours;
  if (covers(on_road, 16, 20)) return std::string("it is on the road until 20:00 already");
  for (int h = 16; h < 20; ++h)
    if (on_road.active(h * core::kSecondsInHour))
      return std::string("it is on the road in the afternoon already (driving.hours)");
  return by({{"driving.hours", with_span(s, "driving.hours", "16:00-20:00")},
             {"driving.speed", on_road.empty() ? "80 km/h" : value_of(s, "driving.speed")}});
}
/// The unit runs on the way, on what the alternator gives; whatever fills the battery goes on.
Plan pre_cooling(const Scenario& s) {
  constexpr int kBefore_min = 120;
  const auto& spans = s.unit_on.intervals();
  if (spans.size() != 1) return std::string("the unit is not on in one span of hours (unit.on)");
  if (s.unit_on.hours() > 24 - kBefore_min / 60.0)
    return std::string("the unit is on all day already");
  if (!s.site.driving_hours.empty())
    return std::string("it drives already (driving.hours): set unit.on and alternator there");
  const auto clock = [](int minute) { return core::clock_text(60.0 * ((minute + 1440) % 1440)); };
  const int start = spans.front().start_min;
  const std::string before = clock(start - kBefore_min), then = clock(start);
  return by({{"unit.on", before + "-" + clock(spans.front().end_min)},
             {"driving.hours", before + "-" + then},
             {"driving.speed", "80 km/h"},
             {"alternator.power", fmt::format("{:.10g} W", 1.5 * unit::rating(s.unit).power_W)},
             {"battery.full_at", refill_of(s)}});
}

}  // namespace

const std::vector<Improvement>& improvements() {
  static const std::vector<Improvement> table = {
      {"insulation", "insulation, the next level", kJudgement, insulation},
      {"roof-insulation", "insulation of the roof alone", kJudgement, roof_insulation},
      {"wall-insulation", "insulation of the walls alone", kJudgement, wall_insulation},
      {"floor-insulation", "insulation of the floor alone", kJudgement, floor_insulation},
      {"inside-covers", "mats inside all windows", kJudgement, inside_covers},
      {"outside-covers", "mats outside all windows", kJudgement, outside_covers},
      {"white-paint", "white paint", kJudgement, white_paint},
      {"shade-day", "a tree's shade, 07:00-20:00", kJudgement, shade_day},
      {"shade-afternoon", "a tree's shade, 13:00-20:00", kJudgement, shade_afternoon},
      {"heading", "parked the other way", "best of N, E, S, W", heading},
      {"vent-fan", "roof vent fan, 600 m³/h", kPractice, vent_fan},
      {"sealing", "half of the cracks sealed", kJudgement, sealing},
      {"bigger-unit", "unit 30 % larger, same efficiency", kJudgement, bigger_unit},
      {"second-battery", "a second battery", "twice the energy", second_battery},
      {"panels", "200 W of panels more", kPractice, panels},
      {"economy", "economy: 75 % of the rated input", kPractice, economy},
      {"warmer", "set point 1 K higher", "as asked", warmer},
      {"later-arrival", "on the road until 20:00", kJudgement, later_arrival},
      {"pre-cooling", "2 h of pre-cooling while driving", kJudgement, pre_cooling},
  };
  return table;
}

}  // namespace cabinload::answers
