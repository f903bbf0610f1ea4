// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/answers/common.hpp>
#include <cabinload/weather/series.hpp>
#include <string>
#include <vector>

namespace cabinload::answers {

/// Lowest, mean and highest of a quantity with where it is known.
struct Range {
  double low = 0, mean = 0, high = 0;
  std::size_t known = 0;
};

/// A dry bulb exceeded in a share of the hours, and the dew point that goes with it.
struct WarmPoint {
  double percent = 0;
  double T_dry_K = 0;
  double T_dew_K = 0;
};
/// A night, by the dry bulb of its samples from 22:00 to 07:00.
struct WarmNight {
  core::Date date;
  double T_min_K = 0;
  double T_mean_K = 0;
};

/// The answer to `weather FILE`.
struct WeatherSummary {
  Header header;
  weather::Place place;
  std::string format, how_recognised, time_convention, source;
  Range T_dry_K, T_dew_K, p_Pa, wind_m_s, ghi_W_m2, dni_W_m2, dhi_W_m2, infrared_W_m2, cloud_1;
  double ghi_kWh_m2 = 0, dni_kWh_m2 = 0, dhi_kWh_m2 = 0;  ///< sums over the series
  std::vector<weather::Remark> remarks;                   ///< of the reader and of the checks
  /// Dry bulb exceeded in 0.4, 1, 2 % of the hours, with the mean dew point of the hours within 0.5
  /// K.
  std::array<WarmPoint, 3> warm;
  /// Nights 22:00 to 07:00 whose every value is above 25 degC / 20 degC; a night has the samples
  /// the file's time convention gives (10, or 9 at half hours).
  int nights_above_25degC = 0, nights_above_20degC = 0;
  std::vector<WarmNight> warmest_nights;  ///< by minimum, warmest first, at most 10
  int warmest_month = 7;
  std::array<double, 12> month_mean_K{};
  /// For the text drawing: 12 months x 24 hours mean dry bulb [K].
  std::array<std::array<double, 24>, 12> month_hour_K{};
};

/// The answer for a series of any length; a typed day counts once.
[[nodiscard]] WeatherSummary summarize(const weather::Series& series);

}  // namespace cabinload::answers
