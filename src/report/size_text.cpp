// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <algorithm>
#include <cmath>

#include "text.hpp"

namespace cabinload::report {
namespace {

using answers::Sizes;

const answers::Size* row_of(const Sizes& a, int percent) {
  for (const auto& s : a.sizes)
    if (s.nights_percent == percent) return &s;
  return nullptr;
}

/// Vans were drawn, at least for one of the shares.
bool drawn(const Sizes& a) {
  return std::any_of(a.sizes.begin(), a.sizes.end(), [](const auto& s) { return s.vans_1; });
}

/// What nine in ten of the vans drawn need; the size as described after it.
std::string sampled_verdict(const Sizes& a, const answers::Size& main, const Style& style) {
  const std::string nights = a.needing_cooling == 1
                                 ? "that night"
                                 : fmt::format("{} % of the {} nights that need cooling",
                                               answers::kSizeMain_percent, a.needing_cooling);
  const std::string described =
      fmt::format("as described {} and {} do", power(*main.capacity_W, style),
                  energy(*main.battery_Wh, style, 1));
  if (!a.roomy)
    return fmt::format("No size tried holds {} in nine of ten vans like this; {}.", nights,
                       described);
  return fmt::format(
      "{} at the rating point and a battery of {} hold {} in nine of ten vans like "
      "this; {}.",
      power(a.roomy->capacity_W, style), energy(a.roomy->battery_Wh, style, 1), nights, described);
}

std::string verdict(const Sizes& a, const Style& style) {
  if (a.needing_cooling == 0)
    return fmt::format(
        "No cooling needed: with the unit off the bed stays at or below {} {}. No size to find.",
        degrees(a.T_limit_K, style),
        a.in_period == 1 ? "on that night" : fmt::format("on all {} nights", a.in_period));
  const answers::Size* all = row_of(a, 100);
  const answers::Size* main = a.needing_cooling == 1 ? all : row_of(a, answers::kSizeMain_percent);
  if (main == nullptr || !main->capacity_W || !main->battery_Wh)
    return fmt::format("No size holds {} % of the {} that need cooling: {}.",
                       main == nullptr ? 0 : main->nights_percent,
                       plural(a.needing_cooling, "night", "nights"),
                       main == nullptr ? "" : main->why_not);
  if (drawn(a)) return sampled_verdict(a, *main, style);
  if (a.needing_cooling == 1)
    return fmt::format("That night takes {} at the rating point and a battery of {}.",
                       power(*main->capacity_W, style), energy(*main->battery_Wh, style, 1));
  std::string text = fmt::format(
      "{} at the rating point and a battery of {} hold {} % of the {} nights that need cooling",
      power(*main->capacity_W, style), energy(*main->battery_Wh, style, 1), main->nights_percent,
      a.needing_cooling);
  if (all != nullptr && all->capacity_W && all->battery_Wh)
    text += fmt::format("; {} and {} hold all", power(*all->capacity_W, style),
                        energy(*all->battery_Wh, style, 1));
  return text + ".";
}

/// What to make of a smallest size.
std::string room_words(const Sizes& a, const Style& style) {
  const std::string roomy =
      a.roomy ? power(a.roomy->capacity_W, style) + " and " + energy(a.roomy->battery_Wh, style, 1)
              : "";
  if (drawn(a))
    return a.roomy ? "with room for what nobody knows, " + roomy + "."
                   : "no larger size that was tried does for vans like this; `what-helps` tells "
                     "what else to change.";
  const std::string more = "without a spread: vans like this need more. ";
  if (!a.roomy) return more + "Choose a larger size, and try it in `hold`.";
  return more + fmt::format(
                    "{}, {:.0f} % more, are a guess and no promise: try them in `hold`, or "
                    "without --samples 0.",
                    roomy, 100 * (a.roomy->over_1 - 1));
}

std::string opening(const Sizes& a, const Style& style) {
  std::string out = verdict_line(verdict(a, style), style);
  if (a.needing_cooling > 0)
    out +=
        wrapped(fmt::format("The {} and {} of the scenario hold {} of them. One typical year{}{}",
                            power(a.unit_capacity_W, style), energy(a.battery_Wh, style, 1),
                            a.held_now, drawn(a) ? ": " : ", ", room_words(a, style)),
                kWidth, 0);
  return out + subject_lines(a.header, fmt::format("{}. Sleeper's limit {}", period_words(a.header),
                                                   degrees(a.T_limit_K, style)));
}

std::string size_table(const Sizes& a, const Style& style) {
  if (a.sizes.empty()) return "";
  bool differ = false;
  std::string out = "\nNights held                 capacity     battery   a night";
  out += drawn(a) ? "   in vans like this\n" : "\n";
  for (const auto& s : a.sizes) {
    const std::string share = fmt::format("  {:>3} %", s.nights_percent);
    if (!s.capacity_W || !s.battery_Wh)
      out += wrapped(fmt::format("{}  {}", share, s.why_not), kWidth, 9);
    else
      out += fmt::format("{}  {:>3} of {:>3} {} {} {}{}\n", share, s.held, s.needing_cooling,
                         padded(power(*s.capacity_W, style), 16, true),
                         padded(energy(*s.battery_Wh, style, 1), 11, true),
                         padded(energy(s.electric_Wh, style), 9, true),
                         s.vans_1 ? fmt::format("{:>16.0f} %", 100 * *s.vans_1) : "");
    differ = differ || (s.capacity_W && s.battery_Wh && s.needing_cooling != a.needing_cooling);
  }
  if (differ)
    out += wrapped(
        "  A battery stands in the cabin and keeps the day's heat into the evening: with a bigger "
        "one a few nights more need cooling. Each row has its own count, as `cabinload hold` of "
        "that size has it.",
        kWidth, 2);
  return out;
}

std::string listed_table(const Sizes& a, const Style& style) {
  if (a.listed.empty()) return "";
  std::string out = "\nBattery for listed units   ";
  for (const int percent : answers::kSizePercents)
    out += padded(fmt::format("{} %", percent), 10, true);
  out += "\n";
  for (const auto& u : a.listed) {
    out += "  " + padded(u.keys.front(), 25);
    for (const auto& Wh : u.battery_Wh) out += padded(Wh ? energy(*Wh, style, 1) : "-", 10, true);
    out += "\n";
    for (std::size_t i = 1; i < u.keys.size(); ++i) out += "  " + u.keys[i] + ": the same\n";
  }
  return out + wrapped("  - : that unit does not hold that share with any battery.", kWidth, 6);
}

std::string trade_table(const Sizes& a, const Style& style) {
  if (a.trade_off.empty()) return "";
  std::string out = fmt::format("\nCapacity against battery, for {} % of the nights\n",
                                answers::kSizeMain_percent);
  for (const auto& t : a.trade_off)
    out +=
        fmt::format("  {} {}   {} a night\n", padded(power(t.capacity_W, style), 12, true),
                    padded(t.battery_Wh ? energy(*t.battery_Wh, style, 1) : "no battery", 12, true),
                    energy(t.electric_Wh, style));
  return out;
}

std::string too_large_table(const Sizes& a, const Style& style) {
  if (a.too_large.empty()) return "";
  std::string out =
      fmt::format("\nWhat too large a unit costs ({} at 1 s; humidity while asleep)\n",
                  core::long_text(*a.typical_night));
  out += "    capacity   starts   a night   humidity, highest   water from the coil\n";
  for (const auto& t : a.too_large)
    out += fmt::format("{} {:>8} {}   {:>6.0f} %  {:>6.0f} %   {}\n",
                       padded(power(t.capacity_W, style), 12, true), t.starts,
                       padded(energy(t.electric_Wh, style), 9, true), 100 * t.humidity_1,
                       100 * t.wettest_1,
                       padded(in_units(fmt::format("{:.1f} L", t.condensate_L), style), 14, true));
  return out;
}

/// Overrides as lines of a file.
std::string file_lines(const std::vector<std::string>& overrides) {
  std::string out;
  for (const std::string& o : overrides) {
    const std::size_t equals = o.find('=');
    out += fmt::format("  {} = \"{}\"\n", o.substr(0, equals), o.substr(equals + 1));
  }
  return out;
}

/// What makes a scenario file the size found, and the one with room.
std::string lines_to_paste(const Sizes& a, const Style& style) {
  const answers::Size* main = row_of(a, a.needing_cooling == 1 ? 100 : answers::kSizeMain_percent);
  if (main == nullptr || !main->capacity_W || !main->battery_Wh) return "";
  const auto size = [&](double W, double Wh) {
    return power(W, style) + " and " + energy(Wh, style, 1);
  };
  if (main->overrides.empty())
    return "\n" + wrapped(
                      "Lines for a scenario file there are none: its unit is described by points, "
                      "a compressor or a current. Describe the one you find with its data plate.",
                      kWidth, 0);
  std::string out =
      "\nLines for a scenario file (at its top, instead of lines of the same names)\n" +
      fmt::format("  # the smallest for {} % of the nights: {}\n", main->nights_percent,
                  size(*main->capacity_W, *main->battery_Wh)) +
      file_lines(main->overrides);
  if (!a.roomy) return out;
  out += fmt::format("  # with room: {}; as described it holds {} of {}\n",
                     size(a.roomy->capacity_W, a.roomy->battery_Wh), a.roomy->held,
                     a.roomy->needing_cooling) +
         file_lines(a.roomy->overrides);
  return out +
         wrapped(
             a.roomy->vans_1
                 ? fmt::format("  With room: {:.0f} % of the vans drawn hold {} % of the nights "
                               "with it, at {:.3g} times the size for the largest share.",
                               100 * *a.roomy->vans_1, answers::kSizeMain_percent, a.roomy->over_1)
                 : fmt::format("  With room: {:.0f} % more of both than the size for the largest "
                               "share (engineering judgement); --samples 64 finds it among vans "
                               "drawn from what nobody knows.",
                               100 * (a.roomy->over_1 - 1)),
             kWidth, 2);
}

}  // namespace

std::string terminal(const Sizes& a, const Style& style) {
  std::string out = opening(a, style) + size_table(a, style) + listed_table(a, style) +
                    trade_table(a, style) + too_large_table(a, style) + lines_to_paste(a, style);
  if (!a.sizes.empty())
    out +=
        "\n" +
        wrapped(
            "Capacity is told at the unit's rating point; on a hot roof it has less, "
            "which the runs count. A battery is told by its nominal energy. 'A night' and 'water' "
            "are what half of the nights that need cooling stay below.",
            kWidth, 0);
  return out + closing(a.header, style);
}

}  // namespace cabinload::report
