// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/weather_summary.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <cabinload/weather/typed_day.hpp>

#include "support/catch.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace weather = cabinload::weather;

TEST_CASE("answers: warm-season figures of Miami", "[answers][table]") {
  // Computed once from the file by an independent script: 0.4/1/2 % dry bulb 31.7, 31.7, 31.1 degC
  // with dew points 23.1, 23.1, 22.4; 59 nights above 25 degC, 256 above 20; warmest night's
  // lowest 28.3; warmest month July, 28.0.
  const auto w = answers::summarize(weather::read(weather::shipped_folder() + "/12839.tm2"));
  const double dry[] = {31.7, 31.7, 31.1}, dew[] = {23.1, 23.1, 22.4};
  for (std::size_t i = 0; i < 3; ++i) {
    CHECK_WITHIN(core::to_celsius(w.warm[i].T_dry_K), dry[i], 0.05);
    CHECK_WITHIN(core::to_celsius(w.warm[i].T_dew_K), dew[i], 0.05);  // printed digits
  }
  CHECK(w.nights_above_25degC == 59);
  CHECK(w.nights_above_20degC == 256);
  CHECK_WITHIN(core::to_celsius(w.warmest_nights.front().T_min_K), 28.3, 0.05);
  CHECK(w.warmest_month == 7);
  CHECK_WITHIN(core::to_celsius(w.month_mean_K[6]), 28.0, 0.05);
  CHECK_WITHIN(w.ghi_kWh_m2, 1793, 1);
  CHECK_WITHIN(w.dni_kWh_m2, 1505, 1);
  CHECK_WITHIN(w.dhi_kWh_m2, 810, 1);
  CHECK(w.infrared_W_m2.known == 0);
}

TEST_CASE("answers: a summary of one day has one month", "[answers][unit]") {
  weather::TypedDay day;
  day.T_high_K = 308;
  day.T_low_K = 299.15;
  day.T_dew_K = 290;
  const auto w = answers::summarize(weather::make(day));
  CHECK(w.nights_above_25degC == 1);
  CHECK(w.warmest_month == 7);
  CHECK(std::isnan(w.month_mean_K[0]));
  CHECK_FALSE(w.header.cautions.empty());
}
