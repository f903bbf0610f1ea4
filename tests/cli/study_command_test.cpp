// SPDX-License-Identifier: Apache-2.0
#include <string>

#include "cli/program_run.hpp"

namespace {

const char* const kSmall =
    "weather = { high = \"38 degC\", low = \"24 degC\" }\n"
    "[[vary]]\nkey = \"vehicle.insulation\"\nvalues = [\"thin\", \"good\"]\n"
    "[[vary]]\nkey = \"battery.capacity\"\nrange = \"0.5 kWh to 4 kWh\"\nsteps = 3\n";

/// Options that switch every unknown off.
std::string all_known() {
  std::string off;
  for (const char* key : {"leakage", "insulation", "framing", "paint", "wind", "inside_film",
                          "light_mass", "bed_air", "thermostat", "capacity", "power",
                          "recirculation", "people", "animals", "battery", "panels"})
    off += std::string(" --set uncertainty.") + key + "=off";
  return off;
}

}  // namespace

TEST_CASE("cli: hold promises what drawn vans hold unless told otherwise", "[cli]") {
  const Folder f;
  const std::string nights = "hold --from 07-10 --to 07-13 -q";
  const Run drawn = f.run_as_is(nights), described = f.run_as_is(nights + " --samples 0");
  CHECK(described.status == 0);
  CHECK(described.out.starts_with("Held: all 4 nights"));
  CHECK(drawn.status == 1);
  CHECK(drawn.out.starts_with("Promise "));
  CHECK_THAT(drawn.out, contains("64 vans drawn") && contains("4 held as described"));
  // A kept result promises the same; its scenario does not draw in answers that take long with it.
  (void)f.run_as_is(nights + " --out kept.h5");
  CHECK(f.run_as_is("show kept.h5 -q").out == drawn.out);
  CHECK_THAT(f.run_as_is("show scenario").out, contains("uncertainty.samples = by answer"));
}

TEST_CASE("cli: hold tells what to promise", "[cli][unit]") {
  const Folder f;
  const std::string july = "hold --from 07-10 --to 07-16 ";
  const Run one = f.run(july + "--samples 16"), again = f.run(july + "--samples 16");
  CHECK(one.out == again.out);
  check_width(one.out);
  CHECK_THAT(one.out, contains("16 vans drawn") && contains("WARNING: A closed vehicle"));
  const Json with = f.json(july + "--samples 16"), without = f.json(july + "--samples 0");
  const auto& held = with["spread"]["nights_held"];
  CHECK(held["low"] < held["high"]);  // the vans differ
  CHECK(held["low"] <= held["median"]);
  CHECK(held["median"] <= held["high"]);
  CHECK(held["high"] <= with["nights"]["needing_cooling"]);
  CHECK(with["held_probability"]["low"] <= with["held_probability"]["mean"]);
  CHECK(without["spread"].is_null());
  CHECK(with["nights"] == without["nights"]);  // the van as described stays what it was
  CHECK(one.status == (held["low"] == with["nights"]["needing_cooling"] ? 0 : 1));
  const Json same = f.json(july + "--samples 3" + all_known());
  CHECK(same["spread"]["nights_held"]["low"] == same["nights"]["held"]);
  CHECK(same["spread"]["nights_held"]["high"] == same["nights"]["held"]);
}

TEST_CASE("cli: pets, size and what-helps draw vans by themselves", "[cli][property]") {
  const Folder f;
  const std::string days = " --from 07-10 --to 07-13 --json";
  const Json pets = Json::parse(f.run_as_is("pets" + days).out);
  CHECK(pets["drawn"]["samples"] == 64);
  CHECK(pets["drawn"]["days"] == Json{"07-10", "07-11", "07-12", "07-13"});
  CHECK(pets["drawn"]["margin_K"] < pets["margin_K"]);
  CHECK(pets["drawn"]["cabin_peak_degC"] > pets["cabin_peak_degC"]);
  // With every unknown switched off all vans are the one described, a few days of it warmed up
  // anew.
  const Json same =
      f.json("pets --from 07-10 --to 07-13 --battery \"20 kWh\" --samples 2" + all_known());
  const double min = same["minutes_to_limit"]["min"], margin_K = same["margin_K"];
  CHECK(min > 0.1);
  CHECK_WITHIN(same["drawn"]["minutes_to_limit"]["min"].get<double>(), min, 0.05);
  CHECK_WITHIN(same["drawn"]["margin_K"].get<double>(), margin_K, 0.02);
  const Json size = Json::parse(f.run_as_is("size" + days).out);
  CHECK(size["with_room"]["share_of_vans"].get<double>() >= 0.9);
  for (const Json& row : size["sizes"])
    CHECK(row["share_of_vans"].is_null() == (row["nights_percent"] != 95));
  const Json helps = Json::parse(f.run_as_is("what-helps --battery \"1 kWh\"" + days).out);
  CHECK(helps["samples"] == 64);
  std::size_t drawn = 0;
  for (const Json& row : helps["rows"]) drawn += row["drawn"].is_null() ? 0 : 1;
  CHECK(drawn >= 1);
  CHECK(drawn <= 3);
}

TEST_CASE("cli: a kept answer with vans is shown again", "[cli][unit]") {
  const Folder f;
  for (const std::string command : {"hold", "pets"}) {
    const Run first =
        f.run(command + " --from 07-10 --to 07-11 --samples 4 --out " + command + ".h5");
    const Run shown = f.run("show " + command + ".h5");
    CHECK(shown.out == first.out);
    CHECK(shown.status == first.status);
    CHECK_THAT(first.out, contains("4 vans drawn"));
  }
}

TEST_CASE("cli: pets tells the unsafe end, what-helps and size how sure they are", "[cli][unit]") {
  const Folder f;
  const std::string days = " --from 07-10 --to 07-11 --samples ";
  const Json pets = f.json("pets" + days + "8");
  CHECK(pets["drawn"]["minutes_to_limit"]["min"] <= pets["minutes_to_limit"]["min"]);
  const Json helps = f.json("what-helps" + days + "4");
  CHECK(helps["samples"] == 4);
  for (const Json& row : helps["rows"]) CHECK(row["drawn"].is_null() != row["skipped"].is_null());
  const Json size = f.json("size" + days + "4");
  for (const Json& row : size["sizes"])
    CHECK(row["share_of_vans"].is_null() != row["why_not"].is_null());
}

TEST_CASE("cli: a study runs every combination and says what it found", "[cli][unit]") {
  const Folder f;
  f.put("small.toml", kSmall);
  const Run r = f.run("study small.toml");
  CHECK(r.status == 0);
  CHECK_THAT(r.out, contains("6 cases") && contains("vehicle.insulation") &&
                        contains("WARNING: A closed vehicle"));
  check_width(r.out);
  CHECK_THAT(r.err, contains("written: study.h5"));
  CHECK(f.files() == 2);
  CHECK_THAT(f.run("study small.toml").err, contains("exists already"));
  CHECK(f.run("study small.toml").status == 3);
  CHECK(f.run("show study.h5").out == r.out);
  const Run table = f.run("show study.h5 --csv cases.csv");
  CHECK(table.status == 2);
  CHECK_THAT(table.err, contains("--csv") && contains("the result of a study has no table"));
  CHECK_THAT(r.out, contains("bed peak") && contains(" °C") && contains(" kWh") &&
                        !contains("degC") && !contains("W h"));
  const std::string us = f.run("show study.h5 --units us").out;
  check_width(us);
  CHECK_THAT(us, contains("bed peak") && contains(" °F") && !contains("°C"));
  CHECK_THAT(r.out, contains("Varied") && contains("thin, good") && contains("0.5 kWh to 4 kWh"));
  // Nothing is left to resume: the answer again.
  const Run complete = f.run("study small.toml --resume");
  CHECK(complete.status == 0);
  CHECK(complete.out == r.out);
  CHECK_THAT(complete.err, contains("complete"));
  CHECK(f.run("study small.toml --resume --json").err.empty());
  const Run other = f.run("study small.toml --resume --limit \"26 degC\"");
  CHECK(other.status == 2);
  CHECK_THAT(other.err, contains("now night.limit = 26 degC") && contains("then night.limit"));
  f.run("hold --high \"38 degC\" --out hold.h5");
  const Run hold = f.run("study small.toml -o hold.h5 --resume");
  CHECK(hold.status == 2);
  CHECK_THAT(hold.err, contains("hold.h5") && contains("something else than a study"));
}

TEST_CASE("cli: what is wrong with a study is said before anything is written", "[cli][unit]") {
  const Folder f;
  CHECK_THAT(f.run("study").err, contains("nothing varies") && contains("[[vary]]"));
  f.put("small.toml", kSmall);
  f.put("huge.toml", std::string(kSmall) +
                         "[[vary]]\nkey = \"night.limit\"\nrange = \"24 degC to "
                         "28 degC\"\nsteps = 1000000\n"
                         "[[vary]]\nkey = \"unit.set_point\"\nrange = \"20 degC to "
                         "24 degC\"\nsteps = 1000000\n");
  const Run huge = f.run("study huge.toml");
  CHECK(huge.status == 2);
  CHECK_THAT(huge.err,
             contains("cases") && contains("GB") && contains("--force") && contains("years"));
  // By points as by combinations, and with effects for each of their runs.
  const char* kPoints = "--set study.cases=1000000000000 --high '38 degC' --set study.way=";
  f.put("huge.toml", "[[vary]]\nkey = \"battery.capacity\"\nrange = \"1 kWh to 5 kWh\"\n");
  for (const auto& [way, cases] :
       {std::pair{"latin", "; 1e+12 cases: about "}, std::pair{"sobol", "; 1e+12 cases: about "},
        std::pair{"sobol --set study.effects=true", "; 3e+12 cases"}}) {
    const Run points = f.run(std::string("study huge.toml ") + kPoints + way);
    CHECK(points.status == 2);
    CHECK_THAT(points.err, contains("study.cases: 1000000000000: more points than there are") &&
                               contains(cases) && contains("years") && contains("GB on disk") &&
                               contains("a smaller one"));
  }
  const Run many =
      f.run("study huge.toml --set study.cases=1e9 --high '38 degC' --set study.way=latin");
  CHECK_THAT(many.err, contains("1e+09 cases: about ") && contains("a smaller study.cases") &&
                           !contains("way = "));
  CHECK(f.run("study small.toml --resume").status == 3);
  CHECK(f.run("study small.toml -o nowhere/x.h5").status == 3);
  CHECK(f.run("study small.toml --set unit.set_pont=3").status == 2);
  CHECK(f.files() == 2);
}
