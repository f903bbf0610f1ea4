// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cabinload/core/error.hpp>
#include <cabinload/wiring/ampacity.hpp>
#include <cmath>
#include <limits>

namespace cabinload::wiring {
namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

/// [NEC] 310.16 copper 60, 75, 90 degC; [ABYC-E11] 105 degC outside engine spaces; all at 30 degC.
struct Row {
  int awg;
  double c60, c75, c90, marine;
};
constexpr std::array<Row, 15> kAmpacity_A{{{18, kNone, kNone, kNone, 20},
                                           {16, kNone, kNone, kNone, 25},
                                           {14, 15, 20, 25, 35},
                                           {12, 20, 25, 30, 45},
                                           {10, 30, 35, 40, 60},
                                           {8, 40, 50, 55, 80},
                                           {6, 55, 65, 75, 120},
                                           {4, 70, 85, 95, 160},
                                           {3, 85, 100, 115, 180},
                                           {2, 95, 115, 130, 210},
                                           {1, 110, 130, 145, 245},
                                           {0, 125, 150, 170, 285},
                                           {-1, 145, 175, 195, 330},
                                           {-2, 165, 200, 225, 385},
                                           {-3, 195, 230, 260, 445}}};

/// [NEC] 310.15(B)(1)(1), 30 degC base: the range's top and the factors.
struct Range {
  double top_degC, c60, c75, c90;
};
constexpr std::array<Range, 16> kAmbient_1{{{10, 1.29, 1.2, 1.15},
                                            {15, 1.22, 1.15, 1.12},
                                            {20, 1.15, 1.11, 1.08},
                                            {25, 1.08, 1.05, 1.04},
                                            {30, 1, 1, 1},
                                            {35, 0.91, 0.94, 0.96},
                                            {40, 0.82, 0.88, 0.91},
                                            {45, 0.71, 0.82, 0.87},
                                            {50, 0.58, 0.75, 0.82},
                                            {55, 0.41, 0.67, 0.76},
                                            {60, kNone, 0.58, 0.71},
                                            {65, kNone, 0.47, 0.65},
                                            {70, kNone, 0.33, 0.58},
                                            {75, kNone, kNone, 0.5},
                                            {80, kNone, kNone, 0.41},
                                            {85, kNone, kNone, 0.29}}};

constexpr double kTables_degC = 30.0;
constexpr double kEngineSpace_1 = 0.85;

struct Bundle {
  int up_to;
  double factor_1;
};
constexpr std::array<Bundle, 6> kBundleNec{
    {{3, 1}, {6, 0.8}, {9, 0.7}, {20, 0.5}, {30, 0.45}, {40, 0.4}}};
constexpr double kBundleNecRest_1 = 0.35;
constexpr std::array<Bundle, 4> kBundleMarine{{{2, 1}, {3, 0.7}, {6, 0.6}, {24, 0.5}}};
constexpr double kBundleMarineRest_1 = 0.4;  // from memory

template <class Entry>
double column(const Entry& row, Insulation insulation) {
  if (insulation == Insulation::c60) return row.c60;
  return insulation == Insulation::c75 ? row.c75 : row.c90;
}

}  // namespace

double rating_degC(Insulation insulation) {
  switch (insulation) {
    case Insulation::c60:
      return 60;
    case Insulation::c75:
      return 75;
    case Insulation::c90:
      return 90;
    case Insulation::marine_c105:
      break;
  }
  return 105;
}

double table_ampacity_A(const AwgSize& size, Insulation insulation) {
  for (const Row& row : kAmpacity_A)
    if (row.awg == size.number)
      return insulation == Insulation::marine_c105 ? row.marine : column(row, insulation);
  return kNone;
}

double ambient_formula_1(double rating_degC, double ambient_degC) {
  if (!(ambient_degC < rating_degC))
    throw core::RangeError(
        fmt::format("wire: ambient = {:g} degC, must be below the insulation's rating of {:g} degC",
                    ambient_degC, rating_degC));
  return std::sqrt((rating_degC - ambient_degC) / (rating_degC - kTables_degC));
}

double warmest_ambient_degC(Insulation insulation) {
  if (insulation == Insulation::marine_c105) return 100;
  double top_degC = 0;
  for (const Range& range : kAmbient_1)
    if (!std::isnan(column(range, insulation))) top_degC = range.top_degC;
  return top_degC;
}

double ambient_factor_1(Insulation insulation, double ambient_degC, bool engine_space) {
  const double top_degC = warmest_ambient_degC(insulation);
  if (!(ambient_degC <= top_degC))
    throw core::RangeError(
        fmt::format("wire: ambient = {:g} degC, must be at most {:g} degC for insulation rated "
                    "{:g} degC; take a higher rating or a cooler way",
                    ambient_degC, top_degC, rating_degC(insulation)));
  if (insulation == Insulation::marine_c105) {
    const double warm_1 = ambient_formula_1(105, std::max(kTables_degC, ambient_degC));
    return engine_space ? std::min(kEngineSpace_1, warm_1) : warm_1;
  }
  const auto range = std::find_if(kAmbient_1.begin(), kAmbient_1.end(),
                                  [&](const Range& r) { return ambient_degC <= r.top_degC; });
  return column(*range, insulation);
}

double bundle_factor_1(Insulation insulation, int conductors_together) {
  if (conductors_together < 1)
    throw core::RangeError(
        fmt::format("wire: conductors together = {}, must be 1 or more", conductors_together));
  const bool marine = insulation == Insulation::marine_c105;
  const auto find = [&](const auto& bundles, double rest_1) {
    for (const Bundle& b : bundles)
      if (conductors_together <= b.up_to) return b.factor_1;
    return rest_1;
  };
  return marine ? find(kBundleMarine, kBundleMarineRest_1) : find(kBundleNec, kBundleNecRest_1);
}

double ampacity_A(const AwgSize& size, const Laying& laying) {
  return table_ampacity_A(size, laying.insulation) *
         ambient_factor_1(laying.insulation, laying.ambient_degC, laying.engine_space) *
         bundle_factor_1(laying.insulation, laying.conductors_together);
}

double terminal_cap_A(const AwgSize& size, Insulation insulation, double terminal_degC) {
  if (terminal_degC != 60 && terminal_degC != 75 && terminal_degC != 90 && terminal_degC != 105)
    throw core::RangeError(fmt::format(
        "wire: terminal rating = {:g} degC, must be 60, 75, 90 or 105 degC", terminal_degC));
  if (terminal_degC >= rating_degC(insulation)) return std::numeric_limits<double>::infinity();
  if (insulation == Insulation::marine_c105)
    return table_ampacity_A(size, insulation) *
           std::sqrt((terminal_degC - kTables_degC) / (105 - kTables_degC));
  return table_ampacity_A(size, terminal_degC == 60 ? Insulation::c60 : Insulation::c75);
}

double conductor_degC(double current_A, double ampacity_A, double ambient_degC,
                      double rating_degC) {
  // T = Ta + k (1 + a (T - 20)) is linear in T, with k such that the ampacity brings the rating.
  const double share_1 = current_A / ampacity_A;
  const double k_K = share_1 * share_1 * (rating_degC - ambient_degC) / copper_ratio_1(rating_degC);
  const double a = kCopperCoefficient20_1_K;
  if (!(k_K * a < 1))
    throw core::RangeError(
        fmt::format("wire: current = {:g} A, must be near the ampacity of {:g} A or below; above "
                    "it the conductor overheats without end",
                    current_A, ampacity_A));
  return (ambient_degC + k_K * (1 - a * 20)) / (1 - k_K * a);
}

}  // namespace cabinload::wiring
