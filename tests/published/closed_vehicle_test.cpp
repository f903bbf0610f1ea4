// SPDX-License-Identifier: Apache-2.0
// Closed vehicles in the sun against published measurements. A generic car and a generic sleeper
// cab stand for vehicles that nobody described: level, shape and effects are compared, nothing is
// fitted.
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "support/box_run.hpp"
#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace core = cabinload::core;
namespace test = cabinload::test;
using cabinload::scenario::Override;

namespace {

using Changes = std::vector<Override>;

test::BoxRun run(const std::string& name, const Changes& changes, bool steps) {
  return test::run_box(
      std::string(CABINLOAD_SOURCE_DIR) + "/tests/data/closed_vehicle/" + name + ".toml", "",
      changes, steps ? std::optional<int>(0) : std::nullopt);
}

/// Rise of the cabin air over outdoors, `minutes` after closing at noon.
double rise_K(const test::BoxRun& box, double minutes) {
  const auto& steps = box.trace.window.steps;  // from noon
  const auto k = static_cast<std::size_t>(std::lround(minutes * 60 / steps[0].dt_s)) - 1;
  return steps[k].T_air_K - steps[k].T_out_K;
}

double hottest_K(const test::BoxRun& box) {
  const auto& T = box.trace.hourly.T_air_max_K;
  return *std::max_element(T.begin(), T.begin() + 24);
}

double cooling_Wh(const Changes& changes) {
  const auto box = run("cab_held_all_day", changes, false);
  double sum = 0;
  for (std::size_t h = 0; h < 24; ++h) sum += box.trace.hourly.ideal_cooling_W[h];
  return sum;
}

/// Records and checks; a row that lies outside for a known reason is told apart from one that
/// moved.
void judge(const char* what, const char* source, double low, double high, double ours,
           const char* unit, const char* reason = "") {
  const test::Check check{"Closed vehicles", what, source, low, high, ours, unit, reason};
  test::record(check);
  INFO(what << ": " << ours << ' ' << unit << ", published " << low << " to " << high);
  CHECK((check.inside() || *reason != '\0'));
}

constexpr const char* kTable = "Null, San Francisco State University, table of elapsed time";
constexpr const char* kMcLaren = "McLaren, Null, Quinn, Pediatrics 2005;116:e109";

}  // namespace

TEST_CASE("published: a closed car heats as measured", "[published][table]") {
  const auto box = run("car_closed_at_noon", {}, true);
  constexpr double kLevel_K = 5, kShape_1 = 0.08;  // advised with the tables
  const double hour_K = rise_K(box, 60);
  judge("car closed at noon, rise in 60 min", kTable, 23.9 - kLevel_K, 23.9 + kLevel_K, hour_K,
        "K");
  judge("the same in 90 min (from a secondary page)", kTable, 26.7 - kLevel_K, 26.7 + kLevel_K,
        rise_K(box, 90), "K");
  judge("mean rise in 5 min over the hour", kMcLaren, 0.8 * 1.78, 1.2 * 1.78, hour_K / 12, "K",
        "the other series of the same kind gives 2.0 K; glass, paint and wind of the measured car "
        "are not known");
  const double shares[][2] = {{10, 0.44}, {20, 0.67}, {30, 0.79}, {40, 0.88}, {50, 0.95}};
  for (const auto& [minutes, share] : shares) {
    const std::string what = "share of the hour's rise by " + std::to_string(int(minutes)) + " min";
    judge(what.c_str(), kTable, share - kShape_1, share + kShape_1, rise_K(box, minutes) / hour_K,
          "1");
  }
  judge("share of the hour's rise by 30 min", kMcLaren, 0.72, 0.88, rise_K(box, 30) / hour_K, "1");
  const auto cold =
      run("car_closed_at_noon", {{"parking.shade_hours", "13:30-12:00", "--set"}}, true);
  for (const auto& [minutes, share] : shares) {
    const std::string what =
        "the same from a cold start, by " + std::to_string(int(minutes)) + " min";
    judge(what.c_str(), kTable, share - kShape_1, share + kShape_1,
          rise_K(cold, minutes) / rise_K(cold, 60), "1",
          minutes < 15 ? "a start from cold structure was never measured: it checks that the shape "
                         "does not come from the warm start alone"
                       : "");
  }
}

TEST_CASE("published: outdoor temperature, cracked windows and paint act as measured",
          "[published][table]") {
  const auto at = [](const char* degC) {
    return rise_K(run("car_closed_at_noon", {{"weather.temperature", degC, "--set"}}, true), 60);
  };
  const double cool_K = at("21.1 degC"), hot_K = at("35 degC");
  judge("spread of the rise between 70 and 95 degF outdoors", kTable, 0, 1.5,
        std::abs(cool_K - hot_K), "K");
  const auto cracked =
      run("car_closed_at_noon",
          {{"opening.area", "1000 cm2", "--set"}, {"opening.height", "4 cm", "--set"}}, true);
  const auto shut = run("car_closed_at_noon", {}, true);
  judge("rise with windows open 38 mm over shut (1.72/1.89)", kMcLaren, 0.80, 1.0,
        rise_K(cracked, 60) / rise_K(shut, 60), "1");
  const double black_K =
      hottest_K(run("car_closed_all_day", {{"vehicle.paint", "black", "--set"}}, false));
  const double silver_K =
      hottest_K(run("car_closed_all_day", {{"vehicle.paint", "silver", "--set"}}, false));
  // Vanos et al. 2018: cars in the shade stay cooler than cars in the sun. Their figures are means
  // of an hour from a start that is not told, so only the order is compared.
  const auto shaded = run("car_closed_at_noon", {{"parking.shade_hours", "always", "--set"}}, true);
  CHECK(rise_K(shaded, 60) < 0.3 * rise_K(shut, 60));
  judge("black over silver shell, soak", "Levinson et al., Applied Energy 2011", 4, 8,
        black_K - silver_K, "K",
        "in 3 m/s of wind; a thin headliner and light wind are where the published 5 to 6 K arise");
}

TEST_CASE("published: a car closed all day stays inside the measured envelope",
          "[published][table]") {
  constexpr const char* k2009 = "Grundstein, Meentemeyer, Dowd, Int. J. Biometeorol. 2009";
  constexpr const char* k2010 = "Grundstein, Dowd, Meentemeyer, Bull. Amer. Meteor. Soc. 2010";
  const auto box = run("car_closed_all_day", {}, true);
  judge("daily maximum, clear summer day", k2009, 63, 73, core::to_celsius(hottest_K(box)), "degC");
  const auto cloudy = run("car_closed_all_day", {{"weather.sky", "cloudy", "--set"}}, false);
  judge("cloudy day cooler by", k2009, 5, 15, hottest_K(box) - hottest_K(cloudy), "K",
        "the typed cloudy day is overcast from morning to evening; the measured ones were not");
  // The trace runs from noon to noon: the morning's rise is its last part.
  const auto& steps = box.trace.window.steps;
  const double maxima[][2] = {{5, 4}, {10, 7}, {30, 16}, {60, 26}};
  for (const auto& [minutes, most_K] : maxima) {
    const auto n = static_cast<std::size_t>(minutes * 60 / steps[0].dt_s);
    double rise = 0;
    for (std::size_t k = n; k < steps.size(); ++k)
      rise = std::max(rise, steps[k].T_air_K - steps[k - n].T_air_K);
    const std::string what =
        "largest rise in any " + std::to_string(int(minutes)) + " min of the day";
    judge(what.c_str(), k2010, 0, most_K + 2, rise, "K");
  }
}

TEST_CASE("published: paint, covers and insulation act on a sleeper cab as published",
          "[published][table]") {
  constexpr const char* kProc = "Proc, Chaney, Sailor, SAE 2008-01-2618";
  const double white_Wh = cooling_Wh({});
  judge("daily cooling of a black cab over a white one", "US NREL truck study, quoted", 1.15, 1.35,
        cooling_Wh({{"vehicle.paint", "black", "--set"}}) / white_Wh, "1",
        "walls of a cab as made, thinner than those of the truck that was measured");
  judge("cooling changed by insulated window covers", kProc, -44, -24,
        100 * (cooling_Wh({{"vehicle.cover", "thermal-mat", "--set"}}) / white_Wh - 1), "%");
  judge("cooling changed by doubled insulation", kProc, -45, -25,
        100 * (cooling_Wh({{"vehicle.insulation", "good", "--set"}}) / white_Wh - 1), "%",
        "only the sleeper's shell is doubled here, the cab with its glass stays as made");
  const auto free = [](const Changes& changes) {
    Changes all = changes;
    all.push_back({"ideal.cool_to", "none", "--set"});
    return hottest_K(run("cab_held_all_day", all, false));
  };
  judge("daytime gain lowered by insulated window covers", kProc, -12, -4,
        free({{"vehicle.cover", "thermal-mat", "--set"}}) - free({}), "K");
}
