// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <cmath>
#include <set>

#include "parts.hpp"

namespace cabinload::roof {
namespace {

constexpr std::size_t kMostItems = 100, kMostPanels = 100;
constexpr double kLongest_m = 30;

class Findings {
 public:
  void rule(bool good, const std::string& what, const std::string& key, double value,
            const std::string& must) {
    if (!good) list_.push_back(fmt::format("{}: {} = {:g}, must be {}", what, key, value, must));
  }
  /// Above `low` (or at it, when `closed`) and at most `high`.
  void within(const std::string& what, const std::string& key, double value, double low,
              double high, bool closed) {
    rule(value <= high && (closed ? value >= low : value > low), what, key, value,
         closed ? fmt::format("between {:g} and {:g}", low, high)
                : fmt::format("above {:g} and at most {:g}", low, high));
  }
  void say(std::string sentence) { list_.push_back(std::move(sentence)); }
  std::vector<std::string> take() { return std::move(list_); }

 private:
  std::vector<std::string> list_;
};

void check_roof(const Roof& r, Findings& f) {
  f.within("roof", "length in m", r.length_m, 0, kLongest_m, false);
  f.within("roof", "width in m", r.width_m, 0, kLongest_m, false);
  f.within("roof", "overall height in m", r.overall_height_m, 0, 10, false);
  f.within("roof", "height limit in m", r.limit_m, 0, 30, false);
  f.within("roof", "rib width in m", r.rib_width_m, 0, 0.5, true);
  const struct {
    const char* key;
    double value_m, across_m;
  } edges[] = {{"front edge kept free in m", r.edges.front_m, r.length_m},
               {"rear edge kept free in m", r.edges.rear_m, r.length_m},
               {"left edge kept free in m", r.edges.left_m, r.width_m},
               {"right edge kept free in m", r.edges.right_m, r.width_m}};
  for (const auto& e : edges) f.within("roof", e.key, e.value_m, 0, kLongest_m, true);
  const auto leave = [&](const char* which, double edges_m, double size_m) {
    if (size_m > 0 && edges_m >= size_m)
      f.say(fmt::format("roof: {} edges kept free take {:g} m of its {:g} m, must leave some",
                        which, edges_m, size_m));
  };
  leave("front and rear", r.edges.front_m + r.edges.rear_m, r.length_m);
  leave("left and right", r.edges.left_m + r.edges.right_m, r.width_m);
  for (const double x_m : r.ribs_m)
    f.rule(x_m >= 0 && x_m <= r.length_m, "roof", "rib at m", x_m,
           fmt::format("on the roof, between 0 and {:g}", r.length_m));
}

/// Neither way round does it lie on the roof (or, turned as it is, along one side).
void check_size(const std::string& what, double length_m, double width_m, const Roof& r,
                bool may_turn, Findings& f) {
  f.within(what, "length in m", length_m, 0, kLongest_m, false);
  f.within(what, "width in m", width_m, 0, kLongest_m, false);
  const bool along = length_m <= r.length_m && width_m <= r.width_m;
  const bool across = may_turn && width_m <= r.length_m && length_m <= r.width_m;
  if (r.length_m > 0 && r.width_m > 0 && length_m > 0 && width_m > 0 && !along && !across)
    f.say(fmt::format("{}: {:g} x {:g} m, must not be larger than the roof of {:g} x {:g} m", what,
                      length_m, width_m, r.length_m, r.width_m));
}

void check_item(const Item& i, const Roof& r, Findings& f) {
  const std::string what = fmt::format("{} '{}'", word(i.kind), shortened(i.name, 60));
  if (!printable(i.name))
    f.say(what + ": its name must be text of at least one character, none a control character");
  check_size(what, i.length_m, i.width_m, r, false, f);
  f.within(what, "height in m", i.height_m, 0, 3, true);
  f.within(what, "power in W", i.power_W, 0, 5000, true);
  if (i.kind != Kind::panel)
    f.rule(!(i.power_W > 0), what, "power in W", i.power_W, "0, since only panels have one");
  if (i.at) {
    f.within(what, "x in m", i.at->x_m, -kLongest_m, kLongest_m, true);
    f.within(what, "y in m", i.at->y_m, -kLongest_m, kLongest_m, true);
  } else if (i.kind != Kind::unit) {
    f.say(what + ": has no position; state x and y (only a unit is placed by itself)");
  }
  const double side_m = i.opening_m.value_or(i.kind == Kind::unit ? kStandardOpening_m : 0);
  const double smaller_m = std::fmin(i.length_m, i.width_m);
  f.rule(side_m >= 0 && (side_m <= smaller_m || smaller_m <= 0), what, "opening in m", side_m,
         fmt::format("at least 0 and no larger than the {}", word(i.kind)));
}

void check_panel(const PanelSize& p, const Roof& r, Findings& f) {
  check_size("panels", p.length_m, p.width_m, r, true, f);
  f.within("panels", "power in W each", p.power_W, 0, 5000, true);
  f.within("panels", "gap in m", p.gap_m, 0, 1, true);
  f.within("panels", "height in m", p.height_m, 0, 3, true);
  if (p.length_m > 0 && p.width_m > 0 && r.length_m > 0 && r.width_m > 0) {
    const double many = std::floor(r.length_m * r.width_m / (p.length_m * p.width_m) + 1e-9);
    f.rule(many <= static_cast<double>(kMostPanels), "panels", "number that the roof has area for",
           many, fmt::format("at most {}; is the unit of their size right?", kMostPanels));
  }
}

}  // namespace

std::vector<std::string> problems(const Roof& roof, const std::vector<Item>& items,
                                  const std::optional<PanelSize>& panel) {
  Findings f;
  check_roof(roof, f);
  f.rule(items.size() <= kMostItems, "roof", "number of items", static_cast<double>(items.size()),
         fmt::format("at most {}", kMostItems));
  std::set<std::string> names, twice;
  for (const Item& i : items) {
    check_item(i, roof, f);
    if (!names.insert(i.name).second && twice.insert(i.name).second)
      f.say(fmt::format("{} '{}': name is given twice, must be unlike all others", word(i.kind),
                        shortened(i.name, 60)));
  }
  if (panel) check_panel(*panel, roof, f);
  return f.take();
}

}  // namespace cabinload::roof
