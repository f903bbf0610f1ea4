// SPDX-License-Identifier: Apache-2.0
#include <cmath>

#include "cli/program_run.hpp"

namespace {

double sum(const Json& by_cause) {
  double all = 0;
  for (const auto& [key, value] : by_cause.items()) all += value.get<double>();
  return all;
}

Json json_of(const std::string& arguments) {
  return Folder().json("load " + arguments, 0);
}

}  // namespace

TEST_CASE("cli: the demo year's demand stays where it is", "[cli][golden]") {
  // Of this version. They change only in a commit that says why.
  const auto j = json_of("");
  CHECK(j["peak"]["time"] == "07-15 15:00");
  CHECK_RELATIVE(j["peak"]["total_W"].get<double>(), 2408, 0.01);
  CHECK_RELATIVE(j["percentile_W"]["50"].get<double>(), 697, 0.01);
  CHECK_RELATIVE(j["percentile_W"]["99"].get<double>(), 2162, 0.01);
  CHECK_RELATIVE(j["energy_kWh"].get<double>(), 3322, 0.01);
  CHECK_RELATIVE(j["by_cause_kWh"]["walls"].get<double>(), 1033, 0.01);
  CHECK_RELATIVE(j["by_cause_kWh"]["sun:windscreen"].get<double>(), 430, 0.01);
  CHECK_WITHIN(j["hours"]["with_demand"].get<double>(), 4100, 20);
  // Parts add up, in the hour and over the year.
  CHECK_WITHIN(sum(j["peak"]["by_cause_W"]), j["peak"]["total_W"].get<double>(), 1e-6);
  CHECK_WITHIN(sum(j["by_cause_kWh"]), j["energy_kWh"].get<double>(), 1e-6);
  double months_kWh = 0;
  for (const auto& m : j["by_month"]) months_kWh += sum(m["by_cause_kWh"]);
  CHECK_WITHIN(months_kWh, j["energy_kWh"].get<double>(), 1e-6);
  CHECK(j["balance"]["residual_relative"].get<double>() < 1e-9);
}

TEST_CASE("cli: the rule of thumb stands beside every built-in body", "[cli][property]") {
  const std::string days = "--from 07-14 --to 07-16 ";
  const auto j = json_of(days + "--by-body --paint silver");
  REQUIRE(j["bodies"].size() >= 5);
  double least = 1e9, most = 0;
  for (const auto& b : j["bodies"]) {
    const double W_ft2 = b["per_floor"]["W_ft2"];
    CHECK_RELATIVE(W_ft2 * b["floor_m2"].get<double>() / 0.09290304, b["peak_W"].get<double>(),
                   1e-9);
    CHECK_THAT(b["per_floor"]["note"].get<std::string>(), contains("no published source"));
    least = std::min(least, W_ft2);
    most = std::max(most, W_ft2);
    if (b["body"] != "long-van" && b["body"] != "box-body") continue;
    const auto alone = json_of(days + "--paint silver --vehicle " + b["body"].get<std::string>());
    CHECK_RELATIVE(b["peak_W"].get<double>(), alone["peak"]["total_W"].get<double>(), 1e-9);
  }
  CHECK(most > 1.2 * least);  // that is what the table is for
  const Run r = Folder().run("load --by-body --units us " + days);
  CHECK(r.status == 0);
  check_width(r.out);
  CHECK_THAT(r.out, contains("common practice") && contains("BTU/h per"));
  CHECK(Folder().run("load --by-body --set vehicle.heading=worst").status == 2);
}

TEST_CASE("cli: a demand's text gives the verdict first and fits 80 columns", "[cli][unit]") {
  const Folder f;
  for (const char* arguments :
       {"load --from 07-10 --to 08-05", "load --from 07-10 --to 07-12 --units us",
        "load --weather miami --from 08-01 --to 08-03 --hours unit",
        "load --high '110 degF' --units us --ascii", "load --help",
        "load --vehicle box-body --from 07-01 --to 07-02 --hours 08:00-18:00"}) {
    INFO(arguments);
    const Run r = f.run(arguments);
    CHECK(r.status == 0);
    CHECK_THAT(r.out, contains("Never leave") || contains("Examples\n"));
    CHECK((r.out.rfind("Cooling demand: up to ", 0) == 0 || contains("--help").match(arguments)));
    check_width(r.out);
  }
  // Plain characters only, where asked for, but for units and degrees.
  const std::string plain = f.run("load --high '40 degC' --ascii -q").out;
  CHECK(plain.find("█") == std::string::npos);
  CHECK_THAT(plain, contains("##") && contains("common practice, no published source"));
}

TEST_CASE("cli: where nothing needs cooling the demand says so first, with status 0",
          "[cli][unit]") {
  const Run r = Folder().run("load --weather sand-point --from 01-05 --to 01-20");
  CHECK(r.status == 0);
  CHECK(r.out.rfind("Nothing needs cooling", 0) == 0);
  const auto j = json_of("--weather sand-point --from 01-05 --to 01-20");
  CHECK(j["peak"].is_null());
  CHECK(j["percentile_W"]["99"].is_null());
  CHECK(j["energy_kWh"] == 0);
}

TEST_CASE("cli: a demand answers to what it is asked", "[cli][property]") {
  const std::string july = "--weather miami --from 07-01 --to 07-14 ";
  const auto base = json_of(july);
  const auto at = [](const Json& j, const char* key) { return j[key].get<double>(); };
  CHECK(at(json_of(july + "--set-point '27 degC'"), "energy_kWh") < 0.8 * at(base, "energy_kWh"));
  CHECK(at(json_of(july + "--humidity '50 %'"), "latent_kWh") > 1.2 * at(base, "latent_kWh"));
  CHECK(at(json_of(july + "--humidity '100 %'"), "latent_kWh") < 0.2 * at(base, "latent_kWh"));
  const auto night = json_of(july + "--hours unit");
  CHECK(at(night, "energy_kWh") < 0.6 * at(base, "energy_kWh"));
  CHECK(night["held"] == "21:00-07:00");
  CHECK(night["hours"]["with_demand"] <= 140);
  // The sun that a cover keeps out is the sun's part, not the walls'.
  const auto covered = json_of(july + "--cover thermal-mat");
  CHECK(covered["by_cause_kWh"]["sun:windscreen"].get<double>() <
        0.7 * base["by_cause_kWh"]["sun:windscreen"].get<double>());
  CHECK_RELATIVE(covered["by_cause_kWh"]["walls"].get<double>(),
                 base["by_cause_kWh"]["walls"].get<double>(), 0.1);
  // A dog brings about what it gives: 82.8 W basal x 2.5 for 20 kg, kept out of the other parts.
  const auto dog = json_of(july + "--pet 'dog 20 kg' --set pet.present=always");
  CHECK(dog["by_cause_kWh"]["pets"].get<double>() > 10);
  CHECK_RELATIVE(dog["by_cause_kWh"]["roof"].get<double>(),
                 base["by_cause_kWh"]["roof"].get<double>(), 0.02);
}

TEST_CASE("cli: eight headings answer with the highest hour", "[cli][property]") {
  const auto j = json_of("--high '38 degC' --set vehicle.heading=worst");
  REQUIRE(j["headings"].size() == 8);
  double highest = 0;
  for (const auto& h : j["headings"]) highest = std::max(highest, h["peak_W"].get<double>());
  CHECK(j["peak"]["total_W"].get<double>() == highest);
}

TEST_CASE("cli: a demand is kept, not overwritten, and shown again", "[cli][unit]") {
  const Folder f;
  const Run first = f.run("load --from 07-01 --to 07-02 -o r.h5");
  CHECK(first.status == 0);
  CHECK_THAT(first.err, contains("written: r.h5"));
  CHECK(f.run("load --from 07-01 --to 07-02 -o r.h5").status == 3);
  CHECK(f.run("show r.h5").out == first.out);
  CHECK(f.run("show r.h5 --units us").out == f.run("load --from 07-01 --to 07-02 --units us").out);
  CHECK(f.run("show r.h5 --json").out == f.run("load --from 07-01 --to 07-02 --json").out);
  CHECK(f.run("show r.h5").status == 0);
}

TEST_CASE("cli: what a demand cannot be asked is met with what it can", "[cli][unit]") {
  const Folder f;
  const struct {
    const char *arguments, *part;
  } cases[] = {
      {"load --hours never", "holds no hour"},
      {"load --hours 25:00", "21:00-07:00"},
      {"load --hours unit --set unit.on=never", "unit.on is 'never'"},
      {"load --humidity 200%", "between \"5 %\" and \"100 %\""},
      {"load --humidity '3 K'", "--humidity"},
      {"load --set-point '24'", "--set-point (unit.set_point)"},
      {"load --set ideal.heat_to='20 degC' --set-point '18 degC'", "heats to 20.0"},
      {"load --weather tuscon", "did you mean 'tucson'"},
      {"load --high '30 degC' --from 12-01 --to 12-02", "does not have"},
      {"load --set ideal.cool_to='24 degC' --set ideal.cool_place=cellar", "cellar"},
  };
  for (const auto& c : cases) {
    INFO(c.arguments);
    const Run r = f.run(std::string(c.arguments) + " -o out.h5");
    CHECK(r.status == 2);
    CHECK(r.out.empty());
    CHECK_THAT(r.err, contains(c.part));
    CHECK(f.files() == 0);
  }
}
