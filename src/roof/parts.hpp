// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/roof/roof.hpp>
#include <optional>
#include <string>
#include <vector>

namespace cabinload::roof {

/// The roof inside the edges kept free.
[[nodiscard]] Rect room(const Roof& roof);
/// The square hole at an item's middle; none when it has none or no position.
[[nodiscard]] std::optional<Rect> hole(const Item& item);
/// Item a stands on the opening b: covers it, and its own hole lies in it within a grid step.
[[nodiscard]] bool stands_on(const Item& a, const Item& b);
/// Middles of the ribs that an item's hole cuts; none where it stands on an opening.
[[nodiscard]] std::vector<double> ribs_cut_m(const Roof& roof, const Item& item,
                                             const std::vector<Item>& items);
/// Rectangles of the items that have a position.
[[nodiscard]] std::vector<Rect> taken(const std::vector<Item>& items);
/// How many panels pack() finds room for; for input free of problems.
[[nodiscard]] std::size_t count(const Roof& roof, const std::vector<Item>& items,
                                const PanelSize& panel);
/// @throws core::RangeError  there are problems()
void demand(const Roof& roof, const std::vector<Item>& items,
            const std::optional<PanelSize>& panel = {});

/// Not empty, without control characters.
[[nodiscard]] bool printable(const std::string& name);
/// "vent 'rear'"; an item that is named as its kind: "unit".
[[nodiscard]] std::string called(const Item& item, std::size_t columns = 40);
/// At most `columns` characters, ".." at the end where some were cut; control characters as '?'.
[[nodiscard]] std::string shortened(const std::string& text, std::size_t columns);

}  // namespace cabinload::roof
