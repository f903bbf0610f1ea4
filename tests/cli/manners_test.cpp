// SPDX-License-Identifier: Apache-2.0
// What a command-line program owes its surroundings: own defaults that are never silent, a manual
// and completions that know every option, colour only where it is wanted.
#include <cctype>
#include <map>
#include <sstream>
#include <vector>

#include "cli/program_run.hpp"

namespace {

constexpr const char* kConfig = "CABINLOAD_CONFIG=own.toml";

bool can_run(const std::string& command) {
  return std::system(("command -v " + command + " >/dev/null 2>&1").c_str()) == 0;
}

struct Options {
  std::string command;
  std::vector<std::string> names;
};

/// Every command and its options, read from the help that people see.
std::vector<Options> all_options(const Folder& f) {
  std::vector<Options> all = {{"", {}}};
  const auto read = [&f](Options& o) {
    std::istringstream lines(f.run(o.command + " --help").out);
    for (std::string line; std::getline(lines, line);) {
      if (line == "What the figures mean") break;
      if (!line.starts_with("  -")) continue;
      std::string names = line.substr(2, line.find(' ', 2) - 2);
      std::istringstream parts(names);
      for (std::string name; std::getline(parts, name, ',');) o.names.push_back(name);
    }
  };
  for (const std::string& name : commands(f)) all.push_back({name, {}});
  for (Options& o : all) read(o);
  return all;
}

/// As the manual page writes it: a hyphen there is a minus.
std::string for_man(std::string text) {
  for (std::size_t i = 0; i < text.size(); ++i)
    if (text[i] == '-') text.insert(i++, "\\");
  return text;
}

/// What is generated of a command alone, from where it begins to where it ends; all of it of none.
std::string part_of(const std::string& all, const std::string& kind, const std::string& command) {
  if (command.empty()) return all;
  const std::map<std::string, std::pair<std::string, std::string>> marks = {
      {"man", {"\n.SS " + for_man(command) + "\n", "\n.S"}},
      {"bash", {"\n    " + command + ") options=", "\n      esac"}},
      {"zsh", {"\n      " + command + ") _arguments", " ;;"}},
      {"fish", {" -a " + command + " -d", "__fish_use_subcommand"}}};
  const auto& [begin, end] = marks.at(kind);
  const std::size_t from = all.find(begin);
  REQUIRE(from != std::string::npos);
  return all.substr(from, all.find(end, from + begin.size()) - from);
}

/// Whether a word stands there by itself, not as the beginning of a longer one.
bool has_word(const std::string& text, const std::string& word) {
  for (std::size_t at = text.find(word); at != std::string::npos; at = text.find(word, at + 1)) {
    const std::size_t next = at + word.size();
    if (next == text.size() || (std::isalnum(static_cast<unsigned char>(text[next])) == 0 &&
                                text[next] != '-' && text[next] != '\\'))
      return true;
  }
  return false;
}

}  // namespace

TEST_CASE("manners: manual and completions know every command and option", "[cli][manners]") {
  const Folder f;
  const auto all = all_options(f);
  CHECK(all.size() >= 15);
  for (const std::string kind : {"man", "bash", "zsh", "fish"}) {
    const Run r = f.run("--generate " + kind);
    CHECK(r.status == 0);
    CHECK(r.err.empty());
    for (const Options& o : all) {
      CHECK(o.names.size() >= 1);
      INFO(kind << " " << o.command);
      const std::string part = part_of(r.out, kind, o.command);
      for (const std::string& name : o.names) {
        INFO(name);
        const std::string shown = kind == "man"            ? for_man(name)
                                  : kind != "fish"         ? name
                                  : name.starts_with("--") ? "-l " + name.substr(2)
                                                           : "-s " + name.substr(1);
        CHECK(has_word(part, shown));
      }
    }
  }
  CHECK(f.run("--generate tcsh").status == 2);
}

TEST_CASE("manners: shells and man read what is generated", "[cli][manners]") {
  const Folder f;
  for (const char* shell : {"bash", "zsh", "fish"}) {
    f.put(shell, f.run(std::string("--generate ") + shell).out);
    if (!can_run(shell)) continue;
    INFO(shell);
    CHECK(std::system((std::string(shell) + " -n '" + (f.path() / shell).string() + "'").c_str()) ==
          0);
  }
  const std::string try_bash = "cd '" + f.path().string() +
                               "' && bash -c 'source ./bash; COMP_WORDS=(cabinload ho); "
                               "COMP_CWORD=1; _cabinload; echo ${COMPREPLY[0]}; "
                               "COMP_WORDS=(cabinload hold --cover th); COMP_CWORD=3; "
                               "_cabinload; echo ${COMPREPLY[0]}' >seen";
  CHECK(std::system(try_bash.c_str()) == 0);
  CHECK(cabinload::test::file_text(f.path() / "seen") == "hold\nthermal-mat\n");
  if (can_run("fish")) {
    const std::string try_fish = "cd '" + f.path().string() +
                                 "' && fish -c \"source ./fish; complete -C 'cabinload ho'; "
                                 "complete -C 'cabinload hold --cover th'\" >seen 2>&1";
    CHECK(std::system(try_fish.c_str()) == 0);
    CHECK_THAT(cabinload::test::file_text(f.path() / "seen"),
               contains("hold\t") && contains("thermal-mat\t"));
  }
  const std::string man = f.run("--generate man").out;
  for (const char* head : {".SH NAME", ".SH SYNOPSIS", ".SH EXIT STATUS", ".SH ENVIRONMENT",
                           ".SH FILES", ".SH CAUTIONS"})
    CHECK_THAT(man, contains(head));
  CHECK_THAT(man, contains("Never leave"));
  f.put("cabinload.1", man);
  if (can_run("man")) {
    const std::string command = "cd '" + f.path().string() +
                                "' && LC_ALL=C.UTF-8 MANROFFSEQ= MANWIDTH=80 man --warnings -l "
                                "cabinload.1 >page 2>warnings";
    CHECK(std::system(command.c_str()) == 0);
    CHECK(cabinload::test::file_text(f.path() / "warnings").empty());
    CHECK(cabinload::test::file_text(f.path() / "page").size() > 10000);
  }
}

TEST_CASE("manners: own defaults are used and never silent", "[cli][config]") {
  const Folder f;
  f.put("own.toml", "units = \"us\"\nweather = \"miami\"\nlimit = \"26 degC\"\npeople = 1\n");
  const std::string night = "hold --from 07-14 --to 07-14";
  const Run own = f.run(night, kConfig);
  CHECK_THAT(own.out, contains("MIAMI") && contains("78.8 °F") && contains("1 person"));
  CHECK_THAT(own.out, contains("weather.file is miami: your own default (own.toml:2)"));
  CHECK_THAT(own.out, contains("US customary units: your own default (own.toml:1)"));
  check_width(own.out);
  const Json j = Json::parse(f.run(night + " --json", kConfig).out);
  std::string told;
  for (const Json& a : j["assumptions"]) told += a["text"].get<std::string>() + "\n";
  for (const char* key : {"weather.file", "night.limit", "person[0].count"})
    CHECK_THAT(told, contains(std::string(key)));
  CHECK_THAT(told, contains("own.toml:4"));
  // Each way to leave them aside gives what nobody's defaults give.
  const std::string without = f.run(night).out;
  CHECK(without != own.out);
  CHECK(f.run(night + " --no-config", kConfig).out == without);
  CHECK(f.run(night, "CABINLOAD_CONFIG=none").out == without);
  // The command line and the scenario go before.
  CHECK_THAT(f.run(night + " --weather tucson --units si", kConfig).out,
             contains("TUCSON") && contains("26.0 °C"));
  CHECK_THAT(f.run("hold --high '38 degC'", kConfig).out, !contains("MIAMI"));
  f.put("van.toml", "[night]\nsleep = \"23:00-06:00\"\n");
  const Run scenario = f.run("hold van.toml --from 07-14 --to 07-14 --units si", kConfig);
  CHECK_THAT(scenario.out, contains("MIAMI") && contains("25.0 °C"));
  CHECK_THAT(f.run("show scenario", kConfig).out, contains("own.toml:2"));
  // What others read is not changed.
  CHECK(f.run("new", kConfig).out == f.run("new").out);
}

TEST_CASE("manners: the place of own defaults follows the XDG rules", "[cli][config]") {
  const Folder f;
  std::filesystem::create_directories(f.path() / "x/cabinload");
  f.put("x/cabinload/config.toml", "weather = \"miami\"\n");
  const std::string here = "env -u CABINLOAD_CONFIG XDG_CONFIG_HOME=";
  const std::string night = "hold --from 07-14 --to 07-14";
  CHECK_THAT(f.run(night, here + "\"$PWD/x\"").out, contains("MIAMI"));
  CHECK_THAT(f.run(night, here + "x HOME=/nowhere").out, contains("TUCSON"));  // not absolute
  std::filesystem::create_directories(f.path() / ".config");
  std::filesystem::rename(f.path() / "x/cabinload", f.path() / ".config/cabinload");
  CHECK_THAT(f.run(night, "env -u CABINLOAD_CONFIG -u XDG_CONFIG_HOME HOME=\"$PWD\"").out,
             contains("MIAMI"));
}

TEST_CASE("manners: bad own defaults say file, line and key", "[cli][config]") {
  const Folder f;
  for (const auto& [text, part] :
       {std::pair("units = \"us\"\nwether = \"miami\"\n", "own.toml:2:10: error: wether"),
        {"wether = 1\n", "did you mean 'weather'"},
        {"units = \"metric\"\n", "own.toml:1:9: error: units: 'metric' is neither"},
        {"units = [1]\n", "own.toml:1:9: error: units: is not a text"},
        {"limit = \"26\"\n", "own.toml:1"},
        {"\nvehicle = \"lorry\"\n", "own.toml:2"},
        {"high = \"40 degC\"\n", "'high' is not known"},
        {"units = \n", "own.toml:1"}}) {
    f.put("own.toml", text);
    const Run r = f.run("hold --from 07-14 --to 07-14", kConfig);
    INFO(text << r.err);
    CHECK(r.status == 2);
    CHECK(r.out.empty());
    CHECK_THAT(r.err, contains(part));
    CHECK(f.run("hold --from 07-14 --to 07-14 --no-config", kConfig).status == 0);
    CHECK(f.run("hold --help", kConfig).status == 0);
  }
  CHECK(f.run("hold --from 07-14 --to 07-14", "CABINLOAD_CONFIG=missing.toml").status == 3);
}

TEST_CASE("manners: colour and pictures only on a terminal that wants them", "[cli][manners]") {
  const Folder f;
  const std::string load = "load --from 07-14 --to 07-14";
  CHECK_THAT(f.run(load).out, !contains("\x1b[") && !contains("hour by hour"));
  CHECK_THAT(f.run(load + " --pictures always").out, contains("hour by hour"));
  // `script` makes the terminal; where the system gives out none (a bare chroot) it says nothing.
  if (std::system("script -qec 'echo here' /dev/null </dev/null 2>/dev/null | grep -q here") != 0)
    return;
  const auto on_terminal = [&](const std::string& before, const std::string& arguments) {
    const std::string command =
        "cd '" + f.path().string() + "' && CABINLOAD_CONFIG=none script -qec '" + before + " " +
        CABINLOAD_PROGRAM + " " + arguments + "' /dev/null >seen </dev/null";
    (void)std::system(command.c_str());
    return cabinload::test::file_text(f.path() / "seen");
  };
  const std::string seen = on_terminal("TERM=xterm", load);
  CHECK_THAT(seen, contains("\x1b[1m") && contains("hour by hour"));
  for (const char* before : {"TERM=xterm NO_COLOR=1", "TERM=dumb"}) {
    INFO(before);
    CHECK_THAT(on_terminal(before, load), !contains("\x1b[1m") && contains("hour by hour"));
  }
  CHECK_THAT(on_terminal("TERM=xterm NO_COLOR=", load), contains("\x1b[1m"));
  CHECK_THAT(on_terminal("TERM=xterm", load + " --pictures never"), !contains("hour by hour"));
}

TEST_CASE("manners: the version names what it is built from", "[cli][manners]") {
  const std::string out = Folder().run("--version").out;
  for (const char* name : {"cabinload 0.", "HDF5 1.", "Eigen 3.", "fmt ", "CLI11 ", "toml++ ",
                           "nlohmann-json", "oneTBB 20"})
    CHECK_THAT(out, contains(name));
  check_width(out);
}
