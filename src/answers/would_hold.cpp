// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cabinload/answers/would_hold.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/scenario/parking.hpp>
#include <cmath>

#include "shared.hpp"

namespace cabinload::answers {
namespace {

using What = WouldHoldTry::What;

/// Sizes tried first, over what is there.
constexpr std::array<double, 6> kProbes_1 = {1.2, 1.5, 2, 3, 5, 10};

const HoldNight& hardest(const Hold& answer) {
  CABINLOAD_ASSERT(answer.worst_night && !answer.each_night[*answer.worst_night].held);
  return answer.each_night[*answer.worst_night];
}

/// Whole steps above `now`, rising, the most among them; none when it has the most already.
std::vector<int> probes(double now, double most, double step) {
  std::vector<int> list;
  const int last = static_cast<int>(std::lround(most / step));
  for (const double over_1 : kProbes_1) {
    const int steps = std::min(static_cast<int>(std::ceil(over_1 * now / step - 1e-9)), last);
    if (steps * step > now && (list.empty() || steps > list.back())) list.push_back(steps);
  }
  return list;
}

/// A tree's, or more hours of the shade that there is.
void shade(scenario::Scenario& s) {
  const auto clock = [](int hour) { return core::clock_text(hour * core::kSecondsInHour); };
  const auto hours =
      core::DaySchedule::parse(clock(kTriedShadeFrom_h) + "-" + clock(kTriedShadeTo_h));
  if (scenario::shaded(s.site))
    s.site.shade_hours = hours;
  else
    scenario::stand_under(s, "tree", hours);
}

}  // namespace

bool in_tried_shade(const scenario::Scenario& s) {
  return scenario::shaded(s.site) && covers(s.site.shade_hours, kTriedShadeFrom_h, kTriedShadeTo_h);
}

std::optional<Assumption> shade_on_panels(const scenario::Scenario& s) {
  if (!std::isnan(s.battery_full_at_s))
    return Assumption{"battery.full_at",
                      "More shade would lie on roof panels too and charge the battery less: not "
                      "counted, as the battery is taken as full every day."};
  if (!s.supply.panels) return std::nullopt;
  if (!s.supply.panels->in_parking_shade)
    return Assumption{"panels.shaded", "Shade that is tried does not fall on the panels."};
  return Assumption{"panels.shaded",
                    "Shade that is tried falls on the panels too: the charge they lose is counted. "
                    "Portable panels in the sun would not lose it."};
}

scenario::Scenario would_hold_scenario(const scenario::Scenario& scenario, const Hold& answer,
                                       const WouldHoldTry& what) {
  scenario::Scenario s = scenario;
  s.night.to = hardest(answer).date;
  if (std::isnan(s.battery_full_at_s)) {
    s.night.from = answer.each_night.front().date;
  } else {
    s.night.from = s.night.to;
    s.start.warm_up_days = std::max(s.start.warm_up_days, kRunIn_days);
  }
  if (what.what == What::capacity) set_capacity(s, what.steps * kCapacityStep_W);
  if (what.what == What::battery)
    set_battery(s, what.steps * kBatteryStep_Wh * core::kSecondsInHour);
  if (what.what == What::shade) shade(s);
  return s;
}

WouldHoldSearch::WouldHoldSearch(const scenario::Scenario& scenario, const Hold& answer)
    : capacity_{What::capacity, 0, {}, {}, {}}, battery_{What::battery, 0, {}, {}, {}} {
  const double capacity_W = unit::rating(scenario.unit).capacity_W;
  const double battery_Wh = scenario.supply.bank.nominal_energy_J / core::kSecondsInHour;
  result_.date = hardest(answer).date;
  result_.evenings_before = std::isnan(scenario.battery_full_at_s)
                                ? static_cast<int>(*answer.worst_night)
                                : std::max(scenario.start.warm_up_days, kRunIn_days);
  result_.most_capacity_W = std::max(capacity_W, kMostCapacity_W);
  result_.most_battery_Wh = std::max(battery_Wh, kMostBattery_Wh);
  try_shade_ = !in_tried_shade(scenario);
  capacity_.low = static_cast<int>(std::floor(capacity_W / kCapacityStep_W));
  capacity_.to_probe = probes(capacity_W, result_.most_capacity_W, kCapacityStep_W);
  battery_.low = static_cast<int>(std::floor(battery_Wh / kBatteryStep_Wh));
  battery_.to_probe = probes(battery_Wh, result_.most_battery_Wh, kBatteryStep_Wh);
}

std::vector<WouldHoldTry> WouldHoldSearch::wanted() const {
  std::vector<WouldHoldTry> list;
  if (!as_it_is_) {
    list.push_back({What::as_it_is, 0});
    if (try_shade_) list.push_back({What::shade, 0});
  } else if (*as_it_is_) {
    return {};
  }
  for (const Steps* s : {&capacity_, &battery_}) {
    for (const int steps : s->to_probe) list.push_back({s->what, steps});
    if (s->to_probe.empty() && s->high && *s->high - s->low > 1)
      list.push_back({s->what, (s->low + *s->high) / 2});
  }
  return list;
}

void WouldHoldSearch::Steps::tell(int steps, bool held) {
  if (to_probe.empty()) {
    if (held)
      high = steps;
    else
      low = steps;
    return;
  }
  probed.emplace_back(steps, held);
  if (probed.size() < to_probe.size()) return;
  to_probe.clear();
  std::sort(probed.begin(), probed.end());
  for (const auto& [size, good] : probed) {
    if (good) high = size;
    if (good) break;
    low = size;
  }
}

void WouldHoldSearch::tell(const WouldHoldTry& what, bool held) {
  switch (what.what) {
    case What::as_it_is:
      as_it_is_ = held;
      break;
    case What::shade:
      result_.shade = held;
      break;
    case What::capacity:
      capacity_.tell(what.steps, held);
      break;
    case What::battery:
      battery_.tell(what.steps, held);
      break;
  }
}

std::optional<WouldHold> WouldHoldSearch::found() const {
  if (as_it_is_.value_or(true)) return std::nullopt;
  WouldHold found = result_;
  if (capacity_.high) found.capacity_W = *capacity_.high * kCapacityStep_W;
  if (battery_.high) found.battery_Wh = *battery_.high * kBatteryStep_Wh;
  return found;
}

}  // namespace cabinload::answers
