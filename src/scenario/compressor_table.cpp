// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/compressor.hpp>
#include <charconv>

#include "tables.hpp"

namespace cabinload::scenario {
namespace {

using core::Quantity;
using core::to_kelvin;

/// Ten numbers with commas or blanks between.
unit::TenCoefficients ten_numbers(const std::string& text) {
  unit::TenCoefficients c{};
  std::size_t n = 0;
  const char* at = text.data();
  const char* end = at + text.size();
  while (at < end) {
    if (*at == ',' || *at == ' ' || *at == '+') {
      ++at;
      continue;
    }
    double value = 0;
    const auto [next, error] = std::from_chars(at, end, value);
    if (error != std::errc{})
      throw core::Error(fmt::format("'{}' is no number", std::string(at, end)));
    if (n < c.size()) c[n] = value;
    ++n;
    at = next;
  }
  if (n != c.size()) throw core::Error(fmt::format("{} numbers, must be 10: c0 ... c9", n));
  return c;
}

struct Sheet {
  unit::CompressorSheet sheet;
  unit::Exchangers exchangers;
  double condenser_fan_W = 0;
};

void bind_coefficients(Binder& b, Sheet& s) {
  std::string form = "capacity", scale = "degC", unit_of_output;
  b.choice("compressor.form", form, {"capacity", "mass-flow"},
           {"what compressor.output gives", ""});
  const bool mass = form == "mass-flow";
  s.sheet.form = mass ? unit::SheetForm::mass_flow : unit::SheetForm::capacity;
  b.choice("compressor.temperatures", scale, {"degC", "degF"},
           {"scale of the dew points S and D in the coefficients", ""});
  unit_of_output = mass ? "kg/h" : "W";
  b.choice("compressor.output_unit", unit_of_output,
           mass ? std::vector<std::string>{"kg/h", "lb/h", "kg/s"}
                : std::vector<std::string>{"W", "BTU/h"},
           {"unit of compressor.output", ""});
  const double in_SI = unit_of_output == "BTU/h"  ? unit::kBtuPerHour_W
                       : unit_of_output == "lb/h" ? unit::kPoundPerHour_kg_s
                       : unit_of_output == "kg/h" ? unit::kKilogramPerHour_kg_s
                                                  : 1.0;
  const auto temperature =
      scale == "degF" ? unit::SheetTemperature::degF : unit::SheetTemperature::degC;
  const auto coefficients = [&](const char* key, double unit_in_SI, unit::TenCoefficients& c,
                                const char* about) {
    b.custom(key, "none",
             [&](const std::string& text) {
               c = unit::in_celsius_SI(ten_numbers(text), temperature, unit_in_SI);
             },
             {about, "AHRI 540"});
    if (!b.was_given(key))
      b.problem(key, "a compressor needs it: ten numbers", "as its sheet prints them, c0 first");
  };
  coefficients("compressor.output", in_SI, s.sheet.output,
               "ten coefficients of capacity or mass flow at full speed");
  coefficients("compressor.power", 1.0, s.sheet.power, "ten coefficients of power in W");
}

void bind_sheet(Binder& b, Sheet& s, const unit::Description& u) {
  s.sheet.refrigerant = u.refrigerant;
  bind_coefficients(b, s);
  b.quantity("compressor.superheat", Quantity::temperature_difference, "K", s.sheet.superheat_K,
             {0, 25}, {"at which the sheet holds", "of the sheet"});
  b.quantity("compressor.subcooling", Quantity::temperature_difference, "K", s.sheet.subcooling_K,
             {0, 20}, {"at which the sheet holds", "of the sheet"});
  const auto dew_point = [&](const char* key, double& value_degC, const char* about) {
    double T_K = to_kelvin(value_degC);
    b.quantity(key, Quantity::temperature, "degC", T_K, {to_kelvin(-40), to_kelvin(80)},
               {about, "of the sheet"});
    value_degC = core::to_celsius(T_K);
  };
  dew_point("compressor.suction_low", s.sheet.S_min_degC, "range of the suction dew point");
  dew_point("compressor.suction_high", s.sheet.S_max_degC, "range of the suction dew point");
  dew_point("compressor.discharge_low", s.sheet.D_min_degC, "range of the discharge dew point");
  dew_point("compressor.discharge_high", s.sheet.D_max_degC, "range of the discharge dew point");
  s.exchangers.evaporator_UA_W_K = s.exchangers.condenser_UA_W_K = 0;
  b.quantity("compressor.evaporator_conductance", Quantity::heat_rate_per_K, "W/K",
             s.exchangers.evaporator_UA_W_K, {0, 5000}, {"air to refrigerant", ""});
  b.quantity("compressor.condenser_conductance", Quantity::heat_rate_per_K, "W/K",
             s.exchangers.condenser_UA_W_K, {0, 5000}, {"air to refrigerant", ""});
  b.quantity("compressor.condenser_fan", Quantity::power, "W", s.condenser_fan_W, {0, 1000},
             {"runs with the compressor", "none"});
  s.sheet.minimum_speed_1 = u.minimum_speed_1;
  s.exchangers.evaporator_flow_m3_s = u.air_flow_m3_s;
  s.exchangers.condenser_flow_m3_s = u.condenser_flow_m3_s;
  for (const char* key : {"compressor.evaporator_conductance", "compressor.condenser_conductance"})
    if (!b.was_given(key)) b.problem(key, "the balance point needs it", "\"120 W/K\"");
  if (!b.was_given("unit.condenser_flow"))
    b.problem("unit.condenser_flow", "the balance point needs it", "condenser_flow = \"700 m3/h\"");
  for (const char* key : {"unit.capacity", "unit.power", "unit.current", "measured[0].capacity"})
    if (b.was_given(key)) b.problem(key, "[compressor] says this already; give one of them");
}

/// Balance points over the air that the sheet covers, as the unit's map.
void tabulate(const Sheet& s, unit::Description& u) {
  const unit::CompressorMap compressor(s.sheet);
  const double p_Pa = core::kStandardPressure_Pa;
  const auto balance = [&](double wet_bulb_K, double condenser_K, double speed_1) {
    const double dry_K = std::max(u.rated_dry_bulb_K, wet_bulb_K + 0.5);
    return unit::balance_point(
        compressor, s.exchangers,
        {dry_K, std::max(0.0, air::humidity_ratio_from_wet_bulb_1(dry_K, wet_bulb_K, p_Pa)), p_Pa,
         condenser_K, speed_1});
  };
  // From the rating point outwards as far as the sheet holds.
  const auto reach = [&](double start_K, double step_K, double end_K, auto inside) {
    double T_K = start_K;
    while ((end_K - T_K) * step_K > 0 && inside(T_K + step_K)) T_K += step_K;
    return T_K;
  };
  const auto condenser = [&](double T_K) {
    return balance(u.rated_wet_bulb_K, T_K, 1).inside_range;
  };
  const auto wet = [&](double T_K) { return balance(T_K, u.rated_condenser_K, 1).inside_range; };
  if (!condenser(u.rated_condenser_K))
    throw core::RangeError(
        "unit: the balance at the rating point lies outside the range of the "
        "compressor's sheet; check its range, conductances and flows");
  const unit::Map::Range range{reach(u.rated_wet_bulb_K, -1, to_kelvin(5), wet),
                               reach(u.rated_wet_bulb_K, 1, to_kelvin(30), wet),
                               reach(u.rated_condenser_K, -1, to_kelvin(10), condenser),
                               reach(u.rated_condenser_K, 1, to_kelvin(65), condenser),
                               u.minimum_speed_1};
  u.map = unit::Map(range, [&](double x, double y, double speed_1) {
    const unit::Balance r = balance(x, y, speed_1);
    return unit::Output{r.capacity_W, r.power_W + s.condenser_fan_W};
  });
  u.map_source = fmt::format("balance points of its compressor ({} form, AHRI 540) and two coils",
                             s.sheet.form == unit::SheetForm::capacity ? "capacity" : "mass-flow");
  const unit::Balance rated = balance(u.rated_wet_bulb_K, u.rated_condenser_K, 1);
  u.capacity_W = rated.capacity_W - u.cabin_fan_W;
  u.power_W = rated.power_W + s.condenser_fan_W + u.cabin_fan_W + u.standby_W;
  u.sensible_ratio_1 = rated.sensible_W / rated.capacity_W;
  u.minimum_speed_capacity_1.reset();
  u.minimum_speed_power_1.reset();
}

}  // namespace

void bind_compressor(Binder& b, unit::Description& u) {
  if (!b.given().has_below("compressor")) return;
  Sheet s;
  bind_sheet(b, s, u);
  if (b.failed()) return;
  try {
    tabulate(s, u);
  } catch (const core::Error& e) {
    b.problem("compressor", e.what());
  }
}

}  // namespace cabinload::scenario
