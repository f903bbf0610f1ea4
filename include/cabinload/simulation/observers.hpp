// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/trace.hpp>

/// Observers add up while the run steps, so that no answer needs every step kept.
namespace cabinload::simulation {

/// Hour means, minima and maxima. Expects whole hours from the first step.
class HourlyObserver {
 public:
  /// @param out  outlives this  @param start_s  as Hourly::start_s
  HourlyObserver(Hourly& out, double start_s);
  /// Takes the next step.
  void step(const Step& step);

 private:
  void close_hour(const Step& last);
  Hourly& out_;
  double seconds_ = 0;
  struct {
    double T_air = 0, T_bed = 0, T_operative = 0, T_out = 0, heating = 0, cooling = 0, W = 0,
           co2 = 0, unit = 0, sensible = 0, latent = 0, on = 0, other = 0, unserved = 0,
           refrigerator = 0, solar = 0, alternator = 0, shore = 0, battery_K = 0, low = 0, high = 0;
  } sum_;
};

/// Keeps the highest temperatures and when they were.
class HottestObserver {
 public:
  /// @param out  outlives this
  explicit HottestObserver(Hottest& out) : out_(out) {}
  /// Takes the next step.
  void step(const Step& step);

 private:
  Hottest& out_;
};

/// Judges nights. A bed temperature counts as above the limit from kLimitTolerance_K on.
inline constexpr double kLimitTolerance_K = 0.005;

/// One NightRecord a night, written to `out` as the run passes.
class NightObserver {
 public:
  /// @param first_day  day index of the series' first day, for dates
  NightObserver(std::vector<NightRecord>& out, const scenario::Night& night, int first_day);
  /// Takes the next step.
  void step(const Step& step);
  /// Second of the day at which one night's account ends and the next begins.
  [[nodiscard]] static double account_cut_s(const scenario::Night& night);

 private:
  void open(int night_index);
  /// Of a step, the part in which the bed was above the limit, and why.
  struct Above {
    double share_1 = 0;
    Limit by = Limit::none;
    bool pulling_down = false;
  };
  [[nodiscard]] Limit on_the_way_down(Limit now, bool pulling_down) const;
  void judge(const Step& step, double into_s, const Above& above);
  void peak(const Step& step);
  std::vector<NightRecord>& out_;
  double T_limit_K_;
  double cut_s_, window_start_s_, window_end_s_, judged_start_s_;  // seconds after the cut
  int first_day_;
  int open_ = -1'000'000;  // index of the night being accounted
  bool switched_on_ = false;
  double on_since_s_ = 0;                                           // of the step's end clock
  double bed_before_K_ = std::numeric_limits<double>::quiet_NaN();  // at the end of the step before
  Limit limit_before_ = Limit::none;
};

}  // namespace cabinload::simulation
