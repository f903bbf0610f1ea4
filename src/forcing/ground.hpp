// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/forcing/forcing.hpp>
#include <vector>

namespace cabinload::forcing {

/// Surface temperature of the ground at every hour [K]. Force-restore balance:
///   c dT/dt = a (1 - e) S + h (T_out - T) + h_r (T_r - T) - (2 pi / day) c (T - T_deep),
///   c = sqrt(k rho_c day / (4 pi)),  dT_deep/dt = (T_sunlit - T_deep) / day.
/// Around the vehicle S is the global radiation and the long wave goes to the sky; under it S is
/// the little that gets in at the edges, half the wind blows, and the long wave goes to an
/// underbody at air temperature. It came there a short while ago: the deep temperature is that of
/// the sunlit ground. e is the share of the absorbed sun that evaporates water.
/// Source: [Deardorff1978] eqs. 8 to 10 (the restoring term), from memory; the kinds' numbers are
/// handbook values from memory and engineering judgement.
struct GroundTemperatures {
  std::vector<double> sunlit_K, under_K;
};
/// @param f  with T_out, T_sky, wind and ghi already filled
/// @param absorptance_1  of the sunlit ground; unset: of its kind
[[nodiscard]] GroundTemperatures ground_temperatures(const Forcing& f, Ground kind,
                                                     std::optional<double> absorptance_1);

}  // namespace cabinload::forcing
