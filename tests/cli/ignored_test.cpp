// SPDX-License-Identifier: Apache-2.0
// An option that would be left aside without a word is refused, or told.
#include "cli/program_run.hpp"

TEST_CASE("cli: options that would change nothing are refused", "[cli][unit]") {
  const Folder f;
  f.put("own.toml", "name = \"mine\"\n");
  f.put("lists.toml", "units = [\"generic-2000-24v\"]\n");
  const std::string days = " --from 07-10 --to 07-11";
  REQUIRE(f.run("hold --out kept.h5" + days).status <= 1);
  const std::size_t files = f.files();
  const struct {
    std::string arguments;
    const char* part;
  } cases[] = {
      {"hold --steps 07-10" + days, "--out"},
      {"hold --steps 08-10 --out x.h5" + days, "--steps"},
      {"hold --cycles 08-10" + days, "--cycles"},
      {"show scenario --json", "has no JSON"},
      {"show unit generic-2000-24v --json", "has no JSON"},
      {"show vehicle long-van --json", "has no JSON"},
      {"show unit generic-2000-24v --vehicle long-van", "changes nothing"},
      {"show vehicle long-van --set unit.volts=12", "changes nothing"},
      {"show kept.h5 --battery '3 kWh'", "changes nothing"},
      {"show kept.h5 own.toml", "one name too many"},
      {"compare --lists lists.toml --units-of generic-1500-24v" + days,
       "listed on the command line"},
      {"compare --units-of generic-2000-24v --unit generic-1500-24v" + days, "--unit"},
  };
  for (const auto& c : cases) {
    INFO(c.arguments);
    check_refused(f.run(c.arguments), c.part);
    CHECK(f.files() == files);
  }
  // What does change what is printed is taken.
  CHECK(f.run("show scenario own.toml --battery '3 kWh'").status == 0);
  CHECK(f.run("show unit own.toml --unit generic-1500-24v").status == 0);
  CHECK(f.run("show kept.h5 --units us").status <= 1);
}

TEST_CASE("cli: a weather file that a typed day puts aside is told", "[cli][unit]") {
  const auto warnings = [](const std::string& arguments) {
    return Folder().json("hold " + arguments)["warnings"].dump();
  };
  CHECK_THAT(warnings("--weather miami --high '35 degC'"), contains("'miami' is left aside"));
  CHECK(warnings("--high '35 degC'").find("left aside") == std::string::npos);
  CHECK(warnings("--weather extreme-hot-dry --high '44 degC'").find("left aside") ==
        std::string::npos);
}

TEST_CASE("cli: a word that another command knows is met with what it is here", "[cli][unit]") {
  const Folder f;
  const std::pair<const char*, const char*> cases[] = {
      {"hold --body long-van", "here it is --vehicle"},
      {"hold --colour silver", "here it is --paint"},
      {"size --color silver", "here it is --paint"},
      {"hold --town miami", "here it is --weather"},
      {"pets --windows 3", "here it is --set vehicle.side_windows=VALUE"},
      {"hold --panels '300 W'", "here it is --set panels.power=VALUE"}};
  for (const auto& [arguments, hint] : cases) {
    INFO(arguments);
    const Run r = f.run(arguments);
    CHECK(r.status == 2);
    CHECK_THAT(r.err, contains(hint));
  }
}

TEST_CASE("cli: a bare word is told to stand where a scenario file would", "[cli][unit]") {
  const Run r = Folder().run("pets dog");
  CHECK(r.status == 3);
  CHECK_THAT(r.err, contains("dog: error:") && contains("cabinload new -o my-van.toml"));
}

TEST_CASE("cli: a unit larger than its model is taken by its plate alone", "[cli][unit]") {
  // The model's fan grows with it; without that its coil could not be.
  const Run r =
      Folder().run("hold --high '38 degC' --set 'unit.capacity=2.6 kW' --set 'unit.power=950 W'");
  INFO(r.err);
  CHECK(r.status <= 1);
  CHECK(r.err.empty());
}

TEST_CASE("cli: a climate that is not known is told where it was said", "[cli][bad-input]") {
  const Folder f;
  f.put("van.toml", "name = \"invented\"\nweather.file = \"tuscon\"\n");
  const Run r = f.run("hold van.toml");
  CHECK(r.status == 2);
  CHECK_THAT(r.err, contains("van.toml:2: error: weather.file: 'tuscon' is not known, did you mean "
                             "'tucson'?") &&
                        contains("or a file"));
  f.put("own.toml", "units = \"us\"\nweather = 5\n");
  CHECK_THAT(f.run("hold", "CABINLOAD_CONFIG=own.toml").err, contains("own.toml:2: error:"));
  CHECK_THAT(f.run("hold --weather nowhere").err,
             contains("command line: error: --weather (weather.file)"));
}
