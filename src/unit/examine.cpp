// SPDX-License-Identifier: Apache-2.0
#include "rating.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/unit.hpp>
#include <cmath>

namespace cabinload::unit {
namespace {

using core::to_celsius;

class Examiner {
 public:
  explicit Examiner(Findings& found) : found_(found) {}
  void require(bool good, const char* what, double value, const std::string& must) {
    if (!good)
      found_.problems.push_back(fmt::format("unit: {} = {:.6g}, must be {}", what, value, must));
  }
  void problem(std::string text) { found_.problems.push_back("unit: " + std::move(text)); }
  void odd(std::string text) { found_.odd.push_back("unit: " + std::move(text)); }

 private:
  Findings& found_;
};

void plate(const Description& d, Examiner& e) {
  e.require(d.capacity_W > 0 && d.capacity_W < 50000, "capacity in W", d.capacity_W,
            "above 0 and below 50000");
  e.require(d.cabin_fan_W >= 0 && d.cabin_fan_W < d.capacity_W, "cabin fan in W", d.cabin_fan_W,
            "between 0 and the capacity");
  e.require(d.standby_W >= 0, "standby in W", d.standby_W, "0 or above");
  e.require(d.power_W > d.cabin_fan_W + d.standby_W, "power in W", d.power_W,
            fmt::format("above the cabin fan and the standby, {:g} W, which are part of it",
                        d.cabin_fan_W + d.standby_W));
  e.require(d.volts > 0 && d.volts < 1000, "volts", d.volts, "above 0");
  e.require(d.sensible_ratio_1 > 0.3 && d.sensible_ratio_1 <= 1, "sensible ratio",
            d.sensible_ratio_1, "above 0.3 and at most 1: sensible heat is a part of the total");
  e.require(d.air_flow_m3_s > 0, "air flow in m3/s", d.air_flow_m3_s, "above 0");
  e.require(d.condenser_flow_m3_s >= 0, "condenser flow in m3/s", d.condenser_flow_m3_s,
            "0 (by the rated heat) or above");
  e.require(d.rated_dry_bulb_K >= d.rated_wet_bulb_K && d.rated_wet_bulb_K > 270,
            "rated wet bulb in degC", to_celsius(d.rated_wet_bulb_K), "at most the rated dry bulb");
}

void speeds(const Description& d, Examiner& e) {
  const auto share = [&](const std::optional<double>& value, const char* what) {
    if (value) e.require(*value > 0 && *value <= 1, what, *value, "above 0 and at most 1");
  };
  e.require(d.minimum_speed_1 > 0 && d.minimum_speed_1 <= 1, "minimum speed", d.minimum_speed_1,
            "above 0 and at most 1, which is full speed");
  share(d.minimum_speed_capacity_1, "capacity at minimum speed");
  share(d.minimum_speed_power_1, "power at minimum speed");
  e.require(d.cyclic_degradation_1 >= 0 && d.cyclic_degradation_1 < 1, "cyclic degradation",
            d.cyclic_degradation_1, "0 or above and below 1");
  e.require(d.ramp_s > 0 && d.ramp_s <= 3600, "ramp in s", d.ramp_s, "above 0 and at most 3600");
  e.require(d.minimum_on_s >= 0, "minimum on time in s", d.minimum_on_s, "0 or above");
  e.require(d.minimum_off_s >= 0, "minimum off time in s", d.minimum_off_s, "0 or above");
}

void protection(const Description& d, Examiner& e) {
  e.require(d.condenser_cut_out_K > d.rated_condenser_K, "condenser cut-out in degC",
            to_celsius(d.condenser_cut_out_K),
            fmt::format("above the rating point's {:.1f} degC: it must run there",
                        to_celsius(d.rated_condenser_K)));
  if (d.condenser_restart_K > 0)
    e.require(d.condenser_restart_K < d.condenser_cut_out_K, "condenser restart in degC",
              to_celsius(d.condenser_restart_K), "below the cut-out");
  if (d.derate_from_K)
    e.require(*d.derate_from_K < d.condenser_cut_out_K, "derate from, in degC",
              to_celsius(*d.derate_from_K), "below the cut-out");
  e.require(d.restart_delay_s >= 0, "restart delay in s", d.restart_delay_s, "0 or above");
  e.require(d.low_volts_stop_1 >= 0 && d.low_volts_stop_1 <= d.low_volts_restart_1,
            "low-voltage stop over nominal", d.low_volts_stop_1, "at most the restart's");
}

void settings(const Settings& s, Examiner& e) {
  e.require(s.speed_cap_1 > 0 && s.speed_cap_1 <= 1, "speed cap", s.speed_cap_1,
            "above 0 and at most 1");
  e.require(s.power_cap_W >= 0, "power cap in W", s.power_cap_W, "0 (none) or above");
  e.require(s.fan_level_1 >= 0.4 && s.fan_level_1 <= 1, "fan level", s.fan_level_1,
            "between 0.4 and 1: the range of the factors");
  e.require(s.quiet.fan_level_1 >= 0.4 && s.quiet.fan_level_1 <= 1, "quiet fan level",
            s.quiet.fan_level_1, "between 0.4 and 1: the range of the factors");
  e.require(s.quiet.speed_cap_1 > 0 && s.quiet.speed_cap_1 <= 1, "quiet speed cap",
            s.quiet.speed_cap_1, "above 0 and at most 1");
  e.require(s.recirculation_1 >= 0 && s.recirculation_1 <= 0.6, "recirculation", s.recirculation_1,
            "between 0 and 0.6");
  if (s.condenser_air_rise_K)
    e.require(*s.condenser_air_rise_K >= 0 && *s.condenser_air_rise_K < 40,
              "condenser air rise in K", *s.condenser_air_rise_K, "between 0 and 40");
  e.require(s.differential_K > 0 && s.differential_K <= 10, "differential in K", s.differential_K,
            "above 0 and at most 10");
  e.require(s.T_set_K > 250 && s.T_set_K < 330, "set point in degC", to_celsius(s.T_set_K),
            "a cabin temperature");
}

/// What a working heat pump cannot do.
void physics(const Description& d, const Characteristics& c, Examiner& e) {
  const Map::Range& r = c.map.range();
  constexpr int n = 12;
  bool falls = false;
  double before_W = -1;
  for (int j = 0; j <= n; ++j) {
    const double y = r.condenser_low_K + (r.condenser_high_K - r.condenser_low_K) * j / n;
    for (int i = 0; i <= n; ++i) {
      const double x = r.wet_bulb_low_K + (r.wet_bulb_high_K - r.wet_bulb_low_K) * i / n;
      const Output o = c.map.at(x, y, 1);
      if (!(o.total_W > 0) || !(o.power_W > 0)) {
        e.problem(
            fmt::format("at {:.1f} degC wet bulb and {:.1f} degC condenser air the map gives "
                        "{:.0f} W for {:.0f} W, must be above 0 in its whole range",
                        to_celsius(x), to_celsius(y), o.total_W, o.power_W));
        return;
      }
      // Carnot between the two air temperatures; the coil's air is no warmer than the rated room.
      const double T_air_K = std::max(x, d.rated_dry_bulb_K), lift_K = y - T_air_K;
      if (lift_K > 2 && o.total_W / o.power_W > T_air_K / lift_K) {
        e.problem(
            fmt::format("at {:.1f} degC wet bulb and {:.1f} degC condenser air it would give "
                        "{:.1f} W of cold per W, more than an ideal cycle between the two "
                        "airs ({:.1f}); check capacity and power",
                        to_celsius(x), to_celsius(y), o.total_W / o.power_W, T_air_K / lift_K));
        return;
      }
    }
    const double W = c.map.at(d.rated_wet_bulb_K, y, 1).total_W;
    falls = falls || (before_W > 0 && W < before_W);
    before_W = W;
  }
  if (!falls)
    e.problem(
        "its capacity rises with the condenser's air temperature everywhere; a cooling unit "
        "gives less the hotter its condenser is: check the points or coefficients");
  if (c.map.at(d.rated_wet_bulb_K, d.rated_condenser_K, 1).power_W <
      c.map.at(d.rated_wet_bulb_K, d.rated_condenser_K, d.minimum_speed_1).power_W)
    e.problem("it takes more power at minimum speed than at full speed");
}

void slowest(const Description& d, Examiner& e) {
  const double least_1 =
      d.map ? d.map->range().speed_low_1 : generic_factors(d.refrigerant).speed_low_1;
  if (d.minimum_speed_1 < least_1 - 1e-9 &&
      !(d.minimum_speed_capacity_1 && d.minimum_speed_power_1))
    e.odd(
        fmt::format("minimum speed = {:g} lies below {:g}, from where its map holds; capacity and "
                    "power go straight to nothing below: minimum_capacity and minimum_power would "
                    "tell",
                    d.minimum_speed_1, least_1));
}

void points(const Description& d, const Characteristics& c, Examiner& e) {
  if (!c.fit) return;
  const auto& p = d.points;
  const bool one = std::all_of(p.begin(), p.end(), [&](const MeasuredPoint& m) {
    return std::abs(m.wet_bulb_K - p[0].wet_bulb_K) < 0.5 &&
           std::abs(m.condenser_K - p[0].condenser_K) < 0.5 &&
           std::abs(m.speed_1 - p[0].speed_1) < 0.02;
  });
  if (one && p.size() > 1)
    e.odd(
        "all measured points share one condition: how it changes with heat outside is by generic "
        "factors alone; a point at another condenser temperature would tell");
  if (c.fit->worst_1 > 0.05)
    e.odd(fmt::format("the fit misses a measured point by {:.0f} %: see `cabinload show unit`",
                      100 * c.fit->worst_1));
}

/// Scales speed so that the slowest gives the stated shares of full-speed capacity and power.
Map with_stated_minimum(const Map& map, const Description& d) {
  Map::Range r = map.range();
  const double least_1 = r.speed_low_1;
  r.speed_low_1 = d.minimum_speed_1;
  // Below the map's own range capacity and power go straight to nothing.
  const auto at = [&](double x, double y, double s) {
    const Output o = map.at(x, y, s);
    const double share_1 = std::min(1.0, s / least_1);
    return Output{o.total_W * share_1, o.power_W * share_1};
  };
  const Output full = at(d.rated_wet_bulb_K, d.rated_condenser_K, 1);
  const Output slow = at(d.rated_wet_bulb_K, d.rated_condenser_K, r.speed_low_1);
  const double capacity =
      d.minimum_speed_capacity_1 ? *d.minimum_speed_capacity_1 * full.total_W / slow.total_W : 1.0;
  const double power =
      d.minimum_speed_power_1 ? *d.minimum_speed_power_1 * full.power_W / slow.power_W : 1.0;
  return {r, [&, capacity, power](double x, double y, double s) {
            const double t = r.speed_low_1 < 1 ? (1 - s) / (1 - r.speed_low_1) : 0.0;
            const Output o = at(x, y, s);
            return Output{o.total_W * (1 + (capacity - 1) * t), o.power_W * (1 + (power - 1) * t)};
          }};
}

}  // namespace

BypassResult rated_coil(const Description& d, const Map& map) {
  const double p_Pa = core::kStandardPressure_Pa;
  const double W =
      air::humidity_ratio_from_wet_bulb_1(d.rated_dry_bulb_K, d.rated_wet_bulb_K, p_Pa);
  const double flow = d.air_flow_m3_s * air::density_kg_m3(d.rated_dry_bulb_K, W, p_Pa) / (1 + W);
  const double total_W = map.at(d.rated_wet_bulb_K, d.rated_condenser_K, 1).total_W;
  return bypass_factor(d.rated_dry_bulb_K, W, p_Pa, flow, total_W, total_W * d.sensible_ratio_1);
}

Characteristics characteristics(const Description& d) {
  const GenericFactors& g = generic_factors(d.refrigerant);
  Characteristics c;
  if (d.map) {
    c.map = *d.map;
    c.source = d.map_source;
  } else if (!d.points.empty()) {
    c.fit = fit_points(d.points, g, d.cabin_fan_W, d.standby_W);
    c.map = c.fit->map;
    c.source =
        c.fit->form +
        (c.fit->form.rfind("generic", 0) == 0 ? fmt::format(" ({} cycle)", d.refrigerant) : "");
  } else {
    using core::to_kelvin;
    const Output rated = g.at(to_celsius(d.rated_wet_bulb_K), to_celsius(d.rated_condenser_K), 1);
    const double capacity_W = (d.capacity_W + d.cabin_fan_W) / rated.total_W;
    const double power_W = (d.power_W - d.cabin_fan_W - d.standby_W) / rated.power_W;
    c.map = Map({to_kelvin(g.wet_bulb_low_degC), to_kelvin(g.wet_bulb_high_degC),
                 to_kelvin(g.condenser_low_degC), to_kelvin(g.condenser_high_degC), g.speed_low_1},
                [&](double x, double y, double s) {
                  const Output o = g.at(to_celsius(x), to_celsius(y), s);
                  return Output{capacity_W * o.total_W, power_W * o.power_W};
                });
    c.source = fmt::format("generic factors, ideal {} cycle", d.refrigerant);
  }
  c.map = with_stated_minimum(c.map, d);
  return c;
}

Findings examine(const Description& d, const Settings& s) {
  Findings found;
  Examiner e(found);
  plate(d, e);
  speeds(d, e);
  protection(d, e);
  settings(s, e);
  if (!found.problems.empty()) return found;
  try {
    const Characteristics c = characteristics(d);
    physics(d, c, e);
    points(d, c, e);
    slowest(d, e);
    (void)rated_coil(d, c.map);
  } catch (const core::RangeError& error) {
    found.problems.emplace_back(error.what());
  }
  return found;
}

}  // namespace cabinload::unit
