// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <array>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "text.hpp"

namespace cabinload::report {
namespace {

using answers::WeatherSummary;
using core::Quantity;

std::string range_line(const char* name, const answers::Range& r, Quantity q, int decimals,
                       const Style& style) {
  if (r.known == 0) return fmt::format("  {:<18} not in the file\n", name);
  const auto show = [&](double v) {
    return padded(core::format_quantity(v, q, style.units, decimals), 11, true);
  };
  return fmt::format("  {:<18}{}{}{}\n", name, show(r.low), show(r.mean), show(r.high));
}

std::string plain_line(const char* name, const answers::Range& r, const char* unit, int decimals) {
  if (r.known == 0) return fmt::format("  {:<18} not in the file\n", name);
  const auto show = [&](double v) {
    return padded(fmt::format("{:.{}f} {}", v, decimals, unit), 11, true);
  };
  return fmt::format("  {:<18}{}{}{}\n", name, show(r.low), show(r.mean), show(r.high));
}

/// Months by hours: the mean dry bulb as a letter a cell, its steps explained below.
std::string year_drawing(const WeatherSummary& w, const Style& style) {
  struct Step {
    double from_degC;
    char mark;
  };
  constexpr std::array<Step, 7> kSteps = {
      {{-1e9, '_'}, {10, '.'}, {18, '-'}, {22, '+'}, {25, 'o'}, {30, 'O'}, {35, '#'}}};
  std::string out =
      "\nThe year, mean temperature by month and hour (local standard time)\n            0     3   "
      "  6     9     12    15    18    21\n";
  for (std::size_t m = 0; m < 12; ++m) {
    if (std::isnan(w.month_mean_K[m])) continue;
    std::string row;
    for (std::size_t h = 0; h < 24; ++h) {
      char mark = ' ';
      if (!std::isnan(w.month_hour_K[m][h]))
        for (const Step& s : kSteps)
          if (core::to_celsius(w.month_hour_K[m][h]) >= s.from_degC) mark = s.mark;
      row += std::string(2, mark);
    }
    out += fmt::format("  {} {} {}\n",
                       padded(std::string(core::month_name(static_cast<int>(m) + 1)), 9), row,
                       padded(degrees(w.month_mean_K[m], style), 9, true));
  }
  out += "  ";
  for (std::size_t i = 0; i < kSteps.size(); ++i) {
    const bool first = i == 0, last = i + 1 == kSteps.size();
    const std::string low = first ? "" : degrees(core::to_kelvin(kSteps[i].from_degC), style, 0);
    out += fmt::format(
        "{} {}{}", kSteps[i].mark,
        first ? "below " + degrees(core::to_kelvin(kSteps[1].from_degC), style, 0) : "from " + low,
        last     ? "\n"
        : i == 3 ? "\n  "
                 : "   ");
  }
  return out;
}

std::string warm_season(const WeatherSummary& w, const Style& style) {
  std::string out = "\nWarm season (one typical year: not long-term design values)\n";
  for (const auto& p : w.warm)
    out += fmt::format("  {:>3g} % of the hours are above {}, with a dew point of {}\n", p.percent,
                       degrees(p.T_dry_K, style), degrees(p.T_dew_K, style));
  out += fmt::format("  {} whose every hour from 22:00 to 07:00 is above {}, {} above {}\n",
                     plural(w.nights_above_25degC, "night", "nights"),
                     degrees(core::to_kelvin(25), style, 0), w.nights_above_20degC,
                     degrees(core::to_kelvin(20), style, 0));
  out += fmt::format("  warmest month {}\n  warmest nights by their lowest temperature:\n",
                     core::month_name(w.warmest_month));
  for (std::size_t i = 0; i < w.warmest_nights.size() && i < 5; ++i) {
    const auto& n = w.warmest_nights[i];
    out += fmt::format("    {} lowest {}, mean {}\n", padded(core::long_text(n.date), 13),
                       degrees(n.T_min_K, style), degrees(n.T_mean_K, style));
  }
  return out;
}

std::string verdict(const WeatherSummary& w) {
  std::size_t faults = 0, filled = 0;
  for (const auto& r : w.remarks) {
    faults += r.kind == weather::Remark::Kind::fault ? 1 : 0;
    filled += r.kind == weather::Remark::Kind::filled ? r.count : 0;
  }
  std::string out = fmt::format("{}: ", w.place.name);
  out += faults == 0 ? "a usable file"
                     : fmt::format("usable with care, {} below",
                                   plural(static_cast<long>(faults), "doubt", "doubts"));
  return out + (filled > 0 ? fmt::format("; {} filled.", plural(static_cast<long>(filled),
                                                                "missing value", "missing values"))
                           : "; no gaps.");
}

}  // namespace

std::string terminal(const WeatherSummary& w, const Style& style) {
  std::string out = marked(verdict(w), "1", style.colour) + "\n";
  out += wrapped(fmt::format("Format {} ({}); data set {}.", w.format, w.how_recognised,
                             w.source.empty() ? "not named" : w.source),
                 kWidth, 0);
  out += wrapped("Time: " + w.time_convention + ".", kWidth, 0);
  out += fmt::format("Latitude {:.3f}, longitude {:.3f}, UTC{:+g} h, elevation {}.\n",
                     w.place.latitude_rad / core::kDegree_rad,
                     w.place.longitude_rad / core::kDegree_rad, w.place.time_zone_h,
                     core::format_quantity(w.place.elevation_m, Quantity::length, style.units, 0));
  out += "\n                         lowest       mean    highest\n";
  out += range_line("dry bulb", w.T_dry_K, Quantity::temperature, 1, style) +
         range_line("dew point", w.T_dew_K, Quantity::temperature, 1, style) +
         range_line("pressure", w.p_Pa, Quantity::pressure, 0, style) +
         range_line("wind", w.wind_m_s, Quantity::speed, 1, style);
  out += plain_line("global", w.ghi_W_m2, "W/m²", 0) +
         plain_line("direct normal", w.dni_W_m2, "W/m²", 0) +
         plain_line("diffuse", w.dhi_W_m2, "W/m²", 0) +
         plain_line("sky infrared", w.infrared_W_m2, "W/m²", 0) +
         plain_line("cloud cover", w.cloud_1, "", 2);
  out += fmt::format("  sums: global {:.0f}, direct normal {:.0f}, diffuse {:.0f} kWh/m²\n",
                     w.ghi_kWh_m2, w.dni_kWh_m2, w.dhi_kWh_m2);
  out += warm_season(w, style) + year_drawing(w, style);
  if (!w.remarks.empty()) out += "\nWhat the reader noticed\n";
  for (const auto& r : w.remarks) {
    const char* kind = r.kind == weather::Remark::Kind::note     ? "note"
                       : r.kind == weather::Remark::Kind::filled ? "filled"
                                                                 : "doubt";
    out += wrapped(
        fmt::format("  {}: {}{}", kind, in_units(r.text, style),
                    r.first_line > 0 ? fmt::format(", first in line {}", r.first_line) : ""),
        kWidth, 4);
  }
  return out + "\n" + cautions_text(w.header, style);
}

}  // namespace cabinload::report
