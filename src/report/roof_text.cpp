// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/roof/drawing.hpp>
#include <cmath>

#include "sentences.hpp"
#include "text.hpp"

namespace cabinload::report {
namespace {

using answers::Roof;
using core::Quantity;

std::string length(double m, const Style& style) {
  return core::format_quantity(m, Quantity::length, style.units, 2);
}

/// The limit, and what it is when nobody stated another.
std::string limit(const Roof& a, const Style& style) {
  return length(a.roof.limit_m, style) +
         (a.roof.limit_m == roof::kGarage_m ? " (a 10 ft garage)" : "");
}

/// What keeps it from fitting, a sentence each.
std::vector<std::string> reasons(const Roof& a, const Style& style) {
  const roof::Layout& l = a.plan.layout;
  std::vector<std::string> list;
  for (const std::string& name : l.unplaced)
    list.push_back(fmt::format("'{}' finds no place on what is left of the roof", name));
  for (const roof::Overlap& o : l.overlaps)
    list.push_back(fmt::format("'{}' and '{}' overlap by {} x {}", o.a, o.b,
                               length(o.where.length_m(), style),
                               length(o.where.width_m(), style)));
  for (const roof::Outside& o : l.outside)
    list.push_back(o.past_roof_m > 0 ? fmt::format("'{}' stands {} over the edge of the roof",
                                                   o.item, length(o.past_roof_m, style))
                                     : fmt::format("'{}' stands {} into a margin", o.item,
                                                   length(o.past_free_m, style)));
  for (const roof::RibCut& r : l.ribs_cut)
    list.push_back(
        fmt::format("the hole of '{}' cuts the rib at {}", r.item, length(r.rib_m, style)));
  if (!l.under_limit())
    list.push_back(fmt::format("{} overall is not below {}", length(l.overall_height_m, style),
                               limit(a, style)));
  return list;
}

std::string panels_words(const Roof& a) {
  if (a.panels() == 0) return "no panel";
  return fmt::format("{}, {:.0f} W", plural(static_cast<long>(a.panels()), "panel", "panels"),
                     a.panel_W());
}

std::string opening(const Roof& a, const Style& style) {
  const std::string lines = wrapped(verdict(a, style), kWidth, 0);
  const std::size_t end = lines.find('\n');
  return marked(lines.substr(0, end), "1", style.colour) + lines.substr(end) + subject(a.header);
}

std::string figures(const Roof& a, const Style& style) {
  const roof::Layout& l = a.plan.layout;
  const auto row = [](const char* what, const std::string& text) {
    return wrapped(fmt::format("  {:<26}{}", what, text), kWidth, 28);
  };
  const auto area = [&](double m2) {
    return core::format_quantity(m2, Quantity::area, style.units, 2);
  };
  std::string out = "\n";
  out += row("overall height",
             fmt::format("{}{}", length(l.overall_height_m, style),
                         l.tallest.empty() ? "" : fmt::format(", to the top of '{}'", l.tallest)));
  out += row("must stay under",
             fmt::format("{}, {} {}", limit(a, style), length(std::abs(l.headroom_m), style),
                         l.under_limit() ? "to spare" : "too high"));
  out += row("roof left for panels",
             fmt::format("{}; largest free piece {} x {}", area(l.area_left_m2),
                         length(l.largest_free.length_m(), style),
                         length(l.largest_free.width_m(), style)));
  if (a.plan.panel.power_W > 0)
    out += row("panels packed",
               fmt::format("{} of {} x {}, {:.0f} W; no packing holds more than {}",
                           a.plan.packing.panels.size(), length(a.plan.panel.length_m, style),
                           length(a.plan.panel.width_m, style), a.plan.packing.power_W,
                           a.plan.packing.at_most));
  if (a.listed_panels > 0)
    out += row("panels listed", fmt::format("{}, {:.0f} W", a.listed_panels, l.panel_W));
  return out + row("panels in all", panels_words(a));
}

std::string clearances(const Roof& a, const Style& style) {
  if (a.plan.layout.clearances.empty()) return "";
  std::string out = "\nClear of the nearest thing on each side\n";
  for (const roof::Clearance& c : a.plan.layout.clearances) {
    std::string text = fmt::format("  '{}':", c.item);
    for (std::size_t i = 0; i < c.sides.size(); ++i) {
      const roof::Gap& gap = c.sides[i];
      const bool item = !gap.next.empty() && gap.next_m < gap.edge_m;
      text += fmt::format("{} {} {}{}", i == 0 ? "" : ",", word(static_cast<roof::Side>(i)),
                          length(item ? gap.next_m : gap.edge_m, style),
                          item ? fmt::format(" to '{}'", gap.next) : " to the edge");
    }
    out += wrapped(text, kWidth, 4);
  }
  return out;
}

}  // namespace

std::string verdict(const Roof& a, const Style& style) {
  const roof::Layout& l = a.plan.layout;
  if (a.met())
    return fmt::format("It fits: {} overall, {} below {}; {} beside it.",
                       length(l.overall_height_m, style), length(l.headroom_m, style),
                       limit(a, style), panels_words(a));
  std::string words = "It does not fit: ";
  const auto all = reasons(a, style);
  for (std::size_t i = 0; i < all.size(); ++i) words += (i == 0 ? "" : "; ") + all[i];
  return words + ".";
}

std::string terminal(const Roof& a, const Style& style) {
  std::string out = opening(a, style) + "\n";
  const std::string drawn =
      roof::text(a.roof, a.plan, style.ascii ? roof::Glyphs::ascii : roof::Glyphs::box);
  const std::size_t legend = drawn.find("\nleft side\n");
  out += drawn.substr(0, legend) + in_units(drawn.substr(legend), style);
  out += figures(a, style) + clearances(a, style);
  return out + closing(a.header, style);
}

}  // namespace cabinload::report
