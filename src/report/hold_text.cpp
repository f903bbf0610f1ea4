// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cabinload/answers/heat_at_bed.hpp>
#include <cabinload/answers/would_hold.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "pictures.hpp"
#include "sentences.hpp"
#include "text.hpp"

namespace cabinload::report {
namespace {

using answers::Hold;
using answers::HoldNight;
using answers::Why;

constexpr std::size_t kNightsShown = 10;
constexpr double kShareTold_1 = 0.005;  // of a limit, in whole percent

/// A sentence, for the hardest night.
std::string why_sentence(const HoldNight& n) {
  switch (n.why) {
    case Why::capacity:
      return "The unit ran at its limit and that was not enough.";
    case Why::battery:
      return std::isnan(n.battery_empty_second_of_day)
                 ? "The battery could not feed the unit."
                 : fmt::format("The battery was empty at {}{}.",
                               core::clock_text(n.battery_empty_second_of_day),
                               n.missing_Wh > 0.5
                                   ? fmt::format("; from then on {:.0f} Wh were missing to the end "
                                                 "of the night",
                                                 n.missing_Wh)
                                   : "");
    case Why::supply_limit:
      return "The supply could not give what the unit asked for.";
    case Why::cut_out:
      return "The air at the condenser was above the unit's cut-out.";
    case Why::pull_down:
      return "The cabin was still hot from the day; the unit got there, but too late.";
    case Why::schedule:
      return "The unit was off, or its set point left the bed above the limit.";
    case Why::none:
      break;
  }
  return "";
}

/// What lost a night with a cool bed.
std::string dark_sentence(const HoldNight& n) {
  return fmt::format(
      "{} {:.0f} Wh that other loads asked in the sleep window were not given.",
      n.why == Why::battery ? "The battery was empty or cut off:" : "The supply was at its limit:",
      n.unserved_asleep_Wh);
}

/// "unit too small 82 %, battery empty 18 %"; the one that counts alone without its share.
std::string shares_words(const HoldNight& n) {
  std::vector<std::pair<double, Why>> parts;
  for (std::size_t i = 1; i < answers::kWhys; ++i)
    if (n.limit_share_1[i] >= kShareTold_1)
      parts.emplace_back(-n.limit_share_1[i], static_cast<Why>(i));
  std::sort(parts.begin(), parts.end());
  if (n.dark()) return lost_word(n);
  if (parts.size() == 1) return why_word(parts.front().second);
  std::string text;
  for (const auto& [share_1, why] : parts)
    text += fmt::format("{}{} {:.0f} %", text.empty() ? "" : ", ", why_word(why), -100 * share_1);
  return text;
}

std::string opening(const Hold& a, const Style& style) {
  std::string out = verdict_line(verdict(a, style), style);
  if (a.needing_cooling > 0 || a.spread)
    out += wrapped(how_sure(a) + " " + how_surer(a), kWidth, 0);
  const int quiet = a.in_period - a.needing_cooling;
  std::string period =
      a.in_period == 1 ? "night of " + core::long_text(a.header.from)
                       : fmt::format("{} nights, {} to {}", a.in_period,
                                     core::long_text(a.header.from), core::long_text(a.header.to));
  if (quiet > 0 && a.in_period > 1) period += fmt::format("; {} of them need no cooling", quiet);
  return out + subject_lines(a.header, fmt::format("{}. Sleeper's limit {}", period,
                                                   degrees(a.T_limit_K, style)));
}

std::string hardest(const Hold& a, const Style& style) {
  const std::string text = hardest_words(a, style), help = would_hold_words(a, style);
  if (text.empty()) return "";
  return "\n" + wrapped(text, kWidth, 0) + (help.empty() ? "" : wrapped(help, kWidth, 0));
}

std::string heading_line(const Hold& a) {
  if (a.headings.empty()) return "";
  std::string text =
      fmt::format("Worst of eight headings: nose to {:.0f}° (0° north, 90° east). Nights held:",
                  a.heading_rad / core::kDegree_rad);
  for (const auto& h : a.headings)
    text += fmt::format(" {} at {:.0f}°,", h.held, h.heading_rad / core::kDegree_rad);
  text.back() = '.';
  return "\n" + wrapped(text, kWidth, 0);
}

std::string month_table(const Hold& a, const Style& style) {
  if (a.in_period < 2) return "";
  std::string out =
      "\nMonth       nights  need cooling  held  lost mostly to     a night  hottest bed\n";
  for (const auto& m : a.by_month) {
    const std::string used = m.needing_cooling > 0 ? energy(m.electric_Wh_median, style) : "-";
    out += fmt::format("{} {:>7} {:>13} {:>5}  {} {} {}\n",
                       padded(std::string(core::month_name(m.month)), 10), m.nights,
                       m.needing_cooling, m.needing_cooling > 0 ? std::to_string(m.held) : "-",
                       padded(why_word(m.most_frequent_why), 16), padded(used, 9, true),
                       padded(degrees(m.bed_peak_K, style), 12, true));
  }
  return out;
}

std::string lost_table(const Hold& a, const Style& style) {
  if (a.lost_worst_first.empty() || a.in_period < 2) return "";
  const std::size_t shown = std::min(kNightsShown, a.lost_worst_first.size());
  std::string out = fmt::format("\nLost nights, worst first{}\n",
                                shown < a.lost_worst_first.size()
                                    ? fmt::format(" ({} of {})", shown, a.lost_worst_first.size())
                                    : "");
  out += "Evening       bed peak     at  above for   outdoors  battery  share of the time\n";
  out += "                                           at start  at dawn  by reason\n";
  for (std::size_t i = 0; i < shown; ++i) {
    const HoldNight& n = a.each_night[a.lost_worst_first[i]];
    const std::string row = fmt::format(
        "{} {}  {} {} {} {:>6.0f} %  ", padded(core::long_text(n.date), 12),
        padded(degrees(n.bed_peak_K, style), 9, true), core::clock_text(n.bed_peak_second_of_day),
        padded(duration(n.minutes_above), 10, true),
        padded(degrees(n.outdoor_at_start_K, style), 10, true), 100 * n.battery_at_dawn_1);
    std::string left = row, why = shares_words(n);
    // A reason and its share stay in one line.
    for (std::size_t at = 0; (at = why.find("%, ")) != std::string::npos;) {
      out += left + why.substr(0, at + 2) + "\n";
      left.assign(columns(row), ' ');
      why.erase(0, at + 3);
    }
    out += wrapped(left + why, kWidth, columns(row));
  }
  return out;
}

std::string soak_words(const answers::Soak& s, const Style& style) {
  const std::string when =
      fmt::format("on {} at {}, from {} inside, the battery not counted", core::long_text(s.date),
                  core::clock_text(s.switch_on_second_of_day), degrees(s.T_cabin_K, style, 0));
  if (std::isfinite(s.minutes))
    return fmt::format("{}, to {}: {}", when, degrees(s.T_target_K, style), duration(s.minutes));
  return fmt::format("{}: does not reach {} within {} h, {} at best", when,
                     degrees(s.T_target_K, style), answers::kSoakHours, degrees(s.lowest_K, style));
}

std::string cycle_words(const answers::CycleNight& c, const Style& style) {
  const auto kWh = [&](double Wh) { return energy(Wh, style); };
  return fmt::format("{}: {}, {} (season's run {}), bed at most {} ({})", core::long_text(c.date),
                     plural(c.starts, "start", "starts"), kWh(c.electric_Wh),
                     kWh(c.in_step_electric_Wh), degrees(c.bed_peak_K, style),
                     degrees(c.in_step_bed_peak_K, style));
}

/// Where nothing needs cooling: that other loads go dark in the sleep window all the same.
std::string dark_beside(const Hold& a) {
  const long dark = std::count_if(a.each_night.begin(), a.each_night.end(),
                                  [](const HoldNight& n) { return n.dark(); });
  if (dark == 0) return "";
  return std::string(", but other loads go dark in the sleep window") +
         (a.in_period == 1 ? "" : fmt::format(" of {} of them", dark));
}

/// The first line, once vans were drawn.
std::string sampled_verdict(const Hold& a, const std::string& limit) {
  const answers::HoldSpread& s = *a.spread;
  if (a.needing_cooling == 1) {
    const auto kept = std::lround(s.mean_1 * s.samples);
    return kept == 0 ? fmt::format("Held in none of {} vans like this: the bed goes above {}.",
                                   s.samples, limit)
                     : fmt::format(
                           "Held in {} of {} vans like this: the bed stays at or below {} through "
                           "the night.",
                           kept, s.samples, limit);
  }
  if (a.met())
    return fmt::format(
        "Promise all {} nights that need cooling: they stay at or below {} at the "
        "bed.",
        a.needing_cooling, limit);
  return fmt::format(
      "Promise {} of the {} nights that need cooling: {:.0f} are likely, {:.0f} to "
      "{:.0f} in nine of ten vans like this.",
      a.promised(), a.needing_cooling, s.held.median, s.held.low, s.held.high);
}

std::string sampled_how_sure(const Hold& a) {
  const answers::HoldSpread& s = *a.spread;
  const std::string drawn = fmt::format("{} {} drawn from what nobody knows exactly", s.samples,
                                        s.samples == 1 ? "van" : "vans");
  if (a.needing_cooling == 0)
    return s.needing_cooling.high < 1
               ? drawn + ": nineteen in twenty need none either."
               : fmt::format("{}: nine in ten need cooling on {:.0f} to {:.0f} nights.", drawn,
                             s.needing_cooling.low, s.needing_cooling.high);
  if (a.needing_cooling == 1)
    return fmt::format("{}; {} as described. Another night differs.", drawn,
                       a.held == 1 ? "held" : "not held");
  return fmt::format(
      "{}; {} held as described, to which the rest of this page belongs. One typical "
      "year: hotter ones hold fewer.",
      drawn, a.held);
}

/// A line of the list of figures.
std::string figure_line(const char* what, const std::string& figures) {
  return wrapped(fmt::format("  {:<26}{}", what, figures), kWidth, 28);
}

/// What the battery gives, and has left.
std::string battery_lines(const Hold& a, const Style& style) {
  const auto kWh = [&](double Wh) { return energy(Wh, style); };
  const bool one = a.needing_cooling == 1;
  std::vector<double> cold_Wh, missing_Wh;
  for (const HoldNight& n : a.each_night) {
    if (!n.needs_cooling) continue;
    cold_Wh.push_back(n.refrigerator_Wh);
    if (n.missing_Wh > 0) missing_Wh.push_back(n.missing_Wh);
  }
  std::string out = figure_line(
      "electricity of the unit",
      one ? kWh(a.electric_Wh.worst)
          : fmt::format("half below {}, nine in ten below {}, worst {}", kWh(a.electric_Wh.median),
                        kWh(a.electric_Wh.p90), kWh(a.electric_Wh.worst)));
  if (a.spread && std::isfinite(a.spread->electric_Wh.low))
    out += figure_line("the same, vans like this", fmt::format("half below {} to {} in nine of ten",
                                                               kWh(a.spread->electric_Wh.low),
                                                               kWh(a.spread->electric_Wh.high)));
  if (const double most_Wh = answers::quantile(cold_Wh, 1.0); most_Wh > 0)
    out += figure_line("refrigerators, in 24 h",
                       one ? kWh(most_Wh)
                           : fmt::format("half below {}, most {}",
                                         kWh(answers::quantile(cold_Wh, 0.5)), kWh(most_Wh)));
  out +=
      figure_line("battery at dawn", one ? fmt::format("{:.0f} %", 100 * a.battery_at_dawn_1.worst)
                                         : fmt::format("half above {:.0f} %, lowest {:.0f} %",
                                                       100 * a.battery_at_dawn_1.median,
                                                       100 * a.battery_at_dawn_1.worst));
  if (!missing_Wh.empty())
    out += figure_line(
        "missing once it was empty",
        one ? kWh(missing_Wh.front())
            : fmt::format("{}: half below {}, worst {}",
                          plural(static_cast<long>(missing_Wh.size()), "night", "nights"),
                          kWh(answers::quantile(missing_Wh, 0.5)),
                          kWh(answers::quantile(missing_Wh, 1.0))));
  return out;
}

/// How soon and how hot.
std::string cooling_lines(const Hold& a, const Style& style) {
  const bool one = a.needing_cooling == 1;
  const bool never = !std::isfinite(a.pull_down_min.worst),
             some = std::isfinite(a.pull_down_min.median);
  std::string out;
  if (one && some)
    out += figure_line("from switch-on to limit", duration(a.pull_down_min.worst));
  else if (some)
    out += figure_line(
        "from switch-on to limit",
        fmt::format("half within {}, {}", duration(a.pull_down_min.median),
                    never ? "some nights never" : "longest " + duration(a.pull_down_min.worst)));
  if (a.soak) out += figure_line("from a soaked vehicle", soak_words(*a.soak, style));
  if (a.condenser_air_max_K > 0)
    out += figure_line("hottest condenser air", degrees(a.condenser_air_max_K, style, 0));
  if (a.cycles) out += figure_line("night at 1 s", cycle_words(*a.cycles, style));
  return out;
}

/// What the sleepers breathe and feel.
std::string air_lines(const Hold& a, const Style& style) {
  const bool one = a.needing_cooling == 1;
  const answers::HeatAtBed heat = answers::heat_at_bed(a);
  const std::string band = air::heat_band_name(heat.band);
  // 5000 ppm: 8 h workplace limit, 40 000 ppm: immediately dangerous to life (NIOSH Pocket Guide,
  // from memory). 1500 ppm: stale air (engineering judgement).
  const char* co2 = a.co2_peak_ppm >= 40000  ? ": DANGER TO LIFE, let outdoor air in"
                    : a.co2_peak_ppm >= 5000 ? ": DANGER, let outdoor air in"
                    : a.co2_peak_ppm > 1500  ? ": let more outdoor air in"
                                             : "";
  return figure_line(
             "heat index, highest",
             fmt::format("{}{}{}", degrees(heat.peak_K, style),
                         one ? "" : " (" + core::long_text(heat.date) + ")",
                         band.empty() ? "" : ": '" + band + "' of the US weather service")) +
         figure_line("water from the coil",
                     in_units(fmt::format("{}{:.1f} L{}", one ? "" : "half below ",
                                          a.condensate_L_median, one ? "" : " a night"),
                              style)) +
         figure_line("carbon dioxide, highest", fmt::format("{:.0f} ppm{}", a.co2_peak_ppm, co2));
}

/// Figures of the nights that need cooling; of one night, its own.
std::string energy_lines(const Hold& a, const Style& style) {
  if (a.needing_cooling == 0) return "";
  return (a.needing_cooling == 1 ? "\nOver that night\n"
                                 : "\nOver the nights that need cooling\n") +
         battery_lines(a, style) + cooling_lines(a, style) + air_lines(a, style);
}

}  // namespace

std::string verdict(const Hold& a, const Style& style) {
  const std::string limit = degrees(a.T_limit_K, style);
  if (a.needing_cooling == 0)
    return fmt::format(
        "No cooling needed: with the unit off the bed stays at or below {} {}{}.", limit,
        a.in_period == 1 ? "on that night" : fmt::format("on all {} nights", a.in_period),
        dark_beside(a));
  if (a.spread) return sampled_verdict(a, limit);
  if (a.in_period == 1)
    return a.met() ? fmt::format("Held: the bed stays at or below {} through the night.", limit)
           : a.each_night.front().dark()
               ? fmt::format(
                     "Not held: the bed stays at or below {}, but other loads went dark: {:.0f} Wh "
                     "of theirs were not given in the sleep window.",
                     limit, a.each_night.front().unserved_asleep_Wh)
               : fmt::format("Not held: the bed is above {} for {} of the night.", limit,
                             duration(a.each_night.front().minutes_above));
  if (a.met())
    return fmt::format("Held: all {} nights that need cooling stay at or below {} at the bed.",
                       a.needing_cooling, limit);
  const long dark = std::count_if(a.lost_worst_first.begin(), a.lost_worst_first.end(),
                                  [&](std::size_t i) { return a.each_night[i].dark(); });
  return fmt::format(
      "Held: {} of the {} nights that need cooling. {} lost{}.", a.held, a.needing_cooling,
      plural(a.needing_cooling - a.held, "is", "are"),
      dark > 0 ? fmt::format(", {} of them with a cool bed: other loads went dark", dark) : "");
}

std::string how_sure(const Hold& a) {
  if (a.spread) return sampled_how_sure(a);
  if (a.needing_cooling == 0) return "";
  return a.in_period == 1 ? "One calculation of the van as described, on one night, without a "
                            "spread: promise less."
                          : "One calculation of the van as described, in one typical year, "
                            "without a spread: promise fewer.";
}

std::string how_surer(const Hold& a) {
  return a.spread           ? "`cabinload list uncertainty` names what was drawn."
         : a.in_period == 1 ? "--samples 64 tells how sure it is."
                            : "--samples 64 tells how many.";
}

std::string lost_word(const HoldNight& night) {
  return std::string(night.dark() ? "other loads dark: " : "") + why_word(night.why);
}

const char* why_word(Why why) {
  switch (why) {
    case Why::capacity:
      return "unit too small";
    case Why::battery:
      return "battery empty";
    case Why::supply_limit:
      return "supply limit";
    case Why::cut_out:
      return "cut out, too hot";
    case Why::pull_down:
      return "cooled too late";
    case Why::schedule:
      return "not asked to";
    case Why::none:
      break;
  }
  return "";
}

std::string hardest_words(const Hold& a, const Style& style) {
  if (!a.worst_night) return "";
  const HoldNight& n = a.each_night[*a.worst_night];
  std::string text =
      fmt::format("Hardest night, {}: the bed reaches {} at {}", core::long_text(n.date),
                  degrees(n.bed_peak_K, style), core::clock_text(n.bed_peak_second_of_day));
  if (n.held)
    text += fmt::format(" and stays within the limit. With the unit off it would reach {}.",
                        degrees(n.bed_peak_unit_off_K, style));
  else if (n.dark())
    text += fmt::format(
        " and stays within the limit, but the night is lost: other loads went dark. {} Outdoors {} "
        "at the start of the night.",
        dark_sentence(n), degrees(n.outdoor_at_start_K, style));
  else
    text += fmt::format(" and is above {} for {}. {}{} Outdoors {} at the start of the night.",
                        degrees(a.T_limit_K, style), duration(n.minutes_above), why_sentence(n),
                        n.limit_share_1[static_cast<std::size_t>(n.why)] > 1 - kShareTold_1
                            ? ""
                            : " By reason: " + shares_words(n) + ".",
                        degrees(n.outdoor_at_start_K, style));
  return text + fmt::format(
                    " At its hottest it feels like {} (operative temperature: air and walls "
                    "together); heat index {}.",
                    degrees(n.operative_peak_K, style), degrees(n.heat_index_peak_K, style));
}

std::string would_hold_words(const Hold& a, const Style& style) {
  if (!a.would_hold) return "";
  const answers::WouldHold& w = *a.would_hold;
  std::vector<std::string> would, not_it;
  if (w.capacity_W)
    would.push_back(fmt::format("a {} unit", power(*w.capacity_W, style)));
  else
    not_it.push_back(fmt::format("a larger unit (up to {})", power(w.most_capacity_W, style)));
  if (w.battery_Wh)
    would.push_back(fmt::format("a {} battery", energy(*w.battery_Wh, style, 1)));
  else
    not_it.push_back(
        fmt::format("a bigger battery (up to {})", energy(w.most_battery_Wh, style, 0)));
  if (w.shade)
    (*w.shade ? would : not_it)
        .push_back(fmt::format("shade from {:02}:00 to {:02}:00", answers::kTriedShadeFrom_h,
                               answers::kTriedShadeTo_h));
  std::string text = would.empty() ? "Alone, neither " : "Alone, ";
  if (would.empty()) {
    for (std::size_t i = 0; i < not_it.size(); ++i) text += (i > 0 ? " nor " : "") + not_it[i];
    text += " would have held it";
  } else {
    text += would[0] + " would have held it";
    for (std::size_t i = 1; i < would.size(); ++i) text += "; so would " + would[i];
    for (std::size_t i = 0; i < not_it.size(); ++i)
      text += i == 0 ? "; " + not_it[i] + " would not" : ", nor " + not_it[i];
  }
  return text + fmt::format(". Found by running {} up to it.",
                            plural(w.evenings_before, "evening", "evenings"));
}

std::string first_line(const Hold& a, const Style& style) {
  return verdict_line(verdict(a, style), style);
}

std::string terminal(const Hold& a, const Style& style) {
  std::string out = opening(a, style) + hardest(a, style) + night_picture(a, style) +
                    heading_line(a) + season_picture(a, style) + month_table(a, style) +
                    lost_table(a, style) + energy_lines(a, style);
  return out + closing(a.header, style);
}

}  // namespace cabinload::report
