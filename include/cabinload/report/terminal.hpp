// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/compare.hpp>
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/load.hpp>
#include <cabinload/answers/pets.hpp>
#include <cabinload/answers/roof.hpp>
#include <cabinload/answers/runtime.hpp>
#include <cabinload/answers/size.hpp>
#include <cabinload/answers/weather_summary.hpp>
#include <cabinload/answers/what_helps.hpp>
#include <cabinload/answers/wire.hpp>
#include <cabinload/core/units.hpp>
#include <cabinload/unit/unit.hpp>
#include <string>

/// Answers as text of at most 80 columns: the verdict first, cautions last and always.
namespace cabinload::report {

/// How text is written.
struct Style {
  core::UnitSystem units = core::UnitSystem::si;
  bool colour = false;       ///< marks what words already say
  bool ascii = false;        ///< charts of plain characters instead of blocks
  bool pictures = true;      ///< charts at all
  std::size_t columns = 80;  ///< for pictures; text stays within 80
  std::string note;          ///< about this style, printed with what the answer rests on
};

/// An answer as text: verdict, figures, what it rests on, cautions.
/// @{
[[nodiscard]] std::string terminal(const answers::Hold& answer, const Style& style);
/// The first line of it alone.
[[nodiscard]] std::string first_line(const answers::Hold& answer, const Style& style);
[[nodiscard]] std::string terminal(const answers::Load& answer, const Style& style);
[[nodiscard]] std::string terminal(const answers::Pets& answer, const Style& style);
[[nodiscard]] std::string terminal(const answers::Runtime& answer, const Style& style);
[[nodiscard]] std::string terminal(const answers::WeatherSummary& answer, const Style& style);
[[nodiscard]] std::string terminal(const answers::Wire& answer, const Style& style);
[[nodiscard]] std::string terminal(const answers::Roof& answer, const Style& style);
[[nodiscard]] std::string terminal(const answers::Sizes& answer, const Style& style);
[[nodiscard]] std::string terminal(const answers::Comparison& answer, const Style& style);
[[nodiscard]] std::string terminal(const answers::Helps& answer, const Style& style);
/// @}

/// A unit over its operating range: tables with bars, where the figures come from, how well
/// measured points are met.
[[nodiscard]] std::string terminal(const unit::Description& unit, const Style& style);

/// Breaks text at spaces into lines of at most `width` columns; every line after the first starts
/// with `indent` spaces. Columns are counted in characters, not bytes.
[[nodiscard]] std::string wrapped(const std::string& text, std::size_t width, std::size_t indent);

}  // namespace cabinload::report
