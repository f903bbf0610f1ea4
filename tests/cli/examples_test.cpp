// SPDX-License-Identifier: Apache-2.0
// tests/examples: what their README quotes is what the program prints, and what they teach is so.
#include <sstream>
#include <vector>

#include "cli/program_run.hpp"

namespace {

const std::filesystem::path kExamples = CABINLOAD_SOURCE_DIR "/tests/examples";

/// A folder with the five files in it.
struct Examples : Folder {
  Examples() {
    for (const auto& e : std::filesystem::directory_iterator(kExamples))
      if (e.path().extension() == ".toml")
        std::filesystem::copy_file(e.path(), path() / e.path().filename());
  }
};

}  // namespace

TEST_CASE("examples: the lines that their README quotes are printed", "[cli][golden]") {
  const Examples f;
  std::istringstream lines(file_text(kExamples / "README.md"));
  std::string out, command;
  int commands = 0, quoted = 0;
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("    $ cabinload ")) {
      command = line.substr(16);
      const Run r = f.run_as_is(command);
      INFO(command << ": " << r.err);
      CHECK((r.status == 0 || r.status == 1));
      out = flowing(r.out);
      ++commands;
    } else if (line.starts_with("    ")) {
      INFO(command);
      CHECK_THAT(out, contains(flowing(line)));
      ++quoted;
    }
  }
  CHECK(commands == 7);
  CHECK(quoted >= 9);
}

TEST_CASE("examples: what README.md shows is printed", "[cli][golden]") {
  const Examples f;
  std::istringstream lines(file_text(std::filesystem::path(CABINLOAD_SOURCE_DIR) / "README.md"));
  std::string command, out;
  int commands = 0, shown = 0;
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("$ cabinload ")) {
      command = line.substr(12);
      const Run r = f.run_as_is(command);
      INFO(command << ": " << r.err);
      CHECK((r.status == 0 || r.status == 1));
      out = "\n" + r.out;
      ++commands;
    } else if (line == "```") {
      command.clear();
    } else if (!command.empty() && line != "...") {
      INFO(command);
      CHECK_THAT(out, contains("\n" + line + "\n"));
      ++shown;
    }
  }
  CHECK(commands == 2);
  CHECK(shown >= 40);
}

TEST_CASE("examples: what they teach is so", "[cli]") {
  const Examples f;
  const Json desert = f.json("hold weekend_van_desert.toml");
  CHECK(desert["nights"]["held"] < desert["nights"]["needing_cooling"]);
  CHECK(desert["worst_night"]["why"] == "battery");
  const Json larger = f.json("hold weekend_van_desert.toml --battery '4 kWh'");
  CHECK(larger["nights"]["held"] == larger["nights"]["needing_cooling"]);

  const Json pitch = f.json("hold retirees_humid_heat.toml");
  CHECK(pitch["nights"]["held"] == pitch["nights"]["needing_cooling"]);
  const Json no_charger = f.json("hold retirees_humid_heat.toml --set 'shore.charger=0 W'");
  CHECK(no_charger["nights"]["held"] == 0);
  CHECK_THAT(no_charger["warnings"].dump(), contains("shore.charger"));

  const Json dog = f.json("pets dog_and_sleeper.toml");
  CHECK(dog["minutes_to_limit"]["min"].get<double>() < 10);
  CHECK(dog["margin_K"].get<double>() > 0);
  const Json asleep = f.json("hold dog_and_sleeper.toml");
  CHECK(asleep["nights"]["held"] == asleep["nights"]["needing_cooling"]);

  const Run mountain = f.run("hold mountain_trip.toml");
  CHECK(mountain.status == 0);
  CHECK(mountain.out.starts_with("No cooling needed"));

  const Json shop = f.json("load box_body_workshop.toml --hours unit");
  const Json& causes = shop["peak"]["by_cause_W"];
  CHECK(causes["people"].get<double>() + causes["appliances"].get<double>() >
        causes["roof"].get<double>() + causes["walls"].get<double>());
}

TEST_CASE("examples: every file says that it is invented", "[cli]") {
  int files = 0;
  for (const auto& e : std::filesystem::directory_iterator(kExamples)) {
    if (e.path().extension() != ".toml") continue;
    INFO(e.path());
    CHECK_THAT(file_text(e.path()), contains("Invented") || contains("invented"));
    ++files;
  }
  CHECK(files == 5);
}
