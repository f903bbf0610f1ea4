// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/study.hpp>
#include <cmath>

#include "text.hpp"

namespace cabinload::report {
namespace {

using study::Summary;

std::string percent(double share_1) {
  return fmt::format("{:.0f} %", 100 * share_1);
}

std::string verdict_of(const Summary& s) {
  const std::uint64_t ran = s.cases - s.failed;
  if (ran == 0) return fmt::format("Failed: none of {} cases could be computed.", s.cases);
  if (s.needing == 0)
    return fmt::format("No night needs cooling in any of {}.",
                       plural(static_cast<long>(ran), "case", "cases"));
  return fmt::format("Held: {} of the nights that need cooling, over {}; in {} of them all nights.",
                     percent(s.held / s.needing), plural(static_cast<long>(ran), "case", "cases"),
                     s.all_held);
}

std::string failed_line(const Summary& s) {
  if (s.failed == 0) return "";
  return wrapped(fmt::format("{} failed and {} left out below; the first, number {}: {}", s.failed,
                             s.failed == 1 ? "is" : "are", s.first_failed, s.first_reason),
                 kWidth, 2);
}

/// What the description of the van above does not hold for.
std::string varied_line(const Summary& s) {
  constexpr std::size_t kWithValues = 6;
  if (s.varied.empty()) return "";
  std::string list;
  for (const study::Varied& v : s.varied) {
    list += (list.empty() ? "" : "; ") + v.key;
    if (s.varied.size() <= kWithValues) list += ": " + v.values;
  }
  return wrapped("Varied, whatever else is said of it here: " + list + ".", kWidth, 2);
}

/// A value of the table as the other answers write it; the file and --json have the columns' own
/// units.
std::string figure(const study::Figures& f, double v, const Style& style) {
  if (!std::isfinite(v)) return "-";
  if (f.units == "degC") return degrees(core::to_kelvin(v), style);
  if (f.units == "W h") return energy(v, style);
  if (f.units == "L") return in_units(fmt::format("{:.1f} L", v), style);
  if (f.units == "h") return duration(60 * v);
  return f.name.starts_with("nights") ? fmt::format("{:.3g}", v) : percent(v);
}

std::string figure_table(const Summary& s, const Style& style) {
  std::string out = fmt::format("\nOver the cases{:<22}{:>10} {:>10} {:>10} {:>10}\n", "", "5 %",
                                "half", "95 %", "mean");
  for (const study::Figures& f : s.figures) {
    if (f.name == "nights") continue;
    std::string name = f.name;
    std::replace(name.begin(), name.end(), '_', ' ');
    out += fmt::format("  {:<34}", name);
    for (const double v : {f.p05, f.p50, f.p95, f.mean})
      out += padded(figure(f, v, style), 10, true) + " ";
    out.back() = '\n';
  }
  if (s.sampled > 0) out += wrapped(fmt::format("  Of {} cases among them.", s.sampled), kWidth, 2);
  return out;
}

std::string level_table(const Summary& s) {
  std::string out, key;
  for (const study::LevelFigures& l : s.levels) {
    if (l.key != key) {
      key = l.key;
      out += fmt::format("\n{:<42}{:>8} {:>14} {:>12}\n", key, "cases", "nights held", "all held");
    }
    std::string value = l.key == "weather.file" ? l.value.substr(l.value.rfind('/') + 1) : l.value;
    if (columns(value) > 38) value = "..." + last_columns(value, 35);
    out += fmt::format("  {}{:>8} {:>14} {:>12}\n", padded(value, 40), l.cases,
                       l.needing > 0 ? percent(l.held / l.needing) : "-", l.all_held);
  }
  return out;
}

std::string effect_table(const Summary& s) {
  if (s.effects.empty()) return "";
  std::string out =
      "\nWhat to measure first: share of the spread that goes with each input\n"
      "                                  of nights held        of a night's electricity\n"
      "                                 alone  with others         alone  with others\n";
  for (const study::InputEffect& e : s.effects) {
    out += fmt::format("  {:<29}{:>7} {:>12} {:>13} {:>12}\n", e.key, percent(e.held.first),
                       percent(e.held.total), percent(e.energy.first), percent(e.energy.total));
  }
  return out + wrapped(
                   "  Estimates: they scatter around 0 and 100 %; the file and --json have their "
                   "ranges.",
                   kWidth, 2);
}

}  // namespace

std::string terminal(const Summary& s, const Style& style) {
  std::string out = verdict_line(verdict_of(s), style);
  out += failed_line(s);
  out += subject_lines(
      s.header, fmt::format("{}, {}, seed {}", plural(static_cast<long>(s.cases), "case", "cases"),
                            s.way == "all"     ? "every combination"
                            : s.way == "latin" ? "a Latin hypercube"
                                               : "Sobol's sequence",
                            s.seed));
  out += varied_line(s);
  out += figure_table(s, style) + level_table(s) + effect_table(s);
  return out + closing(s.header, style);
}

}  // namespace cabinload::report
