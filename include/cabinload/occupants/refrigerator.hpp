// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/profile.hpp>

namespace cabinload::occupants {

/// A box kept cold by a small compressor: the warmer the cabin, the more it draws.
///
///     wanted = max(0, UA (T_cabin - T_inside) + load)               heat to be pumped
///     COP    = share T_e / (T_c - T_e),  T_e = T_inside - dT_cold,  T_c = T_air + dT_hot
///     duty   = min(1, wanted / (COP P)),  draw = duty P,  pumped = duty COP P
///
/// P is its draw while the compressor runs, T_air the air at the condenser, T_c - T_e at least
/// kLeastLift_K. All that is pumped comes out of the cabin: through the walls of the box, by doors
/// opened and with what is put in warm. Condenser in the cabin: pumped and draw go back there, so
/// the cabin gets the draw. Condenser outdoors: the cabin loses what is pumped.
///
/// The box counts as settled: at duty 1 it takes in what is pumped and gets warmer than asked. Not
/// modelled: the cold that it stores, water that freezes out, what it warms up by without power.
/// Source: first law and Carnot's limit; every default below is engineering judgement. They give
/// 0.36 kWh a day at 25 degC; common practice, no published source: 0.3 to 0.6 kWh a day for a
/// compressor box of 50 to 80 L.
struct Refrigerator {
  double ua_W_K = 0.9;                            ///< walls, lid and gasket; > 0
  double T_inside_K = 277.15;                     ///< kept inside
  core::DayProfile load_W = core::DayProfile(8);  ///< doors and warm goods, mean; >= 0
  double carnot_share_1 = 0.35;                   ///< of Carnot's COP between the two below, 0..1
  double dT_cold_K = 15;                          ///< inside over evaporating
  double dT_hot_K = 15;                           ///< condensing over the air at the condenser
  bool condenser_inside = true;                   ///< else vented outdoors
};

/// Least difference between condensing and evaporating for which the COP is taken: valves and oil
/// return want some. Engineering judgement.
inline constexpr double kLeastLift_K = 25.0;

/// What it does at a moment [W].
struct RefrigeratorNow {
  double duty_1 = 0;           ///< share of the time that the compressor runs
  double electric_W = 0;       ///< drawn
  double pumped_W = 0;         ///< taken out of the box
  double heat_to_cabin_W = 0;  ///< net; below 0: taken
};

/// @param compressor_W  draw while it runs, >= 0; 0: it does nothing
/// @param T_cabin_K, T_out_K  250..340 K (taken as the nearer end beyond)
[[nodiscard]] RefrigeratorNow run_of(const Refrigerator& refrigerator, double compressor_W,
                                     double second_of_day, double T_cabin_K, double T_out_K);

}  // namespace cabinload::occupants
