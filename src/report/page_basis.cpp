// SPDX-License-Identifier: Apache-2.0
// What the answer rests on, and the cautions.
#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/sha256.hpp>
#include <cabinload/core/version.hpp>
#include <cmath>

#include "page_parts.hpp"
#include "text.hpp"

namespace cabinload::report::page {
namespace {

using Kind = Table::Kind;

Html key_points(const answers::Header& h) {
  Html out;
  for (const auto& a : h.assumptions) out += wrap("<li>", converted(a.text), "</li>\n");
  for (const std::string& w : h.warnings)
    out += wrap("<li class=\"note\"><strong>Note</strong> ", converted(w), "</li>\n");
  return wrap("<ul class=\"points\">\n", out, "</ul>\n");
}

/// Is the key's value a name? It stays as it is, whatever figures are in it.
bool is_name(const std::string& key) {
  constexpr std::array<std::string_view, 4> kNames{"name", "species", "material", "file"};
  const std::string_view last = std::string_view(key).substr(key.find_last_of('.') + 1);
  return std::find(kNames.begin(), kNames.end(), last) != kNames.end();
}

Html every_value(const Page& page) {
  Table t("Every value of the scenario",
          {{"Key", Kind::text},
           {"value", Kind::text},
           {"what it is", Kind::text},
           {"where from", Kind::text}},
          "values");
  std::string open = "-";
  for (const scenario::Entry& e : page.scenario.entries) {
    const std::size_t dot = e.key.find('.');
    const std::string table = dot == std::string::npos ? "" : e.key.substr(0, dot);
    if (table != open) t.group(table.empty() ? "general" : table);
    open = table;
    const bool given = e.origin != "default";
    const std::string origin = given              ? e.origin
                               : e.source.empty() ? "default"
                                                  : "default: " + e.source;
    t.row({wrap("<code>", plain(e.key), "</code>"),
           is_name(e.key) ? foreign(e.value) : wrap("<bdi>", converted(e.value), "</bdi>"),
           plain(e.about), foreign(origin)},
          given ? "given" : "");
  }
  return t.html();
}

/// @param css  "screen": not on paper
Html line(const char* what, const Html& value, const char* css = "") {
  return {fmt::format("<div class=\"{}\"><dt>{}</dt><dd>{}</dd></div>\n", css, plain(what).text,
                      value.text)};
}

Html record(const Page& page) {
  const answers::Header& h = page.hold.header;
  const auto angle = [](double rad, char plus, char minus) {
    return fmt::format("{:.2f}° {}", std::abs(rad) / core::kDegree_rad, rad < 0 ? minus : plus);
  };
  const std::string file = h.weather_file.substr(h.weather_file.find_last_of('/') + 1);
  Html out = line(
      "Weather", foreign(h.weather_place) +
                     (h.weather_source.empty() ? Html{} : plain(", ") + foreign(h.weather_source)));
  out += line("Place",
              plain(angle(h.latitude_rad, 'N', 'S') + ", " + angle(h.longitude_rad, 'E', 'W')));
  out += line("Weather file", foreign(file));
  if (!h.weather_sha256.empty())
    out += line("its SHA-256", wrap("<code>", plain(h.weather_sha256), "</code>"));
  out += line("Period", plain(period_words(h)));
  out += line(
      "Scenario's SHA-256",
      wrap("<code>", plain(core::sha256_hex(scenario::effective_toml(page.scenario))), "</code>"));
  if (!page.result_file.empty()) out += line("From the result file", foreign(page.result_file));
  out += line("Program",
              plain(fmt::format(
                  "cabinload {}{}", h.program_version,
                  page.result_file.empty() ? fmt::format(" ({})", core::git_revision()) : "")));
  out += line("Command", wrap("<div class=\"code\">", long_foreign(page.command_line), "</div>"),
              "screen");
  out += line("Written", plain(page.created_utc));
  return wrap("<dl class=\"record\">\n", out, "</dl>\n");
}

}  // namespace

Html cautions(const Page& page) {
  std::vector<answers::Caution> all;
  const auto add = [&](const answers::Header& h) {
    for (const answers::Caution& c : h.cautions)
      if (std::none_of(all.begin(), all.end(),
                       [&](const answers::Caution& x) { return x.text == c.text; }))
        all.push_back(c);
  };
  add(page.hold.header);
  if (page.wire.answer) add(page.wire.answer->header);
  if (page.roof.answer) add(page.roof.answer->header);
  const auto rank = [](const answers::Caution& c) {
    return c.signal == "DANGER" ? 0 : c.signal == "WARNING" ? 1 : c.signal == "CAUTION" ? 2 : 3;
  };
  std::stable_sort(all.begin(), all.end(),
                   [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
  return section("cautions", "Cautions", caution_list(all), "alert");
}

Html basis(const Page& page) {
  Html out = key_points(page.hold.header);
  for (const std::string& missing : page.left_out)
    out += wrap("<p class=\"note\">", plain(missing), "</p>\n");
  out += folded(fmt::format("Every value: all {} keys of the scenario, with their source",
                            page.scenario.entries.size()),
                every_value(page));
  return section("basis", "What this rests on", out + record(page));
}

}  // namespace cabinload::report::page
