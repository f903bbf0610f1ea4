// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/pets.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/terminal.hpp>
#include <cmath>

#include "sentences.hpp"
#include "text.hpp"

namespace cabinload::report {
namespace {

using answers::Pets;
using answers::PetsFigures;
using answers::PetsHelp;
using core::Quantity;
using simulation::Failure;

constexpr const char* kMonths[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                   "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
/// Below this the first line says DANGER: nobody comes back in time. Engineering judgement.
constexpr double kDanger_min = 20;

std::string kelvins(double dT_K, const Style& style) {
  return core::format_quantity(dT_K, Quantity::temperature_difference, style.units, 1);
}
std::string opening(const Pets& a, const Style& style) {
  std::string out = verdict_line(verdict(a, style), style);
  if (a.shortest) out += wrapped(shortest_words(a, style), kWidth, 0);
  out += wrapped(running_words(a, style), kWidth, 0);
  if (a.drawn)
    out += wrapped(
        fmt::format("The first line is the short end of {} vans drawn from what nobody knows "
                    "exactly, on the {} about the worst as described: one in twenty leaves less, "
                    "and with the unit running passes {}. All else here is the van as described.",
                    a.drawn->samples, plural(static_cast<int>(a.drawn->days.size()), "day", "days"),
                    degrees(a.drawn->cabin_peak_K, style)),
        kWidth, 0);
  return out + subject_lines(a.header, period_words(a.header));
}

std::string row(const std::string& words, const PetsFigures& f) {
  std::string out = fmt::format(
      "  {} {} {} {}", padded(words, 26), padded(minutes_left(f.min_min), 10, true),
      padded(minutes_left(f.p05_min), 10, true), padded(minutes_left(f.median_min), 10, true));
  for (const double share_1 : f.share_under_1) out += fmt::format(" {:>3.0f}", 100 * share_1);
  return out + "\n";
}

std::string failure_table(const Pets& a) {
  std::string out = fmt::format(
      "\n{:<28} {:>10} {:>10} {:>10}   % of hours under\n{:<28} {:>10} {:>10} {:>10}  10  20  30  "
      "60\n",
      "Time to the limit when", "shortest", "5 % of", "half of", "", "", "hours", "hours");
  for (std::size_t k = 0; k < simulation::kFailures; ++k)
    out += row(answers::failure_words(static_cast<Failure>(k)), a.by_failure[k]);
  out += row("whichever is soonest", a.all);
  return out + wrapped(
                   "  '5 % of hours' takes at most that long. The hours of cool seasons and nights "
                   "are among them.",
                   kWidth, 2);
}

std::string help_line(const char* words, const PetsHelp& h) {
  std::string text = fmt::format(
      "  {}: {:+d} min in the middle case, {:+d} min at worst; the shortest becomes {}. The limit "
      "is no longer passed in {} of {}",
      words, std::lround(h.won_median_min), std::lround(h.won_least_min),
      minutes_left(h.with.min_min), h.hours_spared, plural(h.hours_passed, "hour", "hours"));
  text += h.hours_shorter > 0 ? fmt::format(", but sooner in {}.", h.hours_shorter) : ".";
  return wrapped(text, kWidth, 4);
}

std::string help_text(const Pets& a, const Style& style) {
  if (a.alarm.hours_passed == 0) return "";
  std::string out =
      "\nWhat would help when the unit fails (a person beside the animal helps most)\n";
  out += wrapped(
      fmt::format("  an alarm by telephone at {}: wins no minute, but leaves {} to act at worst, "
                  "{} in the middle case.",
                  degrees(a.T_alarm_K, style), minutes_left(a.alarm.with.min_min),
                  minutes_left(a.alarm.won_median_min)),
      kWidth, 4);
  out += help_line(
      fmt::format("a second fan of {} on its own supply, while outdoors is cooler",
                  core::format_quantity(a.fan_m3_s, Quantity::volume_flow, style.units, 0))
          .c_str(),
      a.second_fan);
  return out + help_line(in_units(fmt::format("a roof opening of {:.0f} cm² that springs open",
                                              a.opening_m2 * 1e4),
                                  style)
                             .c_str(),
                         a.opening);
}

/// Two columns: minutes to 99, then hours; '.' not in 4 h.
std::string cell(double m) {
  if (std::isnan(m)) return "   ";
  if (!std::isfinite(m)) return "  .";
  if (m < 99.5) return fmt::format("{:>3.0f}", std::floor(m + 1e-9));
  return fmt::format(" {:.0f}h", std::floor(m / 60));
}

std::string map_text(const Pets& a) {
  std::string out =
      "\nShortest time to the limit by month and hour of the day: minutes, from 100 on\n"
      "whole hours (2h); . not within 4 h\n     ";
  for (int h = 0; h < 24; ++h) out += fmt::format("{:>3}", h);
  out += "\n";
  for (std::size_t m = 0; m < a.map.size(); ++m) {
    if (std::all_of(a.map[m].begin(), a.map[m].end(), [](double x) { return std::isnan(x); }))
      continue;
    std::string line = fmt::format(" {} ", kMonths[m]);
    for (const double x : a.map[m]) line += cell(x);
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + "\n";
  }
  return out;
}

std::string heading_line(const Pets& a) {
  if (a.headings.empty()) return "";
  std::string text = fmt::format("Worst of eight headings: nose to {:.0f} degree. Shortest:",
                                 a.heading_rad / core::kDegree_rad);
  for (const auto& h : a.headings)
    text += fmt::format(" {:.0f}: {},", h.heading_rad / core::kDegree_rad, minutes_left(h.min_min));
  text.back() = '.';
  return "\n" + wrapped(text, kWidth, 0);
}

}  // namespace

std::string line_of_law(double T_K, const Style& style) {
  if (style.units == core::UnitSystem::si) return degrees(T_K, style);
  const double degF = core::to_celsius(T_K) * 1.8 + 32;
  return std::abs(degF - std::round(degF)) < 0.11 ? fmt::format("{:.0f} °F", degF)
                                                  : degrees(T_K, style);
}

/// Rounded down: a minute too many is the wrong error.
std::string minutes_left(double m) {
  if (m > 0 && m < 1) return "< 1 min";
  return std::isfinite(m) ? duration(std::floor(m + 1e-9)) : "not in 4 h";
}
std::string verdict(const Pets& a, const Style& style) {
  const std::string limit =
      fmt::format("{}, the limit of a {}", line_of_law(a.limit.T_most_K, style),
                  in_units(a.limit.animal, style));
  if (!a.met() && a.least_margin_K() <= 0)
    return fmt::format(
        "DANGER: even with the unit running the cabin passes {}: up to {}. {}", limit,
        degrees(a.drawn ? std::max(a.drawn->cabin_peak_K, a.cabin_peak_K) : a.cabin_peak_K, style),
        "In such hours no minute is left when the cooling stops.");
  if (!a.met())
    return fmt::format("DANGER: with the unit running the cabin stays above {} for {:.1f} h.",
                       line_of_law(a.limit.T_general_K, style), a.above_general_h);
  if (!a.shortest && !std::isfinite(a.fewest_min()))
    return fmt::format(
        "WARNING: never leave an animal, a child or a dependent adult in a parked vehicle, also "
        "where this model passes {} in no hour of the period within 4 h.",
        limit);
  return fmt::format(
      "{}: when the cooling stops, the cabin passes {}, {}.",
      a.fewest_min() < kDanger_min ? "DANGER" : "WARNING", limit,
      a.fewest_min() < 1 ? "in less than a minute" : "within " + minutes_left(a.fewest_min()));
}

std::string shortest_words(const Pets& a, const Style& style) {
  if (!a.shortest) return "";
  return fmt::format("Shortest: {}, {:02}:00, {} outdoors, when {}.",
                     core::long_text(a.shortest->date), a.shortest->hour,
                     degrees(a.shortest->T_out_K, style),
                     answers::failure_words(a.shortest->failure));
}

std::string running_words(const Pets& a, const Style& style) {
  return fmt::format(
      "The unit running, the cabin is at most {} ({}, {}): {} {} the limit. Longest "
      "stretch above {}: {:.1f} h (more than {:.0f} h breaks 9 CFR 3).",
      degrees(a.cabin_peak_K, style), core::long_text(a.peak_date),
      core::clock_text(a.peak_second_of_day), kelvins(std::abs(a.margin_K), style),
      a.margin_K > 0 ? "below" : "above", line_of_law(a.limit.T_general_K, style),
      a.above_general_h, a.limit.longest_s / 3600);
}

std::string terminal(const Pets& a, const Style& style) {
  std::string out =
      opening(a, style) + heading_line(a) + failure_table(a) + map_text(a) + help_text(a, style);
  return out + closing(a.header, style);
}

}  // namespace cabinload::report
