// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/air/comfort.hpp>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/calendar.hpp>
#include <cabinload/simulation/observers.hpp>
#include <cmath>
#include <limits>

namespace cabinload::simulation {
namespace {
constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kNoon_s = 12 * core::kSecondsInHour;

/// Heat index at the bed.
double heat_index_K(const Step& s) {
  return air::heat_index_K(s.T_bed_K, air::relative_humidity_1(s.T_bed_K, s.W_air_1, s.p_Pa));
}

/// Share of a step in which a temperature that goes straight from one to the other is above.
double share_above_1(double from_K, double to_K, double limit_K) {
  if (from_K > limit_K && to_K > limit_K) return 1;
  if (!(from_K > limit_K) && to_K <= limit_K) return 0;
  if (std::isnan(from_K)) return 1;
  return (std::max(from_K, to_K) - limit_K) / std::abs(to_K - from_K);
}

}  // namespace

HourlyObserver::HourlyObserver(Hourly& out, double start_s) : out_(out) {
  out_.start_s = start_s;
}

void HourlyObserver::step(const Step& s) {
  if (seconds_ == 0) {
    sum_ = {};
    sum_.low = sum_.high = s.T_air_K;
  }
  const double dt = s.dt_s;
  sum_.T_air += s.T_air_K * dt;
  sum_.T_bed += s.T_bed_K * dt;
  sum_.T_operative += s.T_operative_K * dt;
  sum_.T_out += s.T_out_K * dt;
  sum_.heating += s.ideal_heating_W * dt;
  sum_.cooling += s.ideal_cooling_W * dt;
  sum_.W += s.W_air_1 * dt;
  sum_.co2 += s.co2_ppm * dt;
  sum_.unit += s.unit_electric_W * dt;
  sum_.sensible += s.sensible_W * dt;
  sum_.latent += s.latent_W * dt;
  sum_.on += s.compressor_on_1 * dt;
  sum_.other += s.other_W * dt;
  sum_.unserved += s.unserved_W * dt;
  sum_.refrigerator += s.refrigerator_W * dt;
  sum_.solar += s.solar_W * dt;
  sum_.alternator += s.alternator_W * dt;
  sum_.shore += s.shore_W * dt;
  sum_.battery_K += s.battery_K * dt;
  sum_.low = std::min(sum_.low, s.T_air_K);
  sum_.high = std::max(sum_.high, s.T_air_K);
  seconds_ += dt;
  if (seconds_ > core::kSecondsInHour - 0.5 * dt) close_hour(s);
}

void HourlyObserver::close_hour(const Step& last) {
  const double per_s = 1.0 / seconds_;
  out_.T_air_mean_K.push_back(sum_.T_air * per_s);
  out_.T_air_min_K.push_back(sum_.low);
  out_.T_air_max_K.push_back(sum_.high);
  out_.T_bed_mean_K.push_back(sum_.T_bed * per_s);
  out_.T_operative_mean_K.push_back(sum_.T_operative * per_s);
  out_.heat_index_end_K.push_back(heat_index_K(last));
  out_.T_out_mean_K.push_back(sum_.T_out * per_s);
  out_.ideal_heating_W.push_back(sum_.heating * per_s);
  out_.ideal_cooling_W.push_back(sum_.cooling * per_s);
  out_.W_air_1.push_back(sum_.W * per_s);
  out_.co2_ppm.push_back(sum_.co2 * per_s);
  out_.unit_electric_W.push_back(sum_.unit * per_s);
  out_.sensible_W.push_back(sum_.sensible * per_s);
  out_.latent_W.push_back(sum_.latent * per_s);
  out_.compressor_on_1.push_back(sum_.on * per_s);
  out_.other_W.push_back(sum_.other * per_s);
  out_.unserved_W.push_back(sum_.unserved * per_s);
  out_.refrigerator_W.push_back(sum_.refrigerator * per_s);
  out_.solar_W.push_back(sum_.solar * per_s);
  out_.alternator_W.push_back(sum_.alternator * per_s);
  out_.shore_W.push_back(sum_.shore * per_s);
  out_.battery_K.push_back(sum_.battery_K * per_s);
  out_.state_of_charge_end_1.push_back(last.state_of_charge_1);
  seconds_ = 0;
}

void HottestObserver::step(const Step& s) {
  const auto keep = [&](Hottest::Peak& peak, double T_K) {
    if (T_K > peak.T_K || (std::isnan(peak.T_K) && !std::isnan(T_K))) peak = {T_K, s.t_s};
  };
  keep(out_.cabin_air, s.T_air_K);
  keep(out_.roof_cavity, s.T_roof_cavity_K);
  keep(out_.roof_surface, s.T_roof_surface_K);
  keep(out_.outdoors, s.T_out_K);
}

double NightObserver::account_cut_s(const scenario::Night& night) {
  const double start = night.sleep_start_s;
  const double end = start + night.sleep_length_s();
  const bool holds_noon =
      (start <= kNoon_s && kNoon_s < end) ||
      (start <= kNoon_s + core::kSecondsInDay && kNoon_s + core::kSecondsInDay < end);
  if (!holds_noon) return kNoon_s;
  if (end <= core::kSecondsInDay) return 0;
  // Midnight too: amid the hours that are left.
  constexpr double kGrid_s = 600;
  const double awake_from_s = end - core::kSecondsInDay;
  return std::floor(0.5 * (awake_from_s + start) / kGrid_s) * kGrid_s;
}

NightObserver::NightObserver(std::vector<NightRecord>& out, const scenario::Night& night,
                             int first_day)
    : out_(out), T_limit_K_(night.T_limit_K), cut_s_(account_cut_s(night)), first_day_(first_day) {
  const auto after_cut = [&](double clock_s) {
    const double u = std::fmod(clock_s - cut_s_ + core::kSecondsInDay, core::kSecondsInDay);
    return u;
  };
  window_start_s_ = after_cut(night.sleep_start_s);
  window_end_s_ = after_cut(night.sleep_end_s);
  if (window_end_s_ <= window_start_s_) window_end_s_ += core::kSecondsInDay;
  judged_start_s_ = std::min(window_start_s_ + night.pull_down_allowance_s, window_end_s_);
}

void NightObserver::open(int night_index) {
  open_ = night_index;
  NightRecord record;
  // With the cut at noon the sleep window may start after midnight: still this evening's night.
  record.date = core::date_of(first_day_ + night_index);
  record.bed_peak_K = -std::numeric_limits<double>::infinity();
  record.pull_down_min = kNaN;
  record.battery_empty_second_of_day = kNaN;
  record.outdoor_min_K = std::numeric_limits<double>::infinity();
  record.outdoor_at_start_K = kNaN;
  out_.push_back(record);
  switched_on_ = false;
}

void NightObserver::step(const Step& s) {
  // The step's middle tells the night, its end the clock inside it.
  const double from_cut_s = s.t_s - 0.5 * s.dt_s - cut_s_;
  const int index = static_cast<int>(core::whole(from_cut_s / core::kSecondsInDay));
  if (index != open_) open(index);
  const double into_s = s.t_s - cut_s_ - index * core::kSecondsInDay;
  NightRecord& n = out_.back();
  const double hours = s.dt_s / core::kSecondsInHour;
  n.electric_Wh += s.unit_electric_W * hours;
  n.cooling_Wh += (s.sensible_W + s.latent_W) * hours;
  n.refrigerator_Wh += s.refrigerator_W * hours;
  n.unserved_Wh += s.unserved_W * hours;
  n.cells_bound_h += s.cells_bound ? hours : 0.0;
  n.compressor_on_h += s.compressor_on_1 * hours;
  n.scheduled_h += s.unit_scheduled ? hours : 0.0;
  n.condensate_L += s.condensate_kg_s * s.dt_s;  // 1 kg of water is 1 L
  const double limit_K = T_limit_K_ + kLimitTolerance_K;
  const double above_1 = share_above_1(bed_before_K_, s.T_bed_K, limit_K);
  if (s.unit_scheduled && !switched_on_) {
    switched_on_ = true;
    on_since_s_ = into_s - s.dt_s;
    if (bed_before_K_ <= limit_K) {
      n.reached_limit = true;
      n.pull_down_min = 0;
    }
  }
  const bool pulling_down = switched_on_ && !n.reached_limit;
  const Limit above_by = s.T_bed_K > limit_K ? s.limit : on_the_way_down(s.limit, pulling_down);
  if (pulling_down && above_1 < 1) {
    n.reached_limit = true;
    n.pull_down_min = (into_s - (1 - above_1) * s.dt_s - on_since_s_) / 60.0;
  }
  bed_before_K_ = s.T_bed_K;
  limit_before_ = s.limit;
  const bool lost = s.limit == Limit::battery;
  if (lost && std::isnan(n.battery_empty_second_of_day))
    n.battery_empty_second_of_day = std::fmod(s.t_s, core::kSecondsInDay);
  judge(s, into_s, {above_1, above_by, pulling_down});
}

/// What kept the bed above the limit in the part of a step before it came down: what did in the
/// step before; a unit that met its set point within the step gave all it had until then.
Limit NightObserver::on_the_way_down(Limit now, bool pulling_down) const {
  if (now != Limit::none) return now;
  const bool asked = limit_before_ != Limit::none && limit_before_ != Limit::schedule;
  return asked ? limit_before_ : pulling_down ? Limit::capacity : limit_before_;
}

void NightObserver::judge(const Step& s, double into_s, const Above& above) {
  constexpr double kRounding_s = 1e-6;
  NightRecord& n = out_.back();
  if (into_s > window_end_s_ + kRounding_s) return;
  // Peaks count from the moment on at which their span begins, whatever the step.
  if (into_s >= window_start_s_ - kRounding_s) n.co2_peak_ppm = std::max(n.co2_peak_ppm, s.co2_ppm);
  if (into_s >= judged_start_s_ - kRounding_s) peak(s);
  if (into_s <= window_start_s_) return;
  if (std::isnan(n.outdoor_at_start_K)) n.outdoor_at_start_K = s.T_out_K;
  n.outdoor_min_K = std::min(n.outdoor_min_K, s.T_out_K);
  const double unserved_Wh = s.unserved_W * s.dt_s / core::kSecondsInHour;
  n.unserved_asleep_Wh += unserved_Wh;
  if (s.unserved_empty) n.unserved_asleep_empty_Wh += unserved_Wh;
  n.battery_at_dawn_1 = s.state_of_charge_1;
  if (into_s <= judged_start_s_ + kRounding_s || above.share_1 <= 0) return;
  const double minutes = above.share_1 * s.dt_s / 60.0;
  n.minutes_above += minutes;
  // A unit that met its set point and still left the bed above the limit was not asked for more.
  const Limit limit = above.by == Limit::none ? Limit::schedule : above.by;
  n.minutes_above_by_limit[static_cast<std::size_t>(limit)] += minutes;
  if (limit == Limit::capacity && above.pulling_down) n.minutes_above_pulling_down += minutes;
}

void NightObserver::peak(const Step& s) {
  NightRecord& n = out_.back();
  if (s.T_bed_K > n.bed_peak_K) {
    n.bed_peak_K = s.T_bed_K;
    n.bed_peak_second_of_day = std::fmod(s.t_s, core::kSecondsInDay);
  }
  n.operative_peak_K = std::max(n.operative_peak_K, s.T_operative_K);
  n.heat_index_peak_K = std::max(n.heat_index_peak_K, heat_index_K(s));
}

}  // namespace cabinload::simulation
