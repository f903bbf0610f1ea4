// SPDX-License-Identifier: Apache-2.0
#include "page_parts.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/markup.hpp>

namespace cabinload::report::page {

Html operator+(Html a, const Html& b) {
  a += b;
  return a;
}

Html plain(std::string_view text) {
  return {core::markup_escaped(text)};
}

Html foreign(std::string_view text) {
  return wrap("<bdi>", plain(text), "</bdi>");
}

Html long_foreign(std::string_view text) {
  constexpr std::size_t kLong = 300;
  return wrap(text.size() > kLong ? "<div class=\"long\" tabindex=\"0\">" : "<div>", foreign(text),
              "</div>");
}

Html wrap(const char* before, const Html& inside, const char* after) {
  return {before + inside.text + after};
}

Html both(const std::string& si, const std::string& us) {
  if (si == us) return plain(si);
  return wrap("<span class=\"si\">", plain(si), "</span>") +
         wrap("<span class=\"us\">", plain(us), "</span>");
}

Html both(const std::function<std::string(const Style&)>& words) {
  Style us;
  us.units = core::UnitSystem::us;
  return both(words(Style{}), words(us));
}

Html converted(const std::string& text) {
  return both(in_si(text), in_us(text));
}

Table::Table(const std::string& caption, std::vector<Column> columns, const char* css_class)
    : columns_(std::move(columns)) {
  head_ = fmt::format(
      "<div class=\"scroll {}\" tabindex=\"0\" role=\"group\" aria-label=\"{}\">"
      "<table><caption class=\"unseen\">{}</caption><thead><tr>",
      css_class, core::markup_escaped(caption), core::markup_escaped(caption));
  for (const Column& c : columns_)
    head_ +=
        fmt::format("<th scope=\"col\"{}>{}</th>", c.kind == Kind::number ? " class=\"n\"" : "",
                    core::markup_escaped(c.head));
  head_ += "</tr></thead>\n";
}

Table& Table::row(const std::vector<Html>& cells, const char* css_class) {
  body_ += *css_class == '\0' ? "<tr>" : fmt::format("<tr class=\"{}\">", css_class);
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const bool number = columns_.at(i).kind == Kind::number;
    body_ += i == 0   ? "<th scope=\"row\">" + cells[i].text + "</th>"
             : number ? "<td class=\"n\">" + cells[i].text + "</td>"
                      : "<td>" + cells[i].text + "</td>";
  }
  body_ += "</tr>\n";
  return *this;
}

Table& Table::group(const std::string& words) {
  body_ += fmt::format(
      "</tbody><tbody><tr class=\"group\"><th colspan=\"{}\" scope=\"rowgroup\">{}"
      "</th></tr>\n",
      columns_.size(), core::markup_escaped(words));
  return *this;
}

Html Table::html() const {
  return {head_ + "<tbody>" + body_ + "</tbody></table></div>\n"};
}

Html folded(const std::string& summary, const Html& inside) {
  return {"<details><summary>" + core::markup_escaped(summary) + "</summary>\n" + inside.text +
          "</details>\n"};
}

Html chart(const std::string& id, const std::string& caption, const std::string& description,
           const Html& table) {
  return {fmt::format("<figure><figcaption>{}</figcaption><div class=\"canvas\" id=\"{}-box\">"
                      "<canvas id=\"{}\" role=\"img\" aria-label=\"{}\"></canvas></div>\n",
                      core::markup_escaped(caption), id, id, core::markup_escaped(description)) +
          folded("The same as a table", table).text + "</figure>\n"};
}

Html section(const char* id, const char* heading, const Html& inside, const char* css_class) {
  return {fmt::format("<section id=\"{}\" class=\"{}\" aria-labelledby=\"{}-h\"><h2 id=\"{}-h\">{}"
                      "</h2><div class=\"inside\">\n",
                      id, css_class, id, id, core::markup_escaped(heading)) +
          inside.text + "</div></section>\n"};
}

Html no_answer(const char* id, const char* heading, const std::string& problem) {
  if (problem.empty()) return {};
  return section(id, heading, wrap("<p class=\"alarm\">", plain(problem), "</p>\n"));
}

Html caution_list(const std::vector<answers::Caution>& cautions) {
  std::string out = "<ul class=\"cautions\">\n";
  for (const answers::Caution& c : cautions)
    out += fmt::format("<li class=\"{}\"><strong>{}</strong> {}</li>\n",
                       core::markup_escaped(c.signal), core::markup_escaped(c.signal),
                       converted(c.text).text);
  return {out + "</ul>\n"};
}

std::string embedded(const Json& data) {
  std::string out;
  for (const char c : data.dump(-1, ' ', true, Json::error_handler_t::replace))
    out += c == '<' ? "\\u003c" : c == '>' ? "\\u003e" : c == '&' ? "\\u0026" : std::string(1, c);
  return out;
}

}  // namespace cabinload::report::page
