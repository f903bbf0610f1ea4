// SPDX-License-Identifier: Apache-2.0
#include <cabinload/air/moist_air.hpp>
#include <cabinload/simulation/demand.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cmath>
#include <functional>

#include "support/catch.hpp"
#include "support/sample_run.hpp"

namespace core = cabinload::core;
namespace network = cabinload::network;
namespace simulation = cabinload::simulation;
namespace test = cabinload::test;
namespace vehicle = cabinload::vehicle;
using simulation::CauseKind;
using simulation::Demand;

namespace {

constexpr std::size_t kWeek_h = 7 * 24;

Demand demand(const cabinload::scenario::Scenario& scenario,
              const cabinload::forcing::Forcing& forcing,
              const std::function<void(simulation::DemandOptions&)>& change = {}) {
  const network::Cabin cabin = network::assemble(scenario.vehicle);
  simulation::DemandOptions options = simulation::demand_options(scenario);
  if (change) change(options);
  return simulation::demand(cabin, forcing, scenario, options);
}

double sum(const std::vector<double>& hours) {
  double all = 0;
  for (const double x : hours) all += x;
  return all;
}

std::size_t column(const Demand& d, CauseKind kind) {
  for (std::size_t c = 0; c < d.causes.size(); ++c)
    if (d.causes[c].kind == kind) return c;
  FAIL("no such cause");
  return 0;
}

double part_Wh(const Demand& d, CauseKind kind) {
  const std::size_t c = column(d, kind);
  return sum(d.sensible_by_cause_W[c]) + sum(d.latent_by_cause_W[c]);
}

double total_Wh(const Demand& d) {
  return sum(d.sensible_W) + sum(d.latent_W);
}

/// A cabin of fixed films without long wave: its equations are linear. Always warmer than the set
/// point, so that it is held all the time.
cabinload::scenario::Scenario linear_box() {
  auto s = test::sample_scenario();
  s.people = {{"person", 1, core::DaySchedule::parse("00:00-20:00"), core::DaySchedule()}};
  s.pets = {{"dog", 1, 20, core::DaySchedule::parse("08:00-24:00"), 2.5}};
  s.appliances = {
      {"lamp", core::DayProfile(60), 1, 0.4, 1e-5, false, core::DaySchedule::parse("12:00-23:00")}};
  s.air.fresh_air_m3_s = core::DayProfile(0.01);
  s.air.fresh_air_hours = core::DaySchedule::always();
  s.vehicle.leakage_area_m2 = 0;
  for (auto& surface : s.vehicle.surfaces) {
    surface.films = {20, 3, 5};
    surface.emittance_out_1 = 0;
  }
  for (auto& window : s.vehicle.windows) {
    window.films = {20, 3, 5};
    window.emittance_1 = 0;
  }
  for (auto& f : s.vehicle.furnishings) f.films = {0, 3, 5};
  return s;
}

}  // namespace

TEST_CASE("simulation: a demand without its causes is the same demand", "[simulation][property]") {
  const auto scenario = test::sample_scenario();
  const auto forcing = test::sample_forcing(kWeek_h, 29, 8);
  const Demand with = demand(scenario, forcing);
  const Demand without = demand(scenario, forcing, [](auto& o) { o.by_cause = false; });
  CHECK(total_Wh(with) > 0);
  CHECK(with.sensible_W == without.sensible_W);
  CHECK(with.latent_W == without.latent_W);
  CHECK(with.T_air_mean_K == without.T_air_mean_K);
  CHECK(with.causes.size() > 3);
  CHECK(without.causes.empty());
}

TEST_CASE("simulation: the parts of the demand add up to it, every hour",
          "[simulation][property]") {
  // Bar 1e-9 of the demand's own size, every step and every hour; laws of films, long wave,
  // windows, covers, wet faces, a heavy and a light hour, two step lengths.
  const auto forcing = test::sample_forcing(kWeek_h, 29, 8);
  for (const double step_s : {60.0, 120.0, 20.0}) {
    for (const char* hours : {"always", "21:00-07:00"}) {
      auto scenario = test::sample_scenario();
      scenario.step_s = step_s;
      scenario.ideal.heat_to_K = core::DayProfile(core::to_kelvin(20));
      const Demand d = demand(scenario, forcing, [&](simulation::DemandOptions& o) {
        o.hours = core::DaySchedule::parse(hours);
        o.humidity_1 = 0.5;
      });
      INFO("step " << step_s << " s, " << hours);
      REQUIRE(d.sensible_W.size() == kWeek_h);
      double worst_1 = 0, latent_Wh = 0;
      for (std::size_t h = 0; h < kWeek_h; ++h) {
        double sensible_W = 0, latent_W = 0;
        for (std::size_t c = 0; c < d.causes.size(); ++c) {
          sensible_W += d.sensible_by_cause_W[c][h];
          latent_W += d.latent_by_cause_W[c][h];
        }
        const double total_W = d.sensible_W[h] + d.latent_W[h];
        worst_1 =
            std::max(worst_1, std::abs(sensible_W + latent_W - total_W) / std::max(1.0, total_W));
        latent_Wh += d.latent_W[h];
      }
      CHECK(worst_1 < 1e-9);
      CHECK(d.parts_residual_W < 1e-7);
      CHECK(sum(d.sensible_W) > 3000);
      CHECK(latent_Wh > 500);
      CHECK(d.heat_residual_relative < 1e-9);
      CHECK(d.moisture_residual_relative < 1e-9);
    }
  }
}

TEST_CASE("simulation: a cause that is switched off takes its own part away",
          "[simulation][property]") {
  // In a linear box, held all the time: bar 2 % of the part, over the days after the first.
  const auto box = linear_box();
  auto forcing = test::sample_forcing(kWeek_h, 34, 6);
  for (double& W : forcing.W_out_1) W = 0.016;
  const Demand whole = demand(box, forcing);
  for (const double W : whole.sensible_W) REQUIRE(W > 1);
  for (const double W : whole.latent_W) REQUIRE(W > 1);
  const auto check = [&](const char* what, double part, const Demand& without) {
    INFO(what << ": part " << part << " Wh, change " << total_Wh(whole) - total_Wh(without));
    CHECK(part > 200);
    CHECK_RELATIVE(total_Wh(whole) - total_Wh(without), part, 0.02);
  };
  auto other = box;
  other.people.clear();
  check("people", part_Wh(whole, CauseKind::people), demand(other, forcing));
  other = box;
  other.pets.clear();
  check("pets", part_Wh(whole, CauseKind::pets), demand(other, forcing));
  other = box;
  other.appliances.clear();
  check("appliances", part_Wh(whole, CauseKind::appliances), demand(other, forcing));
  auto dark = forcing;
  for (auto* v : {&dark.windows[0].transmitted_W_m2, &dark.windows[0].absorbed_outer_W_m2,
                  &dark.windows[0].absorbed_inner_W_m2})
    for (double& W : *v) W = 0;
  check("window sun", part_Wh(whole, CauseKind::window_sun), demand(box, dark));
  // Air exchange off: the air is held, so only what it brings goes.
  other = box;
  other.air.fresh_air_hours = core::DaySchedule();
  check("air exchange", part_Wh(whole, CauseKind::air_exchange), demand(other, forcing));
  // A roof that meets the set point outside, by the same film.
  other = box;
  other.vehicle.surfaces[0].outside = vehicle::Outside::fixed;
  other.vehicle.surfaces[0].T_fixed_K = core::DayProfile(box.unit_settings.T_set_K);
  dark = forcing;
  for (double& W : dark.surfaces[0].incident_W_m2) W = 0;
  check("roof", part_Wh(whole, CauseKind::roof), demand(other, dark));
}

TEST_CASE("simulation: the parts of a steady demand are those of a hand calculation",
          "[simulation][unit]") {
  // No sun, nobody in it, 34 degC outdoors all week, held at 24 degC; no long wave, so that each
  // surface brings U A 10 K by itself and the air exchange its own heat and water.
  auto box = linear_box();
  box.people.clear();
  box.pets.clear();
  box.appliances.clear();
  for (auto& surface : box.vehicle.surfaces) {
    surface.films.inside_radiant_W_m2K = 0;
    surface.emittance_in_1 = 0;
  }
  for (auto& f : box.vehicle.furnishings) {
    f.films.inside_radiant_W_m2K = 0;
    f.emittance_1 = 0;
  }
  auto forcing = test::sample_forcing(kWeek_h, 34, 0);
  for (double& W : forcing.W_out_1) W = 0.016;
  for (auto& surface : forcing.surfaces)
    for (double& W : surface.incident_W_m2) W = 0;
  for (auto& w : forcing.windows)
    for (auto* v : {&w.transmitted_W_m2, &w.absorbed_outer_W_m2, &w.absorbed_inner_W_m2})
      for (double& W : *v) W = 0;
  const Demand d = demand(box, forcing);
  const auto last = [&](const std::vector<std::vector<double>>& parts, CauseKind kind) {
    return parts[column(d, kind)].back();
  };
  const auto by_hand_W = [&](vehicle::Part part) {
    double W = 0;
    for (const auto& s : box.vehicle.surfaces)
      if (s.part == part && s.outside != vehicle::Outside::adiabatic)
        W += 10 * s.area_m2 *
             ((1 - s.framing_fraction) * vehicle::u_value_W_m2K(s.layers, 1.0 / 3, 1.0 / 20) +
              s.framing_fraction * vehicle::u_value_W_m2K(s.framing, 1.0 / 3, 1.0 / 20));
    return W;
  };
  constexpr double kBar_1 = 1e-3;
  CHECK_RELATIVE(last(d.sensible_by_cause_W, CauseKind::roof), by_hand_W(vehicle::Part::roof),
                 kBar_1);
  CHECK_RELATIVE(last(d.sensible_by_cause_W, CauseKind::walls), by_hand_W(vehicle::Part::wall),
                 kBar_1);
  CHECK_RELATIVE(last(d.sensible_by_cause_W, CauseKind::floor), by_hand_W(vehicle::Part::floor),
                 kBar_1);
  const double T_out_K = core::to_kelvin(34), p_Pa = 95000;
  const double dry_kg_s = 0.01 * cabinload::air::density_kg_m3(T_out_K, 0.016, p_Pa) / (1 + 0.016);
  CHECK_RELATIVE(last(d.sensible_by_cause_W, CauseKind::air_exchange),
                 dry_kg_s * (1006 + 1860 * 0.016) * 10, kBar_1);
  // 60 % at 24 degC; the enthalpy of vapour there, 2501 + 1.86 x 24 kJ/kg ([ASHRAE-F2017] ch. 1).
  const double W_most_1 =
      cabinload::air::humidity_ratio_from_relative_1(core::to_kelvin(24), 0.6, p_Pa);
  CHECK_RELATIVE(last(d.latent_by_cause_W, CauseKind::air_exchange),
                 dry_kg_s * (0.016 - W_most_1) * (2501e3 + 1860 * 24), kBar_1);
  CHECK_WITHIN(last(d.sensible_by_cause_W, CauseKind::stored), 0, 1e-3);
  CHECK_WITHIN(last(d.latent_by_cause_W, CauseKind::stored), 0, 1e-3);
}

TEST_CASE("simulation: a demand hardly depends on the step", "[simulation][property]") {
  // Bar 0.5 % between 120, 60 and 10 s, held day and night.
  auto scenario = test::sample_scenario();
  const auto forcing = test::sample_forcing(kWeek_h, 30, 8);
  scenario.step_s = 10;
  const Demand fine = demand(scenario, forcing);
  for (const double step_s : {60.0, 120.0}) {
    scenario.step_s = step_s;
    const Demand d = demand(scenario, forcing);
    INFO("step " << step_s << " s");
    CHECK_RELATIVE(total_Wh(d), total_Wh(fine), 0.005);
    CHECK_RELATIVE(*std::max_element(d.sensible_W.begin(), d.sensible_W.end()),
                   *std::max_element(fine.sensible_W.begin(), fine.sensible_W.end()), 0.005);
  }
}

TEST_CASE("simulation: what a demand cannot be asked is refused", "[simulation][unit]") {
  auto scenario = test::sample_scenario();
  const auto forcing = test::sample_forcing(kWeek_h, 30, 8);
  CHECK_THROWS_AS(
      demand(scenario, forcing, [](simulation::DemandOptions& o) { o.humidity_1 = 0.01; }),
      core::RangeError);
  CHECK_THROWS_AS(
      demand(scenario, forcing, [](simulation::DemandOptions& o) { o.place = "nowhere"; }),
      core::RangeError);
  scenario.step_s = 300;
  CHECK_THROWS_AS(demand(scenario, forcing), core::RangeError);
}
