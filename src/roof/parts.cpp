// SPDX-License-Identifier: Apache-2.0
#include "parts.hpp"

#include <algorithm>
#include <cabinload/core/error.hpp>

namespace cabinload::roof {

const char* word(Kind kind) {
  constexpr std::array<const char*, 5> kWords{"unit", "vent", "rack", "panel", "opening"};
  return kWords.at(static_cast<std::size_t>(kind));
}

const char* word(Side side) {
  constexpr std::array<const char*, 4> kWords{"front", "rear", "left", "right"};
  return kWords.at(static_cast<std::size_t>(side));
}

const std::vector<std::string>& cautions() {
  static const std::vector<std::string> list = {
      "Ribs carry the roof: have every cut and its frame judged by whoever may work on the body.",
      "Unit, rack and panels count against the roof load that the vehicle's papers allow.",
      "Measure the loaded vehicle's height yourself; entrances can be lower than their signs.",
      "Panels make voltage whenever light falls on them; local codes and licensed work apply."};
  return list;
}

Rect room(const Roof& r) {
  return {r.edges.front_m, r.edges.left_m, r.length_m - r.edges.rear_m,
          r.width_m - r.edges.right_m};
}

std::optional<Rect> hole(const Item& item) {
  const double side_m = item.opening_m.value_or(item.kind == Kind::unit ? kStandardOpening_m : 0);
  if (!item.at || side_m <= 0) return {};
  const double x_m = item.at->x_m + (item.length_m - side_m) / 2;
  const double y_m = item.at->y_m + (item.width_m - side_m) / 2;
  return Rect{x_m, y_m, x_m + side_m, y_m + side_m};
}

bool stands_on(const Item& a, const Item& b) {
  if (b.kind != Kind::opening || !b.at || (a.kind != Kind::unit && a.kind != Kind::vent))
    return false;
  const auto own = hole(a);
  return own && a.rect()->holds(*b.rect()) && b.rect()->holds(*own, kGrid_m);
}

std::vector<double> ribs_cut_m(const Roof& roof, const Item& item, const std::vector<Item>& items) {
  const auto cut = hole(item);
  if (!cut) return {};
  for (const Item& other : items)
    if (stands_on(item, other)) return {};
  std::vector<double> hit_m;
  for (const double x_m : roof.ribs_m)
    if (x_m - roof.rib_width_m / 2 < cut->x1_m - kTouch_m &&
        x_m + roof.rib_width_m / 2 > cut->x0_m + kTouch_m)
      hit_m.push_back(x_m);
  return hit_m;
}

std::vector<Rect> taken(const std::vector<Item>& items) {
  std::vector<Rect> list;
  for (const Item& item : items)
    if (item.at) list.push_back(*item.rect());
  return list;
}

void demand(const Roof& roof, const std::vector<Item>& items,
            const std::optional<PanelSize>& panel) {
  std::string all;
  for (const std::string& sentence : problems(roof, items, panel))
    all += (all.empty() ? "" : "; ") + sentence;
  if (!all.empty()) throw core::RangeError(all);
}

bool printable(const std::string& name) {
  return !name.empty() && std::none_of(name.begin(), name.end(), [](char c) {
    return static_cast<unsigned char>(c) < 0x20 || c == 0x7F;
  });
}

std::string called(const Item& item, std::size_t columns) {
  const std::string kind = word(item.kind);
  return item.name == kind ? kind : kind + " '" + shortened(item.name, columns) + "'";
}

std::string shortened(const std::string& text, std::size_t columns) {
  std::size_t count = 0, keep = 0;
  std::string out;
  for (const char c : text) {
    if ((static_cast<unsigned char>(c) & 0xC0U) != 0x80 && ++count < columns) keep = out.size();
    out += printable({c}) ? c : '?';
  }
  return count <= columns ? out : out.substr(0, keep) + "..";
}

}  // namespace cabinload::roof
