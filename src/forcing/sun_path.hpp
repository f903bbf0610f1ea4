// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/weather/series.hpp>
#include <vector>

namespace cabinload::forcing {

/// The sun as one slot of 10 min sees it.
struct SlotSun {
  double up_1 = 0;             ///< share of the slot with the sun above the horizon
  double sin_elevation_1 = 0;  ///< mean over the part that is up
  double east_1 = 0, north_1 = 0, zenith_1 = 0;  ///< unit vector of the mean direction while up
  double zenith_rad = 0;
  double extraterrestrial_W_m2 = 0;
};

/// The sun of every slot of a series (hours * 6), at the place and in the source year of each row.
///
/// Geocentric sun three times a day by the full algorithm, second-order interpolation between
/// (error below 1e-5 deg), then the topocentric position in the middle of each slot. Slots in which
/// the sun is near the horizon are resolved by the minute. The horizon is the geometric one:
/// refraction, which shows the sun some four minutes longer, is left out; what little shines then
/// is in the file's diffuse of that hour.
[[nodiscard]] std::vector<SlotSun> sun_path(const weather::Series& series);

}  // namespace cabinload::forcing
