// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cabinload/roof/drawing.hpp>

#include "parts.hpp"

namespace cabinload::roof {
namespace {

constexpr double kMargin = 30, kPerM = 100;  // of the drawing's own lengths: centimetres

std::string escaped(const std::string& name) {
  std::string out;
  for (const char c : shortened(name, name.size() + 2)) {
    switch (c) {
      case '&':
        out += "&amp;";
        break;
      case '<':
        out += "&lt;";
        break;
      case '>':
        out += "&gt;";
        break;
      case '"':
        out += "&quot;";
        break;
      case '\'':
        out += "&#39;";
        break;
      default:
        out += c;
    }
  }
  return out;
}

struct Look {
  const char *fill, *line;
};
Look look(Kind kind) {
  switch (kind) {
    case Kind::unit:
      return {"#d9ecf7", "#0b4f75"};
    case Kind::vent:
      return {"#e3f2e1", "#2b6325"};
    case Kind::rack:
      return {"#ece7df", "#5a4a30"};
    case Kind::panel:
      return {"#dfe0f3", "#2c2f78"};
    case Kind::opening:
      return {"#ffffff", "#444444"};
  }
  return {"#ffffff", "#000000"};
}

class Picture {
 public:
  explicit Picture(const Roof& roof) : roof_(roof) {}
  void rect(const Rect& r, const Look& look, const std::string& title, const char* more = "") {
    body_ +=
        fmt::format(R"(<rect {} fill="{}" stroke="{}"{}>)", corners(r), look.fill, look.line, more);
    if (!title.empty()) body_ += fmt::format("<title>{}</title>", escaped(title));
    body_ += "</rect>\n";
  }
  /// Text in the middle of a rectangle, as much as there is room for.
  void label(const Rect& r, const std::string& words) {
    constexpr double kSize = 9, kPerCharacter = 5.5;
    const auto columns =
        static_cast<std::size_t>(std::max(r.length_m(), 0.0) * kPerM / kPerCharacter);
    if (columns < 3) return;
    write((r.x0_m + r.x1_m) / 2 * kPerM + kMargin, y((r.y0_m + r.y1_m) / 2) + kSize / 3, kSize,
          shortened(words, columns));
  }
  void write(double x, double y, double size, const std::string& words) {
    body_ += fmt::format(R"(<text x="{:.1f}" y="{:.1f}" font-size="{:g}">{}</text>)", x, y, size,
                         escaped(words)) +
             '\n';
  }
  [[nodiscard]] static double y_of(const Roof& roof, double y_m) {
    return kMargin + (roof.width_m - y_m) * kPerM;
  }
  [[nodiscard]] std::string take() { return std::move(body_); }

 private:
  [[nodiscard]] double y(double y_m) const { return y_of(roof_, y_m); }
  [[nodiscard]] std::string corners(const Rect& r) const {
    return fmt::format(R"(x="{:.1f}" y="{:.1f}" width="{:.1f}" height="{:.1f}")",
                       kMargin + r.x0_m * kPerM, y(r.y1_m), std::max(r.length_m(), 0.0) * kPerM,
                       std::max(r.width_m(), 0.0) * kPerM);
  }
  const Roof& roof_;
  std::string body_;
};

std::string about(const Item& i) {
  const std::string what = fmt::format("{} {}, {:.2f} by {:.2f} m, {:.2f} m high", word(i.kind),
                                       i.name, i.length_m, i.width_m, i.height_m);
  if (!i.at) return what + ", finds no place";
  return what + fmt::format(", {:.2f} m from the front and {:.2f} m from the left side", i.at->x_m,
                            i.at->y_m);
}

std::string description(const Roof& roof, const Plan& plan) {
  std::string out = fmt::format("Roof of {:.2f} by {:.2f} m from above, front at the left",
                                roof.length_m, roof.width_m);
  for (const Item& i : plan.layout.items) out += "; " + about(i);
  if (!plan.packing.panels.empty())
    out += fmt::format("; {} packed panels of {:.2f} by {:.2f} m", plan.packing.panels.size(),
                       plan.panel.length_m, plan.panel.width_m);
  for (const Overlap& o : plan.layout.overlaps)
    out += fmt::format("; {} and {} overlap by {:.3f} m2", o.a, o.b, o.where.area_m2());
  return out + ".";
}

void draw_items(Picture& p, const Plan& plan) {
  for (const Rect& panel : plan.packing.panels) {
    p.rect(panel, look(Kind::panel), "packed panel");
    p.label(panel, fmt::format("panel {:g} W", plan.panel.power_W));
  }
  for (const Item& i : plan.layout.items) {
    if (!i.at) continue;
    p.rect(*i.rect(), look(i.kind), about(i));
    if (const auto cut = hole(i))
      p.rect(*cut, {"none", look(i.kind).line}, "opening", R"( stroke-dasharray="3 3")");
    p.label(*i.rect(), fmt::format("{} {}", word(i.kind), i.name));
  }
  for (const Overlap& o : plan.layout.overlaps) {
    p.rect(o.where, {"#c00000", "#800000"}, o.a + " and " + o.b + " overlap",
           R"( fill-opacity="0.35")");
    p.label(o.where, "overlap");
  }
}

}  // namespace

std::string svg(const Roof& roof, const Plan& plan) {
  Picture p(roof);
  p.rect({0, 0, roof.length_m, roof.width_m}, {"#f7f7f7", "#000000"}, "roof");
  p.rect(room(roof), {"none", "#777777"}, "inside the edges kept free",
         R"( stroke-dasharray="6 4")");
  for (const double x_m : roof.ribs_m)
    p.rect({x_m - roof.rib_width_m / 2, 0, x_m + roof.rib_width_m / 2, roof.width_m},
           {"#dddddd", "#bbbbbb"}, fmt::format("rib at {:.2f} m", x_m));
  draw_items(p, plan);
  const double w = roof.length_m * kPerM + 2 * kMargin, h = roof.width_m * kPerM + 3 * kMargin;
  const double bottom = kMargin + roof.width_m * kPerM;
  p.write(w / 2, kMargin - 8, 10, "right side (front at the left)");
  p.write(w / 2, bottom + 14, 10, "left side");
  p.rect({0, -0.26, std::min(1.0, roof.length_m), -0.22}, {"#000000", "#000000"}, "scale");
  p.write(kMargin + 50, bottom + 40, 10, fmt::format("{:g} m", std::min(1.0, roof.length_m)));
  return fmt::format(
      R"(<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {0:.1f} {1:.1f}" width="{0:.0f}" height="{1:.0f}" role="img" aria-labelledby="roof-title roof-desc" font-family="sans-serif" text-anchor="middle">
<title id="roof-title">Roof plan</title>
<desc id="roof-desc">{2}</desc>
{3}</svg>
)",
      w, h, escaped(description(roof, plan)), p.take());
}

}  // namespace cabinload::roof
