// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/sun/sun.hpp>
#include <cmath>

#include "glass.hpp"
#include "ground.hpp"
#include "obstruction.hpp"
#include "sun_path.hpp"

namespace cabinload::forcing {
namespace {

/// Sun of a slot after the hour's energy has been shaped by the sun's path; means over the slot.
struct SlotRadiation {
  double dni_W_m2 = 0, dhi_W_m2 = 0;
  double albedo_1 = 0.2;
};

std::size_t wrapped(long i, std::size_t n) {
  const long m = static_cast<long>(n);
  return static_cast<std::size_t>(((i % m) + m) % m);
}

/// Radiation hour of a series that holds a slot's middle.
std::size_t radiation_hour(std::size_t slot, const weather::Series& w) {
  const double middle_s = (static_cast<double>(slot) + 0.5) * kSlot_s;
  return wrapped(
      static_cast<long>(std::floor((middle_s - w.radiation_offset_s) / core::kSecondsInHour)),
      w.hours());
}

/// Direct normal and diffuse horizontal of a radiation hour from what is trusted.
/// @param high_1  mean over the hour of the sine of the sun's elevation, 0 while it is down
sun::Split trusted_split(const weather::Series& w, std::size_t h, Trust trust, double high_1) {
  const double ghi = w.ghi_W_m2[h], dni = w.dni_W_m2[h], dhi = w.dhi_W_m2[h];
  constexpr double kSolarConstant_W_m2 = 1361;
  if (trust == Trust::direct_diffuse || high_1 <= 0) return {dni, dhi};
  switch (trust) {
    case Trust::global_direct: {
      const double beam = std::min(ghi, dni * high_1);
      return {beam / high_1, ghi - beam};
    }
    case Trust::global_diffuse: {
      const double diffuse = std::min(ghi, dhi);
      const double direct = std::min((ghi - diffuse) / high_1, kSolarConstant_W_m2);
      return {direct, ghi - direct * high_1};
    }
    case Trust::global:
    case Trust::direct_diffuse:
      break;
  }
  return sun::erbs(ghi, std::acos(std::min(1.0, high_1)), kSolarConstant_W_m2);
}

std::vector<SlotRadiation> shape(const weather::Series& w, const std::vector<SlotSun>& path,
                                 const Site& site, Forcing& out) {
  const std::size_t n = w.hours();
  std::vector<double> up(n, 0.0), high(n, 0.0);
  for (std::size_t s = 0; s < path.size(); ++s) {
    const std::size_t h = radiation_hour(s, w);
    up[h] += path[s].up_1;
    high[h] += path[s].up_1 * path[s].sin_elevation_1;
  }
  std::vector<sun::Split> trusted(n);
  for (std::size_t h = 0; h < n; ++h) {
    out.radiation_Wh_m2 += w.ghi_W_m2[h];
    if (up[h] <= 0) out.dropped_Wh_m2 += w.ghi_W_m2[h];
    trusted[h] = trusted_split(w, h, site.trust, high[h] / kSlotsPerHour);
  }
  std::vector<SlotRadiation> shaped(path.size());
  for (std::size_t s = 0; s < path.size(); ++s) {
    const std::size_t h = radiation_hour(s, w);
    const double albedo = w.albedo_1.empty() ? 0.0 : w.albedo_1[h];
    shaped[s].albedo_1 = albedo > 0 ? albedo : site.ground_albedo_1;  // 0 and NaN: unknown
    if (path[s].up_1 <= 0) continue;
    shaped[s].dni_W_m2 = trusted[h].dni_W_m2 * kSlotsPerHour * path[s].up_1 / up[h];
    shaped[s].dhi_W_m2 =
        trusted[h].dhi_W_m2 * kSlotsPerHour * path[s].up_1 * path[s].sin_elevation_1 / high[h];
  }
  return shaped;
}

/// Surfaces and windows of one orientation share their irradiance.
struct Orientation {
  double tilt_rad, azimuth_rad;
  double cos_tilt, sin_tilt, east, north;  // normal: (east, north, cos_tilt)
  [[nodiscard]] double right(const SlotSun& sun) const {
    return std::sin(azimuth_rad) * sun.north_1 - std::cos(azimuth_rad) * sun.east_1;
  }
  [[nodiscard]] double up(const SlotSun& sun) const {
    return sin_tilt * sun.zenith_1 -
           cos_tilt * (std::sin(azimuth_rad) * sun.east_1 + std::cos(azimuth_rad) * sun.north_1);
  }
  std::vector<std::size_t> surfaces, windows;
};

std::vector<Orientation> orientations(const vehicle::Vehicle& v) {
  std::vector<Orientation> list;
  const auto find = [&](double tilt_rad, double azimuth_rad) -> Orientation& {
    const double azimuth = azimuth_rad + v.heading_rad;
    for (Orientation& o : list)
      if (std::abs(o.tilt_rad - tilt_rad) < 1e-12 &&
          (std::abs(o.azimuth_rad - azimuth) < 1e-12 || std::sin(tilt_rad) < 1e-12))
        return o;
    const double s = std::sin(tilt_rad);
    return list.emplace_back(Orientation{tilt_rad,
                                         azimuth,
                                         std::cos(tilt_rad),
                                         s,
                                         s * std::sin(azimuth),
                                         s * std::cos(azimuth),
                                         {},
                                         {}});
  };
  for (std::size_t i = 0; i < v.surfaces.size(); ++i)
    if (v.surfaces[i].outside == vehicle::Outside::open_air && !v.surfaces[i].sun_W_m2)
      find(v.surfaces[i].tilt_rad, v.surfaces[i].azimuth_rad).surfaces.push_back(i);
  for (std::size_t i = 0; i < v.windows.size(); ++i)
    find(v.windows[i].tilt_rad, v.windows[i].azimuth_rad).windows.push_back(i);
  return list;
}

/// Sun on a face in one slot. The ring around the sun (circumsolar) is shaded with the beam.
struct Sunlight {
  double beam_W_m2 = 0, ring_W_m2 = 0, sky_W_m2 = 0, ground_W_m2 = 0;
  double cos_incidence_1 = 0;
  [[nodiscard]] double diffuse_W_m2() const { return ring_W_m2 + sky_W_m2 + ground_W_m2; }
};

Glass glass_of(const vehicle::Window& w) {
  switch (w.optics) {
    case vehicle::Optics::panes:
      return Glass::from_panes(w.panes, w.pane_thickness_m, w.index_1, w.extinction_1_m);
    case vehicle::Optics::pane:
      if (const auto why = impossible_pane(w.pane_transmittance_1, w.pane_reflectance_1);
          !why.empty())
        throw core::RangeError("window '" + w.name + "': " + why);
      return Glass::from_pane_optics(w.panes, w.pane_transmittance_1, w.pane_reflectance_1);
    case vehicle::Optics::curve:
      return Glass::from_curve(w.panes, w.solar_absorptance_1, w.curve_angle_rad, w.curve_ratio_1);
    case vehicle::Optics::normal:
      break;
  }
  return Glass(w.panes, w.solar_absorptance_1);
}

/// Of the inner face, for sharing what a cover absorbs. [ISO6946]
constexpr double kInsideFilm_m2K_W = 0.13;

/// One window's optics for the run.
struct Pane {
  explicit Pane(const vehicle::Window& w)
      : glass(glass_of(w)),
        transmittance_1(w.solar_transmittance_1),
        absorptance_1(w.solar_absorptance_1) {
    if (w.optics != vehicle::Optics::panes && w.optics != vehicle::Optics::pane) return;
    transmittance_1 = glass.transmittance_1();
    absorptance_1 = glass.absorptance_1();
  }
  Glass glass;
  double transmittance_1, absorptance_1;  // normal
};

void pass_window(const vehicle::Window& w, const Pane& pane, const Sunlight& light,
                 double second_of_day, std::size_t s, WindowSun& out) {
  const vehicle::Cover& outer = w.outside_cover;
  const vehicle::Cover& inner = w.inside_cover;
  double beam = light.beam_W_m2, diffuse = light.diffuse_W_m2();
  if (outer.side == vehicle::CoverSide::outside && outer.hours.active(second_of_day)) {
    out.outside_cover_W_m2[s] =
        (beam + diffuse) * (1 - outer.solar_transmittance_1 - outer.solar_reflectance_1);
    beam *= outer.solar_transmittance_1;
    diffuse *= outer.solar_transmittance_1;
  }
  const double c = std::max(0.0, light.cos_incidence_1);
  const Glass& g = pane.glass;
  const double through =
      pane.transmittance_1 * (beam * g.transmitted(c) + diffuse * g.transmitted_diffuse());
  const double beam_absorbed = pane.absorptance_1 * beam * g.absorbed(c);
  const double diffuse_absorbed = pane.absorptance_1 * diffuse * g.absorbed_diffuse();
  double absorbed_inner =
      beam_absorbed * (1 - w.outer_share_1.value_or(g.outer_share(c))) +
      diffuse_absorbed * (1 - w.outer_share_1.value_or(g.outer_share_diffuse()));
  out.absorbed_outer_W_m2[s] = beam_absorbed + diffuse_absorbed - absorbed_inner;
  out.transmitted_W_m2[s] = through;
  if (inner.side == vehicle::CoverSide::inside && inner.hours.active(second_of_day)) {
    // Part goes on, part is absorbed by the cover, part returns and meets the inner pane again.
    // What the cover absorbs arises in the middle of the resistance it adds: most of it goes to the
    // pane.
    const double absorbed = through * (1 - inner.solar_transmittance_1 - inner.solar_reflectance_1);
    const double to_pane = (0.5 * inner.resistance_m2K_W + kInsideFilm_m2K_W) /
                           (inner.resistance_m2K_W + kInsideFilm_m2K_W);
    out.transmitted_W_m2[s] = through * inner.solar_transmittance_1;
    out.inside_cover_W_m2[s] = absorbed * (1 - to_pane);
    absorbed_inner += absorbed * to_pane + through * inner.solar_reflectance_1 * pane.absorptance_1;
  }
  out.absorbed_inner_W_m2[s] = absorbed_inner;
}

/// What shades a face: nothing in most cases.
std::optional<Obstruction> obstruction_of(const vehicle::Shelter& s, double tilt_rad) {
  if (!s.any()) return std::nullopt;
  return Obstruction(s, tilt_rad);
}

/// The sun of a slot as it reaches the vehicle: after parking shade and skyline.
struct SiteSun {
  double dni_W_m2, dhi_W_m2, ghi_W_m2, albedo_1;
};

/// Lays the sun of all slots on the faces of a vehicle.
class SunLayer {
 public:
  SunLayer(const vehicle::Vehicle& v, const Site& site) : v_(v), site_(site) {
    for (const vehicle::Window& w : v.windows) {
      panes_.emplace_back(w);
      window_shade_.push_back(obstruction_of(w.shelter, w.tilt_rad));
    }
    for (const vehicle::Surface& s : v.surfaces)
      surface_shade_.push_back(obstruction_of(s.shelter, s.tilt_rad));
    if (!site.skyline.empty()) {
      skyline_.emplace(site.skyline);
      open_sky_1_ = skyline_->open_sky_1();
    }
  }

  void lay(const std::vector<SlotSun>& path, const std::vector<SlotRadiation>& shaped, Forcing& f) {
    const std::vector<Orientation> faces = orientations(v_);
    const std::size_t slots = path.size();
    const std::vector<double> dark(slots, 0.0);
    f.ghi_W_m2 = dark;
    f.dark.assign(slots, true);
    f.surfaces.assign(v_.surfaces.size(), SurfaceSun{dark, {}});
    f.planes_W_m2.assign(site_.planes.size(), dark);
    f.windows.assign(v_.windows.size(), WindowSun{dark, dark, dark, dark, dark});
    for (std::size_t s = 0; s < slots; ++s) {
      if (path[s].up_1 <= 0 || shaped[s].dni_W_m2 + shaped[s].dhi_W_m2 <= 0) continue;
      const SiteSun sun = at_site(path[s], shaped[s], second_of_day(s));
      f.ghi_W_m2[s] = sun.ghi_W_m2;
      f.dark[s] = false;
      lay_slot(path[s], sun, faces, s, f);
      const SlotRadiation& r = shaped[s];
      const SiteSun open{r.dni_W_m2, r.dhi_W_m2, r.dhi_W_m2 + r.dni_W_m2 * path[s].sin_elevation_1,
                         r.albedo_1};
      for (std::size_t i = 0; i < site_.planes.size(); ++i)
        f.planes_W_m2[i][s] =
            on_plane(site_.planes[i], path[s], site_.planes[i].shaded ? sun : open);
    }
    state(f);
  }

 private:
  static double second_of_day(std::size_t slot) {
    return std::fmod((static_cast<double>(slot) + 0.5) * kSlot_s, core::kSecondsInDay);
  }
  [[nodiscard]] SiteSun at_site(const SlotSun& sun, const SlotRadiation& r, double second) const {
    const bool shaded = site_.shade_hours.active(second);
    double dni = r.dni_W_m2 * (shaded ? site_.shade_beam_1 : 1.0);
    const double dhi = r.dhi_W_m2 * (shaded ? site_.shade_diffuse_1 : 1.0) * open_sky_1_;
    if (skyline_ && std::asin(std::min(1.0, sun.zenith_1)) <
                        skyline_->elevation_rad(std::atan2(sun.east_1, sun.north_1)))
      dni = 0;
    return {dni, dhi, dhi + dni * sun.sin_elevation_1, r.albedo_1};
  }
  [[nodiscard]] double on_plane(const Plane& p, const SlotSun& sun, const SiteSun& r) const {
    const double azimuth = p.azimuth_rad + (p.with_vehicle ? v_.heading_rad : 0.0);
    const double cos_tilt = std::cos(p.tilt_rad), sin_tilt = std::sin(p.tilt_rad);
    const double cos_incidence =
        sin_tilt * (sun.east_1 * std::sin(azimuth) + sun.north_1 * std::cos(azimuth)) +
        sun.zenith_1 * cos_tilt;
    const sun::PerezSky sky =
        sun::perez_sky(sun.zenith_rad, r.dni_W_m2, r.dhi_W_m2, sun.extraterrestrial_W_m2);
    const sun::Tilted t = sun::tilted(sky, sun.zenith_1, cos_incidence, cos_tilt, sin_tilt,
                                      r.dni_W_m2, r.dhi_W_m2, r.ghi_W_m2, r.albedo_1);
    return t.beam_W_m2 + t.sky_W_m2 + t.ground_W_m2;
  }
  void lay_slot(const SlotSun& sun, const SiteSun& r, const std::vector<Orientation>& faces,
                std::size_t s, Forcing& f) {
    const sun::PerezSky sky =
        sun::perez_sky(sun.zenith_rad, r.dni_W_m2, r.dhi_W_m2, sun.extraterrestrial_W_m2);
    for (const Orientation& o : faces) {
      const double cos_incidence =
          sun.east_1 * o.east + sun.north_1 * o.north + sun.zenith_1 * o.cos_tilt;
      const sun::Tilted t = sun::tilted(sky, sun.zenith_1, cos_incidence, o.cos_tilt, o.sin_tilt,
                                        r.dni_W_m2, r.dhi_W_m2, r.ghi_W_m2, r.albedo_1);
      const double ring =
          std::min(t.sky_W_m2, sun::circumsolar_W_m2(sky, sun.zenith_1, cos_incidence, r.dhi_W_m2));
      const Sunlight open{t.beam_W_m2, ring, t.sky_W_m2 - ring, t.ground_W_m2, cos_incidence};
      for (const std::size_t i : o.surfaces) {
        const Sunlight light = behind(surface_shade_[i], open, o, sun);
        f.surfaces[i].incident_W_m2[s] = light.beam_W_m2 + light.diffuse_W_m2();
      }
      for (const std::size_t i : o.windows)
        pass_window(v_.windows[i], panes_[i], behind(window_shade_[i], open, o, sun),
                    second_of_day(s), s, f.windows[i]);
    }
  }
  static Sunlight behind(const std::optional<Obstruction>& shade, const Sunlight& open,
                         const Orientation& o, const SlotSun& sun) {
    if (!shade) return open;
    Sunlight light = open;
    const double lit = open.cos_incidence_1 > 0
                           ? shade->sunlit_share_1(o.right(sun), o.up(sun), open.cos_incidence_1)
                           : 0.0;
    light.beam_W_m2 *= lit;
    light.ring_W_m2 *= lit;
    light.sky_W_m2 *= shade->sky_share_1();
    light.ground_W_m2 *= shade->ground_share_1();
    return light;
  }
  /// Sun and heat that the scenario states instead.
  void state(Forcing& f) const {
    const std::size_t slots = f.ghi_W_m2.size();
    for (std::size_t i = 0; i < v_.surfaces.size(); ++i) {
      const vehicle::Surface& surface = v_.surfaces[i];
      if (surface.heat_inside_W_m2) f.surfaces[i].inside_W_m2.resize(slots);
      if (surface.sun_W_m2 || surface.heat_inside_W_m2) f.dark.clear();
      for (std::size_t s = 0; s < slots; ++s) {
        if (surface.sun_W_m2)
          f.surfaces[i].incident_W_m2[s] = surface.sun_W_m2->at(second_of_day(s));
        if (surface.heat_inside_W_m2)
          f.surfaces[i].inside_W_m2[s] = surface.heat_inside_W_m2->at(second_of_day(s));
      }
    }
  }

  const vehicle::Vehicle& v_;
  const Site& site_;
  std::vector<Pane> panes_;
  std::vector<std::optional<Obstruction>> surface_shade_, window_shade_;
  std::optional<Skyline> skyline_;
  double open_sky_1_ = 1;
};

/// Straight line between the series' own instants (row k at k*3600 + offset_s), at k*3600.
std::vector<double> on_the_hour(const std::vector<double>& rows, double offset_s) {
  const std::size_t n = rows.size();
  std::vector<double> out(n);
  const double shift = -offset_s / core::kSecondsInHour;
  const long whole = static_cast<long>(std::floor(shift));
  const double f = shift - static_cast<double>(whole);
  for (std::size_t k = 0; k < n; ++k) {
    const double a = rows[wrapped(static_cast<long>(k) + whole, n)];
    const double b = rows[wrapped(static_cast<long>(k) + whole + 1, n)];
    out[k] = f == 0 ? a : a + f * (b - a);
  }
  return out;
}

/// Sky temperature of every row; the long wave the file brings comes first.
std::vector<double> sky_rows(const weather::Series& w) {
  std::vector<double> rows(w.hours());
  for (std::size_t k = 0; k < w.hours(); ++k) {
    const double infrared = w.infrared_W_m2.empty() ? std::nan("") : w.infrared_W_m2[k];
    const double cloud = w.cloud_1.empty() || std::isnan(w.cloud_1[k]) ? 0.0 : w.cloud_1[k];
    rows[k] = infrared > 0 ? std::pow(infrared / core::kStefanBoltzmann_W_m2K4, 0.25)
                           : sun::sky_temperature_K(w.T_dry_K[k], w.T_dew_K[k], cloud);
  }
  return rows;
}

void check(const Site& s) {
  const auto share = [](double x, const char* what) {
    if (!(x >= 0 && x <= 1)) throw core::RangeError(std::string(what) + " must be between 0 and 1");
  };
  share(s.ground_albedo_1, "ground albedo");
  share(s.ground_absorptance_1.value_or(0), "ground absorptance");
  share(s.shade_beam_1, "shade factor on beam");
  share(s.shade_diffuse_1, "shade factor on diffuse");
  share(s.shade_sky_view_1, "shade factor on the sky view");
  if (!(s.wind_factor_1 >= 0 && s.wind_factor_1 <= 2))
    throw core::RangeError("wind factor must be between 0 and 2");
}

double second_of_hour(std::size_t k) {
  return std::fmod(static_cast<double>(k) * core::kSecondsInHour, core::kSecondsInDay);
}

/// Sky temperature at every hour, after shade, skyline and what the scenario states.
void settle_sky(const Site& site, double open_sky_1, Forcing& f) {
  for (std::size_t k = 0; k < f.hours; ++k) {
    const double second = second_of_hour(k);
    double& sky_K = f.T_sky_K[k];
    // A roof, a crown, a hill in front of the sky is near air temperature.
    double seen_1 = open_sky_1;
    if (site.shade_hours.active(second)) seen_1 *= site.shade_sky_view_1;
    sky_K = f.T_out_K[k] + seen_1 * (sky_K - f.T_out_K[k]);
    if (site.sky_as_air) sky_K = f.T_out_K[k];
    if (site.T_sky_K) sky_K = site.T_sky_K->at(second);
  }
}

}  // namespace

Forcing make(const weather::Series& w, const Site& site, const vehicle::Vehicle& vehicle) {
  check(site);
  Forcing f;
  f.hours = w.hours();
  f.first_day = w.first_day;
  f.held = site.held;
  const double offset_s = site.held ? 0.0 : w.state_offset_s;
  f.T_out_K = on_the_hour(w.T_dry_K, offset_s);
  f.p_Pa = on_the_hour(w.p_Pa, offset_s);
  f.wind_m_s = on_the_hour(w.wind_m_s, offset_s);
  for (double& v : f.wind_m_s) v *= site.wind_factor_1;
  const std::vector<double> T_dew_K = on_the_hour(w.T_dew_K, offset_s);
  // A file's infrared is a mean of its hour, so it stands for that hour's middle.
  const bool infrared =
      std::any_of(w.infrared_W_m2.begin(), w.infrared_W_m2.end(), [](double x) { return x > 0; });
  f.T_sky_K = on_the_hour(sky_rows(w), infrared && !site.held
                                           ? w.radiation_offset_s + 0.5 * core::kSecondsInHour
                                           : offset_s);
  f.W_out_1.resize(f.hours);
  for (std::size_t k = 0; k < f.hours; ++k)
    f.W_out_1[k] = air::humidity_ratio_from_dew_point_1(T_dew_K[k], f.p_Pa[k]);
  settle_sky(site, site.skyline.empty() ? 1.0 : Skyline(site.skyline).open_sky_1(), f);
  const std::vector<SlotSun> path = sun_path(w);
  SunLayer(vehicle, site).lay(path, shape(w, path, site, f), f);
  GroundTemperatures ground = ground_temperatures(f, site.ground, site.ground_absorptance_1);
  f.T_ground_K = std::move(ground.sunlit_K);
  f.T_under_K = std::move(ground.under_K);
  if (site.T_ground_K)
    for (std::size_t k = 0; k < f.hours; ++k)
      f.T_ground_K[k] = f.T_under_K[k] = site.T_ground_K->at(second_of_hour(k));
  return f;
}

}  // namespace cabinload::forcing
