// SPDX-License-Identifier: Apache-2.0
// Whole runs, one alone or several whose networks step together.
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/network/stepper.hpp>
#include <cabinload/simulation/run.hpp>
#include <cmath>
#include <memory>

#include "lane_run.hpp"
#include "require_step.hpp"

namespace cabinload::simulation {
namespace {

void check(const Job& job) {
  require_step(job.scenario->step_s);
  for (const double s : {job.scenario->idle_step_s, job.scenario->day_step_s})
    if (!divides(s, forcing::kSlot_s))
      throw core::RangeError("the steps while the unit is off must divide 600 s");
  const std::optional<Window>& window = job.options->window;
  if (window && !(window->hours > 0 && std::isfinite(window->from_s)))
    throw core::RangeError("a window needs a start and hours above 0");
}

/// L places for runs; empty ones keep a copy of some cabin that nothing happens to. What a run
/// throws ends it and is kept; the others go on.
template <int L>
class Together {
 public:
  explicit Together(std::span<const Job> jobs) : results_(jobs.size()) {
    for (std::size_t i = 0; i < jobs.size(); ++i)
      guard(i, [&] {
        check(jobs[i]);
        runs_[i] = std::make_unique<LaneRun<L>>(*jobs[i].cabin, *jobs[i].forcing, *jobs[i].scenario,
                                                *jobs[i].options, static_cast<int>(i));
        first_ = first_ == kNone ? i : first_;
      });
    if (first_ == kNone) return;
    std::vector<const network::Cabin*> cabins;
    std::vector<double> dt_s[kPaces];
    for (std::size_t i = 0; i < L; ++i) {
      const Job& job = jobs[i < jobs.size() && runs_[i] ? i : first_];
      cabins.push_back(job.cabin);
      for (int p = 0; p < kPaces; ++p)
        dt_s[p].push_back(step_of(*job.scenario, static_cast<Pace>(p)));
    }
    const std::span<const network::Cabin* const> all(cabins);
    stepper_.emplace(all, std::span<const double>(dt_s[0]));
    drive_.emplace(0);  // each run says itself what acts at its chains
    drive_->at_changed = false;
    for (std::size_t i = 0; i < L; ++i)
      stepper_->act_at(network::Drive<1>(cabins[i]->chains.size()).at, static_cast<int>(i));
    if (std::none_of(jobs.begin(), jobs.end(),
                     [](const Job& j) { return idles(*j.scenario, *j.options); }))
      return;
    for (const std::vector<double>& steps : dt_s)
      paces_.emplace_back(all, std::span<const double>(steps));
  }

  std::vector<Result> run() {
    if (first_ == kNone) return std::move(results_);
    network::Lane<L> T_K = network::Lane<L>::Constant(293.15), unit_W = network::Lane<L>::Zero();
    each([&](std::size_t i) { T_K[static_cast<int>(i)] = runs_[i]->T_start_K(); });
    stepper_->start_at(T_K);
    each([&](std::size_t i) { runs_[i]->start(*stepper_); });
    while (going()) {
      each([&](std::size_t i) {
        if (runs_[i]->choose(*stepper_))
          stepper_->use_step_of(paces_[static_cast<std::size_t>(runs_[i]->pace())],
                                static_cast<int>(i));
        runs_[i]->begin(*stepper_, *drive_);
      });
      network::Response<L> response = stepper_->prepare(*drive_);
      unit_W.setZero();
      each(
          [&](std::size_t i) { unit_W[static_cast<int>(i)] = runs_[i]->act(*stepper_, response); });
      stepper_->finish(*drive_, unit_W);
      each([&](std::size_t i) {
        runs_[i]->end(*stepper_);
        if (!runs_[i]->done()) return;
        results_[i].trace = std::move(runs_[i]->trace());
        runs_[i].reset();
      });
    }
    return std::move(results_);
  }

 private:
  static constexpr std::size_t kNone = static_cast<std::size_t>(-1);
  template <class Act>
  void guard(std::size_t i, Act act) {
    try {
      act();
    } catch (...) {
      results_[i].failure = std::current_exception();
      runs_[i].reset();
    }
  }
  template <class Act>
  void each(Act act) {
    for (std::size_t i = 0; i < results_.size(); ++i)
      if (runs_[i]) guard(i, [&] { act(i); });
  }
  [[nodiscard]] bool going() const {
    return std::any_of(std::begin(runs_), std::end(runs_), [](const auto& r) { return bool(r); });
  }

  std::unique_ptr<LaneRun<L>> runs_[L];
  std::size_t first_ = kNone;
  std::optional<network::Stepper<L>> stepper_;
  std::vector<network::Stepper<L>> paces_;  // their steps, where any run idles
  std::optional<network::Drive<L>> drive_;
  std::vector<Result> results_;
};

}  // namespace

bool idles(const scenario::Scenario& s, const Options& options) {
  return s.step_s >= kLeastToIdle_s && s.idle_step_s > s.step_s && !options.window &&
         !options.failing && !s.ideal.heat_to_K && !s.ideal.cool_to_K;
}

double Balance::worst() const {
  return std::max({heat_residual_relative, moisture_residual_relative, co2_residual_relative,
                   battery_residual_relative});
}

Nights nights_of(const scenario::Night& night, std::size_t hours, int first_day) {
  const int days = static_cast<int>(hours / 24);
  const auto offset = [&](core::Date date) {
    return (core::day_index(date) - first_day + core::kDaysInYear) % core::kDaysInYear;
  };
  const int first = night.from ? offset(*night.from) : 0;
  if (days < core::kDaysInYear) {
    const int last = night.to ? offset(*night.to) : days - 1;
    if (first >= days || last >= days || last < first)
      throw core::RangeError(
          "night.from, night.to: the period names an evening that the weather does not have: it "
          "holds " +
          core::long_text(core::date_of(first_day)) + " to " +
          core::long_text(core::date_of(first_day + days - 1)));
    return {first, last - first + 1};
  }
  const int last = night.to ? offset(*night.to) : days - 1;
  const int count = (last - first + days) % days + 1;
  return {first, count};
}

std::vector<Result> run_together(std::span<const Job> jobs) {
  if (jobs.size() <= 1) return Together<1>(jobs).run();
  if (jobs.size() <= 4) return Together<4>(jobs).run();
  CABINLOAD_ASSERT(jobs.size() <= static_cast<std::size_t>(kMostLanes));
  return Together<8>(jobs).run();
}

Trace run(const network::Cabin& cabin, const forcing::Forcing& forcing,
          const scenario::Scenario& scenario, const Options& options) {
  const Job job{&cabin, &forcing, &scenario, &options};
  Result result = std::move(run_together(std::span(&job, 1)).front());
  if (result.failure) std::rethrow_exception(result.failure);
  return std::move(result.trace);
}

}  // namespace cabinload::simulation
