// SPDX-License-Identifier: Apache-2.0
// A shell of one's own, its films, shares and sun; parking, air and ideal control; and what is
// wrong.
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>

#include "support/catch.hpp"
#include "support/scenario_text.hpp"

namespace core = cabinload::core;
namespace forcing = cabinload::forcing;
namespace test = cabinload::test;
namespace vehicle = cabinload::vehicle;
using test::contains;
using test::refusal;

namespace {

/// A roof of steel to which a case adds its lines.
std::string surface(const std::string& lines) {
  return "[vehicle]\nbody = \"own\"\nvolume = \"9 m3\"\n[[surface]]\nname = \"roof\"\npart = "
         "\"roof\"\narea = \"5 m2\"\n" +
         lines + "layers = [{material = \"steel\", thickness = \"1 mm\"}]\n";
}

std::string window(const std::string& lines) {
  return surface("") + "[[window]]\nname = \"side\"\narea = \"0.4 m2\"\nazimuth = \"90 degree\"\n" +
         lines;
}

}  // namespace

TEST_CASE("scenario: a body of one's own is only what is described", "[scenario][unit]") {
  const auto s =
      test::read_text(surface("outside_film = \"12 W/(m2 K)\"\ninside_film = \"3 W/(m2 "
                              "K)\"\nwind_share = 0.5\nsun = \"06:00 0 W/m2, 12:00 500 "
                              "W/m2, 18:00 0 W/m2\"\n"));
  REQUIRE(s.vehicle.surfaces.size() == 1);
  CHECK(s.vehicle.windows.empty());
  CHECK(s.vehicle.furnishings.empty());
  const vehicle::Surface& roof = s.vehicle.surfaces[0];
  CHECK(roof.films.outside_W_m2K == 12);
  CHECK(roof.films.inside_W_m2K == 3);
  CHECK(roof.films.inside_radiant_W_m2K == 0);
  CHECK(roof.wind_share_1.value() == 0.5);
  CHECK(roof.sun_W_m2->at(13 * 3600.0) == 500);
  CHECK_FALSE(roof.solar_share_1.has_value());
}

TEST_CASE("scenario: windows by panes, by one pane, by curve and by g-value", "[scenario][unit]") {
  const auto panes = test::read_text(
      window("panes = 2\npane_thickness = \"3.175 mm\"\noptics = \"panes\"\nextinction_per_m = "
             "19.6\nresistance = \"0.165 m2 K/W\"\n"));
  CHECK(panes.vehicle.windows[0].optics == vehicle::Optics::panes);
  CHECK_WITHIN(panes.vehicle.windows[0].resistance_face_to_face(), 0.165, 1e-12);
  const auto curve = test::read_text(
      window("optics = \"curve\"\nangle_curve = \"0 1, 60 0.8, 80 0.3\"\noutside_cover = "
             "\"outside-mat\"\ncover = \"curtain\"\n"));
  const vehicle::Window& w = curve.vehicle.windows[0];
  CHECK(w.curve_ratio_1 == std::vector<double>{1, 0.8, 0.3});
  CHECK(w.inside_cover.type == "curtain");
  CHECK(w.outside_cover.type == "outside-mat");
  // One pane of U 5.7: R = 0.002 least, so what is absorbed goes inwards by 0.041/0.172.
  const auto g =
      test::read_text(window("type = \"side-glass\"\nsolar_transmittance = 0.5\ng_value = 0.6\n"));
  CHECK_WITHIN(g.vehicle.windows[0].solar_absorptance_1,
               0.1 / ((0.04 + 0.5 * g.vehicle.windows[0].resistance_face_to_face()) /
                      (0.17 + g.vehicle.windows[0].resistance_face_to_face())),
               1e-9);
}

TEST_CASE("scenario: parking, driving, air and ideal control are read", "[scenario][unit]") {
  const auto s = test::read_text(
      "[parking]\nshade = \"tree\"\nshade_hours = \"12:00-15:00\"\nground = \"grass\"\n"
      "[[skyline]]\nazimuth = \"270 degree\"\nelevation = \"20 degree\"\n"
      "[driving]\nhours = \"09:00-11:00\"\nspeed = \"80 km/h\"\n"
      "[[opening]]\nname = \"hatch\"\narea = \"300 cm2\"\nopen = \"20:00-08:00\"\n"
      "[fan]\nflow = \"400 m3/h\"\npower = \"20 W\"\n"
      "[ideal]\ncool_to = \"26 degC\"\ncool_limit = \"900 W\"\ncool_at = \"roof\"\n");
  CHECK(s.site.shade_beam_1 == 0.15);
  CHECK(s.site.ground == forcing::Ground::grass);
  CHECK_WITHIN(s.site.skyline.at(0).elevation_rad, 20 * core::kDegree_rad, 1e-12);
  CHECK_WITHIN(s.site.driving_speed_m_s, 80 / 3.6, 1e-9);
  CHECK_WITHIN(s.air.openings.at(0).area_m2, 0.03, 1e-12);
  CHECK_WITHIN(s.air.fan.flow_m3_s, 400 / 3600.0, 1e-12);
  CHECK(s.air.fan.only_when_it_helps);
  CHECK_FALSE(s.ideal.heat_to_K.has_value());
  CHECK(s.ideal.cool_limit_W == 900);
  CHECK(s.ideal.cool_place == "roof");
  CHECK(test::read_text("[vehicle]\nheading = \"worst\"\n").heading_worst);
}

TEST_CASE("scenario: what is wrong with a shell is said by name, with a remedy",
          "[scenario][unit]") {
  const struct {
    std::string toml;
    const char* part;
  } cases[] = {
      {"[vehicle]\nbody = \"own\"\nvolume = \"9 m3\"\n", "the cabin has no surface"},
      {"[vehicle]\nbody = \"own\"\n[[surface]]\narea = \"5 m2\"\nlayers = [{material = \"steel\", "
       "thickness = \"1 mm\"}]\n",
       "needs its air volume"},
      {"[vehicle]\nsun_floor = 0.8\nsun_walls = 0.4\n", "add to 1.2, must be at most 1"},
      {"[vehicle]\ncover = \"curtain\"\ncover_hours = \"20:00-08:00, 07:00-09:00\"\n",
       "two spans share hours"},
      {surface("tilt = \"190 degree\"\n"), "out of range, must be 0 degree to 180"},
      {surface("solar_share = 0.7\n"), "the shares of the sun add to 0.7000, must be 1"},
      {surface("radiant_share = 0.7\n"), "the radiant shares add to 0.7000, must be 1"},
      {surface("solar_share = 1.7\n"), "out of range"},
      {surface("overhang_depth = \"1 m\"\n"), "needs the face's width and height"},
      {surface("sun = \"07:00 10 m\"\n"), "is not an irradiance"},
      {"[vehicle]\nbody = \"own\"\nvolume = \"9 m3\"\n[[surface]]\narea = \"5 m2\"\nlayers = "
       "[{thickness = \"20 mm\"}]\n",
       "needs a conductivity, or a material of the table"},
      {"[vehicle]\nbody = \"own\"\nvolume = \"9 m3\"\n[[surface]]\narea = \"5 m2\"\nlayers = "
       "[{material = \"plywod\", thickness = \"20 mm\"}]\n",
       "did you mean 'plywood'"},
      {surface("") + "[[window]]\narea = \"0.4 m2\"\n", "faces nowhere"},
      {window("cover_hours = \"20:00-08:00, 07:00-09:00\"\n"), "two spans share hours"},
      {window("outside_cover = \"outside-mat\"\noutside_cover_hours = \"1:00-3:00, 2:00-4:00\"\n"),
       "two spans share hours"},
      {window("cover = \"outside-mesh\"\noutside_cover = \"outside-mat\"\n"),
       "there is one outside already"},
      {window("outside_cover = \"curtain\"\n"), "there are:"},
      {window("optics = \"curve\"\n"), "needs an angle_curve"},
      {window("angle_curve = \"0 1, 60 1.2\"\n"), "not an angle in degree with a ratio"},
      {window("angle_curve = \"10 1, 60 0.8\"\n"), "must start with 0 1"},
      {window("angle_curve = \"0 1, 60 0.8, 50 0.7\"\n"), "the angles must rise"},
      {window("solar_transmittance = 0.5\ng_value = 0.9\n"), "does not go with a transmittance"},
      {surface("") + "[[furnishing]]\nname = \"bed\"\n", "an area is needed"},
      {surface("") + "[[furnishing]]\narea = \"2 m2\"\n", "at least one layer"},
      {"[parking]\nground = \"sand\"\n", "there are: asphalt, soil, grass, as-air"},
      {"[[skyline]]\nelevation = \"95 degree\"\n", "out of range"},
      {"[driving]\nhours = \"09:00-11:00\"\n", "driving needs a speed"},
      {"[[opening]]\nname = \"hatch\"\n", "an area is needed"},
      {"[ideal]\nheat_to = \"25 degC\"\ncool_to = \"24 degC\"\n", "heats above what it cools to"},
      {"[ideal]\ncool_at = \"ruf\"\n", "did you mean 'roof'"},
      {"[air]\nfresh_air = \"07:00 20 m3/h, 06:00 10 m3/h\"\n", "must rise through the day"},
  };
  for (const auto& c : cases) {
    INFO(c.toml);
    CHECK_THAT(refusal(c.toml), contains(c.part));
  }
}

TEST_CASE("scenario: somebody running in their sleep is warned of", "[scenario][unit]") {
  const auto s = test::read_text("[[person]]\nasleep_met = 7\n");
  bool warned = false;
  for (const auto& w : s.warnings) warned = warned || w.find("running, not asleep") != w.npos;
  CHECK(warned);
}
