// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string>
#include <vector>

namespace cabinload::weather {

/// A year that is shipped in weather/.
struct ShippedYear {
  std::string key;      ///< "tucson"
  std::string file;     ///< "722740TYA.CSV"
  std::string place;    ///< "Tucson AZ"
  std::string climate;  ///< "hot-dry"
};
/// All of them.
[[nodiscard]] const std::vector<ShippedYear>& shipped_years();

/// Folder with the shipped files: $CABINLOAD_WEATHER, else the installed share/ folder beside the
/// program, else the source tree's weather/ this library was built from, else where it was to be
/// installed.
/// @throws core::IoError  none of them exists; the text lists what was tried
[[nodiscard]] std::string shipped_folder();

}  // namespace cabinload::weather
