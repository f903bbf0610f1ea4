// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/answers/common.hpp>
#include <cabinload/core/calendar.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/trace.hpp>
#include <cabinload/weather/series.hpp>
#include <optional>
#include <string>
#include <vector>

namespace cabinload::answers {

/// Why a night is lost. Text forms (JSON): capacity, battery, supply_limit, cut_out, pull_down,
/// schedule.
enum class Why { none, capacity, battery, supply_limit, cut_out, pull_down, schedule };
inline constexpr std::size_t kWhys = 7;                  ///< none included
[[nodiscard]] const char* why_key(Why why);              ///< "capacity"; none: ""
[[nodiscard]] Why why_from_key(const std::string& key);  ///< unknown: throws core::RangeError

/// One night. Electricity is that at the unit's terminals, cooling that of the coil, gross.
struct HoldNight {
  core::Date date;
  bool needs_cooling = false;
  bool held = false;    ///< with the unit, NightRecord::held() (also where no cooling is needed)
  Why why = Why::none;  ///< none when held
  /// Of the minutes above the limit, by Why: they add up to 1 when lost, all 0 when held; of a dark
  /// night, of the energy that other loads went without.
  std::array<double, kWhys> limit_share_1{};
  double bed_peak_K = 0;
  double bed_peak_second_of_day = 0;
  double operative_peak_K = 0;   ///< highest operative temperature at the bed
  double heat_index_peak_K = 0;  ///< highest heat index at the bed
  double minutes_above = 0;
  double electric_Wh = 0, cooling_Wh = 0;
  double refrigerator_Wh = 0;  ///< drawn by refrigerators, noon to noon as electric_Wh
  double duty_1 = 0;           ///< compressor hours over scheduled hours
  double battery_at_dawn_1 = 0;
  double battery_empty_second_of_day = 0;  ///< NaN: it did not run empty
  double missing_Wh = 0;                   ///< what the unit would have used from then to the end
                                           ///< of the sleep window; 0 when it did not
  double pull_down_min = 0;                ///< NaN: the limit was never reached
  double condensate_L = 0;
  double co2_peak_ppm = 0;
  double outdoor_at_start_K = 0, outdoor_min_K = 0;
  double bed_peak_unit_off_K = 0;  ///< same night with the unit off
  double unserved_Wh = 0;          ///< asked by other loads and not given, noon to noon
  double unserved_asleep_Wh = 0;   ///< of it in the sleep window
  double cells_bound_h =
      0;  ///< hours in which the battery's cells were too hot or too cold to give

  /// Lost although the bed stayed cool: other loads went without.
  [[nodiscard]] bool dark() const { return !held && minutes_above <= 0; }
};

/// The nights of one month.
/// An hour of the hardest night: means, the battery at its end.
struct HoldHour {
  double second_of_day = 0;  ///< of its start
  double T_bed_K = 0, T_out_K = 0, battery_1 = 0;
};
/// The nights of one calendar month.
struct HoldMonth {
  int month = 1;
  int nights = 0, needing_cooling = 0, held = 0;
  double electric_Wh_median = 0;  ///< of the nights needing cooling; 0 when none
  double bed_peak_K = 0;          ///< hottest of the month with the unit
  Why most_frequent_why = Why::none;
};

/// Over a set of nights, by quantile(); the worst is the highest unless the member says else.
struct Spread {
  double median = 0, worst = 0;
};
/// Over a set of nights, by quantile(); the worst is the highest.
struct Percentiles {
  double median = 0, p90 = 0, worst = 0;
};

/// Switched on in the hottest hour of the period, in a vehicle that stood closed until then.
struct Soak {
  core::Date date;
  double switch_on_second_of_day = 0;
  double T_cabin_K = 0;   ///< air when it is switched on
  double T_target_K = 0;  ///< at the bed: set point and half a kelvin
  double minutes = 0;     ///< until the bed is there; NaN: not within kSoakHours
  double lowest_K = 0;    ///< coolest cabin air in that time
};
inline constexpr int kSoakHours = 6;

/// One night with the compressor really going on and off.
struct CycleNight {
  core::Date date;
  int starts = 0;
  double electric_Wh = 0, in_step_electric_Wh = 0;  ///< resolved at 1 s; as in the season's run
  double bed_peak_K = 0, in_step_bed_peak_K = 0;
};

inline constexpr int kHoursAround = 3;

/// What alone would have held the hardest night, by runs of their own (would_hold.hpp).
struct WouldHold {
  core::Date date;
  int evenings_before = 0;                          ///< simulated before that night
  double most_capacity_W = 0, most_battery_Wh = 0;  ///< tried
  std::optional<double> capacity_W;  ///< least that holds it, all else as it is; nothing: none does
  std::optional<double> battery_Wh;  ///< the same
  std::optional<bool> shade;         ///< by day; nothing: it stands in shade already
};

/// How the nights of many vans that the description fits are held, study/spread.hpp.
struct HoldSpread {
  int samples = 0;
  /// Share of the nights that need cooling, as described, that is held: mean over the vans; nine in
  /// ten between low and high. Of one such night: the probability that it is held and the interval
  /// in which it lies, nine in ten, with so few vans. NaN: no night needs cooling.
  double mean_1 = 0, low_1 = 0, high_1 = 0;
  Likely held;             ///< nights needing cooling, as described, less all that a van loses
  Likely needing_cooling;  ///< nights
  Likely electric_Wh;      ///< median over the nights that need cooling
  std::vector<double> held_share_1;  ///< of the vans, that hold each night
};

/// The answer to `hold`. A pure function of two traces: unit on, unit off.
struct Hold {
  Header header;
  double T_limit_K = 0;
  int in_period = 0, needing_cooling = 0, held = 0;
  std::vector<HoldMonth> by_month;  ///< months that have nights, in calendar order
  std::vector<HoldNight> each_night;
  std::optional<std::size_t>
      worst_night;  ///< index into each_night; the hardest night needing cooling
  /// From kHoursAround before the sleep window to as long after it; empty where none needs cooling,
  /// or the run is not at hand (an answer that was stored).
  std::vector<HoldHour> worst_hours;
  std::vector<std::size_t> lost_worst_first;  ///< indices of nights needing cooling and not held
  Spread pull_down_min;            ///< over nights that needed pulling down; NaN when none
  Percentiles electric_Wh;         ///< over nights needing cooling
  Spread battery_at_dawn_1;        ///< worst = lowest
  double cut_off_1 = 0;            ///< charge at which the battery is empty
  double condensate_L_median = 0;  ///< over nights needing cooling
  double co2_peak_ppm = 0;
  double residual_relative = 0;
  double beyond_map_share_1 = 0;   ///< of compressor hours outside the range of the unit's data
  double condenser_air_max_K = 0;  ///< hottest that the condenser breathed; 0 when it never ran
  std::optional<Soak> soak;
  std::optional<CycleNight> cycles;
  std::optional<WouldHold> would_hold;  ///< nothing: no night is lost, or it was not asked
  /// Asked for the worst of eight headings: each one's nights held, and which was the worst.
  struct Heading {
    double heading_rad = 0;
    int held = 0, needing_cooling = 0;
  };
  std::vector<Heading> headings;  ///< empty unless asked for
  double heading_rad = 0;         ///< of this answer
  std::optional<HoldSpread> spread;

  /// Nights that may be promised: the low end of the spread, or what the one calculation holds.
  [[nodiscard]] int promised() const { return spread ? static_cast<int>(spread->held.low) : held; }
  /// Every night that needs cooling may be promised.
  [[nodiscard]] bool met() const { return promised() == needing_cooling; }
};

/// Finds the hardest night and the order of the lost ones from each_night.
void rank_nights(Hold& answer);

/// The hardest of several answers: fewest nights held of those that need cooling, then the most
/// minutes above the limit, then the most electricity. @pre at least one
[[nodiscard]] std::size_t hardest_of(const std::vector<Hold>& answers);

/// The same bank with the energy of a year of any unit: what then stops a run is not its charge.
[[nodiscard]] power::BankDescription ample_bank(power::BankDescription bank);
/// The run that a soak needs: unit on from the hottest hour of the run with the unit off, on a bank
/// that neither runs empty nor is too hot to give, so that it shows the unit alone.
[[nodiscard]] scenario::Scenario soak_scenario(const simulation::Trace& unit_off,
                                               const scenario::Scenario& scenario, int first_day);
/// What that run gave. @param soak_scenario  which was run
[[nodiscard]] Soak soak(const simulation::Trace& soaked, const scenario::Scenario& soak_scenario);
/// @param resolved  run of that one night with Options::cycles and its step trace
[[nodiscard]] CycleNight cycle_night(const simulation::Trace& resolved, const Hold& season);

/// The run that tells what was missing: the same with a battery that never ends, from the first to
/// the last night on which the battery ran empty. @pre ran_empty(answer)
[[nodiscard]] scenario::Scenario ample_scenario(const scenario::Scenario& scenario,
                                                const Hold& answer);
/// On some night the battery ran empty.
[[nodiscard]] bool ran_empty(const Hold& answer);
/// Sets HoldNight::missing_Wh from the hours of both runs.
/// @param ample  run of ample_scenario()
/// @pre `unit_on` covers the nights of the answer; asserted
void add_missing(Hold& answer, const simulation::Trace& unit_on, const simulation::Trace& ample,
                 const scenario::Night& night);

/// Warns of nights on which other loads went without, and of those on which the battery's cells
/// bound it.
void add_unserved(Hold& answer);

/// @pre both traces cover the same nights; asserted
[[nodiscard]] Hold hold(const simulation::Trace& unit_on, const simulation::Trace& unit_off,
                        const scenario::Scenario& scenario, const weather::Series& weather);

}  // namespace cabinload::answers
