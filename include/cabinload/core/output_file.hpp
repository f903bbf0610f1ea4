// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string>

namespace cabinload::core {

/// Whether a file can be written at `path`, told before a long run; leaves nothing behind.
///
/// @param path   as the user typed it; a link is followed
/// @param force  a file that is there may be replaced
/// @throws IoError  a folder, a device or pipe, "-" or nothing as name, a file without `force`, a
///                  folder that does not exist or takes no file
void check_output(const std::string& path, bool force);

/// A file that is written beside its place under a temporary name and put there when it is whole:
/// the place holds the old file or the whole new one at any moment.
class OutputFile {
 public:
  /// @throws IoError  as check_output
  OutputFile(const std::string& path, bool force);
  OutputFile(const OutputFile&) = delete;
  OutputFile& operator=(const OutputFile&) = delete;
  /// Removes what was written unless put() came through.
  ~OutputFile();

  /// Where to write. The file need not exist yet.
  [[nodiscard]] const std::string& partial() const { return partial_; }
  /// Flushes partial() to disk and moves it into its place.
  /// @throws IoError  nothing was replaced
  void put();

 private:
  std::string asked_, place_, partial_;
};

/// `text` as a file, whole or not at all.
/// @throws IoError  as check_output, or a full disk
void write_text(const std::string& path, const std::string& text, bool force);

}  // namespace cabinload::core
