// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/air/comfort.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>
#include <cstddef>

namespace cabinload::air {
namespace {

double regression_degF(double T, double R) {
  return -42.379 + 2.04901523 * T + 10.14333127 * R - 0.22475541 * T * R - 6.83783e-3 * T * T -
         5.481717e-2 * R * R + 1.22874e-3 * T * T * R + 8.5282e-4 * T * R * R -
         1.99e-6 * T * T * R * R;
}

struct Band {
  double from_degF;
  const char *name, *means;
};
constexpr Band kBands[] = {
    {-459.67, "", ""},
    {80, "caution", "fatigue possible"},
    {90, "extreme caution", "heat cramps, exhaustion or stroke possible"},
    {103, "danger", "heat cramps or exhaustion likely, heat stroke possible"},
    {125, "extreme danger", "heat stroke highly likely"}};

const Band& of(HeatBand band) {
  return kBands[static_cast<std::size_t>(band)];
}

}  // namespace

HeatBand heat_band(double heat_index_K) {
  HeatBand band = HeatBand::none;
  for (const HeatBand b :
       {HeatBand::caution, HeatBand::extreme_caution, HeatBand::danger, HeatBand::extreme_danger})
    if (heat_index_K >= heat_band_from_K(b)) band = b;
  return band;
}

double heat_band_from_K(HeatBand band) {
  return band == HeatBand::none ? 0 : core::to_kelvin((of(band).from_degF - 32) / 1.8);
}

const char* heat_band_name(HeatBand band) {
  return of(band).name;
}

const char* heat_band_means(HeatBand band) {
  return of(band).means;
}

double heat_index_K(double T_K, double rh_1) {
  const double T = 32 + 1.8 * core::to_celsius(T_K), R = 100 * std::clamp(rh_1, 0.0, 1.0);
  double index = 0.5 * (T + 61.0 + (T - 68.0) * 1.2 + R * 0.094);
  if (0.5 * (index + T) >= 80) {  // the simple formula's mean with the temperature decides
    index = regression_degF(T, R);
    if (R < 13 && T >= 80 && T <= 112)
      index -= (13 - R) / 4 * std::sqrt((17 - std::abs(T - 95)) / 17);
    else if (R > 85 && T >= 80 && T <= 87)
      index += (R - 85) / 10 * (87 - T) / 5;
  }
  return core::to_kelvin((index - 32) / 1.8);
}

double operative_temperature_K(double T_air_K, double T_radiant_K, double air_speed_m_s) {
  const double A = air_speed_m_s < 0.2 ? 0.5 : air_speed_m_s < 0.6 ? 0.6 : 0.7;
  return A * T_air_K + (1 - A) * T_radiant_K;
}

}  // namespace cabinload::air
