// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cabinload/answers/compare.hpp>

#include "shared.hpp"

namespace cabinload::answers {

bool Comparison::nothing_needs_cooling() const {
  return std::all_of(rows.begin(), rows.end(),
                     [](const CompareRow& r) { return r.needing_cooling == 0; });
}

CompareRow compare_row(const Hold& hold) {
  CompareRow row;
  row.in_period = hold.in_period;
  row.needing_cooling = hold.needing_cooling;
  row.held = hold.held;
  row.electric_Wh = hold.electric_Wh.median;
  row.T_limit_K = hold.T_limit_K;
  std::array<int, kWhys> reasons{};
  for (const std::size_t i : hold.lost_worst_first)
    ++reasons[static_cast<std::size_t>(hold.each_night[i].why)];
  row.most_often = most_often(reasons);
  return row;
}

std::vector<CompareChoice> choices(const Comparison& answer) {
  std::vector<CompareChoice> all;
  for (const CompareRow& r : answer.rows) {
    auto same = std::find_if(all.begin(), all.end(), [&](const CompareChoice& c) {
      return c.unit == r.unit && c.vehicle == r.vehicle && c.setting == r.setting;
    });
    if (same == all.end()) same = all.insert(all.end(), {r.unit, r.vehicle, r.setting, 0, 0});
    same->needing_cooling += r.needing_cooling;
    same->held += r.held;
  }
  std::stable_sort(all.begin(), all.end(), [](const CompareChoice& a, const CompareChoice& b) {
    return a.lost() < b.lost();
  });
  return all;
}

}  // namespace cabinload::answers
