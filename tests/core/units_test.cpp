// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/units.hpp>

#include "support/catch.hpp"

namespace core = cabinload::core;
using cabinload::test::contains;
using core::parse_quantity;
using core::Quantity;
using core::UnitSystem;

TEST_CASE("core: quantities are read as people write them", "[core][unit]") {
  struct Row {
    const char* text;
    Quantity quantity;
    double si;
  };
  const std::vector<Row> rows = {
      {"78 degF", Quantity::temperature, 298.705556},
      {"25.5 degC", Quantity::temperature, 298.65},
      {"25.5 °C", Quantity::temperature, 298.65},
      {"300 K", Quantity::temperature, 300},
      {"-40degF", Quantity::temperature, 233.15},
      {"5 degF", Quantity::temperature_difference, 2.777778},
      {"3 K", Quantity::temperature_difference, 3},
      {"3 degC", Quantity::temperature_difference, 3},
      {"6000 BTU/h", Quantity::power, 1758.4264},
      {"6000 BTU/hr", Quantity::power, 1758.4264},
      {"2 kW", Quantity::power, 2000},
      {"2.4 kWh", Quantity::energy, 8.64e6},
      {"1280 Wh", Quantity::energy, 4.608e6},
      {"100 Ah", Quantity::charge, 360000},
      {"6 ft 3 in", Quantity::length, 1.905},
      {"6' 3\"", Quantity::length, 1.905},
      {"1.5 in", Quantity::length, 0.0381},
      {"30 ft2", Quantity::area, 2.787091},
      {"30 sq ft", Quantity::area, 2.787091},
      {"0.5 m²", Quantity::area, 0.5},
      {"300 cm2", Quantity::area, 0.03},
      {"420 ft3", Quantity::volume, 11.893076},
      {"7 mph", Quantity::speed, 3.129280},
      {"200 m3/h", Quantity::volume_flow, 0.0555556},
      {"120 cfm", Quantity::volume_flow, 0.0566337},
      {"44 lb", Quantity::mass, 19.958064},
      {"1 h 30 min", Quantity::time, 5400},
      {"90 min", Quantity::time, 5400},
      {"30 %", Quantity::dimensionless, 0.3},
      {"0.3", Quantity::dimensionless, 0.3},
      {"180 degree", Quantity::angle, 3.14159265},
      {"90°", Quantity::angle, 1.57079633},
      {"0.035 W/(m K)", Quantity::conductivity, 0.035},
      {"0.035 W/mK", Quantity::conductivity, 0.035},
      {"5.8 W/m2K", Quantity::conductance, 5.8},
      {"5.8 W/(m2 K)", Quantity::conductance, 5.8},
      {"5.8 W/m2 K", Quantity::conductance, 5.8},
      {"1 BTU/(h ft2 degF)", Quantity::conductance, 5.678263},
      {"7 ft2 degF h/BTU", Quantity::resistance, 1.232771},
      {"1400 J/kgK", Quantity::specific_heat, 1400},
      {"0.25 BTU/(lb degF)", Quantity::specific_heat, 1046.7},
      {"30 kg/m3", Quantity::density, 30},
      {"1013.25 hPa", Quantity::pressure, 101325},
      {"24 V", Quantity::voltage, 24},
      {"15 A", Quantity::current, 15},
      {"8 kJ/(m2 K)", Quantity::areal_heat_capacity, 8000},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    CHECK_RELATIVE(parse_quantity(row.text, row.quantity), row.si, 1e-6);  // digits of the table
  }
}

TEST_CASE("core: what is not the wanted quantity says why and what would be right",
          "[core][unit]") {
  struct Row {
    const char* text;
    Quantity quantity;
    const char* part;
  };
  const std::vector<Row> rows = {
      {"30 kWh", Quantity::area,
       "'kWh' measures something else; an area is written like 2.8 m2 or 30 ft2"},
      {"30", Quantity::area, "has no unit"},
      {"30 blorps", Quantity::area, "unknown unit 'blorps'"},
      {"warm", Quantity::temperature, "is not a number with a unit"},
      {"26 C", Quantity::temperature, "write degC"},
      {"78 F", Quantity::temperature, "write degF"},
      {"nan degC", Quantity::temperature, "not a finite number"},
      {"inf W", Quantity::power, "not a finite number"},
      {"", Quantity::power, "is empty"},
      {"2 m2 3 m2", Quantity::area, "more than one number"},
      {"1e999 W", Quantity::power, "is not a number"},
      {"12 V", Quantity::power, "measures something else"},
      {"5 kg", Quantity::dimensionless, "measures something else"},
  };
  for (const Row& row : rows) {
    INFO(row.text);
    CHECK_THROWS_WITH(parse_quantity(row.text, row.quantity), contains(row.part));
  }
}

TEST_CASE("core: values are shown in both systems", "[core][unit]") {
  const auto si = [](double v, Quantity q, int d) {
    return core::format_quantity(v, q, UnitSystem::si, d);
  };
  const auto us = [](double v, Quantity q, int d) {
    return core::format_quantity(v, q, UnitSystem::us, d);
  };
  CHECK(si(298.15, Quantity::temperature, 1) == "25.0 °C");
  CHECK(us(298.15, Quantity::temperature, 0) == "77 °F");
  CHECK(us(10, Quantity::temperature_difference, 0) == "18 °F");
  CHECK(us(1758.4264, Quantity::power, 0) == "6000 BTU/h");
  CHECK(si(8.64e6, Quantity::energy, 1) == "2.4 kWh");
  CHECK(si(-0.01, Quantity::length, 1) == "0.0 m");
  CHECK(si(0.3, Quantity::dimensionless, 1) == "0.3");
}

TEST_CASE("core: what is shown reads back", "[core][property]") {
  for (int q = 1; q <= static_cast<int>(Quantity::areal_heat_capacity); ++q) {
    const auto quantity = static_cast<Quantity>(q);
    for (const auto system : {UnitSystem::si, UnitSystem::us}) {
      const std::string text = core::format_quantity(3.0125e6, quantity, system, 9);
      INFO(text);
      CHECK_RELATIVE(parse_quantity(text, quantity), 3.0125e6, 1e-6);
    }
  }
}

TEST_CASE("core: units as others read them", "[core][unit]") {
  for (const auto& [written, spelled] : {std::pair{"kWh", "kW h"},
                                         {"", "1"},
                                         {"%", "0.01"},
                                         {"degF", "degF"},
                                         {"°C", "degC"},
                                         {"cm2", "cm2"},
                                         {"W/(m2 degF)", "W/(m2 (K/1.8))"},
                                         {"kmh", "km/h"}})
    CHECK(core::udunits_spelling(written) == spelled);
  CHECK_THROWS_AS(core::udunits_spelling("furlongs per fortnite"), core::UnitError);
  CHECK_THROWS_AS(core::udunits_spelling("ft 3 furlongz"), core::UnitError);
}
