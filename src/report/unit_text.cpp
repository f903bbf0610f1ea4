// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/terminal.hpp>
#include <cabinload/unit/machine.hpp>

namespace cabinload::report {
namespace {

using core::format_quantity, core::Quantity;

/// Net figures at the cabin air of the tables: 25 degC at 50 %, sea level.
struct Net {
  double total_W, sensible_W, electric_W;
  bool inside;
};

Net at(const unit::Machine& machine, double condenser_degC, double speed_1) {
  const double T_K = core::to_kelvin(25), p_Pa = core::kStandardPressure_Pa;
  unit::Inlet in{T_K, air::humidity_ratio_from_relative_1(T_K, 0.5, p_Pa), p_Pa,
                 core::to_kelvin(condenser_degC)};
  unit::Description d = machine.description();
  d.condenser_cut_out_K = core::to_kelvin(120);  // the table goes on where the unit would stop
  d.derate_from_K.reset();
  d.minimum_speed_1 = std::min(d.minimum_speed_1, speed_1);
  unit::Settings s;
  s.T_set_K = T_K;
  s.condenser_air_rise_K = 0.0;
  s.speed_cap_1 = speed_1;
  unit::State state;
  const unit::Offer o = unit::Machine(d, s).offer(in, true, state, 1);
  return {o.fast.heat.sensible_W + o.fast.heat.latent_W - o.fan_W, o.fast.heat.sensible_W - o.fan_W,
          o.fast.compressor_W + o.fan_W + d.standby_W, o.inside};
}

std::string table(const unit::Machine& machine, double speed_1, core::UnitSystem system,
                  bool& beyond) {
  std::string out = fmt::format(
      "\n{} speed, cabin air {} at 50 %, net of the cabin fan\n"
      "  condenser air   total W   sensible W   electric W    COP\n",
      speed_1 >= 1 ? "Full" : fmt::format("{:.0f} %", 100 * speed_1),
      core::format_quantity(core::to_kelvin(25), core::Quantity::temperature, system, 0));
  double most_W = 0;
  for (int t = 20; t <= 60; t += 5) most_W = std::max(most_W, at(machine, t, speed_1).total_W);
  for (int t = 20; t <= 60; t += 5) {
    const Net n = at(machine, t, speed_1);
    const bool stopped = core::to_kelvin(t) > machine.description().condenser_cut_out_K;
    const std::string bar(static_cast<std::size_t>(std::max(0.0, 16 * n.total_W / most_W)), '#');
    beyond = beyond || !n.inside;
    out += fmt::format("  {:>12}{} {:>8.0f} {:>12.0f} {:>12.0f} {:>6.2f}  {:<16}{}\n",
                       format_quantity(core::to_kelvin(t), Quantity::temperature, system, 0),
                       n.inside ? " " : "*", n.total_W, n.sensible_W, n.electric_W,
                       n.total_W / n.electric_W, bar, stopped ? " stopped" : "");
  }
  return out;
}

std::string measured(const unit::Machine& machine, core::UnitSystem system) {
  const auto& fit = machine.characteristics().fit;
  if (!fit) return {};
  std::string out =
      "\nMeasured points and how far the fit is from them\n"
      "  condenser  wet bulb  speed  capacity W  power W  capacity   power\n";
  const auto& points = machine.description().points;
  for (std::size_t i = 0; i < points.size(); ++i)
    out += fmt::format("  {:>9} {:>9} {:>6.2f} {:>11.0f} {:>8.0f} {:>+7.1f} % {:>+6.1f} %\n",
                       format_quantity(points[i].condenser_K, Quantity::temperature, system, 1),
                       format_quantity(points[i].wet_bulb_K, Quantity::temperature, system, 1),
                       points[i].speed_1, points[i].capacity_W, points[i].power_W,
                       100 * fit->capacity_residual_1[i], 100 * fit->power_residual_1[i]);
  return out;
}

}  // namespace

std::string terminal(const unit::Description& u, const Style& style) {
  unit::Settings settings;
  settings.T_set_K = core::to_kelvin(25);
  const unit::Machine machine(u, settings);
  const unit::Map::Range& r = machine.characteristics().map.range();
  const auto degrees = [&](double T_K) {
    return format_quantity(T_K, Quantity::temperature, style.units, 0);
  };
  const unit::Output rated =
      machine.characteristics().map.at(u.rated_wet_bulb_K, u.rated_condenser_K, 1);
  const double net_W = rated.total_W - u.cabin_fan_W,
               power_W = rated.power_W + u.cabin_fan_W + u.standby_W;
  std::string out = wrapped(fmt::format("{}: {}. {}.", u.key, u.about, u.source), 80, 0);
  out += wrapped(
      fmt::format("{} from {:.0f} W ({:.1f} A at {:g} V) with {} at the condenser, {} dry and {} "
                  "wet bulb in the cabin. Cabin fan {:.0f} W, air {}.",
                  format_quantity(net_W, Quantity::power, style.units, 0), power_W,
                  power_W / u.volts, u.volts, degrees(u.rated_condenser_K),
                  degrees(u.rated_dry_bulb_K), degrees(u.rated_wet_bulb_K), u.cabin_fan_W,
                  format_quantity(u.air_flow_m3_s, Quantity::volume_flow, style.units, 0)),
      80, 0);
  out += wrapped(fmt::format("Its map: {}. It holds from {} to {} of condenser air and {} to {} of "
                             "wet bulb. Coil bypass factor {:.2f}. Stops above {}.",
                             machine.characteristics().source, degrees(r.condenser_low_K),
                             degrees(r.condenser_high_K), degrees(r.wet_bulb_low_K),
                             degrees(r.wet_bulb_high_K), machine.bypass_factor_1(),
                             degrees(u.condenser_cut_out_K)),
                 80, 0);
  bool beyond = false;
  out += table(machine, 1, style.units, beyond);
  if (u.minimum_speed_1 < 1) out += table(machine, u.minimum_speed_1, style.units, beyond);
  if (beyond) out += "  * beyond the range of its description: continued straight, less sure\n";
  return out + measured(machine, style.units);
}

}  // namespace cabinload::report
