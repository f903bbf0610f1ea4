// SPDX-License-Identifier: Apache-2.0
// Files of a test.
#pragma once
#include <unistd.h>

#include <filesystem>
#include <string>

namespace cabinload::test {

/// A path that nobody else has, as tests run beside each other; nothing is there at first, and what
/// is put there is gone after.
class TemporaryPath {
 public:
  TemporaryPath() {
    static int made = 0;
    path_ = std::filesystem::temp_directory_path() /
            ("cabinload-" + std::to_string(::getpid()) + "-" + std::to_string(++made));
    std::filesystem::remove_all(path_);
  }
  ~TemporaryPath() { std::filesystem::remove_all(path_); }
  TemporaryPath(const TemporaryPath&) = delete;
  TemporaryPath& operator=(const TemporaryPath&) = delete;
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }
  [[nodiscard]] std::string string() const { return path_.string(); }

 private:
  std::filesystem::path path_;
};

}  // namespace cabinload::test
