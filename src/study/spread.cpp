// SPDX-License-Identifier: Apache-2.0
#include <cabinload/study/spread.hpp>

#include <algorithm>
#include <cabinload/study/sampling.hpp>
#include <cabinload/study/variants.hpp>
#include <cmath>
#include <string>

#include "require.hpp"

namespace cabinload::study {
namespace {

/// Vans that are run together: their nights are kept at the same time, 0.3 MB each for a year.
constexpr std::size_t kTogether = 128;

DrawnNights nights_of(const answers::Hold& h) {
  DrawnNights d;
  for (const answers::HoldNight& n : h.each_night) {
    d.needs_cooling.push_back(n.needs_cooling);
    d.held.push_back(n.held);
  }
  d.electric_Wh_median = h.electric_Wh.median;
  return d;
}

}  // namespace

std::vector<double> draw(const scenario::Uncertainty& uncertainty, std::size_t index) {
  const LatinHypercube points(static_cast<std::uint64_t>(uncertainty.samples),
                              static_cast<std::uint64_t>(uncertainty.seed));
  std::vector<double> u;
  for (std::size_t k = 0; k < scenario::unknowns().size(); ++k) u.push_back(points.at(index, k));
  return u;
}

std::vector<DrawnNights> drawn_nights(
    const scenario::Scenario& scenario, const std::shared_ptr<const weather::Series>& weather,
    Vans which, const std::function<void(std::size_t done, std::size_t of)>& progress,
    unsigned threads) {
  Variants variants(threads);
  std::vector<DrawnNights> vans;
  while (vans.size() < which.count) {
    std::vector<Variant> list;
    const std::size_t last = std::min(which.count, vans.size() + kTogether);
    for (std::size_t i = which.first + vans.size(); i < which.first + last; ++i) {
      auto van = std::make_shared<const scenario::Scenario>(
          scenario::drawn(scenario, draw(scenario.uncertainty, i)));
      list.push_back(
          {"van " + std::to_string(i), van, weather, "van " + std::to_string(i), {}, {}, false});
    }
    const std::size_t before = vans.size();
    const std::vector<Outcome> outcomes = variants.run(list, [&](std::size_t done, std::size_t of) {
      if (progress) progress(before + done * list.size() / of, which.count);
    });
    for (std::size_t i = 0; i < list.size(); ++i)
      vans.push_back(
          nights_of(answers::hold(outcomes[i].on, *outcomes[i].off, *list[i].scenario, *weather)));
    variants.forget_unit_off();
  }
  return vans;
}

std::vector<DrawnNights> drawn_nights(
    const scenario::Scenario& scenario, const std::shared_ptr<const weather::Series>& weather,
    const std::function<void(std::size_t done, std::size_t of)>& progress, unsigned threads) {
  return drawn_nights(scenario, weather,
                      {0, static_cast<std::size_t>(scenario.uncertainty.samples)}, progress,
                      threads);
}

answers::HoldSpread spread_of(const answers::Hold& described, std::span<const DrawnNights> vans) {
  require(!vans.empty(), "a spread needs at least one van");
  answers::HoldSpread s;
  s.samples = static_cast<int>(vans.size());
  std::vector<double> held, needing, electric_Wh, share_1;
  s.held_share_1.assign(described.each_night.size(), 0.0);
  for (const DrawnNights& van : vans) {
    int lost = 0, needs = 0;
    for (std::size_t i = 0; i < van.held.size(); ++i) {
      lost += van.held[i] ? 0 : 1;
      needs += van.needs_cooling[i] ? 1 : 0;
      s.held_share_1[i] += van.held[i] ? 1.0 / s.samples : 0.0;
    }
    held.push_back(std::max(0, described.needing_cooling - lost));
    needing.push_back(needs);
    if (std::isfinite(van.electric_Wh_median)) electric_Wh.push_back(van.electric_Wh_median);
    if (described.needing_cooling > 0) share_1.push_back(held.back() / described.needing_cooling);
    s.mean_1 += share_1.empty() ? 0.0 : share_1.back() / s.samples;
  }
  s.held = answers::likely(held);
  s.needing_cooling = answers::likely(needing);
  s.electric_Wh = answers::likely(electric_Wh);
  s.low_1 = answers::quantile(share_1, answers::kUnlikely_1);
  s.high_1 = answers::quantile(share_1, 1 - answers::kUnlikely_1);
  if (described.needing_cooling == 0) s.mean_1 = s.low_1;
  if (described.needing_cooling == 1) {
    const auto kept = static_cast<std::uint64_t>(std::lround(s.mean_1 * s.samples));
    const Interval sure = wilson(kept, vans.size(), 1 - 2 * answers::kUnlikely_1);
    s.low_1 = sure.low;
    s.high_1 = sure.high;
  }
  return s;
}

}  // namespace cabinload::study
