// SPDX-License-Identifier: Apache-2.0
#include <array>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>

#include "support/catch.hpp"
#include "support/scenario_text.hpp"

namespace core = cabinload::core;
namespace fs = std::filesystem;
namespace scenario = cabinload::scenario;
using cabinload::test::contains;
using cabinload::test::read_text;
using cabinload::test::refusal;

namespace {

bool warned(const scenario::Scenario& s, const char* part) {
  for (const auto& w : s.warnings)
    if (w.find(part) != std::string::npos) return true;
  return false;
}

}  // namespace

TEST_CASE("scenario: a kind that no line names is told", "[scenario][unit]") {
  const auto pet = [](const std::string& species) {
    return read_text("[[pet]]\nspecies = \"" + species + "\"\nmass = \"1 kg\"\n");
  };
  CHECK(warned(pet("goldfish"), "ask a veterinarian"));
  CHECK_FALSE(warned(pet("cat"), "veterinarian"));
}

TEST_CASE("scenario: the built-in one is whole and every default says where it comes from",
          "[scenario][property]") {
  const auto s = scenario::read("", {});
  CHECK(s.vehicle.body == "medium-van");
  CHECK(s.people.size() == 1);
  CHECK(s.people[0].count == 2);
  CHECK(s.weather.file == "tucson");
  CHECK_WITHIN(core::to_celsius(s.night.T_limit_K), 25, 1e-9);
  CHECK(s.warnings.empty());
  CHECK(s.entries.size() > 60);
  for (const auto& e : s.entries) {
    INFO(e.key);
    CHECK_FALSE(e.about.empty());
    CHECK(e.origin == "default");
  }
}

TEST_CASE("scenario: the step divides every time of day", "[scenario][unit]") {
  const auto steps = [](const std::string& text) {
    const auto s = read_text(text);
    return std::array{s.step_s, s.idle_step_s, s.day_step_s};
  };
  CHECK(steps("") == std::array{120.0, 300.0, 600.0});
  CHECK(steps("[unit]\non = \"20:50-07:00\"\n") == std::array{120.0, 300.0, 600.0});
  CHECK(steps("[unit]\non = \"20:45-07:00\"\n") == std::array{100.0, 300.0, 300.0});
  CHECK(steps("[unit]\non = \"20:42-07:00\"\n") == std::array{60.0, 60.0, 60.0});
  CHECK(steps("[night]\npull_down_allowance = \"25 min\"\n") == std::array{100.0, 300.0, 300.0});
  CHECK(steps("[night]\nsleep = \"22:00-7:03\"\n") == std::array{60.0, 60.0, 60.0});
  CHECK(steps("[night]\npull_down_allowance = \"0.5 min\"\n") == std::array{60.0, 60.0, 60.0});
  CHECK(steps("[battery]\nfull_at = \"17:55\"\n") == std::array{100.0, 300.0, 300.0});
  CHECK(steps("[air]\nfresh_air = \"07:04 25 m3/h, 18:00 10 m3/h\"\n") ==
        std::array{60.0, 60.0, 60.0});
  CHECK(steps("name = \"Luke 9:41\"\n") == std::array{120.0, 300.0, 600.0});
  CHECK(steps("[fan]\nflow = \"300 m3/h\"\n") == std::array{60.0, 60.0, 60.0});  // a thermostat
  CHECK(steps("[run]\nstep = \"30 s\"\n") == std::array{30.0, 300.0, 600.0});
  CHECK(steps("[run]\nstep = \"120 s\"\n[unit]\non = \"21:05-07:00\"\n") ==
        std::array{120.0, 120.0, 120.0});
}

TEST_CASE("scenario: ten lines are enough", "[scenario][unit]") {
  const auto s =
      scenario::read(std::string(CABINLOAD_SOURCE_DIR) + "/tests/data/scenario/weekend.toml", {});
  CHECK(s.name == "Weekend van");
  CHECK(s.vehicle.body == "long-van");
  CHECK_WITHIN(s.supply.bank.nominal_energy_J, 5.0 * 3.6e6, 1e-3);
  CHECK_WITHIN(s.night.T_limit_K, 299.261, 0.001);
  CHECK(s.pets.size() == 1);
  CHECK_WITHIN(s.pets[0].mass_kg, 22, 1e-9);
  CHECK(s.vehicle.windows[0].inside_cover.side == cabinload::vehicle::CoverSide::inside);
}

TEST_CASE("scenario: what is written out reads back the same", "[scenario][property]") {
  const std::string own =
      "[vehicle]\npaint = \"black\"\n[[surface]]\nname = \"roof\"\npart = \"roof\"\narea = \"5 "
      "m2\"\nlayers = [{material = \"steel\", thickness = \"0.8 mm\"}, {material = \"own foam\", "
      "thickness = \"20 mm\", conductivity = \"0.04 "
      "W/(m K)\", density = \"30 kg/m3\", specific_heat = \"1400 J/(kg K)\"}]\n[[window]]\nazimuth "
      "= \"90 "
      "degree\"\narea = \"0.4 m2\"\n[[pet]]\nmass = \"44 lb\"\n[[appliance]]\nname = "
      "\"lamp\"\npower = \"10 W\"\non "
      "= \"20:00-22:00\"\n";
  const auto file = [](const char* path) {
    std::ifstream in(std::string(CABINLOAD_SOURCE_DIR) + "/tests/data/" + path);
    return std::string(std::istreambuf_iterator<char>(in), {});
  };
  // Tables that are filled in two places: a table of TOML is opened only once.
  const std::string sources = "panels = { power = \"400 W\" }\nshore = { charger = \"1 kW\" }\n";
  for (const std::string& text : {std::string(), sources, own, file("envelope/older/630.toml"),
                                  file("envelope/y2020/660.toml"), file("rooms/11.toml")}) {
    const auto first = read_text(text);
    const std::string toml = scenario::effective_toml(first);
    const auto second = read_text(toml);
    REQUIRE(first.entries.size() == second.entries.size());
    for (std::size_t i = 0; i < first.entries.size(); ++i) {
      CHECK(first.entries[i].key == second.entries[i].key);
      CHECK(first.entries[i].value == second.entries[i].value);
    }
    CHECK_RELATIVE(first.vehicle.volume_m3, second.vehicle.volume_m3, 1e-9);
    CHECK_RELATIVE(first.vehicle.leakage_area_m2, second.vehicle.leakage_area_m2, 1e-9);
    CHECK(first.vehicle.surfaces.size() == second.vehicle.surfaces.size());
  }
}

TEST_CASE("scenario: a table that stands alone is there", "[scenario][unit]") {
  for (const char* text : {"[[pet]]\n", "[pet]\n", "pet = {}\n", "[[pet]]\nspecies = \"dog\"\n"}) {
    INFO(text);
    const auto s = read_text(text);
    REQUIRE(s.pets.size() == 1);
    CHECK(s.pets[0].mass_kg == 20);
    CHECK(s.people.size() == 1);  // the others keep their defaults
  }
  CHECK(read_text("[[pet]]\n[[pet]]\n").pets.size() == 2);
  CHECK(read_text("[shore]\n").supply.shore);
  CHECK_FALSE(read_text("[battery]\n").supply.panels);
  CHECK_THAT(refusal("[panels]\n"), contains("panels.power") && contains("a power or an area"));
  CHECK_THAT(refusal("[shores]\n"),
             contains(":1:1: error: shores") && contains("not known") && contains("'shore'"));
  // A single [measured] is the first of [[measured]].
  const std::string point =
      "capacity = \"1800 W\"\npower = \"600 W\"\ncondenser = \"35 degC\"\nwet_bulb = \"19.4 "
      "degC\"\n";
  CHECK(read_text("[measured]\n" + point).unit.points.size() == 1);
}

TEST_CASE("scenario: the commented start reads back and keeps what was asked",
          "[scenario][property]") {
  const std::string text = scenario::commented_toml({{"vehicle.body", "trailer", "--vehicle"},
                                                     {"battery.capacity", "5 kWh", "--battery"},
                                                     {"panels.power", "400 W", "--panels"},
                                                     {"driving.hours", "09:00-11:00", "--set"},
                                                     {"driving.speed", "70 km/h", "--set"}});
  CHECK_THAT(text, contains("\nbody = \"trailer\""));
  CHECK_THAT(text, contains("#limit = \"25 degC\""));
  const auto s = read_text(text);
  CHECK(s.vehicle.body == "trailer");
  CHECK_WITHIN(s.supply.bank.nominal_energy_J, 1.8e7, 1e-3);
  std::string all = text;  // with every comment mark in front of a key taken away it still reads
  for (std::size_t at = 0; (at = all.find("\n#", at)) != std::string::npos;) {
    if (all[at + 2] != ' ') all.erase(at + 1, 1);
    ++at;
  }
  const auto everything = read_text(all);
  CHECK(everything.pets.size() == 1);
  CHECK(everything.appliances.size() == 1);
  CHECK(everything.supply.panels.has_value());
  CHECK(everything.supply.alternator.has_value());
  CHECK(everything.supply.shore.has_value());
  CHECK(s.pets.empty());  // nothing but the marks holds them back
  CHECK_FALSE(s.supply.alternator.has_value());
}

TEST_CASE("scenario: a key whose table's header is still commented out is told so",
          "[scenario][unit]") {
  const std::string start = scenario::commented_toml({});
  const auto without_mark = [&](const std::string& table, const std::string& key) {
    std::string text = start;
    const std::size_t at = text.find("\n#" + key + " = ", text.find("\n#" + table + "\n"));
    REQUIRE(at != std::string::npos);
    return text.erase(at + 1, 1);
  };
  for (const auto& [table, key] : {std::pair{"[[pet]]", "mass"},
                                   {"[panels]", "power"},
                                   {"[alternator]", "current"},
                                   {"[shore]", "charger"},
                                   {"[[appliance]]", "power"}}) {
    const std::string said = refusal(without_mark(table, key));
    INFO(said);
    CHECK_THAT(said, contains("this key is not known") && contains(std::string("hint: ") + table +
                                                                   " above it is still commented "
                                                                   "out: take away its # too"));
  }
  const std::string text = without_mark("[alternator]", "current");
  CHECK(text.find("driving.hours") > text.find("#[alternator]"));
  CHECK_THAT(refusal("[night]\nlimit = \"25 degC\"\n# [fan]\nlimit = \"24 degC\"\n"),
             contains(":4:") && contains("hint: [fan] above it is still commented out"));
  // A key that both tables have is read, and told.
  const auto s = read_text("[panels]\npower = \"100 W\"\n#[alternator]\nefficiency = 0.3\n");
  REQUIRE(s.warnings.size() == 1);
  CHECK_THAT(s.warnings[0], contains(":4: panels.efficiency: is read as a key of [panels]; "
                                     "[alternator] above it is still commented out"));
  // What is no header, and what another table follows, is not.
  CHECK(read_text("#[see the manual]\n[panels]\n#[1]\npower = \"100 W\"\n").warnings.empty());
}

TEST_CASE("scenario: overrides win over the file and name their flag", "[scenario][unit]") {
  const auto s =
      read_text("[unit]\nset_point = \"22 degC\"\n[[person]]\ncount = 1\n",
                {{"unit.set_point", "75 degF", "--set-point"}, {"person.count", "3", "--people"}});
  CHECK_WITHIN(s.unit_settings.T_set_K, 297.0389, 1e-3);
  CHECK(s.people[0].count == 3);
  try {
    (void)scenario::read("", {{"battery.capacity", "5 kg", "--battery"}});
    FAIL("accepted");
  } catch (const core::InputError& e) {
    CHECK_THAT(
        e.what(),
        contains("command line: error: --battery (battery.capacity): '5 kg' is not an energy"));
  }
}

TEST_CASE("scenario: all problems come together, with line, column, key, value and remedy",
          "[scenario][unit]") {
  const std::string text =
      "[vehicle]\nbdy = \"medium-van\"\nleakage_area = \"30 kWh\"\n[night]\nlimit = \"warm\"\n";
  try {
    (void)read_text(text);
    FAIL("accepted");
  } catch (const core::InputError& e) {
    REQUIRE(e.problems().size() == 3);
    CHECK(e.problems()[0].line == 2);
    CHECK_THAT(e.problems()[0].hint, contains("did you mean 'vehicle.body'"));
    CHECK(e.problems()[1].key == "vehicle.leakage_area");
    CHECK_THAT(e.problems()[1].what, contains("'30 kWh' is not an area"));
    CHECK(e.problems()[2].line == 5);
    CHECK_THAT(e.problems()[2].what, contains("78 degF"));
  }
}

TEST_CASE("scenario: bad input is refused by name", "[scenario][unit]") {
  const struct {
    const char* toml;
    const char* part;
  } cases[] = {
      {"[vehicel]\nbody = \"trailer\"\n", "did you mean 'vehicle.body'"},
      {"[vehicle]\nbody = \"medium-vam\"\n", "did you mean 'medium-van'"},
      {"[vehicle]\nlength = \"-3 m\"\n", "out of range"},
      {"[vehicle]\nlength = 4\n", "has no unit"},
      {"[vehicle]\nleakage_area = \"nan m2\"\n", "not a finite number"},
      {"[vehicle]\nheading = \"SSW\"\n", "SSW"},
      {"[vehicle]\ncover_hours = \"22\"\n", "22:00-07:00"},
      {"[vehicle]\nside_windows = 40\n", "from 0 to 20"},
      {"[unit]\nmodel = \"generic-2000\"\n", "did you mean"},
      {"[unit]\nset_point = \"300 degC\"\n", "out of range"},
      {"[unit]\nfan_always = \"yes\"\n", "true or false"},
      {"[unit]\nsensible_ratio = 0.4\n", "no apparatus dew point"},
      {"[battery]\ncut_off = 0.95\n", "out of range"},
      {"[battery]\nfull_at = \"noon\"\n", "22:00-07:00"},
      {"[battery]\nstart = 0.05\n", "within the usable window"},
      {"[night]\nsleep = \"22:00-07:00, 12:00-13:00\"\n", "one span of hours"},
      {"[night]\nfrom = \"31 June\"\n", "is not a date"},
      {"[weather]\nlow = \"20 degC\"\n", "needs its high"},
      {"[weather]\nhigh = \"20 degC\"\nlow = \"30 degC\"\n", "low is above the high"},
      {"[weather]\nhigh = \"30 degC\"\ndew_point = \"33 degC\"\n", "dew point is above"},
      {"[weather]\nhigh = \"30 degC\"\nsky = \"grey\"\n", "there are: clear, cloudy"},
      {"[run]\nstep = \"7 s\"\n", "divide 600 s"},
      {"[[person]]\ncount = 1.5\n", "whole number"},
      {"[[person]]\ncount = -1\n", "whole number"},
      {"[[pet]]\nmass = \"0 kg\"\n", "out of range"},
      {"[[surface]]\nname = \"roof\"\n", "an area is needed"},
      {"[[surface]]\narea = \"-1 m2\"\n", "out of range"},
      {"[[surface]]\narea = \"2 m2\"\n", "at least one layer"},
      {"[[surface]]\narea = \"2 m2\"\nlayers = [{material = \"steal\", thickness = \"1 mm\"}]\n",
       "did you mean 'steel'"},
      {"[[surface]]\narea = \"2 m2\"\nlayers = [{material = \"steel\", thickness = \"0 mm\"}]\n",
       "out of range"},
      {"[[surface]]\narea = \"2 m2\"\nlayers = [{material = \"steel\"}]\n", "needs a thickness"},
      {"[[surface]]\narea = \"2 m2\"\ntilt = \"200 degree\"\nlayers = [{material = \"steel\", "
       "thickness = \"1 mm\"}]\n",
       "out of range"},
      {"[[surface]]\narea = \"0.3 m2\"\nlayers = [{material = \"steel\", thickness = \"1 "
       "mm\"}]\n[[window]]\narea = \"0.4 m2\"\n",
       "windows are larger than the wall"},
      {"[[surface]]\narea = \"2 m2\"\nframing_fraction = 0.1\nlayers = [{material = \"steel\", "
       "thickness = \"1 mm\"}]\n",
       "layers of the ribs"},
      {"[[window]]\ntype = \"side-glass\"\n", "an area is needed"},
      {"[[window]]\narea = \"0.3 m2\"\nazimuth = \"90 degree\"\nsolar_transmittance = "
       "0.9\nsolar_absorptance = 0.3\n",
       "transmittance plus absorptance"},
      {"[vehicle\n", "case.toml:1"},
      {"[vehicle]\nbody = \"a\"\nbody = \"b\"\n", "case.toml:3"},
      {"a = 07:30:00\n", "write texts in quotes"},
  };
  for (const auto& c : cases) {
    INFO(c.toml);
    CHECK_THAT(refusal(c.toml), contains(c.part));
  }
}

TEST_CASE("scenario: files that are not there or are folders", "[scenario][unit]") {
  CHECK_THROWS_AS(scenario::read("no-such.toml", {}), core::IoError);
  CHECK_THROWS_WITH(scenario::read(fs::temp_directory_path().string(), {}),
                    contains("this is a directory"));
}

TEST_CASE("scenario: odd but possible input is warned of", "[scenario][unit]") {
  CHECK(warned(read_text("[unit]\nset_point = \"27 degC\"\n"), "above the limit"));
  CHECK(
      warned(read_text("[unit]\non = \"21:00-02:00\"\n"), "off at 02:00 within the sleep window"));
  CHECK(warned(read_text("[unit]\nset_point = \"15 degC\"\n"), "colder than people sleep"));
  CHECK(warned(read_text("[[person]]\nasleep_met = 3\n"), "working, not asleep"));
  CHECK(warned(read_text("[[person]]\ncount = 0\n"), "nobody is in the cabin"));
  CHECK(warned(read_text("[battery]\ncapacity = \"0.2 kWh\"\n"), "smaller than 0.3 kWh"));
  CHECK(warned(read_text("[unit]\npower = \"250 W\"\n"), "COP of 8.0"));
  CHECK(warned(read_text("[vehicle]\nleakage_area = \"900 cm2\"\n"), "times an hour"));
  CHECK(warned(read_text("[air]\nfresh_air = \"0 m3/h\"\n"), "use up the air"));
}

TEST_CASE("scenario: every prefix of a file is read or refused, never a crash",
          "[scenario][property]") {
  std::ifstream in(std::string(CABINLOAD_SOURCE_DIR) + "/tests/data/scenario/weekend.toml");
  const std::string text((std::istreambuf_iterator<char>(in)), {});
  for (std::size_t n = 0; n < text.size(); n += 3) {
    try {
      (void)read_text(text.substr(0, n));
    } catch (const core::Error& e) {
      CHECK_FALSE(std::string(e.what()).empty());
    }
  }
}

TEST_CASE("scenario: extreme and typed days", "[scenario][unit]") {
  const auto extreme = read_text("[weather]\nfile = \"extreme-hot-dry\"\n");
  REQUIRE(extreme.weather.day);
  CHECK_WITHIN(core::to_celsius(extreme.weather.day->T_high_K), 49, 1e-9);
  const auto typed =
      read_text("[weather]\nhigh = \"100 degF\"\nlatitude = \"33 degree\"\ndate = \"07-04\"\n");
  REQUIRE(typed.weather.day);
  CHECK_WITHIN(typed.weather.day->T_high_K - typed.weather.day->T_low_K, 12, 1e-9);
  CHECK(typed.weather.day->date == core::Date{7, 4});
}
