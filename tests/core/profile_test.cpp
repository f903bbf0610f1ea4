// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/core/profile.hpp>
#include <cabinload/core/schedule.hpp>

#include "support/catch.hpp"

namespace core = cabinload::core;
using cabinload::test::contains;
using core::DayProfile;
using core::Quantity;

namespace {
constexpr double kHour_s = 3600;
double degC(const DayProfile& p, double hour) {
  return core::to_celsius(p.at(hour * kHour_s));
}
}  // namespace

TEST_CASE("core: values by the clock are read and refused", "[core][unit]") {
  const auto set_back = DayProfile::parse("07:00 20 degC, 23:00 10 degC", Quantity::temperature);
  CHECK_WITHIN(degC(set_back, 6.99), 10, 1e-9);
  CHECK_WITHIN(degC(set_back, 7), 20, 1e-9);
  CHECK_WITHIN(degC(set_back, 22.99), 20, 1e-9);
  CHECK_WITHIN(degC(set_back, 23), 10, 1e-9);
  CHECK_WITHIN(degC(set_back, 24 + 3), 10, 1e-9);
  CHECK_WITHIN(degC(set_back, -1), 10, 1e-9);
  CHECK_FALSE(set_back.constant());
  CHECK_WITHIN(set_back.lowest(), core::to_kelvin(10), 1e-9);
  CHECK_WITHIN(set_back.highest(), core::to_kelvin(20), 1e-9);
  const auto ramp = DayProfile::parse("07:00-08:00 20 degC, 23:00 10 degC", Quantity::temperature);
  CHECK_WITHIN(degC(ramp, 7.5), 15, 1e-9);
  CHECK_WITHIN(degC(ramp, 8), 20, 1e-9);
  const auto one = DayProfile::parse("450 W/m2", Quantity::irradiance);
  CHECK(one.constant());
  CHECK_WITHIN(one.at(12345), 450, 1e-9);
  CHECK(DayProfile().at(0) == 0);
  const auto refused = [](const char* text, const char* why) {
    INFO(text);
    CHECK_THROWS_WITH(DayProfile::parse(text, Quantity::temperature), contains(why));
  };
  refused("23:00 10 degC, 07:00 20 degC", "must rise through the day");
  refused("07:00 10 degC, 07:00 20 degC", "two values for one time");
  refused("07:00-06:00 10 degC", "not a time with a value");
  refused("25:00 10 degC", "not a time with a value");
  refused("07:00 10 W", "temperature");
  refused("10", "temperature");
}

TEST_CASE("core: spans of hours that overlap are seen", "[core][unit]") {
  CHECK(core::DaySchedule::parse("20:00-08:00, 07:00-09:00").overlaps());
  CHECK_FALSE(core::DaySchedule::parse("20:00-08:00, 08:00-09:00").overlaps());
  CHECK_FALSE(core::DaySchedule::always().overlaps());
  CHECK_FALSE(core::DaySchedule().overlaps());
}
