// SPDX-License-Identifier: Apache-2.0
#pragma once

/// Where the sun is, what it gives under a clear sky, and what a tilted plane receives.
namespace cabinload::sun {

/// Sun seen from a place. Angles in rad.
struct Position {
  double zenith_rad = 0;   ///< geometric (no refraction), topocentric
  double azimuth_rad = 0;  ///< clockwise from north, 0..2 pi
};

/// Geocentric sun at an instant: what changes slowly and can be interpolated over hours.
struct Ephemeris {
  double right_ascension_rad = 0;  ///< apparent
  double declination_rad = 0;
  double sidereal_rad = 0;  ///< apparent Greenwich sidereal time
  double parallax_rad = 0;  ///< equatorial horizontal parallax of the sun
  double distance_au = 1;
};

/// Julian day of a UTC moment in the Gregorian calendar. `day` may carry a fraction.
[[nodiscard]] double julian_day(int year, int month, double day);
/// Delta T = TT - UT1 [s] by year, polynomial. Source: [Espenak2006]. 1900..2150.
[[nodiscard]] double delta_t_s(double year);
/// NREL solar position algorithm, 1e-4 deg or better. Source: [Reda2004] sec. 3.
[[nodiscard]] Ephemeris ephemeris(double julian_day_UT, double delta_t_s);
/// Where the sun is looked at from, with what of the formulas follows from that alone.
struct Observer {
  Observer(double latitude_rad, double longitude_rad, double elevation_m);  ///< on earth
  double longitude_rad;
  double sin_latitude, cos_latitude;
  double beside_axis_1, along_axis_1;  ///< from the earth's centre, in its radii: x and y there
};
/// Topocentric position. Source: [Reda2004] secs. 3.9 to 3.15.
[[nodiscard]] Position position(const Ephemeris& sun, const Observer& observer);
/// Sine of the elevation as from the earth's centre: at most 4.3e-5 above that of position().
[[nodiscard]] double geocentric_height_1(const Ephemeris& sun, const Observer& observer);
/// Refraction to add to the geometric elevation [rad]. Source: [Reda2004] eq. 42.
[[nodiscard]] double refraction_rad(double elevation_rad, double p_Pa, double T_K);
/// Extraterrestrial normal irradiance [W/m2] at the sun's distance.
[[nodiscard]] double extraterrestrial_W_m2(double distance_au);
/// Relative optical air mass. Source: [Kasten1989]. zenith < 90 deg; larger is clamped to it.
[[nodiscard]] double air_mass_1(double zenith_rad);
/// cos of incidence of beam on a plane; negative behind. Plane azimuth clockwise from north.
[[nodiscard]] double cos_incidence_1(const Position& sun, double tilt_rad, double azimuth_rad);

/// What a plane receives, by where it comes from; each >= 0.
struct Tilted {
  double beam_W_m2 = 0, sky_W_m2 = 0, ground_W_m2 = 0;
};
/// Plane-of-array irradiance after Perez 1990 (all-sites composite). Source: [Perez1990] eqs. 1, 2,
/// 9 and table 1; horizon-brightening sky, isotropic ground.
[[nodiscard]] Tilted tilted(const Position& sun, double dni_W_m2, double dhi_W_m2, double ghi_W_m2,
                            double extraterrestrial_W_m2, double tilt_rad, double azimuth_rad,
                            double albedo_1);

/// The two coefficients of the sky at a moment, circumsolar and horizon brightening [1]; the same
/// for every plane, so worked out once.
struct PerezSky {
  double F1 = 0, F2 = 0;
};
/// Those of [Perez1990] table 1, by the clearness and brightness of the sky; 0 without diffuse.
[[nodiscard]] PerezSky perez_sky(double zenith_rad, double dni_W_m2, double dhi_W_m2,
                                 double extraterrestrial_W_m2);
/// The part of the tilted sky's diffuse that comes from around the sun [W/m2]: shaded with the
/// beam. Source: [Perez1990] eq. 9, second term.
[[nodiscard]] double circumsolar_W_m2(const PerezSky& sky, double cos_zenith_1,
                                      double cos_incidence_1, double dhi_W_m2);
/// As tilted() above with the sky and the cosines already known.
[[nodiscard]] Tilted tilted(const PerezSky& sky, double cos_zenith_1, double cos_incidence_1,
                            double cos_tilt_1, double sin_tilt_1, double dni_W_m2, double dhi_W_m2,
                            double ghi_W_m2, double albedo_1);

/// Direct normal and diffuse horizontal.
struct Split {
  double dni_W_m2 = 0, dhi_W_m2 = 0;
};
/// Direct and diffuse from global alone. Source: [Erbs1982].
[[nodiscard]] Split erbs(double ghi_W_m2, double zenith_rad, double extraterrestrial_W_m2);
/// ASHRAE clear sky. Source: [ASHRAE-F2017] ch. 14 eqs. 17 to 20. tau_b, tau_d: clear-sky optical
/// depths.
[[nodiscard]] Split ashrae_clear_sky(double zenith_rad, double extraterrestrial_W_m2, double tau_b,
                                     double tau_d);

/// Apparent sky temperature [K] from dew point, dry bulb and opaque cloud cover.
/// Source: [Berdahl1984], clear sky; cloud adds (1 - eps) * cover * 0.8 after [Martin1984], from
/// memory.
[[nodiscard]] double sky_temperature_K(double T_dry_K, double T_dew_K, double cloud_1);

}  // namespace cabinload::sun
