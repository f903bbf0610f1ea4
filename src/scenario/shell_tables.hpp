// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/constants.hpp>

#include "tables.hpp"

/// What faces of a shell of one's own have in common.
namespace cabinload::scenario {

inline constexpr double kMostTilt_rad = core::kPi + 1e-12;  // "180 degree" as it is converted

/// Films that are stated instead of following their law.
void bind_films(Binder& b, const std::string& key, vehicle::Films& films, bool outside);
/// An overhang and side fins above a rectangular face.
void bind_shelter(Binder& b, const std::string& key, vehicle::Shelter& shelter);
/// A face of the open air that is not level must say where it looks.
/// @param what  "window 'side'"
void check_azimuth(Binder& b, const std::string& key, const std::string& what, double tilt_rad);
/// One [[window]], with its optics and covers.
void bind_window(Binder& b, int i, const Scenario& s, vehicle::Window& w);

}  // namespace cabinload::scenario
