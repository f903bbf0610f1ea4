// SPDX-License-Identifier: Apache-2.0
#include "ground.hpp"

#include <cabinload/core/calendar.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>

namespace cabinload::forcing {

std::vector<double> sunlit_ground_K(const Forcing& f, double absorptance_1) {
  constexpr double k_W_mK = 0.75, rho_c_J_m3K = 2.0e6, emissivity = 0.93;
  constexpr int kWarmUpDays = 20;
  constexpr double dt_s = core::kSecondsInHour;
  const double c_J_m2K = std::sqrt(k_W_mK * rho_c_J_m3K * core::kSecondsInDay / (4 * core::kPi));
  const double restore_W_m2K = 2 * core::kPi / core::kSecondsInDay * c_J_m2K;
  const std::size_t n = f.hours;
  std::vector<double> T_ground_K(n);
  double T_K = f.T_out_K[0], T_deep_K = T_K;
  const long warm_up = 24L * kWarmUpDays;
  for (long step = -warm_up; step < static_cast<long>(n); ++step) {
    // From hour k-1 to k, with the sun of the hour between; fully implicit.
    const std::size_t k =
        static_cast<std::size_t>((step % static_cast<long>(n) + static_cast<long>(n))) % n;
    const std::size_t before = (k + n - 1) % n;
    double ghi_W_m2 = 0;
    for (std::size_t s = 0; s < kSlotsPerHour; ++s)
      ghi_W_m2 += f.ghi_W_m2[before * kSlotsPerHour + s] / kSlotsPerHour;
    const double h_air = 4.0 + 4.0 * f.wind_m_s[k];  // [ISO6946] annex C
    const double h_sky = emissivity * core::kStefanBoltzmann_W_m2K4 *
                         (T_K * T_K + f.T_sky_K[k] * f.T_sky_K[k]) * (T_K + f.T_sky_K[k]);
    const double gain_W_m2 = absorptance_1 * ghi_W_m2 + h_air * f.T_out_K[k] +
                             h_sky * f.T_sky_K[k] + restore_W_m2K * T_deep_K;
    T_K = (c_J_m2K / dt_s * T_K + gain_W_m2) / (c_J_m2K / dt_s + h_air + h_sky + restore_W_m2K);
    T_deep_K += dt_s / core::kSecondsInDay * (T_K - T_deep_K);
    if (step >= 0) T_ground_K[k] = T_K;
  }
  return T_ground_K;
}

}  // namespace cabinload::forcing
