// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/schedule.hpp>
#include <cabinload/vehicle/vehicle.hpp>
#include <cabinload/weather/series.hpp>
#include <cstddef>
#include <vector>

/// Weather and sun turned into what each surface and opening feels.
///
/// Plain in this version: one kind of ground around the vehicle, parking shade as constant factors
/// during stated hours, no horizon mask, one heading. Shaded ground under the vehicle is taken at
/// outdoor air temperature (network).
namespace cabinload::forcing {

/// Where and how it stands.
struct Site {
  double ground_albedo_1 = 0.2;       ///< used where the weather file has none
  double ground_absorptance_1 = 0.8;  ///< of the sunlit ground around
  double shade_beam_1 = 1;            ///< factor on beam while shaded
  double shade_diffuse_1 = 1;         ///< factor on sky diffuse while shaded
  double shade_sky_view_1 = 1;        ///< factor on the sky's share of long-wave while shaded
  core::DaySchedule shade_hours;
  double wind_factor_1 = 0.6;  ///< wind at the vehicle over wind at 10 m, open parking
};

inline constexpr int kSlotsPerHour = 6;  ///< sun is piecewise constant over 10 min
inline constexpr double kSlot_s = 600.0;

/// Sun on one opaque surface or window. Vectors have slots() entries.
struct SurfaceSun {
  std::vector<double> incident_W_m2;  ///< beam + sky diffuse + ground-reflected
};
struct WindowSun {
  std::vector<double> transmitted_W_m2;  ///< into the cabin, after pane and cover
  std::vector<double> absorbed_W_m2;     ///< in the pane(s)
  std::vector<double> cover_W_m2;        ///< absorbed by an inside cover, released to the cabin air
};

/// What the world does to a vehicle, over the series' period (it repeats after hours()).
/// Instants hold at k*3600 s, k = 0..hours()-1, straight lines between; slots hold from
/// s*600 s to (s+1)*600 s.
struct Forcing {
  std::size_t hours = 0;
  int first_day = 0;
  std::vector<double> T_out_K, W_out_1, p_Pa, wind_m_s, T_sky_K, T_ground_K;  ///< instants
  std::vector<double> ghi_W_m2;      ///< slots, on the horizontal
  std::vector<SurfaceSun> surfaces;  ///< as Vehicle::surfaces
  std::vector<WindowSun> windows;    ///< as Vehicle::windows
  double dropped_Wh_m2 = 0;          ///< horizontal radiation of hours in which the sun never rises
  double radiation_Wh_m2 = 0;        ///< horizontal radiation of the series, for comparison
};

/// @throws core::RangeError  a site value out of range
[[nodiscard]] Forcing make(const weather::Series& weather, const Site& site,
                           const vehicle::Vehicle& vehicle);

}  // namespace cabinload::forcing
