// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/error.hpp>
#include <cabinload/wiring/conductor.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace wiring = cabinload::wiring;
using cabinload::test::contains;
using cabinload::test::Table;
using cabinload::test::Worst;

namespace {
constexpr const char* kGroup = "Conductors and fuses";
constexpr double kMetresPerKft = 304.8;
constexpr double kMm2PerCircularMil = 5.067074790974977e-4;  // pi/4 (0.0254 mm)^2
}  // namespace

TEST_CASE("wiring: gauges have the standard's area and the code's resistance",
          "[wiring][published]") {
  const Table t("wiring/awg_resistance.csv");
  Worst area, stranded;
  constexpr double kArea_1 = 1e-3, kStranded_1 = 5e-3;  // as printed
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const auto& size = wiring::awg_size(t.text(i, "awg"));
    INFO(size.name << " AWG");
    CHECK_WITHIN(wiring::diameter_mm(size), t.number(i, "diameter_B258_formula_mm"), 5.1e-5);
    CHECK(area.see_relative(wiring::area_mm2(size), t.number(i, "area_formula_mm2")) <= kArea_1);
    CHECK_RELATIVE(wiring::area_mm2(size) / kMm2PerCircularMil,
                   t.number(i, "area_formula_circular_mil"), 1e-3);
    // Printed to three or four digits: 1620 for 1624.
    CHECK_RELATIVE(wiring::area_mm2(size) / kMm2PerCircularMil,
                   t.number(i, "area_nec_circular_mil"), 3e-3);
    const auto ohm_kft = [&](wiring::Strand strand) {
      return wiring::resistance_ohm_m(size, 75, strand) * kMetresPerKft;
    };
    CHECK_RELATIVE(wiring::resistance_ohm_m(size, 20, wiring::Strand::solid) * 1e3,
                   t.number(i, "solid_20C_from_formula_ohm_per_km"), 3e-4);
    CHECK_RELATIVE(wiring::resistance_ohm_m(size, 75, wiring::Strand::solid) * 1e3,
                   t.number(i, "solid_75C_from_formula_ohm_per_km"), 3e-4);
    CHECK_RELATIVE(ohm_kft(wiring::Strand::solid),
                   t.number(i, "solid_75C_from_formula_ohm_per_kft"), 1e-3);
    const std::string& printed = t.text(i, "nec_t8_solid_uncoated_75C_ohm_per_kft");
    if (!printed.empty()) {
      // 0.3 %, or the last digit printed: 1.21 for 1.2147.
      const auto decimals = printed.size() - printed.find('.') - 1;
      INFO("printed " << printed << ", ours " << ohm_kft(wiring::Strand::solid));
      CHECK(cabinload::test::close(ohm_kft(wiring::Strand::solid), std::stod(printed), 3e-3,
                                   0.5 * std::pow(10, -static_cast<double>(decimals))));
    }
    CHECK(stranded.see_relative(ohm_kft(wiring::Strand::stranded),
                                t.number(i, "nec_t8_stranded_uncoated_75C_ohm_per_kft")) <=
          kStranded_1);
  }
  area.record(kGroup, "area of a gauge, relative", "ASTM B258", kArea_1, "1");
  stranded.record(kGroup, "stranded resistance at 75 degC, relative", "NEC chapter 9 table 8",
                  kStranded_1, "1");
}

TEST_CASE("wiring: copper has the handbook's constants", "[wiring][published]") {
  const Table t("wiring/copper_constants.csv");
  const auto value = [&](std::size_t row, const char* starts) {
    REQUIRE(t.text(row, "item").rfind(starts, 0) == 0);
    return t.number(row, "value");
  };
  CHECK(wiring::kCopperResistivity20_ohm_m == value(0, "resistivity"));
  CHECK_RELATIVE(wiring::kCopperResistivity20_ohm_m * wiring::kCopperDensity_kg_m3 * 1e3,
                 value(1, "mass resistivity"), 1e-4);
  CHECK(wiring::kCopperDensity_kg_m3 == value(2, "density"));
  CHECK(wiring::kCopperCoefficient20_1_K == value(3, "temperature coefficient at 20"));
  const double at_75 = wiring::kCopperCoefficient20_1_K / wiring::copper_ratio_1(75);
  CHECK_WITHIN(at_75, value(4, "temperature coefficient at 75"), 5e-6);
  // R2 = R1 (1 + alpha_75 (T2 - 75)) is the same line.
  for (const double T_degC : {-40.0, 20.0, 65.0, 105.0})
    CHECK_WITHIN(wiring::copper_ratio_1(T_degC),
                 wiring::copper_ratio_1(75) * (1 + at_75 * (T_degC - 75)), 1e-12);
}

TEST_CASE("wiring: metric sizes and temperature factors are the standard's",
          "[wiring][published]") {
  const Table sizes("wiring/iec60228_class5.csv");
  REQUIRE(sizes.rows() == wiring::metric_sizes().size());
  for (std::size_t i = 0; i < sizes.rows(); ++i) {
    const auto& size = wiring::metric_sizes()[i];
    CHECK(size.area_mm2 == sizes.number(i, "nominal_area_mm2"));
    CHECK(size.plain_20C_ohm_km == sizes.number(i, "max_resistance_20C_plain_ohm_per_km"));
    CHECK(size.tinned_20C_ohm_km == sizes.number(i, "max_resistance_20C_tinned_ohm_per_km"));
    CHECK(wiring::next_metric(size.area_mm2) == &size);
    CHECK_RELATIVE(wiring::resistance_ohm_m(size, 20, wiring::Finish::plain) * 1e3,
                   size.plain_20C_ohm_km, 1e-12);
  }
  CHECK(wiring::next_metric(150.1) == nullptr);
  const Table factors("wiring/iec60228_temperature_factor.csv");
  Worst factor;
  constexpr double kPrinted_1 = 1e-3;  // to three digits
  for (std::size_t i = 0; i < factors.rows(); ++i) {
    const double T_degC = factors.number(i, "conductor_temp_degC");
    INFO(T_degC << " degC");
    CHECK(factor.see(wiring::iec_factor_1(T_degC), factors.number(i, "kt_R20_over_Rt")) <=
          kPrinted_1);
    CHECK_WITHIN(1 / wiring::copper_ratio_1(T_degC),
                 factors.number(i, "formula_254.5_over_234.5_plus_t"), 1e-4);
  }
  factor.record(kGroup, "factor of temperature, 5 to 90 degC", "IEC 60228", kPrinted_1, "1");
}

TEST_CASE("wiring: gauges run from thin to thick and know their names", "[wiring][unit]") {
  double last_mm2 = 0;
  for (const auto& size : wiring::awg_sizes()) {
    CHECK(wiring::area_mm2(size) > last_mm2);
    last_mm2 = wiring::area_mm2(size);
    CHECK(&wiring::awg_size(std::string(size.name)) == &size);
  }
  CHECK_THROWS_WITH(wiring::awg_size("5/0"), contains("'5/0' is not known"));
  CHECK_THROWS_WITH(wiring::awg_size("5/0"), contains("1/0, 2/0, 3/0, 4/0"));
}
