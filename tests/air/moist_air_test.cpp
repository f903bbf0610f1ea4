// SPDX-License-Identifier: Apache-2.0
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>

#include "support/catch.hpp"
#include "support/table.hpp"

namespace air = cabinload::air;
using cabinload::core::to_celsius;
using cabinload::core::to_kelvin;
using cabinload::test::Table;

TEST_CASE("air: functions give the handbook's tables and example", "[air][table]") {
  // ASHRAE Fundamentals 2017 ch. 1 tables 1 to 3 and example 1; tolerance of each row stands in the
  // file.
  const Table t("air/published.csv");
  std::size_t checked = 0;
  // Example 1: 40 degC dry bulb, 20 degC wet bulb: the humidity ratio whose wet bulb is 20 degC.
  double W = 0.0001;
  for (double step = 0.01; step > 1e-9; step /= 2)
    if (to_celsius(air::wet_bulb_K(to_kelvin(40), W + step, 101325)) < 20) W += step;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const std::string& q = t.text(i, "quantity");
    const double at = t.number(i, "temperature_degC_or_altitude_m"), wanted = t.number(i, "value");
    const double T_K = to_kelvin(at),
                 p = t.text(i, "pressure_Pa").empty() ? 101325 : t.number(i, "pressure_Pa");
    const double Ws = air::saturation_humidity_ratio_1(T_K, p);
    double ours = 0;
    if (q == "saturation_pressure")
      ours = air::saturation_pressure_Pa(T_K);
    else if (q == "saturation_humidity_ratio")
      ours = Ws;
    else if (q == "saturated_air_enthalpy")
      ours = air::enthalpy_J_kg(T_K, Ws);
    else if (q == "dry_air_enthalpy")
      ours = air::enthalpy_J_kg(T_K, 0);
    else if (q == "dry_air_specific_volume")
      ours = 1 / air::density_kg_m3(T_K, 0, p);
    else if (q == "standard_pressure_at_altitude_m")
      ours = air::standard_pressure_Pa(at);
    else if (q.rfind("ex1_humidity_ratio", 0) == 0)
      ours = W;
    else if (q.rfind("ex1_dew_point", 0) == 0)
      ours = to_celsius(air::dew_point_K(W, p));
    else if (q.rfind("ex1_relative", 0) == 0)
      ours = air::relative_humidity_1(T_K, W, p);
    else if (q.rfind("ex1_enthalpy", 0) == 0)
      ours = air::enthalpy_J_kg(T_K, W);
    else if (q.rfind("ex1_specific_volume", 0) == 0)
      ours = (1 + W) / air::density_kg_m3(T_K, W, p);
    else
      continue;
    ++checked;
    INFO(q << " at " << at);
    CHECK_RELATIVE(ours, wanted, t.number(i, "relative_tolerance"));
  }
  CHECK(checked == t.rows());
}

TEST_CASE("air: functions agree with a second library over the cabin's range", "[air][table]") {
  // PsychroLib; bars 1e-4 relative and 0.01 K. Printed digits add half a unit of the last place.
  const Table t("air/computed.csv");
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const double T_K = to_kelvin(t.number(i, "dry_bulb_degC")), p = t.number(i, "pressure_Pa");
    const double W = air::humidity_ratio_from_relative_1(T_K, t.number(i, "rh_percent") / 100, p);
    INFO("row " << i << ", " << t.number(i, "dry_bulb_degC") << " degC");
    CHECK_RELATIVE(W, t.number(i, "humidity_ratio_kg_per_kg"), 1e-4);
    CHECK_WITHIN(to_celsius(air::wet_bulb_K(T_K, W, p)), t.number(i, "wet_bulb_degC"), 0.01);
    CHECK_WITHIN(to_celsius(air::dew_point_K(W, p)), t.number(i, "dew_point_degC"), 0.01);
    CHECK_RELATIVE(air::enthalpy_J_kg(T_K, W), t.number(i, "enthalpy_J_per_kg"), 1e-4);
    CHECK_RELATIVE(air::density_kg_m3(T_K, W, p), t.number(i, "density_kg_per_m3"), 1e-4);
  }
}

TEST_CASE("air: there and back", "[air][property]") {
  for (double t = -20; t <= 60; t += 4)
    for (double rh = 0.02; rh <= 1.0; rh += 0.07)
      for (const double p : {60000.0, 85000.0, 105000.0}) {
        const double T_K = to_kelvin(t), W = air::humidity_ratio_from_relative_1(T_K, rh, p);
        INFO(t << " degC, " << rh << ", " << p << " Pa");
        CHECK_RELATIVE(air::relative_humidity_1(T_K, W, p), rh, 1e-12);
        CHECK_RELATIVE(air::humidity_ratio_from_dew_point_1(air::dew_point_K(W, p), p), W, 1e-7);
        CHECK_RELATIVE(air::temperature_from_enthalpy_K(air::enthalpy_J_kg(T_K, W), W), T_K, 1e-12);
        const double wet_K = air::wet_bulb_K(T_K, W, p);
        CHECK(wet_K <= T_K + 1e-9);
        CHECK(wet_K >= air::dew_point_K(W, p) - 0.01);
      }
}
