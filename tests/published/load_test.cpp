// SPDX-License-Identifier: Apache-2.0
// ANSI/ASHRAE Standard 140, boxes 600 and 900 of both families of editions: the cooling that `load`
// finds is the cooling of the boxes' own ideal cooling, and where the standard's weather is at hand
// it lies inside the ranges of the reference programs.
#include <cabinload/simulation/demand.hpp>

#include "support/catch.hpp"
#include "support/envelope.hpp"
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

TEST_CASE("published: the demand of test boxes against the ranges of the reference programs",
          "[published][table]") {
  const char* folder = std::getenv("CABINLOAD_STANDARD_WEATHER");
  if (folder == nullptr) {
    SUCCEED("needs the standard's own weather");
    return;
  }
  const test::Table ranges("envelope/ranges.csv");
  std::map<std::string, Cooling> boxes;
  for (const char* id : {"older/600", "older/900", "y2020/600", "y2020/900"})
    boxes[id] = cooling_of(demand_of(test::run_box(
        test::box_path(id),
        std::string(folder) + (id[0] == 'o' ? "/DRYCOLDTMY.epw" : "/725650TYCST.epw"))));
  int judged = 0;
  for (std::size_t i = 0; i < ranges.rows(); ++i) {
    const std::string name = ranges.text(i, "case"), quantity = ranges.text(i, "quantity");
    if ((name != "600" && name != "900") ||
        (quantity != "annual_cooling" && quantity != "peak_cooling"))
      continue;
    const bool older = ranges.text(i, "edition")[0] == '1';
    const Cooling& ours = boxes.at((older ? "older/" : "y2020/") + name);
    const double figure = quantity == "annual_cooling" ? ours.annual_MWh : ours.peak_kW;
    INFO(ranges.text(i, "edition") << ' ' << name << ' ' << quantity << ": " << figure);
    CHECK(figure >= ranges.number(i, "reference_programs_min"));
    CHECK(figure <= ranges.number(i, "reference_programs_max"));
    ++judged;
  }
  CHECK(judged == 8);
}
