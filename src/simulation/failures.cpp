// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/simulation/failures.hpp>
#include <cmath>

#include "held_cabin.hpp"
#include "require_step.hpp"

namespace cabinload::simulation {
namespace {

constexpr double kLargestResidual_1 = 1e-6;
/// A run without cooling is never cooler than a branch by the order of their starts alone; fan and
/// water on the coil disturb that order. Engineering judgement, shown wide enough in the tests.
constexpr double kOrderMargin_K = 0.5;

constexpr Running kUnitOn{};
constexpr Running kOnBattery{true, true, true, false};
constexpr Running kNothing{false, false, false, false};
constexpr Running kFanOnly{false, true, true, false};
constexpr Running kUnitDead{false, false, true, false};

/// The battery alone.
power::Supply battery_alone(const power::SupplyDescription& all) {
  power::SupplyDescription alone = all;
  alone.panels.reset();
  alone.alternator.reset();
  alone.shore.reset();
  return power::Supply(alone);
}

/// A battery that is followed from the hour in which the supply was lost.
struct Followed {
  std::size_t hour;
  power::Supply supply;
};

class FailureRun {
 public:
  FailureRun(const World& as_is, const World& bare, const scenario::Scenario& scenario,
             const FailureOptions& options)
      : as_is_(as_is),
        bare_(bare),
        scenario_(scenario),
        options_(options),
        machine_(scenario.unit, scenario.unit_settings),
        full_(battery_alone(scenario.supply)),
        main_(as_is, scenario, options, machine_, full_, scenario.step_s),
        here_(as_is, *this),
        there_(bare, *this),
        same_world_(bare.cabin == as_is.cabin && bare.forcing == as_is.forcing),
        silent_supply_(silent(scenario)) {}

  Failures run();

 private:
  /// The two steps of branches in one world.
  struct Pair {
    HeldCabin fine, coarse;
    Pair(const World& world, const FailureRun& r)
        : fine(world, r.scenario_, r.options_, r.machine_, r.full_, r.options_.fine_step_s),
          coarse(world, r.scenario_, r.options_, r.machine_, r.full_, r.scenario_.step_s) {}
  };
  struct Walk {
    double minutes = kNever_min, alarm_min = kNever_min;
  };
  [[nodiscard]] static bool silent(const scenario::Scenario& s);
  [[nodiscard]] std::vector<double> hottest(const World& world, const Running& running) const;
  [[nodiscard]] bool at_risk(const std::vector<double>& hottest_K, std::size_t hour) const;
  Walk walk(Pair& pair, double t_s, const Running& running, double longest_s,
            const Followed* battery = nullptr);
  void branch(std::size_t hour, double t_s);
  void explain(double t_s);
  [[nodiscard]] bool runs_low(const Followed& f) const;
  void hand_over(double t_s);
  void pass_followed(double passed_s);
  void follow();
  void account(double t_s);
  void pass_of_itself();

  World as_is_, bare_;
  const scenario::Scenario& scenario_;
  const FailureOptions& options_;
  unit::Machine machine_;
  power::Supply full_;
  HeldCabin main_;
  Pair here_, there_;
  bool same_world_, silent_supply_;
  std::vector<Followed> followed_;
  std::vector<double> passed_s_;                 // instants at which the main run passes a line
  std::vector<double> uncooled_K_, unshaded_K_;  // hottest air of each hour
  std::optional<FlowBook> before_;               // of the hour before FailureOptions::asked
  double start_s_ = 0, end_s_ = 0, warm_s_ = 0, above_s_ = 0, cold_s_ = 0, excess_K_ = -1;
  Failures out_;
};

/// Nothing but the unit is on the supply: an empty battery is a dead unit.
bool FailureRun::silent(const scenario::Scenario& s) {
  const auto on = [](const occupants::Appliance& a) { return a.on_battery; };
  return std::none_of(s.appliances.begin(), s.appliances.end(), on) && s.air.fan.power_W <= 0 &&
         !s.supply.inverter && !s.supply.to_unit;
}

/// Hottest air of each hour of the days and of what a branch may add, all of it in one state.
std::vector<double> FailureRun::hottest(const World& world, const Running& running) const {
  const auto more = static_cast<std::size_t>(std::ceil(options_.longest_s / core::kSecondsInHour));
  std::vector<double> hours(static_cast<std::size_t>(options_.days.count) * 24 + more, 0.0);
  HeldCabin cabin(world, scenario_, options_, machine_, full_, scenario_.step_s);
  cabin.start_at(warm_s_);
  const double end_s = end_s_ + static_cast<double>(more) * core::kSecondsInHour;
  const long steps = std::lround((end_s - warm_s_) / cabin.dt_s());
  for (long i = 0; i < steps; ++i) {
    const double t_s = warm_s_ + static_cast<double>(i) * cabin.dt_s();
    cabin.step(t_s, running);
    const double into_s = t_s + 0.5 * cabin.dt_s() - start_s_;
    if (into_s < 0) continue;
    double& hour = hours[static_cast<std::size_t>(into_s / core::kSecondsInHour)];
    hour = std::max(hour, cabin.T_air_K());
  }
  return hours;
}

bool FailureRun::at_risk(const std::vector<double>& hottest_K, std::size_t hour) const {
  if (options_.every_branch) return true;
  const auto more = static_cast<std::size_t>(std::ceil(options_.longest_s / core::kSecondsInHour));
  const auto first = hottest_K.begin() + static_cast<long>(hour);
  return *std::max_element(first, first + static_cast<long>(more)) >
         occupants::least_at_risk_K(options_.limit) - kOrderMargin_K;
}

/// From the main run's state until a line is passed; on a battery of its own, if one is given.
FailureRun::Walk FailureRun::walk(Pair& pair, double t_s, const Running& running, double longest_s,
                                  const Followed* battery) {
  Walk w;
  ++out_.branches;
  HeldCabin* at = &pair.fine;
  at->go_on_from(main_);
  if (battery != nullptr) at->run_on(battery->supply);
  double before_K = main_.excess_K(), T_before_K = main_.T_air_K(), into_s = 0;
  double fine_until_s = options_.fine_for_s;
  if (T_before_K >= options_.helps.T_alarm_K) w.alarm_min = 0;
  if (before_K >= 0) return {0, w.alarm_min};
  while (into_s < longest_s - 1e-6) {
    if (at == &pair.fine && into_s > fine_until_s - 1e-6) {
      pair.coarse.go_on_from(pair.fine);
      at = &pair.coarse;
    }
    at->step(t_s + into_s, running);
    if (running.unit && battery != nullptr && !at->battery_gave_out())
      fine_until_s = into_s + at->dt_s() + options_.fine_for_s;  // it stops suddenly
    ++out_.branch_steps;
    const double after_K = at->excess_K(), T_after_K = at->T_air_K(), dt_s = at->dt_s();
    const auto passed_min = [&](double from_K, double to_K) {
      return (into_s + dt_s * from_K / (from_K - to_K)) / 60.0;
    };
    const double alarm_K = options_.helps.T_alarm_K;
    if (w.alarm_min == kNever_min && T_after_K >= alarm_K)
      w.alarm_min = passed_min(T_before_K - alarm_K, T_after_K - alarm_K);
    if (after_K >= 0) {
      w.minutes = passed_min(before_K, after_K);
      return w;
    }
    into_s += dt_s;
    before_K = after_K;
    T_before_K = T_after_K;
  }
  return w;
}

/// All failures of one hour.
void FailureRun::branch(std::size_t hour, double t_s) {
  const auto put = [&](Failure f, double minutes) {
    out_.minutes[static_cast<std::size_t>(f)][hour] = minutes;
  };
  out_.T_air_K[hour] = main_.T_air_K();
  out_.T_out_K[hour] = main_.T_out_K(t_s);
  if (same_world_)
    put(Failure::shade_lost, main_.excess_K() >= 0 ? 0.0 : kNever_min);
  else if (at_risk(unshaded_K_, hour))
    put(Failure::shade_lost, walk(there_, t_s, kUnitOn, options_.longest_s).minutes);
  followed_.push_back({hour, main_.supply()});
  followed_.back().supply.refill();
  if (!at_risk(uncooled_K_, hour)) return;
  const Walk dead = walk(here_, t_s, kUnitDead, options_.longest_s);
  put(Failure::unit_fault, dead.minutes);
  out_.alarm_min[hour] = dead.alarm_min;
  put(Failure::battery_empty,
      silent_supply_ ? dead.minutes : walk(here_, t_s, kNothing, options_.longest_s).minutes);
  put(Failure::cut_out, walk(here_, t_s, kFanOnly, options_.longest_s).minutes);
  if (dead.minutes == kNever_min) return;
  Running helped = kUnitDead;
  helped.fan_m3_s = options_.helps.fan_m3_s;
  out_.second_fan_min[hour] = walk(here_, t_s, helped, options_.longest_s).minutes;
  helped = kUnitDead;
  helped.opening_m2 = options_.helps.opening_m2;
  out_.opening_min[hour] = walk(here_, t_s, helped, options_.longest_s).minutes;
}

/// The one branch that was asked for, twice: how long it is, then its flows.
void FailureRun::explain(double t_s) {
  const Failure failure = options_.asked->failure;
  constexpr Running kRunning[] = {kUnitDead, kNothing, kOnBattery, kFanOnly, kUnitOn};
  const Running& running = kRunning[static_cast<std::size_t>(failure)];
  Pair& pair = failure == Failure::shade_lost ? there_ : here_;
  Followed battery{options_.asked->hour, main_.supply()};
  battery.supply.refill();
  const Followed* own = failure == Failure::supply_lost ? &battery : nullptr;
  const double minutes = walk(pair, t_s, running, options_.longest_s, own).minutes;
  const double long_s = std::min(60 * minutes, options_.longest_s);
  const World& world = failure == Failure::shade_lost ? bare_ : as_is_;
  FlowBook after(*world.cabin, scenario_, {{t_s, t_s + long_s}});
  pair.fine.keep(after);
  pair.coarse.keep(after);
  (void)walk(pair, t_s, running, options_.longest_s, own);
  out_.minutes[static_cast<std::size_t>(failure)][options_.asked->hour] = minutes;
  out_.flows = {before_->accounts()[0], after.accounts()[0]};
}

/// Is there so little left that the unit may soon stop?
bool FailureRun::runs_low(const Followed& f) const {
  constexpr double kLast_s = 1200, kOverStop_1 = 0.05;  // wide enough to see the unit off
  const power::BankDescription& bank = scenario_.supply.bank;
  const unit::Description& u = scenario_.unit;
  const power::Granted& granted = f.supply.granted();
  const double left_J =
      (f.supply.bank().state_of_charge_1() - bank.usable_low_1) * bank.nominal_energy_J;
  return !f.supply.bank().connected() || left_J < kLast_s * u.power_W ||
         (granted.unit_W > 0 && granted.unit_V < (u.low_volts_stop_1 + kOverStop_1) * u.volts);
}

/// The batteries that carry on alone. While there is enough in them the cabin is the main run's;
/// before they run low a branch takes over, at the start of the step at t_s.
void FailureRun::hand_over(double t_s) {
  const auto done = [&](const Followed& f) {
    const double carried_s = t_s - start_s_ - static_cast<double>(f.hour) * core::kSecondsInHour;
    if (carried_s >= options_.longest_s - 1e-6) return true;
    if (!runs_low(f)) return false;
    const auto hour = static_cast<std::size_t>((t_s - start_s_) / core::kSecondsInHour);
    if (hour < uncooled_K_.size() && !at_risk(uncooled_K_, f.hour)) return true;
    out_.minutes[static_cast<std::size_t>(Failure::supply_lost)][f.hour] =
        carried_s / 60.0 + walk(here_, t_s, kOnBattery, options_.longest_s - carried_s, &f).minutes;
    return true;
  };
  followed_.erase(std::remove_if(followed_.begin(), followed_.end(), done), followed_.end());
}

/// The main run passes a line itself while they carry on.
void FailureRun::pass_followed(double passed_s) {
  for (const Followed& f : followed_) {
    const double hour_s = start_s_ + static_cast<double>(f.hour) * core::kSecondsInHour;
    out_.minutes[static_cast<std::size_t>(Failure::supply_lost)][f.hour] =
        std::max(0.0, passed_s - hour_s) / 60.0;
  }
  followed_.clear();
}

/// What the main run's last step took of them.
void FailureRun::follow() {
  for (Followed& f : followed_) f.supply.step(main_.ask(), main_.power_around(), main_.dt_s());
}

/// No shade to lose: what the run with the unit does anyway.
void FailureRun::pass_of_itself() {
  std::vector<double>& minutes = out_.minutes[static_cast<std::size_t>(Failure::shade_lost)];
  for (std::size_t h = 0; h < minutes.size(); ++h) {
    const double hour_s = start_s_ + static_cast<double>(h) * core::kSecondsInHour;
    const auto next = std::lower_bound(passed_s_.begin(), passed_s_.end(), hour_s);
    if (minutes[h] != kNever_min || next == passed_s_.end()) continue;
    if (*next <= hour_s + options_.longest_s) minutes[h] = (*next - hour_s) / 60.0;
  }
}

/// What the run with the unit says of itself.
void FailureRun::account(double t_s) {
  const double T_K = main_.T_air_K(), dt_s = main_.dt_s();
  if (T_K > out_.peak_K) {
    out_.peak_K = T_K;
    out_.peak_at_s = t_s + dt_s;
  }
  out_.worst_excess_K = std::max(out_.worst_excess_K, excess_K_);
  out_.least_K = std::min(out_.least_K, T_K);
  above_s_ = T_K > options_.limit.T_general_K ? above_s_ + dt_s : 0;
  cold_s_ = T_K < options_.limit.T_least_K ? cold_s_ + dt_s : 0;
  out_.above_general_s = std::max(out_.above_general_s, above_s_);
  out_.cold_s = std::max(out_.cold_s, cold_s_);
}

Failures FailureRun::run() {
  start_s_ = options_.days.first * core::kSecondsInDay;
  end_s_ = start_s_ + options_.days.count * core::kSecondsInDay;
  warm_s_ = start_s_ - scenario_.start.warm_up_days * core::kSecondsInDay;
  const auto hours = static_cast<std::size_t>(options_.days.count) * 24;
  out_.start_s = start_s_;
  for (auto* v : {&out_.T_air_K, &out_.T_out_K}) v->assign(hours, 0.0);
  for (auto& v : out_.minutes) v.assign(hours, kNever_min);
  for (auto* v : {&out_.alarm_min, &out_.second_fan_min, &out_.opening_min})
    v->assign(hours, kNever_min);
  if (options_.asked) {
    const double at_s = start_s_ + static_cast<double>(options_.asked->hour) * core::kSecondsInHour;
    before_.emplace(*as_is_.cabin, scenario_,
                    std::vector<Span>{{at_s - core::kSecondsInHour, at_s}});
    main_.keep(*before_);
  } else {
    uncooled_K_ = hottest(as_is_, kFanOnly);
    if (!same_world_) unshaded_K_ = hottest(bare_, kUnitOn);
  }

  main_.start_at(warm_s_);
  // Batteries lost in the last hours are followed beyond the days.
  const long steps = std::lround((end_s_ + options_.longest_s - warm_s_) / main_.dt_s());
  const long an_hour = std::lround(core::kSecondsInHour / main_.dt_s());
  const long report_every = std::max(1L, steps / 20);
  const long first = std::lround((start_s_ - warm_s_) / main_.dt_s());
  for (long i = 0; i < steps; ++i) {
    const double t_s = warm_s_ + static_cast<double>(i) * main_.dt_s();
    const bool within = t_s > start_s_ - 1 && t_s < end_s_ - 1;
    if (options_.progress && i % report_every == 0)
      options_.progress(static_cast<double>(i) / static_cast<double>(steps));
    const auto hour = static_cast<std::size_t>(std::max(0L, i - first) / an_hour);
    if (within && (i - first) % an_hour == 0 && !options_.asked) branch(hour, t_s);
    if (within && options_.asked && hour == options_.asked->hour) {
      explain(t_s);
      break;
    }
    hand_over(t_s);
    if (!within && i >= first && followed_.empty() && !same_world_) break;
    main_.step(t_s, kUnitOn);
    const double excess_K = main_.excess_K();
    if (excess_K >= 0 && excess_K_ < 0)
      passed_s_.push_back(t_s + main_.dt_s() * excess_K_ / (excess_K_ - excess_K));
    if (excess_K >= 0) pass_followed(excess_K_ < 0 ? passed_s_.back() : t_s);
    excess_K_ = excess_K;
    if (within) account(t_s);
    follow();
  }
  if (same_world_ && !options_.asked) pass_of_itself();
  out_.heat_residual_relative = main_.heat_residual_relative();
  out_.moisture_residual_relative = main_.moisture_residual_relative();
  if (!std::isfinite(main_.T_air_K()))
    throw core::NumericalError("the cabin temperature is not finite at the end of the run");
  const double worst = std::max(out_.heat_residual_relative, out_.moisture_residual_relative);
  if (!(worst <= kLargestResidual_1))
    throw core::NumericalError("the balance of the run does not close: relative residual " +
                               std::to_string(worst) + ", allowed 1e-6");
  return out_;
}

}  // namespace

Failures failures(const World& as_is, const World& bare, const scenario::Scenario& scenario,
                  const FailureOptions& options) {
  require_step(scenario.step_s);
  if (!divides(options.fine_step_s, forcing::kSlot_s) ||
      !divides(forcing::kSlot_s, options.fine_for_s))
    throw core::RangeError("the fine step must divide 600 s and last a multiple of it");
  if (options.days.count < 1) throw core::RangeError("at least one day is needed");
  if (options.asked && options.asked->hour >= static_cast<std::size_t>(options.days.count) * 24)
    throw core::RangeError("the hour asked for lies after the days of the run");
  return FailureRun(as_is, bare, scenario, options).run();
}

}  // namespace cabinload::simulation
