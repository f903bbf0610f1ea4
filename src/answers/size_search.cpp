// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/answers/size.hpp>
#include <cmath>
#include <cstdlib>
#include <limits>

namespace cabinload::answers {
namespace {

constexpr int kMostCapacity = static_cast<int>(kMostCapacity_W / kCapacityStep_W);
constexpr int kMostBattery = static_cast<int>(kMostBattery_Wh / kBatteryStep_Wh);
constexpr int kLeastBattery = static_cast<int>(kLeastBattery_Wh / kBatteryStep_Wh);
/// Near a guess it goes on in steps of this part of where it stands, far from it by factors of two.
constexpr int kStepOut = 16;
constexpr double kNearGuess_1 = 1.25;

/// Nights that make the share.
int nights_for(int percent, int needing) {
  return static_cast<int>(std::ceil(percent * needing / 100.0 - 1e-9));
}

}  // namespace

bool SizeSeen::holds(int percent) const {
  return held >= nights_for(percent, needing_cooling);
}

SizeSeen size_seen(const Hold& hold) {
  SizeSeen seen;
  seen.needing_cooling = hold.needing_cooling;
  seen.held = hold.held;
  seen.electric_Wh = hold.electric_Wh.median;
  for (const HoldNight& n : hold.each_night)
    if (n.needs_cooling && n.held) seen.held_Wh.push_back(n.electric_Wh);
  std::sort(seen.held_Wh.begin(), seen.held_Wh.end());
  return seen;
}

void SizeSearch::tell(const SizePoint& point, SizeSeen seen) {
  seen_[point] = std::move(seen);
}

/// Known, or asked for.
std::optional<bool> SizeSearch::holds(const SizePoint& point, int percent) {
  const auto at = seen_.find(point);
  if (at != seen_.end()) return at->second.holds(percent);
  if (std::find(want_.begin(), want_.end(), point) == want_.end()) want_.push_back(point);
  return std::nullopt;
}

/// The least value in a span that holds; nothing while tries are missing. The low end is taken to
/// fail without a try.
std::optional<SizeSearch::Found> SizeSearch::least(Span span, int percent, SizePoint point,
                                                   int SizePoint::*which) {
  const auto at = [&](int value) {
    point.*which = value;
    return holds(point, percent);
  };
  const std::optional<bool> high = at(span.high);
  if (!high) return std::nullopt;
  if (!*high) return Found{percent, point, false, which == &SizePoint::capacity};
  while (span.high - span.low > 1) {
    const int middle = (span.low + span.high) / 2;
    const std::optional<bool> good = at(middle);
    if (!good) return std::nullopt;
    (*good ? span.high : span.low) = middle;
  }
  point.*which = span.high;
  return Found{percent, point, true, false};
}

std::optional<SizeSearch::Found> SizeSearch::capacity(int percent) {
  return least({0, kMostCapacity}, percent, {0, -1, -1}, &SizePoint::capacity);
}

/// What the night that decides has taken from an ample battery, as nominal energy in steps.
std::optional<double> SizeSearch::guess(int percent, const SizePoint& unit) const {
  const SizeSeen& seen = seen_.at(unit);
  const int nights = nights_for(percent, seen.needing_cooling);
  if (nights < 1 || nights > static_cast<int>(seen.held_Wh.size())) return std::nullopt;
  return seen.held_Wh[static_cast<std::size_t>(nights - 1)] / usable_1_ / kBatteryStep_Wh;
}

/// The battery of a unit that holds the share with an ample one: tries that are known bracket it,
/// the guess and one step less are tried between them.
/// @pre the unit's try with an ample battery was told
std::optional<SizeSearch::Found> SizeSearch::battery(int percent, SizePoint unit) {
  const bool first = first_battery_;
  first_battery_ = false;
  if (!first && !found_to_guess_) return std::nullopt;
  int low = kLeastBattery - 1, high = kMostBattery + 1;
  const auto each = [&](auto use) {
    for (const auto& [point, seen] : seen_)
      if (!point.ample() && point.capacity == unit.capacity && point.listed == unit.listed)
        use(point.battery, seen.holds(percent));
  };
  each([&](int steps, bool good) { high = good ? std::min(high, steps) : high; });
  // A bigger one may fail again: it stores the day's heat, so that more nights need cooling.
  each([&](int steps, bool good) { low = !good && steps < high ? std::max(low, steps) : low; });
  const auto want = [&](int steps) {
    unit.battery = std::clamp(steps, kLeastBattery, kMostBattery);
    (void)holds(unit, percent);
  };
  if (low == kMostBattery || high - low <= 1) {
    found_to_guess_ = found_to_guess_.value_or(1.0);
    if (low == kMostBattery) return Found{percent, unit, false, false};
    unit.battery = high;
    return Found{percent, unit, true, false};
  }
  // By what the nearest battery found so far is over its guess.
  double to_guess_1 = 1;
  int nearest = std::numeric_limits<int>::max();
  for (const std::vector<Found>* list : {&sizes_, &trade_off_, &of_listed_})
    for (const Found& f : *list) {
      const bool same = f.size.capacity == unit.capacity && f.size.listed == unit.listed;
      const int far = (same ? 0 : 1000) + std::abs(f.percent - percent);
      const SizePoint ample{f.size.capacity, -1, f.size.listed};
      const std::optional<double> rough = f.holds ? guess(f.percent, ample) : std::nullopt;
      if (!rough || *rough <= 0 || far >= nearest) continue;
      nearest = far;
      to_guess_1 = f.size.battery / *rough;
    }
  const double near_it = guess(percent, unit).value_or(0) * to_guess_1;
  const int guessed = std::min(static_cast<int>(std::lround(near_it)), kMostBattery);
  if (guessed > low && guessed < high) {
    want(guessed);
    if (guessed - 1 > low) want(guessed - 1);
  } else if (low >= kLeastBattery && high <= kMostBattery) {
    want((low + high) / 2);
  } else if (high <= kMostBattery) {
    want(high - (high * kNearGuess_1 > near_it ? std::max(1, high / kStepOut) : high / 2));
  } else {
    want(low + (low < near_it * kNearGuess_1 ? std::max(1, low / kStepOut) : low));
  }
  return std::nullopt;
}

/// The battery for capacities larger than the least.
void SizeSearch::weigh(int percent, int capacity) {
  int before = 0;
  for (const double over_1 : kTradeOff_1) {
    const int wider = std::min(static_cast<int>(std::lround(capacity * over_1)), kMostCapacity);
    if (wider == before) continue;
    before = wider;
    const std::optional<bool> enough = holds({wider, -1, -1}, percent);
    if (!enough) continue;  // its energies give the guess
    const std::optional<Found> found = battery(percent, {wider, -1, -1});
    if (found) trade_off_.push_back(*found);
  }
}

std::vector<SizePoint> SizeSearch::wanted() {
  want_.clear();
  sizes_.clear();
  trade_off_.clear();
  of_listed_.clear();
  first_battery_ = true;
  for (const int percent : kSizePercents) {
    std::optional<Found> found = capacity(percent);
    if (found && found->holds) {
      const SizePoint unit = found->size;
      found = battery(percent, unit);
      if (percent == kSizeMain_percent) weigh(percent, unit.capacity);
    }
    if (found) sizes_.push_back(*found);
  }
  for (int listed = 0; listed < listed_; ++listed)
    for (const int percent : kSizePercents) {
      const SizePoint unit{0, -1, listed};
      const std::optional<bool> enough = holds(unit, percent);
      if (!enough) break;
      std::optional<Found> found = Found{percent, unit, false, true};
      if (*enough) found = battery(percent, unit);
      if (found) of_listed_.push_back(*found);
    }
  return want_;
}

}  // namespace cabinload::answers
