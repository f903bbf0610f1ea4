// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/forcing/forcing.hpp>
#include <vector>

namespace cabinload::forcing {

/// Surface temperature of the open ground around the vehicle at every hour [K] (plain: one kind of
/// ground, no evaporation). Force-restore balance:
///   c dT/dt = a GHI + h (T_out - T) + eps sigma (T_sky^4 - T^4) - (2 pi / day) c (T - T_deep),
///   c = sqrt(k rho_c day / (4 pi)),  dT_deep/dt = (T - T_deep) / day.
/// Source: [Deardorff1978] eqs. 8 to 10 (the restoring term), from memory. Asphalt: k 0.75 W/(m K),
/// rho c 2.0 MJ/(m3 K), emissivity 0.93; handbook values from memory, engineering judgement.
/// @param f  with T_out, T_sky, wind and ghi already filled
[[nodiscard]] std::vector<double> sunlit_ground_K(const Forcing& f, double absorptance_1);

}  // namespace cabinload::forcing
