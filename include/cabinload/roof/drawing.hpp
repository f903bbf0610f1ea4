// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/roof/roof.hpp>
#include <string>
#include <vector>

/// Drawings to scale of a roof from above: nose to the left, so that the vehicle's left side is at
/// the bottom.
namespace cabinload::roof {

/// Characters of a text drawing; box: UTF-8 box-drawing characters.
enum class Glyphs { ascii, box };

/// The plan with a legend, at most 78 columns; items by a key of one character, packed panels 'P',
/// what overlaps '#', edges kept free '.', ribs ':'.
/// @param plan  of this roof, by plan()
[[nodiscard]] std::string text(const Roof& roof, const Plan& plan, Glyphs glyphs);

/// The plan as a self-contained SVG document: title and description for those who do not see it,
/// kinds told by words as well as by colour, names escaped, no reference to anything outside.
/// @param plan      of this roof, by plan()
/// @param cautions  written below it, wrapped; none only where they stand beside it
[[nodiscard]] std::string svg(const Roof& roof, const Plan& plan,
                              const std::vector<std::string>& cautions);

}  // namespace cabinload::roof
