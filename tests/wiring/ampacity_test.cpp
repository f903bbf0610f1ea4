// SPDX-License-Identifier: Apache-2.0
#include <array>
#include <cabinload/core/error.hpp>
#include <cabinload/wiring/ampacity.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace wiring = cabinload::wiring;
using cabinload::test::contains;
using cabinload::test::Table;
using cabinload::test::Worst;
using I = wiring::Insulation;

namespace {
constexpr const char* kGroup = "Conductors and fuses";
constexpr std::array kNec{I::c60, I::c75, I::c90};
const std::array<std::string, 3> kColumns{"60C", "75C", "90C"};
}  // namespace

TEST_CASE("wiring: ampacity is the code's table", "[wiring][published]") {
  const Table t("wiring/nec_310_16_copper.csv");
  Worst ampacity;
  for (std::size_t i = 0; i < t.rows(); ++i)
    for (std::size_t k = 0; k < 3; ++k) {
      const auto& size = wiring::awg_size(t.text(i, "awg"));
      INFO(size.name << " AWG, " << kColumns[k]);
      CHECK(ampacity.see(wiring::table_ampacity_A(size, kNec[k]),
                         t.number(i, "ampacity_" + kColumns[k] + "_A")) == 0);
    }
  ampacity.record(kGroup, "ampacity of copper, 60, 75, 90 degC", "NEC table 310.16", 0, "A");
  CHECK(std::isnan(wiring::table_ampacity_A(wiring::awg_size("16"), I::c90)));
  CHECK(std::isnan(wiring::table_ampacity_A(wiring::awg_size("20"), I::marine_c105)));
}

TEST_CASE("wiring: the ambient's factor is the code's table over the whole range",
          "[wiring][published]") {
  const Table t("wiring/nec_310_15_B1_factors.csv");
  Worst worst;
  Worst by_formula;
  constexpr double kFormula_1 = 6e-3;  // the table is rounded to two digits
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const std::string range = t.text(i, "ambient_range_degC");
    const bool first = range.rfind("<=", 0) == 0;
    const double top_degC = std::stod(range.substr(first ? 2 : range.find('-') + 1));
    const double bottom_degC = first ? -40 : std::stod(range);
    for (std::size_t k = 0; k < 3; ++k) {
      INFO(range << " degC, " << kColumns[k]);
      if (t.text(i, "factor_" + kColumns[k]).empty()) {
        CHECK_THROWS_WITH(wiring::ambient_factor_1(kNec[k], bottom_degC), contains("at most"));
        continue;
      }
      const double factor = t.number(i, "factor_" + kColumns[k]);
      CHECK(worst.see(wiring::ambient_factor_1(kNec[k], top_degC), factor) == 0);
      CHECK(worst.see(wiring::ambient_factor_1(kNec[k], bottom_degC), factor) == 0);
      if (!first) CHECK(wiring::ambient_factor_1(kNec[k], bottom_degC - 0.5) == factor);
      const double formula = wiring::ambient_formula_1(wiring::rating_degC(kNec[k]), top_degC);
      CHECK_WITHIN(formula, t.number(i, "formula_at_range_top_" + kColumns[k]), 5.1e-4);
      CHECK(by_formula.see(formula, factor) <= kFormula_1);
    }
  }
  constexpr const char* kSource = "NEC table 310.15(B)(1)(1)";
  worst.record(kGroup, "correction for the ambient, table", kSource, 0, "1");
  by_formula.record(kGroup, "correction for the ambient, formula at the top of a range", kSource,
                    kFormula_1, "1");
}

TEST_CASE("wiring: boat cable has the marine table, engine space and bundles",
          "[wiring][published]") {
  const Table t("wiring/marine_ampacity_105C.csv");
  Worst boat;
  constexpr double kPrinted_A = 0.0501;  // half the last digit
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const auto& size = wiring::awg_size(t.text(i, "awg"));
    INFO(size.name << " AWG");
    const auto A = [&](double ambient_degC, bool engine_space, int together) {
      return wiring::ampacity_A(size, {I::marine_c105, ambient_degC, engine_space, together});
    };
    const auto agree = [&](double ours_A, const char* column) {
      CHECK(boat.see(ours_A, t.number(i, column)) <= kPrinted_A);
    };
    agree(A(30, false, 1), "outside_engine_space_30C_A");
    agree(A(50, true, 2), "inside_engine_space_50C_A");
    agree(A(30, false, 3), "three_bundled_outside_A");
    for (const int n : {4, 6}) agree(A(30, false, n), "four_to_six_bundled_outside_A");
    for (const int n : {7, 24}) agree(A(30, false, n), "seven_to_24_bundled_outside_A");
  }
  boat.record(kGroup, "ampacity of boat cable, engine space, bundles; printed to 0.1 A",
              "ABYC E-11", kPrinted_A, "A");
}

TEST_CASE("wiring: bundles have the code's factors", "[wiring][published]") {
  // NEC 310.15(C)(1), read on two pages, alike.
  const std::array<std::array<double, 2>, 11> rows{{{1, 1},
                                                    {3, 1},
                                                    {4, 0.8},
                                                    {6, 0.8},
                                                    {7, 0.7},
                                                    {10, 0.5},
                                                    {20, 0.5},
                                                    {21, 0.45},
                                                    {31, 0.4},
                                                    {40, 0.4},
                                                    {41, 0.35}}};
  for (const auto& [together, factor] : rows)
    CHECK(wiring::bundle_factor_1(I::c75, static_cast<int>(together)) == factor);
  CHECK_THROWS_WITH(wiring::bundle_factor_1(I::c75, 0), contains("conductors together = 0"));
}

TEST_CASE("wiring: a conductor at its ampacity is at its rating, without current at the ambient",
          "[wiring][property]") {
  for (const double rating_degC : {60.0, 75.0, 90.0, 105.0})
    for (const double ambient_degC : {-20.0, 30.0, 55.0}) {
      CHECK_WITHIN(wiring::conductor_degC(37, 37, ambient_degC, rating_degC), rating_degC, 1e-9);
      CHECK_WITHIN(wiring::conductor_degC(0, 37, ambient_degC, rating_degC), ambient_degC, 1e-12);
      // In between it satisfies rise = (rating - ambient) (I/A)^2 R(T)/R(rating).
      const double T = wiring::conductor_degC(22, 37, ambient_degC, rating_degC);
      CHECK_WITHIN(T - ambient_degC,
                   (rating_degC - ambient_degC) * (22.0 / 37) * (22.0 / 37) *
                       wiring::copper_ratio_1(T) / wiring::copper_ratio_1(rating_degC),
                   1e-9);
    }
  CHECK_THROWS_WITH(wiring::conductor_degC(400, 37, 30, 90), contains("current = 400 A"));
}

TEST_CASE("wiring: terminals cap the ampacity at their own column", "[wiring][unit]") {
  const auto& six = wiring::awg_size("6");
  CHECK(wiring::terminal_cap_A(six, I::c90, 75) == 65);
  CHECK(wiring::terminal_cap_A(six, I::c90, 60) == 55);
  CHECK(std::isinf(wiring::terminal_cap_A(six, I::c75, 75)));
  // The marine cap is the current at which the formula's conductor is at 75 degC in 30 degC.
  CHECK_WITHIN(wiring::terminal_cap_A(six, I::marine_c105, 75), 120 * std::sqrt(45.0 / 75), 1e-9);
  CHECK_THROWS_WITH(wiring::terminal_cap_A(six, I::c90, 80), contains("60, 75, 90 or 105"));
  CHECK_THROWS_WITH(wiring::ambient_formula_1(60, 60), contains("below the insulation's rating"));
  CHECK_THROWS_WITH(wiring::ambient_factor_1(I::marine_c105, std::nan("")), contains("ambient"));
}
