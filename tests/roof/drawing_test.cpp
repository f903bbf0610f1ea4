// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/roof/drawing.hpp>
#include <cctype>
#include <sstream>

#include "roof/samples.hpp"
#include "support/catch.hpp"

using namespace cabinload::roof;
using cabinload::test::contains;
using cabinload::test::item;
using cabinload::test::plain_roof;
using cabinload::test::sample;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

/// Characters, not bytes, of UTF-8.
std::size_t columns(const std::string& line) {
  return static_cast<std::size_t>(
      std::count_if(line.begin(), line.end(), [](char c) { return (c & 0xC0) != 0x80; }));
}

/// Why a document is not well-formed XML (elements, attributes, entities); empty: it is.
std::string malformed(const std::string& xml) {
  std::vector<std::string> open;
  bool rooted = false;
  for (std::size_t i = 0; i < xml.size();) {
    if (xml[i] == '&') {
      const std::size_t end = xml.find(';', i);
      const std::string name = end == std::string::npos ? "" : xml.substr(i + 1, end - i - 1);
      if (name != "amp" && name != "lt" && name != "gt" && name != "quot" && name != "#39")
        return "entity '" + name + "'";
    }
    if (static_cast<unsigned char>(xml[i]) < 0x20 && xml[i] != '\n') return "control character";
    if (xml[i] == '>') return "stray >";
    if (xml[i] != '<') {
      if (open.empty() && std::isspace(static_cast<unsigned char>(xml[i])) == 0) return "bare text";
      ++i;
      continue;
    }
    const std::size_t end = xml.find('>', i);
    if (end == std::string::npos) return "open tag";
    const std::string tag = xml.substr(i + 1, end - i - 1);
    i = end + 1;
    if (tag.find('<') != std::string::npos) return "< in a tag";
    if (tag[0] == '?') continue;
    if (tag[0] == '/') {
      if (open.empty() || open.back() != tag.substr(1)) return "end of " + tag.substr(1);
      open.pop_back();
      continue;
    }
    if (open.empty() && rooted) return "two roots";
    rooted = true;
    std::size_t at = tag.find_first_of(" \n/");
    const std::string name = tag.substr(0, at);
    while (at < tag.size()) {  // ' key="value"' again and again
      at = tag.find_first_not_of(" \n", at);
      if (at == std::string::npos || tag[at] == '/') break;
      const std::size_t equals = tag.find("=\"", at);
      const std::size_t close = equals == std::string::npos ? equals : tag.find('"', equals + 2);
      if (close == std::string::npos) return "attribute in " + name;
      at = close + 1;
    }
    if (tag.back() != '/') open.push_back(name);
  }
  return open.empty() && rooted ? "" : "not closed";
}

/// Of a drawing: where its lowest line of text stands, and how high it is.
double lowest_text_y(const std::string& drawn) {
  double lowest = 0;
  for (std::size_t at = drawn.find("<text"); at != std::string::npos;
       at = drawn.find("<text", at + 1))
    lowest = std::max(lowest, std::stod(drawn.substr(drawn.find(" y=\"", at) + 4)));
  return lowest;
}
double height_of(const std::string& drawn) {
  return std::stod(drawn.substr(drawn.find(" height=\"", drawn.find("viewBox")) + 9));
}

std::size_t count(const std::string& text, const std::string& part) {
  std::size_t n = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++n;
  return n;
}

}  // namespace

TEST_CASE("roof: the text drawing is to scale", "[roof][unit]") {
  // 3.7 x 1.8 m: a column is 3.7 / 74 = 5 cm and a row 10 cm.
  auto roof = plain_roof();
  roof.length_m = 3.7;
  roof.ribs_m = {3.0};
  const auto plan_of = plan(roof, {item("cooler", Kind::unit, 1.0, 0.5, 0.8, 0.6)});
  const auto lines = lines_of(text(roof, plan_of, Glyphs::ascii));
  CHECK(lines[0] == "right side (front at the left)");
  CHECK(lines[1] == "+" + std::string(74, '-') + "+");
  // 0.1 m kept free on the right, and the rib.
  CHECK(lines[2] == "|" + std::string(60, '.') + ":" + std::string(13, '.') + "|");
  REQUIRE(lines[20] == lines[1]);  // 18 rows between
  CHECK(lines[21] == "left side");
  // y 0.5 to 1.1 from the left side, which is at the bottom: rows 7 to 12 from the top.
  for (std::size_t row = 1; row <= 18; ++row) {
    INFO(lines[row + 1]);
    const std::string at = lines[row + 1].substr(1 + 20, 16);  // x 1.0 to 1.8
    if (row == 8 || row == 13) CHECK(at == "+--------------+");
    if (row == 10) CHECK(at == "|      1       |");
    if (row == 9 || row == 11 || row == 12) CHECK(at == "|              |");
    if (row == 7 || row == 14) CHECK(at == std::string(16, ' '));
    CHECK(lines[row + 1][1 + 60] == ':');  // the rib
    CHECK(lines[row + 1][1] == '.');
  }
  CHECK(lines[22] == "1 unit 'cooler' 0.80 x 0.60 m at x 1.00, y 0.50 m; 0.10 m high");
  CHECK_THAT(lines.back(), contains("1 column = 5 cm, 1 row = 10 cm"));
}

TEST_CASE("roof: no line of a drawing is wider than 78 columns", "[roof][property]") {
  for (unsigned seed = 0; seed < 200; ++seed) {
    auto s = sample(seed);
    s.roof.ribs_m = {0.5, 1.1};
    s.items.push_back(item("a name that goes on ünd on, far beyond any legend's room for it",
                           Kind::opening, -0.15, -0.15, 0.3, 0.3));
    const auto plan_of = plan(s.roof, s.items, s.panel);
    for (const Glyphs glyphs : {Glyphs::ascii, Glyphs::box}) {
      const std::string drawn = text(s.roof, plan_of, glyphs);
      const auto lines = lines_of(drawn);
      const auto plan_end = std::find(lines.begin(), lines.end(), "left side");
      REQUIRE(plan_end != lines.end());
      for (const auto& line : lines) {
        INFO(line);
        CHECK(columns(line) <= 78);
      }
      for (auto line = lines.begin() + 2; line != plan_end; ++line)
        CHECK(columns(*line) == columns(lines[1]));
      CHECK(plan_end - lines.begin() <= 33);
      if (glyphs == Glyphs::ascii)
        CHECK(std::count(lines.begin(), plan_end, "") == 0);
      else
        CHECK_THAT(drawn, contains("┌") && contains("┊ rib"));
    }
  }
  auto wide = plain_roof();
  wide.length_m = 0.5;
  wide.width_m = 6;
  const auto lines = lines_of(text(wide, plan(wide, {}), Glyphs::ascii));
  CHECK(lines.size() <= 36);
}

TEST_CASE("roof: what is named as its kind is said once", "[roof][unit]") {
  auto unit = item("unit", Kind::unit, 1, 0.5, 0.8, 0.6);
  const auto plan_of = plan(plain_roof(), {unit, item("rear", Kind::vent, 2, 0.5, 0.4, 0.4)}, {});
  for (const std::string& drawn :
       {text(plain_roof(), plan_of, Glyphs::ascii), svg(plain_roof(), plan_of, {})}) {
    CHECK_THAT(drawn,
               !contains("unit unit") && !contains("unit 'unit'") && !contains("unit &#39;unit"));
    CHECK_THAT(drawn, contains("vent 'rear'") || contains("vent &#39;rear&#39;"));
  }
  CHECK(count(svg(plain_roof(), plan_of, {}), ">unit</text>") == 1);
}

TEST_CASE("roof: text marks overlaps and what finds no place", "[roof][unit]") {
  auto roof = plain_roof();
  for (int k = 1; k < 10; ++k) roof.ribs_m.push_back(0.4 * k);
  const auto drawn =
      text(roof,
           plan(roof,
                {item("a", Kind::vent, 1, 0.5, 0.6, 0.6), item("b", Kind::rack, 1.3, 0.8, 1, 0.6),
                 cabinload::test::unit_without_place(0.8, 0.6)},
                PanelSize{0.6, 0.5, 50, 0, 0}),
           Glyphs::ascii);
  CHECK_THAT(drawn, contains("#####") && contains("# overlap") && contains("finds no place"));
  CHECK_THAT(drawn, contains("panels of 0.60 x 0.50 m, 50 W each") && contains(". edge kept free"));
}

TEST_CASE("roof: the SVG is well-formed, described and self-contained", "[roof][property]") {
  for (unsigned seed = 0; seed < 200; ++seed) {
    auto s = sample(seed);
    s.items.push_back(item("<b> & \"c\" 'd'", Kind::unit, 0.3, 0.3, 0.6, 0.5));
    const auto plan_of = plan(s.roof, s.items, s.panel);
    const std::string drawn = svg(s.roof, plan_of, {"WARNING: <cut> nothing \"blind\""});
    INFO("seed " << seed);
    CHECK(malformed(drawn) == "");
    CHECK_THAT(drawn, contains("&lt;b&gt; &amp; &quot;c&quot; &#39;d&#39;"));
    CHECK_THAT(drawn, contains("<title id=\"roof-title\">") &&
                          contains("<desc id=\"roof-desc\">") && contains("role=\"img\""));
    CHECK_THAT(drawn, contains("WARNING: &lt;cut&gt;"));
    CHECK(lowest_text_y(drawn) + 5 < height_of(drawn));  // and its descenders are seen
    CHECK(count(drawn, "<title>packed panel</title>") == plan_of.packing.panels.size());
    CHECK(count(drawn, " fill-opacity") == plan_of.layout.overlaps.size());
    CHECK(count(drawn, "http") == 1);  // the name space alone
    for (const char* outside : {"href", "url(", "<script", "<image", "<style", "@import"})
      CHECK(count(drawn, outside) == 0);
  }
  // The check itself can fail.
  for (const char* wrong : {"<a><b></a></b>", "<a>&x;</a>", "<a b=c></a>", "<a>", "<a/><b/>", "a"})
    CHECK(malformed(wrong) != "");
}

TEST_CASE("roof: the SVG is to scale, the left side at the bottom", "[roof][unit]") {
  const auto roof = plain_roof();
  const auto drawn = svg(roof, plan(roof, {item("a", Kind::unit, 1.0, 0.2, 0.8, 0.6)}), {});
  // Centimetres behind a margin of 30; y 0.2 to 0.8 of 1.8 lies 1.0 m below the right side.
  CHECK_THAT(drawn, contains(R"(<rect x="130.0" y="130.0" width="80.0" height="60.0")"));
  // Its hole of 35.6 cm in the middle.
  CHECK_THAT(drawn, contains(R"(<rect x="152.2" y="142.2" width="35.6" height="35.6")"));
  CHECK_THAT(drawn, contains("1.00 m from the front and 0.20 m from the left side"));
}
