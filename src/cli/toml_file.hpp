// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <toml++/toml.h>
#include <cabinload/core/error.hpp>
#include <filesystem>
#include <string>

namespace cabinload::cli {

/// A TOML file that is no scenario.
/// @param named_by  said where there is no such file: " ($CABINLOAD_CONFIG)"; may be ""
/// @param example   a line of such a file
/// @throws core::IoError     there is no such file
/// @throws core::InputError  it is no TOML
inline toml::table toml_file(const std::string& file, const std::string& named_by,
                             const std::string& example) try {
  if (!std::filesystem::is_regular_file(file))
    throw core::IoError(file, "cannot be opened for reading: no such file" + named_by);
  return toml::parse_file(file);
} catch (const toml::parse_error& e) {
  throw core::InputError({file, e.source().begin.line, e.source().begin.column, "",
                          std::string(e.description()), "the file is TOML: " + example});
}

}  // namespace cabinload::cli
