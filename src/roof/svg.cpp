// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cabinload/core/markup.hpp>
#include <cabinload/core/units.hpp>
#include <cabinload/roof/drawing.hpp>

#include "parts.hpp"

namespace cabinload::roof {
namespace {

constexpr double kMargin = 30, kPerM = 100, kText = 9;  // of the drawing's lengths: centimetres
constexpr double kLine = 12, kPerCharacter = 5.5;

std::string escaped(const std::string& text) {
  return core::markup_escaped(shortened(text, text.size()));
}

/// Attributes of a kind's rectangle.
const char* look(Kind kind) {
  constexpr std::array<const char*, 5> kLooks{
      R"(fill="#d9ecf7" stroke="#0b4f75")", R"(fill="#e3f2e1" stroke="#2b6325")",
      R"(fill="#ece7df" stroke="#5a4a30")", R"(fill="#dfe0f3" stroke="#2c2f78")",
      R"(fill="#ffffff" stroke="#444444")"};
  return kLooks.at(static_cast<std::size_t>(kind));
}

class Picture {
 public:
  explicit Picture(double roof_width_m) : roof_width_m_(roof_width_m) {}
  void rect(const Rect& r, const std::string& look, const std::string& title) {
    body_ += fmt::format(R"(<rect x="{:.1f}" y="{:.1f}" width="{:.1f}" height="{:.1f}" {}>)"
                         "<title>{}</title></rect>\n",
                         x(r.x0_m), y(r.y1_m), r.length_m() * kPerM, r.width_m() * kPerM, look,
                         escaped(title));
  }
  void write(double x_m, double y_m, const std::string& words) {
    body_ += fmt::format(R"(<text x="{:.1f}" y="{:.1f}">{}</text>)", x(x_m), y(y_m) + kText / 3,
                         escaped(words)) +
             '\n';
  }
  /// Text in the middle of a rectangle, as much as there is room for.
  void label(const Rect& r, const std::string& words) {
    const auto columns = static_cast<std::size_t>(r.length_m() * kPerM / kPerCharacter);
    if (columns >= 3)
      write((r.x0_m + r.x1_m) / 2, (r.y0_m + r.y1_m) / 2, shortened(words, columns));
  }
  /// Lines from the left, below the drawing; `row` counts them.
  void below(std::size_t row, const std::string& words) {
    body_ += fmt::format(R"(<text x="{:.1f}" y="{:.1f}" text-anchor="start">{}</text>)", kMargin,
                         y(0) + 2 * kMargin + static_cast<double>(row) * kLine, escaped(words)) +
             '\n';
  }
  [[nodiscard]] const std::string& body() const { return body_; }

 private:
  [[nodiscard]] static double x(double x_m) { return kMargin + x_m * kPerM; }
  [[nodiscard]] double y(double y_m) const { return kMargin + (roof_width_m_ - y_m) * kPerM; }
  double roof_width_m_;
  std::string body_;
};

std::string about(const Item& i) {
  return fmt::format("{}, {:.2f} by {:.2f} m, {:.2f} m high, ", called(i), i.length_m, i.width_m,
                     i.height_m) +
         (i.at ? fmt::format("{:.2f} m from the front and {:.2f} m from the left side", i.at->x_m,
                             i.at->y_m)
               : "finds no place");
}

std::string about(const Overlap& o) {
  return fmt::format("{} and {} overlap by {:.3f} m2", o.a, o.b, o.where.area_m2());
}

void draw_items(Picture& p, const Plan& plan) {
  for (const Rect& panel : plan.packing.panels) {
    p.rect(panel, look(Kind::panel), "packed panel");
    p.label(panel, fmt::format("{:g} W", plan.panel.power_W));
  }
  for (const bool holes : {true, false})  // so that what stands on one is seen
    for (const Item& i : plan.layout.items) {
      if (!i.at || (i.kind == Kind::opening) != holes) continue;
      p.rect(*i.rect(), look(i.kind), about(i));
      if (const auto cut = hole(i))
        p.rect(*cut, R"(fill="none" stroke="#0b4f75" stroke-dasharray="3 3")", "opening");
      const Rect r = *i.rect();
      const double line_m = std::min(0.12, r.width_m() / 2), y_m = (r.y0_m + r.y1_m) / 2;
      if (i.name == word(i.kind)) {
        p.label(r, i.name);
        continue;
      }
      p.label({r.x0_m, y_m, r.x1_m, y_m + line_m}, word(i.kind));
      p.label({r.x0_m, y_m - line_m, r.x1_m, y_m}, i.name);
    }
  for (const Overlap& o : plan.layout.overlaps) {
    p.rect(o.where, R"(fill="#c00000" stroke="#800000" fill-opacity="0.35")", about(o));
    p.label(o.where, "overlap");
  }
}

/// Words in lines of at most so many characters.
std::vector<std::string> in_lines(const std::string& text, std::size_t most) {
  std::vector<std::string> lines(1);
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t end = std::min(text.find(' ', i), text.size());
    const std::string word = text.substr(i, end - i);
    if (!lines.back().empty() && lines.back().size() + 1 + word.size() > most) lines.emplace_back();
    lines.back() += (lines.back().empty() ? "" : " ") + word;
    i = end + 1;
  }
  return lines;
}

}  // namespace

std::string svg(const Roof& roof, const Plan& plan, const std::vector<std::string>& cautions) {
  const double l_m = roof.length_m, w_m = roof.width_m, bar_m = std::min(1.0, l_m);
  std::string seen =
      fmt::format("Roof of {:.2f} by {:.2f} m from above, front at the left", l_m, w_m);
  for (const Item& i : plan.layout.items) seen += "; " + about(i);
  if (!plan.packing.panels.empty())
    seen += fmt::format("; {} packed panels of {:.2f} by {:.2f} m", plan.packing.panels.size(),
                        plan.panel.length_m, plan.panel.width_m);
  for (const Overlap& o : plan.layout.overlaps) seen += "; " + about(o);

  Picture p(w_m);
  p.rect({0, 0, l_m, w_m}, R"(fill="#f7f7f7" stroke="#000000")", "roof");
  for (const double x_m : roof.ribs_m)
    p.rect({x_m - roof.rib_width_m / 2, 0, x_m + roof.rib_width_m / 2, w_m},
           R"(fill="#dddddd" stroke="#aaaaaa")", fmt::format("rib at {:.2f} m", x_m));
  p.rect(room(roof), R"(fill="none" stroke="#777777" stroke-dasharray="6 4")",
         "inside the edges kept free");
  draw_items(p, plan);
  p.write(l_m / 2, w_m + 0.12, "right side (front at the left)");
  p.write(l_m / 2, -0.12, "left side");
  p.rect({0, -0.26, bar_m, -0.22}, R"(fill="#000000")", "scale");
  p.write(
      bar_m / 2, -0.36,
      fmt::format("{:g} m ({})", bar_m,
                  core::format_quantity(bar_m, core::Quantity::length, core::UnitSystem::us, 1)));
  const double w = l_m * kPerM + 2 * kMargin;
  std::size_t row = 0;
  for (const std::string& caution : cautions)
    for (const std::string& line :
         in_lines(caution, static_cast<std::size_t>((w - 2 * kMargin) / kPerCharacter)))
      p.below(row++, line);
  const double h = w_m * kPerM + 3 * kMargin + static_cast<double>(row) * kLine;
  return fmt::format(R"(<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {0:.0f} {1:.0f}" width="{0:.0f}"
 height="{1:.0f}" role="img" aria-labelledby="roof-title roof-desc" font-family="sans-serif"
 font-size="{2:g}" text-anchor="middle">
<title id="roof-title">Roof plan</title>
<desc id="roof-desc">{3}.</desc>
{4}</svg>
)",
                     w, h, kText, escaped(seen), p.body());
}

}  // namespace cabinload::roof
