// SPDX-License-Identifier: Apache-2.0
#include <cmath>

#include "cli/program_run.hpp"

namespace fs = std::filesystem;

namespace {

/// Few days are enough: the hottest of them is found all the same.
const std::string kDays = " --from 07-14 --to 07-15 ";

Json json_of(const std::string& arguments, int status = 0) {
  const Folder f;
  const Json j = f.json(arguments, status);
  CHECK(file_text(f.path() / ".err").empty());
  return j;
}

std::string crowded() {
  return "'" + std::string(CABINLOAD_SOURCE_DIR) + "/tests/data/roof/crowded.toml'";
}

/// Nothing stands after the last caution.
void check_last(const std::string& text, const std::string& end) {
  REQUIRE(text.size() > end.size());
  CHECK(text.substr(text.size() - end.size()) == end);
}

}  // namespace

TEST_CASE("cli: wire says what each voltage takes, first", "[cli][unit]") {
  const Run r = Folder().run("wire" + kDays);
  CHECK(r.status == 0);
  CHECK(r.err.empty());
  CHECK(r.out.rfind("At 24 V, the unit's voltage: ", 0) == 0);
  CHECK_THAT(r.out, contains("at 48 V 8 AWG") && contains("Rules of the NEC") &&
                        contains("Rules of ABYC E-11 and ISO 13297") &&
                        contains("Common practice, no published source") && contains("cabin air") &&
                        contains("15 July"));
  check_last(r.out, "figures say.\n");
}

TEST_CASE("cli: wire's demo figures stay where they are", "[cli][golden]") {
  // Of this version, over the year. They change only in a commit that says why.
  const auto j = json_of("wire");
  CHECK_WITHIN(j["hottest_degC"]["roof_cavity"].get<double>(), 59.9, 0.3);
  CHECK_WITHIN(j["hottest_degC"]["roof_surface"].get<double>(), 67.0, 0.5);
  CHECK_RELATIVE(j["power_W"].get<double>(), 1055, 0.01);
  CHECK(j["ambient_from"] == "simulated");
  CHECK(j["unit_volts"] == 24);
  const char* awg[] = {"1/0", "4", "8"};
  const double fuse_A[] = {110, 60, 30};
  for (std::size_t i = 0; i < 3; ++i) {
    const auto& run = j["runs"][i];
    CHECK(run["awg"] == awg[i]);
    CHECK(run["fuse_A"] == fuse_A[i]);
    CHECK(run["ambient_degC"] == j["ambient_degC"]);
    CHECK(run["drop_percent"].get<double>() <= 3);
    CHECK(run["fuse_A"].get<double>() >= run["design_current_A"].get<double>());
    CHECK(run["fuse_A"].get<double>() <= run["ampacity_A"].get<double>());
  }
  CHECK(j["balance"]["residual_relative"].get<double>() < 1e-9);
}

TEST_CASE("cli: wire's ambient is that of the vehicle and of the place", "[cli][unit]") {
  const auto degC = [](const std::string& more) {
    return json_of("wire" + kDays + more)["ambient_degC"].get<double>();
  };
  const double white = degC(""), black = degC("--paint black");
  CHECK(black > white + 8);  // a dark roof in the sun
  // Outdoors at its hottest, and the difference that is stated.
  const double outdoors = json_of("wire" + kDays)["hottest_degC"]["outdoors"].get<double>();
  const std::string bay = "--place engine-bay --set cable.insulation='105 degC' ";
  CHECK_WITHIN(degC(bay), outdoors + 40, 0.1);
  CHECK_WITHIN(degC(bay + "--set cable.engine_bay_difference='25 K'"), outdoors + 25, 0.1);
  CHECK(degC("--place cabin") ==
        std::ceil(10 * json_of("wire" + kDays)["hottest_degC"]["cabin_air"].get<double>()) / 10);
  CHECK(degC("--weather golden") < white - 3);
  CHECK(degC("--set cable.ambient='40 degC'") == 40);
  // Eight headings: at least as hot as any one of them.
  CHECK(degC("--set vehicle.heading=worst --place cabin") >= degC("--place cabin") - 1e-9);
}

TEST_CASE("cli: wire at 12 V that nobody can route is status 1 and says what to do",
          "[cli][unit]") {
  const std::string big = "wire" + kDays + "--set cable.power='3 kW' ";
  const Run r = Folder().run(big + "--unit generic-1500-12v");
  CHECK(r.status == 1);
  CHECK(r.out.rfind("At 12 V, the unit's voltage: ", 0) == 0);
  CHECK_THAT(r.out, contains("which\nnobody can route") || contains("nobody can route"));
  CHECK_THAT(r.out, contains("thicker than anyone routes"));
  CHECK(json_of(big + "--unit generic-1500-12v", 1)["runs"][0]["routable"] == false);
  CHECK(json_of(big + "--unit generic-2600-48v")["met"] == true);
}

TEST_CASE("cli: wire warns of a cable longer than the vehicle", "[cli][unit]") {
  const Run r = Folder().run("wire --length '9 m'" + kDays);
  CHECK_THAT(r.out, contains("9 m one way is longer than the vehicle of 4.3 m"));
}

TEST_CASE("cli: wire and roof fit 80 columns in both unit systems", "[cli][unit]") {
  const Folder f;
  for (const std::string& arguments :
       {"wire" + kDays, "wire --units us" + kDays,
        "wire --set cable.power='3 kW' --set cable.short_circuit='8 kA' --length '30 ft'" + kDays,
        "wire --place engine-bay --set cable.insulation='105 degC' --units us" + kDays,
        std::string("roof"), std::string("roof --units us"), "roof " + crowded(),
        "roof --ascii --units us " + crowded()}) {
    INFO(arguments);
    const Run r = f.run(arguments);
    CHECK((r.status == 0 || r.status == 1));
    CHECK_FALSE(r.out.empty());
    check_width(r.out);
  }
  CHECK(f.run("roof --ascii").out.find("┌") == std::string::npos);
}

TEST_CASE("cli: help of wire and roof has two examples that run", "[cli][unit]") {
  const Folder f;
  for (const char* command : {"wire", "roof"}) {
    const std::string help = f.run(std::string(command) + " --help").out;
    const std::string start = std::string("  cabinload ") + command + " ";
    std::size_t examples = 0;
    for (std::size_t at = help.find("Examples\n"); (at = help.find(start, at)) != std::string::npos;
         ++at, ++examples)
      if (help.find("my-van", at) > help.find('\n', at)) {
        std::string example = help.substr(at + 12, help.find('\n', at) - at - 12);
        INFO(example);
        CHECK(f.run(example).status == 0);
      }
    CHECK(examples == 2);
    const std::size_t words =
        help.find(command == std::string("wire") ? "Conductor, voltage" : "What stands");
    REQUIRE(words != std::string::npos);
    check_width(help.substr(words));
  }
}

TEST_CASE("cli: roof says first whether it fits", "[cli][unit]") {
  const Folder f;
  const Run good = f.run("roof");
  CHECK(good.status == 0);
  CHECK(good.err.empty());
  CHECK(good.out.rfind("It fits: 2.77 m overall, 0.28 m below 3.05 m (a 10 ft garage); 5 panels",
                       0) == 0);
  CHECK_THAT(good.out, contains("1 unit 0.95 x 0.70 m") && contains("1 column = 5 cm"));
  check_last(good.out, "a drawing has seen it.\n");
  const Run bad = f.run("roof " + crowded());
  CHECK(bad.status == 1);
  CHECK(bad.out.rfind("It does not fit: ", 0) == 0);
  CHECK_THAT(bad.out, contains("'cooling unit' and 'vent over the bed' overlap") &&
                          contains("cuts the rib at 0.90 m") && contains("3.20 m overall"));
}

TEST_CASE("cli: roof in JSON has the figures of the text", "[cli][unit]") {
  const auto j = json_of("roof");
  CHECK(j["fits"] == true);
  CHECK_WITHIN(j["overall_height_m"].get<double>(), 2.77, 1e-9);
  CHECK(j["panel_W"] == 500);
  CHECK_WITHIN(j["clearances_m"]["unit"]["front"].get<double>(), 0.1, 1e-9);
  // Roof less margins less the unit, by hand: (3.1 - 0.2) (1.75 - 0.2) - 0.95 x 0.70.
  CHECK_WITHIN(j["panel_area_left_m2"].get<double>(), 2.9 * 1.55 - 0.95 * 0.7, 1e-6);
  const auto bad = json_of("roof " + crowded(), 1);
  CHECK(bad["fits"] == false);
  CHECK(bad["findings"]["ribs_cut"][0]["rib_m"] == 0.9);
  CHECK(bad["findings"]["overlaps"].size() == 1);
  CHECK_WITHIN(bad["clearances_m"]["box"]["left"].get<double>(), -0.1, 1e-9);
}

TEST_CASE("cli: the drawing is kept as SVG and not overwritten", "[cli][unit]") {
  const Folder f;
  const Run first = f.run("roof -o roof.svg");
  CHECK(first.status == 0);
  CHECK_THAT(first.err, contains("written: roof.svg"));
  CHECK(f.files() == 1);
  const std::string svg = file_text(f.path() / "roof.svg");
  CHECK_THAT(svg, contains("<svg") && contains("</svg>"));
  f.put("roof.svg", "mine");
  const Run again = f.run("roof -o roof.svg");
  CHECK(again.status == 3);
  CHECK_THAT(again.err, contains("exists already") && contains("--force"));
  CHECK(file_text(f.path() / "roof.svg") == "mine");
  CHECK(f.run("roof -o roof.svg --force -q").err.empty());
  CHECK(file_text(f.path() / "roof.svg") == svg);
  CHECK(f.run("roof -o no/such/roof.svg").status == 3);
  const Run wrong = f.run("roof -o roof.h5");
  CHECK(wrong.status == 2);
  CHECK_THAT(wrong.err, contains("'roof.h5' must end in .svg"));
  CHECK(f.files() == 1);
}

TEST_CASE("cli: no option and no format takes the cautions of wire and roof away", "[cli][unit]") {
  const Folder f;
  for (const char* form : {"-q", "--json -q", "--units us -q", "--quiet --json"}) {
    INFO(form);
    CHECK_THAT(f.run("wire" + kDays + form).out,
               contains("A battery cannot be switched off") && contains("has its fuse at the") &&
                   contains("explosive hydrogen") && contains("licensed"));
    CHECK_THAT(f.run(std::string("roof ") + form).out, contains("leaks until it is sealed") &&
                                                           contains("Ribs carry the roof") &&
                                                           contains("licensed"));
  }
  for (const char* command : {"wire", "roof"}) {
    const auto j = json_of(command + kDays);
    CHECK(j["cautions"].size() >= 5);
  }
}

TEST_CASE("cli: bad cables and roofs are status 2 with file, line, key and remedy", "[cli][unit]") {
  const Folder f;
  f.put("bare.toml", "[cable]\nfuse = false\n");
  f.put("hot.toml", "[vehicle]\npaint = \"black\"\n[cable]\ninsulation = \"60 degC\"\n");
  f.put("panel.toml", "[roof]\npanel_width = \"3 m\"\npanel_length = \"4 m\"\n");
  f.put("twice.toml",
        "[[roof_item]]\nname = \"a\"\n[[roof_item]]\nname = \"a\"\nkind = \"unit\"\n");
  const std::string hot = "wire hot.toml" + kDays;
  const struct {
    std::string arguments;
    const char *where, *part;
  } cases[] = {
      {"wire bare.toml", "bare.toml:2:8: error: cable.fuse", "unprotected"},
      {hot, "hot.toml:4: error: cable.insulation", "above 55 degC"},
      {hot, "unit off and the vehicle closed", "insulation rated 105 degC"},
      {"roof panel.toml", "panel.toml:3:16: error: roof.panel_length", "larger than the roof"},
      {"roof twice.toml", "twice.toml:4:8: error: roof_item[1].name: 'a'", "unlike all others"},
      {"wire --length 5", "--length (cable.length): '5' has no unit", "3.2 m"},
      {"wire --place attic", "--place (cable.place): 'attic'", "roof-cavity, cabin, engine-bay"},
      {"wire --lenght 5", "did you mean '--length'", "hint"},
  };
  for (const auto& c : cases) {
    INFO(c.arguments);
    const Run r = f.run(c.arguments);
    CHECK(r.status == 2);
    CHECK(r.out.empty());
    CHECK_THAT(r.err, contains(c.where) && contains(c.part));
  }
}
