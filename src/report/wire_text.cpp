// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <array>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "sentences.hpp"
#include "text.hpp"

namespace cabinload::report {
namespace {

using answers::Wire;
using core::Quantity;
using wiring::Origin;
using wiring::Run;

/// "6 AWG (13.3 mm²) with a 40 A fuse".
std::string outcome(const Run& r) {
  if (!r.possible) return "no conductor with a fuse at all";
  return fmt::format("{} ({:.1f} mm²) with a {:g} A fuse{}", conductor(r), r.conductor_mm2,
                     r.fuse_A, wiring::hard_to_route(r) ? ", which nobody can route" : "");
}

std::string opening(const Wire& a, const Style& style) {
  const std::string lines = wrapped(verdict(a), kWidth, 0);
  const std::size_t end = lines.find('\n');
  std::string out = marked(lines.substr(0, end), "1", style.colour) + lines.substr(end);
  out += wrapped(kWireScreening, kWidth, 0);
  out += subject(a.header);
  const std::string length = core::format_quantity(a.length_m, Quantity::length, style.units, 1);
  return out +
         wrapped(fmt::format("{:.0f} W over {} of cable one way.", a.power_W, length), kWidth, 0);
}

std::string peak_words(const Wire& a, const char* what, const simulation::Hottest::Peak& p,
                       const Style& style) {
  if (std::isnan(p.T_K)) return fmt::format("{} none", what);
  const double day = std::floor(p.t_s / core::kSecondsInDay);
  return fmt::format("{} {} ({}, {})", what, degrees(p.T_K, style, 0),
                     core::long_text(core::date_of(a.first_day + static_cast<int>(day))),
                     core::clock_text(p.t_s - day * core::kSecondsInDay));
}

/// A line of the table; text of any alphabet.
std::string line(const std::array<std::string, 10>& cells) {
  constexpr std::array<std::size_t, 10> kWidths{6, 8, 14, 8, 7, 6, 6, 8, 6, 10};
  std::string out;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const bool words = i == 2 || i == 9;
    out += padded(words ? "  " + cells[i] : cells[i], kWidths[i], !words);
  }
  return out.substr(0, out.find_last_not_of(' ') + 1) + "\n";
}

std::string table(const Wire& a, const Style& style) {
  const auto T = [&](double T_degC) {
    const std::string text = degrees(core::to_kelvin(T_degC), style, 0);
    return text.substr(0, text.find(' '));
  };
  const char* degree = style.units == core::UnitSystem::us ? "°F" : "°C";
  std::string out = "\n" +
                    line({"Supply", "current", "conductor", "copper", "metric", "drop", "at",
                          "carries", "fuse", "set by"}) +
                    line({"V", "A", "", "mm²", "mm²", "%", degree, "A", "A", ""});
  for (const Run& r : a.runs) {
    const std::string volts = fmt::format("{:g}", r.volts), A = fmt::format("{:.1f}", r.current_A);
    if (!r.possible)
      out += line({volts, A, "none with a fuse that holds", "", "", "", "", "", "", ""});
    else
      out += line({volts, A, conductor(r), fmt::format("{:.1f}", r.conductor_mm2),
                   r.metric_mm2 ? fmt::format("{:g}", *r.metric_mm2) : "-",
                   fmt::format("{:.1f}", r.drop_percent), T(r.conductor_degC),
                   fmt::format("{:.0f}", r.ampacity_A), fmt::format("{:g}", r.fuse_A),
                   std::string(name_of(r.governs))});
  }
  for (const Run& r : a.runs)
    if (r.possible)
      out += wrapped(
          fmt::format("{:>4g} V  fuse: {}, {:g} A, at the battery{}; heat of the cable {:.0f} W",
                      r.volts, name_of(r.fuse_type), r.fuse_A,
                      r.short_circuit_A
                          ? fmt::format(", for a short circuit of {:.0f} A", *r.short_circuit_A)
                          : "",
                      r.loss_W),
          kWidth, 8);
  return out;
}

/// What another insulation or way makes of it, where nobody can route what was described.
std::string ways(const Wire& a, const Style& style) {
  if (a.met()) return "";
  const double volts = a.runs[a.own.value_or(0)].volts;
  std::string out = fmt::format("\nWhat would help at {:g} V\n", volts);
  for (const answers::WireWay& way : a.ways)
    out += wrapped(
        "  " + in_units(way.words, style) + ": " +
            (way.run ? outcome(*way.run) : std::string("still hotter than the tables have")) + ".",
        kWidth, 4);
  if (!a.ambient_stated)
    out += wrapped(
        "  Shade over the vehicle or a lighter paint, which make it cooler where the cable lies: "
        "try --set parking.shade=tree, --paint white.",
        kWidth, 4);
  return out + wrapped(
                   "  A higher voltage: see the table. A shorter way helps only where the drop "
                   "sets the conductor.",
                   kWidth, 4);
}

std::string rules(const Wire& a, const Style& style) {
  const struct {
    Origin origin;
    const char* title;
  } kGroups[] = {{Origin::nec, "Rules of the NEC (NFPA 70)"},
                 {Origin::marine, "Rules of ABYC E-11 and ISO 13297"},
                 {Origin::common_practice, "Common practice, no published source"}};
  std::string out;
  for (const auto& group : kGroups) {
    std::string lines;
    for (const wiring::Note& n : a.rules)
      if (n.origin == group.origin) lines += wrapped("  " + in_units(n.text, style), kWidth, 4);
    if (!lines.empty()) out += fmt::format("\n{}\n{}", group.title, lines);
  }
  return out;
}

}  // namespace

std::string conductor(const Run& r) {
  return fmt::format("{}{} AWG", r.parallel > 1 ? fmt::format("{} x ", r.parallel) : "", r.awg);
}

std::string verdict(const Wire& a) {
  std::string first, rest;
  for (std::size_t i = 0; i < a.runs.size(); ++i) {
    const std::string at = fmt::format("at {:g} V", a.runs[i].volts);
    if (i == a.own)
      first =
          fmt::format("At {:g} V, the unit's voltage: {}.", a.runs[i].volts, outcome(a.runs[i]));
    else
      rest += (rest.empty() ? "" : "; ") + at + " " + outcome(a.runs[i]);
  }
  if (!rest.empty()) rest[0] = 'A';
  return first.empty() ? rest + "." : first + " " + rest + ".";
}

std::string ambient_words(const Wire& a, const Style& style) {
  const std::string where = a.place == scenario::CablePlace::cabin        ? "the cabin"
                            : a.place == scenario::CablePlace::engine_bay ? "the engine bay"
                                                                          : "the roof cavity";
  const bool cabin_hotter = a.place == scenario::CablePlace::roof_cavity && !a.ambient_stated &&
                            a.hottest.cabin_air.T_K > a.hottest.roof_cavity.T_K;
  const std::string out = fmt::format(
      "Ambient: {} in {}, {}.", degrees(core::to_kelvin(a.ambient_degC), style, 0),
      cabin_hotter ? "the cabin below the roof cavity" : where,
      a.ambient_stated                              ? "as stated"
      : a.place == scenario::CablePlace::engine_bay ? "so much hotter than outdoors as stated below"
                                                    : "the hottest that the simulation found");
  return out + fmt::format(" Hottest from {} to {}, unit off and vehicle closed: {}, {}, {}, {}.",
                           core::long_text(a.header.from), core::long_text(a.header.to),
                           peak_words(a, "cabin air", a.hottest.cabin_air, style),
                           peak_words(a, "roof cavity", a.hottest.roof_cavity, style),
                           peak_words(a, "roof surface", a.hottest.roof_surface, style),
                           peak_words(a, "outdoors", a.hottest.outdoors, style));
}

std::string terminal(const Wire& a, const Style& style) {
  std::string out = opening(a, style) + table(a, style) + ways(a, style) + "\n" +
                    wrapped(ambient_words(a, style), kWidth, 0) + rules(a, style);
  return out + closing(a.header, style);
}

}  // namespace cabinload::report
