// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/answers/common.hpp>
#include <cabinload/answers/hold.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/trace.hpp>
#include <cabinload/weather/series.hpp>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace cabinload::answers {

/// Shares of the nights that need cooling for which a size is found.
inline constexpr std::array<int, 5> kSizePercents = {50, 90, 95, 99, 100};
/// The share whose trade-off and too large units are told.
inline constexpr int kSizeMain_percent = 95;
/// Sizes are found in these steps, up to these.
inline constexpr double kCapacityStep_W = 50, kMostCapacity_W = 6000;
inline constexpr double kBatteryStep_Wh = 100, kLeastBattery_Wh = 200, kMostBattery_Wh = 20000;
/// Capacities beside the least one for which the trade-off tells a battery, over the least.
inline constexpr std::array<double, 5> kTradeOff_1 = {1, 1.15, 1.3, 1.6, 2};
/// Capacities of which the cost of being too large is told, over the one of the main share.
inline constexpr std::array<double, 3> kTooLarge_1 = {1, 1.5, 2.5};

/// How much larger than the one that holds the largest share a size is made that has room for what
/// nobody knows exactly: the first of these with which nine in ten vans drawn hold the main share.
inline constexpr std::array<double, 7> kRoom_1 = {1, 1.15, 1.3, 1.5, 1.75, 2, 2.5};
/// Without vans drawn. Engineering judgement: about what nine in ten of 32 vans need in Tucson.
inline constexpr double kRoomUnasked_1 = 1.3;
inline constexpr double kSureVans_1 = 0.9;

/// A size to try.
struct SizePoint {
  int capacity = 0;  ///< in kCapacityStep_W; of the scenario's unit made larger or smaller
  int battery = -1;  ///< in kBatteryStep_Wh; -1: one that never runs empty
  int listed = -1;   ///< index of a listed unit instead of a capacity; -1: none
  /// The capacity [W].
  [[nodiscard]] double capacity_W() const { return capacity * kCapacityStep_W; }
  /// The battery's nominal energy [W h]; meaningless where ample().
  [[nodiscard]] double battery_Wh() const { return battery * kBatteryStep_Wh; }
  /// With a battery that never runs empty.
  [[nodiscard]] bool ample() const { return battery < 0; }
  /// By capacity, battery, listed unit: an order for maps, no ranking.
  auto operator<=>(const SizePoint&) const = default;  // NOLINT(modernize-use-nullptr): its own 0
};

/// What a try gave.
struct SizeSeen {
  int needing_cooling = 0, held = 0;
  double electric_Wh = 0;  ///< median over the nights that need cooling
  /// Of the nights that need cooling and were held, rising; for a first guess of the battery.
  std::vector<double> held_Wh;
  /// Holds at least that share of the nights that need cooling. @param percent  0..100
  [[nodiscard]] bool holds(int percent) const;
};
/// What a search needs of the nights of a try.
[[nodiscard]] SizeSeen size_seen(const Hold& hold);

/// Finds sizes by asking for tries, a list at a time: first capacities with a battery that never
/// runs empty, then the battery for each. Bisection on whole steps: what it finds holds its share,
/// and one step less of it does not.
class SizeSearch {
 public:
  /// @param usable_1  of a battery's nominal energy; > 0
  /// @param listed    how many listed units there are
  SizeSearch(double usable_1, int listed) : usable_1_(usable_1), listed_(listed) {}

  /// What the search ended with for one share of the nights.
  struct Found {
    int percent = 0;
    SizePoint size;               ///< with the battery, where `holds`
    bool holds = false;           ///< false: no size up to the most holds that share
    bool capacity_short = false;  ///< why not: no capacity does; else no battery
  };
  /// Tries that are wanted next, in a fixed order; empty: found.
  [[nodiscard]] std::vector<SizePoint> wanted();
  /// Takes what a try gave; a point told again is replaced.
  void tell(const SizePoint& point, SizeSeen seen);

  // Once wanted() is empty:
  /// The sizes found, as kSizePercents.
  [[nodiscard]] const std::vector<Found>& sizes() const { return sizes_; }
  /// Batteries of larger capacities, for the main share.
  [[nodiscard]] const std::vector<Found>& trade_off() const { return trade_off_; }
  /// Batteries of the listed units, unit by unit, for every share.
  [[nodiscard]] const std::vector<Found>& listed() const { return of_listed_; }
  /// What a try gave. @pre it was told
  [[nodiscard]] const SizeSeen& seen(const SizePoint& point) const { return seen_.at(point); }
  /// Points told so far.
  [[nodiscard]] std::size_t tries() const { return seen_.size(); }

 private:
  struct Span {
    int low, high;  ///< fails, holds
  };
  std::optional<bool> holds(const SizePoint& point, int percent);
  std::optional<Found> least(Span span, int percent, SizePoint point, int SizePoint::*which);
  std::optional<Found> capacity(int percent);
  std::optional<Found> battery(int percent, SizePoint unit);
  [[nodiscard]] std::optional<double> guess(int percent, const SizePoint& unit) const;
  void weigh(int percent, int capacity);

  double usable_1_;
  int listed_;
  std::map<SizePoint, SizeSeen> seen_;
  std::vector<SizePoint> want_;
  bool first_battery_ = true;             // none was looked for in this round yet
  std::optional<double> found_to_guess_;  // of the first battery that was found
  std::vector<Found> sizes_, trade_off_, of_listed_;
};

/// One row of the answer.
struct Size {
  int nights_percent = 0;
  std::optional<double> capacity_W, battery_Wh;  ///< nothing: no size up to the most holds it
  std::string why_not;                           ///< in words, where nothing
  int held = 0, needing_cooling = 0;
  double electric_Wh = 0;                    ///< median
  std::optional<double> vans_1;              ///< of the vans drawn, that hold that share with it
  std::vector<std::string> units_that_meet;  ///< keys of listed units, each with its own battery
  std::vector<std::string> overrides;        ///< that make a scenario this size; empty: none do
};
/// A listed unit (those that differ in volts alone are one) and the battery with which it holds
/// each of kSizePercents.
struct SizeListed {
  std::vector<std::string> keys;
  double capacity_W = 0;
  std::array<std::optional<double>, kSizePercents.size()> battery_Wh;
};
/// A capacity of the trade-off, and the least battery with which it holds the main share.
struct SizeTrade {
  double capacity_W = 0;
  std::optional<double> battery_Wh;
  double electric_Wh = 0;  ///< median; without a battery: on one that never runs empty
};
/// A unit larger than needed, on one typical night at 1 s, and over the nights that need cooling.
struct SizeTooLarge {
  double capacity_W = 0, over_1 = 0;
  int starts = 0;           ///< of the compressor, in that night
  double electric_Wh = 0;   ///< median over the nights that need cooling
  double humidity_1 = 0;    ///< mean relative humidity in the sleep window of these
  double wettest_1 = 0;     ///< highest hour of that
  double condensate_L = 0;  ///< median
};

/// A size with room for what nobody knows exactly.
struct SizeRoomy {
  double over_1 = 0;  ///< of kRoom_1
  double capacity_W = 0, battery_Wh = 0;
  int held = 0, needing_cooling = 0;   ///< as described
  std::optional<double> vans_1;        ///< of the vans drawn, that hold the main share with it
  std::vector<std::string> overrides;  ///< as Size::overrides
};

/// The answer to `size`.
struct Sizes {
  Header header;
  double T_limit_K = 0;
  int in_period = 0, needing_cooling = 0;
  double unit_capacity_W = 0, battery_Wh = 0;  ///< of the scenario
  int held_now = 0;
  std::vector<Size> sizes;
  std::vector<SizeListed> listed;
  std::vector<SizeTrade> trade_off;  ///< for kSizeMain_percent
  std::vector<SizeTooLarge> too_large;
  std::optional<SizeRoomy> roomy;  ///< nothing: none of kRoom_1 is enough, or no size was found
  std::optional<core::Date> typical_night;
  std::size_t runs = 0;
  double residual_relative = 0;
  /// A capacity and a battery were found for every share.
  [[nodiscard]] bool met() const;
};

/// Listed units that differ by more than their volts, smallest first.
[[nodiscard]] std::vector<SizeListed> listed_units();
/// Makes the scenario's unit larger or smaller, its supply's converter with it; efficiency and all
/// ratios stay.
void set_capacity(scenario::Scenario& scenario, double capacity_W);
/// Gives the battery another nominal energy; its heat follows.
void set_battery(scenario::Scenario& scenario, double nominal_energy_J);
/// Scenario of a try: the unit scaled, or a listed one at the scenario's volts; the battery's
/// energy set. Volts do not matter: the battery is taken to have those of the unit.
[[nodiscard]] scenario::Scenario sized(const scenario::Scenario& base, const SizePoint& point);
/// Key and value of the keys that say the same, where the unit is described by its plate.
[[nodiscard]] std::vector<scenario::Override> size_overrides(const scenario::Scenario& base,
                                                             const SizePoint& point);
/// Relative humidity over hours.
struct NightHumidity {
  double mean_1 = 0, highest_1 = 0;
};
/// Mean and highest relative humidity in the sleep window of the nights that need cooling.
/// @param on  with its hours, over those nights
[[nodiscard]] NightHumidity night_humidity(const simulation::Trace& on, const Hold& hold,
                                           const scenario::Night& night, int first_day,
                                           double p_Pa);
/// The night whose electricity is nearest to the median of those that need cooling.
[[nodiscard]] core::Date typical_night(const Hold& hold);

/// The largest share that some size holds; nothing where there is none.
[[nodiscard]] std::optional<SizePoint> largest_found(const SizeSearch& search);
/// That size with room, rounded up to whole steps, up to the most there is. @param over_1  >= 1
[[nodiscard]] SizePoint roomier(const SizePoint& point, double over_1);

/// Rows, listed units and trade-off, from what was found.
void fill(Sizes& answer, const SizeSearch& search, const scenario::Scenario& base);
/// The answer but for these: what stands now.
[[nodiscard]] Sizes sizes(const Hold& now, const scenario::Scenario& scenario,
                          const weather::Series& weather);

}  // namespace cabinload::answers
