// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cabinload/answers/heat_at_bed.hpp>
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/runtime.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/core/version.hpp>
#include <cmath>
#include <limits>
#include <numeric>
#include <tuple>

#include "shared.hpp"

namespace cabinload::answers {
namespace {

using simulation::Limit;
using simulation::NightRecord;

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr std::array<const char*, kWhys> kWhyKeys = {
    "", "capacity", "battery", "supply_limit", "cut_out", "pull_down", "schedule"};

/// Minutes above the limit after it was first reached that still count as having held it from then
/// on.
constexpr double kFlutter_min = 10;

/// Minutes above the limit by Why.
std::array<double, kWhys> minutes_by_why(const NightRecord& n) {
  const auto minutes = [&](Limit limit) {
    return n.minutes_above_by_limit[static_cast<std::size_t>(limit)];
  };
  // Late, not too small: only when the limit was reached and, but for a flutter, kept from then on.
  const double after_min = minutes(Limit::capacity) - n.minutes_above_pulling_down;
  const bool late = n.reached_limit && after_min <= kFlutter_min;
  const double pulling = late ? n.minutes_above_pulling_down : 0.0;
  return {0,
          minutes(Limit::capacity) - pulling,
          minutes(Limit::battery),
          minutes(Limit::supply_limit),
          minutes(Limit::cut_out),
          pulling,
          minutes(Limit::schedule)};
}

/// The limit with the largest part; at equal parts the first of these.
Why why_lost(const std::array<double, kWhys>& parts) {
  constexpr std::array kOrder = {Why::battery,   Why::supply_limit, Why::cut_out,
                                 Why::pull_down, Why::capacity,     Why::schedule};
  const auto of = [&](Why why) { return parts[static_cast<std::size_t>(why)]; };
  const Why most =
      *std::max_element(kOrder.begin(), kOrder.end(), [&](Why a, Why b) { return of(a) < of(b); });
  return of(most) > 0 ? most : Why::none;
}

/// What other loads went without in the sleep window, by Why [W h].
std::array<double, kWhys> unserved_by_why(const NightRecord& n) {
  std::array<double, kWhys> unserved_Wh{};
  unserved_Wh[static_cast<std::size_t>(Why::battery)] = n.unserved_asleep_empty_Wh;
  unserved_Wh[static_cast<std::size_t>(Why::supply_limit)] =
      n.unserved_asleep_Wh - n.unserved_asleep_empty_Wh;
  return unserved_Wh;
}

/// Why a lost night is lost, and the share that each limit had: of the minutes above the limit; of
/// what other loads went without where there are none.
void judge(HoldNight& night, const NightRecord& on) {
  const std::array<double, kWhys> parts = on.cool() ? unserved_by_why(on) : minutes_by_why(on);
  night.why = why_lost(parts);
  const double sum = std::accumulate(parts.begin(), parts.end(), 0.0);
  for (std::size_t i = 0; i < kWhys && sum > 0; ++i) night.limit_share_1[i] = parts[i] / sum;
}

HoldNight night_of(const NightRecord& on, const NightRecord& off) {
  HoldNight n;
  n.date = on.date;
  n.needs_cooling = !off.cool();
  n.held = on.held();
  if (!n.held) judge(n, on);
  n.bed_peak_K = on.bed_peak_K;
  n.bed_peak_second_of_day = on.bed_peak_second_of_day;
  n.minutes_above = on.minutes_above;
  n.electric_Wh = on.electric_Wh;
  n.cooling_Wh = on.cooling_Wh;
  n.refrigerator_Wh = on.refrigerator_Wh;
  n.duty_1 = on.scheduled_h > 0 ? on.compressor_on_h / on.scheduled_h : 0.0;
  n.battery_at_dawn_1 = on.battery_at_dawn_1;
  n.battery_empty_second_of_day = on.battery_empty_second_of_day;
  n.pull_down_min = on.pull_down_min;
  n.condensate_L = on.condensate_L;
  n.co2_peak_ppm = on.co2_peak_ppm;
  n.outdoor_at_start_K = on.outdoor_at_start_K;
  n.outdoor_min_K = on.outdoor_min_K;
  n.operative_peak_K = on.operative_peak_K;
  n.heat_index_peak_K = on.heat_index_peak_K;
  n.bed_peak_unit_off_K = off.bed_peak_K;
  n.unserved_Wh = on.unserved_Wh;
  n.unserved_asleep_Wh = on.unserved_asleep_Wh;
  n.cells_bound_h = on.cells_bound_h;
  return n;
}

/// Harder: more minutes above, then lost for other loads, then the hotter bed as far as anybody can
/// tell, then the emptier battery.
bool harder(const HoldNight& a, const HoldNight& b) {
  if (a.held != b.held) return b.held;
  if (a.minutes_above != b.minutes_above) return a.minutes_above > b.minutes_above;
  const double a_cK = std::round(100 * a.bed_peak_K), b_cK = std::round(100 * b.bed_peak_K);
  if (a_cK != b_cK) return a_cK > b_cK;
  if (a.battery_at_dawn_1 != b.battery_at_dawn_1) return a.battery_at_dawn_1 < b.battery_at_dawn_1;
  return a.electric_Wh > b.electric_Wh;
}

std::vector<HoldMonth> by_month(const std::vector<HoldNight>& nights) {
  std::vector<HoldMonth> months;
  for (int month = 1; month <= 12; ++month) {
    HoldMonth m;
    m.month = month;
    m.bed_peak_K = -std::numeric_limits<double>::infinity();
    std::vector<double> electric_Wh;
    std::array<int, kWhys> reasons{};
    for (const HoldNight& n : nights) {
      if (n.date.month != month) continue;
      ++m.nights;
      m.bed_peak_K = std::max(m.bed_peak_K, n.bed_peak_K);
      if (!n.needs_cooling) continue;
      ++m.needing_cooling;
      m.held += n.held ? 1 : 0;
      if (!n.held) ++reasons[static_cast<std::size_t>(n.why)];
      electric_Wh.push_back(n.electric_Wh);
    }
    if (m.nights == 0) continue;
    m.electric_Wh_median = electric_Wh.empty() ? 0.0 : quantile(electric_Wh, 0.5);
    m.most_frequent_why = most_often(reasons);
    months.push_back(m);
  }
  return months;
}

/// Figures over the nights that need cooling.
void summarize_nights(Hold& h) {
  std::vector<double> electric_Wh, dawn_1, condensate_L, pull_down_min;
  bool never_pulled_down = false;
  for (std::size_t i = 0; i < h.each_night.size(); ++i) {
    const HoldNight& n = h.each_night[i];
    h.co2_peak_ppm = std::max(h.co2_peak_ppm, n.co2_peak_ppm);
    if (!n.needs_cooling) continue;
    ++h.needing_cooling;
    h.held += n.held ? 1 : 0;
    electric_Wh.push_back(n.electric_Wh);
    dawn_1.push_back(n.battery_at_dawn_1);
    condensate_L.push_back(n.condensate_L);
    if (std::isnan(n.pull_down_min))
      never_pulled_down = true;
    else if (n.pull_down_min > 0)
      pull_down_min.push_back(n.pull_down_min);
  }
  h.electric_Wh = {quantile(electric_Wh, 0.5), quantile(electric_Wh, 0.9),
                   quantile(electric_Wh, 1.0)};
  h.battery_at_dawn_1 = {quantile(dawn_1, 0.5), quantile(dawn_1, 0.0)};
  h.condensate_L_median = quantile(condensate_L, 0.5);
  h.pull_down_min = {quantile(pull_down_min, 0.5),
                     never_pulled_down ? kNaN : quantile(pull_down_min, 1.0)};
}

/// The hardest night, hour by hour.
std::vector<HoldHour> worst_hours_of(const Hold& h, const simulation::Trace& on,
                                     const scenario::Night& night, int first_day) {
  std::vector<HoldHour> hours;
  if (!h.worst_night) return hours;
  const core::Date date = h.each_night[*h.worst_night].date;
  const int day = (core::day_index(date) - first_day + core::kDaysInYear) % core::kDaysInYear;
  double midnight_s = day * core::kSecondsInDay;
  if (midnight_s < on.hourly.start_s - 1) midnight_s += core::kDaysInYear * core::kSecondsInDay;
  const double end_s = night.sleep_start_s + night.sleep_length_s();
  const auto row = [&](double s) {
    return static_cast<long>(
        std::floor((midnight_s + s - on.hourly.start_s) / core::kSecondsInHour));
  };
  const long first = std::max(0L, row(night.sleep_start_s) - kHoursAround);
  const long last =
      std::min(static_cast<long>(on.hourly.T_bed_mean_K.size()), row(end_s - 1) + 1 + kHoursAround);
  for (long i = first; i < last; ++i) {
    const auto k = static_cast<std::size_t>(i);
    hours.push_back({std::fmod(static_cast<double>(i) * core::kSecondsInHour, core::kSecondsInDay),
                     on.hourly.T_bed_mean_K[k], on.hourly.T_out_mean_K[k],
                     on.hourly.state_of_charge_end_1[k]});
  }
  return hours;
}

/// A battery that is empty is told, also where the bed stayed cool without it.
void add_empty(Hold& h) {
  int nights = 0;
  const HoldNight* first = nullptr;
  for (const HoldNight& n : h.each_night) {
    if (!n.needs_cooling || !n.held || std::isnan(n.battery_empty_second_of_day)) continue;
    ++nights;
    if (first == nullptr) first = &n;
  }
  if (nights > 0)
    h.header.warnings.push_back(fmt::format(
        "battery: it ran empty on {} of the nights held, first on {} at {}: the bed stayed within "
        "the limit without it",
        nights, core::long_text(first->date),
        core::clock_text(first->battery_empty_second_of_day)));
}

}  // namespace

const char* why_key(Why why) {
  return kWhyKeys[static_cast<std::size_t>(why)];
}

Why why_from_key(const std::string& key) {
  for (std::size_t i = 0; i < kWhyKeys.size(); ++i)
    if (key == kWhyKeys[i]) return static_cast<Why>(i);
  throw core::RangeError("'" + key + "' is not a reason");
}

void rank_nights(Hold& h) {
  h.worst_night.reset();
  h.lost_worst_first.clear();
  for (std::size_t i = 0; i < h.each_night.size(); ++i) {
    const HoldNight& n = h.each_night[i];
    if (!n.needs_cooling) continue;
    if (!n.held) h.lost_worst_first.push_back(i);
    if (!h.worst_night || harder(n, h.each_night[*h.worst_night])) h.worst_night = i;
  }
  std::stable_sort(
      h.lost_worst_first.begin(), h.lost_worst_first.end(),
      [&](std::size_t a, std::size_t b) { return harder(h.each_night[a], h.each_night[b]); });
}

std::size_t hardest_of(const std::vector<Hold>& answers) {
  CABINLOAD_ASSERT(!answers.empty());
  const auto sums = [](const Hold& h) {
    double minutes = 0, Wh = 0;
    for (const HoldNight& n : h.each_night) {
      minutes += n.needs_cooling ? n.minutes_above : 0.0;
      Wh += n.electric_Wh;
    }
    return std::tuple(h.needing_cooling - h.held, minutes, Wh);
  };
  std::size_t hardest = 0;
  for (std::size_t i = 1; i < answers.size(); ++i)
    if (sums(answers[i]) > sums(answers[hardest])) hardest = i;
  return hardest;
}

Hold hold(const simulation::Trace& unit_on, const simulation::Trace& unit_off,
          const scenario::Scenario& scenario, const weather::Series& weather) {
  CABINLOAD_ASSERT(unit_on.nights.size() == unit_off.nights.size() && !unit_on.nights.empty());
  Hold h;
  h.header = header_of("hold", scenario, weather);
  h.header.from = unit_on.nights.front().date;
  h.header.to = unit_on.nights.back().date;
  h.heading_rad = scenario.vehicle.heading_rad;
  h.T_limit_K = scenario.night.T_limit_K;
  h.cut_off_1 = scenario.supply.bank.usable_low_1;
  h.in_period = static_cast<int>(unit_on.nights.size());
  for (std::size_t i = 0; i < unit_on.nights.size(); ++i)
    h.each_night.push_back(night_of(unit_on.nights[i], unit_off.nights[i]));
  summarize_nights(h);
  rank_nights(h);
  h.worst_hours = worst_hours_of(h, unit_on, scenario.night, weather.first_day);
  h.by_month = by_month(h.each_night);
  if (auto caution = heat_caution(heat_at_bed(h)))
    h.header.cautions.insert(h.header.cautions.begin(), std::move(*caution));
  h.residual_relative = std::max(unit_on.balance.worst(), unit_off.balance.worst());
  h.condenser_air_max_K = unit_on.condenser_air_max_K;
  if (unit_on.unit_on_h > 0) h.beyond_map_share_1 = unit_on.beyond_map_h / unit_on.unit_on_h;
  add_unserved(h);
  add_empty(h);
  for (std::string& w : supply_warnings(unit_on, scenario, weather.first_day))
    h.header.warnings.push_back(std::move(w));
  if (h.beyond_map_share_1 > 0.001)
    h.header.warnings.push_back(
        fmt::format("unit: {:.0f} % of its running hours lie outside the range of its data, where "
                    "it is continued straight: less sure",
                    std::max(1.0, 100 * h.beyond_map_share_1)));
  return h;
}

}  // namespace cabinload::answers
