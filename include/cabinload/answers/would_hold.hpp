// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/size.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <optional>
#include <vector>

/// What alone would have held the hardest night: a larger unit, a bigger battery, a tree's shade by
/// day. Found by runs of the evenings up to that night.
namespace cabinload::answers {

/// The shade that is tried: at these hours that of a tree, or of what it stands under at others.
inline constexpr int kTriedShadeFrom_h = 7, kTriedShadeTo_h = 20;
/// Simulated before the night: walls, bedding and battery then stand as in the run of the period.
/// A battery that is not taken as full once a day remembers more: with it every evening from the
/// period's first one is run.
inline constexpr int kRunIn_days = 10;

/// Something to run instead of what is there.
struct WouldHoldTry {
  /// The one thing that is changed.
  enum class What { as_it_is, capacity, battery, shade } what = What::as_it_is;
  int steps = 0;  ///< of a capacity or battery: in kCapacityStep_W or kBatteryStep_Wh
  /// By what, then steps: an order for lists, no ranking.
  auto operator<=>(const WouldHoldTry&) const = default;
};

/// The scenario of a try, from the first evening that matters to the hardest night.
/// @pre that night is lost
[[nodiscard]] scenario::Scenario would_hold_scenario(const scenario::Scenario& scenario,
                                                     const Hold& answer, const WouldHoldTry& what);
/// It stands in some shade at all those hours, so that no other is tried.
[[nodiscard]] bool in_tried_shade(const scenario::Scenario& scenario);

/// What shade does to what charges the battery, where it is tried: for the list of what an answer
/// rests on. Nothing to say: the vehicle has no panels and its battery is not taken as full.
[[nodiscard]] std::optional<Assumption> shade_on_panels(const scenario::Scenario& scenario);

/// Finds the least capacity and the least battery by asking for tries, a list at a time. Larger
/// ones are tried first at a few factors, because larger is not always better: a unit that is far
/// too large may empty the battery. Between the first that holds and the last that does not it is
/// halved down to one step: the size found holds, one step less does not.
class WouldHoldSearch {
 public:
  /// @pre the answer has a hardest night, and it is lost
  WouldHoldSearch(const scenario::Scenario& scenario, const Hold& answer);
  /// Tries that are wanted next; empty: found.
  [[nodiscard]] std::vector<WouldHoldTry> wanted() const;
  /// Takes what a try gave.
  void tell(const WouldHoldTry& what, bool held);
  /// Once wanted() is empty. Nothing: already the vehicle as it is holds the night in these runs,
  /// so that they tell nothing.
  [[nodiscard]] std::optional<WouldHold> found() const;

 private:
  /// A span of whole steps that is searched.
  struct Steps {
    WouldHoldTry::What what;
    int low = 0;                ///< does not hold
    std::optional<int> high;    ///< holds
    std::vector<int> to_probe;  ///< rising; empty once probed
    std::vector<std::pair<int, bool>> probed;
    void tell(int steps, bool held);
  };
  WouldHold result_;
  std::optional<bool> as_it_is_;
  bool try_shade_ = false;
  Steps capacity_, battery_;
};

}  // namespace cabinload::answers
