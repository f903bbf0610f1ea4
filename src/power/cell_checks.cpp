// SPDX-License-Identifier: Apache-2.0
#include "cell_checks.hpp"

#include <cmath>

#include "require.hpp"

namespace cabinload::power {
namespace {

void check_cells(const CellTable& c) {
  const auto is = [](bool good, const char* key, double value, const char* must) {
    require(good, "battery cells", key, value, must);
  };
  const auto& open = c.open_1.points;
  is(open.size() >= 2 && open.front().x == 0 && open.back().x == 1, "points of the voltage at rest",
     static_cast<double>(open.size()), "at least two, from charge 0 to charge 1");
  is(open.front().y > 0, "volts at rest when empty", open.front().y, "above 0");
  for (std::size_t i = 1; i < open.size(); ++i) {
    is(open[i].x > open[i - 1].x, "state of charge of a voltage at rest", open[i].x,
       "above the point before");
    is(open[i].y >= open[i - 1].y, "voltage at rest", open[i].y, "not below the point before");
  }
  is(c.upper_1 > open.back().y, "upper volts per nominal volt", c.upper_1,
     "above the voltage at rest of a full bank");
  is(c.rated_1 > 0, "rated volts per nominal volt", c.rated_1, "above 0");
  is(c.resistance_h > 0, "resistance", c.resistance_h, "above 0");
  is(!c.resistance_1.points.empty(), "points of the resistance", 0, "at least one");
  for (const Curve::Point& p : c.resistance_1.points)
    is(p.y > 0, "factor of the resistance", p.y, "above 0");
  for (const Bands* rates : {&c.charge_per_h, &c.discharge_per_h})
    is(rates->largest() > 0, "largest rate per hour", rates->largest(), "above 0");
  is(c.taper_per_h > 0, "taper per hour", c.taper_per_h, "above 0");
  is(c.coulombic_1 > 0.5 && c.coulombic_1 <= 1, "coulombic efficiency", c.coulombic_1,
     "above 0.5 and at most 1");
  is(c.self_discharge_1_s >= 0 && c.self_discharge_1_s < 1e-5, "self-discharge per second",
     c.self_discharge_1_s, "at least 0 and below 1e-5");
}

}  // namespace

void check(const BankDescription& d) {
  const auto is = [](bool good, const char* key, double value, const char* must) {
    require(good, "battery", key, value, must);
  };
  check_cells(d.cells);
  is(d.nominal_energy_J > 0 && std::isfinite(d.nominal_energy_J), "energy in Wh",
     d.nominal_energy_J / 3600, "above 0");
  is(d.nominal_V == 12 || d.nominal_V == 24 || d.nominal_V == 48, "volts", d.nominal_V,
     "12, 24 or 48");
  is(d.usable_low_1 >= 0 && d.usable_low_1 < 1, "usable low", d.usable_low_1,
     "at least 0 and below 1");
  is(d.usable_high_1 > d.usable_low_1 && d.usable_high_1 <= 1, "usable high", d.usable_high_1,
     "above usable low and at most 1 (is the window upside down?)");
  is(d.reconnect_charge_1 >= d.usable_low_1 && d.reconnect_charge_1 <= d.usable_high_1,
     "reconnect charge", d.reconnect_charge_1, "within the usable window");
  const double full_V = d.cells.upper_1 * d.nominal_V;
  is(d.disconnect_V >= 0 && d.disconnect_V < full_V, "disconnect volts", d.disconnect_V,
     "at least 0 (none) and below the charging voltage");
  is(d.reconnect_V >= d.disconnect_V && d.reconnect_V < full_V, "reconnect volts", d.reconnect_V,
     "at least the disconnect volts and below the charging voltage");
  is(d.delay_s >= 0 && std::isfinite(d.delay_s), "disconnect delay in s", d.delay_s, "at least 0");
  is(d.start_1 >= d.usable_low_1 && d.start_1 <= d.usable_high_1, "charge at the start", d.start_1,
     "within the usable window");
  is(d.port_limit_W >= 0, "port limit in W", d.port_limit_W, "at least 0 (none)");
  is(d.standby_W >= 0 && std::isfinite(d.standby_W), "standby in W", d.standby_W, "at least 0");
  is(d.heat_capacity_J_K > 0, "heat capacity in J/K", d.heat_capacity_J_K, "above 0");
  is(d.ua_W_K >= 0, "heat loss in W/K", d.ua_W_K, "at least 0");
  is(d.start_K > 200 && d.start_K < 350, "temperature at the start in K", d.start_K,
     "between 200 and 350");
}

}  // namespace cabinload::power
