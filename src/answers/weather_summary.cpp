// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/answers/weather_summary.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/version.hpp>
#include <cmath>
#include <limits>

namespace cabinload::answers {
namespace {

Range range_of(const std::vector<double>& v) {
  Range r{std::numeric_limits<double>::infinity(), 0, -std::numeric_limits<double>::infinity(), 0};
  for (const double x : v) {
    if (std::isnan(x)) continue;
    r.low = std::min(r.low, x);
    r.high = std::max(r.high, x);
    r.mean += x;
    ++r.known;
  }
  if (r.known > 0) r.mean /= static_cast<double>(r.known);
  return r;
}

double sum_kWh(const std::vector<double>& v) {
  double sum = 0;
  for (const double x : v) sum += std::isnan(x) ? 0.0 : x;
  return sum / 1000;
}

/// As the file prints it: hundredths of a degree, free of the noise of the way to kelvin and back.
double printed_degC(double T_K) {
  return std::round(core::to_celsius(T_K) * 100) / 100;
}

/// Dry bulb exceeded in at most a share of the hours: floor(share * n) hours are as hot or hotter.
WarmPoint warm_point(const weather::Series& s, double percent) {
  constexpr double kNear_K = 0.5;
  std::vector<double> sorted = s.T_dry_K;
  std::sort(sorted.begin(), sorted.end(), std::greater<>());
  const auto rank = static_cast<std::size_t>(percent / 100 * static_cast<double>(sorted.size()));
  WarmPoint p{percent, sorted[std::min(rank, sorted.size() - 1)], 0};
  const double here = printed_degC(p.T_dry_K);
  std::size_t count = 0;
  for (std::size_t k = 0; k < s.hours(); ++k) {
    if (std::abs(printed_degC(s.T_dry_K[k]) - here) > kNear_K) continue;
    p.T_dew_K += s.T_dew_K[k];
    ++count;
  }
  p.T_dew_K /= static_cast<double>(count);
  return p;
}

/// Samples of a night: every row whose instant lies from 22:00 to 07:00, both included.
void judge_nights(const weather::Series& s, WeatherSummary& out) {
  const int days = static_cast<int>(s.hours() / 24);
  for (int d = 0; d < days; ++d) {
    WarmNight night{core::date_of(s.first_day + d), std::numeric_limits<double>::infinity(), 0};
    int samples = 0;
    for (int k = -2; k < 34; ++k) {
      const double clock_h = k + s.state_offset_s / 3600;
      if (clock_h < 22 - 1e-9 || clock_h > 31 + 1e-9) continue;
      const std::size_t row = static_cast<std::size_t>((d * 24 + k) % static_cast<int>(s.hours()));
      night.T_min_K = std::min(night.T_min_K, s.T_dry_K[row]);
      night.T_mean_K += s.T_dry_K[row];
      ++samples;
    }
    night.T_mean_K /= samples;
    out.nights_above_25degC += night.T_min_K > core::to_kelvin(25) + 1e-9 ? 1 : 0;
    out.nights_above_20degC += night.T_min_K > core::to_kelvin(20) + 1e-9 ? 1 : 0;
    out.warmest_nights.push_back(night);
  }
  std::stable_sort(out.warmest_nights.begin(), out.warmest_nights.end(),
                   [](const WarmNight& a, const WarmNight& b) {
                     return a.T_min_K != b.T_min_K ? a.T_min_K > b.T_min_K
                                                   : a.T_mean_K > b.T_mean_K;
                   });
  if (out.warmest_nights.size() > 10) out.warmest_nights.resize(10);
}

void fill_months(const weather::Series& s, WeatherSummary& out) {
  std::array<std::array<int, 24>, 12> count{};
  for (std::size_t k = 0; k < s.hours(); ++k) {
    const double hour = static_cast<double>(k) + s.state_offset_s / 3600;  // of the instant
    const auto whole = static_cast<std::size_t>(std::lround(std::floor(hour))) % s.hours();
    const auto m = static_cast<std::size_t>(
        core::date_of(s.first_day + static_cast<int>(whole / 24)).month - 1);
    out.month_hour_K[m][whole % 24] += s.T_dry_K[k];
    ++count[m][whole % 24];
  }
  double warmest = -1;
  for (std::size_t m = 0; m < 12; ++m) {
    double sum = 0;
    int n = 0;
    for (std::size_t h = 0; h < 24; ++h) {
      sum += out.month_hour_K[m][h];
      n += count[m][h];
      out.month_hour_K[m][h] =
          count[m][h] > 0 ? out.month_hour_K[m][h] / count[m][h] : std::nan("");
    }
    out.month_mean_K[m] = n > 0 ? sum / n : std::nan("");
    if (n > 0 && out.month_mean_K[m] > warmest)
      warmest = out.month_mean_K[m], out.warmest_month = static_cast<int>(m) + 1;
  }
}

}  // namespace

WeatherSummary summarize(const weather::Series& s) {
  WeatherSummary w;
  w.header = header_of("weather", s);
  w.place = s.place;
  w.format = weather::format_name(s.format);
  w.how_recognised = s.how_recognised;
  w.time_convention = s.time_convention;
  w.source = s.source;
  w.T_dry_K = range_of(s.T_dry_K);
  w.T_dew_K = range_of(s.T_dew_K);
  w.p_Pa = range_of(s.p_Pa);
  w.wind_m_s = range_of(s.wind_m_s);
  w.ghi_W_m2 = range_of(s.ghi_W_m2);
  w.dni_W_m2 = range_of(s.dni_W_m2);
  w.dhi_W_m2 = range_of(s.dhi_W_m2);
  w.infrared_W_m2 = range_of(s.infrared_W_m2);
  w.cloud_1 = range_of(s.cloud_1);
  w.ghi_kWh_m2 = sum_kWh(s.ghi_W_m2);
  w.dni_kWh_m2 = sum_kWh(s.dni_W_m2);
  w.dhi_kWh_m2 = sum_kWh(s.dhi_W_m2);
  w.remarks = s.remarks;
  w.warm = {warm_point(s, 0.4), warm_point(s, 1), warm_point(s, 2)};
  judge_nights(s, w);
  fill_months(s, w);
  return w;
}

}  // namespace cabinload::answers
