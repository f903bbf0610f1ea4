// SPDX-License-Identifier: Apache-2.0
// The twelve rooms of guideline VDI 6007-1, days 1, 10 and 60 by the hour.
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "support/box_run.hpp"
#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace core = cabinload::core;
namespace test = cabinload::test;
using test::Table;

namespace {

/// A day of a room: the days before it are the warm-up from the guideline's initial state.
test::BoxRun run_day(const std::string& room, int day) {
  return test::run_box(std::string(CABINLOAD_SOURCE_DIR) + "/tests/data/rooms/" + room + ".toml",
                       "", {{"run.warm_up_days", std::to_string(day - 1), "--set"}});
}

double figure(const test::BoxRun& box, const std::string& quantity, std::size_t hour) {
  const auto& h = box.trace.hourly;
  if (quantity == "air_temperature_hour_mean") return core::to_celsius(h.T_air_mean_K[hour]);
  const double supplied_W = h.ideal_heating_W[hour] - h.ideal_cooling_W[hour];
  return quantity == "heat_extracted_hour_mean" ? -supplied_W : supplied_W;
}

/// Case 11 turns from heating to cooling within hour 10; the README of the data says how far an
/// exact model of the stated items is from the guideline there.
double allowed(const std::string& room, int day, std::size_t hour, const std::string& unit) {
  constexpr double kTemperature_K = 0.1, kHeat_W = 1.0, kTurningHour_W = 6.0;
  constexpr double kPrintedDigit = 0.051;  // one hour of the data is at 1.03 W for an exact model
  if (unit == "degC") return kTemperature_K;
  return room == "11" && hour == 10 && day > 1 ? kTurningHour_W : kHeat_W + kPrintedDigit;
}

}  // namespace

TEST_CASE("published: the twelve rooms of VDI 6007-1 by the hour", "[published][table]") {
  const Table t("rooms/results.csv");
  std::map<std::string, test::BoxRun> done;
  std::map<std::string, test::Check> worst;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const std::string room = t.text(i, "case"), unit = t.text(i, "unit");
    const int day = static_cast<int>(t.number(i, "day"));
    const auto hour = static_cast<std::size_t>(t.number(i, "hour_ending"));
    const std::string id = room + "," + t.text(i, "day");
    if (!done.contains(id)) done.emplace(id, run_day(room, day));
    const double ours = figure(done.at(id), t.text(i, "quantity"), hour - 1);
    const double off = std::abs(ours - t.number(i, "value"));
    INFO("room " << room << ", day " << day << ", hour " << hour << ": " << ours << ", published "
                 << t.text(i, "value") << ' ' << unit);
    const double bar = allowed(room, day, hour, unit);
    CHECK(off <= bar);
    const std::string turning = bar > 5 ? ", hour 10" : "";
    test::Check& w = worst[room + unit + turning];
    if (off < w.ours) continue;
    w = {"Rooms by the hour",
         "room " + room + turning + ", largest difference of days 1, 10, 60",
         "VDI 6007-1:2012",
         0,
         bar,
         off,
         unit == "degC" ? "K" : "W",
         ""};
  }
  for (const auto& [key, check] : worst) test::record(check);
  CHECK(worst.size() == 14);
}
