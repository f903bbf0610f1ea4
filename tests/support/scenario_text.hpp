// SPDX-License-Identifier: Apache-2.0
// A scenario given as text, read through a file as a user's would be.
#pragma once
#include <cabinload/scenario/scenario.hpp>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

namespace cabinload::test {

inline scenario::Scenario read_text(const std::string& text,
                                    const std::vector<scenario::Override>& overrides = {}) {
  const auto folder = std::filesystem::temp_directory_path() / "cabinload-scenario-text";
  std::filesystem::create_directories(folder);
  const std::string path = (folder / "case.toml").string();
  std::ofstream(path, std::ios::binary) << text;
  struct Remove {
    std::filesystem::path folder;
    ~Remove() { std::filesystem::remove_all(folder); }
  } remove{folder};
  return scenario::read(path, overrides);
}

/// What the reader says of a text; "no error" when it takes it.
inline std::string refusal(const std::string& text) {
  try {
    (void)read_text(text);
  } catch (const core::Error& e) {
    return e.what();
  }
  return "no error";
}

}  // namespace cabinload::test
