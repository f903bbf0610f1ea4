// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/profile.hpp>
#include <cabinload/core/schedule.hpp>
#include <cabinload/vehicle/vehicle.hpp>
#include <cabinload/weather/series.hpp>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

/// Weather and sun turned into what each surface and opening feels.
namespace cabinload::forcing {

/// What the vehicle stands on; decides the temperature of the ground around and under it.
enum class Ground {
  asphalt,
  soil,    ///< bare, dry
  grass,   ///< watered: part of the sun evaporates
  as_air,  ///< at outdoor air temperature, both (published boxes)
};

/// Which of global, direct and diffuse of a file are trusted; the others follow from the sun's
/// mean height over the hour.
enum class Trust { direct_diffuse, global_direct, global_diffuse, global };

/// A hill, a building: highest point of the skyline by direction, straight lines between.
struct SkylinePoint {
  double azimuth_rad = 0;    ///< clockwise from north
  double elevation_rad = 0;  ///< 0..pi/2
};

/// A plane whose sun is wanted beside the vehicle's own faces: a panel.
struct Plane {
  double tilt_rad = 0;
  double azimuth_rad = 0;    ///< outward normal, clockwise from north, or from the nose
  bool with_vehicle = true;  ///< from the nose, and turned with it
  bool shaded = true;        ///< the parking's shade and the skyline fall on it
};

/// Where and how it stands.
struct Site {
  double ground_albedo_1 = 0.2;  ///< used where the weather file has none
  Ground ground = Ground::asphalt;
  std::optional<double> ground_absorptance_1;  ///< of the sunlit ground; unset: of its kind
  double shade_beam_1 = 1;                     ///< factor on beam while shaded
  double shade_diffuse_1 = 1;                  ///< factor on sky diffuse while shaded
  double shade_sky_view_1 = 1;  ///< factor on the sky's share of long-wave while shaded
  core::DaySchedule shade_hours;
  std::vector<SkylinePoint> skyline;  ///< empty: flat
  double wind_factor_1 = 0.6;         ///< wind at the vehicle over wind at 10 m, open parking
  core::DaySchedule driving_hours;
  double driving_speed_m_s = 0;
  Trust trust = Trust::direct_diffuse;
  bool held = false;        ///< states hold for their hour instead of a straight line to the next
  bool sky_as_air = false;  ///< long wave from the sky at outdoor air temperature
  std::optional<core::DayProfile> T_sky_K, T_ground_K;  ///< stated by the clock
  std::vector<Plane> planes;
};

inline constexpr int kSlotsPerHour = 6;  ///< sun is piecewise constant over 10 min
inline constexpr double kSlot_s = 600.0;

/// Sun on one opaque surface. Vectors have kSlotsPerHour entries an hour.
struct SurfaceSun {
  std::vector<double> incident_W_m2;  ///< beam + sky diffuse + ground-reflected
  std::vector<double> inside_W_m2;    ///< stated heat to the inner face; empty: none
};
/// Sun on one window, per area of glass. Vectors have kSlotsPerHour entries an hour.
struct WindowSun {
  std::vector<double> transmitted_W_m2;  ///< into the cabin, after pane and cover
  std::vector<double> absorbed_outer_W_m2, absorbed_inner_W_m2;  ///< in the panes
  std::vector<double> inside_cover_W_m2;   ///< absorbed by an inside cover, part to the air
  std::vector<double> outside_cover_W_m2;  ///< absorbed by an outside cover
};

/// What the world does to a vehicle, over the series' period (it repeats after hours()).
/// Instants hold at k*3600 s, k = 0..hours()-1, straight lines between (or held for the hour);
/// slots hold from s*600 s to (s+1)*600 s.
struct Forcing {
  std::size_t hours = 0;
  int first_day = 0;
  std::vector<double> T_out_K, W_out_1, p_Pa, wind_m_s, T_sky_K;  ///< instants
  std::vector<double> T_ground_K, T_under_K;  ///< sunlit ground around; shaded ground under it
  bool held = false;
  std::vector<double> ghi_W_m2;  ///< slots, on the horizontal
  std::vector<bool> dark;        ///< slots in which all sun is 0, stated sun too; empty: not known
  std::vector<SurfaceSun> surfaces;              ///< as Vehicle::surfaces
  std::vector<WindowSun> windows;                ///< as Vehicle::windows
  std::vector<std::vector<double>> planes_W_m2;  ///< incident, slots, as Site::planes
  double dropped_Wh_m2 = 0;    ///< horizontal radiation of hours in which the sun never rises
  double radiation_Wh_m2 = 0;  ///< horizontal radiation of the series, for comparison
};

/// Why no uncoated pane (index 1.01 to 2.2) transmits and reflects these shares at normal
/// incidence, with what would be possible; "" when one does. [Duffie2013] ch. 5
/// @param transmittance_1, reflectance_1  0..1
[[nodiscard]] std::string impossible_pane(double transmittance_1, double reflectance_1);

/// @throws core::RangeError  a site value out of range; a window of Optics::pane that cannot be
[[nodiscard]] Forcing make(const weather::Series& weather, const Site& site,
                           const vehicle::Vehicle& vehicle);

}  // namespace cabinload::forcing
