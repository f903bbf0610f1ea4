// SPDX-License-Identifier: Apache-2.0
// Against reference libraries over -20..60 degC, 1..100 %, 60..105 kPa: tests/data/reference.
#include <cabinload/air/comfort.hpp>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace air = cabinload::air;
namespace core = cabinload::core;
namespace test = cabinload::test;
using core::to_celsius;
using core::to_kelvin;
using test::Table;

namespace {

/// Largest deviation of a column, with its bar.
struct Worst {
  const char* what;
  const char* source;
  double bar;
  const char* unit;
  double seen = 0;
  void take(double off) {
    CHECK(std::abs(off) < bar);
    seen = std::max(seen, std::abs(off));
  }
  ~Worst() { test::record({"Moist air and comfort", what, source, 0, bar, seen, unit, ""}); }
};

double relative(double ours, double theirs, double floor) {
  return (ours - theirs) / std::max(std::abs(theirs), floor);
}

}  // namespace

TEST_CASE("air: moist air agrees with two libraries over the whole range", "[air][table]") {
  constexpr const char *kP = "psychrolib 2.5.0 (ASHRAE)", *kC = "CoolProp 8.0.0 (real gas)";
  Worst W{"humidity ratio, relative", kP, 1e-4, "1"}, h{"enthalpy, relative", kP, 1e-4, "1"},
      density{"density, relative", kP, 1e-4, "1"}, wet{"wet bulb", kP, 0.01, "K"},
      dew{"dew point", kP, 0.01, "K"};
  // A real gas holds 0.3 to 0.6 % more vapour (enhancement factor), so densities and enthalpies are
  // compared at the same humidity ratio, and the humidity ratio over its enhancement.
  Worst density_real{"density at equal humidity ratio, relative", kC, 0.003, "1"};
  Worst h_real{"enthalpy at equal humidity ratio, over the larger of it and 50 kJ/kg", kC, 0.003,
               "1"};
  Worst W_real{
      "humidity ratio from relative humidity, relative (enhancement of a real gas left out)", kC,
      0.008, "1"};
  const Table t("reference/moist_air.csv");
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const double T_K = to_kelvin(t.number(i, "T_degC")), p_Pa = t.number(i, "p_Pa");
    const double W_1 = t.number(i, "W_1");
    INFO(t.text(i, "T_degC") << " degC, " << t.text(i, "rh_1") << ", " << t.text(i, "p_Pa"));
    W.take(
        relative(air::humidity_ratio_from_relative_1(T_K, t.number(i, "rh_1"), p_Pa), W_1, 1e-6));
    h.take(relative(air::enthalpy_J_kg(T_K, W_1), t.number(i, "enthalpy_J_kg"), 1000));
    density.take(relative(air::density_kg_m3(T_K, W_1, p_Pa), t.number(i, "density_kg_m3"), 0.1));
    wet.take(to_celsius(air::wet_bulb_K(T_K, W_1, p_Pa)) - t.number(i, "wet_bulb_degC"));
    dew.take(to_celsius(air::dew_point_K(W_1, p_Pa)) - t.number(i, "dew_point_degC"));
    density_real.take(
        relative(air::density_kg_m3(T_K, W_1, p_Pa), t.number(i, "density_real_gas_kg_m3"), 0.1));
    h_real.take(relative(air::enthalpy_J_kg(T_K, W_1), t.number(i, "enthalpy_real_gas_J_kg"), 5e4));
    W_real.take(relative(W_1, t.number(i, "W_real_gas_1"), 1e-6));
  }
}

TEST_CASE("air: the heat index is that of the weather service", "[air][table]") {
  // The procedure as the service's page gives it, computed in the table to 0.01 degF.
  constexpr double kPrinted_degF = 0.011, kChart_degF = 0.51;  // the chart prints whole degF
  const Table chart("air/heat_index_chart.csv");
  Worst procedure{"heat index, 135 cells of the chart", "US NWS, SR 90-23", kPrinted_degF, "degF"};
  int on_chart = 0;
  for (std::size_t i = 0; i < chart.rows(); ++i) {
    const double T_degF = chart.number(i, "air_temp_degF"), rh = chart.number(i, "rh_percent");
    const double ours_degF =
        32 + 1.8 * to_celsius(air::heat_index_K(to_kelvin((T_degF - 32) / 1.8), rh / 100));
    INFO(T_degF << " degF, " << rh << " %");
    procedure.take(ours_degF - chart.number(i, "nws_procedure_with_adjustment_degF"));
    // The chart (from memory) ignores the adjustments; the service's page itself names two cells.
    if (rh > 85 || rh < 13 || T_degF < 81 || (T_degF == 90 && (rh == 45 || rh == 70))) continue;
    CHECK_WITHIN(ours_degF, chart.number(i, "heat_index_chart_degF"), kChart_degF);
    ++on_chart;
  }
  CHECK(on_chart > 90);
  // A second library (its formula has no adjustments and starts at 27 degC).
  Worst second{"heat index, unadjusted range", "pythermalcomfort 4.8.1", 0.02, "K"};
  const Table t("reference/comfort.csv");
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const double rh = t.number(i, "rh_percent"), T_degC = t.number(i, "T_degC");
    if (rh > 85 || rh < 13) continue;
    INFO(T_degC << " degC, " << rh << " %");
    second.take(to_celsius(air::heat_index_K(to_kelvin(T_degC), rh / 100)) - t.number(i, "value"));
  }
}

TEST_CASE("air: heat index adjustments and mild air follow the procedure", "[air][unit]") {
  const auto index_degF = [](double T_degF, double rh_percent) {
    return 32 +
           1.8 * to_celsius(air::heat_index_K(to_kelvin((T_degF - 32) / 1.8), rh_percent / 100));
  };
  // Regression by hand at 95 degF, 9 %: 90.16, less (4/4) sqrt(17/17) = 1; at 82 degF, 95 %: 92.97,
  // plus (10/10) (5/5) = 1; mild air: the simple formula.
  constexpr double kByHand_degF = 0.02;
  CHECK_WITHIN(index_degF(95, 9), 90.16 - 1, kByHand_degF);
  CHECK_WITHIN(index_degF(82, 95), 92.97 + 1, kByHand_degF);
  CHECK_WITHIN(index_degF(70, 50), 0.5 * (70 + 61 + 2 * 1.2 + 50 * 0.094), kByHand_degF);
}

TEST_CASE("air: classes of the heat index begin where the chart has them", "[air][table]") {
  // US National Weather Service, heat index chart: 80, 90, 103 and 125 degF.
  using air::HeatBand;
  const std::pair<double, HeatBand> from_degF[] = {{80, HeatBand::caution},
                                                   {90, HeatBand::extreme_caution},
                                                   {103, HeatBand::danger},
                                                   {125, HeatBand::extreme_danger}};
  HeatBand below = HeatBand::none;
  for (const auto& [T_degF, band] : from_degF) {
    const double T_K = to_kelvin((T_degF - 32) / 1.8);
    CHECK(air::heat_band(T_K + 1e-6) == band);
    CHECK(air::heat_band(T_K - 1e-6) == below);
    CHECK_WITHIN(air::heat_band_from_K(band), T_K, 1e-9);
    below = band;
  }
  CHECK(std::string(air::heat_band_name(HeatBand::extreme_caution)) == "extreme caution");
  CHECK(std::string(air::heat_band_name(HeatBand::none)).empty());
  CHECK_THAT(air::heat_band_means(HeatBand::extreme_danger),
             cabinload::test::contains("heat stroke highly likely"));
}

TEST_CASE("air: operative temperature weighs air and radiation by air speed", "[air][unit]") {
  CHECK_WITHIN(air::operative_temperature_K(300, 310, 0.1), 305, 1e-12);
  CHECK_WITHIN(air::operative_temperature_K(300, 310, 0.3), 304, 1e-12);
  CHECK_WITHIN(air::operative_temperature_K(300, 310, 0.8), 303, 1e-12);
  CHECK_WITHIN(air::operative_temperature_K(300, 300, 0.8), 300, 1e-12);
}
