// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cabinload/answers/load.hpp>
#include <cabinload/answers/what_helps.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cmath>
#include <limits>

namespace cabinload::answers {
namespace {

constexpr std::array<std::pair<const char*, HelpBy>, 4> kBy = {{{"nights", HelpBy::nights},
                                                                {"energy", HelpBy::energy},
                                                                {"peak", HelpBy::peak},
                                                                {"minutes", HelpBy::minutes}}};
/// Two effects add up when both together are within this of their sum, or within the resolution.
constexpr double kAddUp_1 = 0.1;

double resolution(HelpBy by) {
  if (by == HelpBy::nights) return 0.5;  // nights are counted
  return by == HelpBy::minutes ? 1.0 : 10.0;
}

/// A part with another level of insulation on the vehicle.
void insulate(scenario::Scenario& s, vehicle::Part part, const std::string& level) {
  vehicle::Choice choice = s.choice;
  choice.insulation = level;
  const vehicle::Vehicle better = vehicle::make(choice);
  for (vehicle::Surface& now : s.vehicle.surfaces)
    for (const vehicle::Surface& then : better.surfaces)
      if (now.name == then.name && now.part == part) {
        now.layers = then.layers;
        now.framing_fraction = then.framing_fraction;
        now.framing = then.framing;
      }
}

}  // namespace

scenario::Scenario changed(const std::string& file, const std::vector<scenario::Override>& given,
                           const Change& change) {
  std::vector<scenario::Override> overrides = given;
  overrides.insert(overrides.end(), change.overrides.begin(), change.overrides.end());
  scenario::Scenario s = scenario::read(file, overrides);
  if (change.unit_factor_1 != 1) {
    s.unit = unit::scaled(s.unit, change.unit_factor_1);
    if (s.supply.to_unit)
      s.supply.to_unit = power::dc_converter_of(s.supply.to_unit->rated_W * change.unit_factor_1);
  }
  for (const auto& [part, level] : change.insulation) insulate(s, part, level);
  return s;
}

std::string insulation_text(const Change& change) {
  constexpr std::array<const char*, 4> kParts = {"roof", "walls", "floor", "partitions"};
  std::string text;
  for (const auto& [part, level] : change.insulation)
    text += (text.empty() ? "" : ", ") + (kParts[static_cast<std::size_t>(part)] + (" " + level));
  return text;
}

bool share_a_key(const Change& a, const Change& b) {
  const auto sets = [](const Change& c, const std::string& key) {
    return (key == "vehicle.insulation" && !c.insulation.empty()) ||
           std::any_of(c.overrides.begin(), c.overrides.end(),
                       [&](const auto& o) { return o.key == key && o.key != "battery.full_at"; });
  };
  if (a.unit_factor_1 != 1 && b.unit_factor_1 != 1) return true;
  for (const auto& [part, level] : a.insulation)
    if (b.insulation.count(part) > 0) return true;
  if (!a.insulation.empty() && b.insulation.empty() && sets(b, "vehicle.insulation")) return true;
  return std::any_of(a.overrides.begin(), a.overrides.end(),
                     [&](const auto& o) { return sets(b, o.key); });
}

Change together(const Change& a, const Change& b) {
  Change both = a;
  both.overrides.insert(both.overrides.end(), b.overrides.begin(), b.overrides.end());
  both.unit_factor_1 *= b.unit_factor_1;
  both.insulation.insert(b.insulation.begin(), b.insulation.end());
  return both;
}

HelpBy help_by(const std::string& word) {
  for (const auto& [key, by] : kBy)
    if (word == key) return by;
  throw core::RangeError("'" + word + "' is not nights, energy, peak or minutes");
}

const char* help_key(HelpBy by) {
  for (const auto& [key, value] : kBy)
    if (value == by) return key;
  return "";
}

HelpFigures help_figures(const Hold& hold, const std::vector<bool>& counted,
                         const simulation::Demand& demand) {
  HelpFigures f;
  f.needing_cooling = hold.needing_cooling;
  f.lost = hold.needing_cooling - hold.held;
  double sum = 0;
  long nights = 0;
  for (std::size_t i = 0; i < hold.each_night.size() && i < counted.size(); ++i) {
    if (!counted[i]) continue;
    sum += hold.each_night[i].electric_Wh;
    ++nights;
  }
  f.electric_Wh = nights > 0 ? sum / static_cast<double>(nights) : 0.0;
  f.peak_W =
      demand.sensible_W.empty() ? std::numeric_limits<double>::quiet_NaN() : highest_W(demand);
  return f;
}

double effect(const HelpFigures& now, const HelpFigures& then, HelpBy by) {
  switch (by) {
    case HelpBy::nights:
      return now.lost - then.lost;
    case HelpBy::energy:
      return now.electric_Wh - then.electric_Wh;
    case HelpBy::minutes:
      return then.minutes - now.minutes;
    case HelpBy::peak:
      break;
  }
  return now.peak_W - then.peak_W;
}

HelpPair::Verdict judge_pair(double alone_a, double alone_b, double both, HelpBy by, double most) {
  const double sum = alone_a + alone_b;
  const double within = std::max(resolution(by), kAddUp_1 * std::abs(sum));
  if (std::abs(both - sum) <= within) return HelpPair::Verdict::add_up;
  if (both >= most) return HelpPair::Verdict::nothing_left;
  return both > sum ? HelpPair::Verdict::help : HelpPair::Verdict::cancel;
}

void rank(Helps& answer) {
  const auto worth = [&](const HelpRow& r) {
    return std::pair(effect(answer.now, r.then, answer.by),
                     effect(answer.now, r.then, HelpBy::energy));
  };
  std::stable_sort(answer.rows.begin(), answer.rows.end(), [&](const HelpRow& a, const HelpRow& b) {
    if (a.skipped.empty() != b.skipped.empty()) return a.skipped.empty();
    return a.skipped.empty() && worth(a) > worth(b);
  });
}

std::vector<std::size_t> best_together(const Helps& answer, std::size_t most) {
  std::vector<std::size_t> best;
  for (std::size_t i = 0; i < answer.rows.size() && best.size() < most; ++i) {
    const HelpRow& row = answer.rows[i];
    if (!row.skipped.empty() || !(effect(answer.now, row.then, answer.by) > 0)) continue;
    if (std::none_of(best.begin(), best.end(),
                     [&](std::size_t b) { return share_a_key(answer.rows[b].change, row.change); }))
      best.push_back(i);
  }
  return best;
}

}  // namespace cabinload::answers
