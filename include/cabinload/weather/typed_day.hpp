// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/profile.hpp>
#include <cabinload/weather/series.hpp>
#include <optional>
#include <string>
#include <vector>

namespace cabinload::weather {

/// A day in a few words: "tonight". It repeats (Series of 24 h).
struct TypedDay {
  std::string name = "typed day";
  double T_high_K = 0;
  double T_low_K = 0;  ///< <= T_high_K
  double T_dew_K = 0;  ///< constant over the day; capped at the dry bulb hour by hour
  core::Date date{7, 21};
  double latitude_rad = 0;
  double longitude_rad = 0;  ///< the sun's clock: local standard time is solar noon at 12:00 when
  double time_zone_h = 0;    ///< longitude = 15 deg * time_zone
  double elevation_m = 0;
  double wind_m_s = 2.0;
  std::optional<core::DayProfile> T_K;  ///< by the clock, instead of high and low
  /// What there is of the sun.
  enum class Sky { clear, cloudy, none } sky = Sky::clear;
};

/// Hourly series of the day: temperature by the ASHRAE fractions of the daily range
/// ([ASHRAE-F2017] ch. 14 table 6), sun by the ASHRAE clear-sky model, cloudy: stated reduction;
/// none: no sun.
/// @throws core::RangeError  low above high, dew point above high, |latitude| > 90 deg
[[nodiscard]] Series make(const TypedDay& day);

/// The built-in extreme days ("extreme-hot-dry", "extreme-hot-humid"), with their sources.
struct NamedDay {
  std::string key;
  std::string about;
  std::string source;
  TypedDay day;
};
/// All of them.
[[nodiscard]] const std::vector<NamedDay>& extreme_days();

}  // namespace cabinload::weather
