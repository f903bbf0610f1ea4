// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cabinload/roof/drawing.hpp>
#include <cmath>

#include "parts.hpp"

namespace cabinload::roof {
namespace {

constexpr long kColumns = 74, kRows = 30;  // at most, inside the outline
constexpr std::size_t kWidth = 78;

/// Cells that glyphs() turns into characters of either set.
enum Cell : char { corner_tl = 1, corner_tr, corner_bl, corner_br, along, across, rib, kept, both };

const char* glyph(char cell, Glyphs glyphs) {
  constexpr std::array<const char*, 10> kAscii{"", "+", "+", "+", "+", "-", "|", ":", ".", "#"};
  constexpr std::array<const char*, 10> kBox{"", "┌", "┐", "└", "┘", "─", "│", "┊", "·", "▒"};
  return (glyphs == Glyphs::ascii ? kAscii : kBox).at(static_cast<std::size_t>(cell));
}

/// Cells from a corner (first row at the top) up to but without the other.
struct Span {
  long c0, r0, c1, r1;
};

class Canvas {
 public:
  explicit Canvas(const Roof& roof) {
    const auto most = std::max(std::ceil(100 * roof.length_m / kColumns - 1e-9),
                               std::ceil(100 * roof.width_m / 2 / kRows - 1e-9));
    cell_m_ = std::max(most, 1.0) / 100;
    columns_ = std::max(std::lround(roof.length_m / cell_m_), 1L);
    rows_ = std::max(std::lround(roof.width_m / cell_m_ / 2), 1L);
    lines_.assign(static_cast<std::size_t>(rows_ + 2),
                  std::string(static_cast<std::size_t>(columns_ + 2), ' '));
    frame({-1, -1, columns_ + 1, rows_ + 1});
  }
  [[nodiscard]] double cell_m() const { return cell_m_; }
  /// Cells of a rectangle, one at least; clipped to the roof, empty when off it.
  [[nodiscard]] Span span(const Rect& r) const {
    const auto cell = [](double m, double size_m) { return std::lround(m / size_m); };
    Span s{cell(r.x0_m, cell_m_), rows_ - cell(r.y1_m, 2 * cell_m_), cell(r.x1_m, cell_m_),
           rows_ - cell(r.y0_m, 2 * cell_m_)};
    s.c1 = std::max(s.c1, s.c0 + 1);
    s.r0 = std::min(s.r0, s.r1 - 1);
    return {std::max(s.c0, 0L), std::max(s.r0, 0L), std::min(s.c1, columns_),
            std::min(s.r1, rows_)};
  }
  void fill(const Span& s, char cell) {
    for (long r = s.r0; r < s.r1; ++r)
      for (long c = s.c0; c < s.c1; ++c) at(r, c) = cell;
  }
  void box(const Span& s, char key) {
    if (s.c1 <= s.c0 || s.r1 <= s.r0) return;
    const bool frames = s.c1 - s.c0 >= 3 && s.r1 - s.r0 >= 2;
    fill(s, frames ? ' ' : key);
    if (frames) frame(s);
    at(s.r0 + (s.r1 - s.r0 - 1) / 2, s.c0 + (s.c1 - s.c0 - 1) / 2) = key;
  }
  [[nodiscard]] std::string text(Glyphs glyphs) const {
    std::string out;
    for (const std::string& line : lines_) {
      for (const char cell : line) out += cell < ' ' ? glyph(cell, glyphs) : std::string(1, cell);
      out += '\n';
    }
    return out;
  }

 private:
  char& at(long r, long c) {
    return lines_[static_cast<std::size_t>(r + 1)][static_cast<std::size_t>(c + 1)];
  }
  void frame(const Span& s) {
    fill({s.c0, s.r0, s.c1, s.r0 + 1}, along);
    fill({s.c0, s.r1 - 1, s.c1, s.r1}, along);
    fill({s.c0, s.r0, s.c0 + 1, s.r1}, across);
    fill({s.c1 - 1, s.r0, s.c1, s.r1}, across);
    at(s.r0, s.c0) = corner_tl;
    at(s.r0, s.c1 - 1) = corner_tr;
    at(s.r1 - 1, s.c0) = corner_bl;
    at(s.r1 - 1, s.c1 - 1) = corner_br;
  }
  double cell_m_ = 0.01;
  long columns_ = 1, rows_ = 1;
  std::vector<std::string> lines_;
};

char key_of(std::size_t index) {
  constexpr const char* kKeys = "123456789abcdefghijklmnopqrstuvwxyz";
  return index < 35 ? kKeys[index] : '*';
}

std::string legend(const Roof& roof, const Plan& plan, double cell_m, Glyphs glyphs) {
  std::vector<std::string> lines;
  for (std::size_t i = 0; i < plan.layout.items.size(); ++i) {
    const Item& item = plan.layout.items[i];
    const std::string where = item.at ? fmt::format("at x {:.2f}, y {:.2f} m; {:.2f} m high",
                                                    item.at->x_m, item.at->y_m, item.height_m)
                                      : "finds no place";
    lines.push_back(fmt::format("{} {} {:.2f} x {:.2f} m {}", item.at ? key_of(i) : ' ',
                                called(item, 18), item.length_m, item.width_m, where));
  }
  if (const std::size_t count = plan.packing.panels.size(); count > 0)
    lines.push_back(fmt::format("P {} {} of {:.2f} x {:.2f} m, {:g} W each", count,
                                count == 1 ? "panel" : "panels", plan.panel.length_m,
                                plan.panel.width_m, plan.panel.power_W));
  if (!plan.layout.overlaps.empty())
    lines.push_back(fmt::format("{} overlap", glyph(both, glyphs)));
  const auto& e = roof.edges;
  if (e.front_m > 0 || e.rear_m > 0 || e.left_m > 0 || e.right_m > 0)
    lines.push_back(fmt::format("{} edge kept free", glyph(kept, glyphs)));
  if (!roof.ribs_m.empty()) lines.push_back(fmt::format("{} rib", glyph(rib, glyphs)));
  lines.push_back(
      fmt::format("1 column = {:.0f} cm, 1 row = {:.0f} cm; x from the front, y from the "
                  "left side",
                  100 * cell_m, 200 * cell_m));
  std::string out;
  for (const std::string& line : lines) out += shortened(line, kWidth) + '\n';
  return out;
}

}  // namespace

std::string text(const Roof& roof, const Plan& plan, Glyphs glyphs) {
  Canvas canvas(roof);
  const Span all = canvas.span({0, 0, roof.length_m, roof.width_m});
  canvas.fill(all, kept);
  // An edge narrower than half a cell is not to be seen; the room then starts at the outline.
  canvas.fill(canvas.span(room(roof)), ' ');
  for (const double x_m : roof.ribs_m) {
    const Span at = canvas.span({x_m, 0, x_m, roof.width_m});
    canvas.fill(at, rib);
  }
  for (const Rect& panel : plan.packing.panels) canvas.box(canvas.span(panel), 'P');
  // Holes that are there first, so that what stands on them is seen.
  for (const bool holes : {true, false})
    for (std::size_t i = 0; i < plan.layout.items.size(); ++i) {
      const Item& item = plan.layout.items[i];
      if (item.at && (item.kind == Kind::opening) == holes)
        canvas.box(canvas.span(*item.rect()), key_of(i));
    }
  for (const Overlap& o : plan.layout.overlaps) canvas.fill(canvas.span(o.where), both);
  return "right side (front at the left)\n" + canvas.text(glyphs) + "left side\n" +
         legend(roof, plan, canvas.cell_m(), glyphs);
}

}  // namespace cabinload::roof
