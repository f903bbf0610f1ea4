// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/sun/sun.hpp>
#include <cmath>
#include <map>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace core = cabinload::core;
namespace sun = cabinload::sun;
namespace test = cabinload::test;
using core::kDegree_rad;
using test::Table;
using test::Worst;

TEST_CASE("sun: the worked example of the solar position algorithm", "[sun][table]") {
  // Reda & Andreas, NREL/TP-560-34302, appendix A.5: 17 October 2003 12:30:30, UTC-7. Bar 1e-4 deg,
  // printed digits.
  const Table t("sun/spa_example.csv");
  std::map<std::string, double> v;
  for (std::size_t i = 0; i < t.rows(); ++i) v[t.text(i, "quantity")] = t.number(i, "value");
  const auto same = [](const std::string& what, double ours, double published, double bar,
                       const char* unit) {
    CHECK_WITHIN(ours, published, bar);
    Worst off;
    off.see(ours, published);
    off.record("Sun and sky", "worked example, " + what,
               "Reda, Andreas, NREL/TP-560-34302, A.5 (printed digits)", bar, unit);
  };
  const double jd = sun::julian_day(2003, 10, 17 + (19 + 30 / 60.0 + 30 / 3600.0) / 24);
  same("Julian day", jd, v.at("julian_day"), 1e-6, "day");
  const sun::Ephemeris e = sun::ephemeris(jd, 67);
  constexpr double kBar_deg = 1e-4;
  const auto angle = [&](const std::string& what, double ours_rad, const char* key,
                         double bar_deg) {
    same(what, ours_rad / kDegree_rad, v.at(key), bar_deg, "degree");
  };
  angle("right ascension", e.right_ascension_rad, "right_ascension", kBar_deg);
  angle("declination", e.declination_rad, "declination", kBar_deg);
  angle("apparent sidereal time", e.sidereal_rad, "apparent_sidereal_time", kBar_deg);
  same("distance of the sun", e.distance_au, v.at("earth_sun_distance_R"), 1e-9, "au");
  angle("parallax", e.parallax_rad, "parallax", 1e-6);
  const sun::Position p =
      sun::position(e, {39.742476 * kDegree_rad, -105.1786 * kDegree_rad, 1830.14});
  const double elevation_rad = 0.5 * core::kPi - p.zenith_rad;
  angle("elevation without refraction", elevation_rad, "elevation_no_refraction", kBar_deg);
  angle("azimuth", p.azimuth_rad, "azimuth_from_north", kBar_deg);
  angle("refraction", sun::refraction_rad(elevation_rad, 82000, 284.15), "refraction", 1e-5);
  // Surface 30 deg steep, turned -10 deg from south: azimuth 170 from north. With refraction, as
  // published.
  const sun::Position seen{(v.at("zenith")) * kDegree_rad, p.azimuth_rad};
  angle("incidence on a plane 30 degrees steep",
        std::acos(sun::cos_incidence_1(seen, 30 * kDegree_rad, 170 * kDegree_rad)),
        "incidence_on_surface_slope_30_azimuth_rotation_-10_from_south", 1e-3);
}

TEST_CASE("sun: positions at seven places agree with a reference library", "[sun][table]") {
  // pvlib's SPA without refraction; bar 0.005 deg (azimuth near the zenith scaled by sin z).
  constexpr double kBar_deg = 0.005;
  const Table t("sun/position_grid.csv");
  Worst worst;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const std::string& when = t.text(i, "utc_time");  // 2020-03-20T15:00:00
    const int year = std::stoi(when.substr(0, 4)), month = std::stoi(when.substr(5, 2)),
              day = std::stoi(when.substr(8, 2));
    const double hour = std::stoi(when.substr(11, 2)) + std::stoi(when.substr(14, 2)) / 60.0;
    const sun::Ephemeris e = sun::ephemeris(sun::julian_day(year, month, day + hour / 24),
                                            sun::delta_t_s(year + (month - 0.5) / 12));
    const sun::Position p = sun::position(
        e, {t.number(i, "latitude_deg") * kDegree_rad,
            t.number(i, "longitude_deg_east") * kDegree_rad, t.number(i, "altitude_m")});
    INFO(t.text(i, "site") << " " << when);
    const double zenith_deg = p.zenith_rad / kDegree_rad;
    CHECK(worst.see(zenith_deg, t.number(i, "zenith_geometric_deg")) <= kBar_deg);
    const double turn =
        std::remainder(p.azimuth_rad / kDegree_rad - t.number(i, "azimuth_from_north_deg"), 360.0);
    CHECK(worst.see(turn * std::sin(p.zenith_rad), 0.0) <= kBar_deg);
  }
  worst.record("Sun and sky", "solar position at seven places in 2020, worst",
               "pvlib (SPA without refraction)", kBar_deg, "degree");
}

TEST_CASE("sun: irradiance on tilted planes", "[sun][table]") {
  constexpr double kBar_W_m2 = 0.1;
  const Table t("sun/perez_tilt.csv");
  Worst worst;
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
    CHECK(worst.see(ours.sky_W_m2, t.number(i, "sky_diffuse_W_per_m2")) <= kBar_W_m2);
    CHECK(worst.see(ours.beam_W_m2, t.number(i, "beam_on_plane_W_per_m2")) <= kBar_W_m2);
  }
  worst.record("Sun and sky", "tilted irradiance, clear, overcast and low sun, worst part",
               "pvlib (Perez 1990; one row from its own regression test)", kBar_W_m2, "W/m2");
}

TEST_CASE("sun: air mass", "[sun][table]") {
  constexpr double kBar_1 = 1e-3;
  const Table t("sun/air_mass.csv");
  REQUIRE(t.rows() > 8);
  Worst worst;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    INFO("zenith " << t.text(i, "zenith_deg"));
    CHECK(worst.see_relative(sun::air_mass_1(t.number(i, "zenith_deg") * kDegree_rad),
                             t.number(i, "air_mass_kasten_young_1989")) <= kBar_1);
  }
  worst.record("Sun and sky", "air mass to a zenith of 89 degrees, relative, worst",
               "Kasten, Young 1989 (two values read, others by pvlib)", kBar_1, "1");
}

TEST_CASE("sun: clear sky of the handbook", "[sun][table]") {
  constexpr double kBar_W_m2 = 0.1;
  const Table t("sun/ashrae_clear_sky.csv");
  std::size_t checked = 0;
  Worst beam, diffuse;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    if (t.text(i, "handbook_edition") != "2013") continue;  // the edition that is built
    const double zenith = (90 - t.number(i, "solar_elevation_deg")) * kDegree_rad;
    const sun::Split s =
        sun::ashrae_clear_sky(zenith, t.number(i, "extraterrestrial_normal_W_per_m2"),
                              t.number(i, "tau_b"), t.number(i, "tau_d"));
    INFO("elevation " << t.text(i, "solar_elevation_deg") << ", tau_b " << t.text(i, "tau_b"));
    CHECK(beam.see(s.dni_W_m2, t.number(i, "beam_normal_W_per_m2")) <= kBar_W_m2);
    CHECK(diffuse.see(s.dhi_W_m2, t.number(i, "diffuse_horizontal_W_per_m2")) <= kBar_W_m2);
    ++checked;
  }
  CHECK(checked > 4);
  constexpr const char* kSource = "ASHRAE Fundamentals 2013 clear sky (coefficients from memory)";
  beam.record("Sun and sky", "clear sky, direct normal, worst", kSource, kBar_W_m2, "W/m2");
  diffuse.record("Sun and sky", "clear sky, diffuse, worst", kSource, kBar_W_m2, "W/m2");
}

TEST_CASE("sun: sky temperature", "[sun][table]") {
  constexpr double kBar_K = 0.01;
  const Table t("sun/sky_temperature.csv");
  std::size_t checked = 0;
  Worst worst;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    if (t.text(i, "berdahl_martin_clear_sky_temp_degC").empty()) continue;
    const double T_dry_K = t.number(i, "air_temp_degC") + 273.15,
                 T_dew_K = t.number(i, "dew_point_degC") + 273.15;
    INFO("air " << t.text(i, "air_temp_degC") << ", dew point " << t.text(i, "dew_point_degC"));
    CHECK(worst.see(sun::sky_temperature_K(T_dry_K, T_dew_K, 0) - 273.15,
                    t.number(i, "berdahl_martin_clear_sky_temp_degC")) <= kBar_K);
    CHECK(sun::sky_temperature_K(T_dry_K, T_dew_K, 1) >
          sun::sky_temperature_K(T_dry_K, T_dew_K, 0.5));
    CHECK(sun::sky_temperature_K(T_dry_K, T_dew_K, 1) <= T_dry_K);
    ++checked;
  }
  CHECK(checked >= 6);
  worst.record("Sun and sky", "clear sky temperature, air 0 to 40 degC, worst",
               "Berdahl, Martin 1984 (formula from memory)", kBar_K, "K");
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
  constexpr double kBar_s = 0.3;
  Worst worst;
  CHECK(worst.see(sun::delta_t_s(1950), 29.1) <= kBar_s);
  CHECK(worst.see(sun::delta_t_s(1980), 50.5) <= kBar_s);
  CHECK(worst.see(sun::delta_t_s(2000), 63.8) <= kBar_s);
  worst.record("Sun and sky", "delta T of 1950, 1980 and 2000, worst",
               "Espenak, Meeus 2006 (observed values)", kBar_s, "s");
}
