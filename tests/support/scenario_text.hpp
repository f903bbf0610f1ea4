// SPDX-License-Identifier: Apache-2.0
// A scenario given as text, read through a file as a user's would be.
#pragma once
#include <cabinload/scenario/scenario.hpp>
#include <fstream>
#include <string>
#include <vector>

#include "support/error_of.hpp"
#include "support/temporary_path.hpp"

namespace cabinload::test {

/// `case.toml` in a folder of its own.
class ScenarioFile {
 public:
  explicit ScenarioFile(const std::string& text) {
    std::filesystem::create_directories(folder_.path());
    std::ofstream(path(), std::ios::binary) << text;
  }
  [[nodiscard]] std::string path() const { return (folder_.path() / "case.toml").string(); }

 private:
  TemporaryPath folder_;
};

inline scenario::Scenario read_text(const std::string& text,
                                    const std::vector<scenario::Override>& overrides = {}) {
  return scenario::read(ScenarioFile(text).path(), overrides);
}

/// What the reader says of a text; "no error" when it takes it.
inline std::string refusal(const std::string& text) {
  return error_of([&] { (void)read_text(text); });
}

/// Its warnings, a line each.
inline std::string warnings_of(const std::string& text) {
  std::string all;
  for (const std::string& w : read_text(text).warnings) all += w + "\n";
  return all;
}

}  // namespace cabinload::test
