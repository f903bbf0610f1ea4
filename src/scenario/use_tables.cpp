// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/network/films.hpp>
#include <cabinload/occupants/animal_limits.hpp>
#include <cabinload/weather/climates.hpp>
#include <cmath>
#include <limits>
#include <numeric>

#include "tables.hpp"

namespace cabinload::scenario {
namespace {

using core::kDegree_rad;
using core::kPi;
using core::Quantity;
using core::to_kelvin;

void bind_fan(Binder& b, VentFan& f) {
  f.hours = core::DaySchedule::always();
  f.T_wanted_K = to_kelvin(22);
  b.quantity("fan.flow", Quantity::volume_flow, "m3/h", f.flow_m3_s, {0, 2},
             {"vent fan: outdoor air it moves", "no fan"});
  b.quantity("fan.power", Quantity::power, "W", f.power_W, {0, 500},
             {"electric, from the battery; its heat leaves with the air", "none"});
  b.hours("fan.hours", f.hours, {"when it may run", "always"});
  b.flag("fan.only_when_it_helps", f.only_when_it_helps,
         {"only while the cabin is warmer than fan.wanted and outdoors is cooler by "
          "fan.start_difference",
          kPractice});
  b.quantity("fan.wanted", Quantity::temperature, "degC", f.T_wanted_K,
             {to_kelvin(-20), to_kelvin(45)}, {"it does not cool below this", kJudgement});
  b.quantity("fan.start_difference", Quantity::temperature_difference, "K", f.dT_start_K, {0, 20},
             {"how much cooler outdoors must be", kJudgement});
}

}  // namespace

void bind_people(Binder& b, Scenario& s) {
  using core::DaySchedule;
  const int people = std::max(1, b.given().count("person"));
  for (int i = 0; i < people; ++i) {
    const std::string key = indexed("person", i);
    occupants::Person p;
    p.count = i == 0 && b.given().count("person") <= 1 ? 2 : 1;
    p.present = DaySchedule::parse("18:00-08:00");
    p.asleep = DaySchedule::parse("22:00-07:00");
    b.whole(key + "count", p.count, 0, 20, {"people", kJudgement});
    b.hours(key + "present", p.present, {"in the cabin", kJudgement});
    b.hours(key + "asleep", p.asleep, {"asleep, while present", kJudgement});
    b.share(key + "awake_met", p.awake_met, {0.5, 8},
            {"activity awake, 1 met is 58.2 W/m2", "ISO 8996, seated quietly"});
    b.share(key + "asleep_met", p.asleep_met, {0.5, 8},
            {"activity asleep", "ASHRAE 55 activity list, sleeping"});
    b.quantity(key + "body_area", Quantity::area, "m2", p.body_area_m2, {0.3, 3},
               {"skin area of one person", "DuBois, average adult"});
    if (p.count > 0) s.people.push_back(p);
  }
  for (int i = 0; i < b.given().count("pet"); ++i) {
    const std::string key = indexed("pet", i);
    occupants::Pet p;
    p.present = DaySchedule::parse("18:00-08:00");
    b.text(key + "species", p.species, {"for words only: the heat goes by mass", ""});
    b.whole(key + "count", p.count, 0, 20, {"animals", ""});
    b.quantity(key + "mass", Quantity::mass, "kg", p.mass_kg, {0.05, 150},
               {"mass of one animal", kJudgement});
    b.hours(key + "present", p.present, {"in the cabin", kJudgement});
    b.share(key + "activity", p.activity_factor, {1, 8},
            {"heat over basal", "ASHRAE laboratory animals: 2.5, from memory"});
    bind_animal(b, key, p);
    if (p.count > 0) s.pets.push_back(p);
  }
}

void bind_air(Binder& b, Scenario& s) {
  CabinAir& a = s.air;
  a.fresh_air_m3_s = core::DayProfile(25 / 3600.0);
  a.fresh_air_hours = core::DaySchedule::parse("18:00-08:00");
  constexpr const char* kAjar =
      "a vent ajar while people are in: two sleepers need it; engineering judgement";
  b.profile(
      "air.fresh_air", Quantity::volume_flow, "m3/h", a.fresh_air_m3_s, {0, 5},
      {"outdoor air through a vent or fan, on top of the cracks; may go by the clock", kAjar});
  b.maybe("air.fresh_air_density", Quantity::density, "kg/m3", a.fresh_air_density_kg_m3, {0.3, 2},
          "outdoor air", {"dry air in that flow", "as the weather has it"});
  b.hours("air.fresh_air_hours", a.fresh_air_hours, {"when that vent is open", kAjar});
  b.quantity("air.bed_offset", Quantity::temperature_difference, "K", a.bed_offset_K, {-5, 10},
             {"bed over mixed cabin air", "well mixed"});
  b.quantity("air.return_offset", Quantity::temperature_difference, "K", a.return_offset_K,
             {-5, 10}, {"return-air sensor over mixed cabin air", "well mixed"});
  b.quantity("air.speed_at_bed", Quantity::speed, "m/s", a.speed_at_bed_m_s, {0, 5},
             {"for the operative temperature at the bed", kJudgement});
  for (int i = 0; i < b.given().count("opening"); ++i) {
    const std::string key = indexed("opening", i);
    Opening o;
    o.name = fmt::format("opening {}", i + 1);
    o.height_m = 0.3;
    o.open = core::DaySchedule::always();
    b.text(key + "name", o.name, {"for words only", ""});
    b.quantity(key + "area", Quantity::area, "cm2", o.area_m2, {0, 5},
               {"free area; take a third off for an insect screen", ""});
    b.quantity(key + "height", Quantity::length, "m", o.height_m, {0, 3},
               {"of the opening, or between two that work together", kJudgement});
    b.hours(key + "open", o.open, {"when it stands open", "always"});
    if (o.area_m2 <= 0) b.problem(key + "area", "an area is needed", "area = \"200 cm2\"");
    a.openings.push_back(o);
  }
  bind_fan(b, a.fan);
}

void bind_ideal(Binder& b, Scenario& s) {
  Ideal& x = s.ideal;
  const Binder::Range range{to_kelvin(-30), to_kelvin(60)};
  b.maybe_profile("ideal.heat_to", Quantity::temperature, "degC", x.heat_to_K, range, kNone,
                  {"ideal heating of the air to this, by the clock", "for published boxes"});
  b.maybe_profile("ideal.cool_to", Quantity::temperature, "degC", x.cool_to_K, range, kNone,
                  {"ideal cooling of the air to this, sensible only", "for published boxes"});
  std::optional<double> heat, cool;
  b.maybe("ideal.heat_limit", Quantity::power, "W", heat, {0, 1e6}, "as it takes",
          {"most heating", ""});
  b.maybe("ideal.cool_limit", Quantity::power, "W", cool, {0, 1e6}, "as it takes",
          {"most cooling", ""});
  x.heat_limit_W = heat.value_or(0);
  x.cool_limit_W = cool.value_or(0);
  std::vector<std::string> places = {"air"};
  for (const auto& surface : s.vehicle.surfaces) places.push_back(surface.name);
  b.choice("ideal.heat_at", x.heat_place, places, {"the air, or a surface's inner face", "air"});
  b.choice("ideal.cool_at", x.cool_place, places, {"the air, or a surface's inner face", "air"});
  for (int slot = 0; x.heat_to_K && x.cool_to_K && slot < 144; ++slot)
    if (x.heat_to_K->at(600.0 * slot) > x.cool_to_K->at(600.0 * slot)) {
      b.problem("ideal.heat_to",
                "heats above what it cools to at " + core::clock_text(600.0 * slot));
      break;
    }
}

void bind_night(Binder& b, Scenario& s) {
  Night& n = s.night;
  b.quantity("night.limit", Quantity::temperature, "degC", n.T_limit_K,
             {to_kelvin(10), to_kelvin(45)}, {"hottest the bed may be", kJudgement});
  b.custom("night.sleep", "22:00-07:00",
           [&](const std::string& t) {
             const auto hours = core::DaySchedule::parse(t);
             if (hours.intervals().size() != 1 || hours.hours() >= 24)
               throw core::Error("'" + t + "' must be one span of hours, like 22:00-07:00");
             b.on_clock(hours);
             n.sleep_start_s = hours.intervals()[0].start_min * 60.0;
             n.sleep_end_s = hours.intervals()[0].end_min * 60.0;
           },
           {"sleep window, local standard time (no daylight saving)", kJudgement});
  b.quantity("night.pull_down_allowance", Quantity::time, "min", n.pull_down_allowance_s,
             {0, 6 * 3600.0}, {"not judged at the start of the window", kJudgement});
  const auto date = [&](const char* key, std::optional<core::Date>& value, const char* about) {
    core::Date given;
    const auto at = b.given().all().find(key);
    const bool all = at == b.given().all().end() || at->second.text == "all";
    b.date(key, given, "all", {about, "every night of the weather"});
    if (!all) value = given;
  };
  date("night.from", n.from, "first evening: 07-01");
  date("night.to", n.to, "last evening: 08-31");
}

namespace {

/// Keys of [weather] that say how a file is read; any other makes a typed day.
bool is_typed(const std::string& key) {
  for (const char* k : {"weather.file", "weather.trust", "weather.between_hours",
                        "weather.sky_as_air", "weather.sky_temperature"})
    if (key == k) return false;
  return key.rfind("weather.", 0) == 0;
}

void bind_trust(Binder& b, Scenario& s) {
  static const std::vector<std::string> kinds = {"direct-diffuse", "global-direct",
                                                 "global-diffuse", "global"};
  std::string trust = kinds[0], between = "line";
  b.choice(
      "weather.trust", trust, kinds,
      {"which of the file's radiation is believed; the others follow", "what most files mean"});
  for (std::size_t k = 0; k < kinds.size(); ++k)
    if (trust == kinds[k]) s.site.trust = static_cast<forcing::Trust>(k);
  b.choice("weather.between_hours", between, {"line", "held"},
           {"temperature, wind and dew point between hours: straight line, or held for the hour",
            "line"});
  s.site.held = between == "held";
  b.flag("weather.sky_as_air", s.site.sky_as_air,
         {"long wave from the sky as if it were at air temperature", "for published boxes"});
  b.maybe_profile("weather.sky_temperature", Quantity::temperature, "degC", s.site.T_sky_K,
                  {150, 400}, "by weather", {"stated by the clock", ""});
}

}  // namespace

void bind_weather(Binder& b, Scenario& s) {
  WeatherChoice& w = s.weather;
  b.text("weather.file", w.file,
         {"shipped year (`cabinload list climates`), extreme day, or a path", "shipped"});
  bind_trust(b, s);
  std::optional<weather::TypedDay> extreme;
  for (const auto& x : weather::extreme_days())
    if (x.key == w.file) extreme = x.day;
  const bool typed = b.given().has_below("weather.") &&
                     std::any_of(b.given().all().begin(), b.given().all().end(),
                                 [](const auto& g) { return is_typed(g.first); });
  if (!typed && !extreme) return;
  weather::TypedDay d = extreme.value_or(weather::TypedDay{});
  if (!extreme) {
    d.T_high_K = to_kelvin(35);
    d.latitude_rad = 35 * kDegree_rad;
  }
  std::string sky = "clear";
  b.quantity("weather.high", Quantity::temperature, "degC", d.T_high_K,
             {to_kelvin(-40), to_kelvin(58)}, {"typed day: highest temperature", ""});
  if (!extreme) d.T_low_K = d.T_high_K - 12;
  b.quantity("weather.low", Quantity::temperature, "degC", d.T_low_K,
             {to_kelvin(-60), to_kelvin(45)},
             {"typed day: lowest temperature", "12 K below the high; engineering judgement"});
  if (!extreme) d.T_dew_K = d.T_low_K - 6;
  b.quantity("weather.dew_point", Quantity::temperature, "degC", d.T_dew_K,
             {to_kelvin(-60), to_kelvin(35)},
             {"typed day: dew point", "6 K below the low; engineering judgement"});
  const std::string midsummer = core::iso_text(d.date);
  b.date("weather.date", d.date, midsummer.c_str(), {"typed day: date, for the sun", "midsummer"});
  b.quantity("weather.latitude", Quantity::angle, "degree", d.latitude_rad, {-kPi / 2, kPi / 2},
             {"typed day: latitude, north positive", kJudgement});
  b.quantity("weather.elevation", Quantity::length, "m", d.elevation_m, {-430, 6000},
             {"typed day: elevation", "sea level"});
  b.quantity("weather.wind", Quantity::speed, "m/s", d.wind_m_s, {0, 40},
             {"typed day: wind at 10 m", kJudgement});
  b.choice("weather.sky", sky, {"clear", "cloudy", "none"}, {"typed day: sky", "the sunny side"});
  b.maybe_profile("weather.temperature", Quantity::temperature, "degC", d.T_K,
                  {to_kelvin(-60), to_kelvin(60)}, "by high and low",
                  {"typed day: temperature by the clock instead", ""});
  d.sky = sky == "clear"    ? weather::TypedDay::Sky::clear
          : sky == "cloudy" ? weather::TypedDay::Sky::cloudy
                            : weather::TypedDay::Sky::none;
  if (b.was_given("weather.low") && !b.was_given("weather.high") && !extreme)
    b.problem("weather.low", "a typed day needs its high too", "weather.high = \"38 degC\"");
  if (d.T_low_K > d.T_high_K) b.problem("weather.low", "the low is above the high");
  if (d.T_dew_K > d.T_high_K)
    b.problem("weather.dew_point", "the dew point is above the day's high");
  else if (d.T_dew_K > d.T_low_K && b.was_given("weather.dew_point"))
    b.odd(
        "weather.dew_point",
        fmt::format("{:.1f} °C is above the day's low of {:.1f} °C: the air is taken as saturated "
                    "while it is cooler than that",
                    core::to_celsius(d.T_dew_K), core::to_celsius(d.T_low_K)));
  if (b.was_given("weather.file") && !extreme)
    b.odd("weather.file",
          "'" + w.file + "' is left aside: what else stands under weather makes a typed day");
  w.day = d;
}

namespace {

/// Steps while the unit may have to run, and while it has not, for a grid on which everything
/// begins and ends by the clock.
struct Steps {
  double busy_s, idle_s, day_s;
};
Steps steps_on(int grid_min) {
  if (grid_min % 10 == 0) return {120, 300, 600};
  if (grid_min % 5 == 0) return {100, 300, 300};
  return {60, 60, 60};
}

/// Something goes on and off by temperature, with nothing that says how often.
bool switches_by_temperature(const Scenario& s) {
  return s.air.fan.flow_m3_s > 0 && s.air.fan.only_when_it_helps;
}

}  // namespace

void bind_run(Binder& b, Scenario& s) {
  const double allowance_min = s.night.pull_down_allowance_s / 60;
  b.on_clock(allowance_min == std::floor(allowance_min) ? static_cast<int>(allowance_min) : 1);
  const int grid_min = b.clock_grid_min();
  Steps steps = steps_on(grid_min);
  if (switches_by_temperature(s)) steps = {60, 60, 60};
  s.step_s = steps.busy_s;
  b.quantity(
      "run.step", Quantity::time, "s", s.step_s, {1, 120},
      {"time step; must divide 600 s; from 100 s on, steps with the unit off or nothing to cool "
       "take 300 to 600 s where the times of day allow; runtime takes 60 s at most",
       "120 s, shown converged in the tests; 100 or 60 s where a time of day asks for it, "
       "60 s with a fan that runs when it helps"});
  const bool fits = std::fmod(60.0 * grid_min, s.step_s) == 0;
  s.idle_step_s = fits ? steps.idle_s : s.step_s;
  s.day_step_s = fits ? steps.day_s : s.step_s;
  if (const double n = 600 / s.step_s; std::abs(n - std::round(n)) > 1e-9)
    b.problem("run.step", fmt::format("{:g} s does not divide 600 s", s.step_s),
              "10 s, 60 s, 120 s");
  b.whole("run.warm_up_days", s.start.warm_up_days, 0, 60,
          {"days simulated before the first night and thrown away", "walls forget in less"});
  b.maybe("run.start_temperature", Quantity::temperature, "degC", s.start.T_K, {200, 350},
          "outdoors", {"of everything, at the start of the warm-up", "outdoor air"});
}

namespace {

/// Caps below what the unit can go down to.
std::vector<std::string> cap_warnings(const Scenario& s) {
  std::vector<std::string> list;
  const unit::Description& u = s.unit;
  const unit::Settings& set = s.unit_settings;
  if (set.power_cap_W > 0) {
    const double fan_W = u.cabin_fan_W * std::pow(set.fan_level_1, 3);
    const double least_W = unit::characteristics(u)
                               .map.at(u.rated_wet_bulb_K, u.rated_condenser_K, u.minimum_speed_1)
                               .power_W +
                           fan_W + u.standby_W;
    if (set.power_cap_W < least_W)
      list.push_back(
          fmt::format("unit.power_cap: {:.0f} W is less than the unit draws at its slowest, {:.0f} "
                      "W at its rating point with fan and controls: it draws that while its "
                      "compressor runs, and the cap cannot take it lower",
                      set.power_cap_W, least_W));
  }
  const auto slow = [&](const char* key, double cap_1) {
    if (cap_1 < u.minimum_speed_1 - 1e-9)
      list.push_back(fmt::format(
          "{}: {:.0f} % is below the slowest compressor speed, {:.0f} % (unit.minimum_speed): it "
          "runs at that",
          key, 100 * cap_1, 100 * u.minimum_speed_1));
  };
  slow("unit.speed_cap", set.speed_cap_1);
  if (!set.quiet.hours.empty()) slow("unit.quiet_speed_cap", set.quiet.speed_cap_1);
  return list;
}

/// What asks for more than its way from the battery gives.
std::vector<std::string> supply_warnings(const Scenario& s) {
  std::vector<std::string> list;
  const power::SupplyDescription& d = s.supply;
  const double unit_W = s.unit.power_W;
  if (d.shore && d.shore->charger_W <= 0)
    list.emplace_back(
        "shore feeds alternating loads only: without shore.charger it charges no battery");
  if (d.bank.port_limit_W > 0 && d.bank.port_limit_W < unit_W)
    list.push_back(
        fmt::format("battery.port_limit: its outlet gives {:.0f} W, the unit is rated {:.0f} W and "
                    "gets the rest after all other loads",
                    d.bank.port_limit_W, unit_W));
  if (d.to_unit && d.to_unit->rated_W < unit_W)
    list.push_back(fmt::format("converter.power: it gives {:.0f} W, the unit is rated {:.0f} W",
                               d.to_unit->rated_W, unit_W));
  if (!d.inverter) return list;
  double most_W = 0;
  for (int slot = 0; slot < 144; ++slot) {
    double W = 0;
    for (const occupants::Appliance& a : s.appliances)
      if (a.alternating && a.on_battery && a.on.active(600.0 * slot))
        W += a.power_W.at(600.0 * slot);
    most_W = std::max(most_W, W);
  }
  if (most_W > d.inverter->rated_W)
    list.push_back(fmt::format(
        "inverter.power: appliances ask for {:.0f} W of alternating current at once, it "
        "gives {:.0f} W; off shore they get that",
        most_W, d.inverter->rated_W));
  return list;
}

}  // namespace

std::vector<std::string> warnings_of(const Scenario& s) {
  std::vector<std::string> list;
  const double bed_K = s.unit_settings.T_set_K - s.air.return_offset_K + s.air.bed_offset_K;
  if (bed_K > s.night.T_limit_K)
    list.push_back(
        fmt::format("the set point keeps the bed at {:.1f} degC, above the limit of {:.1f} degC: "
                    "no night can be held",
                    core::to_celsius(bed_K), core::to_celsius(s.night.T_limit_K)));
  const double length_s = s.night.sleep_end_s > s.night.sleep_start_s
                              ? s.night.sleep_end_s - s.night.sleep_start_s
                              : s.night.sleep_end_s + 86400 - s.night.sleep_start_s;
  for (double t = 30; t < length_s; t += 60)
    if (!s.unit_on.active(s.night.sleep_start_s + t)) {
      list.push_back(fmt::format("the unit is off at {} within the sleep window",
                                 core::clock_text(s.night.sleep_start_s + t)));
      break;
    }
  if (s.unit_settings.T_set_K < to_kelvin(16))
    list.push_back(fmt::format("a set point of {:.1f} degC is colder than people sleep at",
                               core::to_celsius(s.unit_settings.T_set_K)));
  for (const auto& p : s.people)
    if (p.asleep_met > 1.2)
      list.push_back(fmt::format("{:.1f} met is the heat of somebody {}, not asleep", p.asleep_met,
                                 p.asleep_met > 4 ? "running" : "working"));
  if (s.air.fresh_air_m3_s.highest() <= 0 || s.air.fresh_air_hours.empty())
    list.emplace_back(
        "no vent is open at night: people and animals use up the air of a closed cabin");
  if (s.people.empty() && s.pets.empty()) list.emplace_back("nobody is in the cabin at night");
  for (const auto& p : s.pets)
    if (!occupants::covered_by_9cfr3(p.species))
      list.push_back(
          fmt::format("pet '{}': the line for dogs and cats does not name it; the lower "
                      "one for mammals and birds on the way is taken and holds for no "
                      "other kind: ask a veterinarian",
                      p.species));
  for (std::string& w : supply_warnings(s)) list.push_back(std::move(w));
  for (std::string& w : cap_warnings(s)) list.push_back(std::move(w));
  if (s.supply.bank.nominal_energy_J < 300 * 3600.0)
    list.emplace_back("the battery is smaller than 0.3 kWh");
  if (s.unit.capacity_W / s.unit.power_W > 5)
    list.push_back(fmt::format("a rated COP of {:.1f} is better than small units reach",
                               s.unit.capacity_W / s.unit.power_W));
  constexpr double kLightWind_m_s = 1.2, kSummerNight_K = 5;  // engineering judgement
  const double air_changes_1_h =
      network::leakage_m3_s(s.vehicle.leakage_area_m2, kSummerNight_K, kLightWind_m_s) * 3600 /
      s.vehicle.volume_m3;
  if (air_changes_1_h > 6)
    list.push_back(fmt::format(
        "the cracks change the air about {:.0f} times an hour in a light wind", air_changes_1_h));
  return list;
}

}  // namespace cabinload::scenario
