// SPDX-License-Identifier: Apache-2.0
#include <cabinload/study/plan.hpp>
#include <cabinload/study/spread.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <set>

#include "study/plan_text.hpp"
#include "support/catch.hpp"

namespace core = cabinload::core;
namespace fs = std::filesystem;
namespace scenario = cabinload::scenario;
namespace study = cabinload::study;
namespace test = cabinload::test;
using test::contains;

namespace {

std::string message(const std::string& toml) {
  return test::error_of([&] { (void)test::plan_of_text(toml); });
}

}  // namespace

TEST_CASE("study: every combination of lists and ranges, the last changes fastest",
          "[study][unit]") {
  const auto p = test::plan_of_text(
      "[[vary]]\nkey = \"vehicle.insulation\"\nvalues = [\"thin\", \"good\"]\n"
      "[[vary]]\nkey = \"battery.capacity\"\nrange = \"1 kWh to 5 kWh\"\nsteps = 3\n");
  REQUIRE(p.cases == 6);
  CHECK(p.inputs[0].text(p.values(0)[0]) == "thin");
  CHECK(p.inputs[1].text(p.values(1)[1]) == "3 kWh");
  CHECK(p.inputs[0].text(p.values(3)[0]) == "good");
  const auto s = p.scenario_of(p.values(5));
  CHECK(s.vehicle.insulation == "good");
  CHECK_RELATIVE(s.supply.bank.nominal_energy_J, 5 * 3.6e6, 1e-12);
  CHECK(s.uncertainty.ranges.empty());  // nothing is drawn that nobody asked for
}

TEST_CASE("study: values from a text file, one a line", "[study][unit]") {
  const test::TemporaryPath folder;
  fs::create_directories(folder.path());
  const auto put = [&](const char* name, const char* text) {
    std::ofstream(folder.path() / name, std::ios::binary) << text;
  };
  const auto plan_there = [&] {
    return study::plan_of(scenario::read((folder.path() / "study.toml").string(), {}), {});
  };
  put("study.toml", "[[vary]]\nkey = \"unit.model\"\nfiles = \"units.txt\"\n");
  put("units.txt", "# units at hand\ngeneric-1500-24v\n\n  generic-2000-24v  \n");
  const auto p = plan_there();
  REQUIRE(p.cases == 2);
  CHECK(p.inputs[0].levels == std::vector<std::string>{"generic-1500-24v", "generic-2000-24v"});
  put("units.txt", "# none\n");
  CHECK_THAT(test::error_of([&] { (void)plan_there(); }),
             contains("vary[0].files") && contains("holds no value"));
}

TEST_CASE("study: unknowns by name, or all of them", "[study][unit]") {
  const auto one = test::plan_of_text(
      "[study]\nway = \"latin\"\ncases = 8\n[[vary]]\nkey = \"uncertainty.leakage\"\n");
  const auto plain = scenario::read("", {});
  for (std::uint64_t i = 0; i < one.cases; ++i) {
    const double f = one.values(i)[0];
    CHECK((f >= 0.5 && f <= 2));
    const auto s = one.scenario_of(one.values(i));
    CHECK_RELATIVE(s.vehicle.leakage_area_m2, f * plain.vehicle.leakage_area_m2, 1e-12);
    CHECK(s.unit.capacity_W == plain.unit.capacity_W);
  }
  const auto all = test::plan_of_text(
      "[study]\nway = \"sobol\"\ncases = 4\neffects = true\n[[vary]]\nkey = \"uncertainty\"\n");
  CHECK(all.inputs.size() == scenario::unknowns().size());
  CHECK(all.cases == 4 * (scenario::unknowns().size() + 2));
  const auto s = all.scenario_of(all.values(0));
  CHECK(s.unit.capacity_W != plain.unit.capacity_W);
}

TEST_CASE("study: spreads of a range", "[study][unit]") {
  const auto p = test::plan_of_text(
      "[study]\nway = \"latin\"\ncases = 101\n"
      "[[vary]]\nkey = \"unit.set_point\"\nrange = \"20 degC to 26 degC\"\nspread = \"triangle\"\n"
      "likeliest = \"24 degC\"\n"
      "[[vary]]\nkey = \"night.limit\"\nrange = \"25 degC to 29 degC\"\nspread = \"bell\"\n"
      "likeliest = \"26 degC\"\ndeviation = \"0.5 degC\"\n");
  CHECK_WITHIN(p.inputs[0].at(2.0 / 3), 24, 1e-9);  // (24 - 20) / (26 - 20) lies below the mode
  CHECK_WITHIN(p.inputs[1].at(0.5), 26, 0.05);
  std::set<double> seen;
  for (std::uint64_t i = 0; i < p.cases; ++i) seen.insert(p.values(i)[0]);
  CHECK(seen.size() == p.cases);
}

TEST_CASE("study: what is wrong with a plan is said", "[study][unit]") {
  const std::string good = "[[vary]]\nkey = \"vehicle.insulation\"\nvalues = \"thin, good\"\n";
  CHECK_THAT(message(""), contains("nothing varies"));
  CHECK_THAT(message("[study]\nway = \"latin\"\ncases = 0\n" + good),
             contains("study.cases") && contains("no case"));
  CHECK_THAT(
      message("[[vary]]\nkey = \"vehicle.insulatoin\"\nvalues = \"thin\"\n"),
      contains("did you mean") && contains("vehicle.insulation") && !contains("study (vehicle"));
  CHECK_THAT(message("[[vary]]\nkey = \"vehicle.insulation\"\nvalues = []\n"),
             contains("holds no value"));
  CHECK_THAT(message("[[vary]]\nkey = \"study.cases\"\nvalues = [3]\n"), contains("cannot vary"));
  CHECK_THAT(message("[[vary]]\nkey = \"vehicle.heading\"\nvalues = [\"S\", \"worst\"]\n"),
             contains("vehicle.heading = worst") && contains("not taken by a study"));
  CHECK_THAT(message("vehicle.heading = \"worst\"\n" + good),
             contains(":1") && contains("vehicle.heading") && contains("not taken by a study"));
  CHECK_THAT(message("[[vary]]\nkey = \"battery.capacity\"\nrange = \"1 kwat to 5 kwat\"\n"),
             contains("unknown unit"));
  CHECK_THAT(message("[[vary]]\nkey = \"vehicle.insulation\"\nvalues = \"thin, tick\"\n"),
             contains("tick"));
  CHECK_THAT(message("[[vary]]\nkey = \"battery.capacity\"\nrange = \"5 kWh to 1 kWh\"\n"),
             contains("upside down") && contains(":3"));
  CHECK_THAT(message("[[vary]]\nkey = \"battery.capacity\"\nrange = \"1 kWh to 5 degC\"\n"),
             contains("two units"));
  CHECK_THAT(message("[[vary]]\nkey = \"battery.capacity\"\n"), contains("needs one of"));
  CHECK_THAT(message(good + good), contains("varies already"));
  CHECK_THAT(message("[[vary]]\nkey = \"uncertainty\"\n[[vary]]\nkey = \"uncertainty.leakage\"\n"),
             contains("varies already"));
  CHECK_THAT(message("[[vary]]\nkey = \"uncertainty.leak\"\n"), contains("leakage"));
  CHECK_THAT(message("[[vary]]\nkey = \"weather.file\"\nvalues = \"miami\"\n"
                     "[[vary]]\nkey = \"weather.high\"\nrange = \"30 degC to 40 degC\"\n"),
             contains("contradict"));
  CHECK_THAT(message("[study]\neffects = true\n" + good), contains("sobol"));
  CHECK_THAT(message("[[vary]]\nkey = \"weather.file\"\nfiles = \"no-such-folder\"\n"),
             contains("no-such-folder"));
  CHECK(test::plan_of_text(
            "[[vary]]\nkey = \"battery.capacity\"\nrange = \"1 kWh to 5 kWh\"\nsteps = 1000000\n"
            "[[vary]]\nkey = \"unit.set_point\"\nrange = \"20 degC to 26 degC\"\nsteps = 1000000\n")
            .cases == 1000000000000);
}

TEST_CASE("study: temperatures and differences of them are told apart", "[study][unit]") {
  const auto p = test::plan_of_text(
      "[[vary]]\nkey = \"unit.set_point\"\nrange = \"68 degF to 75 degF\"\n"
      "[[vary]]\nkey = \"fan.start_difference\"\nrange = \"1 K to 4 K\"\n"
      "[[vary]]\nkey = \"uncertainty.thermostat\"\n"
      "[[vary]]\nkey = \"person.count\"\nrange = \"1 to 3\"\nsteps = 3\n");
  CHECK(p.inputs[0].kind == core::Quantity::temperature);
  CHECK(p.inputs[1].kind == core::Quantity::temperature_difference);
  CHECK(p.inputs[2].kind == core::Quantity::temperature_difference);
  CHECK(p.inputs[3].kind == core::Quantity::dimensionless);
}

TEST_CASE("study: what a value makes odd is told once", "[study][unit]") {
  const auto odd = scenario::read("", {{"unit.set_point", "30 degC"}}).warnings;
  REQUIRE_FALSE(odd.empty());
  const auto p = test::plan_of_text(
      "[[vary]]\nkey = \"unit.set_point\"\nvalues = [\"22 degC\", \"30 degC\"]\n");
  REQUIRE(p.warnings.size() == odd.size());
  CHECK(p.warnings[0] == "unit.set_point = 30 degC: " + odd[0]);
}

TEST_CASE("study: a van's draw does not depend on what else is drawn", "[study][property]") {
  auto u = scenario::read("", {{"uncertainty.samples", "64"}}).uncertainty;
  const auto all = study::draw(u, 5);
  u.ranges.clear();
  CHECK(study::draw(u, 5) == all);
  for (std::size_t k = 0; k < all.size(); ++k) {  // one van in each 64th of each range
    std::set<int> parts;
    for (std::size_t i = 0; i < 64; ++i) parts.insert(static_cast<int>(64 * study::draw(u, i)[k]));
    CHECK(parts.size() == 64);
  }
}

TEST_CASE("study: the spread of nights held is that of the vans", "[study][unit]") {
  cabinload::answers::Hold h;
  h.in_period = 4;
  h.needing_cooling = 3;
  h.held = 3;
  h.each_night.resize(4);
  std::vector<study::DrawnNights> vans;
  for (int lost = 0; lost < 4; ++lost)
    for (int k = 0; k < 5; ++k) {
      study::DrawnNights v;
      for (int n = 0; n < 4; ++n) {
        v.needs_cooling.push_back(n < 3);
        v.held.push_back(n >= lost);
      }
      v.electric_Wh_median = 100;
      vans.push_back(v);
    }
  const auto s = study::spread_of(h, vans);
  CHECK(s.samples == 20);
  CHECK((s.held.low == 0 && s.held.high == 3));
  CHECK_WITHIN(s.mean_1, 0.5, 1e-12);
  CHECK_WITHIN(s.held_share_1[0], 0.25, 1e-12);
  CHECK_WITHIN(s.held_share_1[3], 1, 1e-12);
  h.spread = s;
  CHECK(h.promised() == 0);
  CHECK_FALSE(h.met());
  h.needing_cooling = 1;  // of one night: an interval of its probability
  for (auto& v : vans) v.held[1] = v.held[2] = true;
  const auto one = study::spread_of(h, vans);
  CHECK_WITHIN(one.mean_1, 0.25, 1e-12);
  CHECK((one.low_1 > 0.12 && one.low_1 < 0.25 && one.high_1 > 0.25 && one.high_1 < 0.45));
}
