// SPDX-License-Identifier: Apache-2.0
// ANSI/ASHRAE Standard 140, cooling equipment E100 to E200: a unit with losses of cycling under
// constant loads, against the analytical solutions.
#include <cabinload/core/constants.hpp>
#include <cmath>
#include <numeric>

#include "support/box_run.hpp"
#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace core = cabinload::core;
namespace test = cabinload::test;
using test::Table;

namespace {

/// Of the published period.
constexpr double kHours = 28 * 24;

/// Mean of the last day of hours: steady by then.
double last_day(const std::vector<double>& hours) {
  return std::accumulate(hours.end() - 24, hours.end(), 0.0) / 24;
}

struct Figures {
  double electricity_kWh, COP, sensible_kWh, latent_kWh, load_kWh, W_1, T_degC, drift_1, on_1;
};

Figures run_case(const std::string& name) {
  const auto box =
      test::run_box(std::string(CABINLOAD_SOURCE_DIR) + "/tests/data/equipment/" + name + ".toml",
                    "", {}, {}, true);
  const auto& h = box.trace.hourly;
  Figures f{};
  f.electricity_kWh = last_day(h.unit_electric_W) * kHours / 1000;
  f.on_1 = last_day(h.compressor_on_1);
  // The zone's load is the coil's less the heat of the cabin fan, which runs with the compressor.
  f.sensible_kWh =
      (last_day(h.sensible_W) - box.scenario.unit.cabin_fan_W * f.on_1) * kHours / 1000;
  f.latent_kWh = last_day(h.latent_W) * kHours / 1000;
  f.load_kWh = f.sensible_kWh + f.latent_kWh;
  f.COP = f.load_kWh / f.electricity_kWh;
  f.W_1 = last_day(h.W_air_1);
  f.T_degC = core::to_celsius(last_day(h.T_air_mean_K));
  f.drift_1 = h.W_air_1.back() / h.W_air_1[h.W_air_1.size() - 24] - 1;
  return f;
}

class Row {
 public:
  Row(const Table& t, std::size_t row) : t_(t), row_(row) {}
  void judge(const std::string& what, double ours, const char* column, double bar_1,
             const char* unit, double scale = 1) const {
    const double value = t_.number(row_, column) * scale;
    const test::Check check{"Cooling unit",
                            t_.text(row_, "case") + ", " + what,
                            "Standard 140 equipment series, analytical mean",
                            value * (1 - bar_1),
                            value * (1 + bar_1),
                            ours,
                            unit,
                            ""};
    INFO(check.what << ": " << ours << ", published " << value << " " << unit << ", off by "
                    << 100 * (ours / value - 1) << " %");
    CHECK(check.inside());
    test::record(check);
  }

 private:
  const Table& t_;
  std::size_t row_;
};

}  // namespace

TEST_CASE("published: equipment cases E100 to E200", "[published][table]") {
  constexpr double kElectricity_1 = 0.01, kLoad_1 = 0.005, kHumidity_1 = 0.03;
  const Table t("equipment/cases.csv");
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const Figures f = run_case(t.text(i, "case"));
    const Row row(t, i);
    row.judge("electricity of 28 days", f.electricity_kWh, "electricity_28_days_analytical_kWh",
              kElectricity_1, "kWh");
    row.judge("COP", f.COP, "mean_COP_analytical", kElectricity_1, "1");
    row.judge("load of 28 days", f.load_kWh, "zone_load_28_days_analytical_kWh", kLoad_1, "kWh");
    row.judge("humidity ratio", 1000 * f.W_1, "zone_humidity_ratio_analytical_kg_per_kg",
              kHumidity_1, "g/kg", 1000);
    INFO(t.text(i, "case"));
    CHECK(std::abs(f.drift_1) < 1e-4);  // steady
  }
  CHECK(t.rows() == 14);
}
