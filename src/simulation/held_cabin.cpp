// SPDX-License-Identifier: Apache-2.0
#include "held_cabin.hpp"

#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/network/films.hpp>
#include <cmath>

#include "gave_out.hpp"
#include "wet_faces.hpp"

namespace cabinload::simulation {

HeldCabin::HeldCabin(const World& world, const scenario::Scenario& scenario,
                     const FailureOptions& options, const unit::Machine& machine,
                     const power::Supply& full, double dt_s)
    : world_(world),
      scenario_(scenario),
      options_(options),
      machine_(machine),
      dt_s_(dt_s),
      stepper_(std::span(world.cabin, 1), dt_s),
      drive_(world.cabin->chains.size()),
      around_(*world.cabin, *world.forcing, scenario),
      supply_(full),
      roof_(world.cabin->roof()) {}

void HeldCabin::start_at(double t_s) {
  const Outdoors out = around_.outdoors_at(t_s);
  stepper_.start_at(network::Lane<1>::Constant(scenario_.start.T_K.value_or(out.T_K)));
  vapour_.start_at(out.W_1);
  stored_at_start_J_ = stepper_.stored_J();
}

void HeldCabin::go_on_from(const HeldCabin& other) {
  stepper_.start_from(other.stepper_);
  vapour_ = other.vapour_;
  unit_state_ = other.unit_state_;
  supply_ = other.supply_;
  ask_ = other.ask_;
  fan_running_1_ = other.fan_running_1_;
  gave_out_ = other.gave_out_;
}

/// Outdoor air by what helps.
double HeldCabin::extra_m3_s(double middle_s, const Running& running) const {
  if (running.fan_m3_s <= 0 && running.opening_m2 <= 0) return 0;
  Outdoors out = around_.outdoors_at(middle_s);
  const double dT_K = T_air_K() - out.T_K;
  double flow_m3_s = dT_K > 0 ? running.fan_m3_s : 0.0;
  if (running.opening_m2 > 0)
    flow_m3_s += network::opening_m3_s(running.opening_m2, options_.helps.opening_height_m, dT_K,
                                       out.wind_m_s);
  return flow_m3_s;
}

double HeldCabin::roof_W_m2() const {
  if (roof_ < 0) return 0;
  const auto c = static_cast<std::size_t>(roof_);
  const double film_W_m2K =
      drive_.film_still_W_m2K[0] + world_.cabin->chains[c].wind_share_1 * drive_.film_wind_W_m2K[0];
  return film_W_m2K * (stepper_.T_outer_K(c) - around_.out().T_K);
}

/// As LaneRun::cool(): the load is solved inside the step.
unit::Delivered HeldCabin::cool(const network::Response<1>& response, double second_of_day,
                                const Running& running) {
  if (gave_out_ || (!running.unit && !running.fan)) {
    machine_.rest(unit_state_, dt_s_);
    return {};
  }
  const Outdoors& out = around_.out();
  const double T_set_K = scenario_.unit_settings.T_set_K - scenario_.air.return_offset_K;
  unit::Demand demand;
  demand.net_W = (response.free_K[0] - T_set_K) / response.per_W[0];
  demand.air_J_K = heat_of_a_minute_J_K(stepper_);
  demand.limit_W = supply_.most_unit_W(ask_, power_around_, dt_s_);
  const unit::Inlet inlet{
      T_air_K() + scenario_.air.return_offset_K,
      vapour_.value(),
      out.p_Pa,
      out.T_K,
      roof_W_m2(),
      out.air_speed_m_s,
      second_of_day,
      supply_.granted().unit_V > 0 ? supply_.granted().unit_V : scenario_.unit.volts};
  const double wanted_W = demand.net_W + machine_.fan_W(second_of_day);
  const bool asked = running.unit && wanted_W > 0;
  return machine_.deliver(machine_.offer(inlet, asked, unit_state_, dt_s_, wanted_W), demand,
                          unit_state_, dt_s_);
}

void HeldCabin::step(double t_s, const Running& running) {
  const double middle_s = t_s + 0.5 * dt_s_;
  const double second_of_day = core::second_of_day(middle_s);
  if (running.charged) supply_.refill();
  const bool powered = running.powered && supply_.bank().connected();
  CabinNow now{.T_air_K = T_air_K(),
               .powered = powered,
               .served = running.powered ? served_of(ask_, supply_.granted(), powered)
                                         : occupants::Served{0, 0},
               .power_heat_W = supply_.granted().heat_to_cabin_W,
               .stirring_m3_s = fan_running_1_ * machine_.fan_flow_m3_s(second_of_day)};
  now.extra_m3_s = extra_m3_s(middle_s, running);
  now.cracks_warm_1 = options_.cracks_warm_1;
  now.cracks_cool_1 = options_.cracks_cool_1;
  around_.set(middle_s, second_of_day, now, drive_);
  const Outdoors& out = around_.out();
  load_ = {};
  ask_ = {};
  if (running.powered) {
    load_ = occupants::load(scenario_.appliances, second_of_day, T_air_K(), out.T_K);
    ask_ = {0, load_.direct_W + around_.vent_fan_W(), load_.alternating_W};
  }
  power_around_ = {T_air_K(), out.T_K, out.wind_m_s, 0, false, second_of_day - 0.5 * dt_s_};
  const bool booked = book_ != nullptr && book_->begin(t_s, dt_s_, stepper_, 0);
  network::Response<1> response = stepper_.prepare(drive_);
  const WetFaces wet =
      wet_faces(*world_.cabin, stepper_, 0, dew_guard_, vapour_.value(), out.p_Pa, response);
  unit::Delivered given = cool(response, second_of_day, running);
  ask_.unit_W = given.electric_W;
  const power::Granted& granted = supply_.step(ask_, power_around_, dt_s_);
  if (!running.charged && !gave_out_)
    gave_out_ = gave_out(scenario_, supply_, granted, unit_state_, given, given.electric_W);
  if (granted.unit_W < given.electric_W * (1.0 - 1e-9)) {
    const double share_1 = granted.unit_W / given.electric_W;  // it gave out within the step
    for (double* x : {&given.sensible_W, &given.latent_W, &given.moisture_kg_s, &given.fan_heat_W,
                      &given.fan_on_1})
      *x *= share_1;
  }
  stepper_.finish(drive_, network::Lane<1>::Constant(given.fan_heat_W - given.sensible_W));
  account_heat();
  if (booked) account_flows(given);
  const double in_kg_s = around_.exchange_kg_s(), through_kg_s = in_kg_s + wet.flow_kg_s;
  vapour_.step(around_.air_kg() * world_.cabin->moisture_capacity_factor_1, through_kg_s,
               through_kg_s > 0 ? (in_kg_s * out.W_1 + wet.water_kg_s) / through_kg_s : 0.0,
               around_.gains().moisture_kg_s - given.moisture_kg_s, dt_s_);
  fan_running_1_ = given.fan_on_1;
}

void HeldCabin::account_heat() {
  const network::Flows<1>& f = stepper_.flows();
  for (const auto* flow : {&f.envelope_W, &f.windows_W, &f.sun_inside_W, &f.exchange_W, &f.gains_W,
                           &f.unit_W, &f.placed_W}) {
    heat_in_J_ += (*flow)[0] * dt_s_;
    throughput_J_ += std::abs((*flow)[0]) * dt_s_;
  }
}

/// What the book reads of a step.
void HeldCabin::account_flows(const unit::Delivered& given) {
  const power::Granted& granted = supply_.granted();
  Step s;
  s.dt_s = dt_s_;
  s.second_of_day = power_around_.second_of_day + 0.5 * dt_s_;
  s.T_out_K = around_.out().T_K;
  s.T_air_K = T_air_K();
  s.sensible_W = given.sensible_W;
  s.latent_W = given.latent_W;
  s.unit_electric_W = granted.unit_W;
  s.other_W = granted.other_dc_W + granted.other_ac_W;
  s.refrigerator_W = refrigerators_W(load_, ask_, granted);
  s.solar_W = granted.solar_W;
  s.alternator_W = granted.alternator_W;
  s.shore_W = granted.shore_W;
  book_->end(s, stepper_, 0, around_, granted, {given.fan_heat_W, 0});
}

double HeldCabin::heat_residual_relative() const {
  const double change_J = stepper_.stored_J() - stored_at_start_J_;
  const double one_kelvin_J = stored_at_start_J_ / T_air_K();
  return std::abs(change_J - heat_in_J_) / std::max(throughput_J_, one_kelvin_J);
}

}  // namespace cabinload::simulation
