// SPDX-License-Identifier: Apache-2.0
// The program itself, run in a folder of its own; what every test of a command needs.
#pragma once
#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <optional>
#include <sstream>
#include <string>
#include <vector>

#include "support/catch.hpp"

namespace cabinload::test {

using Json = nlohmann::json;

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

  /// The van as described alone, unless the arguments say how many to draw.
  Run run(const std::string& arguments, const std::string& before = "") const {
    const std::string command = arguments.substr(0, arguments.find(' '));
    const bool drawn =
        (command == "hold" || command == "size" || command == "pets" || command == "what-helps") &&
        arguments.find("--help") == std::string::npos &&
        arguments.find("samples") == std::string::npos;
    return run_as_is(arguments + (drawn ? " --samples 0" : ""), before);
  }
  Run run_as_is(const std::string& arguments, const std::string& before = "") const {
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
  /// What `arguments --json` prints; it must end with that status, without one with 0 or 1 (a limit
  /// missed).
  [[nodiscard]] Json json(const std::string& arguments, std::optional<int> status = {}) const {
    const Run r = run(arguments + " --json");
    INFO(arguments << ": " << r.status << ", " << r.err);
    REQUIRE((status ? r.status == *status : r.status == 0 || r.status == 1));
    return Json::parse(r.out);
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

inline std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> all;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) all.push_back(line);
  return all;
}
inline std::string first_line(const std::string& text) {
  return text.substr(0, text.find('\n'));
}

/// Commands, as the program lists them.
inline std::vector<std::string> commands(const Folder& f) {
  std::vector<std::string> names;
  bool listed = false;
  for (const std::string& line : lines_of(f.run("--help").out)) {
    if (line == "Subcommands:") listed = true;
    if (listed && line.empty()) break;
    std::istringstream words(line);
    std::string name;
    if (listed && line.starts_with("  ") && line[2] != ' ' && words >> name) names.push_back(name);
  }
  return names;
}

/// Refused as usage or input: nothing but a message, which says that.
inline void check_refused(const Run& r, const std::string& part) {
  CHECK(r.status == 2);
  CHECK(r.out.empty());
  CHECK_THAT(r.err, contains(part));
}

inline std::size_t columns(const std::string& line) {
  std::size_t n = 0;
  for (const char c : line) n += (static_cast<unsigned char>(c) & 0xC0) != 0x80 ? 1 : 0;
  return n;
}

inline void check_width(const std::string& text) {
  for (const std::string& line : lines_of(text)) {
    INFO(line);
    CHECK(columns(line) <= 80);
  }
}

}  // namespace cabinload::test

// What every test of a command speaks with.
using cabinload::test::check_refused;
using cabinload::test::check_width;
using cabinload::test::commands;
using cabinload::test::contains;
using cabinload::test::file_text;
using cabinload::test::first_line;
using cabinload::test::flowing;
using cabinload::test::Folder;
using cabinload::test::Json;
using cabinload::test::lines_of;
using cabinload::test::Run;
