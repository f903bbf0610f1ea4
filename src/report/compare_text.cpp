// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "sentences.hpp"
#include "text.hpp"

namespace cabinload::report {
namespace {

using answers::CompareChoice;
using answers::CompareRow;
using answers::Comparison;
using core::Quantity;

constexpr std::size_t kColumns = 5, kColumn = 11, kName = 24;

/// The end of a path, cut to a width.
std::string shortened(const std::string& name, std::size_t width) {
  const std::size_t slash = name.find_last_of('/');
  std::string text = slash == std::string::npos ? name : name.substr(slash + 1);
  return columns(text) > width ? first_columns(text, width - 1) + "." : text;
}

/// Why the nights lost are lost, in a word.
const char* why_short(answers::Why why) {
  using answers::Why;
  switch (why) {
    case Why::capacity:
      return "capacity";
    case Why::battery:
      return "battery";
    case Why::supply_limit:
      return "supply";
    case Why::cut_out:
      return "cut out";
    case Why::pull_down:
      return "too late";
    case Why::schedule:
      return "not asked";
    case Why::none:
      break;
  }
  return "-";
}

/// "generic-2000-24v in long-van, unit.power_cap=400 W": of each list with more than one entry.
std::string choice_name(const Comparison& a, const CompareChoice& c) {
  std::string name = a.units.size() > 1 ? a.units[c.unit] : "";
  if (a.vehicles.size() > 1) name += (name.empty() ? "" : " in ") + a.vehicles[c.vehicle];
  if (a.settings.size() > 1) name += (name.empty() ? "" : ", ") + a.settings[c.setting];
  return name;
}

/// Where only climates differ.
std::string climates_verdict(const Comparison& a) {
  const auto lost = [](const CompareRow& r) { return r.needing_cooling - r.held; };
  const auto fewer = [&](const CompareRow& x, const CompareRow& y) { return lost(x) < lost(y); };
  const CompareRow& best = *std::min_element(a.rows.begin(), a.rows.end(), fewer);
  const CompareRow& worst = *std::max_element(a.rows.begin(), a.rows.end(), fewer);
  if (lost(best) == lost(worst))
    return fmt::format("Every climate loses as many nights: {}.", lost(best));
  return fmt::format("Fewest nights lost in {}: {} of {} that need cooling; most in {}: {} of {}.",
                     a.weathers[best.weather].key, lost(best), best.needing_cooling,
                     a.weathers[worst.weather].key, lost(worst), worst.needing_cooling);
}

std::string verdict(const Comparison& a, const Style& style) {
  if (a.nothing_needs_cooling())
    return fmt::format(
        "No cooling needed in any row: with the unit off the bed stays at or below {}.",
        degrees(a.T_limit_K, style));
  if (a.rows.size() == 1)
    return fmt::format("Held: {} of the {} nights that need cooling.", a.rows.front().held,
                       a.rows.front().needing_cooling);
  const std::vector<CompareChoice> all = answers::choices(a);
  if (all.size() == 1) return climates_verdict(a);
  const CompareChoice &best = all.front(), &worst = all.back();
  const std::string where = a.weathers.size() > 1 ? ", all climates together" : "";
  if (best.lost() == worst.lost())
    return fmt::format("Each of the {} loses as many nights{}: {}.", all.size(), where,
                       best.lost());
  const auto more = std::count_if(all.begin() + 1, all.end(),
                                  [&](const CompareChoice& c) { return c.lost() == best.lost(); });
  return fmt::format(
      "Fewest nights lost{}: {} of {} that need cooling with {}{}; most: {} of {} with {}.", where,
      best.lost(), best.needing_cooling, choice_name(a, best),
      more == 0 ? "" : fmt::format(" (as few with {} more)", more), worst.lost(),
      worst.needing_cooling, choice_name(a, worst));
}

/// One matrix: units down, climates across, of one vehicle and setting.
template <class Cell>
std::string matrix(const Comparison& a, std::size_t vehicle, std::size_t setting, Cell cell) {
  std::string out;
  for (std::size_t first = 0; first < a.weathers.size(); first += kColumns) {
    const std::size_t end = std::min(first + kColumns, a.weathers.size());
    const std::string title =
        a.vehicles[vehicle] + (a.settings.size() > 1 ? "; " + a.settings[setting] : "");
    if (columns(title) > kName - 2) out += wrapped(title, kWidth, 2);
    out += padded(columns(title) > kName - 2 ? "" : title, kName);
    for (std::size_t w = first; w < end; ++w)
      out += padded(shortened(a.weathers[w].key, kColumn - 1), kColumn, true);
    out += "\n";
    for (std::size_t u = 0; u < a.units.size(); ++u) {
      out += padded("  " + shortened(a.units[u], kName - 3), kName);
      for (std::size_t w = first; w < end; ++w)
        for (const CompareRow& r : a.rows)
          if (r.vehicle == vehicle && r.setting == setting && r.unit == u && r.weather == w)
            out += padded(cell(r), kColumn, true);
      out += "\n";
    }
  }
  return out;
}

template <class Cell>
std::string matrices(const Comparison& a, const char* head, Cell cell) {
  std::string out = std::string("\n") + head + "\n";
  for (std::size_t v = 0; v < a.vehicles.size(); ++v)
    for (std::size_t s = 0; s < a.settings.size(); ++s) out += matrix(a, v, s, cell);
  return out;
}

}  // namespace

std::string terminal(const Comparison& a, const Style& style) {
  std::string out = verdict_line(verdict(a, style), style);
  const bool one_limit = std::all_of(a.rows.begin(), a.rows.end(), [&](const CompareRow& r) {
    return std::abs(r.T_limit_K - a.T_limit_K) < 1e-6;
  });
  out += wrapped(fmt::format("{} by {} by {} by {}; {} to {}. Sleeper's limit {}{}.",
                             plural(static_cast<long>(a.units.size()), "unit", "units"),
                             plural(static_cast<long>(a.weathers.size()), "climate", "climates"),
                             plural(static_cast<long>(a.vehicles.size()), "vehicle", "vehicles"),
                             plural(static_cast<long>(a.settings.size()), "setting", "settings"),
                             core::long_text(a.header.from), core::long_text(a.header.to),
                             degrees(a.T_limit_K, style),
                             one_limit ? "" : " in the first row, else as its setting says"),
                 kWidth, 0);
  out += matrices(a, "Nights held, of those that need cooling", [](const CompareRow& r) {
    return r.needing_cooling == 0 ? std::string("none need")
                                  : fmt::format("{}/{}", r.held, r.needing_cooling);
  });
  if (std::any_of(a.rows.begin(), a.rows.end(),
                  [](const CompareRow& r) { return r.most_often != answers::Why::none; }))
    out += matrices(a, "What most of the lost nights are lost to",
                    [](const CompareRow& r) { return std::string(why_short(r.most_often)); });
  out += matrices(
      a, "Electricity of the unit a night, half of these nights below", [&](const CompareRow& r) {
        return std::isfinite(r.electric_Wh)
                   ? core::format_quantity(r.electric_Wh * 3600, Quantity::energy, style.units, 2)
                   : std::string("-");
      });
  out += matrices(a,
                  fmt::format("Fewest minutes to the limit of a {}, {}, once the cooling fails",
                              in_units(a.to.animal, style), line_of_law(a.to.T_limit_K, style))
                      .c_str(),
                  [](const CompareRow& r) { return minutes_left(r.minutes); });
  out += wrapped(kMinutesMeaning, kWidth, 0);
  return out + closing(a.header, style, "What the first row rests on");
}

}  // namespace cabinload::report
