// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/schedule.hpp>
#include <string>
#include <vector>

namespace cabinload::vehicle {

/// One homogeneous layer.
struct Layer {
  std::string material;    ///< name in the materials table, or the user's own
  double thickness_m = 0;  ///< > 0
  double k_W_mK = 0;       ///< > 0
  double rho_kg_m3 = 0;    ///< >= 0; 0: no heat storage (an air gap)
  double c_J_kgK = 0;      ///< >= 0
  [[nodiscard]] double resistance_m2K_W() const { return thickness_m / k_W_mK; }
  [[nodiscard]] double areal_heat_capacity_J_m2K() const {
    return thickness_m * rho_kg_m3 * c_J_kgK;
  }
};

enum class Part { roof, wall, floor, partition };  ///< partition: cab bulkhead and the like
/// What the outer face of a surface meets.
enum class Outside {
  open_air,   ///< wind, sun, sky, ground
  underbody,  ///< sheltered air and shaded ground
  adiabatic,  ///< nothing passes
  fixed,      ///< a stated temperature behind the film
};

/// A flat opaque piece of the shell.
struct Surface {
  std::string name;
  Part part = Part::wall;
  double area_m2 = 0;           ///< net of windows, > 0
  double tilt_rad = 0;          ///< 0 faces up, pi/2 vertical, pi faces down
  double azimuth_rad = 0;       ///< outward normal, clockwise from the vehicle's nose (0 = nose)
  std::vector<Layer> layers;    ///< outside to inside, at least one
  double framing_fraction = 0;  ///< share of the area that is ribs, 0..0.5; a parallel path
  std::vector<Layer> framing;   ///< layers of that path; empty when the fraction is 0
  double absorptance_1 = 0.5;   ///< solar, outside face
  double emittance_out_1 = 0.9;
  double emittance_in_1 = 0.9;
  Outside outside = Outside::open_air;
  double T_fixed_K = 0;  ///< for Outside::fixed
};

enum class CoverSide { none, inside, outside };

/// A cover on a window, in place during `hours`.
struct Cover {
  std::string type;  ///< key in the covers table, "none"
  CoverSide side = CoverSide::none;
  double solar_transmittance_1 = 1;  ///< of the cover alone
  double solar_reflectance_1 = 0;    ///< of the side that faces the sun
  double resistance_m2K_W = 0;       ///< added while in place
  core::DaySchedule hours;
};

struct Window {
  std::string name;
  std::string type;  ///< key in the glazing table
  double area_m2 = 0;
  double tilt_rad = 0;
  double azimuth_rad = 0;  ///< as Surface
  int panes = 1;           ///< 1 or 2
  double pane_thickness_m = 0.004;
  double U_W_m2K = 5.8;                ///< with ISO 6946 films, centre of glass
  double solar_transmittance_1 = 0.8;  ///< at normal incidence
  double solar_absorptance_1 = 0.1;    ///< at normal incidence
  double areal_heat_capacity_J_m2K = 8000;
  double emittance_1 = 0.84;
  Cover cover;
};

/// Things the sun lands on inside: a thin skin over a bulk.
struct Furnishing {
  std::string name;
  double area_m2 = 0;         ///< exposed to air and radiation
  std::vector<Layer> layers;  ///< bulk first, skin last (the skin faces the cabin)
  double emittance_1 = 0.9;
  double solar_share_1 = 0;  ///< of the sun that entered
};

/// A cabin as physics needs it: plain numbers, every default already applied.
struct Vehicle {
  std::string body;                                ///< key of the built-in body, or "own"
  std::string insulation;                          ///< key of the level, or "own"
  std::string paint;                               ///< key, or "own"
  double length_m = 0, width_m = 0, height_m = 0;  ///< inside, of the living space
  double overall_height_m = 0;  ///< road to the roof's top, unladen, without a unit
  double volume_m3 = 0;         ///< air
  double floor_area_m2 = 0;
  double heading_rad = 0;  ///< where the nose points, clockwise from north
  std::vector<Surface> surfaces;
  std::vector<Window> windows;
  std::vector<Furnishing> furnishings;
  double leakage_area_m2 = 0;        ///< effective at 4 Pa
  double air_capacity_factor_1 = 1;  ///< effective over bare air: with what is really light
  double moisture_capacity_factor_1 = 1;
};

}  // namespace cabinload::vehicle
