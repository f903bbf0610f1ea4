// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/core/version.hpp>
#include <cabinload/report/page.hpp>
#include <map>

#include "page_parts.hpp"
#include "page_pieces.hpp"

namespace cabinload::report {
namespace {

using page::Html;

/// The template with its marks filled in, in one pass: what is filled in is not looked at again.
std::string filled(std::string_view form, const std::map<std::string, std::string_view>& with) {
  std::string out;
  for (std::size_t at = 0; at < form.size();) {
    const std::size_t mark = form.find("{{", at);
    out += form.substr(at, mark - at);
    if (mark == std::string_view::npos) break;
    const std::size_t end = form.find("}}", mark);
    out += with.at(std::string(form.substr(mark + 2, end - mark - 2)));
    at = end + 2;
  }
  return out;
}

/// A choice without a script: style sheets see which one is taken.
std::string choice(const char* group, const char* legend,
                   const std::vector<std::pair<std::string, std::string>>& options,
                   const std::string& taken) {
  std::string out = std::string("<fieldset><legend>") + legend + "</legend>";
  for (const auto& [id, words] : options)
    out +=
        fmt::format("<label><input type=\"radio\" name=\"{}\" id=\"{}\"{}><span>{}</span></label>",
                    group, id, id == taken ? " checked" : "", words);
  return out + "</fieldset>\n";
}

std::string toolbar(const Page& page) {
  return "<form class=\"tools\" autocomplete=\"off\">\n" +
         choice("units", "Units", {{"si", "°C, m"}, {"us", "°F, ft"}},
                page.units == core::UnitSystem::us ? "us" : "si") +
         choice("light", "Light", {{"auto", "auto"}, {"day", "day"}, {"dusk", "night"}}, "auto") +
         "</form>\n";
}

}  // namespace

std::string html(const Page& page) {
  Json data;
  const Html answer = page::opening(page);
  struct Part {
    const char *id = "", *name = "";
    Html body;
    const char *before = "", *after = "";  ///< what on paper stands beside each other
  };
  const Part parts[] = {
      {"season", "Season", page::season(page, data)},
      {"night", "Hardest night", page::night(page, data)},
      {"electricity", "Battery and sun", page::electricity(page, data), "<div class=\"beside\">\n"},
      {"heat", "Heat", page::heat(page, data), "", "</div>\n"},
      {"advice", "What would help", page::advice(page), "<div class=\"beside sheet\">\n"},
      {"wiring", "Cable and fuse", page::wiring(page), "<div>\n"},
      {"roof", "Roof", page::roof_plan(page), "", "</div></div>\n"},
      {"animals", "Animals", page::animals(page)},
      {"basis", "What this rests on", page::basis(page)},
      {"cautions", "Cautions", page::cautions(page)},
  };
  std::string contents, all;
  for (const Part& p : parts) {
    if (!p.body.text.empty())
      contents += std::string("<li><a href=\"#") + p.id + "\">" + p.name + "</a></li>\n";
    all += p.before + p.body.text + p.after;
  }
  const std::string body = "<header class=\"top\">\n" + toolbar(page) +
                           "<div id=\"answer\" class=\"answer\">\n" + answer.text +
                           "</div></header>\n<main>\n<nav aria-label=\"Parts of this page\">"
                           "<ul class=\"contents\">\n" +
                           contents + "</ul></nav>\n" + all + "</main>\n";
  const std::string json = page::embedded(data);
  const std::string title = page::plain("Cooling report: " + page.hold.header.scenario_name).text;
  return filled(page::document, {{"version", core::program_version()},
                                 {"title", title},
                                 {"style_sheet", page::style_sheet},
                                 {"symbols", page::symbols},
                                 {"body", body},
                                 {"chart_licence", page::chart_licence},
                                 {"chart_library", page::chart_library},
                                 {"data", json},
                                 {"script", page::script}});
}

}  // namespace cabinload::report
