// SPDX-License-Identifier: Apache-2.0
#include "page_parts.hpp"

#include <fmt/format.h>
#include <array>
#include <cabinload/core/markup.hpp>
#include <cctype>
#include <charconv>
#include <cmath>

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

namespace {

/// How a value of one unit is shown to people who use others.
struct Conversion {
  std::string_view from, to;
  double factor = 1, offset = 0;
};
// Longer spellings before those they begin with. Factors by definition: 1 in = 25.4 mm, 1 lb =
// 0.45359237 kg, 1 mile = 1609.344 m.
constexpr double kInch_cm = 2.54, kFoot_m = 0.3048, kMile_km = 1.609344, kPound_kg = 0.45359237;
constexpr double kCubicFoot_m3 = kFoot_m * kFoot_m * kFoot_m;
constexpr std::array<Conversion, 22> kConversions = {{
    {"degC", "°F", 1.8, 32},
    {"°C", "°F", 1.8, 32},
    {"W/(m2 K)", "BTU/(h ft² °F)", 1 / 5.678263341},
    {"W/(m K)", "BTU in/(h ft² °F)", 1 / 0.144227889},
    {"kg/m3", "lb/ft³", kCubicFoot_m3 / kPound_kg},
    {"J/(kg K)", "BTU/(lb °F)", 1 / 4186.8},
    {"m3/h", "cfm", 1 / (60 * kCubicFoot_m3)},
    {"m³/h", "cfm", 1 / (60 * kCubicFoot_m3)},
    {"km/h", "mph", 1 / kMile_km},
    {"m/s", "mph", 3.6 / kMile_km},
    {"cm2", "in²", 1 / (kInch_cm * kInch_cm)},
    {"cm²", "in²", 1 / (kInch_cm * kInch_cm)},
    {"m2", "ft²", 1 / (kFoot_m * kFoot_m)},
    {"m²", "ft²", 1 / (kFoot_m * kFoot_m)},
    {"m3", "ft³", 1 / kCubicFoot_m3},
    {"m³", "ft³", 1 / kCubicFoot_m3},
    {"mm", "in", 0.1 / kInch_cm},
    {"cm", "in", 1 / kInch_cm},
    {"kg", "lb", 1 / kPound_kg},
    {"m", "ft", 1 / kFoot_m},
    {"K", "°F", 1.8},
    {"L", "gal", 1 / 3.785411784},
}};

bool word_byte(char c) {
  const auto u = static_cast<unsigned char>(c);
  return std::isalnum(u) != 0 || c == '_' || c == '.' || u >= 0x80;
}

/// As many digits as make sense after a conversion: three, but whole degrees and above.
std::string rounded(double value) {
  const double size = std::abs(value);
  const int decimals = size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3;
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find('.') != std::string::npos) text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}

/// "75.2 °F" of " (75.2 °F)" right behind a value that was given in both; else nothing.
std::string_view given_in_both(std::string_view rest, std::string_view unit) {
  const std::size_t end = rest.find(')');
  if (!rest.starts_with(" (") || end == std::string_view::npos) return {};
  const std::string_view inside = rest.substr(2, end - 2);
  return inside.size() < 16 && inside.ends_with(unit) ? inside : std::string_view{};
}

}  // namespace

std::string in_us(const std::string& text) {
  std::string out;
  const std::string_view all = text;
  for (std::size_t i = 0; i < all.size();) {
    const bool starts = std::isdigit(static_cast<unsigned char>(all[i])) != 0 &&
                        (i == 0 || (!word_byte(all[i - 1]) && all[i - 1] != ':'));
    const bool negative = i > 0 && all[i - 1] == '-' && (i == 1 || all[i - 2] == ' ');
    if (!starts || (i > 0 && all[i - 1] == '-' && !negative)) {
      out += all[i++];
      continue;
    }
    double value = 0;
    const char* first = all.data() + i;
    const char* last = std::from_chars(first, all.data() + all.size(), value).ptr;
    const auto after = static_cast<std::size_t>(last - all.data());
    const std::size_t unit = after < all.size() && all[after] == ' ' ? after + 1 : after;
    const Conversion* found = nullptr;
    for (const Conversion& c : kConversions) {
      const std::size_t end = unit + c.from.size();
      if (!all.substr(unit).starts_with(c.from)) continue;
      // "m" of "m/h" or "min" is none; a full stop may follow.
      if (end < all.size() && ((word_byte(all[end]) && all[end] != '.') || all[end] == '/'))
        continue;
      found = &c;
      break;
    }
    if (found == nullptr) {
      out.append(first, last);
      i = after;
      continue;
    }
    if (negative) out.pop_back();
    i = unit + found->from.size();
    const std::string_view given = given_in_both(all.substr(i), found->to);
    out += given.empty() ? rounded((negative ? -value : value) * found->factor + found->offset) +
                               " " + std::string(found->to)
                         : std::string(given);
    i += given.empty() ? 0 : given.size() + 3;
  }
  return out;
}

Html converted(const std::string& text) {
  return both(text, in_us(text));
}

Table::Table(std::string caption, std::vector<Column> columns, const char* css_class)
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
