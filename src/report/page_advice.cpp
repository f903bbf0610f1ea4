// SPDX-License-Identifier: Apache-2.0
// What to change, what to wire, what goes on the roof.
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/roof/drawing.hpp>
#include <cmath>

#include "page_parts.hpp"
#include "sentences.hpp"
#include "text.hpp"

namespace cabinload::report::page {
namespace {

using Kind = Table::Kind;

/// A bar as long as `share_1` of the widest; it says what the number beside it says.
Html bar(double share_1) {
  const double percent = 100 * std::clamp(share_1, 0.0, 1.0);
  return {fmt::format("<span class=\"length\" aria-hidden=\"true\" style=\"width:{:.0f}%\"></span>",
                      percent)};
}

std::vector<Table::Column> help_columns(const char* first) {
  return {{first, Kind::text}, {"nights lost then"}, {"electricity a night"}, {"peak of demand"}};
}

void add_help(Table& t, const answers::Helps& a, const answers::HelpRow& r, double most) {
  const auto cell = [&](std::string HelpCells::*which) {
    return both([&](const Style& s) { return help_cells(a, r, s).*which; });
  };
  const double worth = answers::effect(a.now, r.then, a.by);
  t.row({converted(named(r)) + (most > 0 && worth > 0 ? bar(worth / most) : Html{}),
         plain(std::to_string(r.then.lost)), cell(&HelpCells::electricity), cell(&HelpCells::peak)},
        a.by == answers::HelpBy::nights && r.then.lost == 0 && a.now.lost > 0 ? "wins" : "");
}

/// Changes that are worth the same nothing: their names in a sentence, their figures on a click.
Html no_use(const answers::Helps& a, const std::vector<const answers::HelpRow*>& rows,
            bool all_of_them) {
  Html names;
  Table t("Changes that make no such difference", help_columns("Each alone"), "help");
  for (const answers::HelpRow* r : rows) {
    names += plain(names.text.empty() ? "" : "; ") + converted(named(*r));
    add_help(t, a, *r, 0);
  }
  const std::string count = fmt::format("{}{} changes", rows.size(), all_of_them ? "" : " other");
  const char* what = a.by == answers::HelpBy::nights ? " win no night and lose none there: "
                                                     : " change next to no electricity there: ";
  return wrap("<p class=\"others\">", plain(count + what) + names + plain("."), "</p>\n") +
         folded("What they do to electricity and peak", t.html());
}

Html help_table(const answers::Helps& a) {
  // Too little to tell one from another, as printed.
  const double least = a.by == answers::HelpBy::nights ? 0.5 : 5;
  double most = 0;
  std::vector<const answers::HelpRow*> shown, same;
  for (const answers::HelpRow& r : a.rows) {
    if (!r.skipped.empty()) continue;
    const double worth = answers::effect(a.now, r.then, a.by);
    most = std::max(most, worth);
    (std::abs(worth) < least ? same : shown).push_back(&r);
  }
  const bool fold = same.size() > 1;
  Table t("What would help, each change alone", help_columns("Each alone, best first"), "help");
  t.row({plain("as it is"), plain(std::to_string(a.now.lost)),
         both([&](const Style& s) { return energy(a.now.electric_Wh, s); }),
         both([&](const Style& s) { return power(a.now.peak_W, s); })},
        "now");
  for (const answers::HelpRow& r : a.rows) {
    const bool of_use = std::find(shown.begin(), shown.end(), &r) != shown.end();
    if (of_use || (!fold && r.skipped.empty())) add_help(t, a, r, most);
  }
  return t.html() +
         wrap("<p class=\"said\">",
              plain("Peak of demand: the heat that has to be taken out in the hottest hour to stay "
                    "at the set point, whatever the unit can do."),
              "</p>\n") +
         (fold ? no_use(a, same, shown.empty()) : Html{});
}

Html skipped(const answers::Helps& a) {
  Html out;
  for (const answers::HelpRow& r : a.rows)
    if (!r.skipped.empty())
      out += wrap("<li>", converted(r.words + ": " + r.skipped + "."), "</li>\n");
  if (out.text.empty()) return {};
  return folded("Not tried", wrap("<ul class=\"points\">", out, "</ul>\n"));
}

Html wire_table(const answers::Wire& a) {
  Table t("Conductor and fuse by voltage", {{"Supply", Kind::text},
                                            {"current"},
                                            {"conductor"},
                                            {"copper"},
                                            {"metric"},
                                            {"drop"},
                                            {"carries"},
                                            {"fuse at the battery"},
                                            {"set by", Kind::text}});
  for (std::size_t i = 0; i < a.runs.size(); ++i) {
    const wiring::Run& r = a.runs[i];
    const Html volts = plain(fmt::format("{:g} V{}", r.volts, i == a.own ? " (the unit's)" : ""));
    const Html A = plain(fmt::format("{:.1f} A", r.current_A));
    if (!r.possible) {
      t.row({volts, A, plain("none with a fuse that holds"), Html{}, Html{}, Html{}, Html{}, Html{},
             Html{}});
      continue;
    }
    t.row({volts, A, plain(conductor(r)), plain(fmt::format("{:.1f} mm²", r.conductor_mm2)),
           plain(r.metric_mm2 ? fmt::format("{:g} mm²", *r.metric_mm2) : "-"),
           plain(fmt::format("{:.1f} %", r.drop_percent)),
           plain(fmt::format("{:.0f} A", r.ampacity_A)),
           plain(fmt::format("{}, {:g} A", wiring::name_of(r.fuse_type), r.fuse_A)),
           plain(wiring::name_of(r.governs))},
          i == a.own ? "given" : "");
  }
  return t.html();
}

/// The drawing as part of this document: without what only a file of its own has.
Html drawing(const answers::Roof& a) {
  const std::string svg = roof::svg(a.roof, a.plan, {});  // the page has its cautions
  return {"<figure class=\"roof\">" + svg.substr(svg.find("<svg")) + "</figure>\n"};
}

Html points(const answers::Header& h) {
  Html out;
  for (const auto& x : h.assumptions) out += wrap("<li>", converted(x.text), "</li>\n");
  return folded("What this rests on", wrap("<ul class=\"points\">", out, "</ul>\n"));
}

}  // namespace

Html advice(const Page& page) {
  if (!page.helps.answer) return no_answer("advice", "What would help most", page.helps.problem);
  const answers::Helps& a = *page.helps.answer;
  Html out =
      wrap("<p class=\"lead\">", both([&](const Style& s) { return verdict(a, s); }), "</p>\n");
  if (a.now.needing_cooling == 0) return section("advice", "What would help most", out);
  out +=
      wrap("<p class=\"said\">",
           plain(fmt::format("Tried on the {} around the hardest one, {} to {}, not on the whole "
                             "season, in one typical year.",
                             plural(a.in_period, "night", "nights"), core::long_text(a.header.from),
                             core::long_text(a.header.to))),
           "</p>\n");
  return section("advice", "What would help most", out + help_table(a) + skipped(a));
}

Html wiring(const Page& page) {
  if (!page.wire.answer) return no_answer("wiring", "Cable and fuse", page.wire.problem);
  const answers::Wire& a = *page.wire.answer;
  Html out = wrap("<p class=\"lead\">", plain(verdict(a)), "</p>\n");
  out += wrap("<p class=\"alarm\">", plain(kWireScreening), "</p>\n");
  out += wire_table(a);
  out += wrap(
      "<p class=\"said\">",
      plain("Carries: what the trade calls ampacity, the current that the conductor as it is laid "
            "bears for hours without its insulation getting too hot. Set by: what asked for so "
            "thick a one. A Class T fuse is a fast one that still breaks the current of a "
            "battery's short circuit, thousands of amperes."),
      "</p>\n");
  out += wrap("<p class=\"said screen\">", both([&](const Style& s) {
                return fmt::format(
                           "{:.0f} W over {} of cable one way. ", a.power_W,
                           core::format_quantity(a.length_m, core::Quantity::length, s.units, 1)) +
                       ambient_words(a, s);
              }),
              "</p>\n");
  return section("wiring", "Cable and fuse", out + points(a.header));
}

Html roof_plan(const Page& page) {
  if (!page.roof.answer) return no_answer("roof", "On the roof", page.roof.problem);
  const answers::Roof& a = *page.roof.answer;
  const Html out =
      wrap("<p class=\"lead\">", both([&](const Style& s) { return verdict(a, s); }), "</p>\n");
  return section("roof", "On the roof", out + drawing(a) + points(a.header));
}

}  // namespace cabinload::report::page
