// SPDX-License-Identifier: Apache-2.0
// Help that teaches: every command's three blocks, its examples, the topics, `new` by words.
#include <regex>
#include <sstream>
#include <vector>

#include "cli/program_run.hpp"

namespace {

/// Command lines under "Examples", a backslash at a line's end joined.
std::vector<std::string> examples_of(const std::string& help) {
  std::vector<std::string> all;
  bool here = false;
  std::string open;
  for (const std::string& line : lines_of(help)) {
    if (here && line.starts_with("  ")) {
      open += line.substr(2);
      if (open.ends_with("\\")) {
        open.pop_back();
        continue;
      }
      all.push_back(open);
      open.clear();
    }
    if (line == "Examples") here = true;
  }
  return all;
}

}  // namespace

TEST_CASE("help: every command says what its figures mean, what not, and how", "[cli][help]") {
  const Folder f;
  const auto names = commands(f);
  CHECK(names.size() >= 14);
  for (const std::string& name : names) {
    const Run r = f.run(name + " --help");
    INFO(name);
    CHECK(r.status == 0);
    check_width(r.out);
    CHECK_THAT(r.out,
               contains("What the figures mean\n  ") && contains("What it does not say\n  "));
    CHECK_THAT(flowing(r.out), contains("xit status"));
    CHECK(examples_of(r.out).size() >= 2);
    CHECK(f.run("help " + name).status == 0);
  }
  check_width(f.run("--help").out);
}

TEST_CASE("help: the examples of every command run", "[cli][help]") {
  const Folder f;
  REQUIRE(f.run("new -o my-van.toml").status == 0);
  REQUIRE(f.run("hold --from 07-14 --to 07-14 --out result.h5").status < 2);
  f.put("my-study.toml", "[[vary]]\nkey = \"vehicle.paint\"\nvalues = [\"white\", \"black\"]\n");
  const std::string shipped = CABINLOAD_SOURCE_DIR "/weather";
  f.put("my-town.epw", cabinload::test::file_text(shipped + "/12839.tm2"));  // told by its content
  for (const std::string& name : commands(f))
    for (std::string example : examples_of(f.run(name + " --help").out)) {
      REQUIRE(example.starts_with("cabinload " + name));
      // One night instead of a season.
      example = std::regex_replace(example, std::regex("--from \\S+ --to \\S+"), "");
      const std::string help = f.run(name + " --help").out;
      if (help.find("--from") != std::string::npos && name != "new" && name != "show" &&
          example.find("report result.h5") == std::string::npos &&
          example.find("--high") == std::string::npos && example.find("--at") == std::string::npos)
        example += " --from 07-14 --to 07-14";
      if (example.find(" -o ") != std::string::npos) example += " --force";
      const Run r = f.run(example.substr(10));
      INFO(example << "\n" << r.err);
      CHECK((r.status == 0 || r.status == 1));
    }
}

TEST_CASE("help: every topic is a screen that teaches", "[cli][help]") {
  const Folder f;
  const std::string list = f.run("help").out;
  check_width(list);
  for (const char* topic :
       {"night", "limit", "capacity", "shade", "insulation", "pets", "weather"}) {
    INFO(topic);
    CHECK_THAT(list, contains(std::string("  ") + topic + " "));
    const Run r = f.run(std::string("help ") + topic);
    CHECK(r.status == 0);
    check_width(r.out);
    const auto lines = lines_of(r.out);
    CHECK(lines.size() <= 40);
    CHECK(lines.size() >= 15);
    // Its commands run.
    for (const std::string& line : lines) {
      if (!line.starts_with("  cabinload ")) continue;
      std::string command = line.substr(12, line.find("   ", 12) - 12);
      if (command.starts_with("show") || command.starts_with("weather") ||
          command.find("--help") != std::string::npos) {
      } else {
        command = std::regex_replace(command, std::regex("--from \\S+ --to \\S+"), "");
        if (command.find("--high") == std::string::npos &&
            command.find("extreme") == std::string::npos)
          command += " --from 07-16 --to 07-16";
      }
      INFO(command);
      const int status = f.run(command).status;
      CHECK((status == 0 || status == 1));
    }
  }
  const Run wrong = f.run("help nigth");
  CHECK(wrong.status == 2);
  CHECK_THAT(wrong.err, contains("did you mean 'night'"));
}

TEST_CASE("help: numbers of the topics are those of the program", "[cli][help]") {
  const Folder f;
  CHECK_THAT(f.run("help limit").out, contains("25.0 °C (77.0 °F)"));
  CHECK_THAT(f.run("help pets").out, contains("29.5 °C (85.1 °F)") && contains("26.7 °C"));
  // Every shade that there is.
  const std::string shade = f.run("help shade").out;
  const std::string names = f.run("hold --set parking.shade=nothing").err;
  const std::size_t at = names.find("there are: ");
  REQUIRE(at != std::string::npos);
  std::istringstream list(names.substr(at + 11, names.find('\n', at) - at - 11));
  int shades = 0;
  for (std::string name; std::getline(list, name, ',');) {
    name.erase(0, name.find_first_not_of(' '));
    CHECK_THAT(shade, contains("  " + name + " "));
    ++shades;
  }
  CHECK(shades >= 5);
}

TEST_CASE("help: a new scenario by a customer's words reads back as they were said", "[cli][new]") {
  const Folder f;
  const struct {
    const char *words, *key, *value;
  } cases[] = {{"--name 'Blue van'", "name", "Blue van"},
               {"--body box-body", "vehicle.body", "box-body"},
               {"--vehicle trailer", "vehicle.body", "trailer"},
               {"--insulation very-good", "vehicle.insulation", "very-good"},
               {"--colour black", "vehicle.paint", "black"},
               {"--color silver", "vehicle.paint", "silver"},
               {"--windows 3", "vehicle.side_windows", "3"},
               {"--cover thermal-mat", "vehicle.cover", "thermal-mat"},
               {"--people 1", "person[0].count", "1"},
               {"--pet 'cat 4 kg'", "pet[0].species", "cat"},
               {"--pet 'cat 4 kg'", "pet[0].mass", "4 kg"},
               {"--unit generic-2600-48v", "unit.model", "generic-2600-48v"},
               {"--set-point '75 degF'", "unit.set_point", "75 degF"},
               {"--battery '5 kWh'", "battery.capacity", "5 kWh"},
               {"--panels '400 W'", "panels.power", "400 W"},
               {"--shore-charger '1 kW'", "shore.charger", "1 kW"},
               {"--town miami", "weather.file", "miami"},
               {"--shade tree", "parking.shade", "tree"},
               {"--shade tree --shade-hours 12:00-20:00", "parking.shade_hours", "12:00-20:00"},
               {"--limit '78 degF'", "night.limit", "78 degF"},
               {"--from 06-01", "night.from", "06-01"},
               {"--set parking.ground=grass", "parking.ground", "grass"}};
  for (const auto& c : cases) {
    INFO(c.words);
    const Run made = f.run(std::string("new --force -o x.toml ") + c.words);
    REQUIRE(made.status == 0);
    const std::string all = f.run("show scenario x.toml").out;
    const std::size_t at = ("\n" + all).find(std::string("\n") + c.key + " = " + c.value + "   (");
    CHECK(at != std::string::npos);
    // Nothing else is set.
    int set = 0;
    for (std::size_t i = all.find("x.toml:"); i != std::string::npos;
         i = all.find("x.toml:", i + 1))
      ++set;
    const std::string words = c.words;
    CHECK(set == (words.find("--pet") != words.npos || words.find("hours") != words.npos ? 2 : 1));
  }
  for (const auto& [words, part] : {std::pair("--body medum-van", "did you mean 'medium-van'"),
                                    {"--colour whit", "did you mean 'white'"},
                                    {"--windows many", "is not a number"},
                                    {"--panels 400", "has no unit"},
                                    {"--town tuscon", "did you mean 'tucson'"},
                                    {"--shade tre", "did you mean 'tree'"},
                                    {"--boddy trailer", "did you mean '--body'"},
                                    {"--body trailer --vehicle trailer", "excludes"}}) {
    const Run r = f.run(std::string("new -o y.toml ") + words);
    INFO(words << r.err);
    CHECK(r.status == 2);
    CHECK_THAT(r.err, contains(part));
    CHECK_FALSE(std::filesystem::exists(f.path() / "y.toml"));
  }
  CHECK(f.run("new -o x.toml").status == 3);
}
