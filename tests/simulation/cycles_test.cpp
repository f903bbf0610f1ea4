// SPDX-License-Identifier: Apache-2.0
// Real on and off, second by second, against the load solved inside the step.
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <cmath>
#include <map>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/sample_run.hpp"
#include "support/scenario_text.hpp"

namespace core = cabinload::core;
namespace forcing = cabinload::forcing;
namespace network = cabinload::network;
namespace scenario = cabinload::scenario;
namespace simulation = cabinload::simulation;
namespace test = cabinload::test;
namespace weather = cabinload::weather;

namespace {

/// A year's weather on the default vehicle.
const forcing::Forcing& forcing_of(const scenario::Scenario& s) {
  static std::map<std::string, forcing::Forcing> made;
  for (const auto& year : weather::shipped_years())
    if (year.key == s.weather.file && !made.contains(year.key))
      made.emplace(year.key,
                   forcing::make(weather::read(weather::shipped_folder() + "/" + year.file), s.site,
                                 s.vehicle));
  return made.at(s.weather.file);
}

struct Pair {
  double electricity_1 = 0;  ///< in-step over real, less 1
  double bed_K = 0;          ///< largest difference of hour means
  double bed_mean_K = 0;     ///< of the hours that the unit is on
};

/// The night of 20 July in the default van.
Pair compare(const std::string& place, const std::string& unit) {
  auto s = test::read_text("[weather]\nfile = \"" + place +
                           "\"\n[night]\nfrom = \"07-20\"\nto = \"07-20\"\n[battery]\ncapacity = "
                           "\"20 kWh\"\n[run]\nwarm_up_days = 1\n[unit]\n" +
                           unit);
  const auto run = [&](bool cycles) {
    s.step_s = cycles ? 1 : 60;
    simulation::Options options;
    options.cycles = cycles;
    return simulation::run(network::assemble(s.vehicle), forcing_of(s), s, options);
  };
  const auto step = run(false), real = run(true);
  CHECK(real.balance.worst() < 1e-6);
  Pair p;
  p.electricity_1 = step.electric_total_Wh / real.electric_total_Wh - 1;
  double on_h = 0;
  for (std::size_t i = 0; i < step.hourly.T_bed_mean_K.size(); ++i) {
    const double off_K = step.hourly.T_bed_mean_K[i] - real.hourly.T_bed_mean_K[i];
    p.bed_K = std::max(p.bed_K, std::abs(off_K));
    if (step.hourly.compressor_on_1[i] > 0) p.bed_mean_K += off_K, ++on_h;
  }
  p.bed_mean_K /= on_h;
  CHECK(on_h > 6);
  return p;
}

}  // namespace

TEST_CASE("simulation: real on and off agrees with the load solved inside the step",
          "[simulation][integration]") {
  // A thermostat holds within half its differential; where a cycle takes an hour that is what an
  // hour's mean can be off by.
  const std::string differential = "differential = \"0.5 K\"\n";
  test::Check electricity{"Cooling unit", "", "own run in steps of 1 s", -0.02, 0.02, 0, "1", ""};
  test::Check bed{"Cooling unit", "", "own run in steps of 1 s", 0, 0.2, 0, "K", ""};
  for (const std::string place : {"tucson", "miami"}) {
    electricity.ours = bed.ours = 0;
    for (const std::string unit :
         {"model = \"generic-2000-24v\"\n", "model = \"generic-2600-48v\"\n",
          "model = \"generic-1500-12v\"\nfan_always = false\nfan_run_on = \"2 min\"\n"}) {
      const Pair p = compare(place, unit + differential);
      INFO(place << ": " << unit << "electricity " << 100 * p.electricity_1 << " %, bed " << p.bed_K
                 << " K at hour means");
      CHECK(std::abs(p.electricity_1) < 0.02);
      CHECK(p.bed_K < 0.2);
      if (std::abs(p.electricity_1) > std::abs(electricity.ours))
        electricity.ours = p.electricity_1;
      bed.ours = std::max(bed.ours, p.bed_K);
    }
    electricity.what =
        "load in the step over real on and off, night in " + place + ", three units: electricity";
    bed.what = "load in the step and real on and off, night in " + place +
               ", three units: bed at hour means";
    test::record(electricity);
    test::record(bed);
  }
}

TEST_CASE("simulation: a unit that only goes on and off", "[simulation][integration]") {
  // Its shortest runs and rests, 3 min, swing the cabin by kelvins, whatever the differential.
  for (const std::string place : {"tucson", "miami"}) {
    const Pair p = compare(place, "model = \"generic-2000-24v\"\nminimum_speed = 1\n");
    INFO(place << ": electricity " << 100 * p.electricity_1 << " %, bed " << p.bed_K
               << " K at hour means, " << p.bed_mean_K << " K in the mean");
    CHECK(std::abs(p.electricity_1) < 0.02);
    CHECK(std::abs(p.bed_mean_K) < 0.1);
    CHECK(p.bed_K < 0.3);
  }
}
