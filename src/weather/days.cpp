// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/calendar.hpp>
#include <cabinload/weather/days.hpp>

namespace cabinload::weather {

Series days_of(const Series& year, int first, int days) {
  if (year.hours() != core::kHoursInYear || days >= core::kDaysInYear) return year;
  first = (first % core::kDaysInYear + core::kDaysInYear) % core::kDaysInYear;
  Series s = year;
  s.first_day = (year.first_day + first) % core::kDaysInYear;
  const auto cut = [&](auto& rows) {
    const auto all = rows;
    rows.clear();
    for (std::size_t k = 0; k < static_cast<std::size_t>(24 * days); ++k)
      rows.push_back(all[(static_cast<std::size_t>(24 * first) + k) % all.size()]);
  };
  cut(s.year);
  for (auto* rows : {&s.T_dry_K, &s.T_dew_K, &s.p_Pa, &s.wind_m_s, &s.wind_from_rad, &s.ghi_W_m2,
                     &s.dni_W_m2, &s.dhi_W_m2, &s.infrared_W_m2, &s.cloud_1, &s.albedo_1})
    cut(*rows);
  return s;
}

}  // namespace cabinload::weather
