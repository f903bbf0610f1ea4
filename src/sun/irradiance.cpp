// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cabinload/core/constants.hpp>
#include <cabinload/sun/sun.hpp>
#include <cmath>

namespace cabinload::sun {
namespace {

using core::kDegree_rad;
using core::kPi;

/// [Perez1990] table 6 (irradiance, all-sites composite): upper bound of clearness, then F11..F23.
struct PerezBin {
  double upper, F11, F12, F13, F21, F22, F23;
};
constexpr std::array<PerezBin, 8> kPerez = {{
    {1.065, -0.008, 0.588, -0.062, -0.060, 0.072, -0.022},
    {1.230, 0.130, 0.683, -0.151, -0.019, 0.066, -0.029},
    {1.500, 0.330, 0.487, -0.221, 0.055, -0.064, -0.026},
    {1.950, 0.568, 0.187, -0.295, 0.109, -0.152, -0.014},
    {2.800, 0.873, -0.392, -0.362, 0.226, -0.462, 0.001},
    {4.500, 1.132, -1.237, -0.412, 0.288, -0.823, 0.056},
    {6.200, 1.060, -1.600, -0.359, 0.264, -1.127, 0.131},
    {1e300, 0.678, -0.327, -0.250, 0.156, -1.377, 0.251},
}};

}  // namespace

double extraterrestrial_W_m2(double distance_au) {
  return core::kSolarConstant_W_m2 / (distance_au * distance_au);
}

double air_mass_1(double zenith_rad) {
  const double z = std::min(zenith_rad / kDegree_rad, 90.0);
  return 1.0 / (std::cos(z * kDegree_rad) + 0.50572 * std::pow(96.07995 - z, -1.6364));
}

double cos_incidence_1(const Position& sun, double tilt_rad, double azimuth_rad) {
  return std::cos(sun.zenith_rad) * std::cos(tilt_rad) +
         std::sin(sun.zenith_rad) * std::sin(tilt_rad) * std::cos(sun.azimuth_rad - azimuth_rad);
}

PerezSky perez_sky(double zenith_rad, double dni_W_m2, double dhi_W_m2, double extraterrestrial) {
  if (!(dhi_W_m2 > 0)) return {0, 0};
  constexpr double kKappa = 1.041;
  const double z3 = kKappa * zenith_rad * zenith_rad * zenith_rad;
  const double clearness = ((dhi_W_m2 + dni_W_m2) / dhi_W_m2 + z3) / (1 + z3);
  const double brightness = dhi_W_m2 * air_mass_1(zenith_rad) / extraterrestrial;
  const auto bin = std::find_if(kPerez.begin(), kPerez.end() - 1,
                                [&](const PerezBin& b) { return clearness < b.upper; });
  const double F1 = std::max(0.0, bin->F11 + bin->F12 * brightness + bin->F13 * zenith_rad);
  const double F2 = bin->F21 + bin->F22 * brightness + bin->F23 * zenith_rad;
  return {F1, F2};
}

namespace {
/// a / b of [Perez1990] eq. 9.
double around_sun_1(double cos_zenith_1, double cos_incidence) {
  static const double kLeastCosZenith = std::cos(85 * kDegree_rad);
  return std::max(0.0, cos_incidence) / std::max(kLeastCosZenith, cos_zenith_1);
}
}  // namespace

double circumsolar_W_m2(const PerezSky& sky, double cos_zenith_1, double cos_incidence,
                        double dhi_W_m2) {
  return std::max(0.0, dhi_W_m2 * sky.F1 * around_sun_1(cos_zenith_1, cos_incidence));
}

Tilted tilted(const PerezSky& sky, double cos_zenith_1, double cos_incidence, double cos_tilt,
              double sin_tilt, double dni_W_m2, double dhi_W_m2, double ghi_W_m2, double albedo_1) {
  const double a = std::max(0.0, cos_incidence);
  Tilted t;
  t.beam_W_m2 = dni_W_m2 * a;
  t.sky_W_m2 = std::max(
      0.0, dhi_W_m2 * ((1 - sky.F1) * 0.5 * (1 + cos_tilt) +
                       sky.F1 * around_sun_1(cos_zenith_1, cos_incidence) + sky.F2 * sin_tilt));
  t.ground_W_m2 = albedo_1 * ghi_W_m2 * 0.5 * (1 - cos_tilt);
  return t;
}

Tilted tilted(const Position& sun, double dni_W_m2, double dhi_W_m2, double ghi_W_m2,
              double extraterrestrial, double tilt_rad, double azimuth_rad, double albedo_1) {
  return tilted(perez_sky(sun.zenith_rad, dni_W_m2, dhi_W_m2, extraterrestrial),
                std::cos(sun.zenith_rad), cos_incidence_1(sun, tilt_rad, azimuth_rad),
                std::cos(tilt_rad), std::sin(tilt_rad), dni_W_m2, dhi_W_m2, ghi_W_m2, albedo_1);
}

Split erbs(double ghi_W_m2, double zenith_rad, double extraterrestrial) {
  const double cos_z = std::cos(zenith_rad);
  if (cos_z <= 0 || ghi_W_m2 <= 0) return {0, std::max(0.0, ghi_W_m2)};
  const double kt = std::clamp(ghi_W_m2 / (extraterrestrial * cos_z), 0.0, 1.0);
  double diffuse = 0.165;
  if (kt <= 0.22)
    diffuse = 1 - 0.09 * kt;
  else if (kt <= 0.80)
    diffuse = 0.9511 + kt * (-0.1604 + kt * (4.388 + kt * (-16.638 + kt * 12.336)));
  const double dhi = diffuse * ghi_W_m2;
  // Near the horizon dividing by cos z would invent a beam; below 5 degrees it is kept moderate.
  return {(ghi_W_m2 - dhi) / std::max(cos_z, std::sin(5 * kDegree_rad)), dhi};
}

Split ashrae_clear_sky(double zenith_rad, double extraterrestrial, double tau_b, double tau_d) {
  if (zenith_rad >= 0.5 * kPi) return {0, 0};
  const double m = air_mass_1(zenith_rad);
  const double ab = 1.454 - 0.406 * tau_b - 0.268 * tau_d + 0.021 * tau_b * tau_d;
  const double ad = 0.507 + 0.205 * tau_b - 0.080 * tau_d - 0.190 * tau_b * tau_d;
  return {extraterrestrial * std::exp(-tau_b * std::pow(m, ab)),
          extraterrestrial * std::exp(-tau_d * std::pow(m, ad))};
}

double sky_temperature_K(double T_dry_K, double T_dew_K, double cloud_1) {
  // Clear: eps = 0.711 + 0.56 (t_dp/100) + 0.73 (t_dp/100)^2, [Berdahl1984] without hour and
  // pressure terms. Cloud: eps + (1 - eps) n * 0.8, of an opaque low cloud of cover n
  // ([Martin1984], from memory: emittance near 1, base-height factor exp(-h/8.2 km), here h 1.8
  // km).
  constexpr double kCloudFactor_1 = 0.8;
  const double d = core::to_celsius(T_dew_K) / 100.0;
  const double clear = std::clamp(0.711 + d * (0.56 + 0.73 * d), 0.2, 1.0);
  const double cloud = std::clamp(cloud_1, 0.0, 1.0);
  const double emissivity = clear + (1 - clear) * cloud * kCloudFactor_1;
  return T_dry_K * std::pow(emissivity, 0.25);
}

}  // namespace cabinload::sun
