// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/sun/sun.hpp>
#include <cmath>
#include <map>

#include "support/catch.hpp"
#include "support/table.hpp"

namespace core = cabinload::core;
namespace sun = cabinload::sun;
using cabinload::test::Table;
using core::kDegree_rad;

TEST_CASE("sun: the worked example of the solar position algorithm", "[sun][table]") {
  // Reda & Andreas, NREL/TP-560-34302, appendix A.5: 17 October 2003 12:30:30, UTC-7. Bar 1e-4 deg,
  // printed digits.
  const Table t("sun/spa_example.csv");
  std::map<std::string, double> v;
  for (std::size_t i = 0; i < t.rows(); ++i) v[t.text(i, "quantity")] = t.number(i, "value");
  const double jd = sun::julian_day(2003, 10, 17 + (19 + 30 / 60.0 + 30 / 3600.0) / 24);
  CHECK_WITHIN(jd, v.at("julian_day"), 1e-6);
  const sun::Ephemeris e = sun::ephemeris(jd, 67);
  constexpr double kBar_deg = 1e-4;
  CHECK_WITHIN(e.right_ascension_rad / kDegree_rad, v.at("right_ascension"), kBar_deg);
  CHECK_WITHIN(e.declination_rad / kDegree_rad, v.at("declination"), kBar_deg);
  CHECK_WITHIN(e.sidereal_rad / kDegree_rad, v.at("apparent_sidereal_time"), kBar_deg);
  CHECK_WITHIN(e.distance_au, v.at("earth_sun_distance_R"), 1e-9);
  CHECK_WITHIN(e.parallax_rad / kDegree_rad, v.at("parallax"), 1e-6);
  const sun::Position p =
      sun::position(e, 39.742476 * kDegree_rad, -105.1786 * kDegree_rad, 1830.14);
  const double elevation = 90 - p.zenith_rad / kDegree_rad;
  CHECK_WITHIN(elevation, v.at("elevation_no_refraction"), kBar_deg);
  CHECK_WITHIN(p.azimuth_rad / kDegree_rad, v.at("azimuth_from_north"), kBar_deg);
  CHECK_WITHIN(sun::refraction_rad(elevation * kDegree_rad, 82000, 284.15) / kDegree_rad,
               v.at("refraction"), 1e-5);
  // Surface 30 deg steep, turned -10 deg from south: azimuth 170 from north. With refraction, as
  // published.
  const sun::Position seen{(v.at("zenith")) * kDegree_rad, p.azimuth_rad};
  CHECK_WITHIN(
      std::acos(sun::cos_incidence_1(seen, 30 * kDegree_rad, 170 * kDegree_rad)) / kDegree_rad,
      v.at("incidence_on_surface_slope_30_azimuth_rotation_-10_from_south"), 1e-3);
}

TEST_CASE("sun: positions at seven places agree with a reference library", "[sun][table]") {
  // pvlib's SPA without refraction; bar 0.005 deg (azimuth near the zenith scaled by sin z).
  constexpr double kBar_deg = 0.005;
  const Table t("sun/position_grid.csv");
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const std::string& when = t.text(i, "utc_time");  // 2020-03-20T15:00:00
    const int year = std::stoi(when.substr(0, 4)), month = std::stoi(when.substr(5, 2)),
              day = std::stoi(when.substr(8, 2));
    const double hour = std::stoi(when.substr(11, 2)) + std::stoi(when.substr(14, 2)) / 60.0;
    const sun::Ephemeris e = sun::ephemeris(sun::julian_day(year, month, day + hour / 24),
                                            sun::delta_t_s(year + (month - 0.5) / 12));
    const sun::Position p =
        sun::position(e, t.number(i, "latitude_deg") * kDegree_rad,
                      t.number(i, "longitude_deg_east") * kDegree_rad, t.number(i, "altitude_m"));
    INFO(t.text(i, "site") << " " << when);
    CHECK_WITHIN(p.zenith_rad / kDegree_rad, t.number(i, "zenith_geometric_deg"), kBar_deg);
    const double turn =
        std::remainder(p.azimuth_rad / kDegree_rad - t.number(i, "azimuth_from_north_deg"), 360.0);
    CHECK_WITHIN(turn * std::sin(p.zenith_rad), 0.0, kBar_deg);
  }
}

TEST_CASE("sun: irradiance on tilted planes", "[sun][table]") {
  constexpr double kBar_W_m2 = 0.1;
  const Table t("sun/perez_tilt.csv");
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const sun::Position p{t.number(i, "zenith_deg") * kDegree_rad,
                          t.number(i, "sun_azimuth_deg") * kDegree_rad};
    const double tilt = t.number(i, "tilt_deg") * kDegree_rad,
                 azimuth = t.number(i, "surface_azimuth_deg") * kDegree_rad;
    const double dni = t.number(i, "dni_W_per_m2"), dhi = t.number(i, "dhi_W_per_m2");
    const sun::Tilted ours =
        sun::tilted(p, dni, dhi, dhi + dni * std::cos(p.zenith_rad),
                    t.number(i, "extraterrestrial_dni_W_per_m2"), tilt, azimuth, 0.2);
    INFO(t.text(i, "case") << ", tilt " << t.number(i, "tilt_deg"));
    CHECK_WITHIN(ours.sky_W_m2, t.number(i, "sky_diffuse_W_per_m2"), kBar_W_m2);
    CHECK_WITHIN(ours.beam_W_m2, t.number(i, "beam_on_plane_W_per_m2"), kBar_W_m2);
  }
}

TEST_CASE("sun: air mass, clear sky and sky temperature", "[sun][table]") {
  const Table mass("sun/air_mass.csv");
  for (std::size_t i = 0; i < mass.rows(); ++i)
    CHECK_RELATIVE(sun::air_mass_1(mass.number(i, "zenith_deg") * kDegree_rad),
                   mass.number(i, "air_mass_kasten_young_1989"), 1e-3);
  const Table clear("sun/ashrae_clear_sky.csv");
  std::size_t checked = 0;
  for (std::size_t i = 0; i < clear.rows(); ++i) {
    if (clear.text(i, "handbook_edition") != "2013") continue;  // the edition that is built
    const double zenith = (90 - clear.number(i, "solar_elevation_deg")) * kDegree_rad;
    const sun::Split s =
        sun::ashrae_clear_sky(zenith, clear.number(i, "extraterrestrial_normal_W_per_m2"),
                              clear.number(i, "tau_b"), clear.number(i, "tau_d"));
    CHECK_WITHIN(s.dni_W_m2, clear.number(i, "beam_normal_W_per_m2"), 0.1);
    CHECK_WITHIN(s.dhi_W_m2, clear.number(i, "diffuse_horizontal_W_per_m2"), 0.1);
    ++checked;
  }
  CHECK(checked > 4);
  const Table sky("sun/sky_temperature.csv");
  checked = 0;
  for (std::size_t i = 0; i < sky.rows(); ++i) {
    if (sky.text(i, "berdahl_martin_clear_sky_temp_degC").empty()) continue;
    const double T_dry_K = sky.number(i, "air_temp_degC") + 273.15,
                 T_dew_K = sky.number(i, "dew_point_degC") + 273.15;
    CHECK_WITHIN(sun::sky_temperature_K(T_dry_K, T_dew_K, 0) - 273.15,
                 sky.number(i, "berdahl_martin_clear_sky_temp_degC"), 0.01);
    CHECK(sun::sky_temperature_K(T_dry_K, T_dew_K, 1) >
          sun::sky_temperature_K(T_dry_K, T_dew_K, 0.5));
    CHECK(sun::sky_temperature_K(T_dry_K, T_dew_K, 1) <= T_dry_K);
    ++checked;
  }
  CHECK(checked >= 6);
}

TEST_CASE("sun: the split of global irradiance conserves it", "[sun][property]") {
  // Erbs 1982: diffuse 1 - 0.09 kt below 0.22, 0.165 above 0.8.
  const double zenith = 40 * kDegree_rad, outside = 1350;
  for (double kt = 0.02; kt < 0.9; kt += 0.04) {
    const double ghi = kt * outside * std::cos(zenith);
    const sun::Split s = sun::erbs(ghi, zenith, outside);
    CHECK_RELATIVE(s.dhi_W_m2 + s.dni_W_m2 * std::cos(zenith), ghi, 1e-12);
    if (kt < 0.22) CHECK_RELATIVE(s.dhi_W_m2 / ghi, 1 - 0.09 * kt, 1e-12);
    if (kt > 0.8) CHECK_RELATIVE(s.dhi_W_m2 / ghi, 0.165, 1e-12);
  }
  CHECK(sun::erbs(50, 95 * kDegree_rad, outside).dni_W_m2 == 0);
}

TEST_CASE("sun: delta T follows the tabled years", "[sun][table]") {
  // Espenak & Meeus 2006, five millennium canon: 1950 29.1 s, 1980 50.5 s, 2000 63.8 s; observed,
  // polynomial within 0.3 s.
  CHECK_WITHIN(sun::delta_t_s(1950), 29.1, 0.3);
  CHECK_WITHIN(sun::delta_t_s(1980), 50.5, 0.3);
  CHECK_WITHIN(sun::delta_t_s(2000), 63.8, 0.3);
}
