// SPDX-License-Identifier: Apache-2.0
// Against a reference library over a century and over every shipped year: tests/data/reference.
#include <cabinload/core/constants.hpp>
#include <cabinload/sun/sun.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace core = cabinload::core;
namespace sun = cabinload::sun;
namespace test = cabinload::test;
using core::kDegree_rad;
using test::Table;

TEST_CASE("sun: positions from 1950 to 2050 at seven sites", "[sun][table]") {
  // pvlib SPA without refraction. Azimuth is compared as a direction: times sin z.
  constexpr double kBar_deg = 0.005;
  const Table t("reference/sun_positions.csv");
  double worst_deg = 0;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const std::string& when = t.text(i, "utc_time");  // 1950-03-20T15:00:00
    const auto part = [&](std::size_t at, std::size_t n) { return std::stoi(when.substr(at, n)); };
    const double day = part(8, 2) + (part(11, 2) + (part(14, 2) + part(17, 2) / 60.0) / 60) / 24;
    const int year = part(0, 4), month = part(5, 2);
    const double jd = sun::julian_day(year, month, day);
    const sun::Ephemeris e = sun::ephemeris(jd, sun::delta_t_s(year + (month - 0.5) / 12));
    const sun::Position p = sun::position(
        e, {t.number(i, "latitude_deg") * kDegree_rad,
            t.number(i, "longitude_deg_east") * kDegree_rad, t.number(i, "altitude_m")});
    const double dz = p.zenith_rad / kDegree_rad - t.number(i, "zenith_deg");
    const double da =
        std::remainder(p.azimuth_rad / kDegree_rad - t.number(i, "azimuth_from_north_deg"), 360.0);
    const double off = std::max(std::abs(dz), std::abs(da) * std::sin(p.zenith_rad));
    INFO(t.text(i, "site") << ' ' << when);
    CHECK(off < kBar_deg);
    worst_deg = std::max(worst_deg, off);
  }
  test::record({"Sun and sky", "solar position, 420 instants of 1950 to 2050 at 7 sites, worst",
                "pvlib 0.16.1 (SPA)", 0, kBar_deg, worst_deg, "degree", ""});
}

TEST_CASE("sun: tilted irradiance of every shipped year on six planes", "[sun][table]") {
  // pvlib, Perez 1990, all-sites composite, on 40 sunlit hours of each year (10 of them with the
  // sun below 10 degrees).
  constexpr double kBar_W_m2 = 0.1;
  const Table t("reference/tilted.csv");
  double worst_W_m2 = 0;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const sun::Position p{t.number(i, "zenith_deg") * kDegree_rad,
                          t.number(i, "sun_azimuth_deg") * kDegree_rad};
    const sun::Tilted ours =
        sun::tilted(p, t.number(i, "dni_W_m2"), t.number(i, "dhi_W_m2"), t.number(i, "ghi_W_m2"),
                    t.number(i, "extraterrestrial_W_m2"), t.number(i, "tilt_deg") * kDegree_rad,
                    t.number(i, "azimuth_deg") * kDegree_rad, 0.2);
    INFO(t.text(i, "year") << ", tilt " << t.text(i, "tilt_deg") << ", zenith "
                           << t.text(i, "zenith_deg"));
    for (const double off :
         {ours.beam_W_m2 - t.number(i, "beam_W_m2"), ours.sky_W_m2 - t.number(i, "sky_W_m2"),
          ours.ground_W_m2 - t.number(i, "ground_W_m2")}) {
      CHECK(std::abs(off) < kBar_W_m2);
      worst_W_m2 = std::max(worst_W_m2, std::abs(off));
    }
  }
  test::record({"Sun and sky", "tilted irradiance, five shipped years, six planes, worst part",
                "pvlib 0.16.1 (Perez 1990)", 0, kBar_W_m2, worst_W_m2, "W/m2", ""});
}
