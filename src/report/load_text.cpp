// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cabinload/core/constants.hpp>
#include <cmath>
#include <numeric>

#include "text.hpp"

namespace cabinload::report {
namespace {

using answers::Load;
using answers::LoadCause;
using core::Quantity;

constexpr int kChartRows = 10;
constexpr std::size_t kBar = 14;  // columns of the bars beside the causes

/// Both systems: the trade counts cooling in BTU/h everywhere.
std::string both(double W, const Style& style) {
  Style other = style;
  other.units = style.units == core::UnitSystem::si ? core::UnitSystem::us : core::UnitSystem::si;
  return fmt::format("{} ({})", power(W, style), power(W, other));
}
std::string hours_of_day(int hour) {
  return fmt::format("{:02}:00-{:02}:00", hour, hour + 1);
}

std::string held_words(const Load& a, const Style& style) {
  return fmt::format("{} held {}", degrees(a.T_set_K, style),
                     a.held_always ? "day and night" : a.hours_text);
}

std::string verdict(const Load& a, const Style& style) {
  if (!a.peak)
    return fmt::format("Nothing needs cooling: {} without it, in all of {}.",
                       a.held_always ? "the cabin stays at or below " + degrees(a.T_set_K, style)
                                     : "at " + a.hours_text + " the cabin stays at or below " +
                                           degrees(a.T_set_K, style),
                       plural(a.hours_in_period, "hour", "hours"));
  return fmt::format("Cooling demand: up to {} in an hour, on {}, {}.", both(a.peak_W(), style),
                     core::long_text(a.peak->date), hours_of_day(a.peak->hour));
}

std::string opening(const Load& a, const Style& style) {
  std::string out = verdict_line(verdict(a, style), style);
  if (a.peak)
    out += wrapped(
        fmt::format("That is what a cooling of any capacity would take out with {}: heat {}, "
                    "moisture {}; outdoors {}.",
                    held_words(a, style), power(a.peak->at.sensible_W, style),
                    power(a.peak->at.latent_W, style), degrees(a.peak->at.T_out_K, style)),
        kWidth, 0);
  if (a.peak && !a.held_always)
    out +=
        wrapped("The first hour of each span holds the pull-down of whatever the cabin had become.",
                kWidth, 0);
  return out + subject_lines(a.header, period_words(a.header));
}

std::string bar(double share_1, const Style& style) {
  const auto n = static_cast<std::size_t>(
      std::lround(std::clamp(share_1, 0.0, 1.0) * static_cast<double>(kBar)));
  std::string out;
  for (std::size_t i = 0; i < n; ++i) out += style.ascii ? "#" : "█";
  return padded(out, kBar);
}

/// A column of the causes, in wholes of its unit, and its total.
struct Column {
  std::vector<long> parts;
  long all = 0;
};
Column column(const std::vector<double>& values, double total) {
  const long all = std::lround(total);
  return {adding_up(values, all), all};
}

/// Rows are rounded so that they add up as printed.
std::string cause_table(const Load& a, const Style& style) {
  if (!a.peak) return "";
  const bool us = style.units == core::UnitSystem::us;
  const double unit_W = us ? core::parse_quantity("1 BTU/h", Quantity::power) : 1.0;
  const double total_kWh = a.sensible_kWh + a.latent_kWh;
  const auto share = [](double part, double all) { return all > 0 ? 100 * part / all : 0.0; };
  std::vector<double> W, kWh_10, W_percent, kWh_percent;
  double largest_W = 0;
  for (const LoadCause& c : a.causes) {
    const double cause_W = c.peak_sensible_W + c.peak_latent_W;
    largest_W = std::max(largest_W, cause_W);
    W.push_back(cause_W / unit_W);
    kWh_10.push_back(10 * (c.sensible_kWh + c.latent_kWh));
    W_percent.push_back(share(cause_W, a.peak_W()));
    kWh_percent.push_back(share(c.sensible_kWh + c.latent_kWh, total_kWh));
  }
  const Column watts = column(W, a.peak_W() / unit_W), tenths = column(kWh_10, 10 * total_kWh);
  const Column of_W = column(W_percent, share(a.peak_W(), a.peak_W())),
               of_kWh = column(kWh_percent, share(total_kWh, total_kWh));
  const auto row = [&](const std::string& words, long n_W, long n_tenths, long percent_W,
                       long percent_kWh, const std::string& drawn) {
    return fmt::format(
        "  {} {} {} {:>4} % {} {:>4} %\n", padded(words, 25),
        padded(fmt::format("{} {}", n_W, us ? "BTU/h" : "W"), 11, true), drawn, percent_W,
        padded(fmt::format("{:.1f} kWh", 0.1 * static_cast<double>(n_tenths)), 11, true),
        percent_kWh);
  };
  std::string out =
      "\nBy cause                     in that hour" + std::string(17, ' ') + "over the period\n";
  for (std::size_t i = 0; i < a.causes.size(); ++i) {
    if (watts.parts[i] == 0 && tenths.parts[i] == 0) continue;  // nothing is lost by leaving it out
    out += row(a.causes[i].words, watts.parts[i], tenths.parts[i], of_W.parts[i], of_kWh.parts[i],
               bar(W[i] * unit_W / largest_W, style));
  }
  out += row("all", watts.all, tenths.all, of_W.all, of_kWh.all, std::string(kBar, ' '));
  return out + wrapped(
                   "  Sun on roof and walls is counted with them, sun through a window beside "
                   "it. 'Stored before' is heat (or coolness, below zero) that the cabin "
                   "brought along from times when it was not at the set point.",
                   kWidth, 2);
}

std::string percentiles(const Load& a, const Style& style) {
  if (!a.peak) return "";
  std::string out = fmt::format("\n{} of {} need cooling. Of these the demand is at or below\n",
                                a.hours_with_demand, plural(a.hours_in_period, "hour", "hours"));
  for (std::size_t i = 0; i < a.percentile_W.size(); ++i)
    out += fmt::format("  {} {:>5g} % of the hours\n", padded(both(a.percentile_W[i], style), 24),
                       answers::kLoadPercents[i]);
  if (a.hours_cooler_outdoors > 0)
    out += wrapped(fmt::format("In {} of them ({:.0f} kWh) the air outdoors is cooler than the set "
                               "point: an open vent or a fan would take a part of that.",
                               a.hours_cooler_outdoors, a.cooler_outdoors_kWh),
                   kWidth, 0);
  return out;
}

std::string month_table(const Load& a, const Style& style) {
  if (!a.peak || a.by_month.size() < 2) return "";
  std::string out = "\nMonth       hours   highest hour        heat    moisture   most by\n";
  for (const auto& m : a.by_month) {
    if (m.hours_with_demand == 0) continue;
    const auto most = std::max_element(m.by_cause_kWh.begin(), m.by_cause_kWh.end());
    out += fmt::format(
        "{} {:>6} {} {:>7.0f} kWh {:>7.0f} kWh   {}\n",
        padded(std::string(core::month_name(m.month)), 10), m.hours_with_demand,
        padded(power(m.peak_W, style), 14, true), m.sensible_kWh, m.latent_kWh,
        a.causes[static_cast<std::size_t>(most - m.by_cause_kWh.begin())].words.substr(0, 25));
  }
  return out;
}

/// One row of the chart: heat below, moisture on top of it.
/// @param cell  columns of an hour, the gap after it among them
std::string chart_row(const Load& a, double low_W, double high_W, std::size_t cell,
                      const Style& style) {
  const double middle_W = 0.5 * (low_W + high_W);
  std::string line;
  for (const auto& h : a.peak_day) {
    const char* mark = " ";
    if (h.sensible_W > middle_W)
      mark = style.ascii ? "#" : "█";
    else if (h.total_W() > middle_W)
      mark = style.ascii ? ":" : "░";
    for (std::size_t c = 1; c < std::max<std::size_t>(cell, 2); ++c) line += mark;
    if (cell > 1) line += ' ';
  }
  line.erase(line.find_last_not_of(' ') + 1);
  return line;
}

/// The day of the highest hour.
std::string day_chart(const Load& a, const Style& style) {
  if (!a.peak || !style.pictures) return "";
  std::string out =
      fmt::format("\n{}, hour by hour ({} heat, {} moisture)\n", core::long_text(a.peak->date),
                  style.ascii ? "##" : "██", style.ascii ? "::" : "░░");
  const double row_W = a.peak_W() / kChartRows;
  const std::size_t cell = std::clamp<std::size_t>((style.columns - 7) / 24, 1, 4);
  for (int r = kChartRows; r-- > 0;) {
    const bool labelled = r == kChartRows - 1 || r == kChartRows / 2 - 1;
    const std::string row = chart_row(a, r * row_W, (r + 1) * row_W, cell, style);
    const std::string head =
        labelled ? padded(fmt::format("{:.0f}",
                                      style.units == core::UnitSystem::us
                                          ? (r + 1) * row_W /
                                                core::parse_quantity("1 BTU/h", Quantity::power)
                                          : (r + 1) * row_W),
                          6, true)
                 : std::string(6, ' ');
    out += fmt::format("{}{}{}\n", head, row.empty() ? "" : " ", row);
  }
  std::string hours = style.units == core::UnitSystem::us ? " BTU/h " : "     W ";
  for (std::size_t h = 0; h < a.peak_day.size(); h += 3)
    hours += padded(std::to_string(h), 3 * cell);
  hours.erase(hours.find_last_not_of(' ') + 1);
  std::string outdoors = "   out ";
  for (std::size_t h = 0; h<a.peak_day.size(); h += cell> 1 ? 3 : 6)
    outdoors +=
        padded(core::format_quantity(a.peak_day[h].T_out_K, Quantity::temperature, style.units, 0),
               (cell > 1 ? 3 : 6) * cell);
  outdoors.erase(outdoors.find_last_not_of(' ') + 1);
  return out + hours + "\n" + outdoors + "\n";
}

double square_foot_m2() {
  return core::parse_quantity("1 ft2", Quantity::area);
}

/// Every built-in body in the same place: what one figure for all of them is worth.
std::string body_table(const Load& a, const Style& style) {
  if (a.bodies.empty()) return "";
  const double W_BTU_h = core::parse_quantity("1 BTU/h", Quantity::power);
  std::string out = "\nThe rule of thumb by floor area, over the built-in bodies at this place\n";
  out += "Body                        floor   highest hour     W/ft²   BTU/h per ft²\n";
  double least = 1e99, most = 0;
  for (const auto& b : a.bodies) {
    const double W_ft2 = b.floor_area_m2 > 0 ? b.peak_W / b.floor_area_m2 * square_foot_m2() : 0;
    least = std::min(least, W_ft2);
    most = std::max(most, W_ft2);
    out += fmt::format(
        "  {}{}{}{:>10.0f}{:>16.0f}\n", padded(b.key, 18),
        padded(core::format_quantity(b.floor_area_m2, Quantity::area, style.units, 1), 13, true),
        padded(power(b.peak_W, style), 15, true), W_ft2, W_ft2 / W_BTU_h);
  }
  if (!(least > 0)) return out;
  return out + wrapped(fmt::format("From {:.0f} to {:.0f} W per square foot: the largest is {:.1f} "
                                   "times the smallest. One figure for all of them (common "
                                   "practice, no published source) cannot be right for each.",
                                   least, most, most / least),
                       kWidth, 0);
}

std::string rule_of_thumb(const Load& a, const Style& style) {
  if (!a.peak || !(a.floor_area_m2 > 0)) return "";
  const double m2_ft2 = square_foot_m2();
  const double W_BTU_h = core::parse_quantity("1 BTU/h", Quantity::power);
  const double W_ft2 = a.peak_W() / a.floor_area_m2 * m2_ft2;
  const std::string us_floor = fmt::format("{:.0f} ft²", a.floor_area_m2 / m2_ft2);
  const std::string floor = style.units == core::UnitSystem::us
                                ? us_floor
                                : fmt::format("{:.1f} m², {}", a.floor_area_m2, us_floor);
  return "\n" + wrapped(fmt::format("The trade's rule of thumb (common practice, no published "
                                    "source) goes by floor area: this demand is {:.0f} W or "
                                    "{:.0f} BTU/h per square foot of floor ({}). It holds for "
                                    "this vehicle, place and set point only.",
                                    W_ft2, W_ft2 / W_BTU_h, floor),
                        kWidth, 0);
}

std::string heading_line(const Load& a, const Style& style) {
  if (a.headings.empty()) return "";
  std::string text = fmt::format("Worst of eight headings: nose to {:.0f} degree. Highest hour:",
                                 a.heading_rad / core::kDegree_rad);
  for (const auto& h : a.headings)
    text += fmt::format(" {:.0f}: {},", h.heading_rad / core::kDegree_rad, power(h.peak_W, style));
  text.back() = '.';
  return "\n" + wrapped(text, kWidth, 0);
}

}  // namespace

std::string terminal(const Load& a, const Style& style) {
  std::string out = opening(a, style) + heading_line(a, style) + cause_table(a, style) +
                    percentiles(a, style) + month_table(a, style) + day_chart(a, style) +
                    rule_of_thumb(a, style) + body_table(a, style);
  if (a.peak)
    out += wrapped(
        "A unit's rated capacity is given at its rating point; on a hot roof it has "
        "less. Whether a unit is enough is asked of `cabinload hold`.",
        kWidth, 0);
  return out + closing(a.header, style);
}

}  // namespace cabinload::report
