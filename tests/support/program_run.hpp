// SPDX-License-Identifier: Apache-2.0
// The program itself, run in a folder of its own.
#pragma once
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

#include "support/catch.hpp"

namespace cabinload::test {

struct Run {
  int status = -1;
  std::string out, err;
};

inline std::string file_text(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

/// A folder of its own for a test; the program runs in it.
class Folder {
 public:
  Folder() {
    char name[] = "/tmp/cabinload-cli-XXXXXX";
    path_ = ::mkdtemp(name);
  }
  ~Folder() {
    std::filesystem::permissions(path_, std::filesystem::perms::owner_all);
    std::filesystem::remove_all(path_);
  }
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }
  void put(const char* name, const std::string& text) const {
    std::ofstream(path_ / name, std::ios::binary) << text;
  }

  Run run(const std::string& arguments, const std::string& before = "") const {
    const std::string command = "cd '" + path_.string() + "' && CABINLOAD_CONFIG=none " + before +
                                " " + CABINLOAD_PROGRAM + " " + arguments +
                                " >.out 2>.err </dev/null";
    const int status = std::system(command.c_str());
    Run r;
    r.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    r.out = file_text(path_ / ".out");
    r.err = file_text(path_ / ".err");
    return r;
  }
  [[nodiscard]] std::size_t files() const {
    std::size_t n = 0;
    for (const auto& e : std::filesystem::directory_iterator(path_))
      n += e.path().filename() == ".out" || e.path().filename() == ".err" ? 0 : 1;
    return n;
  }

 private:
  std::filesystem::path path_;
};

/// Runs of spaces and line ends as one space, so that sentences can be looked for.
inline std::string flowing(const std::string& text) {
  std::string out;
  std::istringstream words(text);
  for (std::string word; words >> word;) out += (out.empty() ? "" : " ") + word;
  return out;
}

inline std::size_t columns(const std::string& line) {
  std::size_t n = 0;
  for (const char c : line) n += (static_cast<unsigned char>(c) & 0xC0) != 0x80 ? 1 : 0;
  return n;
}

inline void check_width(const std::string& text) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    INFO(line);
    CHECK(columns(line) <= 80);
  }
}

}  // namespace cabinload::test
