// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/answers/size.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>
#include <limits>

#include "shared.hpp"

namespace cabinload::answers {
namespace {

/// A battery that no night empties.
constexpr double kAmple_J = 1e9;

/// Its box stays as it is: it must not cool the cabin.
void set_ample(scenario::Scenario& s) {
  s.supply.bank.nominal_energy_J = kAmple_J;
  if (std::isnan(s.battery_full_at_s)) s.battery_full_at_s = 12 * core::kSecondsInHour;
}

/// What feeds the unit keeps its ratio to what the unit draws.
void fit_converter(scenario::Scenario& s, const unit::Description& before) {
  if (s.supply.to_unit)
    s.supply.to_unit = power::dc_converter_of(
        s.supply.to_unit->rated_W * unit::rating(s.unit).power_W / unit::rating(before).power_W);
}

/// As many digits as a data plate has: whole watts and m3/h, tenths of a watt for the fan and what
/// is drawn at rest (engineering judgement). So what is told to be written in a file is what was
/// run.
void round_plate(unit::Description& u) {
  const auto round_to = [](double& x, double step) { x = std::round(x / step) * step; };
  constexpr double kFlow_m3_s = 1 / core::kSecondsInHour;
  round_to(u.power_W, 1);
  round_to(u.air_flow_m3_s, kFlow_m3_s);
  round_to(u.condenser_flow_m3_s, kFlow_m3_s);
  round_to(u.cabin_fan_W, 0.1);
  round_to(u.standby_W, 0.1);
}

/// Has the unit figures of a plate, and no others that a size would change?
bool by_plate(const unit::Description& u) {
  return !u.map && u.points.empty();
}

const unit::Description& listed_unit(const std::string& key) {
  const auto& all = unit::built_in();
  return *std::find_if(all.begin(), all.end(), [&](const auto& u) { return u.key == key; });
}

bool same_but_volts(const unit::Description& a, const unit::Description& b) {
  return a.capacity_W == b.capacity_W && a.power_W == b.power_W &&
         a.air_flow_m3_s == b.air_flow_m3_s && a.cabin_fan_W == b.cabin_fan_W &&
         a.refrigerant == b.refrigerant;
}

std::string quantity(const char* format, double value) {
  return fmt::format(fmt::runtime(format), value);
}

Size size_row(const SizeSearch& search, const SizeSearch::Found& found,
              const scenario::Scenario& base) {
  Size row;
  row.nights_percent = found.percent;
  if (!found.holds) {
    row.why_not = found.capacity_short
                      ? fmt::format("no capacity up to {:.0f} W holds it, whatever the battery",
                                    kMostCapacity_W)
                      : fmt::format("no battery up to {:.0f} kWh feeds it", kMostBattery_Wh / 1000);
    return row;
  }
  const SizeSeen& seen = search.seen(found.size);
  row.capacity_W = found.size.capacity_W();
  row.battery_Wh = found.size.battery_Wh();
  row.held = seen.held;
  row.needing_cooling = seen.needing_cooling;
  row.electric_Wh = seen.electric_Wh;
  for (const scenario::Override& o : size_overrides(base, found.size))
    row.overrides.push_back(o.key + "=" + o.value);
  return row;
}

}  // namespace

std::vector<SizeListed> listed_units() {
  std::vector<SizeListed> list;
  for (const unit::Description& u : unit::built_in()) {
    const auto same = std::find_if(list.begin(), list.end(), [&](const SizeListed& x) {
      return same_but_volts(listed_unit(x.keys.front()), u);
    });
    if (same != list.end())
      same->keys.push_back(u.key);
    else
      list.push_back({{u.key}, u.capacity_W, {}});
  }
  return list;
}

void set_capacity(scenario::Scenario& s, double capacity_W) {
  const unit::Description before = s.unit;
  const double factor = capacity_W / unit::rating(before).capacity_W;
  s.unit = unit::scaled(before, factor);
  if (by_plate(s.unit) && factor != 1) round_plate(s.unit);
  fit_converter(s, before);
}

void set_battery(scenario::Scenario& s, double energy_J) {
  power::BankDescription& bank = s.supply.bank;
  bank.nominal_energy_J = energy_J;
  const power::BankDescription fresh = power::bank_of(bank.chemistry, energy_J, bank.nominal_V);
  bank.heat_capacity_J_K = fresh.heat_capacity_J_K;
  bank.ua_W_K = fresh.ua_W_K;
  for (scenario::Entry& e : s.entries)
    if (e.key == "battery.capacity") {
      e.value = fmt::format("{:g} Wh", energy_J / core::kSecondsInHour);
      e.origin = "size";
    }
}

scenario::Scenario sized(const scenario::Scenario& base, const SizePoint& point) {
  scenario::Scenario s = base;
  if (point.listed < 0) {
    set_capacity(s, point.capacity_W());
  } else {
    s.unit = listed_unit(listed_units().at(static_cast<std::size_t>(point.listed)).keys.front());
    s.unit.volts = base.unit.volts;
    fit_converter(s, base.unit);
  }
  if (point.ample())
    set_ample(s);
  else
    set_battery(s, point.battery_Wh() * core::kSecondsInHour);
  return s;
}

std::vector<scenario::Override> size_overrides(const scenario::Scenario& base,
                                               const SizePoint& point) {
  if (!by_plate(base.unit) || given(base, "unit.current")) return {};
  const unit::Description u = sized(base, point).unit;
  std::vector<scenario::Override> list = {
      {"unit.capacity", quantity("{:.10g} W", u.capacity_W), "size"},
      {"unit.power", quantity("{:.10g} W", u.power_W), "size"},
      {"unit.air_flow", quantity("{:.10g} m3/h", u.air_flow_m3_s * core::kSecondsInHour), "size"},
      {"unit.cabin_fan", quantity("{:.10g} W", u.cabin_fan_W), "size"},
      {"unit.standby", quantity("{:.10g} W", u.standby_W), "size"}};
  if (u.condenser_flow_m3_s > 0)
    list.push_back({"unit.condenser_flow",
                    quantity("{:.10g} m3/h", u.condenser_flow_m3_s * core::kSecondsInHour),
                    "size"});
  if (!point.ample())
    list.push_back({"battery.capacity", quantity("{:g} kWh", point.battery_Wh() / 1000), "size"});
  return list;
}

NightHumidity night_humidity(const simulation::Trace& on, const Hold& hold,
                             const scenario::Night& night, int first_day, double p_Pa) {
  const int start_day = static_cast<int>(std::lround(on.hourly.start_s / core::kSecondsInDay));
  const double length_s = night.sleep_length_s();
  NightHumidity h;
  double sum = 0;
  int hours = 0;
  for (const HoldNight& n : hold.each_night) {
    if (!n.needs_cooling) continue;
    const int day = (core::day_index(n.date) - first_day - start_day + 2 * core::kDaysInYear) %
                    core::kDaysInYear;
    const double from_h = day * 24 + night.sleep_start_s / core::kSecondsInHour;
    for (double at = std::ceil(from_h); at + 1 <= from_h + length_s / core::kSecondsInHour; ++at) {
      const auto row = static_cast<std::size_t>(at);
      if (row >= on.hourly.W_air_1.size()) break;
      const double share =
          air::relative_humidity_1(on.hourly.T_air_mean_K[row], on.hourly.W_air_1[row], p_Pa);
      sum += share;
      h.highest_1 = std::max(h.highest_1, share);
      ++hours;
    }
  }
  h.mean_1 = hours > 0 ? sum / hours : std::numeric_limits<double>::quiet_NaN();
  return h;
}

core::Date typical_night(const Hold& hold) {
  const HoldNight* nearest = nullptr;
  const auto off = [&](const HoldNight& n) {
    return std::abs(n.electric_Wh - hold.electric_Wh.median);
  };
  for (const HoldNight& n : hold.each_night)
    if (n.needs_cooling && (nearest == nullptr || off(n) < off(*nearest))) nearest = &n;
  return nearest == nullptr ? core::Date{} : nearest->date;
}

std::optional<SizePoint> largest_found(const SizeSearch& search) {
  std::optional<SizePoint> largest;
  for (const SizeSearch::Found& found : search.sizes())
    if (found.holds) largest = found.size;
  return largest;
}

SizePoint roomier(const SizePoint& point, double over_1) {
  const auto more = [over_1](int steps, double most) {
    return std::min(static_cast<int>(std::ceil(steps * over_1 - 1e-9)),
                    static_cast<int>(std::lround(most)));
  };
  return {more(point.capacity, kMostCapacity_W / kCapacityStep_W),
          more(point.battery, kMostBattery_Wh / kBatteryStep_Wh), -1};
}

bool Sizes::met() const {
  return std::all_of(sizes.begin(), sizes.end(),
                     [](const Size& s) { return s.capacity_W && s.battery_Wh; });
}

void fill(Sizes& a, const SizeSearch& search, const scenario::Scenario& base) {
  for (const SizeSearch::Found& found : search.sizes())
    a.sizes.push_back(size_row(search, found, base));
  a.listed = listed_units();
  for (const SizeSearch::Found& found : search.listed()) {
    if (!found.holds) continue;
    SizeListed& unit = a.listed.at(static_cast<std::size_t>(found.size.listed));
    for (std::size_t i = 0; i < kSizePercents.size(); ++i) {
      if (kSizePercents[i] != found.percent) continue;
      unit.battery_Wh[i] = found.size.battery_Wh();
      for (const std::string& key : unit.keys) a.sizes[i].units_that_meet.push_back(key);
    }
  }
  for (const SizeSearch::Found& found : search.trade_off()) {
    SizeTrade row{found.size.capacity_W(), std::nullopt,
                  search.seen({found.size.capacity, -1, -1}).electric_Wh};
    if (found.holds) {
      row.battery_Wh = found.size.battery_Wh();
      row.electric_Wh = search.seen(found.size).electric_Wh;
    }
    a.trade_off.push_back(row);
  }
}

Sizes sizes(const Hold& now, const scenario::Scenario& scenario, const weather::Series& weather) {
  Sizes a;
  a.header = header_of("size", scenario, weather);
  a.header.from = now.header.from;
  a.header.to = now.header.to;
  a.header.warnings = now.header.warnings;
  a.T_limit_K = now.T_limit_K;
  a.in_period = now.in_period;
  a.needing_cooling = now.needing_cooling;
  a.held_now = now.held;
  a.unit_capacity_W = unit::rating(scenario.unit).capacity_W;
  a.battery_Wh = scenario.supply.bank.nominal_energy_J / core::kSecondsInHour;
  a.residual_relative = now.residual_relative;
  a.header.assumptions.push_back(
      {"method",
       fmt::format("Sizes: the scenario's unit in other sizes, its efficiency and all ratios as "
                   "they are, in steps of {:.0f} W; the battery in steps of {:.0f} Wh. Each try is "
                   "a run of the period; one step less does not hold its share.",
                   kCapacityStep_W, kBatteryStep_Wh)});
  return a;
}

}  // namespace cabinload::answers
