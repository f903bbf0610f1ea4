// SPDX-License-Identifier: Apache-2.0
// ANSI/ASHRAE Standard 140, boxes 600 and 900 of both families of editions: the cooling that `load`
// finds is the cooling of the boxes' own ideal cooling, and on the standard's weather it lies
// inside the ranges of the reference programs. That weather may not be passed on: with
// CABINLOAD_STANDARD_WEATHER naming its folder the figures are computed anew and kept in
// tests/data/envelope/load_seen.csv; everywhere that file is judged as it stands.
#include <cabinload/simulation/demand.hpp>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/envelope.hpp"
#include "support/seen.hpp"
#include "support/table.hpp"

namespace network = cabinload::network;
namespace simulation = cabinload::simulation;
namespace test = cabinload::test;

namespace {

simulation::Demand demand_of(const test::BoxRun& box) {
  return simulation::demand(network::assemble(box.scenario.vehicle), box.forcing, box.scenario,
                            simulation::demand_options(box.scenario));
}

struct Cooling {
  double annual_MWh = 0, peak_kW = 0, by_cause_MWh = 0;
};

Cooling cooling_of(const simulation::Demand& d) {
  Cooling c;
  for (std::size_t h = 0; h < test::kYear_h; ++h) {
    c.annual_MWh += d.sensible_W[h] * 1e-6;
    c.peak_kW = std::max(c.peak_kW, d.sensible_W[h] * 1e-3);
    for (const auto& part : d.sensible_by_cause_W) c.by_cause_MWh += part[h] * 1e-6;
  }
  return c;
}

std::string shipped(const std::string& file) {
  return cabinload::weather::shipped_folder() + "/" + file;
}

}  // namespace

TEST_CASE("published: the demand of test boxes is what their ideal cooling takes",
          "[published][property]") {
  // Bar 0.1 % of the year and of the highest hour; a light and a heavy box, a cold and a warm year.
  constexpr double kBar_1 = 1e-3;
  const struct {
    const char *id, *year;
  } cases[] = {{"older/600", "724666TYA.CSV"},
               {"older/900", "724666TYA.CSV"},
               {"y2020/600", "724666TYA.CSV"},
               {"y2020/900", "724666TYA.CSV"},
               {"y2020/900", "722740TYA.CSV"}};
  for (const auto& [id, year] : cases) {
    const test::BoxRun box = test::run_box(test::box_path(id), shipped(year));
    const simulation::Demand demand = demand_of(box);
    const Cooling ours = cooling_of(demand);
    auto ideal = test::box_figures(box);
    INFO(id << " in " << year << ": " << ours.annual_MWh << " MWh, " << ours.peak_kW
            << " kW; ideal " << ideal["annual_cooling"] << " MWh, " << ideal["peak_cooling"]
            << " kW; worst parts " << demand.parts_residual_W << " W");
    REQUIRE(ideal["annual_cooling"] > 1);
    CHECK_RELATIVE(ours.annual_MWh, ideal["annual_cooling"], kBar_1);
    CHECK_RELATIVE(ours.peak_kW, ideal["peak_cooling"], kBar_1);
    CHECK_RELATIVE(ours.by_cause_MWh, ours.annual_MWh, 1e-9);
    CHECK(demand.parts_residual_W < 1e-6);
  }
}

namespace {

/// "older, 600, annual_cooling" -> ours, for the boxes whose cooling has a range.
std::map<std::string, double> compute(const std::string& folder) {
  std::map<std::string, double> seen;
  for (const auto& [edition, file] :
       {std::pair{"older", "/DRYCOLDTMY.epw"}, {"y2020", "/725650TYCST.epw"}})
    for (const char* name : {"600", "900"}) {
      const std::string id = std::string(edition) + '/' + name;
      const Cooling ours = cooling_of(demand_of(test::run_box(test::box_path(id), folder + file)));
      const std::string key = std::string(edition) + ", " + name;
      seen[key + ", annual_cooling"] = ours.annual_MWh;
      seen[key + ", peak_cooling"] = ours.peak_kW;
    }
  return seen;
}

}  // namespace

TEST_CASE("published: the demand of test boxes against the ranges of the reference programs",
          "[published][table]") {
  const char* folder = std::getenv("CABINLOAD_STANDARD_WEATHER");
  if (folder != nullptr) test::write_seen("envelope/load_seen.csv", compute(folder));
  const auto seen = test::read_seen("envelope/load_seen.csv");
  const test::Table ranges("envelope/ranges.csv");
  std::size_t judged = 0;
  for (std::size_t i = 0; i < ranges.rows(); ++i) {
    const std::string edition = ranges.text(i, "edition")[0] == '1' ? "older" : "y2020";
    const std::string key =
        edition + ", " + ranges.text(i, "case") + ", " + ranges.text(i, "quantity");
    const auto at = seen.find(key);
    if (at == seen.end()) continue;
    const test::Check check{"Test boxes: the demand that load finds",
                            key,
                            "ANSI/ASHRAE Standard 140",
                            ranges.number(i, "reference_programs_min"),
                            ranges.number(i, "reference_programs_max"),
                            at->second.ours,
                            ranges.text(i, "unit"),
                            "",
                            true,
                            at->second.date};
    INFO(key << ": " << check.ours << " in " << check.low << " to " << check.high);
    CHECK(check.inside());
    test::record(check);
    ++judged;
  }
  CHECK(seen.size() == 8);
  CHECK(judged == seen.size());
}

TEST_CASE("published: the kept demand and the kept ideal cooling agree", "[published][property]") {
  // Without the standard's weather the kept figures cannot be computed; but the boxes' ideal
  // cooling is kept from the same weather, and the two may differ by the bar of the first case.
  constexpr double kBar_1 = 1e-3;
  const auto demand = test::read_seen("envelope/load_seen.csv"),
             ideal = test::read_seen("envelope/seen.csv");
  for (const auto& [key, kept] : demand) {
    const std::string other = key[0] == 'y' ? key.substr(1) : key;  // seen.csv says 2020
    INFO(key);
    CHECK_RELATIVE(kept.ours, ideal.at(other).ours, kBar_1);
  }
}
