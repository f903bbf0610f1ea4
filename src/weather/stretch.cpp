// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/weather/stretch.hpp>

namespace cabinload::weather {

Series stretch(const Series& series, int first_day, int days) {
  CABINLOAD_ASSERT(days > 0);
  const int all = static_cast<int>(series.hours()) / 24;
  if (days >= all) return series;
  const int from = ((first_day % all) + all) % all;
  Series s = series;
  s.remarks.clear();
  s.first_day = (series.first_day + from) % core::kDaysInYear;
  const auto cut = [&](auto& rows, const auto& whole) {
    rows.clear();
    for (int k = 0; k < 24 * days; ++k)
      rows.push_back(whole[static_cast<std::size_t>((24 * from + k) % (24 * all))]);
  };
  cut(s.year, series.year);
  for (auto rows : {&Series::T_dry_K, &Series::T_dew_K, &Series::p_Pa, &Series::wind_m_s,
                    &Series::wind_from_rad, &Series::ghi_W_m2, &Series::dni_W_m2, &Series::dhi_W_m2,
                    &Series::infrared_W_m2, &Series::cloud_1, &Series::albedo_1})
    cut(s.*rows, series.*rows);
  return s;
}

}  // namespace cabinload::weather
