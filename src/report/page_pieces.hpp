// SPDX-License-Identifier: Apache-2.0
// Files that the build writes into the program: src/report/page/embed.cmake.
#pragma once
#include <string_view>

namespace cabinload::report::page {

extern const std::string_view document;       ///< {{name}} marks where something goes
extern const std::string_view style_sheet;    ///< CSS
extern const std::string_view script;         ///< charts and the calendar's reading line
extern const std::string_view chart_library;  ///< Chart.js of the system
extern const std::string_view chart_licence;  ///< its notice
extern const std::string_view symbols;        ///< SVG symbols of the calendar

}  // namespace cabinload::report::page
