// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/profile.hpp>
#include <cabinload/core/schedule.hpp>
#include <optional>
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
  /// Thermal resistance [m2 K/W].
  [[nodiscard]] double resistance_m2K_W() const { return thickness_m / k_W_mK; }
  /// Heat capacity per area [J/(m2 K)].
  [[nodiscard]] double areal_heat_capacity_J_m2K() const {
    return thickness_m * rho_kg_m3 * c_J_kgK;
  }
};

/// Where a surface belongs; a partition is a cab bulkhead and the like.
enum class Part { roof, wall, floor, partition };
/// What the outer face of a surface meets.
enum class Outside {
  open_air,   ///< wind, sun, sky, ground
  underbody,  ///< sheltered air and shaded ground, whatever the tilt
  adiabatic,  ///< nothing passes
  fixed,      ///< a stated temperature behind the film
};

/// Films of a face, where they are stated instead of following their law. 0: by the law.
struct Films {
  double outside_W_m2K = 0;         ///< convection (or combined, with emittance 0)
  double inside_W_m2K = 0;          ///< convection to the cabin air; a fan adds nothing to it
  double inside_radiant_W_m2K = 0;  ///< to the radiant star, instead of emittance and view
};

/// What stands out above a rectangular face and shades it: an awning, a roof edge, side fins.
/// Depths of 0: none.
struct Shelter {
  double width_m = 0, height_m = 0;  ///< of the face; needed when a depth is above 0
  double overhang_depth_m = 0;
  double overhang_gap_m = 0;     ///< above the face's top edge
  double overhang_beyond_m = 0;  ///< past each side edge
  double fin_depth_m = 0;
  double fin_gap_m = 0;    ///< beside each side edge
  double fin_above_m = 0;  ///< above the top edge
  double fin_below_m = 0;  ///< below the bottom edge
  /// Something stands out.
  [[nodiscard]] bool any() const { return overhang_depth_m > 0 || fin_depth_m > 0; }
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
  core::DayProfile T_fixed_K;          ///< for Outside::fixed, by the clock
  std::optional<double> wind_share_1;  ///< of the wind that reaches it; unset: by `outside`
  Films films;
  Shelter shelter;
  std::optional<double> solar_share_1;    ///< of the sun that entered; unset: shared by kind
  std::optional<double> radiant_share_1;  ///< of radiant gains; unset: through the radiant star
  /// Stated instead of computed: sun on the outer face, heat to the inner face [W/m2].
  std::optional<core::DayProfile> sun_W_m2, heat_inside_W_m2;
};

/// Where a cover hangs; none: there is no cover.
enum class CoverSide { none, inside, outside };

/// A cover on a window, in place during `hours`: a resistance beside the glass, and what it takes
/// of the sun.
struct Cover {
  std::string type;  ///< key in the covers table, "none"
  CoverSide side = CoverSide::none;
  double solar_transmittance_1 = 1;  ///< of the cover alone
  double solar_reflectance_1 = 0;    ///< of the side that faces the sun
  double resistance_m2K_W = 0;       ///< added while in place
  core::DaySchedule hours;
};

/// How a window's optics are stated.
enum class Optics {
  normal,  ///< transmittance and absorptance at normal incidence; by angle as uncoated panes
  panes,   ///< index and extinction of each pane
  pane,    ///< transmittance and reflectance of each pane at normal incidence
  curve,   ///< as normal, but by angle as the curve says
};

/// A flat window: one or two panes, with covers.
struct Window {
  std::string name;
  std::string type;  ///< key in the glazing table
  double area_m2 = 0;
  double tilt_rad = 0;
  double azimuth_rad = 0;  ///< as Surface
  int panes = 1;           ///< 1 or 2
  double pane_thickness_m = 0.004;
  double U_W_m2K = 5.8;                    ///< with ISO 6946 films, centre of glass
  std::optional<double> resistance_m2K_W;  ///< face to face, without films; unset: from U, which
                                           ///< is then 1/(kFilms_m2K_W + kLeast_m2K_W) at most
  double solar_transmittance_1 = 0.8;      ///< at normal incidence
  double solar_absorptance_1 = 0.1;        ///< at normal incidence
  Optics optics = Optics::normal;
  double index_1 = 1.526, extinction_1_m = 10;                ///< for Optics::panes
  double pane_transmittance_1 = 0.8, pane_reflectance_1 = 0;  ///< for Optics::pane
  std::vector<double> curve_angle_rad, curve_ratio_1;         ///< for Optics::curve, over normal
  std::optional<double> outer_share_1;  ///< of what is absorbed: in the outer pane; unset: computed
  double areal_heat_capacity_J_m2K = 8000;
  double emittance_1 = 0.84;
  double wind_share_1 = 1;
  Films films;
  Shelter shelter;
  std::optional<double> radiant_share_1;  ///< as Surface
  Cover inside_cover, outside_cover;
  static constexpr double kFilms_m2K_W = 0.13 + 0.04;  ///< inside and outside, [ISO6946]
  static constexpr double kLeast_m2K_W = 0.002;        ///< face to face; 2 mm of glass
  static constexpr double kMost_m2K_W = 4.8;
  /// Face to face, without films: stated, or from U less ISO 6946 films, never below kLeast_m2K_W
  /// (problems() tells of a window that would be).
  [[nodiscard]] double resistance_face_to_face() const {
    const double R_m2K_W = resistance_m2K_W.value_or(1.0 / U_W_m2K - kFilms_m2K_W);
    return R_m2K_W > kLeast_m2K_W ? R_m2K_W : kLeast_m2K_W;
  }
};

/// Things the sun lands on inside: a thin skin over a bulk.
///
/// Shares are of the sun that entered through all windows together (what covers absorb is not in
/// it). They sum to at most 1; what they leave over lands on floor and shell, and part of it leaves
/// by the glass again, as the network shares it (network/cabin.hpp).
struct Furnishing {
  std::string name;
  double area_m2 = 0;         ///< exposed to air and radiation
  std::vector<Layer> layers;  ///< bulk first, skin last (the skin faces the cabin)
  double emittance_1 = 0.9;
  double solar_share_1 = 0;    ///< of the sun that entered
  double radiant_share_1 = 0;  ///< of radiant gains, where surfaces state theirs
  Films films;                 ///< inside ones only
};

/// How the sun that entered is shared where surfaces do not state it: furnishings take their own
/// shares, the rest goes to the floor, to walls, roof and partitions by area, and out again by the
/// glass. Engineering judgement.
struct SunInside {
  double floor_1 = 0.55, shell_1 = 0.35;  ///< of the rest; what is left is lost
  double air_1 = 0;                       ///< straight to the air, where surfaces state theirs
  std::optional<double> lost_1;           ///< out again, where surfaces state theirs
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
  SunInside sun_inside;
  double leakage_area_m2 = 0;        ///< effective at 4 Pa
  double air_capacity_factor_1 = 1;  ///< effective over bare air: with what is really light
  double moisture_capacity_factor_1 = 1;
  double inside_film_factor_1 = 1;  ///< on what the law of inside natural convection says
};

}  // namespace cabinload::vehicle
