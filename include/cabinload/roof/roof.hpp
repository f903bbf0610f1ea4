// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/roof/plane.hpp>
#include <optional>
#include <string>
#include <vector>

namespace cabinload::roof {

/// Side of the square hole of roof units and vents, 14 in [m]. Common practice, no published
/// source.
inline constexpr double kStandardOpening_m = 0.356;
/// Clear height of many garages and drive-throughs, 10 ft [m]. Common practice, no published
/// source.
inline constexpr double kGarage_m = 3.05;
inline constexpr double kGrid_m = 0.01;  ///< units are placed on this grid

/// The flat part of a roof, seen from above. Lengths above 0 and at most 30 m.
struct Roof {
  double length_m = 0, width_m = 0;
  struct {
    double front_m = 0, rear_m = 0, left_m = 0, right_m = 0;
  } edges;                      ///< kept free: curvature, gutters, seams; >= 0
  std::vector<double> ribs_m;   ///< middle of each rib that runs across, as x
  double rib_width_m = 0.05;    ///< 0..0.5; the default is engineering judgement
  double overall_height_m = 0;  ///< road to the roof's top, nothing on it; above 0, at most 10
  double limit_m = kGarage_m;   ///< that the vehicle must stay under; above 0, at most 30
};

/// What an item is; it decides what may stand where.
enum class Kind {
  unit,    ///< cooling unit over a square hole in its middle
  vent,    ///< vent or fan
  rack,    ///< rack, box, antenna; what is mounted on a rack is part of it
  panel,   ///< photovoltaic panel
  opening  ///< a hole that is there: a unit or vent whose own hole it holds may stand on it
};

/// A point of the plan.
struct Place {
  double x_m = 0, y_m = 0;
};

/// A rectangle on the roof.
struct Item {
  std::string name;  ///< unlike all others; printable UTF-8
  Kind kind = Kind::rack;
  double length_m = 0, width_m = 0;  ///< along x and y, above 0
  double height_m = 0;               ///< above the roof, 0..3
  std::optional<Place> at;           ///< front-left corner; unset: to be placed (units only)
  /// Side of the square hole cut at its middle, 0 for none. Unset: the standard opening for a unit,
  /// none for others.
  std::optional<double> opening_m;
  double power_W = 0;  ///< panels only, >= 0
  /// Where it lies; nothing without a position.
  [[nodiscard]] std::optional<Rect> rect() const {
    if (!at) return {};
    return Rect{at->x_m, at->y_m, at->x_m + length_m, at->y_m + width_m};
  }
};

/// Panels of one size, to be packed into what is left.
struct PanelSize {
  double length_m = 0, width_m = 0;  ///< either may lie along x
  double power_W = 0;                ///< each, at standard test conditions; >= 0
  double gap_m = 0;                  ///< between panels and to items; 0..1
  double height_m = 0;               ///< above the roof, 0..3
};

/// Sides of an item, seen from above.
enum class Side { front, rear, left, right };

/// Two items in one place.
struct Overlap {
  std::string a, b;  ///< in the order of the items
  Rect where;
};
/// An item that stands where it must not.
struct Outside {
  std::string item;
  double past_free_m = 0;  ///< into or across an edge kept free, the worst side; > 0
  double past_roof_m = 0;  ///< across the roof's own edge; 0 when none
};
/// The way from one side of an item, straight out.
struct Gap {
  double edge_m = 0;  ///< to the roof's edge; negative when across it
  std::string next;   ///< the nearest item on that side; empty: none before the edge
  double next_m = 0;  ///< to that item
};
/// The way from an item to its neighbours.
struct Clearance {
  std::string item;
  std::array<Gap, 4> sides;  ///< by Side
};
/// A hole that would cut a rib.
struct RibCut {
  std::string item;
  double rib_m = 0;  ///< x of the rib's middle
};

/// What is true of a roof with its items.
struct Layout {
  std::vector<Item> items;
  std::vector<std::string> unplaced;  ///< without a position; in nothing of what follows
  std::vector<Overlap> overlaps;
  std::vector<Outside> outside;
  std::vector<Clearance> clearances;  ///< one for each item that has a position
  std::vector<RibCut> ribs_cut;       ///< a hole that is there cuts none
  std::string tallest;                ///< empty: nothing stands above the roof
  double overall_height_m = 0;        ///< road to the top of the tallest
  double headroom_m = 0;              ///< limit less that
  double panel_W = 0;                 ///< of the panels among the items
  double area_left_m2 = 0;            ///< neither covered nor kept free
  Rect largest_free;                  ///< of that area
  /// Below the limit, not at it.
  [[nodiscard]] bool under_limit() const { return headroom_m > 0; }
  /// All items have a place, without overlap, edge passed, rib cut, and below the limit.
  [[nodiscard]] bool fits() const {
    return unplaced.empty() && overlaps.empty() && outside.empty() && ribs_cut.empty() &&
           under_limit();
  }
};

/// Panels packed into what items leave.
struct Packing {
  std::vector<Rect> panels;
  double power_W = 0;
  double area_left_m2 = 0;  ///< neither covered nor kept free, beside the panels
  std::size_t at_most = 0;  ///< no packing holds more: free area over a panel's
};

/// Items placed, checked, and panels packed beside them.
struct Plan {
  Layout layout;
  PanelSize panel;  ///< zero when none was asked for
  Packing packing;
};

[[nodiscard]] const char* word(Kind kind);  ///< "unit"
[[nodiscard]] const char* word(Side side);  ///< "front"

/// What a reader must refuse (sizes, names, an item larger than the roof, edges that leave nothing,
/// a position missing, a panel too small to be meant), as sentences "unit 'a': length in m = -1,
/// must be ...". A position off the roof is no problem here: check() tells it.
[[nodiscard]] std::vector<std::string> problems(const Roof& roof, const std::vector<Item>& items,
                                                const std::optional<PanelSize>& panel = {});

/// @throws core::RangeError  there are problems()
[[nodiscard]] Layout check(const Roof& roof, std::vector<Item> items);

/// Gives a position to each unit that has none, one after the other, turned as given: on the 1 cm
/// grid, inside the edges, clear of other items, its hole beside the ribs (or in a hole that is
/// there). Best is where most panels fit, then where the largest free rectangle is left, then
/// nearest to the middle line, then foremost. Tried are positions against an edge, an item or a
/// rib, and whole panels away from one: from any other the unit can slide there and take no room
/// away. (Where over 25 panels would cover the roof, only the nearer of these.) A unit that finds
/// no place stays without.
/// @throws core::RangeError  there are problems()
[[nodiscard]] std::vector<Item> place(const Roof& roof, std::vector<Item> items,
                                      const std::optional<PanelSize>& panel = {});

/// As many panels as a greedy finds: each against the foremost (or rearmost, or leftmost) free
/// place, some of them one way round and then the rest the other, the best of all these orders. At
/// least that many fit; at_most says how many could at best. Same input, same answer. Items without
/// a position take no room.
/// @throws core::RangeError  there are problems()
[[nodiscard]] Packing pack(const Roof& roof, const std::vector<Item>& items,
                           const PanelSize& panel);

/// place(), check() and pack(); the packed panels' height counts.
/// @throws core::RangeError  there are problems()
[[nodiscard]] Plan plan(const Roof& roof, std::vector<Item> items,
                        const std::optional<PanelSize>& panel = {});

/// What every answer about a roof must say.
[[nodiscard]] const std::vector<std::string>& cautions();

}  // namespace cabinload::roof
