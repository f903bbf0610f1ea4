// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cmath>

/// Surface films: the laws, each with its source and range, and nothing else.
namespace cabinload::network {

/// Outside convection: still part plus wind part [W m-2 K-1]. A face feels still + share * wind,
/// its share of the wind being 1 in the open.
struct OutsideFilm {
  double still_W_m2K = 0, wind_W_m2K = 0;
};

/// Parked: h = 4 + 4 v, wind at the vehicle 0..10 m/s. Source: [ISO6946] annex C, eq. C.5.
inline constexpr double kOutsideFilmStill_W_m2K = 4.0;
inline constexpr double kOutsideFilmWind_J_m3K = 4.0;
/// The outside film of a vehicle that stands. @param wind_m_s  at the vehicle, >= 0
[[nodiscard]] inline OutsideFilm parked_film(double wind_m_s) {
  return {kOutsideFilmStill_W_m2K, kOutsideFilmWind_J_m3K * wind_m_s};
}

/// Driving: mean over a plate of `length_m` in a turbulent stream, Nu = 0.037 Re^0.8 Pr^(1/3), for
/// 5..40 m/s; air at 300 K (k 0.0263 W/(m K), nu 1.589e-5 m2/s, Pr 0.707). Speed and wind are
/// added as squares (the wind blows from anywhere). Never less than parked in that wind.
/// Source: [Incropera2007] eq. 7.38 and table A.4, from memory; a real body has edges and wakes.
[[nodiscard]] inline OutsideFilm driving_film(double speed_m_s, double wind_m_s, double length_m) {
  constexpr double k_W_mK = 0.0263, nu_m2_s = 1.589e-5, Pr_1 = 0.707;
  const double Re_1 = std::hypot(speed_m_s, wind_m_s) * length_m / nu_m2_s;
  const double plate_W_m2K = 0.037 * std::pow(Re_1, 0.8) * std::cbrt(Pr_1) * k_W_mK / length_m;
  const OutsideFilm parked = parked_film(wind_m_s);
  return {parked.still_W_m2K, std::fmax(plate_W_m2K - parked.still_W_m2K, parked.wind_W_m2K)};
}

/// Share of the wind that reaches the underbody; engineering judgement.
inline constexpr double kUnderbodyWindShare_1 = 0.5;

/// Inside natural convection h = c |dT|^(1/3) [W m-2 K-1] on a flat face, c by the direction of
/// heat flow. `face_up_1` is the cosine of the angle between the face's normal (into the cabin) and
/// the zenith: 1 a floor, 0 a wall, -1 a ceiling. Source: [Walton1983] p. 69 (the "detailed" law),
/// from memory: c = 9.482 / (7.238 - |cos|) when buoyancy helps, 1.810 / (1.382 + |cos|) when it
/// hinders; both give 1.31 on a vertical face.
struct NaturalFilm {
  double surface_warmer = 1.31;  ///< c when the surface is warmer than the air
  double surface_cooler = 1.31;
};
/// The coefficients of a face. @param face_up_1  -1..1
[[nodiscard]] inline NaturalFilm natural_film(double face_up_1) {
  const double cos_1 = std::abs(face_up_1);
  const double helped = 9.482 / (7.238 - cos_1);
  const double hindered = 1.810 / (1.382 + cos_1);
  if (face_up_1 >= 0) return {helped, hindered};  // warm floor: buoyancy helps
  return {hindered, helped};                      // warm ceiling: stable layer
}
/// The smallest inside film used, so that a calm cabin still exchanges heat [W m-2 K-1];
/// engineering judgement.
inline constexpr double kLeastInsideFilm_W_m2K = 0.3;

/// Added to the inside film while moved air of `air_changes_1_h` stirs the cabin [W m-2 K-1]:
/// h = 0.19 n^0.8, the wall law of a ventilated room, 3..100 1/h; nothing below, no more above.
/// Source: [Fisher1997], from memory.
[[nodiscard]] inline double mixing_film_W_m2K(double air_changes_1_h) {
  return air_changes_1_h < 3 ? 0.0 : 0.19 * std::pow(std::fmin(air_changes_1_h, 100.0), 0.8);
}

/// How an outside face of tilt t (0 up, pi down) sees sky, air and ground in the long wave.
/// Sky and ground by (1 +- cos t)/2; the sky's share is split with the air by cos(t/2).
/// Source: [Walton1983], from memory; a horizontal roof sees the whole sky.
struct LongWaveView {
  double sky_1 = 0, air_1 = 0, ground_1 = 0;
};
/// The shares of a face; they sum to 1. @param tilt_rad  0..pi
[[nodiscard]] inline LongWaveView long_wave_view(double tilt_rad) {
  const double upper = 0.5 * (1.0 + std::cos(tilt_rad));
  const double beta = std::cos(0.5 * tilt_rad);
  return {upper * beta, upper * (1.0 - beta), 1.0 - upper};
}

/// Volume flow through the shell's cracks [m3/s]: q = A sqrt(Cs |dT| + Cw v^2).
/// Source: [ASHRAE-F2017] ch. 16 eq. 48 (basic model), Cs 0.000145 and Cw 0.000319 (L/s)2/(cm4 K),
/// (L/s)2/(cm4 (m/s)2): one storey, no shielding; from memory. Effective area at 4 Pa.
inline constexpr double kStack_m2_s2K = 0.0145;
inline constexpr double kWind_1 = 0.0319;
/// The flow by that law [m3/s], >= 0. @param dT_K  inside less outside, either sign
[[nodiscard]] inline double leakage_m3_s(double area_m2, double dT_K, double wind_m_s) {
  return area_m2 * std::sqrt(kStack_m2_s2K * std::abs(dT_K) + kWind_1 * wind_m_s * wind_m_s);
}

/// Volume flow through an opening on one side [m3/s]: q = A / 2 sqrt(Ct + Cw v^2 + Cs H |dT|).
/// Source: [EN15242] eq. for single-sided airing, Ct 0.01, Cw 0.001, Cs 0.0035 (m/s)2/(m K); from
/// memory. v at the opening; the 0.01 stands for the air's own restlessness.
[[nodiscard]] inline double opening_m3_s(double area_m2, double height_m, double dT_K,
                                         double wind_m_s) {
  return 0.5 * area_m2 *
         std::sqrt(0.01 + 0.001 * wind_m_s * wind_m_s + 0.0035 * height_m * std::abs(dT_K));
}

}  // namespace cabinload::network
