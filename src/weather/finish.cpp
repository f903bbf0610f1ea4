// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/sun/sun.hpp>
#include <cmath>

#include "source.hpp"

namespace cabinload::weather {
namespace {

constexpr std::size_t kLongestGap_h = 6;

std::string when(std::size_t row) {
  return fmt::format("{}, hour {}", core::long_text(core::date_of(static_cast<int>(row / 24))),
                     row % 24 + 1);
}

/// Fills NaN runs of a periodic column. Straight lines, or the value of the same hour a day away
/// for sun.
void fill(const Source& source, Series& s, const std::vector<std::size_t>& line_of,
          const char* name, std::vector<double>& v, bool sun) {
  const std::size_t n = v.size();
  const auto known = std::find_if(v.begin(), v.end(), [](double x) { return !std::isnan(x); });
  if (known == v.end())
    refuse(source, line_of[0], 0, name, "is missing in every row",
           "a file with this quantity is needed");
  const auto start = static_cast<std::size_t>(known - v.begin());
  std::size_t filled = 0, first = 0;
  for (std::size_t i = 0; i < n;) {
    const std::size_t a = (start + i) % n;
    if (!std::isnan(v[a])) {
      ++i;
      continue;
    }
    std::size_t length = 0;
    while (std::isnan(v[(a + length) % n])) ++length;
    if (length > kLongestGap_h)
      refuse(source, line_of[a], 0, name,
             fmt::format("is missing for {} hours from {}", length, when(a)),
             "gaps of up to 6 h are filled, longer ones are not guessed");
    const double before = v[(a + n - 1) % n], after = v[(a + length) % n];
    for (std::size_t j = 0; j < length; ++j) {
      const std::size_t k = (a + j) % n;
      const double straight =
          before + (after - before) * static_cast<double>(j + 1) / static_cast<double>(length + 1);
      const double yesterday = v[(k + n - 24) % n];
      v[k] = sun && !std::isnan(yesterday) ? yesterday : straight;
    }
    if (filled == 0) first = line_of[a];
    filled += length;
    i += length;
  }
  if (filled > 0)
    s.remarks.push_back({Remark::Kind::filled,
                         fmt::format("{}: {} h filled in gaps of at most 6 h", name, filled),
                         filled, first});
}

bool all_missing(const std::vector<double>& v) {
  return std::all_of(v.begin(), v.end(), [](double x) { return std::isnan(x); });
}

/// The sun in the middle of each row's radiation hour, from one ephemeris a day: within 0.3 deg,
/// enough to tell what is possible.
class MiddleSun {
 public:
  explicit MiddleSun(const Series& s)
      : s_(s),
        sin_latitude_(std::sin(s.place.latitude_rad)),
        cos_latitude_(std::cos(s.place.latitude_rad)) {
    for (std::size_t day = 0; day < s.hours() / 24; ++day) {
      const core::Date date = core::date_of(static_cast<int>(day));
      const double jd = sun::julian_day(s.year[day * 24], date.month, date.day + 0.5);
      noon_.push_back(sun::ephemeris(jd, sun::delta_t_s(s.year[day * 24])));
    }
  }
  /// Geocentric: the sun's parallax of 9 arcsec is left out.
  [[nodiscard]] double cos_zenith(std::size_t row) const {
    const sun::Ephemeris& e = noon_[row / 24];
    const double utc_h = static_cast<double>(row % 24) + (s_.radiation_offset_s + 1800) / 3600 -
                         s_.place.time_zone_h;
    const double hour_angle = e.sidereal_rad + (utc_h - 12) / 24 * 2 * core::kPi +
                              s_.place.longitude_rad - e.right_ascension_rad;
    return sin_latitude_ * std::sin(e.declination_rad) +
           cos_latitude_ * std::cos(e.declination_rad) * std::cos(hour_angle);
  }
  [[nodiscard]] double extraterrestrial_W_m2(std::size_t row) const {
    return sun::extraterrestrial_W_m2(noon_[row / 24].distance_au);
  }

 private:
  const Series& s_;
  double sin_latitude_, cos_latitude_;
  std::vector<sun::Ephemeris> noon_;
};

/// Global, direct, diffuse: what lacks is made from what is there.
void complete_sun(Series& s) {
  const bool no_ghi = all_missing(s.ghi_W_m2),
             no_split = all_missing(s.dni_W_m2) || all_missing(s.dhi_W_m2);
  if (!no_ghi && !no_split) return;
  if (no_ghi && no_split) return;  // fill() refuses it by name
  const MiddleSun sun(s);
  if (no_ghi) {
    for (std::size_t k = 0; k < s.hours(); ++k)
      s.ghi_W_m2[k] = s.dhi_W_m2[k] + s.dni_W_m2[k] * std::max(0.0, sun.cos_zenith(k));
    s.remarks.push_back(
        {Remark::Kind::note, "global irradiance was made from direct and diffuse", s.hours(), 0});
  } else {
    for (std::size_t k = 0; k < s.hours(); ++k) {
      const double zenith_rad = std::acos(std::clamp(sun.cos_zenith(k), -1.0, 1.0));
      const sun::Split split = sun::erbs(s.ghi_W_m2[k], zenith_rad, sun.extraterrestrial_W_m2(k));
      s.dni_W_m2[k] = split.dni_W_m2;
      s.dhi_W_m2[k] = split.dhi_W_m2;
    }
    s.remarks.push_back({Remark::Kind::fault,
                         "direct and diffuse are estimated from global (Erbs 1982)", s.hours(), 0});
  }
}

void clamp_dew_point(Series& s, const std::vector<std::size_t>& line_of) {
  std::size_t count = 0, first = 0;
  for (std::size_t k = 0; k < s.hours(); ++k) {
    if (s.T_dew_K[k] <= s.T_dry_K[k]) continue;
    if (s.T_dew_K[k] > s.T_dry_K[k] + 0.05) {
      if (count == 0) first = line_of[k];
      ++count;
    }
    s.T_dew_K[k] = s.T_dry_K[k];
  }
  if (count > 0)
    s.remarks.push_back({Remark::Kind::fault,
                         fmt::format("dew point above dry bulb in {} h; taken as saturated", count),
                         count, first});
}

/// Counts rows for which `odd` holds and remarks them when there are at least `least`.
template <class Odd>
void remark_rows(Series& s, const std::vector<std::size_t>& line_of, std::size_t least,
                 const char* text, Odd odd) {
  std::size_t count = 0, first = 0;
  for (std::size_t k = 0; k < s.hours(); ++k)
    if (odd(k) && count++ == 0) first = line_of[k];
  if (count >= least)
    s.remarks.push_back(
        {Remark::Kind::fault, fmt::format("{} in {} h", text, count), count, first});
}

/// Longest run of one value in a column; `skip` values do not count (calm wind, no sun).
void remark_frozen(Series& s, const std::vector<std::size_t>& line_of, const char* name,
                   const std::vector<double>& v, std::size_t longest_allowed, double skip) {
  std::size_t best = 0, at = 0;
  for (std::size_t k = 0, run = 0; k < v.size(); ++k) {
    run = k > 0 && v[k] == v[k - 1] && v[k] != skip ? run + 1 : 1;
    if (run > best) best = run, at = k + 1 - run;
  }
  if (best > longest_allowed)
    s.remarks.push_back({Remark::Kind::fault,
                         fmt::format("{} does not change for {} h: frozen?", name, best), best,
                         line_of[at]});
}

}  // namespace

void remark_faults(Series& s, const std::vector<std::size_t>& line_of) {
  const std::size_t n = s.hours();
  const MiddleSun sun(s);
  std::vector<double> cos_zenith(n, 0.0), extraterrestrial(n, 0.0);
  for (std::size_t k = 0; k < n; ++k) {
    if (s.ghi_W_m2[k] <= 0 && s.dni_W_m2[k] <= 0) continue;
    cos_zenith[k] = sun.cos_zenith(k);
    extraterrestrial[k] = sun.extraterrestrial_W_m2(k);
  }
  // Mean over the hour against the sun in its middle: 30 W/m2 of slack near the horizon.
  remark_rows(s, line_of, 1, "direct normal above 1150 W/m2, more than a clear sky passes,",
              [&](std::size_t k) { return s.dni_W_m2[k] > 1150; });
  remark_rows(s, line_of, 1, "global above what the sun gives outside the air", [&](std::size_t k) {
    return s.ghi_W_m2[k] > extraterrestrial[k] * std::max(0.0, cos_zenith[k]) + 60 &&
           s.ghi_W_m2[k] > 60;
  });
  double misfit = 0;
  std::size_t counted = 0;
  for (std::size_t k = 0; k < n; ++k) {
    if (s.dni_W_m2[k] < 200 || cos_zenith[k] < 0.2) continue;
    const double gap = s.dhi_W_m2[k] + s.dni_W_m2[k] * cos_zenith[k] - s.ghi_W_m2[k];
    misfit += gap * gap;
    ++counted;
  }
  const double rms = counted > 0 ? std::sqrt(misfit / static_cast<double>(counted)) : 0;
  if (rms > 25)
    s.remarks.push_back({Remark::Kind::fault,
                         fmt::format("direct and diffuse do not add up to global: {:.0f} W/m2 root "
                                     "mean square; the sun's time or the split is doubtful",
                                     rms),
                         counted, 0});
  remark_rows(s, line_of, 1, "wind above 30 m/s",
              [&](std::size_t k) { return s.wind_m_s[k] > 30; });
  remark_rows(s, line_of, 1, "temperature jumps by more than 14 K", [&](std::size_t k) {
    return std::abs(s.T_dry_K[k] - s.T_dry_K[(k + n - 1) % n]) > 14;
  });
  remark_rows(
      s, line_of, 1, "relative dryness hard to believe (dew point 45 K below a warm dry bulb)",
      [&](std::size_t k) {
        return s.T_dry_K[k] - s.T_dew_K[k] > 45 && s.T_dry_K[k] > 293.15 && s.T_dew_K[k] < 260;
      });
  const double standard =
      core::kStandardPressure_Pa * std::pow(1 - 2.25577e-5 * s.place.elevation_m, 5.2559);
  double mean_Pa = 0;
  for (const double p : s.p_Pa) mean_Pa += p / static_cast<double>(n);
  if (std::abs(mean_Pa / standard - 1) > 0.02)
    s.remarks.push_back({Remark::Kind::fault,
                         fmt::format("mean pressure {:.0f} hPa does not fit the stated elevation "
                                     "{:.0f} m ({:.0f} hPa); the pressure is used",
                                     mean_Pa / 100, s.place.elevation_m, standard / 100),
                         n, 0});
  remark_frozen(s, line_of, "dry bulb", s.T_dry_K, 24, -1);
  remark_frozen(s, line_of, "dew point", s.T_dew_K, 48, -1);
  remark_frozen(s, line_of, "wind speed", s.wind_m_s, 24, 0.0);
  remark_frozen(s, line_of, "global irradiance", s.ghi_W_m2, 8, 0.0);
}

void finish(const Source& source, Series& s, const std::vector<std::size_t>& line_of) {
  s.file = source.path;
  complete_sun(s);
  const struct {
    const char* name;
    std::vector<double>* v;
    bool sun;
  } required[] = {{"dry bulb", &s.T_dry_K, false},
                  {"dew point", &s.T_dew_K, false},
                  {"pressure", &s.p_Pa, false},
                  {"wind speed", &s.wind_m_s, false},
                  {"global irradiance", &s.ghi_W_m2, true},
                  {"direct normal irradiance", &s.dni_W_m2, true},
                  {"diffuse irradiance", &s.dhi_W_m2, true}};
  for (const auto& column : required) fill(source, s, line_of, column.name, *column.v, column.sun);
  clamp_dew_point(s, line_of);
  remark_faults(s, line_of);
  if (all_missing(s.infrared_W_m2))
    s.remarks.push_back({Remark::Kind::note,
                         all_missing(s.cloud_1)
                             ? "no infrared and no cloud: the night sky is taken as clear"
                             : "no infrared: the sky's long wave comes from dew point and cloud",
                         s.hours(), 0});
}

}  // namespace cabinload::weather
