// SPDX-License-Identifier: Apache-2.0
// What a supply does not serve is told; answers speak in the system that was asked for.
#include <regex>

#include "cli/program_run.hpp"

namespace {

/// Cool evenings after hot days: the unit holds the bed on little, the lights use up the battery.
const std::string kDark =
    "name = \"Dark night\"\n"
    "weather = { high = \"33 degC\", low = \"17 degC\", date = \"07-14\" }\n"
    "battery = { capacity = \"0.9 kWh\" }\n"
    "[[appliance]]\nname = \"lights\"\npower = \"60 W\"\non = \"18:00-08:00\"\n";

Json night_of(const Folder& f, const std::string& arguments) {
  return f.json("hold dark.toml " + arguments)["each_night"][0];
}

}  // namespace

TEST_CASE("cli: a night with a cool bed and dark loads is not held, and says so (#6)",
          "[cli][unit]") {
  const Folder f;
  f.put("dark.toml", kDark);
  const Run r = f.run("hold dark.toml");
  CHECK(r.status == 1);
  CHECK_THAT(r.out, contains("Not held: the bed stays at or below 25.0 °C, but other loads went "
                             "dark") &&
                        contains("Dark night: medium-van") && contains("note: loads: on 1 of 1") &&
                        contains("such a night is not held, however cool the bed"));
  const auto n = night_of(f, "");
  CHECK(n["held"] == false);
  CHECK(n["why"] == "battery");
  CHECK(n["limit_shares"]["battery"] == 1.0);
  CHECK(n["minutes_above"] == 0);
  const double asleep_Wh = n["unserved_asleep_Wh"];
  CHECK(asleep_Wh > 20);
  CHECK(asleep_Wh < n["unserved_Wh"].get<double>());
  // A battery that large serves them: held, and nothing is said.
  const Run ample = f.run("hold dark.toml --battery '3 kWh'");
  CHECK(ample.status == 0);
  CHECK_THAT(ample.out, !contains("note: loads"));
  // The help says the same.
  CHECK_THAT(f.run("hold --help").out, contains("go dark is lost"));
}

TEST_CASE("cli: what would have held a dark night is a battery, not a larger unit (#6)",
          "[cli][unit]") {
  const Folder f;
  f.put("dark.toml", kDark);
  const Run r = f.run("hold dark.toml");
  CHECK_THAT(r.out, contains("kWh battery would have held it") && !contains("unit would have"));
}

TEST_CASE("cli: a battery too hot or too cold to give is told by hold, not only by runtime (#6)",
          "[cli][unit]") {
  const Folder f;
  f.put("hot.toml",
        "weather = { high = \"43 degC\", low = \"30 degC\", date = \"07-14\" }\n"
        "vehicle = { paint = \"black\" }\nbattery = { capacity = \"2.4 kWh\" }\n"
        "[[appliance]]\nname = \"refrigerator\"\npower = \"45 W\"\n");
  const Run hot = f.run("hold hot.toml");
  CHECK_THAT(hot.out, contains("cells were too hot to give what was asked, up to") &&
                          contains("nothing at all") && contains("note: loads: on 1 of 1"));
  const auto j = f.json("hold hot.toml");
  CHECK(j["each_night"][0]["battery_temperature_hours"].get<double>() > 1);
  const Run runtime = f.run("runtime hot.toml --at '07-14 15:00'");
  CHECK_THAT(runtime.out, contains("cells were too hot to give what was asked"));
  const auto r = f.json("runtime hot.toml --at '07-14 15:00'");
  CHECK(r["unserved_Wh"].get<double>() > 1);
}

TEST_CASE("cli: runtime says first that there is nothing to cool (#6)", "[cli][unit]") {
  const Folder f;
  const Run r = f.run("runtime --weather sand-point");
  CHECK(r.out.rfind("Nothing to cool in 48 h: the compressor never runs", 0) == 0);
  CHECK(f.run("runtime").out.rfind("Empty at ", 0) == 0);
}

TEST_CASE("cli: a power cap below the least draw is told in the answer (#6)", "[cli][unit]") {
  const Run r = Folder().run("hold --set unit.power_cap='100 W' --from 07-14 --to 07-14");
  CHECK_THAT(r.out, contains("note: unit.power_cap: 100 W is less than the unit draws"));
}

TEST_CASE("cli: the roof's drawing carries the cautions by itself (#6)", "[cli][unit]") {
  const Folder f;
  REQUIRE(f.run("roof -o roof.svg").status <= 1);
  const std::string svg = file_text(f.path() / "roof.svg");
  for (const char* words : {">WARNING: ", ">CAUTION: ", ">NOTICE: ", "licensed"})
    CHECK_THAT(svg, contains(words));
}

TEST_CASE("cli: where nobody can route the cable, other ways are shown (#6)", "[cli][unit]") {
  const Run r = Folder().run("wire --paint black --from 06-15 --to 06-19");
  CHECK(r.status == 1);
  CHECK_THAT(r.out, contains("What would help at 24 V") &&
                        contains("insulation rated 105 degC: ") &&
                        contains("through the cabin (") && contains("Shade over the vehicle"));
  check_width(r.out);
  const Run beyond =
      Folder().run("wire --paint black --from 06-15 --to 06-19 --set cable.insulation='60 degC'");
  CHECK(beyond.status == 2);
  CHECK_THAT(beyond.err, contains("hint: insulation rated 105 degC: ") && contains("AWG at 24 V"));
}

TEST_CASE("cli: text in US units leaves no value in SI (#6)", "[cli][unit]") {
  const Folder f;
  // Beside AWG a standard has square millimetres; electricity stays in watts.
  const std::regex si(
      "[0-9] ?(°C|degC|K|m|cm|mm|m²|m2|cm²|m³|m3|m³/h|m3/h|km/h|m/s|kg|L)($|[ .,:;)\n])");
  for (const char* arguments :
       {"hold --from 07-14 --to 07-15", "load --from 07-14 --to 07-14", "runtime --at 07-14",
        "wire --from 07-14 --to 07-14", "roof", "pets --from 07-14 --to 07-14",
        "size --from 07-14 --to 07-15", "what-helps --from 07-14 --to 07-14", "weather tucson"}) {
    const Run r = f.run(std::string(arguments) + " --units us -q");
    REQUIRE(r.status <= 1);
    std::smatch found;
    const bool any = std::regex_search(r.out, found, si);
    INFO(arguments << ": "
                   << (any ? found.prefix().str().substr(
                                 std::max<std::size_t>(found.prefix().length(), 60) - 60) +
                                 found.str()
                           : ""));
    CHECK_FALSE(any);
    check_width(r.out);
  }
}

TEST_CASE("cli: the rows of load add up to what is printed below them (#6)", "[cli][unit]") {
  for (const char* units : {"si", "us"}) {
    INFO(units);
    const std::string out =
        Folder().run(std::string("load --from 07-10 --to 07-16 -q --units ") + units).out;
    std::istringstream lines(out.substr(out.find("By cause")));
    const std::regex row(
        R"(^  (.{25}) +(-?\d+) (W|BTU/h) .* +(-?\d+) % +(-?[\d.]+) kWh +(-?\d+) %$)");
    long sum_W = 0, sum_tenths = 0, sum_percent = 0, all_W = 0, all_tenths = 0;
    int rows = 0;
    std::string line;
    std::getline(lines, line);
    for (; std::getline(lines, line);) {
      std::smatch m;
      if (!std::regex_match(line, m, row)) break;
      const long W = std::stol(m[2]), tenths = std::lround(10 * std::stod(m[5]));
      if (m[1].str().rfind("all ", 0) == 0) {
        all_W = W;
        all_tenths = tenths;
        break;
      }
      ++rows;
      sum_W += W;
      sum_tenths += tenths;
      sum_percent += std::stol(m[4]);
    }
    CHECK(rows >= 5);
    CHECK(sum_W == all_W);
    CHECK(sum_tenths == all_tenths);
    CHECK(sum_percent == 100);
  }
}

TEST_CASE("cli: in US units the user's own names and file names stay as they are", "[cli][unit]") {
  const Folder f;
  f.put("5 m van.toml",
        "name = \"5 m van, 20 degC\"\n"
        "[[opening]]\nname = \"hatch 3 m\"\narea = \"200 cm2\"\n"
        "[[pet]]\nspecies = \"rabbit 6 kg\"\nmass = \"2 kg\"\n"
        "[[roof_item]]\nkind = \"vent\"\nname = \"vent 40 cm\"\nx = \"1 m\"\ny = \"0.5 m\"\n"
        "length = \"0.5 m\"\nwidth = \"0.5 m\"\n");
  const std::string of = " '5 m van.toml' --units us --from 07-10 --to 07-10";
  using cabinload::test::flowing;
  const std::string pets = flowing(f.run("pets" + of).out), roof = flowing(f.run("roof" + of).out);
  CHECK_THAT(pets, contains("5 m van, 20 degC: ") && contains("'hatch 3 m' of 31 in²") &&
                       contains("'rabbit 6 kg' of 4.41 lb"));
  CHECK_THAT(roof, contains("5 m van, 20 degC: ") && contains("1 vent 'vent 40 cm' "));
  f.run("report -q -o r.html" + of);
  const std::string page = file_text(f.path() / "r.html");
  CHECK_THAT(page, contains("<bdi>5 m van, 20 degC</bdi>"));
  for (const std::string* text : {&pets, &roof, &page})
    CHECK_THAT(*text, !contains("16.4 ft") && !contains("9.84 ft") && !contains("13.2 lb") &&
                          !contains("15.7 in"));
}

TEST_CASE("cli: no such command, no command, a directory: each says what it is (#6)",
          "[cli][unit]") {
  const Folder f;
  const Run nope = f.run("nope");
  CHECK(nope.status == 2);
  CHECK_THAT(nope.err, contains("error: 'nope' is not a command") &&
                           contains("hint: there are: ") && contains("what-helps"));
  const Run near = f.run("hodl");
  CHECK_THAT(near.err, contains("'hodl' is not a command") && contains("did you mean 'hold'?"));
  CHECK_THAT(f.run("").err, contains("a command is needed"));
  const Run folder = f.run("show .");
  CHECK(folder.status == 3);
  CHECK_THAT(folder.err, contains(".: error: this is a directory; show takes a result file"));
}
