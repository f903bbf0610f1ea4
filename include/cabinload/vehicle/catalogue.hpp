// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/vehicle/vehicle.hpp>
#include <optional>
#include <string>
#include <vector>

/// What is built in: bodies, insulation levels, paints, glazing, covers, materials. Every entry
/// says where its numbers come from. Dimensions are invented and generic; they are no maker's.
namespace cabinload::vehicle {

/// Conductivity, density, specific heat of a homogeneous material.
struct Material {
  std::string key;
  double k_W_mK, rho_kg_m3, c_J_kgK;
  std::string source;
};
/// Solar absorptance and long-wave emittance of an outside face.
struct Paint {
  std::string key;
  double absorptance_1, emittance_1;
  std::string source;
};
/// A level of insulation in words; its layers are make()'s.
struct Insulation {
  std::string key;  ///< "bare", "thin", "good", "very-good"
  std::string about;
  std::string source;
};
/// A kind of window, as Window takes it.
struct Glazing {
  std::string key;
  std::string about;
  int panes;
  double pane_thickness_m, U_W_m2K, solar_transmittance_1, solar_absorptance_1,
      areal_heat_capacity_J_m2K, emittance_1;
  std::string source;
};
/// A kind of cover, as Cover takes it.
struct CoverType {
  std::string key;
  CoverSide side;
  double solar_transmittance_1, solar_reflectance_1, resistance_m2K_W;
  std::string source;
};
/// A body: dimensions inside, height over the road.
struct Body {
  std::string key;  ///< "small-van", "medium-van", "long-van", "box-body", "pop-top", "trailer"
  std::string about;
  double length_m, width_m, height_m, overall_height_m;
  std::string source;  ///< "invented, generic"
};

/// One of the tables, in the order in which it is listed; keys are unique.
/// @{
[[nodiscard]] const std::vector<Material>& materials();
[[nodiscard]] const std::vector<Paint>& paints();
[[nodiscard]] const std::vector<Insulation>& insulations();
[[nodiscard]] const std::vector<Glazing>& glazings();
[[nodiscard]] const std::vector<CoverType>& covers();
[[nodiscard]] const std::vector<Body>& bodies();
/// @}

/// Parts made of table entries. @throws core::RangeError  unknown key (with the nearest)
[[nodiscard]] Layer layer_of(const std::string& material, double thickness_m);
/// Optics and thermal figures of that glazing; name, area and direction are the caller's.
[[nodiscard]] Window window_of(const std::string& glazing);
/// The cover in place at those hours.
[[nodiscard]] Cover cover_of(const std::string& cover, const core::DaySchedule& hours);

/// Customer's words. Every key must name an entry of the tables above.
struct Choice {
  std::string body = "medium-van";
  std::string insulation = "thin";
  std::string paint = "white";
  std::string cover = "none";  ///< on every window
  core::DaySchedule cover_hours = core::DaySchedule::always();
  std::optional<int> side_windows;                    ///< count; default of the body
  std::optional<double> length_m, width_m, height_m;  ///< override the body's
  double heading_rad = 0;
};

/// The vehicle of a choice, with its surfaces, windows and furnishings. Leakage grows with the
/// shell when dimensions are overridden.
/// @throws core::RangeError  unknown key (with the nearest), a dimension <= 0, windows that do not
/// fit their face, more than 20 side windows
[[nodiscard]] Vehicle make(const Choice& choice);

/// Air-to-air transmittance of layers with ISO 6946 films for the direction of heat flow [W m-2
/// K-1].
/// @param R_si_m2K_W, R_se_m2K_W  surface resistances
/// Source: [ISO6946] eq. 4.
[[nodiscard]] double u_value_W_m2K(const std::vector<Layer>& layers, double R_si_m2K_W,
                                   double R_se_m2K_W);

/// Whether a window is let into a surface: open air behind it, tilt and azimuth the same to a
/// degree (a level face has no azimuth).
[[nodiscard]] bool same_face(const Window& window, const Surface& surface);

/// Problems a reader must refuse or warn of (negative area, zero thickness, window larger than its
/// wall, shares over 1 ...), as sentences "surface 'roof': area = -2 m2, must be > 0".
[[nodiscard]] std::vector<std::string> problems(const Vehicle& vehicle);

}  // namespace cabinload::vehicle
