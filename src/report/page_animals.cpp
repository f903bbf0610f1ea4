// SPDX-License-Identifier: Apache-2.0
// The animals' part: its warnings stand first, and nothing takes them away.
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "page_parts.hpp"
#include "sentences.hpp"
#include "text.hpp"

namespace cabinload::report::page {
namespace {

using answers::Pets;
using answers::PetsFigures;
using Kind = Table::Kind;

constexpr int kHalf_h = 12;

Html failure_table(const Pets& a) {
  std::vector<Table::Column> columns{
      {"When", Kind::text}, {"shortest"}, {"5 % of hours"}, {"half of hours"}};
  for (const int bar_min : answers::kPetsBars_min)
    columns.push_back({fmt::format("under {} min", bar_min)});
  Table t("Time to the limit after each failure", columns);
  const auto row = [&](const std::string& words, const PetsFigures& f, const char* css) {
    std::vector<Html> cells{plain(words), plain(minutes_left(f.min_min)),
                            plain(minutes_left(f.p05_min)), plain(minutes_left(f.median_min))};
    for (const double share_1 : f.share_under_1)
      cells.push_back(plain(fmt::format("{:.0f} %", 100 * share_1)));
    t.row(cells, css);
  };
  for (std::size_t k = 0; k < simulation::kFailures; ++k)
    row(answers::failure_words(static_cast<simulation::Failure>(k)), a.by_failure[k], "");
  row("whichever is soonest", a.all, "given");
  return t.html();
}

/// How many minutes a cell of the map has, in steps that are seen.
const char* step(double minutes) {
  return minutes < 10    ? "m0"
         : minutes < 30  ? "m1"
         : minutes < 60  ? "m2"
         : minutes < 1e9 ? "m3"
                         : "m4";
}

std::string cell(double minutes) {
  if (!std::isfinite(minutes)) return "·";
  if (minutes < 99.5) return fmt::format("{:.0f}", std::floor(minutes + 1e-9));
  return fmt::format("{:.0f}h", std::floor(minutes / 60));
}

/// Hours [from, from + 12) of the map: a phone shows so many side by side.
std::string half_map(const Pets& a, int from) {
  const std::string name =
      fmt::format("Shortest time to the limit by month and hour, {:02}:00 to {:02}:00", from,
                  from + kHalf_h - 1);
  std::string out = fmt::format(
      "<div class=\"scroll map\" tabindex=\"0\" role=\"group\" aria-label=\"{0}\"><table>"
      "<caption class=\"unseen\">{0}</caption><thead><tr><th scope=\"col\"><span "
      "class=\"unseen\">Month</span></th>",
      name);
  for (int h = from; h < from + kHalf_h; ++h) out += fmt::format("<th scope=\"col\">{}</th>", h);
  out += "</tr></thead>\n<tbody>";
  for (std::size_t m = 0; m < a.map.size(); ++m) {
    if (std::all_of(a.map[m].begin(), a.map[m].end(), [](double x) { return std::isnan(x); }))
      continue;
    out += fmt::format("<tr><th scope=\"row\">{}</th>",
                       std::string(core::month_name(static_cast<int>(m) + 1)).substr(0, 3));
    for (int h = from; h < from + kHalf_h; ++h) {
      const double x = a.map[m][static_cast<std::size_t>(h)];
      out +=
          std::isnan(x) ? "<td></td>" : fmt::format("<td class=\"{}\">{}</td>", step(x), cell(x));
    }
    out += "</tr>\n";
  }
  return out + "</tbody></table></div>\n";
}

Html map(const Pets& a) {
  return {
      "<p class=\"said\">Shortest time to the limit by month and by the hour at which the "
      "cooling fails: minutes, from 100 on whole hours (2h); · not within 4 h.</p>\n"
      "<div class=\"halves\">\n" +
      half_map(a, 0) + half_map(a, kHalf_h) + "</div>\n"};
}

}  // namespace

Html animals(const Page& page) {
  constexpr const char* kHeading = "An animal in the cabin when the cooling stops";
  if (!page.pets.answer)
    return page.pets.problem.empty()
               ? Html{}
               : section("animals", kHeading,
                         caution_list({answers::standing_cautions().front()}) +
                             wrap("<p class=\"alarm\">", plain(page.pets.problem), "</p>\n"),
                         "animals");
  const Pets& a = *page.pets.answer;
  std::vector<answers::Caution> own;
  for (const answers::Caution& c : a.header.cautions)
    if (std::none_of(page.hold.header.cautions.begin(), page.hold.header.cautions.end(),
                     [&](const answers::Caution& x) { return x.text == c.text; }))
      own.push_back(c);
  Html out = caution_list(own);
  out += wrap("<p class=\"lead alarm\">", both([&](const Style& s) { return verdict(a, s); }),
              "</p>\n");
  if (!a.drawn)
    out +=
        wrap("<p>",
             plain("That is the van as described. Others of its kind leave fewer minutes and get "
                   "hotter with the unit running: count on less."),
             "</p>\n");
  if (a.shortest)
    out += wrap("<p>", both([&](const Style& s) { return shortest_words(a, s); }), "</p>\n");
  out += wrap("<p>", both([&](const Style& s) { return running_words(a, s); }), "</p>\n");
  out += failure_table(a);
  out += wrap("<p class=\"said\">",
              plain("'5 % of hours' takes at most that long. The hours of cool seasons and nights "
                    "are among them."),
              "</p>\n");
  out += map(a);
  Html rests;
  const auto& page_rests = page.hold.header.assumptions;
  for (const auto& x : a.header.assumptions)
    if (std::none_of(page_rests.begin(), page_rests.end(),
                     [&](const auto& all) { return all.text == x.text; }))
      rests += wrap("<li>", converted(x.text), "</li>\n");
  rests += Html{"<li>And <a href=\"#basis\">what the whole page rests on</a>.</li>\n"};
  out += wrap("<ul class=\"points\">\n", rests, "</ul>\n");
  return section("animals", kHeading, out, "animals");
}

}  // namespace cabinload::report::page
