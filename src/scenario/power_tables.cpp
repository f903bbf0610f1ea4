// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cmath>
#include <limits>
#include <utility>

#include "tables.hpp"

namespace cabinload::scenario {
namespace {

using core::kDegree_rad;
using core::kPi;
using core::Quantity;
constexpr const char* kOfCells = "of its chemistry";
constexpr double kDefaultEnergy_J = 2400 * 3600.0;

/// What the unit's supply is called; where nobody would call it 12, 24 or 48 V, the nearest of them
/// by ratio.
double unit_supply_volts(double volts) {
  if (const auto nominal = power::nominal_volts(volts)) return *nominal;
  return volts < std::sqrt(12.0 * 24) ? 12 : volts < std::sqrt(24.0 * 48) ? 24 : 48;
}

/// Energy, or ampere-hours where the battery's volts are given.
void bind_capacity(Binder& b, power::BankDescription& d, double volts_given) {
  b.custom("battery.capacity", "2.4 kWh",
           [&](const std::string& text) {
             const auto at = text.find("Ah");
             if (at == std::string::npos) {
               d.nominal_energy_J = core::parse_quantity(text, Quantity::energy);
             } else {
               if (volts_given <= 0)
                 throw core::Error("'" + text +
                                   "' is a charge; its energy needs the battery's "
                                   "volts: battery.volts = \"12 V\" (or give kWh)");
               power::BankDescription rated;
               rated.chemistry = d.chemistry;
               rated.cells = power::cells_of(d.chemistry);
               rated.nominal_V = volts_given;
               d.nominal_energy_J =
                   core::parse_quantity(text.substr(0, at) + "A", Quantity::current) * 3600.0 *
                   power::rated_V(rated);
             }
             const double energy_J = std::exchange(d.nominal_energy_J, kDefaultEnergy_J);
             if (!(energy_J >= 3.6e4 && energy_J <= 1e9))
               throw core::Error("'" + text + "' is out of range, 10 Wh to 277 kWh");
             d.nominal_energy_J = energy_J;
           },
           {"nominal energy; or Ah, with battery.volts", "invented"});
}

/// Its window, and what has to lie in it.
void bind_window(Binder& b, power::BankDescription& d) {
  b.share("battery.cut_off", d.usable_low_1, {0, 0.9}, {"charge at which it is empty", kJudgement});
  b.share("battery.charged_to", d.usable_high_1, {0.1, 1}, {"charge at which it is full", "full"});
  d.reconnect_charge_1 = std::min(d.usable_high_1, d.usable_low_1 + 0.1);
  b.share("battery.reconnect_charge", d.reconnect_charge_1, {0, 1},
          {"charge at which an emptied battery serves again", kJudgement});
  d.start_1 = d.usable_high_1;
  b.share("battery.start", d.start_1, {0, 1}, {"charge at the start", "full"});
  if (d.usable_high_1 <= d.usable_low_1) {
    b.problem(b.was_given("battery.cut_off") ? "battery.cut_off" : "battery.charged_to",
              fmt::format("empty at {:g} %, full at {:g} %: the usable window is upside down",
                          100 * d.usable_low_1, 100 * d.usable_high_1),
              "cut_off below charged_to");
    return;
  }
  constexpr double kOddWindow_1 = 0.3;  // a cut-off meant as depth of discharge looks like this
  if (d.usable_high_1 - d.usable_low_1 < kOddWindow_1 - 1e-9)
    b.odd(b.was_given("battery.cut_off") ? "battery.cut_off" : "battery.charged_to",
          fmt::format("only {:.0f} % of the capacity is used, from {:g} % down to {:g} %: is the "
                      "charge meant at which the battery is empty?",
                      100 * (d.usable_high_1 - d.usable_low_1), 100 * d.usable_high_1,
                      100 * d.usable_low_1));
  const auto within = [&](const char* key, double charge_1) {
    if (charge_1 < d.usable_low_1 - 1e-12 || charge_1 > d.usable_high_1 + 1e-12)
      b.problem(key, fmt::format("{:g} % must lie within the usable window", 100 * charge_1),
                fmt::format("{:g} % to {:g} %, battery.cut_off to battery.charged_to",
                            100 * d.usable_low_1, 100 * d.usable_high_1));
  };
  within("battery.start", d.start_1);
  within("battery.reconnect_charge", d.reconnect_charge_1);
}

void bind_bank(Binder& b, Scenario& s) {
  power::BankDescription& d = s.supply.bank;
  // A box of one's own is first of all a box: no mass that nobody described in it.
  const bool plain = s.choice.body == "own" || s.choice.body == "car";
  std::string chemistry = "lfp", place = plain ? "outside" : "inside";
  b.choice("battery.chemistry", chemistry, {"lfp", "agm"},
           {"lithium iron phosphate, or lead-acid in glass mat", kPractice});
  const power::Chemistry cells = chemistry == "agm" ? power::Chemistry::agm : power::Chemistry::lfp;
  double volts = unit_supply_volts(s.unit.volts);
  b.quantity("battery.volts", Quantity::voltage, "V", volts, {10, 60},
             {"nominal: 12, 24 or 48", "as the unit"});
  const auto nominal = power::nominal_volts(volts);
  if (!nominal)
    b.problem("battery.volts", fmt::format("{:g} V is none of 12, 24 and 48 V", volts),
              "what it is called, not what it shows at a moment: \"12 V\"");
  volts = nominal.value_or(12);
  d.chemistry = cells;
  d.nominal_energy_J = kDefaultEnergy_J;
  bind_capacity(b, d, b.was_given("battery.volts") ? volts : 0.0);
  const double energy_J = d.nominal_energy_J;
  d = power::bank_of(cells, energy_J, volts);
  d.usable_low_1 = cells == power::Chemistry::lfp ? 0.1 : d.cells.usable_low_1;
  bind_window(b, d);
  b.quantity("battery.disconnect", Quantity::voltage, "V", d.disconnect_V, {0, 60},
             {"volts under load at which loads are cut; 0: none", kOfCells});
  b.quantity("battery.reconnect", Quantity::voltage, "V", d.reconnect_V, {0, 70},
             {"volts at which they come back", kOfCells});
  b.quantity("battery.port_limit", Quantity::power, "W", d.port_limit_W, {0, 50000},
             {"most that its outlet gives; 0: no such limit", kNone});
  b.quantity("battery.standby", Quantity::power, "W", d.standby_W, {0, 200},
             {"its own electronics, always", kNone});
  b.choice("battery.place", place, {"inside", "outside"},
           {"where it stands: takes that temperature, gives its heat there", kJudgement});
  d.place = place == "inside" ? power::Place::inside : power::Place::outside;
}

void bind_refill(Binder& b, Scenario& s, bool sources) {
  s.battery_full_at_s = sources ? std::numeric_limits<double>::quiet_NaN() : 18 * 3600.0;
  b.custom("battery.full_at", sources ? "never" : "18:00",
           [&](const std::string& t) {
             if (t == "never") {
               s.battery_full_at_s = std::numeric_limits<double>::quiet_NaN();
               return;
             }
             const auto span =
                 core::DaySchedule::parse(t + "-" + (t == "00:00" ? "00:01" : "00:00"));
             b.on_clock(span.intervals().front().start_min);
             s.battery_full_at_s = span.intervals().front().start_min * 60.0;
           },
           {"clock time at which it is taken as full every day; never: only what is simulated "
            "charges it",
            "assumption while no panels, alternator or shore are given"});
}

void bind_converters(Binder& b, Scenario& s) {
  power::SupplyDescription& d = s.supply;
  d.unit_V = unit_supply_volts(s.unit.volts);
  if (!power::nominal_volts(s.unit.volts))
    s.warnings.push_back(
        fmt::format("unit.volts: {:g} V is none of 12, 24 and 48 V; its supply is taken as one of "
                    "{:g} V",
                    s.unit.volts, d.unit_V));
  double inverter_W = 0, converter_W = 2 * s.unit.power_W;
  b.quantity("inverter.power", Quantity::power, "W", inverter_W, {0, 20000},
             {"most it gives to appliances with alternating = true; 0: no inverter", kNone});
  if (inverter_W > 0) {
    d.inverter = power::inverter_of(inverter_W);
    b.share("inverter.efficiency_half", d.inverter->efficiency_half_1, {0.5, 1},
            {"at half its power", kPractice});
    b.share("inverter.efficiency_full", d.inverter->efficiency_full_1, {0.5, 1},
            {"at its full power", kPractice});
    b.quantity("inverter.no_load", Quantity::power, "W", d.inverter->no_load_W, {0, 500},
               {"what it draws without load", kPractice});
    b.flag("inverter.always_on", d.inverter->always_on, {"draws that all the time", kPractice});
  }
  if (d.unit_V == d.bank.nominal_V) return;
  b.quantity("converter.power", Quantity::power, "W", converter_W, {1, 20000},
             {"most that the converter from the battery's volts to the unit's gives",
              "twice the unit's rated power"});
  d.to_unit = power::dc_converter_of(converter_W);
  b.share("converter.efficiency_half", d.to_unit->efficiency_half_1, {0.5, 1},
          {"at half its power", kPractice});
  b.share("converter.efficiency_full", d.to_unit->efficiency_full_1, {0.5, 1},
          {"at its full power", kPractice});
}

/// Modules cannot be larger than the roof they lie on.
void check_roof(Binder& b, const vehicle::Vehicle& v, const power::Panels& p) {
  constexpr double kBestModule_1 = 0.25;  // what a watt needs at least
  if (p.mount != power::Mount::roof) return;
  double roof_m2 = 0;
  for (const vehicle::Surface& s : v.surfaces)
    if (s.part == vehicle::Part::roof) roof_m2 += s.area_m2;
  const bool by_power = p.stc_W > 0;
  const double area_m2 = by_power ? p.stc_W / (1000 * kBestModule_1) : p.area_m2;
  if (area_m2 > roof_m2)
    b.problem(by_power ? "panels.power" : "panels.area",
              fmt::format("modules of {}{:.1f} m2 on a roof of {:.1f} m2",
                          by_power ? "at least " : "", area_m2, roof_m2),
              fmt::format("at most {:.0f} W or {:.1f} m2, or mount = \"portable\"",
                          1000 * kBestModule_1 * roof_m2, roof_m2));
}

bool bind_panels(Binder& b, Scenario& s) {
  if (!b.has_table("panels")) return false;
  power::Panels p;
  std::string mount = "roof";
  b.choice("panels.mount", mount, {"roof", "portable"},
           {"close to the roof's skin, or set up beside the vehicle", ""});
  p.mount = mount == "roof" ? power::Mount::roof : power::Mount::portable;
  b.quantity("panels.power", Quantity::power, "W", p.stc_W, {0, 20000},
             {"rated, at 1000 W/m2 and 25 degC cells; or give panels.area", ""});
  b.quantity("panels.area", Quantity::area, "m2", p.area_m2, {0, 60},
             {"of the modules, when panels.power is not given", ""});
  b.share("panels.efficiency", p.efficiency_1, {0.02, 0.45},
          {"of a module, when panels.power is not given", kPractice});
  double tilt_rad = 0, heading_rad = 0, gamma_1_K = p.gamma_1_K;
  b.quantity("panels.tilt", Quantity::angle, "degree", tilt_rad, {0, kPi / 2},
             {"from level", "flat"});
  b.quantity("panels.heading", Quantity::angle, "degree", heading_rad, {-2 * kPi, 2 * kPi},
             {"where they look: from the nose on a roof, from north when portable", ""});
  p.in_parking_shade = p.mount == power::Mount::roof;
  b.flag("panels.shaded", p.in_parking_shade, {"the parking's shade falls on them", "on a roof"});
  double percent_K = 100 * gamma_1_K;
  b.share("panels.percent_per_K", percent_K, {-1, 0},
          {"change of power by cell temperature", kPractice});
  b.share("panels.controller_efficiency", p.controller_efficiency_1, {0.3, 1},
          {"of the solar controller", kPractice});
  b.share("panels.soiling", p.soiling_1, {0.3, 1}, {"light that passes the dirt", kPractice});
  p.gamma_1_K = percent_K / 100;
  p.tilt_deg = tilt_rad / kDegree_rad;
  p.heading_deg = heading_rad / kDegree_rad;
  if (p.stc_W <= 0 && p.area_m2 <= 0)
    b.problem("panels.power", "panels need a power or an area", "power = \"400 W\"");
  if (p.stc_W > 0 && p.area_m2 > 0)
    b.problem("panels.area", "panels have a power already", "one of the two: leave the other out");
  check_roof(b, s.vehicle, p);
  s.supply.panels = p;
  s.site.planes = {{tilt_rad, heading_rad, p.mount == power::Mount::roof, p.in_parking_shade}};
  return true;
}

bool bind_alternator(Binder& b, Scenario& s) {
  if (!b.has_table("alternator")) return false;
  power::Alternator a;
  b.quantity(
      "alternator.current", Quantity::current, "A", a.limit_A, {0, 500},
      {"limit of the charger fed while driving (driving.hours), at the battery; 0: none", ""});
  b.quantity("alternator.power", Quantity::power, "W", a.limit_W, {0, 10000},
             {"limit taken from the alternator; 0: none", ""});
  b.share("alternator.efficiency", a.efficiency_1, {0.3, 1}, {"of that charger", kPractice});
  if (a.limit_A <= 0 && a.limit_W <= 0)
    b.problem("alternator.current", "a limit in A or W is needed", "current = \"30 A\"");
  if (s.site.driving_hours.empty())
    b.problem("alternator.current", "it charges while driving, and driving.hours is empty",
              "[driving] hours = \"09:00-12:00\"");
  s.supply.alternator = a;
  return true;
}

bool bind_shore(Binder& b, Scenario& s) {
  if (!b.has_table("shore")) return false;
  power::Shore d;
  d.hours = core::DaySchedule::parse("18:00-08:00");
  b.quantity("shore.volts", Quantity::voltage, "V", d.volts, {90, 260}, {"of the pitch", ""});
  b.quantity("shore.current", Quantity::current, "A", d.limit_A, {1, 100},
             {"at which its breaker trips", ""});
  b.hours("shore.hours", d.hours, {"plugged in", kJudgement});
  b.quantity("shore.charger", Quantity::power, "W", d.charger_W, {0, 10000},
             {"most that the charger gives to the battery's side", kNone});
  b.share("shore.charger_efficiency", d.charger_efficiency_1, {0.3, 1},
          {"of the charger on shore power", kPractice});
  b.quantity("shore.trip_delay", Quantity::time, "s", d.trip_delay_s, {0, 3600},
             {"above its limit for longer than this it trips", kJudgement});
  s.supply.shore = d;
  return true;
}

}  // namespace

void bind_power(Binder& b, Scenario& s) {
  bind_bank(b, s);
  const bool panels = bind_panels(b, s), alternator = bind_alternator(b, s),
             shore = bind_shore(b, s);
  bind_refill(b, s, panels || alternator || shore);
  bind_converters(b, s);
  for (std::size_t i = 0; i < s.appliances.size(); ++i)
    if (s.appliances[i].alternating && s.appliances[i].on_battery && !s.supply.inverter &&
        !s.supply.shore)
      b.problem(fmt::format("appliance[{}].alternating", i),
                "nothing gives alternating current: no inverter and no shore",
                "[inverter] power = \"2000 W\"");
  if (b.failed()) return;
  try {
    (void)power::Supply(s.supply);
  } catch (const core::RangeError& e) {
    const std::string text = e.what(), mine = "battery: ";
    b.problem("battery", text.starts_with(mine) ? text.substr(mine.size()) : text);
  }
}

}  // namespace cabinload::scenario
