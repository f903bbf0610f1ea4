// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/answers/hold.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cmath>
#include <limits>

namespace cabinload::answers {

scenario::Scenario soak_scenario(const simulation::Trace& unit_off,
                                 const scenario::Scenario& scenario, int first_day) {
  const auto& hottest = unit_off.hourly.T_air_max_K;
  const auto row = std::max_element(hottest.begin(), hottest.end()) - hottest.begin();
  const double at_s = unit_off.hourly.start_s + static_cast<double>(row) * core::kSecondsInHour;
  const double last_day = unit_off.hourly.start_s / core::kSecondsInDay +
                          static_cast<double>(unit_off.nights.size()) - 1;
  const double day = std::min(std::floor(at_s / core::kSecondsInDay), last_day);
  // A night's account starts at noon: what is hottest before is switched on at noon.
  const int hour = std::clamp(
      static_cast<int>(std::lround((at_s - day * core::kSecondsInDay) / core::kSecondsInHour)), 12,
      24 - kSoakHours);
  scenario::Scenario soaked = scenario;
  power::BankDescription& bank = soaked.supply.bank;
  bank = ample_bank(bank);
  bank.cells.discharge_per_h.bands = {{0.0, bank.cells.discharge_per_h.largest()}};
  soaked.unit_on =
      core::DaySchedule::parse(core::clock_text(hour * core::kSecondsInHour) + "-" +
                               core::clock_text((hour + kSoakHours) % 24 * core::kSecondsInHour));
  soaked.night.from = soaked.night.to =
      core::date_of(first_day + static_cast<int>(std::lround(day)));
  soaked.night.T_limit_K = scenario.unit_settings.T_set_K - scenario.air.return_offset_K +
                           scenario.air.bed_offset_K + 0.5;
  // The evening's sleep window: what a day sleeper has would move the account.
  soaked.night.sleep_start_s = 22 * core::kSecondsInHour;
  soaked.night.sleep_end_s = 7 * core::kSecondsInHour;
  return soaked;
}

Soak soak(const simulation::Trace& soaked, const scenario::Scenario& scenario) {
  Soak s;
  const simulation::NightRecord& night = soaked.nights.front();
  s.date = night.date;
  s.switch_on_second_of_day = scenario.unit_on.intervals().front().start_min * 60.0;
  s.T_target_K = scenario.night.T_limit_K;
  s.minutes = night.pull_down_min <= 60.0 * kSoakHours ? night.pull_down_min
                                                       : std::numeric_limits<double>::quiet_NaN();
  const auto on =
      static_cast<std::size_t>(std::lround(s.switch_on_second_of_day / core::kSecondsInHour));
  s.T_cabin_K = soaked.hourly.T_air_max_K.at(on - 1);
  s.lowest_K = std::numeric_limits<double>::infinity();
  for (std::size_t h = on; h < on + kSoakHours; ++h)
    s.lowest_K = std::min(s.lowest_K, soaked.hourly.T_air_min_K.at(h));
  return s;
}

CycleNight cycle_night(const simulation::Trace& resolved, const Hold& season) {
  CycleNight c;
  const simulation::NightRecord& night = resolved.nights.front();
  c.date = night.date;
  c.electric_Wh = night.electric_Wh;
  c.bed_peak_K = night.bed_peak_K;
  for (const HoldNight& n : season.each_night) {
    if (n.date.month != c.date.month || n.date.day != c.date.day) continue;
    c.in_step_electric_Wh = n.electric_Wh;
    c.in_step_bed_peak_K = n.bed_peak_K;
  }
  bool on = false;
  for (const simulation::Step& s : resolved.window.steps) {
    if (s.compressor_on_1 > 0 && !on) ++c.starts;
    on = s.compressor_on_1 > 0;
  }
  return c;
}

}  // namespace cabinload::answers
