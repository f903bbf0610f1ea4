// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "text.hpp"

namespace cabinload::report {
namespace {

using answers::Runtime;
using answers::RuntimeHour;

/// Differences below this share are not worth a sentence.
constexpr double kWorthTelling_1 = 0.03;
constexpr double kWorthTelling_h = 0.05;  // engineering judgement

/// "2.8 h"; what a display shows while nothing is drawn has no end.
std::string shown_hours(double hours) {
  if (!std::isfinite(hours)) return "no end";
  return hours < 9.95 ? fmt::format("{:.1f} h", hours) : fmt::format("{:.0f} h", hours);
}

/// Clock of the end; with its date when that is not the next morning's.
std::string end_words(const Runtime& a) {
  const double end_s = a.second_of_day + a.hours_to_empty * core::kSecondsInHour;
  const std::string clock = core::clock_text(end_s);
  return a.hours_to_empty < 24 ? clock : clock + " on " + core::long_text(a.header.to);
}

std::string verdict(const Runtime& a) {
  const std::string display = std::isfinite(a.hours_displayed_at_start)
                                  ? fmt::format("the display said {} at the start.",
                                                shown_hours(a.hours_displayed_at_start))
                                  : "the display showed no end at the start, nothing was drawn.";
  const bool bound = a.limited_h > kWorthTelling_h || a.unserved_Wh > simulation::kUnnoticed_Wh;
  // Fan and controls, or nothing at all.
  const bool idle = a.duty_1 <= 0 && !bound;
  if (!a.ran_empty() && idle)
    return fmt::format(
        "Nothing to cool in {:.0f} h: the compressor never runs, {}; {:.0f} % left; {}",
        answers::kRuntimeHours,
        a.unit_Wh > 0.5 ? fmt::format("fan and controls of the unit take {:.0f} Wh", a.unit_Wh)
                        : std::string("the unit takes nothing"),
        100 * a.charge_end_1, display);
  if (!a.ran_empty())
    return fmt::format("Not empty after {:.0f} h: {:.0f} % left{}; {}", answers::kRuntimeHours,
                       100 * a.charge_end_1,
                       bound ? ", but it did not give all that was asked (see the notes)" : "",
                       display);
  return fmt::format("{} at {}, after {}{}; {}", a.by_voltage ? "Cut off by low voltage" : "Empty",
                     end_words(a), duration(a.hours_to_empty * 60),
                     idle ? ", with nothing to cool" : "", display);
}

std::string opening(const Runtime& a, const Style& style) {
  std::string out = verdict_line(verdict(a), style);
  out += wrapped("One calculation of the van as described, without a spread: promise less.", kWidth,
                 0);
  return out +
         subject_lines(a.header,
                       fmt::format("from {}, {} on, at {:.0f} % of charge: {:.0f} Wh above the "
                                   "cut-off at {:.0f} %",
                                   core::long_text(a.date), core::clock_text(a.second_of_day),
                                   100 * a.charge_1, a.usable_Wh, 100 * a.cut_off_1));
}

std::string hour_table(const Runtime& a, const Style& style) {
  const auto line = [](const std::array<std::string, 9>& cells) {
    constexpr std::array<std::size_t, 9> kWidths = {6, 8, 9, 9, 9, 10, 9, 9, 10};
    std::string out;
    for (std::size_t i = 0; i < cells.size(); ++i) out += padded(cells[i], kWidths[i], true);
    return out + "\n";
  };
  const auto watts = [](double W) { return fmt::format("{:.0f} W", W); };
  std::string out = "\n" + line({"time", "charge", "unit", "others", "sun", "outdoors", "bed",
                                 "display", "in truth"});
  double hours = 0;
  for (const RuntimeHour& h : a.path) {
    out +=
        line({core::clock_text(h.second_of_day), fmt::format("{:.0f} %", 100 * h.state_of_charge_1),
              watts(h.unit_W), watts(h.other_W), watts(h.solar_W), degrees(h.T_out_K, style),
              degrees(h.T_bed_K, style), shown_hours(h.hours_displayed),
              a.ran_empty() ? shown_hours(std::max(0.0, a.hours_to_empty - hours))
                            : fmt::format("> {:.0f} h", answers::kRuntimeHours - hours)});
    hours += h.hours;
  }
  if (a.ran_empty())
    out += fmt::format(" {}{}  {}\n",
                       core::clock_text(a.second_of_day + a.hours_to_empty * core::kSecondsInHour),
                       padded(fmt::format("{:.0f} %", 100 * a.charge_end_1), 8, true),
                       a.by_voltage ? "cut off by low voltage" : "empty");
  return out + wrapped("  Charge and display at the time, the rest mean over the hour from it.",
                       kWidth, 2);
}

/// Why the display and the truth differ: each cause that is worth telling.
std::string reasons(const Runtime& a) {
  std::string out;
  const auto tell = [&](const std::string& text) { out += wrapped("  " + text, kWidth, 4); };
  const bool bound = a.limited_h > kWorthTelling_h;
  if (bound)
    tell(
        fmt::format("For {} the supply gave the unit less than it asked: the draw is what "
                    "battery and converter give, not what the cabin needs.",
                    shown_hours(a.limited_h)));
  if (a.first_hour_W > (1 + kWorthTelling_1) * a.mean_W)
    tell(fmt::format("The load falls: {:.0f} W in the first hour{}, {:.0f} W on average.",
                     a.first_hour_W, bound ? "" : ", with the cabin's heat to be taken out",
                     a.mean_W));
  else if (a.first_hour_W < (1 - kWorthTelling_1) * a.mean_W)
    tell(fmt::format("The load rises: {:.0f} W in the first hour, {:.0f} W on average.",
                     a.first_hour_W, a.mean_W));
  if (!bound && a.duty_1 > 0 && a.duty_1 < 1 - kWorthTelling_1)
    tell(
        fmt::format("The compressor goes on and off: it ran {:.0f} % of the time. The display "
                    "divides by what is drawn while it runs, {:.0f} W on average.",
                    100 * a.duty_1, a.running_W));
  const double worth_Wh = kWorthTelling_1 * std::max(a.used_Wh, 1.0);
  const struct {
    double Wh;
    const char* what;
  } sources[] = {
      {a.solar_Wh, "The sun"}, {a.alternator_Wh, "The alternator"}, {a.shore_Wh, "Shore power"}};
  for (const auto& s : sources)
    if (s.Wh > worth_Wh)
      tell(fmt::format("{} gave {:.0f} Wh, which no display can know beforehand.", s.what, s.Wh));
  if (a.lost_Wh > 0.01 * a.used_Wh)
    tell(fmt::format("Losses of cells, converters and chargers, and standby: {:.0f} Wh.",
                     a.lost_Wh));
  else if (a.lost_Wh < -0.01 * a.used_Wh)
    tell(
        fmt::format("The cells gave {:.0f} Wh more than was counted, after their losses: they "
                    "stand above their rated voltage, and the display counts by that.",
                    -a.lost_Wh));
  return out.empty() ? "" : "\nWhy the display and the truth differ\n" + out;
}

std::string figures(const Runtime& a) {
  const auto row = [](const char* what, const std::string& value) {
    return wrapped(fmt::format("  {:<28}{}", what, value), kWidth, 30);
  };
  std::string out = a.ran_empty() ? "\nUntil it was empty\n" : "\nIn that time\n";
  out += row("drawn on average", fmt::format("{:.0f} W", a.mean_W));
  out += row("in the first hour", fmt::format("{:.0f} W", a.first_hour_W));
  out += row("used", fmt::format("{:.0f} Wh, the unit {:.0f} Wh of it{}", a.used_Wh, a.unit_Wh,
                                 a.refrigerator_Wh > 0.5
                                     ? fmt::format(", refrigerators {:.0f} Wh", a.refrigerator_Wh)
                                     : ""));
  if (a.unserved_Wh > simulation::kUnnoticed_Wh)
    out += row("asked by others, not given", fmt::format("{:.0f} Wh", a.unserved_Wh));
  std::string brought;
  if (a.solar_Wh > 0.5) brought += fmt::format(", sun {:.0f} Wh", a.solar_Wh);
  if (a.alternator_Wh > 0.5) brought += fmt::format(", alternator {:.0f} Wh", a.alternator_Wh);
  if (a.shore_Wh > 0.5) brought += fmt::format(", shore {:.0f} Wh", a.shore_Wh);
  if (!brought.empty()) out += row("came in", brought.substr(2));
  return out + row("the compressor ran", fmt::format("{:.0f} % of the time", 100 * a.duty_1));
}

}  // namespace

std::string terminal(const Runtime& a, const Style& style) {
  std::string out = opening(a, style) + hour_table(a, style) + reasons(a) + figures(a);
  return out + closing(a.header, style);
}

}  // namespace cabinload::report
