// SPDX-License-Identifier: Apache-2.0
#include "ground.hpp"

#include <cabinload/core/calendar.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>

namespace cabinload::forcing {
namespace {

struct Kind {
  double absorptance_1, k_W_mK, rho_c_J_m3K, emissivity_1, evaporating_1;
};

Kind kind_of(Ground ground) {
  switch (ground) {
    case Ground::soil:
      return {0.75, 0.8, 1.6e6, 0.93, 0.10};
    case Ground::grass:
      return {0.77, 1.0, 2.2e6, 0.95, 0.50};
    case Ground::asphalt:
    case Ground::as_air:
      break;
  }
  return {0.80, 0.75, 2.0e6, 0.93, 0.0};
}

constexpr double kSunUnder_1 = 0.05;  // share of the sun that reaches the ground under a vehicle
constexpr double kWindUnder_1 = 0.5;  // share of the wind there, as at the underbody
constexpr int kWarmUpDays = 20;
constexpr double kDt_s = core::kSecondsInHour;

double long_wave_W_m2K(double emissivity_1, double a_K, double b_K) {
  return emissivity_1 * core::kStefanBoltzmann_W_m2K4 * (a_K * a_K + b_K * b_K) * (a_K + b_K);
}

double parked_W_m2K(double wind_m_s) {
  return 4.0 + 4.0 * wind_m_s;  // [ISO6946] annex C
}

/// Global radiation of the hour before instant k.
double sun_before_W_m2(const Forcing& f, std::size_t k) {
  const std::size_t before = (k + f.hours - 1) % f.hours;
  double ghi_W_m2 = 0;
  for (std::size_t s = 0; s < kSlotsPerHour; ++s)
    ghi_W_m2 += f.ghi_W_m2[before * kSlotsPerHour + s] / kSlotsPerHour;
  return ghi_W_m2;
}

}  // namespace

GroundTemperatures ground_temperatures(const Forcing& f, Ground ground,
                                       std::optional<double> absorptance_1) {
  if (ground == Ground::as_air) return {f.T_out_K, f.T_out_K};
  const Kind g = kind_of(ground);
  const double taken_1 = absorptance_1.value_or(g.absorptance_1) * (1 - g.evaporating_1);
  const double c_J_m2K =
      std::sqrt(g.k_W_mK * g.rho_c_J_m3K * core::kSecondsInDay / (4 * core::kPi));
  const double restore_W_m2K = 2 * core::kPi / core::kSecondsInDay * c_J_m2K;
  const long n = static_cast<long>(f.hours);
  GroundTemperatures out{std::vector<double>(f.hours), std::vector<double>(f.hours)};
  double sunlit_K = f.T_out_K[0], under_K = sunlit_K, deep_K = sunlit_K;
  // From hour k-1 to k with the sun of the hour between; fully implicit.
  const auto follow = [&](double& T_K, double sun_W_m2, double h_air, double T_air_K, double h_long,
                          double T_long_K) {
    const double gain = sun_W_m2 + h_air * T_air_K + h_long * T_long_K + restore_W_m2K * deep_K;
    T_K = (c_J_m2K / kDt_s * T_K + gain) / (c_J_m2K / kDt_s + h_air + h_long + restore_W_m2K);
  };
  for (long step = -24L * kWarmUpDays; step < n; ++step) {
    const auto k = static_cast<std::size_t>(((step % n) + n) % n);
    const double sun_W_m2 = taken_1 * sun_before_W_m2(f, k);
    follow(sunlit_K, sun_W_m2, parked_W_m2K(f.wind_m_s[k]), f.T_out_K[k],
           long_wave_W_m2K(g.emissivity_1, sunlit_K, f.T_sky_K[k]), f.T_sky_K[k]);
    follow(under_K, kSunUnder_1 * sun_W_m2, parked_W_m2K(kWindUnder_1 * f.wind_m_s[k]),
           f.T_out_K[k], long_wave_W_m2K(g.emissivity_1, under_K, f.T_out_K[k]), f.T_out_K[k]);
    deep_K += kDt_s / core::kSecondsInDay * (sunlit_K - deep_K);
    if (step < 0) continue;
    out.sunlit_K[k] = sunlit_K;
    out.under_K[k] = under_K;
  }
  return out;
}

}  // namespace cabinload::forcing
