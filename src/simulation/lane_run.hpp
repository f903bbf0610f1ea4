// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/network/stepper.hpp>
#include <cabinload/simulation/observers.hpp>
#include <cabinload/simulation/run.hpp>
#include <cabinload/unit/machine.hpp>

#include "cabin_air.hpp"
#include "flow_book.hpp"
#include "step_clock.hpp"
#include "surroundings.hpp"
#include "wet_faces.hpp"

namespace cabinload::simulation {

/// One run among L whose networks step together: everything but the network, which is the lane's of
/// a stepper that all share. The order of a step: choose(), begin(), the stepper's prepare(),
/// act(), its finish(), end().
template <int L>
class LaneRun {
 public:
  /// All outlive this.
  /// @throws core::RangeError  as run() says
  LaneRun(const network::Cabin& cabin, const forcing::Forcing& forcing,
          const scenario::Scenario& scenario, const Options& options, int lane);

  /// Temperature of all nodes at the start [K].
  [[nodiscard]] double T_start_K() const;
  /// @pre  the stepper's lane is at T_start_K()
  void start(const network::Stepper<L>& stepper);
  /// Decides on the length of the next step. @return  whether it is another than before
  [[nodiscard]] bool choose(const network::Stepper<L>& stepper) {
    return clock_.choose(nothing_to_cool(stepper), nothing_to_judge(stepper));
  }
  /// How long it is.
  [[nodiscard]] Pace pace() const { return clock_.pace(); }
  void begin(network::Stepper<L>& stepper, network::Drive<L>& drive);
  /// @return heat from the unit to the air [W]
  [[nodiscard]] double act(network::Stepper<L>& stepper, network::Response<L>& response);
  void end(const network::Stepper<L>& stepper);
  [[nodiscard]] bool done() const { return done_; }
  /// @pre  done()
  [[nodiscard]] Trace& trace() { return trace_; }

 private:
  void plan();
  [[nodiscard]] bool nothing_to_cool(const network::Stepper<L>& stepper) const;
  [[nodiscard]] bool nothing_to_judge(const network::Stepper<L>& stepper) const;
  void pass_on(network::Drive<L>& drive) const;
  void watch_nights(const Step& s);
  void watch_window(const Step& s);
  void close(const network::Stepper<L>& stepper);
  void note(const Step& s);
  void note_cells(const Step& s, double hours);
  [[nodiscard]] int place_of(const std::string& name) const;
  [[nodiscard]] double roof_W_m2(const network::Stepper<L>& stepper, const Outdoors& out) const;
  unit::Delivered cool(const network::Stepper<L>& stepper, const network::Response<L>& response,
                       const Outdoors& out);
  void hold_ideally(network::Stepper<L>& stepper, const network::Response<L>& response,
                    double unit_W);
  void power();
  void set_power(double T_air_K, double middle_s);
  void account_heat(const network::Stepper<L>& stepper);
  void close_balance(const network::Stepper<L>& stepper);
  /// Has this failure come? A step's end tells.
  [[nodiscard]] bool failed(Failure failure) const {
    return options_.failing && options_.failing->failure == failure &&
           step_.t_s > options_.failing->at_s + 0.5 * dt_s_;
  }
  void fail();

  const network::Cabin& cabin_;
  const forcing::Forcing& forcing_;
  const scenario::Scenario& scenario_;
  const Options& options_;
  int lane_;
  StepClock clock_;
  double dt_s_;  // of the current step
  network::Drive<1> drive_;
  Surroundings around_;
  unit::Machine machine_;
  unit::State unit_state_;
  power::Supply supply_;
  FlowBook book_;
  power::BankLimit most_bound_by_ = power::BankLimit::none;  // what the unit may draw, by the bank
  power::Ask ask_;
  occupants::Load load_;  // what ask_ is made of, beside the unit
  power::Around power_around_;
  bool in_window_ = false;  // of Options::window
  MixedAir vapour_, co2_;
  DewGuard dew_guard_;
  int roof_;                               // chain under the unit
  int heat_place_ = -1, cool_place_ = -1;  // chain at which ideal heat acts; -1: the air
  double ideal_air_W_ = 0;
  double fan_running_1_ = 0;
  bool gave_out_ = false;  // the battery, after the supply was lost
  double heat_in_J_ = 0, heat_throughput_J_ = 0, stored_at_start_J_ = 0;
  // Of the current step.
  Step step_;
  unit::Delivered given_;
  WetFaces wet_;
  bool booked_ = false;
  // The whole run.
  double start_s_ = 0, observe_s_ = 0, judge_s_ = 0, end_s_ = 0, cut_s_ = 0;
  int told_ = 0;  // times of progress
  bool done_ = false;
  Trace trace_;
  std::optional<HourlyObserver> hourly_;
  std::optional<HottestObserver> hottest_;
  std::optional<NightObserver> night_;
};

}  // namespace cabinload::simulation
