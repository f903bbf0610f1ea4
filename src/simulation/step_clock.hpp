// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/calendar.hpp>
#include <cabinload/simulation/run.hpp>
#include <limits>

namespace cabinload::simulation {

/// How long steps are: Scenario::step_s, idle_step_s or day_step_s.
enum class Pace { busy, idle, day };
inline constexpr int kPaces = 3;
/// Of a scenario.
[[nodiscard]] inline double step_of(const scenario::Scenario& s, Pace pace) {
  return pace == Pace::busy ? s.step_s : pace == Pace::idle ? s.idle_step_s : s.day_step_s;
}

/// When the steps of a run begin, and how long each is. In a run that idles() they are longer where
/// the unit is not scheduled on, or has nothing to cool, all through such a step, and longer again
/// by day, hours before anything is judged or cooled, and in nights far from any limit, when nobody
/// keeps the hours.
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
  /// @param nothing_to_cool  nor will be within an idle step
  /// @param nothing_to_judge  the bed is far below the limit
  [[nodiscard]] bool choose(bool nothing_to_cool, bool nothing_to_judge) {
    if (t_s() < choose_from_s_) return false;
    const double idle_s = scenario_.idle_step_s, day_s = scenario_.day_step_s;
    const double past_s = past(idle_s);
    choose_from_s_ = t_s() + idle_s - past_s;  // long steps begin at multiples of themselves
    if (past_s != 0) return false;
    Pace pace = nothing_to_cool || off_in(0.5 * idle_s) ? Pace::idle : Pace::busy;
    if (pace == Pace::idle && day_s > idle_s && past(day_s) == 0 && !options_.hours &&
        (nothing_to_judge || by_day()))
      pace = Pace::day;
    if (pace == Pace::day) choose_from_s_ = t_s() + day_s;
    if (pace == pace_) return false;
    same_since_s_ = t_s();
    same_ = 0;
    pace_ = pace;
    dt_s_ = step_of(scenario_, pace);
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
  [[nodiscard]] Pace pace() const { return pace_; }
  /// Done so far.
  [[nodiscard]] std::size_t steps() const { return steps_; }

 private:
  static constexpr double kNever_s = std::numeric_limits<double>::infinity();
  /// So long before something is judged or cooled steps are no longer than idle ones. Engineering
  /// judgement, set beside steps of 2 s in tests/bench/README.md.
  static constexpr int kBefore_h = 2;

  /// Since the last multiple of a length in the day.
  [[nodiscard]] double past(double length_s) const {
    const double clock_s = core::second_of_day(t_s());
    return clock_s - length_s * static_cast<double>(core::whole(clock_s / length_s));
  }
  [[nodiscard]] bool off_in(double s) const {
    return !options_.unit_enabled || !scenario_.unit_on.active(core::second_of_day(t_s() + s));
  }
  [[nodiscard]] bool asleep_in(double s) const {
    const double since_s = core::second_of_day(t_s() + s - scenario_.night.sleep_start_s);
    return since_s < scenario_.night.sleep_length_s();
  }
  [[nodiscard]] bool by_day() const {
    for (int h = 0; h <= kBefore_h; ++h) {
      const double in_s = 0.5 * scenario_.day_step_s + h * core::kSecondsInHour;
      if (asleep_in(in_s) || !off_in(in_s)) return false;
    }
    return true;
  }

  const scenario::Scenario& scenario_;
  const Options& options_;
  double dt_s_;
  double choose_from_s_;     // until then steps stay as they are
  double same_since_s_ = 0;  // when the first of the steps that are as long as now began
  long same_ = 0;            // such steps done
  std::size_t steps_ = 0;
  Pace pace_ = Pace::busy;
};

}  // namespace cabinload::simulation
