// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/calendar.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/days.hpp>
#include <cabinload/weather/read.hpp>

#include "support/catch.hpp"

namespace core = cabinload::core;
namespace weather = cabinload::weather;

TEST_CASE("weather: some days of a year are its hours", "[weather][unit]") {
  const weather::Series year = weather::read(weather::shipped_folder() + "/722740TYA.CSV");
  // From 29 December over New Year.
  const weather::Series some = weather::days_of(year, -3, 5);
  REQUIRE(some.hours() == 120);
  CHECK(core::date_of(some.first_day) == core::Date{12, 29});
  CHECK(some.sha256 == year.sha256);
  for (std::size_t k = 0; k < 120; ++k) {
    const std::size_t row = (8760 - 72 + k) % 8760;
    CHECK(some.T_dry_K[k] == year.T_dry_K[row]);
    CHECK(some.year[k] == year.year[row]);
    CHECK(some.albedo_1.size() == 120);
    CHECK(some.dni_W_m2[k] == year.dni_W_m2[row]);
  }
  CHECK(weather::days_of(year, 10, 365).hours() == 8760);
  // No whole year: as it is.
  CHECK(weather::days_of(some, 1, 2).hours() == 120);
}
