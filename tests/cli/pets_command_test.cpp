// SPDX-License-Identifier: Apache-2.0
#include <H5Cpp.h>

#include <algorithm>
#include <cctype>
#include <sstream>

#include "cli/program_run.hpp"

namespace {

const char* const kFailures[] = {"unit_fault", "battery_empty", "supply_lost", "cut_out",
                                 "shade_lost"};

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return text;
}

/// The caution is whole and names all three.
void check_caution_words(const std::string& text) {
  const std::string flat = flowing(text);
  CHECK_THAT(flat, contains("A parked vehicle is never a place to leave an animal unattended, nor "
                            "a child, nor an adult who depends on others"));
  CHECK_THAT(flat, contains("The local law counts"));
  CHECK_THAT(flat, contains("DANGER") && contains("WARNING") && contains("CAUTION"));
}
/// And nothing gives leave.
void check_caution(const std::string& text) {
  check_caution_words(text);
  CHECK(lower(flowing(text)).find("safe") == std::string::npos);
}

}  // namespace

TEST_CASE("cli: what a terminal says of animals warns first and last", "[cli][unit]") {
  const Folder f;
  for (const char* arguments :
       {"pets --from 07-10 --to 07-12", "pets --from 07-10 --to 07-10 --units us",
        "pets --weather sand-point --from 01-05 --to 01-06", "pets --from 07-10 --to 07-10 --quiet",
        "pets --high '118 degF' --low '90 degF' --units us --insulation bare",
        "pets --from 07-10 --to 07-10 --set pet.nose=short --limit '26 degC'"}) {
    INFO(arguments);
    const Run r = f.run(arguments);
    INFO(r.err);
    CHECK((r.status == 0 || r.status == 1));
    check_width(r.out);
    check_caution(r.out);
    const std::string line = first_line(r.out);
    INFO(line);
    CHECK((line.rfind("DANGER: ", 0) == 0 || line.rfind("WARNING: ", 0) == 0));
    // The caution stands after the figures.
    CHECK(flowing(r.out).find("never a place to leave") >
          flowing(r.out).find("What this rests on"));
  }
  // The line of the rule reads the same wherever it stands: 29.5 degC is printed beside 85 degF.
  CHECK_THAT(f.run("pets --from 07-10 --to 07-10 --units us").out,
             contains("above 85 °F") && !contains("85.1 °F"));
  CHECK(f.run("pets --help").status == 0);
  CHECK_THAT(flowing(f.run("pets --help").out),
             contains("never a place to leave an animal unattended, nor a child, nor an adult"));
}

TEST_CASE("cli: a period in which nothing passes gives no leave either", "[cli][unit]") {
  const Run r = Folder().run("pets --weather sand-point --from 01-05 --to 01-06");
  CHECK(r.status == 0);
  CHECK_THAT(first_line(r.out), contains("WARNING: never leave an animal, a child or a dependent"));
  const auto j = Folder().json("pets --weather sand-point --from 01-05 --to 01-06");
  CHECK(j["minutes_to_limit"]["min"].is_null());
  CHECK(j["shortest"].is_null());
  CHECK(j["margin_K"].get<double>() > 0);
  CHECK(j["warnings"].dump().find("cold") != std::string::npos);
}

TEST_CASE("cli: nothing takes the caution on animals away", "[cli][unit]") {
  const Folder f;
  const std::string days = "pets --from 07-10 --to 07-11 ";
  for (const char* before : {"", "COLUMNS=40", "NO_COLOR=1", "TERM=dumb"})
    check_caution(f.run(days, before).out);
  const auto j = Json::parse(f.run(days + "--json --quiet").out);
  std::string words;
  for (const auto& c : j["cautions"])
    words += c["signal"].get<std::string>() + ": " + c["text"].get<std::string>() + "\n";
  check_caution(words);
  CHECK(j["cautions"][0]["id"] == "never_alone");
  CHECK(lower(j.dump()).find("safe") == std::string::npos);
  const Run kept = f.run(days + "--out a.h5 --quiet");
  {
    const H5::H5File file((f.path() / "a.h5").string(), H5F_ACC_RDONLY);
    const H5::Attribute a = file.openGroup("/").openAttribute("cautions");
    std::string text;
    a.read(a.getDataType(), text);
    check_caution(text.c_str());
    CHECK(file.openDataSet("/failures/unit_fault").getSpace().getSimpleExtentNpoints() == 48);
  }
  const Run shown = f.run("show a.h5");
  CHECK(shown.out == kept.out);
  CHECK(shown.status == kept.status);
  check_caution(shown.out);
  check_caution(f.run("show a.h5 --units us").out);
}

TEST_CASE("cli: tables and pages keep the caution on animals", "[cli][unit]") {
  const Folder f;
  const std::string days = "pets --from 07-10 --to 07-10 ";
  REQUIRE(f.run(days + "--csv a.csv --quiet").status <= 1);
  check_caution(cabinload::test::file_text(f.path() / "a.csv"));
  for (const char* more : {"--why", "--samples 2", "--pictures always --ascii", "--no-config",
                           "--out b.h5 --csv b.csv --force"})
    check_caution(f.run(days + more).out);
  for (const char* units : {"si", "us"}) {
    REQUIRE(f.run(std::string("report -q --force -o a.html --animals --from 07-10 --to 07-10 "
                              "--units ") +
                  units)
                .status <= 1);
    // Its script has constants of the language by that word.
    check_caution_words(cabinload::test::file_text(f.path() / "a.html"));
  }
}

TEST_CASE("cli: figures of a warm month hang together", "[cli][unit]") {
  const auto j = Folder().json("pets --from 04-01 --to 04-30");
  CHECK(j["limit_degC"].get<double>() == Approx(29.5));
  CHECK(j["limit_source"].get<std::string>().find("9 CFR part 3 3.3(a)") == 0);
  CHECK(j["hours"] == 720);
  const auto& all = j["minutes_to_limit"];
  CHECK(all["min"].get<double>() > 0);
  CHECK(all["min"].get<double>() <= all["p05"].get<double>());  // some hours do
  const auto minutes = [](const Json& v) { return v.is_null() ? 1e9 : v.get<double>(); };
  CHECK(minutes(all["p05"]) <= minutes(all["median"]));  // null: half of the hours never pass
  for (const char* failure : kFailures) {
    const auto& x = j["by_failure"][failure];
    INFO(failure << x.dump());
    if (!x["minutes_to_limit"]["min"].is_null())
      CHECK(all["min"].get<double>() <= x["minutes_to_limit"]["min"].get<double>());
    double before = 0;
    for (const char* bar : {"10", "20", "30", "60"}) {
      const double share = x["share_of_hours_under_min"][bar];
      CHECK(share >= before);
      CHECK(share <= j["share_of_hours_under_min"][bar].get<double>());
      before = share;
    }
  }
  double least = 1e9;
  for (const auto& v : j["by_month_and_hour"][3]["min"])
    if (v.is_number()) least = std::min(least, v.get<double>());
  CHECK(least == Approx(all["min"].get<double>()));
  CHECK(j["by_month_and_hour"][2]["min"][0].is_null());
  CHECK(j["helps"]["alarm"]["minutes_to_limit"]["min"].get<double>() <
        j["by_failure"]["unit_fault"]["minutes_to_limit"]["min"].get<double>());
}

TEST_CASE("cli: a more delicate animal has less time", "[cli][unit]") {
  const std::string days = "--from 07-10 --to 07-12 ";
  const double dog = Folder().json("pets " + days)["minutes_to_limit"]["median"];
  for (const char* change : {"--set pet.nose=short", "--set pet.age=old",
                             "--set pet.overweight=true", "--limit '27 degC'"}) {
    INFO(change);
    const auto j = Folder().json("pets " + days + change);
    CHECK(j["limit_degC"].get<double>() < 29);
    CHECK(j["minutes_to_limit"]["median"].get<double>() < dog);
  }
}

TEST_CASE("cli: bad animals and limits are refused by name", "[cli][unit]") {
  const Folder f;
  const struct {
    const char *arguments, *key, *word;
  } cases[] = {
      {"--pet 'dog 0 kg'", "pet[0].mass", "out of range"},
      {"--pet 'dog 500 kg'", "pet[0].mass", "out of range"},
      {"--pet 'dog 20 K'", "pet[0].mass", "K"},
      {"--pet 'dog -5 kg'", "pet[0].mass", "out of range"},
      {"--pet cat", "--pet", "mass of one animal"},
      {"--pet '20 kg dog'", "--pet", "dog 20 kg"},
      {"--set pet.nose=flat", "pet[0].nose", "short"},
      {"--set pet.age=senior", "pet[0].age", "old"},
      {"--limit '23 degC'", "unit.set_point", "limit of 23.0"},
      {"--set-point '28 degC' --set pet.nose=short", "unit.set_point", "limit of 26.7"},
      {"--limit '33 degC'", "pet[0].limit", "above the published line"},
      {"--set pet.count=0", "pet.count", "no animal"},
      {"--from 02-30", "night.from", "02-30"},
  };
  for (const auto& c : cases) {
    INFO(c.arguments);
    const Run r = f.run(std::string("pets --out x.h5 ") + c.arguments);
    INFO(r.err);
    CHECK(r.status == 2);
    CHECK(r.out.empty());
    CHECK_THAT(r.err, contains(c.key) && contains(c.word));
    CHECK(f.files() == 0);
  }
}

TEST_CASE("cli: a cabin that the unit cannot keep below the limit exits 1", "[cli][unit]") {
  const Folder f;
  const Run r = f.run(
      "pets --high '118 degF' --low '90 degF' --insulation bare --set "
      "pet.nose=short");
  CHECK(r.status == 1);
  CHECK_THAT(first_line(r.out), contains("DANGER: even with the unit running"));
  const auto j = Folder().json(
      "pets --high '118 degF' --low '90 degF' --insulation bare --set pet.nose=short");
  CHECK(j["margin_K"].get<double>() < 0);
  CHECK(j["minutes_to_limit"]["min"].get<double>() == 0);
}
