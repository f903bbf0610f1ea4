// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "sentences.hpp"
#include "text.hpp"

namespace cabinload::report {
namespace {

using answers::CompareRow;
using answers::Comparison;
using core::Quantity;

constexpr std::size_t kColumns = 5, kColumn = 11, kName = 24;

/// The end of a path, cut to a width.
std::string shortened(const std::string& name, std::size_t width) {
  const std::size_t slash = name.find_last_of('/');
  std::string text = slash == std::string::npos ? name : name.substr(slash + 1);
  return text.size() > width ? text.substr(0, width - 1) + "." : text;
}

/// The list that the first line speaks of: the first with more than one entry.
struct Axis {
  const char* what;
  std::vector<std::string> names;
  std::size_t CompareRow::*which;
};
std::vector<Axis> axes(const Comparison& a) {
  std::vector<std::string> climates;
  for (const auto& w : a.weathers) climates.push_back(w.key);
  return {{"unit", a.units, &CompareRow::unit},
          {"setting", a.settings, &CompareRow::setting},
          {"vehicle", a.vehicles, &CompareRow::vehicle},
          {"climate", climates, &CompareRow::weather}};
}

std::string verdict(const Comparison& a, const Style& style) {
  if (a.nothing_needs_cooling())
    return fmt::format(
        "No cooling needed in any row: with the unit off the bed stays at or below {}.",
        degrees(a.T_limit_K, style));
  for (const Axis& axis : axes(a)) {
    if (axis.names.size() < 2) continue;
    const auto all = answers::sums(a, axis.which, axis.names.size());
    const auto lost = [](const answers::CompareSum& s) { return s.needing_cooling - s.held; };
    const auto best = std::min_element(
        all.begin(), all.end(), [&](const auto& x, const auto& y) { return lost(x) < lost(y); });
    const auto worst = std::max_element(
        all.begin(), all.end(), [&](const auto& x, const auto& y) { return lost(x) < lost(y); });
    const auto name = [&](auto at) {
      return axis.names[static_cast<std::size_t>(at - all.begin())];
    };
    if (lost(*best) == lost(*worst))
      return fmt::format("Every {} loses as many nights: {} of {} that need cooling.", axis.what,
                         lost(*best), best->needing_cooling);
    return fmt::format(
        "Fewest nights lost by {}: {} loses {} of {} that need cooling; {} loses {}.", axis.what,
        name(best), lost(*best), best->needing_cooling, name(worst), lost(*worst));
  }
  return fmt::format("Held: {} of the {} nights that need cooling.", a.rows.front().held,
                     a.rows.front().needing_cooling);
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
  out += wrapped(fmt::format("{} by {} by {} by {}; {} to {}. Sleeper's limit {}.",
                             plural(static_cast<long>(a.units.size()), "unit", "units"),
                             plural(static_cast<long>(a.weathers.size()), "climate", "climates"),
                             plural(static_cast<long>(a.vehicles.size()), "vehicle", "vehicles"),
                             plural(static_cast<long>(a.settings.size()), "setting", "settings"),
                             core::long_text(a.header.from), core::long_text(a.header.to),
                             degrees(a.T_limit_K, style)),
                 kWidth, 0);
  out += matrices(a, "Nights held, of those that need cooling", [](const CompareRow& r) {
    return r.needing_cooling == 0 ? std::string("none need")
                                  : fmt::format("{}/{}", r.held, r.needing_cooling);
  });
  out += matrices(
      a, "Electricity of the unit a night, half of these nights below", [&](const CompareRow& r) {
        return std::isfinite(r.electric_Wh)
                   ? core::format_quantity(r.electric_Wh * 3600, Quantity::energy, style.units, 2)
                   : std::string("-");
      });
  out += matrices(a,
                  fmt::format("Fewest minutes to the limit of a {}, {}, once the cooling fails",
                              in_units(a.to.animal, style), degrees(a.to.T_limit_K, style))
                      .c_str(),
                  [](const CompareRow& r) { return minutes_left(r.minutes); });
  out += wrapped(kMinutesMeaning, kWidth, 0);
  return out + closing(a.header, style, "What the first row rests on");
}

}  // namespace cabinload::report
