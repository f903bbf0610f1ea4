// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>

#include "tables.hpp"

namespace cabinload::scenario {
namespace {

using core::Quantity;
using core::to_kelvin;
constexpr const char* kOfModel = "of the unit's model";

/// Data plate. Power may be given as a current at the supply's volts.
void bind_plate(Binder& b, unit::Description& u) {
  b.quantity("unit.capacity", Quantity::power, "W", u.capacity_W, {50, 20000},
             {"rated total cooling, net of the cabin fan", kOfModel});
  b.quantity("unit.volts", Quantity::voltage, "V", u.volts,
             {9, 66, "supplies of 12, 24 and 48 V direct current; a unit on mains is not modelled"},
             {"supply", kOfModel});
  std::optional<double> current_A;
  b.maybe("unit.current", Quantity::current, "A", current_A, {0.1, 1000}, "by unit.power",
          {"rated electric input as a current at unit.volts, instead of unit.power", ""});
  if (current_A && !b.was_given("unit.volts"))
    b.problem("unit.current",
              "a current alone is no power; the voltage it was measured at is missing",
              "volts = \"12.8 V\"");
  if (current_A && b.was_given("unit.power"))
    b.problem("unit.current", "unit.power is given too; give one of them");
  if (current_A) u.power_W = *current_A * u.volts;
  b.quantity("unit.power", Quantity::power, "W", u.power_W, {10, 20000},
             {"rated electric input, all included", kOfModel});
  b.quantity("unit.rated_condenser", Quantity::temperature, "degC", u.rated_condenser_K,
             {to_kelvin(20), to_kelvin(60)}, {"rating point: air at the condenser", kOfModel});
  b.quantity("unit.rated_dry_bulb", Quantity::temperature, "degC", u.rated_dry_bulb_K,
             {to_kelvin(10), to_kelvin(45)}, {"rating point: return air", kOfModel});
  b.quantity("unit.rated_wet_bulb", Quantity::temperature, "degC", u.rated_wet_bulb_K,
             {to_kelvin(5), to_kelvin(35)}, {"rating point: return air", kOfModel});
  b.share("unit.sensible_ratio", u.sensible_ratio_1, {0.31, 1},
          {"sensible share of the coil's rated heat", kOfModel});
  std::vector<std::string> refrigerants;
  for (const auto& g : unit::generic_factors()) refrigerants.emplace_back(g.refrigerant);
  b.choice("unit.refrigerant", u.refrigerant, refrigerants,
           {"whose ideal cycle gives the generic factors", kOfModel});
}

/// One figure of the plate without the other: what both then make is told.
void tell_half_a_plate(Binder& b, const unit::Description& u, const unit::Description& model) {
  const char* input = b.was_given("unit.current") ? "unit.current" : "unit.power";
  const bool capacity = b.was_given("unit.capacity");
  if (capacity == b.was_given(input) || b.failed()) return;
  const auto cooling_a_watt = [](const unit::Description& x) { return x.capacity_W / x.power_W; };
  if (cooling_a_watt(u) == cooling_a_watt(model)) return;  // the model's own figure
  b.odd(capacity ? "unit.capacity" : input,
        fmt::format("{:.0f} W of {} goes with the {:.0f} W of {} of {}: {:.2f} W of cooling for "
                    "each W of input, where the model gives {:.2f}; give unit.{} too",
                    capacity ? u.capacity_W : u.power_W, capacity ? "cooling" : "input",
                    capacity ? u.power_W : u.capacity_W, capacity ? "input" : "cooling", model.key,
                    cooling_a_watt(u), cooling_a_watt(model), capacity ? "power" : "capacity"));
}

void bind_fans(Binder& b, unit::Description& u, unit::Settings& set) {
  b.quantity("unit.air_flow", Quantity::volume_flow, "m3/h", u.air_flow_m3_s, {0.005, 2},
             {"cabin air through the coil, full fan",
              "of the unit's model; more in proportion for a larger capacity"});
  b.quantity("unit.cabin_fan", Quantity::power, "W", u.cabin_fan_W, {0, 500},
             {"cabin fan at full, part of the power; its heat enters the cabin", kOfModel});
  b.quantity("unit.condenser_flow", Quantity::volume_flow, "m3/h", u.condenser_flow_m3_s, {0, 5},
             {"condenser air; 0: such that the rated heat warms it by 10 K", kJudgement});
  b.quantity("unit.standby", Quantity::power, "W", u.standby_W, {0, 100},
             {"controls while on, part of the power", kOfModel});
  b.share("unit.fan_level", set.fan_level_1, {0.4, 1}, {"cabin air flow over full", "full"});
  b.flag("unit.fan_always", set.fan_always,
         {"cabin fan runs all the time the unit is on; else with the compressor", kPractice});
  b.quantity("unit.fan_run_on", Quantity::time, "min", set.fan_run_on_s, {0, 3600},
             {"cabin fan after the compressor stops, unless always", kNone});
}

void bind_speed(Binder& b, unit::Description& u) {
  const char* by_map = "by the map";
  b.share("unit.minimum_speed", u.minimum_speed_1, {0.05, 1},
          {"slowest compressor speed over full; 1 for on/off", kOfModel});
  // What the model gives at its slowest says nothing of another speed or of measured points.
  if (b.was_given("unit.minimum_speed") || b.given().count("measured") > 0) {
    u.minimum_speed_capacity_1.reset();
    u.minimum_speed_power_1.reset();
  }
  b.maybe("unit.minimum_capacity", Quantity::dimensionless, "", u.minimum_speed_capacity_1,
          {0.05, 1}, by_map, {"capacity there over full", kOfModel});
  b.maybe("unit.minimum_power", Quantity::dimensionless, "", u.minimum_speed_power_1, {0.05, 1},
          by_map, {"compressor power there over full", kOfModel});
  b.quantity("unit.ramp", Quantity::time, "s", u.ramp_s, {1, 3600},
             {"from standing to full speed; there is no inrush", kJudgement});
  b.quantity("unit.minimum_on", Quantity::time, "min", u.minimum_on_s, {0, 3600},
             {"shortest run of the compressor", kPractice});
  b.quantity("unit.minimum_off", Quantity::time, "min", u.minimum_off_s, {0, 3600},
             {"shortest rest of the compressor", kPractice});
  b.share("unit.cyclic_degradation", u.cyclic_degradation_1, {0, 0.9},
          {"loss of cycling below minimum speed, C_D of AHRI 210/240", kOfModel});
  std::string law = "start-up";
  b.choice("unit.cycle_law", law, {"start-up", "standard"},
           {"loss by the lengths of the cycles, or C_D (1 - load) whatever they are", kJudgement});
  u.cycle_law = law == "standard" ? unit::CycleLaw::standard : unit::CycleLaw::start_up;
}

void bind_protection(Binder& b, unit::Description& u) {
  const Binder::Range range{to_kelvin(20), to_kelvin(90)};
  b.quantity("unit.condenser_cut_out", Quantity::temperature, "degC", u.condenser_cut_out_K, range,
             {"condenser air above which it stops", kOfModel});
  u.condenser_restart_K = u.condenser_cut_out_K - 5;
  b.quantity("unit.condenser_restart", Quantity::temperature, "degC", u.condenser_restart_K, range,
             {"condenser air below which it may start again", kJudgement});
  b.quantity("unit.restart_delay", Quantity::time, "min", u.restart_delay_s, {0, 3600},
             {"rest after a stop by heat or low volts", kPractice});
  b.maybe("unit.derate_from", Quantity::temperature, "degC", u.derate_from_K, range, kNone,
          {"condenser air from which it slows, to its minimum at the cut-out", kOfModel});
  b.share("unit.low_volts_stop", u.low_volts_stop_1, {0, 1.2},
          {"of nominal volts: it stops below", kPractice});
  b.share("unit.low_volts_restart", u.low_volts_restart_1, {0, 1.3},
          {"of nominal volts: it may start again from", kPractice});
}

void bind_settings(Binder& b, unit::Settings& set) {
  set.T_set_K = to_kelvin(24);
  b.quantity("unit.set_point", Quantity::temperature, "degC", set.T_set_K,
             {to_kelvin(5), to_kelvin(45)}, {"at the return-air sensor", kJudgement});
  b.quantity("unit.differential", Quantity::temperature_difference, "K", set.differential_K,
             {0.1, 10}, {"of the thermostat, from on to off", kPractice});
  b.quantity("unit.power_cap", Quantity::power, "W", set.power_cap_W, {0, 20000},
             {"economy: electric cap, 0 for none", kNone});
  b.share("unit.speed_cap", set.speed_cap_1, {0.05, 1},
          {"economy: share of full compressor speed", kNone});
  b.hours("unit.quiet", set.quiet.hours, {"quiet hours", kNone});
  b.share("unit.quiet_speed_cap", set.quiet.speed_cap_1, {0.05, 1},
          {"share of full compressor speed in quiet hours", kNone});
  b.share("unit.quiet_fan_level", set.quiet.fan_level_1, {0.4, 1},
          {"cabin air flow over full in quiet hours", kNone});
  b.share("unit.recirculation", set.recirculation_1, {0, 0.6},
          {"share of the condenser's air that comes round again", kJudgement});
  b.maybe("unit.condenser_air_rise", Quantity::temperature_difference, "K",
          set.condenser_air_rise_K, {0, 30}, "computed",
          {"condenser air over outdoor air, instead of the roof's warm layer and recirculation",
           "roof temperature, wind, recirculation"});
}

void bind_points(Binder& b, unit::Description& u) {
  const int count = b.given().count("measured");
  for (int i = 0; i < count; ++i) {
    const std::string key = indexed("measured", i);
    unit::MeasuredPoint p;
    p.capacity_W = p.power_W = 0;
    p.condenser_K = u.rated_condenser_K;
    p.dry_bulb_K = u.rated_dry_bulb_K;
    p.wet_bulb_K = u.rated_wet_bulb_K;
    b.quantity(key + "capacity", Quantity::power, "W", p.capacity_W, {0, 50000},
               {"total cooling, net of the cabin fan", ""});
    b.quantity(key + "power", Quantity::power, "W", p.power_W, {0, 50000},
               {"electric input, all of the unit", ""});
    b.quantity(key + "condenser", Quantity::temperature, "degC", p.condenser_K,
               {to_kelvin(5), to_kelvin(70)}, {"air at the condenser", "rating point"});
    b.quantity(key + "dry_bulb", Quantity::temperature, "degC", p.dry_bulb_K,
               {to_kelvin(5), to_kelvin(45)}, {"return air", "rating point"});
    b.quantity(key + "wet_bulb", Quantity::temperature, "degC", p.wet_bulb_K,
               {to_kelvin(0), to_kelvin(40)}, {"return air", "rating point"});
    b.share(key + "speed", p.speed_1, {0.05, 1}, {"compressor speed over full", "full"});
    for (const char* need : {"capacity", "power"})
      if (!b.was_given(key + need)) b.problem(key + need, "a measured point needs it");
    if (p.wet_bulb_K > p.dry_bulb_K)
      b.problem(key + "wet_bulb", "the wet bulb is above the dry bulb");
    u.points.push_back(p);
  }
  if (count == 0) return;
  for (const char* key : {"unit.capacity", "unit.power", "unit.current"})
    if (b.was_given(key)) b.problem(key, "[[measured]] points say this already; give one of them");
}

}  // namespace

void bind_unit(Binder& b, Scenario& s) {
  std::string model = "generic-2000-24v";
  std::vector<std::string> models;
  for (const auto& u : unit::built_in()) models.push_back(u.key);
  b.choice("unit.model", model, models,
           {"built-in unit to start from: `cabinload list units`", "invented"});
  for (const auto& u : unit::built_in())
    if (u.key == model) s.unit = u;
  unit::Description& u = s.unit;
  s.unit_on = core::DaySchedule::parse("21:00-07:00");
  b.hours("unit.on", s.unit_on, {"when the unit is switched on", kJudgement});
  bind_settings(b, s.unit_settings);
  const unit::Description built_in = u;
  bind_plate(b, u);
  tell_half_a_plate(b, u, built_in);
  // A plate seldom tells it, and the model's fan would be too small for a larger coil.
  if (b.was_given("unit.capacity") && u.capacity_W > built_in.capacity_W)
    for (double* x : {&u.air_flow_m3_s, &u.cabin_fan_W}) *x *= u.capacity_W / built_in.capacity_W;
  bind_fans(b, u, s.unit_settings);
  bind_speed(b, u);
  bind_protection(b, u);
  bind_points(b, u);
  bind_compressor(b, u);
  for (const char* key : {"unit.capacity", "unit.power", "unit.current", "unit.sensible_ratio",
                          "unit.air_flow", "measured[0].capacity", "compressor.output"})
    if (b.was_given(key)) u.source = "as described in the scenario, on " + model;
  if (b.failed()) return;
  const unit::Findings found = unit::examine(u, s.unit_settings);
  for (const std::string& text : found.problems) b.problem("unit", text);
  for (const std::string& text : found.odd) s.warnings.push_back(text);
}

}  // namespace cabinload::scenario
