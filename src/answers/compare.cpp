// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cabinload/answers/compare.hpp>

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
  std::array<int, kWhys> reasons{};
  for (const std::size_t i : hold.lost_worst_first)
    ++reasons[static_cast<std::size_t>(hold.each_night[i].why)];
  const auto most = std::max_element(reasons.begin() + 1, reasons.end());
  if (*most > 0) row.most_often = static_cast<Why>(most - reasons.begin());
  return row;
}

std::vector<CompareSum> sums(const Comparison& answer, std::size_t CompareRow::*which,
                             std::size_t entries) {
  std::vector<CompareSum> all(entries);
  for (const CompareRow& r : answer.rows) {
    all.at(r.*which).needing_cooling += r.needing_cooling;
    all.at(r.*which).held += r.held;
  }
  return all;
}

}  // namespace cabinload::answers
