// SPDX-License-Identifier: Apache-2.0
// A year of panels through weather, forcing, supply and step loop, against a reference library.
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <map>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/sample_run.hpp"
#include "support/table.hpp"

namespace core = cabinload::core;
namespace power = cabinload::power;
namespace simulation = cabinload::simulation;
namespace test = cabinload::test;
namespace weather = cabinload::weather;

namespace {

/// 1 kW of panels on a battery that takes all they give.
cabinload::scenario::Scenario kilowatt(power::Mount mount, double tilt_rad) {
  auto s = test::sample_scenario();
  s.supply.bank = power::bank_of(power::Chemistry::lfp, 1e14, 24);
  s.supply.bank.start_1 = 0.5;
  s.supply.bank.place = s.supply.electronics = power::Place::outside;
  // In the cold it would take less, which is not what is looked at here.
  s.supply.bank.cells.charge_per_h = {{{200, 1}}};
  s.supply.panels.emplace();
  s.supply.panels->stc_W = 1000;
  s.supply.panels->mount = mount;
  s.battery_full_at_s = std::nan("");
  s.site.planes = {{tilt_rad, core::kPi, false, false}};  // south
  s.start.warm_up_days = 0;
  s.step_s = 120;
  s.people.clear();
  return s;
}

std::vector<double> months_kWh(const simulation::Hourly& h) {
  std::vector<double> kWh(12, 0.0);
  for (std::size_t i = 0; i < core::kHoursInYear; ++i)
    kWh[static_cast<std::size_t>(core::date_of(static_cast<int>(i / 24)).month - 1)] +=
        h.solar_W[i] / 1000;
  return kWh;
}

}  // namespace

TEST_CASE("simulation: a year of panels agrees with a reference library month by month",
          "[simulation][table][slow]") {
  // tests/python/panel_year.py: sun, Perez sky, Faiman's cell temperature and linear power by
  // pvlib; the rule within the hour is ours in both. Bar 0.5 % a month.
  constexpr double kBar_1 = 0.005;
  const test::Table t("power/panel_year.csv");
  REQUIRE(t.rows() == 5 * 2 * 12);
  std::map<std::string, test::Worst> worst;
  for (std::size_t row = 0; row < t.rows(); row += 12) {
    const std::string& file = t.text(row, "year");
    const bool roof = t.text(row, "mount") == "roof";
    const auto scenario = kilowatt(roof ? power::Mount::roof : power::Mount::portable,
                                   t.number(row, "tilt_deg") * core::kDegree_rad);
    const auto series = weather::read(weather::shipped_folder() + "/" + file);
    const auto forcing = cabinload::forcing::make(series, scenario.site, scenario.vehicle);
    simulation::Options options;
    options.unit_enabled = false;
    const auto trace =
        simulation::run(cabinload::network::assemble(scenario.vehicle), forcing, scenario, options);
    const std::vector<double> kWh = months_kWh(trace.hourly);
    for (std::size_t m = 0; m < 12; ++m) {
      INFO(file << ", " << t.text(row + m, "mount") << ", month " << m + 1);
      REQUIRE(t.number(row + m, "month") == static_cast<double>(m + 1));
      CHECK(worst[t.text(row, "mount")].see_relative(kWh[m], t.number(row + m, "kWh")) < kBar_1);
    }
  }
  for (const auto& [mount, w] : worst)
    w.record("Panels", "1 kW, " + mount + ", five shipped years, month's energy, relative, worst",
             "pvlib 0.16.1 (Perez 1990, Faiman 2008, linear coefficient)", kBar_1, "1");
}
