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

std::vector<SlotRadiation> shape(const weather::Series& w, const std::vector<SlotSun>& path,
                                 const Site& site, Forcing& out) {
  const std::size_t n = w.hours();
  std::vector<double> up(n, 0.0), high(n, 0.0);
  for (std::size_t s = 0; s < path.size(); ++s) {
    const std::size_t h = radiation_hour(s, w);
    up[h] += path[s].up_1;
    high[h] += path[s].up_1 * path[s].sin_elevation_1;
  }
  for (std::size_t h = 0; h < n; ++h) {
    out.radiation_Wh_m2 += w.ghi_W_m2[h];
    if (up[h] <= 0) out.dropped_Wh_m2 += w.ghi_W_m2[h];
  }
  std::vector<SlotRadiation> shaped(path.size());
  for (std::size_t s = 0; s < path.size(); ++s) {
    const std::size_t h = radiation_hour(s, w);
    const double albedo = w.albedo_1.empty() ? 0.0 : w.albedo_1[h];
    shaped[s].albedo_1 = albedo > 0 ? albedo : site.ground_albedo_1;  // 0 and NaN: unknown
    if (path[s].up_1 <= 0) continue;
    shaped[s].dni_W_m2 = w.dni_W_m2[h] * kSlotsPerHour * path[s].up_1 / up[h];
    shaped[s].dhi_W_m2 =
        w.dhi_W_m2[h] * kSlotsPerHour * path[s].up_1 * path[s].sin_elevation_1 / high[h];
  }
  return shaped;
}

/// Surfaces and windows of one orientation share their irradiance.
struct Orientation {
  double tilt_rad, azimuth_rad;
  double cos_tilt, sin_tilt, east, north;  // normal: (east, north, cos_tilt)
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
    if (v.surfaces[i].outside == vehicle::Outside::open_air)
      find(v.surfaces[i].tilt_rad, v.surfaces[i].azimuth_rad).surfaces.push_back(i);
  for (std::size_t i = 0; i < v.windows.size(); ++i)
    find(v.windows[i].tilt_rad, v.windows[i].azimuth_rad).windows.push_back(i);
  return list;
}

void pass_window(const vehicle::Window& w, const Glass& glass, const sun::Tilted& t,
                 double cos_incidence, double second_of_day, std::size_t s, WindowSun& out) {
  const bool covered =
      w.cover.side != vehicle::CoverSide::none && w.cover.hours.active(second_of_day);
  const double outside_1 =
      covered && w.cover.side == vehicle::CoverSide::outside ? w.cover.solar_transmittance_1 : 1.0;
  const double diffuse = (t.sky_W_m2 + t.ground_W_m2) * outside_1, beam = t.beam_W_m2 * outside_1;
  const double c = std::max(0.0, cos_incidence);
  const double through = w.solar_transmittance_1 *
                         (beam * glass.transmitted(c) + diffuse * glass.transmitted_diffuse());
  const double absorbed =
      w.solar_absorptance_1 * (beam * glass.absorbed(c) + diffuse * glass.absorbed_diffuse());
  if (!covered || w.cover.side == vehicle::CoverSide::outside) {
    out.transmitted_W_m2[s] = through;
    out.absorbed_W_m2[s] = absorbed;
    return;
  }
  // Inside cover: part goes on, part is absorbed by the cover, part returns and meets the pane
  // again.
  const double back = through * w.cover.solar_reflectance_1;
  out.transmitted_W_m2[s] = through * w.cover.solar_transmittance_1;
  out.cover_W_m2[s] = through * (1 - w.cover.solar_transmittance_1 - w.cover.solar_reflectance_1);
  out.absorbed_W_m2[s] = absorbed + back * w.solar_absorptance_1;
}

void lay_sun(const vehicle::Vehicle& v, const Site& site, const std::vector<SlotSun>& path,
             const std::vector<SlotRadiation>& shaped, Forcing& f) {
  const std::vector<Orientation> faces = orientations(v);
  std::vector<Glass> glass;
  for (const vehicle::Window& w : v.windows) glass.emplace_back(w.panes, w.solar_absorptance_1);
  const std::size_t slots = path.size();
  f.ghi_W_m2.assign(slots, 0.0);
  f.surfaces.assign(v.surfaces.size(), SurfaceSun{std::vector<double>(slots, 0.0)});
  f.windows.assign(v.windows.size(),
                   WindowSun{std::vector<double>(slots, 0.0), std::vector<double>(slots, 0.0),
                             std::vector<double>(slots, 0.0)});
  for (std::size_t s = 0; s < slots; ++s) {
    const SlotSun& sun = path[s];
    if (sun.up_1 <= 0 || shaped[s].dni_W_m2 + shaped[s].dhi_W_m2 <= 0) continue;
    const double second_of_day =
        std::fmod((static_cast<double>(s) + 0.5) * kSlot_s, core::kSecondsInDay);
    const bool shaded = site.shade_hours.active(second_of_day);
    const double dni = shaped[s].dni_W_m2 * (shaded ? site.shade_beam_1 : 1.0);
    const double dhi = shaped[s].dhi_W_m2 * (shaded ? site.shade_diffuse_1 : 1.0);
    const double ghi = dhi + dni * sun.sin_elevation_1;
    f.ghi_W_m2[s] = ghi;
    const sun::PerezSky sky = sun::perez_sky(sun.zenith_rad, dni, dhi, sun.extraterrestrial_W_m2);
    for (const Orientation& o : faces) {
      const double cos_incidence =
          sun.east_1 * o.east + sun.north_1 * o.north + sun.zenith_1 * o.cos_tilt;
      const sun::Tilted t = sun::tilted(sky, sun.zenith_1, cos_incidence, o.cos_tilt, o.sin_tilt,
                                        dni, dhi, ghi, shaped[s].albedo_1);
      for (const std::size_t i : o.surfaces)
        f.surfaces[i].incident_W_m2[s] = t.beam_W_m2 + t.sky_W_m2 + t.ground_W_m2;
      for (const std::size_t i : o.windows)
        pass_window(v.windows[i], glass[i], t, cos_incidence, second_of_day, s, f.windows[i]);
    }
  }
}

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
  share(s.ground_absorptance_1, "ground absorptance");
  share(s.shade_beam_1, "shade factor on beam");
  share(s.shade_diffuse_1, "shade factor on diffuse");
  share(s.shade_sky_view_1, "shade factor on the sky view");
  if (!(s.wind_factor_1 >= 0 && s.wind_factor_1 <= 2))
    throw core::RangeError("wind factor must be between 0 and 2");
}

}  // namespace

Forcing make(const weather::Series& w, const Site& site, const vehicle::Vehicle& vehicle) {
  check(site);
  Forcing f;
  f.hours = w.hours();
  f.first_day = w.first_day;
  f.T_out_K = on_the_hour(w.T_dry_K, w.state_offset_s);
  f.p_Pa = on_the_hour(w.p_Pa, w.state_offset_s);
  f.wind_m_s = on_the_hour(w.wind_m_s, w.state_offset_s);
  for (double& v : f.wind_m_s) v *= site.wind_factor_1;
  const std::vector<double> T_dew_K = on_the_hour(w.T_dew_K, w.state_offset_s);
  f.T_sky_K = on_the_hour(sky_rows(w), w.state_offset_s);
  f.W_out_1.resize(f.hours);
  for (std::size_t k = 0; k < f.hours; ++k) {
    f.W_out_1[k] = air::humidity_ratio_from_dew_point_1(T_dew_K[k], f.p_Pa[k]);
    const double second_of_day =
        std::fmod(static_cast<double>(k) * core::kSecondsInHour, core::kSecondsInDay);
    if (site.shade_hours.active(second_of_day))  // a roof or crown above is near air temperature
      f.T_sky_K[k] = f.T_out_K[k] + site.shade_sky_view_1 * (f.T_sky_K[k] - f.T_out_K[k]);
  }
  const std::vector<SlotSun> path = sun_path(w);
  lay_sun(vehicle, site, path, shape(w, path, site, f), f);
  f.T_ground_K = sunlit_ground_K(f, site.ground_absorptance_1);
  return f;
}

}  // namespace cabinload::forcing
