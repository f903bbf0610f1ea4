// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <limits>

#include "sentences.hpp"
#include "text.hpp"

namespace cabinload::report {
namespace {

using answers::HelpBy;
using answers::HelpRow;
using answers::Helps;

constexpr std::size_t kNames = 33;  // columns

/// An effect in the unit of what is asked.
std::string amount(double effect, HelpBy by, const Style& style) {
  switch (by) {
    case HelpBy::nights:
      return plural(std::lround(effect), "night", "nights");
    case HelpBy::energy:
      return energy(effect, style) + " a night";
    case HelpBy::minutes:
      return fmt::format("{:.0f} min", effect);
    case HelpBy::peak:
      break;
  }
  return power(effect, style);
}

const char* wins(HelpBy by) {
  return by == HelpBy::nights || by == HelpBy::minutes ? "wins"
         : by == HelpBy::energy                        ? "saves"
                                                       : "takes away";
}
const char* of_what(HelpBy by) {
  return by == HelpBy::peak      ? " of peak demand"
         : by == HelpBy::minutes ? " to the animal's limit once the cooling fails"
                                 : "";
}

std::string opening(const Helps& a, const Style& style) {
  std::string out = verdict_line(verdict(a, style), style);
  if (a.now.needing_cooling > 0)
    out +=
        wrapped(fmt::format("Now: {} of {} nights that need cooling are lost; {} a night; peak "
                            "of the demand {}, {}; {} from a failure to the limit of a {}, {}, at "
                            "the hottest.",
                            a.now.lost, a.now.needing_cooling, energy(a.now.electric_Wh, style),
                            power(a.now.peak_W, style), core::long_text(*a.peak_date),
                            minutes_left(a.now.minutes < a.to.longest_min
                                             ? a.now.minutes
                                             : std::numeric_limits<double>::infinity()),
                            in_units(a.to.animal, style), line_of_law(a.to.T_limit_K, style)),
                kWidth, 0);
  return out + subject_lines(a.header, fmt::format("{}. Sleeper's limit {}", period_words(a.header),
                                                   degrees(a.T_limit_K, style)));
}

std::string effect_table(const Helps& a, const Style& style) {
  if (a.rows.empty()) return "";
  const bool costs = std::any_of(a.rows.begin(), a.rows.end(),
                                 [](const HelpRow& r) { return r.cost.has_value(); });
  const auto head = [&](const std::string& first, const char* nights, const char* Wh, const char* W,
                        const char* minutes, const char* per) {
    return fmt::format("{}{:>6}{:>12}{:>12}{:>8}{}\n", padded(first, kNames + 2), nights, Wh, W,
                       minutes, costs ? fmt::format("{:>7}", per) : "");
  };
  std::string out = "\n" +
                    head(fmt::format("Each alone, best first by {}", answers::help_key(a.by)),
                         "nights", "electricity", "peak", "minutes", "per") +
                    head("", "won", "a night", "demand", "won", "100");
  for (const HelpRow& r : a.rows) {
    if (!r.skipped.empty()) continue;
    const HelpCells cells = help_cells(a, r, style);
    std::string per;
    if (costs)
      per = r.cost ? fmt::format("{:>7.3g}", 100 * answers::effect(a.now, r.then, a.by) / *r.cost)
                   : std::string(6, ' ') + "-";
    out += fmt::format("  {}{:>+6}{}{}{}{}\n", padded(in_units(named(r), style), kNames),
                       a.now.lost - r.then.lost, padded(cells.electricity, 12, true),
                       padded(cells.peak, 12, true), padded(cells.minutes, 8, true), per);
  }
  return out;
}

/// How sure the effects are: the same vans with and without each.
std::string drawn_table(const Helps& a, const Style& style) {
  if (a.samples == 0) return "";
  std::string out =
      fmt::format("\n{} {:>14} {:>21}\n",
                  padded(fmt::format("Of {} vans like this, nine in ten", a.samples), kNames + 2),
                  "nights won", "electricity saved");
  for (const HelpRow& r : a.rows) {
    if (!r.drawn) continue;
    const auto& d = *r.drawn;
    out += fmt::format("  {} {:>14} {:>21}\n", padded(in_units(named(r), style), kNames),
                       fmt::format("{:.0f} to {:.0f}", d.nights.low, d.nights.high),
                       padded(fmt::format("{} to {}", energy(d.electric_Wh.low, style),
                                          energy(d.electric_Wh.high, style)),
                              21, true));
  }
  if (std::any_of(a.rows.begin(), a.rows.end(),
                  [](const HelpRow& r) { return r.skipped.empty() && !r.drawn; }))
    out += fmt::format("  --samples {} draws them for the others too.\n", a.samples);
  return out;
}

std::string skipped_list(const Helps& a, const Style& style) {
  std::string out;
  for (const HelpRow& r : a.rows)
    if (!r.skipped.empty())
      out += wrapped("  " + in_units(r.words + ": " + r.skipped, style) + ".", kWidth, 4);
  return out.empty() ? "" : "\nNot tried\n" + out;
}

const char* pair_words(answers::HelpPair::Verdict verdict) {
  using Verdict = answers::HelpPair::Verdict;
  switch (verdict) {
    case Verdict::help:
      return "more than their sum: they help each other";
    case Verdict::cancel:
      return "less than their sum: they cancel in part";
    case Verdict::nothing_left:
      return "no night is lost then";
    case Verdict::add_up:
      break;
  }
  return "their effects add up";
}

std::string pair_list(const Helps& a, const Style& style) {
  if (a.pairs.empty()) return "";
  std::string out = "\nThe best in pairs\n";
  for (const auto& p : a.pairs)
    out += wrapped(fmt::format("  {} and {}: {} and {} alone, {} together; {}.", p.a, p.b,
                               amount(p.alone_a, a.by, style), amount(p.alone_b, a.by, style),
                               amount(p.both, a.by, style), pair_words(p.verdict)),
                   kWidth, 4);
  return out;
}

}  // namespace

HelpCells help_cells(const Helps& a, const HelpRow& r, const Style& style) {
  const double Wh = -answers::effect(a.now, r.then, HelpBy::energy);
  const double W = -answers::effect(a.now, r.then, HelpBy::peak);
  // A sign where a figure is left after rounding; no "-0".
  const auto change = [](double x, double least, auto shown) {
    return std::abs(x) < least ? shown(0.0) : (x > 0 ? "+" : "") + shown(x);
  };
  return {change(Wh, 5, [&](double x) { return energy(x, style); }),
          change(W, 0.5, [&](double x) { return power(x, style); }),
          change(answers::effect(a.now, r.then, HelpBy::minutes), 0.5,
                 [](double x) { return fmt::format("{:.0f}", x); })};
}

std::string named(const HelpRow& r) {
  return r.words + (r.label.empty() ? "" : " (" + r.label + ")");
}

std::string verdict(const Helps& a, const Style& style) {
  if (a.now.needing_cooling == 0)
    return fmt::format(
        "No cooling needed: with the unit off the bed stays at or below {} {}. Nothing to improve.",
        degrees(a.T_limit_K, style),
        a.in_period == 1 ? "on that night" : fmt::format("on all {} nights", a.in_period));
  const auto worth = [&](const HelpRow& r) { return answers::effect(a.now, r.then, a.by); };
  const HelpRow* best = nullptr;
  for (const HelpRow& r : a.rows)
    if (r.skipped.empty() && worth(r) > 0) {
      best = &r;
      break;
    }
  if (a.by == HelpBy::nights && a.now.lost == 0)
    return fmt::format("No night is lost: all {} that need cooling are held as it stands.",
                       a.now.needing_cooling);
  if (best == nullptr) return "None of the improvements helps there.";
  return fmt::format("Most helps: {}. It {} {}{}.", in_units(named(*best), style), wins(a.by),
                     a.by == HelpBy::nights ? fmt::format("{} of the {}", std::lround(worth(*best)),
                                                          plural(a.now.lost, "night that is lost",
                                                                 "nights that are lost"))
                                            : amount(worth(*best), a.by, style),
                     of_what(a.by));
}

std::string terminal(const Helps& a, const Style& style) {
  std::string out = opening(a, style) + effect_table(a, style) + drawn_table(a, style) +
                    pair_list(a, style) + skipped_list(a, style);
  if (!a.rows.empty())
    out += "\n" +
           wrapped(fmt::format(
                       "Nights won are nights above the limit now and not then. Electricity is "
                       "the mean over the nights that need cooling now. The peak is the highest "
                       "hour of the demand at the set point in the week around its highest hour "
                       "now. One typical year{}.",
                       a.samples > 0 ? "" : ", without a spread"),
                   kWidth, 0) +
           wrapped(kMinutesMeaning, kWidth, 0);
  return out + closing(a.header, style);
}

}  // namespace cabinload::report
