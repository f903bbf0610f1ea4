// SPDX-License-Identifier: Apache-2.0
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
    out += "<label><input type=\"radio\" name=\"" + std::string(group) + "\" id=\"" + id + "\"" +
           (id == taken ? " checked" : "") + "><span>" + words + "</span></label>";
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
  const Html opening = page::opening(page), season = page::season(page, data);
  const Html night = page::section(
      "night", page.hold.worst_night ? "The hardest night, hour by hour" : "The warmest night",
      page::night(page, data));
  Html body{"<header class=\"top\">\n" + toolbar(page) + "<div id=\"answer\" class=\"answer\">\n"};
  body += opening + Html{"</div></header>\n<main>\n"};
  body += season + night + page::electricity(page, data) + page::heat(page, data) +
          page::basis(page) + page::cautions(page) + Html{"</main>\n"};
  const std::string json = page::embedded(data);
  const std::string title = page::plain("Cooling report: " + page.hold.header.scenario_name).text;
  return filled(page::document, {{"version", core::program_version()},
                                 {"title", title},
                                 {"style_sheet", page::style_sheet},
                                 {"symbols", page::symbols},
                                 {"body", body.text},
                                 {"chart_licence", page::chart_licence},
                                 {"chart_library", page::chart_library},
                                 {"data", json},
                                 {"script", page::script}});
}

}  // namespace cabinload::report
