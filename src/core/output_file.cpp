// SPDX-License-Identifier: Apache-2.0
#include <fcntl.h>
#include <unistd.h>
#include <cabinload/core/error.hpp>
#include <cabinload/core/output_file.hpp>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>

namespace cabinload::core {
namespace {

namespace fs = std::filesystem;

std::string reason() {
  return std::strerror(errno);
}

/// The file that a link leads to; the path itself when it is none.
fs::path place_of(const std::string& path) {
  std::error_code error;
  if (!fs::is_symlink(path, error)) return path;
  const fs::path place = fs::weakly_canonical(path, error);
  return error ? fs::path(path) : place;
}

std::string partial_of(const fs::path& place) {
  return (place.parent_path() / ("." + place.filename().string() + ".partial")).string();
}

}  // namespace

void check_output(const std::string& path, bool force) {
  if (path.empty() || path == "-")
    throw IoError(path.empty() ? "output" : path, "a file name is needed, as ./result");
  std::error_code error;
  const fs::path place = place_of(path);
  if (fs::is_directory(place, error))
    throw IoError(path, "this is a directory, a file name is needed");
  if (fs::exists(place, error)) {
    if (!fs::is_regular_file(place, error))
      throw IoError(path, "is no ordinary file and is left as it is; give a file name");
    if (!force) throw IoError(path, "exists already; give another name, or --force to replace it");
  }
  const fs::path folder = place.parent_path().empty() ? fs::path(".") : place.parent_path();
  if (!fs::is_directory(folder, error))
    throw IoError(path, "its folder '" + folder.string() + "' does not exist");
  const std::string trial = partial_of(place);
  const int fd = ::open(trial.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0644);
  if (fd < 0) throw IoError(path, "cannot be written: " + reason());
  ::close(fd);
  ::unlink(trial.c_str());
}

OutputFile::OutputFile(const std::string& path, bool force) : asked_(path) {
  check_output(path, force);
  place_ = place_of(path).string();
  partial_ = partial_of(place_);
}

OutputFile::~OutputFile() {
  if (!partial_.empty()) ::unlink(partial_.c_str());
}

void OutputFile::put() {
  const int fd = ::open(partial_.c_str(), O_RDONLY);
  const bool flushed = fd >= 0 && ::fsync(fd) == 0;
  const std::string why = reason();
  if (fd >= 0) ::close(fd);
  if (!flushed) throw IoError(asked_, "cannot be written: " + why);
  if (::rename(partial_.c_str(), place_.c_str()) != 0)
    throw IoError(asked_, "cannot be put in place: " + reason());
  partial_.clear();
}

void write_text(const std::string& path, const std::string& text, bool force) {
  OutputFile file(path, force);
  std::ofstream out(file.partial(), std::ios::binary);
  out << text;
  out.close();
  if (!out) throw IoError(path, "cannot be written: " + reason());
  file.put();
}

}  // namespace cabinload::core
