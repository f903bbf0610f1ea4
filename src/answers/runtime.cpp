// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/answers/runtime.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/core/units.hpp>
#include <cmath>
#include <limits>

#include "shared.hpp"

namespace cabinload::answers {
namespace {

using simulation::Step;

/// Adds steps up and closes hours, counted from the start.
std::vector<RuntimeHour> path_of(const simulation::Trace& trace, const simulation::Window& w,
                                 double end_s, int first_day) {
  std::vector<RuntimeHour> path;
  double charge_1 = w.charge_1, seconds = 0;
  RuntimeHour sum;
  for (const Step& s : trace.window.steps) {
    if (seconds == 0) {
      const double from_s = s.t_s - s.dt_s;
      sum = {};
      sum.date = date_at(from_s, first_day);
      sum.second_of_day = core::second_of_day(from_s);
      sum.state_of_charge_1 = charge_1;
      sum.hours_displayed = s.hours_displayed;
    }
    sum.unit_W += s.unit_electric_W * s.dt_s;
    sum.other_W += s.other_W * s.dt_s;
    sum.unserved_W += s.unserved_W * s.dt_s;
    sum.refrigerator_W += s.refrigerator_W * s.dt_s;
    sum.solar_W += s.solar_W * s.dt_s;
    sum.T_out_K += s.T_out_K * s.dt_s;
    sum.T_bed_K += s.T_bed_K * s.dt_s;
    seconds += s.dt_s;
    charge_1 = s.state_of_charge_1;
    const bool last = &s == &trace.window.steps.back();
    if (seconds < core::kSecondsInHour - 0.5 * s.dt_s && !last) continue;
    // Temperatures are means over steps; power ends with the supply, within the last step.
    sum.T_out_K /= seconds;
    sum.T_bed_K /= seconds;
    if (last) seconds = std::max(1e-9, seconds - (s.t_s - end_s));
    for (double* x :
         {&sum.unit_W, &sum.other_W, &sum.unserved_W, &sum.refrigerator_W, &sum.solar_W})
      *x /= seconds;
    sum.hours = seconds / core::kSecondsInHour;
    path.push_back(sum);
    seconds = 0;
  }
  return path;
}

/// The header's lines about the hours of the unit and about charging hold for nights, not here.
void restate(const Runtime& a, const scenario::Scenario& s, std::vector<Assumption>& list) {
  const std::string start =
      fmt::format("{} {}", core::long_text(a.date), core::clock_text(a.second_of_day));
  for (Assumption& x : list) {
    if (x.key == "unit.on")
      x.text = fmt::format(
          "Unit asked on from {} on without a break, set to {}; on the days before "
          "as the scenario has it: {}.",
          start,
          core::format_quantity(s.unit_settings.T_set_K, core::Quantity::temperature,
                                core::UnitSystem::si, 1),
          s.unit_on.text());
    if (x.key != "battery.full_at") continue;
    std::string by;
    if (s.supply.panels) by += ", panels";
    if (s.supply.alternator) by += ", the alternator while driving";
    if (s.supply.shore) by += ", shore " + s.supply.shore->hours.text();
    x.text = fmt::format("Battery at {:.0f} % at {}, whatever came before; from then on {}.",
                         100 * a.charge_1, start,
                         by.empty() ? "nothing charges it" : "charged by " + by.substr(2));
  }
  list.push_back(
      {"method",
       "The display is one that divides the nominal watt-hours left above the cut-off by "
       "what is drawn at the moment while the compressor runs."});
}

/// What kept the unit from running, in hours.
void add_limits(const simulation::Trace& trace, Runtime& a) {
  double cut_out_h = 0;
  for (const Step& s : trace.window.steps) {
    const double h = s.dt_s / core::kSecondsInHour;
    if (s.limit == simulation::Limit::supply_limit) a.limited_h += h;
    if (s.limit == simulation::Limit::cut_out) cut_out_h += h;
  }
  std::vector<std::string>& warnings = a.header.warnings;
  if (a.limited_h > 0.05)
    warnings.push_back(
        fmt::format("supply: for {:.1f} h it could not give the unit what it asked", a.limited_h));
  if (a.unserved_Wh > simulation::kUnnoticed_Wh)
    warnings.push_back(
        fmt::format("supply: {:.0f} Wh that other loads asked before it was empty were not given",
                    a.unserved_Wh));
  if (cut_out_h > 0.05)
    warnings.push_back(
        fmt::format("unit: for {:.1f} h it stood still, cut out by its condenser air or waiting to "
                    "start again",
                    cut_out_h));
}

void add_sums(const simulation::Trace& trace, double hours, double nominal_Wh, Runtime& a) {
  double on_h = 0, running_Wh = 0;
  for (const Step& s : trace.window.steps) {
    const double h = s.dt_s / core::kSecondsInHour;
    a.unit_Wh += s.unit_electric_W * h;
    a.used_Wh += (s.unit_electric_W + s.other_W) * h;
    a.unserved_Wh += s.unserved_W * h;
    a.refrigerator_Wh += s.refrigerator_W * h;
    a.solar_Wh += s.solar_W * h;
    a.alternator_Wh += s.alternator_W * h;
    a.shore_Wh += s.shore_W * h;
    on_h += s.compressor_on_1 * h;
    running_Wh += s.unit_running_W * s.compressor_on_1 * h;
  }
  a.charge_end_1 = trace.window.steps.back().state_of_charge_1;
  a.mean_W = a.used_Wh / hours;
  a.duty_1 = std::min(1.0, on_h / hours);
  a.running_W = on_h > 0 ? running_Wh / on_h : 0.0;
  a.lost_Wh = (a.charge_1 - a.charge_end_1) * nominal_Wh + a.solar_Wh + a.alternator_Wh +
              a.shore_Wh - a.used_Wh;
}

}  // namespace

bool Runtime::ran_empty() const {
  return std::isfinite(hours_to_empty);
}

int warmest_evening(const forcing::Forcing& f, simulation::Nights nights, double second_of_day) {
  constexpr int kHours = 12;
  int warmest = nights.first;
  double most = -std::numeric_limits<double>::infinity();
  for (int day = nights.first; day < nights.first + nights.count; ++day) {
    double sum = 0;
    for (int h = 0; h < kHours; ++h) {
      const auto row = static_cast<std::size_t>(day * 24 + h) +
                       static_cast<std::size_t>(second_of_day / core::kSecondsInHour);
      sum += f.T_out_K[row % f.hours];
    }
    if (sum > most) most = sum, warmest = day;
  }
  return warmest % static_cast<int>(f.hours / 24);
}

Runtime runtime(const simulation::Trace& trace, const simulation::Window& w,
                const scenario::Scenario& scenario, const weather::Series& weather) {
  CABINLOAD_ASSERT(!trace.window.steps.empty());
  const power::BankDescription& bank = scenario.supply.bank;
  const double nominal_Wh = bank.nominal_energy_J / core::kSecondsInHour;
  Runtime a;
  a.header = header_of("runtime", scenario, weather);
  const bool empty = std::isfinite(trace.cut_s);
  const double end_s = empty ? trace.cut_s : trace.window.steps.back().t_s;
  a.header.from = a.date = date_at(w.from_s, weather.first_day);
  a.header.to = date_at(end_s, weather.first_day);
  a.second_of_day = core::second_of_day(w.from_s);
  a.heading_rad = scenario.vehicle.heading_rad;
  a.charge_1 = w.charge_1;
  a.cut_off_1 = bank.usable_low_1;
  a.usable_Wh = (w.charge_1 - bank.usable_low_1) * nominal_Wh;
  const double hours = std::max(1e-9, (end_s - w.from_s) / core::kSecondsInHour);
  a.hours_to_empty = empty ? hours : std::numeric_limits<double>::quiet_NaN();
  for (const simulation::SupplyEvent& e : trace.events)
    a.by_voltage = a.by_voltage || e.kind == power::EventKind::low_voltage;
  a.path = path_of(trace, w, end_s, weather.first_day);
  a.hours_displayed_at_start = a.path.front().hours_displayed;
  a.first_hour_W = a.path.front().unit_W + a.path.front().other_W;
  add_sums(trace, hours, nominal_Wh, a);
  a.residual_relative = trace.balance.worst();
  for (std::string& text : supply_warnings(trace, scenario, weather.first_day))
    a.header.warnings.push_back(std::move(text));
  add_limits(trace, a);
  restate(a, scenario, a.header.assumptions);
  return a;
}

}  // namespace cabinload::answers
