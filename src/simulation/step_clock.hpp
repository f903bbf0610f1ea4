// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/calendar.hpp>
#include <cabinload/simulation/run.hpp>
#include <cmath>
#include <limits>

namespace cabinload::simulation {

/// When the steps of a run begin, and how long each is: Scenario::step_s, or in a run that idles()
/// Scenario::idle_step_s where the unit is not scheduled on all through such a step.
class StepClock {
 public:
  /// Both outlive this.
  StepClock(const scenario::Scenario& scenario, const Options& options)
      : scenario_(scenario),
        options_(options),
        dt_s_(scenario.step_s),
        choose_from_s_(idles(scenario, options) ? -kNever_s : kNever_s) {}

  /// @param t_s  when the first step begins, seconds after 00:00 of the series' first day
  void start(double t_s) { same_since_s_ = t_s; }
  /// Decides on the next step. @return  whether its length is another than before
  [[nodiscard]] bool choose() {
    if (t_s() < choose_from_s_) return false;
    const double idle_s = scenario_.idle_step_s;
    const double past_s = std::fmod(core::second_of_day(t_s()), idle_s);
    choose_from_s_ = t_s() + idle_s - past_s;  // idle steps begin at multiples of themselves
    if (past_s != 0 || idle_ == idle_through(idle_s)) return false;
    same_since_s_ = t_s();
    same_ = 0;
    idle_ = !idle_;
    dt_s_ = idle_ ? idle_s : scenario_.step_s;
    return true;
  }
  /// Goes on to the step after.
  void advance() {
    ++same_;
    ++steps_;
  }

  /// When the next step begins.
  [[nodiscard]] double t_s() const { return same_since_s_ + static_cast<double>(same_) * dt_s_; }
  [[nodiscard]] double dt_s() const { return dt_s_; }
  [[nodiscard]] bool idle() const { return idle_; }
  /// Done so far.
  [[nodiscard]] std::size_t steps() const { return steps_; }

 private:
  static constexpr double kNever_s = std::numeric_limits<double>::infinity();

  [[nodiscard]] bool idle_through(double idle_s) const {
    return !options_.unit_enabled ||
           !scenario_.unit_on.active(core::second_of_day(t_s() + 0.5 * idle_s));
  }

  const scenario::Scenario& scenario_;
  const Options& options_;
  double dt_s_;
  double choose_from_s_;     // until then steps stay as they are
  double same_since_s_ = 0;  // when the first of the steps that are as long as now began
  long same_ = 0;            // such steps done
  std::size_t steps_ = 0;
  bool idle_ = false;
};

}  // namespace cabinload::simulation
