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

/// A wall on the right side with layers of a case, and lines of a case before them.
std::string wall(const std::string& layers, const std::string& lines = "") {
  return "[vehicle]\nbody = \"own\"\nvolume = \"9 m3\"\n[[surface]]\nname = \"right\"\narea = "
         "\"8 m2\"\nazimuth = \"90 degree\"\n" +
         lines + "layers = [" + layers + "]\n";
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
      {window("optics = \"curve\"\nangle_curve = \"0 1, 60 1.2\"\n"),
       "not an angle in degree with a ratio"},
      {window("optics = \"curve\"\nangle_curve = \"10 1, 60 0.8\"\n"), "must start with 0 1"},
      {window("optics = \"curve\"\nangle_curve = \"0 1, 60 0.8, 50 0.7\"\n"),
       "the angles must rise"},
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

TEST_CASE("scenario: a surface of one's own takes the paint of the vehicle", "[scenario][unit]") {
  const std::string built =
      "[[surface]]\npart = \"roof\"\narea = \"5 m2\"\nlayers = [{material = \"steel\", thickness = "
      "\"1 mm\"}]\n";
  for (const std::string& text : {surface(""), built}) {
    for (const auto& paint : vehicle::paints()) {
      const auto s = test::read_text(text, {{"vehicle.paint", paint.key, "--paint"}});
      INFO(paint.key);
      CHECK(s.vehicle.paint == paint.key);
      CHECK(s.vehicle.surfaces[0].absorptance_1 == paint.absorptance_1);
      CHECK(s.vehicle.surfaces[0].emittance_out_1 == paint.emittance_1);
    }
  }
  const auto white = test::read_text(surface("")),
             black = test::read_text(surface(""), {{"vehicle.paint", "black", "--paint"}});
  CHECK(black.vehicle.surfaces[0].absorptance_1 > 3 * white.vehicle.surfaces[0].absorptance_1);
  const auto stated = test::read_text(surface("absorptance = 0.4\nemittance = 0.3\n"));
  CHECK(stated.vehicle.surfaces[0].absorptance_1 == 0.4);
  CHECK(stated.vehicle.surfaces[0].emittance_out_1 == 0.3);
}

TEST_CASE("scenario: a layer of the table keeps what a value of one's own does not replace",
          "[scenario][unit]") {
  const vehicle::Layer steel = vehicle::layer_of("steel", 0.001);
  const auto layer = [](const std::string& own) {
    return test::read_text(wall("{material = \"steel\", thickness = \"1 mm\", " + own + "}"))
        .vehicle.surfaces.at(0)
        .layers.at(0);
  };
  const vehicle::Layer k = layer("conductivity = \"40 W/(m K)\"");
  CHECK(k.material == "steel");
  CHECK(k.k_W_mK == 40);
  CHECK(k.rho_kg_m3 == steel.rho_kg_m3);
  CHECK(k.c_J_kgK == steel.c_J_kgK);
  const vehicle::Layer rho = layer("density = \"7000 kg/m3\"");
  CHECK(rho.k_W_mK == steel.k_W_mK);
  CHECK(rho.rho_kg_m3 == 7000);
  const vehicle::Layer c = layer("specific_heat = \"500 J/(kg K)\"");
  CHECK(c.k_W_mK == steel.k_W_mK);
  CHECK(c.c_J_kgK == 500);
}

TEST_CASE("scenario: a layer of one's own says all it is, a misspelt one is refused",
          "[scenario][unit]") {
  const std::string k = ", thickness = \"20 mm\", conductivity = \"0.04 W/(m K)\"",
                    mass = ", density = \"30 kg/m3\", specific_heat = \"1400 J/(kg K)\"";
  const auto own = test::read_text(wall("{material = \"my foam\"" + k + mass + "}"));
  CHECK(own.vehicle.surfaces[0].layers[0].areal_heat_capacity_J_m2K() == 0.02 * 30 * 1400);
  for (const std::string& name : {std::string("material = \"own\""), std::string()}) {
    const std::string rest = name.empty() ? k.substr(2) : k;
    const auto massless = test::read_text(wall("{" + name + rest + "}"));
    CHECK(massless.vehicle.surfaces[0].layers[0].areal_heat_capacity_J_m2K() == 0);
    CHECK(massless.vehicle.surfaces[0].layers[0].k_W_mK == 0.04);
  }
  for (const std::string& values :
       {k, k + ", density = \"500 kg/m3\"", k + ", specific_heat = \"1600 J/(kg K)\""}) {
    const std::string said = refusal(wall("{material = \"plywod\"" + values + "}"));
    INFO(said);
    CHECK_THAT(said, contains("case.toml:8:"));
    CHECK_THAT(said, contains("surface[0].layers[0].material: 'plywod' is not known, did you mean "
                              "'plywood'?"));
    CHECK_THAT(said, contains("conductivity, density and specific_heat"));
  }
}

TEST_CASE("scenario: a window is cut once out of the walls of its side", "[scenario][unit]") {
  const auto of = [](const std::vector<double>& areas_m2) {
    std::string text = "[vehicle]\nbody = \"own\"\nvolume = \"9 m3\"\n";
    for (const double area_m2 : areas_m2)
      text += "[[surface]]\narea = \"" + std::to_string(area_m2) +
              " m2\"\nazimuth = \"90 degree\"\nlayers = [{material = \"steel\", thickness = \"1 "
              "mm\"}]\n";
    for (const char* azimuth : {"90", "-270", "89.5"})  // one side
      text += std::string("[[window]]\narea = \"0.5 m2\"\nazimuth = \"") + azimuth + " degree\"\n";
    return text;
  };
  const auto net_m2 = [&](const std::vector<double>& areas_m2) {
    std::vector<double> net;
    for (const auto& s : test::read_text(of(areas_m2)).vehicle.surfaces) net.push_back(s.area_m2);
    return net;
  };
  CHECK_WITHIN(net_m2({8}).at(0), 6.5, 1e-9);
  const auto halves = net_m2({4, 4});
  CHECK_WITHIN(halves.at(0), 3.25, 1e-9);
  CHECK_WITHIN(halves.at(1), 3.25, 1e-9);
  const auto uneven = net_m2({2, 6});
  CHECK_WITHIN(uneven.at(0), 2 - 1.5 * 2 / 8, 1e-9);
  CHECK_WITHIN(uneven.at(1), 6 - 1.5 * 6 / 8, 1e-9);
  CHECK_NOTHROW(net_m2({1, 1}));  // three quarters glass
  CHECK_THAT(
      refusal(of({0.7, 0.7})),
      contains("case.toml:5:8: error: surface[0].area: its windows are larger than the wall: "
               "0.75 m2 of glass in 0.70 m2"));
}

TEST_CASE("scenario: a key of glass that the optics do not use is refused", "[scenario][unit]") {
  const struct {
    const char* optics;
    const char* line;
    const char* belongs;
  } cases[] = {
      {"panes", "solar_transmittance = 0.5", "optics = normal or curve"},
      {"panes", "solar_absorptance = 0.3", "optics = normal or curve"},
      {"panes", "g_value = 0.6", "optics = normal or curve"},
      {"pane", "g_value = 0.6", "optics = normal or curve"},
      {"pane", "index = 1.5", "optics = panes"},
      {"normal", "extinction_per_m = 12", "optics = panes"},
      {"normal", "pane_transmittance = 0.8", "optics = pane"},
      {"panes", "pane_reflectance = 0.08", "optics = pane"},
      {"normal", "angle_curve = \"0 1, 60 0.8\"", "optics = curve"},
      {"panes", "angle_curve = \"0 1, 60 0.8\"", "optics = curve"},
  };
  for (const auto& c : cases) {
    const std::string line = c.line, name = line.substr(0, line.find(' '));
    const std::string said =
        refusal(window(std::string("optics = \"") + c.optics + "\"\n" + line + "\n"));
    INFO(said);
    CHECK_THAT(said, contains("case.toml:14:"));
    CHECK_THAT(said, contains("error: window[0]." + name + ": "));
    CHECK_THAT(said, contains(std::string("optics = ") + c.optics));
    CHECK_THAT(said, contains(c.belongs));
  }
  CHECK_THAT(refusal(window("angle_curve = \"0 1, 60 0.8\"\n")), contains("optics = curve"));
  CHECK_THAT(refusal(window("angle_curv = \"0 1\"\n")), contains("'window[0].angle_curve'?"));
  CHECK_THAT(refusal(window("optics = \"panse\"\nindex = 1.5\n")),
             contains("did you mean 'pane") && !contains("not used"));
  CHECK_NOTHROW(test::read_text(window("optics = \"panes\"\ng_value = \"by optics\"\n")));
  CHECK_THAT(refusal(window("type = \"side-glass\"\nsolar_transmittance = 0.5\ng_value = "
                            "0.6\nsolar_absorptance = 0.3\n")),
             contains("error: window[0].solar_absorptance: '0.3'"));
}

TEST_CASE("scenario: nothing of an angle curve is dropped", "[scenario][unit]") {
  for (const char* curve : {"0 1, 40 0.98; 60 0.3", "0 1; 40 0.98", "0 1, 40 0.98 0.9", "0 1 x"}) {
    const std::string said =
        refusal(window(std::string("optics = \"curve\"\nangle_curve = \"") + curve + "\"\n"));
    INFO(said);
    CHECK_THAT(said, contains("case.toml:14:"));
    CHECK_THAT(said, contains("is not an angle in degree with a ratio from 0 to 1"));
    CHECK_THAT(said, contains("0 1, 40 0.98, 60 0.87"));
  }
  CHECK_NOTHROW(
      test::read_text(window("optics = \"curve\"\nangle_curve = \" 0 1 ,40 0.98 , 60 0.3 \"\n")));
}

TEST_CASE("scenario: a U-value that films alone exceed is refused with the reason",
          "[scenario][unit]") {
  CHECK_NOTHROW(test::read_text(window("type = \"clear-glass\"\nu_value = \"5.8 W/(m2 K)\"\n")));
  const std::string said = refusal(window("type = \"clear-glass\"\nu_value = \"6.2 W/(m2 K)\"\n"));
  INFO(said);
  CHECK_THAT(said, contains("case.toml:14:"));
  CHECK_THAT(said, contains("window[0].u_value: '6.2 W/(m2 K)' is out of range, must be 0.3 W/(m2 "
                            "K) to 5.8 W/(m2 K)"));
  CHECK_THAT(said, contains("0.17 m2 K/W"));
  CHECK_THAT(said, contains("resistance"));
  // A resistance says it all: U follows from it, and stating both is a contradiction.
  const auto stated =
      test::read_text(window("type = \"clear-glass\"\nresistance = \"0.004 m2 K/W\"\n"));
  CHECK_WITHIN(stated.vehicle.windows[0].U_W_m2K, 1 / 0.174, 1e-9);
  CHECK_THAT(refusal(window("resistance = \"0.2 m2 K/W\"\nu_value = \"3 W/(m2 K)\"\n")),
             contains("error: window[0].u_value: '3 W/(m2 K)'"));
  CHECK_THAT(refusal(window("resistance = \"0.001 m2 K/W\"\n")), contains("out of range"));
}

TEST_CASE("scenario: a pane that cannot be is refused when it is read", "[scenario][unit]") {
  const std::string said =
      refusal(window("optics = \"pane\"\npane_transmittance = 0.8\npane_reflectance = 0.5\n"));
  INFO(said);
  CHECK_THAT(said, contains("case.toml:14:"));
  CHECK_THAT(said, contains("window[0].pane_transmittance: "));
  CHECK_THAT(said, contains("transmits 0.8"));
  CHECK_THAT(said, contains("not 0.5"));
  CHECK_THAT(said, contains("0.2"));  // the most that is left
  CHECK_THAT(refusal(window("optics = \"pane\"\n")), contains("case.toml:13:"));
  CHECK_NOTHROW(test::read_text(
      window("optics = \"pane\"\npane_transmittance = 0.834\npane_reflectance = 0.075\n")));
}

TEST_CASE("scenario: what adds up wrongly or is empty is shown in its file", "[scenario][unit]") {
  CHECK_THAT(refusal(surface("solar_share = 0.7\n")),
             contains("case.toml:8:15: error: surface[0].solar_share: the shares of the sun"));
  CHECK_THAT(refusal(surface("radiant_share = 0.7\n")),
             contains("case.toml:8:17: error: surface[0].radiant_share: the radiant shares"));
  CHECK_THAT(refusal(wall("")), contains("case.toml:8:10: error: surface[0].layers: at least one"));
  CHECK_THAT(refusal(surface("") + "[[furnishing]]\nname = \"bed\"\narea = \"2 m2\"\n"),
             contains("case.toml:10:8: error: furnishing[0].layers: at least one layer"));
  CHECK_THAT(refusal("[[window]]\nazimuth = \"90 degree\"\nname = \"side\"\narea = \"0.3 "
                     "m2\"\nsolar_transmittance = 0.9\nsolar_absorptance = 0.3\n"),
             contains("case.toml:2:"));
  CHECK_THAT(refusal("person = []\n"), contains("case.toml:1:"));
  CHECK_THAT(refusal(surface("tilt = \"190 degree\"\n")),
             contains("'190 degree' is out of range, must be 0 degree to 180 degree"));
  CHECK_THAT(refusal(window("tilt = \"190 degree\"\n")),
             contains("must be 0 degree to 180 degree"));
  CHECK_NOTHROW(test::read_text(surface("tilt = \"180 degree\"\n")));
}

TEST_CASE("scenario: a wall and a window that face nowhere are refused alike", "[scenario][unit]") {
  const std::string steel = "layers = [{material = \"steel\", thickness = \"1 mm\"}]\n",
                    own = "[vehicle]\nbody = \"own\"\nvolume = \"9 m3\"\n[[surface]]\n";
  const auto wall_of = [&](const std::string& lines) {
    return own + "name = \"left\"\narea = \"5 m2\"\n" + lines + steel;
  };
  CHECK_THAT(refusal(wall_of("")), contains("case.toml:5:8: error: surface[0].azimuth: surface "
                                            "'left' faces nowhere"));
  CHECK_THAT(refusal(wall_of("")), contains("azimuth = \"90 degree\""));
  CHECK_THAT(refusal(wall_of("part = \"roof\"\ntilt = \"20 degree\"\n")),
             contains("tilt of 20 degree"));
  CHECK_THAT(refusal(surface("") + "[[window]]\nname = \"side\"\narea = \"0.4 m2\"\n"),
             contains("case.toml:10:8: error: window[0].azimuth: window 'side' faces nowhere"));
  CHECK_NOTHROW(test::read_text(wall_of("azimuth = \"0 degree\"\n")));
  for (const char* level : {"0", "180"})
    CHECK_NOTHROW(test::read_text(wall_of(std::string("tilt = \"") + level + " degree\"\n")));
  // Where it meets no open air its direction has no effect.
  for (const char* outside : {"underbody", "adiabatic", "fixed"})
    CHECK_NOTHROW(test::read_text(wall_of(std::string("outside = \"") + outside + "\"\n")));
  CHECK_NOTHROW(test::read_text(wall_of("part = \"partition\"\n")));
}

namespace {

void same_layers(const std::vector<vehicle::Layer>& a, const std::vector<vehicle::Layer>& b) {
  REQUIRE(a.size() == b.size());
  for (std::size_t i = 0; i < a.size(); ++i) {
    CHECK(a[i].material == b[i].material);
    CHECK_WITHIN(a[i].thickness_m, b[i].thickness_m, 1e-9);
    CHECK_WITHIN(a[i].k_W_mK, b[i].k_W_mK, 1e-6);
    CHECK_WITHIN(a[i].rho_kg_m3, b[i].rho_kg_m3, 1e-6);
    CHECK_WITHIN(a[i].c_J_kgK, b[i].c_J_kgK, 1e-6);
  }
}

void same_vehicle(const vehicle::Vehicle& a, const vehicle::Vehicle& b) {
  CHECK(a.body == b.body);
  CHECK(a.paint == b.paint);
  for (const auto member :
       {&vehicle::Vehicle::length_m, &vehicle::Vehicle::width_m, &vehicle::Vehicle::height_m,
        &vehicle::Vehicle::overall_height_m, &vehicle::Vehicle::volume_m3,
        &vehicle::Vehicle::floor_area_m2, &vehicle::Vehicle::heading_rad,
        &vehicle::Vehicle::leakage_area_m2, &vehicle::Vehicle::air_capacity_factor_1,
        &vehicle::Vehicle::moisture_capacity_factor_1})
    CHECK_WITHIN(a.*member, b.*member, 1e-8);
  REQUIRE(a.surfaces.size() == b.surfaces.size());
  for (std::size_t i = 0; i < a.surfaces.size(); ++i) {
    for (const auto member :
         {&vehicle::Surface::area_m2, &vehicle::Surface::tilt_rad, &vehicle::Surface::azimuth_rad,
          &vehicle::Surface::framing_fraction, &vehicle::Surface::absorptance_1,
          &vehicle::Surface::emittance_out_1, &vehicle::Surface::emittance_in_1})
      CHECK_WITHIN(a.surfaces[i].*member, b.surfaces[i].*member, 1e-8);
    CHECK(a.surfaces[i].part == b.surfaces[i].part);
    CHECK(a.surfaces[i].outside == b.surfaces[i].outside);
    same_layers(a.surfaces[i].layers, b.surfaces[i].layers);
    same_layers(a.surfaces[i].framing, b.surfaces[i].framing);
  }
  REQUIRE(a.windows.size() == b.windows.size());
  for (std::size_t i = 0; i < a.windows.size(); ++i) {
    for (const auto member :
         {&vehicle::Window::area_m2, &vehicle::Window::tilt_rad, &vehicle::Window::azimuth_rad,
          &vehicle::Window::pane_thickness_m, &vehicle::Window::U_W_m2K,
          &vehicle::Window::solar_transmittance_1, &vehicle::Window::solar_absorptance_1,
          &vehicle::Window::index_1, &vehicle::Window::extinction_1_m,
          &vehicle::Window::pane_transmittance_1, &vehicle::Window::pane_reflectance_1,
          &vehicle::Window::emittance_1, &vehicle::Window::areal_heat_capacity_J_m2K})
      CHECK_WITHIN(a.windows[i].*member, b.windows[i].*member, 1e-5);
    CHECK(a.windows[i].optics == b.windows[i].optics);
    CHECK(a.windows[i].curve_ratio_1 == b.windows[i].curve_ratio_1);
    CHECK_WITHIN(a.windows[i].resistance_face_to_face(), b.windows[i].resistance_face_to_face(),
                 1e-9);
  }
  REQUIRE(a.furnishings.size() == b.furnishings.size());
  for (std::size_t i = 0; i < a.furnishings.size(); ++i)
    same_layers(a.furnishings[i].layers, b.furnishings[i].layers);
}

}  // namespace

TEST_CASE("scenario: a vehicle of one's own reads back from what is written out",
          "[scenario][property]") {
  for (const std::string& text :
       {surface(""), window("optics = \"panes\"\nindex = 1.5\n"),
        window("optics = \"pane\"\npane_transmittance = 0.834\npane_reflectance = 0.075\n"),
        window("optics = \"curve\"\nangle_curve = \"0 1, 60 0.8\"\ng_value = 0.72\n"),
        window("type = \"side-glass\"\nsolar_transmittance = 0.5\ng_value = 0.6\n"),
        window("resistance = \"0.2 m2 K/W\"\n"),
        wall("{material = \"steel\", thickness = \"1 mm\", conductivity = \"40 W/(m K)\"}",
             "framing_fraction = 0.1\nribs = [{material = \"own\", thickness = \"9 mm\", "
             "conductivity = \"2 W/(m K)\"}]\n")}) {
    INFO(text);
    const auto first = test::read_text(text);
    const auto second = test::read_text(cabinload::scenario::effective_toml(first));
    same_vehicle(first.vehicle, second.vehicle);
  }
  const auto shown = test::read_text(surface("")).entries;
  for (const auto& e : shown) {
    if (e.key == "vehicle.length") CHECK(e.value == "4 m");
    if (e.key == "vehicle.width" || e.key == "vehicle.height") CHECK(e.value == "2 m");
  }
  const auto long_one = test::read_text(surface(""), {{"vehicle.length", "6 m", "--set"}}).vehicle;
  CHECK(long_one.floor_area_m2 == 12);
}
