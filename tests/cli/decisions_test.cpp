// SPDX-License-Identifier: Apache-2.0
// size, compare and what-helps: what they say, against `hold`.
#include <cmath>
#include <sstream>

#include "cli/program_run.hpp"

namespace {

const std::string kWeeks = " --from 07-05 --to 07-25 ";

Json json_of(const std::string& arguments, int status = 0) {
  return Folder().json(arguments, status);
}
/// Nights held and needing cooling, by `hold` itself.
std::pair<int, int> held(const std::string& arguments) {
  const Json j = Folder().json("hold " + arguments)["nights"];
  return {j["held"], j["needing_cooling"]};
}
std::string sets(const Json& overrides) {
  std::string text;
  for (const auto& o : overrides) text += " --set '" + o.get<std::string>() + "'";
  return text;
}
const Json& row_of(const Json& j, const std::string& key) {
  for (const auto& r : j["rows"])
    if (r["key"] == key) return r;
  FAIL("no row " << key);
  return j;
}

}  // namespace

TEST_CASE("cli: a size run through hold holds its share, one step less does not",
          "[cli][property]") {
  const Json j = json_of("size" + kWeeks);
  REQUIRE(j["sizes"].size() == 5);
  double capacity_W = 0;
  for (const auto& s : j["sizes"]) {
    INFO(s.dump());
    CHECK(s["capacity_W"].get<double>() >= capacity_W);  // more nights, never less
    capacity_W = s["capacity_W"];
    const auto [nights, needing] = held(kWeeks + sets(s["overrides"]));
    const double percent = s["nights_percent"];
    CHECK(nights == s["nights_held"].get<int>());
    CHECK(needing == s["needing_cooling"].get<int>());
    CHECK(100.0 * nights >= percent * needing);
    const double step_Wh = j["steps"]["battery_Wh"], battery_Wh = s["battery_Wh"];
    const auto [fewer, of] = held(kWeeks + sets(s["overrides"]) + " --set 'battery.capacity=" +
                                  std::to_string(battery_Wh - step_Wh) + " Wh'");
    CHECK(100.0 * fewer < percent * of);
  }
  // One step less of capacity, in the words that the program itself writes.
  const Json& all = j["sizes"][4];
  const double less_1 =
      1 - j["steps"]["capacity_W"].get<double>() / all["capacity_W"].get<double>();
  std::string smaller;
  for (const auto& o : all["overrides"]) {
    const std::string text = o;
    const std::size_t at = text.find('=') + 1, unit = text.find(' ');
    const double value = std::stod(text.substr(at, unit - at));
    const bool battery = text.rfind("battery", 0) == 0;
    smaller += " --set '" + text.substr(0, at) + std::to_string(battery ? value : value * less_1) +
               text.substr(unit) + "'";
  }
  const auto [fewer, of] = held(kWeeks + smaller);
  CHECK(fewer < of);
}

TEST_CASE("cli: the lines that size prints make a file of that size", "[cli][property]") {
  const Folder f;
  const std::string days = " --from 07-05 --to 07-12";
  const Run r = f.run("size" + days);
  const Json j = json_of("size" + days);
  REQUIRE(j["with_room"].is_object());
  CHECK_THAT(flowing(r.out), contains("vans like this need more") &&
                                 contains("30 % more, are a guess and no promise"));
  const std::string head = "  # the smallest for 95 %", room = "  # with room: ";
  std::string smallest, roomy, *into = nullptr;
  std::istringstream lines(r.out);
  for (std::string line; std::getline(lines, line);) {
    if (line.rfind("  # ", 0) == 0)
      into = line.rfind(head, 0) == 0 ? &smallest : line.rfind(room, 0) == 0 ? &roomy : nullptr;
    else if (into != nullptr && line.find(" = \"") != std::string::npos)
      *into += line + "\n";
    else
      into = nullptr;
  }
  f.put("smallest.toml", smallest);
  f.put("roomy.toml", roomy);
  const auto nights = [&](const char* file) {
    const Json h = f.json(std::string("hold ") + file + days)["nights"];
    return std::pair<int, int>(h["held"], h["needing_cooling"]);
  };
  const Json& main = j["sizes"][2];
  CHECK(nights("smallest.toml") ==
        std::pair<int, int>(main["nights_held"], main["needing_cooling"]));
  CHECK(nights("roomy.toml") ==
        std::pair<int, int>(j["with_room"]["nights_held"], j["with_room"]["needing_cooling"]));
  CHECK(j["with_room"]["capacity_W"] > j["sizes"][4]["capacity_W"]);
  CHECK(j["with_room"]["battery_Wh"] > j["sizes"][4]["battery_Wh"]);
}

TEST_CASE("cli: with vans drawn, size says first what nine in ten of them need",
          "[cli][property]") {
  const std::string days = " --from 07-08 --to 07-11 --samples 8";
  const Json j = json_of("size" + days);
  const Json& room = j["with_room"];
  REQUIRE(room.is_object());
  CHECK(room["share_of_vans"].get<double>() >= 0.9);
  // It is what `hold` says of these vans: at most one in ten loses more than one night in twenty.
  const Json h = Folder().json("hold" + days + sets(room["overrides"]));
  CHECK(h["spread"]["nights_held"]["median"] == h["nights"]["needing_cooling"]);
  const Run r = Folder().run("size" + days);
  CHECK_THAT(cabinload::test::flowing(r.out.substr(0, 200)),
             contains("in nine of ten vans like this; as described"));
  check_width(r.out);
}

TEST_CASE("cli: a listed unit holds its share with the battery that size tells",
          "[cli][property]") {
  const Json j = json_of("size" + kWeeks);
  for (const auto& u : j["listed_units"]) {
    const std::string key = u["keys"][0];
    const Json& Wh = u["battery_Wh"]["95"];
    const auto& meet = j["sizes"][2]["units_that_meet_it"];
    CHECK((std::find(meet.begin(), meet.end(), key) != meet.end()) == !Wh.is_null());
    if (Wh.is_null()) continue;
    const auto with = [&](double battery_Wh) {
      const auto [nights, needing] =
          held(kWeeks + "--unit " + key + " --battery '" + std::to_string(battery_Wh) + " Wh'");
      return 100.0 * nights >= 95.0 * needing;
    };
    INFO(key);
    CHECK(with(Wh.get<double>()));
    CHECK_FALSE(with(Wh.get<double>() - 100));
  }
  REQUIRE(j["too_large"].size() == 3);
  for (const auto& t : j["too_large"]) {
    CHECK(t["starts"].get<int>() > 0);
    CHECK(t["humidity"].get<double>() > 0.1);
    CHECK(t["humidity_highest"].get<double>() >= t["humidity"].get<double>());
  }
  CHECK(j["too_large"][2]["electric_Wh_per_night"] > j["too_large"][0]["electric_Wh_per_night"]);
}

TEST_CASE("cli: a share that no size holds is null and ends with status 1", "[cli][unit]") {
  // The unit is off for most of the night: no capacity helps.
  const std::string off = " --from 07-10 --to 07-12 --set unit.on=22:00-23:00";
  const Json j = json_of("size" + off, 1);
  CHECK(j["sizes"][4]["capacity_W"].is_null());
  CHECK_THAT(j["sizes"][4]["why_not"].get<std::string>(), contains("no capacity up to 6000 W"));
  CHECK(first_line(Folder().run("size" + off).out).rfind("No size holds", 0) == 0);
}

TEST_CASE("cli: a matrix has the nights and energies of hold", "[cli][property]") {
  const Json j = json_of(
      "compare --units-of generic-1500-24v,generic-2600-48v --weather "
      "tucson,golden --vehicle medium-van,box-body --set "
      "'|unit.power_cap=300 W; unit.set_point=24.5 degC'" +
      kWeeks);
  REQUIRE(j["rows"].size() == 16);
  CHECK(j["runs"]["unit_off"] == 4);
  CHECK(j["runs"]["forcings"] == 4);
  for (const auto& r : j["rows"]) {
    if (r["vehicle"] == "box-body" && r["weather"] == "golden") continue;  // three of four do
    const bool capped = r["setting"] != "as it is";
    const std::string same =
        kWeeks + "--unit " + r["unit"].get<std::string>() + " --weather " +
        r["weather"].get<std::string>() + " --vehicle " + r["vehicle"].get<std::string>() +
        (capped ? " --set 'unit.power_cap=300 W' --set 'unit.set_point=24.5 degC'" : "");
    const Json h = Folder().json("hold " + same);
    INFO(same);
    CHECK(r["nights_held"] == h["nights"]["held"]);
    CHECK(r["needing_cooling"] == h["nights"]["needing_cooling"]);
    CHECK(r["minutes_to_limit"].get<double>() >= 0);
    if (r["needing_cooling"] > 0)
      CHECK_RELATIVE(r["electric_Wh_per_night"].get<double>(),
                     h["electric_Wh_per_night"]["median"].get<double>(), 1e-5);
  }
}

TEST_CASE("cli: a matrix names one choice as best, never a sum of settings, and why",
          "[cli][unit]") {
  const Folder f;
  const std::string command =
      "compare --unit generic-1500-24v,generic-2000-24v --set '|night.limit=29 degC'" + kWeeks;
  const Run r = f.run(command);
  INFO(r.out);
  check_width(r.out);
  int fewest = 1000;
  std::string named;  // the first with the fewest
  const Json j = f.json(command);
  for (const auto& row : j["rows"]) {
    CHECK(row["limit_degC"].get<double>() == Approx(row["setting"] == "as it is" ? 25 : 29));
    const int needing = row["needing_cooling"], lost = needing - row["nights_held"].get<int>();
    if (lost >= fewest) continue;
    fewest = lost;
    named = std::to_string(lost) + " of " + std::to_string(needing) + " that need cooling with " +
            row["unit"].get<std::string>() + ", " + row["setting"].get<std::string>();
  }
  const std::string flat = cabinload::test::flowing(r.out);
  CHECK(flat.rfind("Fewest nights lost: " + named, 0) == 0);
  CHECK_THAT(flat, contains("in the first row, else as its setting says"));
  CHECK_THAT(flat, contains("What most of the lost nights are lost to medium-van; as it is"));
  CHECK_THAT(flat, contains("generic-2000-24v battery"));
}

TEST_CASE("cli: lists come from a file too, rows go to a file too", "[cli][unit]") {
  const Folder f;
  f.put("m.toml",
        "units = [\"generic-1500-24v\", \"generic-2000-24v\"]\nweather = [\"tucson\"]\n"
        "settings = [\"\", \"unit.speed_cap=0.6\"]\n");
  const Run r = f.run("compare --lists m.toml --csv rows.csv --from 07-10 --to 07-12");
  CHECK(r.status == 0);
  CHECK_THAT(r.err, contains("written: rows.csv"));
  check_width(r.out);
  std::istringstream csv(cabinload::test::file_text(f.path() / "rows.csv"));
  std::vector<std::string> lines;
  for (std::string line; std::getline(csv, line);) lines.push_back(line);
  REQUIRE(lines.size() > 5);
  CHECK(lines[0].rfind("unit,weather,vehicle,setting,nights_in_period,", 0) == 0);
  CHECK(lines[4].rfind("\"generic-2000-24v\",\"tucson\",\"medium-van\",\"unit.speed_cap=0.6\",3,",
                       0) == 0);
  CHECK(lines[5].rfind("# DANGER", 0) == 0);  // minutes to an animal's limit are told
  CHECK(f.run("compare --lists m.toml --csv rows.csv --from 07-10 --to 07-12").status == 3);
}

TEST_CASE("cli: what helps is what hold says of the changed scenario", "[cli][property]") {
  const std::string weeks = kWeeks + "--set 'battery.capacity=1.6 kWh' --set vehicle.paint=green ";
  const Json j = json_of("what-helps --cost insulation=500 --cost white-paint=250" + weeks);
  const int lost = j["now"]["nights_lost"];
  const auto [now, needing_now] = held(weeks);
  CHECK(lost == needing_now - now);
  CHECK(lost > 3);
  const std::pair<const char*, const char*> same[] = {
      {"inside-covers", "--cover thermal-mat"},
      {"white-paint", "--set vehicle.paint=white"},
      {"second-battery", "--set 'battery.capacity=3.2 kWh'"},
      {"warmer", "--set-point '25 degC'"},
      {"vent-fan", "--set 'fan.flow=600 m3/h' --set 'fan.power=25 W'"}};
  for (const auto& [key, arguments] : same) {
    INFO(key);
    const auto [nights, needing] = held(weeks + arguments);
    CHECK(row_of(j, key)["nights_held"] == lost - (needing - nights));
    CHECK(row_of(j, key)["needing_cooling"] == needing - needing_now);
    CHECK(row_of(j, key)["minutes_to_limit"].is_number());
  }
  const Json& paint = row_of(j, "white-paint");
  CHECK(paint["load_peak_W"].get<double>() < -50);
  CHECK_RELATIVE(paint["effect_per_cost"].get<double>(), paint["nights_held"].get<double>() / 250,
                 1e-12);
  CHECK(row_of(j, "warmer")["electric_Wh_per_night"].get<double>() < -50);
  CHECK(row_of(j, "panels")["nights_held"].is_null());
  // Ranked, the untried last.
  double before = 1e9;
  bool tried = true;
  for (const auto& r : j["rows"]) {
    CHECK((tried || !r["skipped"].is_null()));
    tried = r["skipped"].is_null();
    if (!tried) continue;
    CHECK(r["nights_held"].get<double>() <= before);
    before = r["nights_held"];
  }
  CHECK(j["pairs"].size() == 3);
}

TEST_CASE("cli: a shade that is tried takes the sun of the panels too", "[cli][property]") {
  const std::string days = " --from 06-05 --to 06-12 --set 'panels.power=300 W' ";
  const std::string shade = "--set parking.shade=tree --set parking.shade_hours=07:00-20:00 ";
  const Json j = json_of("what-helps" + days);
  const Json& row = row_of(j, "shade-day");
  const auto [now, needing] = held(days);
  const auto [then, needing_then] = held(days + shade);
  CHECK(row["nights_held"] == needing - now - (needing_then - then));
  // Portable panels in the sun lose nothing: the same shade is worth more.
  const Json portable = json_of("what-helps" + days + "--set panels.mount=portable");
  CHECK(row_of(portable, "shade-day")["nights_held"] > row["nights_held"]);
  CHECK_THAT(j["assumptions"].dump(), contains("falls on the panels too"));
  CHECK_THAT(portable["assumptions"].dump(), contains("does not fall on the panels"));
}

TEST_CASE("cli: the load peak of what helps is that of load", "[cli][property]") {
  const Json j = json_of("what-helps --by peak" + kWeeks);
  const auto peak = [](const std::string& arguments) {
    return Folder().json("load " + arguments)["peak"]["total_W"].get<double>();
  };
  const double now = peak(kWeeks);
  CHECK_RELATIVE(j["now"]["load_peak_W"].get<double>(), now, 1e-9);
  CHECK_WITHIN(row_of(j, "inside-covers")["load_peak_W"].get<double>(),
               peak(kWeeks + "--cover thermal-mat") - now, 0.02 * now);
}

TEST_CASE("cli: minutes to the limit are those of pets around the hottest day", "[cli][property]") {
  const auto fewest = [](const std::string& arguments) {
    const Run r = Folder().run("pets --json " + arguments);
    INFO(r.err);
    REQUIRE(r.status <= 1);
    const Json j = Json::parse(r.out)["minutes_to_limit"]["min"];
    return j.is_null() ? 240.0 : j.get<double>();
  };
  // The day of the soak is that of the hottest cabin with the unit off; a day before and after.
  const std::string july = " --from 07-01 --to 07-31 ";
  const Json hold = Folder().json("hold" + july);
  const int day = std::stoi(hold["soak"]["date"].get<std::string>().substr(3));
  REQUIRE((day > 1 && day < 31));
  const std::string around =
      " --from 07-" + std::to_string(day - 1) + " --to 07-" + std::to_string(day + 1) + " ";
  const Json matrix = json_of("compare --units-of generic-1500-24v,generic-2600-48v" + july);
  for (const auto& r : matrix["rows"])
    CHECK_WITHIN(r["minutes_to_limit"].get<double>(),
                 fewest(around + "--unit " + r["unit"].get<std::string>()), 0.1);
  CHECK(matrix["minutes_to"]["longest_min"] == 240);
  const Json helps = json_of("what-helps --by minutes" + july);
  const double now = helps["now"]["minutes_to_limit"];
  CHECK_WITHIN(now, fewest(around), 0.1);
  CHECK_WITHIN(now + row_of(helps, "inside-covers")["minutes_to_limit"].get<double>(),
               fewest(around + "--cover thermal-mat"), 0.1);
  double before = 1e9;
  for (const auto& r : helps["rows"]) {
    if (!r["skipped"].is_null()) continue;
    CHECK(r["minutes_to_limit"].get<double>() <= before);
    before = r["minutes_to_limit"];
  }
}

TEST_CASE("cli: decisions are kept in files, and shown again as they were", "[cli][unit]") {
  const Folder f;
  const std::string days = " --from 07-10 --to 07-13 --out out.h5 --force";
  for (const std::string command : {"size", "compare --units-of generic-1500-24v,generic-2000-24v",
                                    "what-helps --cost economy=3", "size --weather sand-point",
                                    "what-helps --weather sand-point"}) {
    INFO(command);
    const Run first = f.run(command + days), again = f.run("show out.h5");
    CHECK(first.status == again.status);
    CHECK_THAT(first.err, contains("written: out.h5"));
    CHECK(first.out == again.out);
    CHECK_THAT(again.out, contains("Never leave"));
    check_width(again.out);
    const Run as_json = f.run(command + days + " --json");
    CHECK(f.run("show out.h5 --json").out == as_json.out);
    CHECK(f.files() == 1);
  }
  CHECK(f.run("size --from 07-10 --to 07-11 --out out.h5").status == 3);
}

TEST_CASE("cli: where nothing needs cooling decisions say so first, with status 0", "[cli][unit]") {
  const std::string winter = " --weather sand-point --from 01-05 --to 01-12";
  for (const char* command : {"size", "compare", "what-helps"}) {
    INFO(command);
    const Run r = Folder().run(command + winter);
    CHECK(r.status == 0);
    CHECK(r.out.rfind("No cooling needed", 0) == 0);
    CHECK_THAT(r.out, contains("Never leave"));
    check_width(r.out);
  }
  CHECK(json_of("size" + winter)["sizes"].empty());
  CHECK(json_of("what-helps" + winter)["rows"].empty());
  CHECK(json_of("compare" + winter)["rows"][0]["electric_Wh_per_night"].is_null());
}

TEST_CASE("cli: decisions fit 80 columns and keep their cautions", "[cli][unit]") {
  const Folder f;
  for (const char* arguments :
       {"size --high '40 degC' --units us", "size --from 07-10 --to 07-14", "size --help",
        "compare --weather tucson,miami,greensboro,golden,sand-point,extreme-hot-dry --from 07-10 "
        "--to 07-11",
        "compare --help", "what-helps --high '40 degC' --by peak --units us --cost economy=3",
        "what-helps --help"}) {
    INFO(arguments);
    const Run r = f.run(arguments);
    CHECK(r.status == (std::string(arguments).find("extreme") == std::string::npos ? 0 : 2));
    if (r.status != 0) continue;
    CHECK_THAT(r.out, contains("Never leave") || contains("Examples\n"));
    check_width(r.out);
  }
}

TEST_CASE("cli: what decisions cannot be asked is met with what they can", "[cli][unit]") {
  const Folder f;
  f.put("bad.toml", "unit = [\"generic-2000-24v\"]\n");
  f.put("empty.toml", "units = []\n");
  f.put("unknown.toml", "units = [\"generic-2000-24w\"]\n");
  const std::size_t files = f.files();
  const struct {
    const char *arguments, *part;
    int status = 2;
  } cases[] = {
      {"compare --units-of generic-2000-24w", "did you mean 'generic-2000-24v'"},
      {"compare --units-of generic-2000-24v,,generic-1500-24v", "an empty name"},
      {"compare --units-of generic-2000-24v,generic-2000-24v", "named twice"},
      {"compare --weather tucson,miamy", "did you mean 'miami'"},
      {"compare --vehicle long-vann", "did you mean 'long-van'"},
      {"compare --set '|unit.setpoint=24 degC'", "set_point"},
      {"compare --set 'a.b|unit.set_point=24 degC'", "not KEY=VALUE"},
      {"compare --set '|unit.set_point=24'", "unit.set_point"},
      {"compare --lists bad.toml", "did you mean 'units'"},
      {"compare --lists empty.toml", "at least one name"},
      {"compare --lists unknown.toml", "did you mean"},
      {"compare --lists missing.toml", "missing.toml", 3},
      {"compare --set vehicle.heading=worst", "cabinload hold tells the worst"},
      {"size --set vehicle.heading=worst", "is not taken by size"},
      {"size --unit generic-9000", "unit.model"},
      {"size --weather golden --from 02-30 --to 03-05x", "is not a date"},
      {"what-helps --by money", "nights"},
      {"what-helps --cost roof=3", "--cost"},
      {"what-helps --cost insulatoin=3", "did you mean 'insulation'"},
      {"what-helps --cost insulation=cheap", "is not a number"},
      {"what-helps --cost insulation=-3", "must be above 0"},
      {"what-helps --cost insulation", "is not KEY=NUMBER"},
  };
  for (const auto& c : cases) {
    INFO(c.arguments);
    const Run r =
        f.run(std::string(c.arguments) +
              (std::string(c.arguments).rfind("compare", 0) == 0 ? " --csv out.csv" : ""));
    CHECK(r.status == c.status);
    CHECK(r.out.empty());
    CHECK_THAT(r.err, contains(c.part));
    CHECK(f.files() == files);
  }
}
