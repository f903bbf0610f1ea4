// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/answers/size.hpp>
#include <cmath>

namespace cabinload::answers {
namespace {

constexpr int kMostCapacity = static_cast<int>(kMostCapacity_W / kCapacityStep_W);
constexpr int kMostBattery = static_cast<int>(kMostBattery_Wh / kBatteryStep_Wh);
constexpr int kLeastBattery = static_cast<int>(kLeastBattery_Wh / kBatteryStep_Wh);
/// How far from the guess of a battery the first tries lie.
constexpr double kBelowGuess_1 = 0.92, kAboveGuess_1 = 1.15;

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

/// The least value in a span that holds; nothing while tries are missing, or `none`.
/// A span whose low end is 0 fails there without a try.
std::optional<int> SizeSearch::boundary(Span span, int percent, SizePoint point,
                                        int SizePoint::*which, bool& none) {
  const auto at = [&](int value) {
    point.*which = value;
    return holds(point, percent);
  };
  none = false;
  const std::optional<bool> high = at(span.high);
  if (!high) return std::nullopt;
  if (!*high) {
    none = true;
    return std::nullopt;
  }
  while (span.high - span.low > 1) {
    const int middle = (span.low + span.high) / 2;
    const std::optional<bool> good = at(middle);
    if (!good) return std::nullopt;
    (*good ? span.high : span.low) = middle;
  }
  return span.high;
}

std::optional<SizeSearch::Found> SizeSearch::capacity(int percent) {
  bool none = false;
  const std::optional<int> least =
      boundary({0, kMostCapacity}, percent, {0, -1}, &SizePoint::capacity, none);
  if (none) return Found{percent, std::nullopt, true};
  if (!least) return std::nullopt;
  return Found{percent, SizePoint{*least, -1}, false};
}

/// A narrow span about what the night that decides has taken from an ample battery.
std::optional<SizeSearch::Span> SizeSearch::guess(int percent, int capacity) {
  const SizeSeen& seen = seen_.at({capacity, -1});
  const int nights = nights_for(percent, seen.needing_cooling);
  if (nights < 1 || nights > static_cast<int>(seen.held_Wh.size())) return std::nullopt;
  const double Wh = seen.held_Wh[static_cast<std::size_t>(nights - 1)] / usable_1_;
  const auto step = [&](double factor_1) {
    return std::clamp(static_cast<int>(std::lround(Wh * factor_1 / kBatteryStep_Wh)), kLeastBattery,
                      kMostBattery);
  };
  const int low = step(kBelowGuess_1), high = std::max(step(kAboveGuess_1), low + 1);
  return Span{low, high};
}

std::optional<SizeSearch::Found> SizeSearch::battery(int percent, int capacity) {
  Span span{kLeastBattery - 1, kMostBattery};
  if (const std::optional<Span> near = guess(percent, capacity); near && near->high < span.high) {
    const std::optional<bool> low = holds({capacity, near->low}, percent);
    const std::optional<bool> high = holds({capacity, near->high}, percent);
    if (!low || !high) return std::nullopt;
    if (*low) span.high = near->low;
    if (!*low) span.low = near->low;
    if (!*low && *high) span.high = near->high;
    if (!*low && !*high) span.low = near->high;
  }
  bool none = false;
  const std::optional<int> least =
      boundary(span, percent, {capacity, 0}, &SizePoint::battery, none);
  if (none) return Found{percent, std::nullopt, false};
  if (!least) return std::nullopt;
  return Found{percent, SizePoint{capacity, *least}, false};
}

/// The battery for capacities larger than the least.
void SizeSearch::weigh(int percent, int least) {
  int before = 0;
  for (const double over_1 : kTradeOff_1) {
    const int wider = std::min(static_cast<int>(std::lround(least * over_1)), kMostCapacity);
    if (wider == before) continue;
    before = wider;
    if (!holds({wider, -1}, percent)) continue;  // its energies give the guess
    const std::optional<Found> found = battery(percent, wider);
    if (found) trade_off_.push_back({wider, found->size});
  }
}

std::vector<SizePoint> SizeSearch::wanted() {
  want_.clear();
  sizes_.clear();
  trade_off_.clear();
  for (const int percent : kSizePercents) {
    std::optional<Found> found = capacity(percent);
    if (found && found->size) {
      const int least = found->size->capacity;
      found = battery(percent, least);
      if (percent == kSizeMain_percent) weigh(percent, least);
    }
    if (found) sizes_.push_back(*found);
  }
  return want_;
}

}  // namespace cabinload::answers
