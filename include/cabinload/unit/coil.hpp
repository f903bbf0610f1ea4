// SPDX-License-Identifier: Apache-2.0
#pragma once

/// The cooling coil: how total heat parts into sensible and latent, and what water does on it.
namespace cabinload::unit {

/// What bypass_factor() finds.
struct BypassResult {
  double T_adp_K, bypass_factor_1;
};
/// Apparatus dew point and bypass factor of a coil that cools `mass_flow` of air by given heats.
/// The straight line from inlet to outlet in enthalpy and humidity ratio meets saturation at the
/// apparatus dew point; bypass = (h_out - h_adp) / (h_in - h_adp), within 1 % that of temperatures.
/// Source: [ASHRAE-S2016] ch. 23.
/// @throws core::RangeError  the line does not meet saturation: more latent heat than such a coil
/// can take
[[nodiscard]] BypassResult bypass_factor(double T_in_K, double W_in_1, double p_Pa,
                                         double mass_flow_kg_s, double total_W, double sensible_W);

/// Bypass factor at another air flow: BF = exp(-A0 / m), A0 from the rating point.
/// Source: [ASHRAE-S2016] ch. 23, A0 constant; the film's own change with flow is left out.
[[nodiscard]] double bypass_at_flow_1(double rated_bypass_1, double flow_over_rated_1);

/// Air at the coil.
struct CoilAir {
  double T_K = 0, W_1 = 0, p_Pa = 101325;
  double flow_kg_s = 0;  ///< dry air
};
/// What a coil takes from the air, gross of the fan.
struct CoilHeat {
  double sensible_W = 0, latent_W = 0, moisture_kg_s = 0;
};
/// A wet coil of given total heat; latent is 0 and sensible the total when it stays dry.
/// Latent heat is counted with the vapour's enthalpy at the inlet temperature, so that sensible is
/// cp dT of the leaving air and both add up to the air's enthalpy change exactly. The condensate's
/// own enthalpy (0.5 % of the latent heat) goes with it.
/// @param T_adp_guess_K  in: a guess; out: the apparatus dew point (of a wet coil)
[[nodiscard]] CoilHeat coil_heat(const CoilAir& air, double total_W, double bypass_1,
                                 double& T_adp_guess_K);

/// Share of the steady latent heat that is left when a coil cycles with the cabin fan always on:
/// what it gathers while on, less what evaporates back while off.
///   (t_on - t_0) / (t_on + tau (exp(-t_on/tau) - 1)),
///   t_0 = gamma t_off - gamma^2 / (4 t_wet) t_off^2 - tau (exp(-t_0/tau) - 1), t_off <= 2 t_wet /
///   gamma
/// Source: [Henderson1996], from memory. 0..1; 1 without an off time.
/// @param t_wet_s  time in which the coil gathers all the water it can hold [s]
/// @param gamma_1  evaporation at first over steady latent heat
/// @param tau_s    time constant of the capacity after a start [s]
[[nodiscard]] double latent_share_1(double t_on_s, double t_off_s, double t_wet_s, double gamma_1,
                                    double tau_s);

/// Constants of that law for small coils; [Henderson1996], from memory.
inline constexpr double kTimeToWet_s = 720;
inline constexpr double kFirstEvaporation_1 = 1.5;

}  // namespace cabinload::unit
