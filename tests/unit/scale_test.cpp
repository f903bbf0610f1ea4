// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cmath>

#include "samples.hpp"
#include "support/catch.hpp"

namespace core = cabinload::core;
namespace unit = cabinload::unit;
using cabinload::test::measured_point;

namespace {

unit::Description first() {
  return unit::built_in().front();
}

/// Measured points of an invented unit: 1800 W and 600 W at the rating point of first().
unit::Description measured() {
  unit::Description d = first();
  for (const double condenser : {25.0, 35.0, 45.0}) {
    d.points.push_back(measured_point(core::to_celsius(d.rated_wet_bulb_K), condenser, 1,
                                      1800 - 15 * (condenser - 35), 600 + 8 * (condenser - 35)));
  }
  return d;
}

}  // namespace

TEST_CASE("unit: a scaled unit differs in size alone", "[unit][property]") {
  for (const unit::Description& d : {first(), measured()}) {
    const unit::Rating now = unit::rating(d);
    for (const double factor : {0.25, 1.0, 1.3, 4.0}) {
      const unit::Description s = unit::scaled(d, factor);
      CHECK_RELATIVE(unit::rating(s).capacity_W, factor * now.capacity_W, 1e-9);
      CHECK_RELATIVE(unit::rating(s).power_W, factor * now.power_W, 1e-9);
      const auto a = unit::characteristics(d).map, b = unit::characteristics(s).map;
      for (const double wet : {15.0, 19.0, 23.0})
        for (const double condenser : {28.0, 41.0})
          for (const double speed : {0.5, 1.0}) {
            const auto x = a.at(core::to_kelvin(wet), core::to_kelvin(condenser), speed);
            const auto y = b.at(core::to_kelvin(wet), core::to_kelvin(condenser), speed);
            CHECK_RELATIVE(y.total_W, factor * x.total_W, 1e-9);
            CHECK_RELATIVE(y.power_W, factor * x.power_W, 1e-9);
          }
      CHECK(s.sensible_ratio_1 == d.sensible_ratio_1);
      CHECK(s.volts == d.volts);
      CHECK(unit::examine(s, {}).problems.size() == unit::examine(d, {}).problems.size());
    }
  }
}

TEST_CASE("unit: a ready map is scaled with its unit", "[unit][property]") {
  unit::Description d = first();
  d.map = unit::characteristics(d).map;
  const unit::Description s = unit::scaled(d, 1.7);
  const double wet_K = core::to_kelvin(20.3), condenser_K = core::to_kelvin(37.7);
  CHECK_RELATIVE(s.map->at(wet_K, condenser_K, 0.8).total_W,
                 1.7 * d.map->at(wet_K, condenser_K, 0.8).total_W, 1e-12);
  CHECK_RELATIVE(unit::rating(d).capacity_W, first().capacity_W, 1e-5);
}

TEST_CASE("unit: a unit of no size is refused", "[unit][unit]") {
  for (const double factor : {0.0, -1.0, std::nan(""), HUGE_VAL})
    CHECK_THROWS_AS(unit::scaled(first(), factor), core::RangeError);
}
