// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <array>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/wiring/conductor.hpp>
#include <cmath>
#include <vector>

namespace cabinload::wiring {
namespace {

constexpr std::array<AwgSize, 16> kSizes{{{"20", 20, false},
                                          {"18", 18, true},
                                          {"16", 16, true},
                                          {"14", 14, true},
                                          {"12", 12, true},
                                          {"10", 10, true},
                                          {"8", 8, true},
                                          {"6", 6, true},
                                          {"4", 4, true},
                                          {"3", 3, false},
                                          {"2", 2, true},
                                          {"1", 1, true},
                                          {"1/0", 0, true},
                                          {"2/0", -1, true},
                                          {"3/0", -2, true},
                                          {"4/0", -3, true}}};

constexpr std::array<MetricSize, 16> kMetric{{{0.5, 39.0, 40.1},
                                              {0.75, 26.0, 26.7},
                                              {1, 19.5, 20.0},
                                              {1.5, 13.3, 13.7},
                                              {2.5, 7.98, 8.21},
                                              {4, 4.95, 5.09},
                                              {6, 3.3, 3.39},
                                              {10, 1.91, 1.95},
                                              {16, 1.21, 1.24},
                                              {25, 0.78, 0.795},
                                              {35, 0.554, 0.565},
                                              {50, 0.386, 0.393},
                                              {70, 0.272, 0.277},
                                              {95, 0.206, 0.21},
                                              {120, 0.161, 0.164},
                                              {150, 0.129, 0.132}}};

constexpr double kStranded_1 = 1.02;

}  // namespace

std::span<const AwgSize> awg_sizes() {
  return kSizes;
}

const AwgSize& awg_size(const std::string& name) {
  for (const AwgSize& size : kSizes)
    if (size.name == name) return size;
  std::vector<std::string> known;
  for (const AwgSize& size : kSizes) known.emplace_back(size.name);
  const core::UnknownName text = core::unknown_name(name, known);
  throw core::RangeError(fmt::format("wire: gauge {}; {}", text.what, text.hint));
}

double diameter_mm(const AwgSize& size) {
  return 0.127 * std::pow(92.0, (36.0 - size.number) / 39.0);
}

double area_mm2(const AwgSize& size) {
  const double d = diameter_mm(size);
  return core::kPi / 4 * d * d;
}

double copper_ratio_1(double T_degC) {
  return 1 + kCopperCoefficient20_1_K * (T_degC - 20);
}

double resistance_ohm_m(const AwgSize& size, double T_degC, Strand strand) {
  const double at_20C = kCopperResistivity20_ohm_m / (area_mm2(size) * 1e-6);
  return at_20C * copper_ratio_1(T_degC) * (strand == Strand::stranded ? kStranded_1 : 1.0);
}

std::span<const MetricSize> metric_sizes() {
  return kMetric;
}

const MetricSize* next_metric(double area_mm2) {
  for (const MetricSize& size : kMetric)
    if (size.area_mm2 >= area_mm2) return &size;
  return nullptr;
}

double iec_factor_1(double T_degC) {
  return 1 / (1 + 0.004 * (T_degC - 20));
}

double resistance_ohm_m(const MetricSize& size, double T_degC, Finish finish) {
  const double at_20C_ohm_km =
      finish == Finish::tinned ? size.tinned_20C_ohm_km : size.plain_20C_ohm_km;
  return at_20C_ohm_km * 1e-3 / iec_factor_1(T_degC);
}

}  // namespace cabinload::wiring
