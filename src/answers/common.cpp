// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/common.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/version.hpp>
#include <cabinload/roof/roof.hpp>
#include <cabinload/scenario/parking.hpp>
#include <cmath>
#include <limits>

#include "shared.hpp"

namespace cabinload::answers {
namespace {

constexpr double kJoulePerWattHour = 3600.0;

std::string battery_words(const power::SupplyDescription& s) {
  std::string words = fmt::format("{:.1f} kWh battery, used down to {:.0f} %",
                                  s.bank.nominal_energy_J / kJoulePerWattHour / 1000.0,
                                  100.0 * s.bank.usable_low_1);
  if (s.panels) words += fmt::format(", {:.0f} W of panels", power::rated_W(*s.panels));
  if (s.alternator) words += ", alternator";
  if (s.shore) words += s.shore->charger_W > 0 ? ", shore" : ", shore for loads alone";
  return words;
}

/// What charges the battery, or that nothing does.
std::string charging_word(const scenario::Scenario& s) {
  if (!std::isnan(s.battery_full_at_s))
    return fmt::format(
        "The battery is taken as full every day at {}; what fills it by day is "
        "not simulated.",
        core::clock_text(s.battery_full_at_s));
  std::string by;
  if (s.supply.panels) by += fmt::format(", {:.0f} W of panels", power::rated_W(*s.supply.panels));
  if (s.supply.alternator) by += ", the alternator while driving";
  if (s.supply.shore && s.supply.shore->charger_W > 0)
    by += fmt::format(", shore {} by a charger of {:.0f} W", s.supply.shore->hours.text(),
                      s.supply.shore->charger_W);
  if (by.empty()) return "The battery is not recharged during the period.";
  return "The battery is charged by " + by.substr(2) + "; nights follow each other.";
}

std::string unit_words(const scenario::Scenario& s) {
  std::string words =
      fmt::format("{:.0f} W unit at {:g} V ({})", s.unit.capacity_W, s.unit.volts, s.unit.key);
  if (s.unit_settings.power_cap_W > 0)
    words += fmt::format(", economy cap {:.0f} W", s.unit_settings.power_cap_W);
  if (s.unit_settings.speed_cap_1 < 1)
    words += fmt::format(", economy cap {:.0f} % speed", 100.0 * s.unit_settings.speed_cap_1);
  return words;
}

std::string shade_words(const forcing::Site& site) {
  if (!scenario::shaded(site)) return "in the open sun all day";
  return fmt::format("shaded {} (beam {:.0f} %, diffuse {:.0f} % left)", site.shade_hours.text(),
                     100 * site.shade_beam_1, 100 * site.shade_diffuse_1);
}

std::string who_words(const scenario::Scenario& s) {
  int people = 0, pets = 0;
  for (const auto& p : s.people) people += p.count;
  for (const auto& p : s.pets) pets += p.count;
  std::string words = fmt::format("{} {}", people, people == 1 ? "person" : "people");
  if (pets > 0) words += fmt::format(" and {} {}", pets, pets == 1 ? "pet" : "pets");
  return words;
}

const char* ground_word(forcing::Ground ground) {
  switch (ground) {
    case forcing::Ground::soil:
      return "bare soil";
    case forcing::Ground::grass:
      return "grass";
    case forcing::Ground::as_air:
      return "ground as warm as the air";
    case forcing::Ground::asphalt:
      break;
  }
  return "asphalt";
}

/// Where the unit's behaviour away from its rating point comes from.
std::string characteristics_word(const scenario::Scenario& s) {
  if (s.unit.map) return s.unit.map_source;
  if (!s.unit.points.empty()) return fmt::format("{} measured points", s.unit.points.size());
  return fmt::format("away from its rating by generic factors ({})", s.unit.refrigerant);
}

std::string condenser_word(const scenario::Scenario& s) {
  if (s.unit_settings.condenser_air_rise_K)
    return fmt::format("Condenser air {:.0f} K above outdoors.",
                       *s.unit_settings.condenser_air_rise_K);
  return fmt::format("Condenser air warmed by the roof, and {:.0f} % of it comes round again.",
                     100 * s.unit_settings.recirculation_1);
}

/// The few that move the answer most, each with its value.
std::vector<Assumption> assumptions_of(const scenario::Scenario& s,
                                       const weather::Series& weather) {
  const double ventilation_m3_h = s.air.fresh_air_m3_s.highest() * 3600.0;
  std::vector<Assumption> list = {
      {"weather.file", weather.format == weather::Format::typed_day
                           ? fmt::format("Weather: {}, {}, the same on the days before.",
                                         weather.place.name, weather.source)
                           : fmt::format("Weather: {} of {}. A typical year, not the hottest one.",
                                         weather.source, weather.place.name)},
      {"vehicle.insulation", fmt::format("Insulation {}, {} paint, window cover: {}.",
                                         s.vehicle.insulation, s.vehicle.paint, s.choice.cover)},
      {"parking.shade_hours", fmt::format("Parked {}, on {}, closed by day.", shade_words(s.site),
                                          ground_word(s.site.ground))},
      {"vehicle.leakage_area",
       fmt::format("Cracks of {:.0f} cm² in all{}.", s.vehicle.leakage_area_m2 * 1e4,
                   s.air.fresh_air_hours.empty() || ventilation_m3_h <= 0
                       ? ", no vent open"
                       : fmt::format(", vent {:.0f} m³/h {}", ventilation_m3_h,
                                     s.air.fresh_air_hours.text()))},
      {"person", fmt::format("In the cabin at night: {}.", who_words(s))},
      {"unit.model", fmt::format("Unit data: {}; {}.", s.unit.source, characteristics_word(s))},
      {"unit.recirculation", condenser_word(s)},
      {"unit.on", fmt::format("Unit on {}, set to {}.", s.unit_on.text(),
                              degrees_both(s.unit_settings.T_set_K))},
  };
  for (const scenario::Opening& o : s.air.openings)
    list.push_back({"opening", fmt::format("'{}' of {:.0f} cm² open {}.", o.name, o.area_m2 * 1e4,
                                           o.open.text())});
  if (s.air.fan.flow_m3_s > 0)
    list.push_back(
        {"fan.flow",
         fmt::format(
             "Vent fan {:.0f} m³/h, {}{}.", s.air.fan.flow_m3_s * 3600, s.air.fan.hours.text(),
             s.air.fan.only_when_it_helps ? ", when outdoors is cooler than the cabin" : "")});
  if (!s.site.driving_hours.empty())
    list.push_back(
        {"driving.hours", fmt::format("Driving {} at {:.0f} km/h.", s.site.driving_hours.text(),
                                      s.site.driving_speed_m_s * 3.6)});
  list.push_back({"battery.full_at", charging_word(s)});
  if (s.supply.to_unit)
    list.push_back(
        {"converter.power",
         fmt::format("A converter of {:.0f} W from {:g} V to the unit's {:g} V, {:.0f} % "
                     "efficient at full power.",
                     s.supply.to_unit->rated_W, s.supply.bank.nominal_V, s.supply.unit_V,
                     100 * s.supply.to_unit->efficiency_full_1)});
  return list;
}

/// What the user's own defaults decided: values that came from a line of a file other than the
/// scenario's.
std::vector<Assumption> own_defaults_of(const scenario::Scenario& s) {
  std::vector<Assumption> own;
  for (const scenario::Entry& e : s.entries) {
    const std::size_t colon = e.origin.rfind(':');
    if (colon == std::string::npos || e.origin.substr(0, colon) == s.file) continue;
    own.push_back(
        {e.key, fmt::format("{} is {}: your own default ({}).", e.key, e.value, e.origin)});
  }
  return own;
}

}  // namespace

double quantile(std::vector<double> sample, double share_1) {
  if (sample.empty()) return std::numeric_limits<double>::quiet_NaN();
  std::sort(sample.begin(), sample.end());
  const double rank = std::ceil(share_1 * static_cast<double>(sample.size()));
  return sample[static_cast<std::size_t>(std::max(rank, 1.0)) - 1];
}

Caution roof_opening() {
  return {
      "roof_opening", "NOTICE",
      "Before a roof is cut, measure ribs, wiring, lining and curvature from inside and outside "
      "on the vehicle itself, and follow the maker's body guidelines: neither a calculation nor "
      "a drawing has seen it."};
}

std::vector<Caution> standing_cautions() {
  return {
      {"heat_animals_children", "WARNING",
       "A closed vehicle in the sun becomes deadly within minutes when the cooling stops. Never "
       "leave "
       "an animal, a child or anyone who cannot get out alone in it, whatever this calculation "
       "says."},
      {"sealed_cabin", "WARNING",
       "A sealed cabin uses up its air: keep a vent open while people sleep, fit a carbon monoxide "
       "alarm, and never burn fuel or run an engine beside an occupied cabin."},
      {"stored_energy", "WARNING",
       "Batteries and their cables can start fires: fuse at the source, size conductors by the "
       "local "
       "code, and have the electrical work done by someone licensed for it."},
      {"refrigerant", "CAUTION",
       "Refrigerant circuits are under pressure and some refrigerants burn: they are opened only "
       "by "
       "certified technicians."},
      roof_opening(),
      {"model", "NOTICE",
       "This is a model of a described vehicle in a typical year. Real vehicles, real weather and "
       "real "
       "units differ: promise less than the figures say."},
  };
}

std::optional<std::string> panels_without_room(const scenario::Scenario& s) {
  if (!s.supply.panels || s.supply.panels->mount != power::Mount::roof) return std::nullopt;
  if (s.roof.roof.length_m <= 0 || s.roof.roof.overall_height_m <= 0) return std::nullopt;
  const roof::Plan plan = roof::plan(s.roof.roof, s.roof.items, s.roof.panel);
  const double stated_W = power::rated_W(*s.supply.panels);
  const double room_W = plan.layout.panel_W + plan.packing.power_W;
  if (stated_W <= room_W + 0.5) return std::nullopt;
  return fmt::format(
      "[panels] counts on {:.0f} W on the roof, of which {:.0f} W find room beside what stands "
      "there "
      "(cabinload roof)",
      stated_W, room_W);
}

Header header_of(const std::string& answer, const weather::Series& weather) {
  Header h;
  h.answer = answer;
  h.program_version = core::program_version();
  h.weather_file = weather.file;
  h.weather_sha256 = weather.sha256;
  h.weather_place = weather.place.name;
  h.weather_source = weather.source;
  h.latitude_rad = weather.place.latitude_rad;
  h.longitude_rad = weather.place.longitude_rad;
  h.from = core::date_of(weather.first_day);
  h.to = core::date_of(weather.first_day + static_cast<int>(weather.hours() / 24) - 1);
  for (const weather::Remark& remark : weather.remarks)
    if (remark.kind != weather::Remark::Kind::note) h.warnings.push_back("weather: " + remark.text);
  h.cautions = standing_cautions();
  return h;
}

Header header_of(const std::string& answer, const scenario::Scenario& s,
                 const weather::Series& weather) {
  Header h = header_of(answer, weather);
  h.scenario_name = s.name;
  h.scenario_line =
      fmt::format("{}, {} insulation, {}; {}; {}; {}", s.vehicle.body, s.vehicle.insulation,
                  s.vehicle.paint, who_words(s), unit_words(s), battery_words(s.supply));
  h.warnings.insert(h.warnings.begin(), s.warnings.begin(), s.warnings.end());
  if (std::optional<std::string> more = panels_without_room(s)) h.warnings.push_back(*more);
  h.assumptions = own_defaults_of(s);
  for (Assumption& a : assumptions_of(s, weather)) h.assumptions.push_back(std::move(a));
  if (s.supply.bank.chemistry == power::Chemistry::agm)
    h.cautions.insert(
        std::find_if(h.cautions.begin(), h.cautions.end(),
                     [](const Caution& c) { return c.id == "refrigerant"; }),
        {"ventilation", "WARNING",
         "Lead-acid batteries give off explosive hydrogen while charging: ventilate them to the "
         "outside, keep sparks and flames away."});
  return h;
}

Likely likely(const std::vector<double>& values) {
  return {quantile(values, kUnlikely_1), quantile(values, 0.5), quantile(values, 1 - kUnlikely_1)};
}

}  // namespace cabinload::answers
