// SPDX-License-Identifier: Apache-2.0
#include "lane_run.hpp"

#include <algorithm>
#include <cabinload/air/comfort.hpp>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "gave_out.hpp"

namespace cabinload::simulation {
namespace {

constexpr double kLargestResidual_1 = 1e-6;
/// CO2 outdoors, by volume: 2023 global mean 419 ppm, rounded up. Source: [NOAA-GML].
constexpr double kOutdoorCo2_ppm = 420.0;
/// Molar mass of CO2 over that of dry air [1]: [ASHRAE-F2017] ch. 1 table 1 (44.01, 28.966).
constexpr double kCo2MassPerVolume_1 = 44.01 / 28.966;

/// The return air this far below the set point does not reach it within an idle step: 24 K an hour.
constexpr double kFarBelow_K = 2.0;
/// A bed this far below the limit does not reach it in an hour. Engineering judgement, both, set
/// beside steps of 2 s in tests/bench/README.md.
constexpr double kSurelyCool_K = 5.0;

double co2_mass_1(double ppm) {
  return ppm * 1e-6 * kCo2MassPerVolume_1;
}
double co2_ppm(double mass_1) {
  return mass_1 / kCo2MassPerVolume_1 * 1e6;
}

}  // namespace

template <int L>
LaneRun<L>::LaneRun(const network::Cabin& cabin, const forcing::Forcing& forcing,
                    const scenario::Scenario& scenario, const Options& options, int lane)
    : cabin_(cabin),
      forcing_(forcing),
      scenario_(scenario),
      options_(options),
      lane_(lane),
      clock_(scenario, options),
      dt_s_(scenario.step_s),
      drive_(cabin.chains.size()),
      around_(cabin, forcing, scenario),
      machine_(scenario.unit, scenario.unit_settings),
      supply_(scenario.supply),
      book_(cabin, scenario, options.flows),
      roof_(cabin.roof()) {
  heat_place_ = place_of(scenario.ideal.heat_place);
  cool_place_ = place_of(scenario.ideal.cool_place);
  plan();
}

/// From when to when, and who watches.
template <int L>
void LaneRun<L>::plan() {
  const double warm_up_s = scenario_.start.warm_up_days * core::kSecondsInDay;
  if (options_.window) {
    start_s_ = options_.window->from_s - std::round(warm_up_s / dt_s_) * dt_s_;
    end_s_ = options_.window->from_s + options_.window->hours * core::kSecondsInHour;
    clock_.start(start_s_);
    return;
  }
  const Nights nights = nights_of(scenario_.night, forcing_.hours, forcing_.first_day);
  cut_s_ = NightObserver::account_cut_s(scenario_.night);
  observe_s_ = nights.first * core::kSecondsInDay;
  judge_s_ = observe_s_ + cut_s_;
  start_s_ = observe_s_ - warm_up_s;
  end_s_ = judge_s_ + nights.count * core::kSecondsInDay;
  clock_.start(start_s_);
  if (options_.hours) hourly_.emplace(trace_.hourly, observe_s_);
  hottest_.emplace(trace_.hottest);
  night_.emplace(trace_.nights, scenario_.night, forcing_.first_day);
}

template <int L>
bool LaneRun<L>::nothing_to_cool(const network::Stepper<L>& stepper) const {
  return stepper.T_air_K(lane_) + scenario_.air.return_offset_K <
         scenario_.unit_settings.T_set_K - kFarBelow_K;
}

template <int L>
bool LaneRun<L>::nothing_to_judge(const network::Stepper<L>& stepper) const {
  return stepper.T_air_K(lane_) + scenario_.air.bed_offset_K <
         scenario_.night.T_limit_K - kSurelyCool_K;
}

template <int L>
int LaneRun<L>::place_of(const std::string& name) const {
  if (name == "air") return -1;
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c)
    if (cabin_.chains[c].name == name) return static_cast<int>(c);
  throw core::RangeError("no surface is named '" + name + "', where ideal heat should act");
}

/// The unit's part of a step: what would hold the set point, what it gives, what the battery
/// allows.
template <int L>
unit::Delivered LaneRun<L>::cool(const network::Stepper<L>& stepper,
                                 const network::Response<L>& response, const Outdoors& out) {
  Step& s = step_;
  if (!s.unit_scheduled) {
    s.limit = Limit::schedule;
    machine_.rest(unit_state_, dt_s_);
    return {};
  }
  const double T_set_K = scenario_.unit_settings.T_set_K - scenario_.air.return_offset_K;
  unit::Demand demand;
  demand.net_W = (response.free_K[lane_] - T_set_K) / response.per_W[lane_];
  demand.air_J_K = heat_of_a_minute_J_K(stepper, lane_);
  demand.limit_W = supply_.most_unit_W(ask_, power_around_, dt_s_, &most_bound_by_);
  const double return_K = stepper.T_air_K(lane_) + scenario_.air.return_offset_K;
  const unit::Inlet inlet{
      return_K,
      vapour_.value(),
      out.p_Pa,
      out.T_K,
      roof_W_m2(stepper, out),
      out.air_speed_m_s,
      s.second_of_day,
      supply_.granted().unit_V > 0 ? supply_.granted().unit_V : scenario_.unit.volts};
  const double wanted_W = demand.net_W + machine_.fan_W(s.second_of_day);
  unit::Offer offer = options_.cycles
                          ? machine_.offer(inlet, true, unit_state_, dt_s_)
                          : machine_.offer(inlet, wanted_W > 0, unit_state_, dt_s_, wanted_W);
  if (failed(Failure::cut_out)) {
    offer.running = false;
    offer.cut_out = true;
  }
  unit::Delivered given =
      options_.cycles ? machine_.deliver_cycles(offer, return_K, demand.limit_W, unit_state_, dt_s_)
                      : machine_.deliver(offer, demand, unit_state_, dt_s_);
  s.condenser_air_K = offer.condenser_K;
  const double steady_W = scenario_.unit.standby_W + offer.fan_W;
  s.unit_running_W = given.compressor_on_1 > 0
                         ? (given.electric_W - given.fan_heat_W - scenario_.unit.standby_W) /
                                   given.compressor_on_1 +
                               steady_W
                         : given.electric_W;
  s.beyond_map = offer.running && !offer.inside && given.compressor_on_1 > 0;
  if (offer.cut_out)
    s.limit = Limit::cut_out;
  else if (given.limited || offer.low_volts)
    s.limit = Limit::supply_limit;  // power() says whether it is an empty battery
  else if (given.load_ratio_1 >= 1.0 - 1e-9 && !offer.slow_does)
    s.limit = Limit::capacity;
  return given;
}

/// The supply's part of a step: what it grants, and what the unit then really did.
template <int L>
void LaneRun<L>::power() {
  Step& s = step_;
  unit::Delivered& given = given_;
  ask_.unit_W = given.electric_W;
  const power::Granted& granted = supply_.step(ask_, power_around_, dt_s_);
  if (granted.unit_W < given.electric_W * (1.0 - 1e-9)) {
    // It gave out within the step: the unit ran for that share of it.
    const double share = granted.unit_W / given.electric_W;
    for (double* x : {&given.sensible_W, &given.latent_W, &given.moisture_kg_s, &given.fan_heat_W,
                      &given.compressor_on_1, &given.fan_on_1})
      *x *= share;
    given.electric_W = granted.unit_W;
    s.limit = Limit::supply_limit;
  }
  // Cut off, or too little left for what the unit asks.
  using power::BankLimit;
  const auto ended = [](BankLimit l) {
    return l == BankLimit::empty || l == BankLimit::low_voltage;
  };
  if (s.limit == Limit::supply_limit &&
      (!supply_.bank().connected() || ended(granted.discharge_limit) ||
       (given.limited && ended(most_bound_by_))))
    s.limit = Limit::battery;
  s.other_W = granted.other_dc_W + granted.other_ac_W;
  const double others_asked_W = ask_.other_dc_W + ask_.other_ac_W;
  if (s.other_W < others_asked_W * (1 - 1e-9)) s.unserved_W = others_asked_W - s.other_W;
  s.unserved_empty = ended(granted.discharge_limit);
  s.cells_bound = granted.discharge_limit == BankLimit::temperature ||
                  (given.limited && most_bound_by_ == BankLimit::temperature);
  s.refrigerator_W = refrigerators_W(load_, ask_, granted);
  s.solar_W = granted.solar_W;
  s.alternator_W = granted.alternator_W;
  s.shore_W = granted.shore_W;
  s.charge_W = granted.charge_W;
  s.battery_V = granted.unit_V;
  s.battery_K = granted.bank_K;
  s.state_of_charge_1 = granted.state_of_charge_1;
  const double others_W = granted.other_dc_W + (granted.shore_W > 0 ? 0 : granted.other_ac_W);
  s.hours_displayed = power::naive_hours_displayed(supply_.bank(), s.unit_running_W + others_W);
}

/// Around the battery and the panels in this step, and what others ask of them.
template <int L>
void LaneRun<L>::set_power(double T_air_K, double middle_s) {
  const double second_of_day = step_.second_of_day;
  const double full_s = scenario_.battery_full_at_s, start_s = second_of_day - 0.5 * dt_s_;
  if (!in_window_ && full_s >= start_s && full_s < start_s + dt_s_) supply_.refill();
  load_ = occupants::load(scenario_.appliances, second_of_day, T_air_K, around_.out().T_K);
  ask_ = {0, load_.direct_W + around_.vent_fan_W(), load_.alternating_W};
  power_around_ = {T_air_K,
                   around_.out().T_K,
                   around_.out().wind_m_s,
                   around_.plane_W_m2(middle_s),
                   scenario_.site.driving_hours.active(second_of_day),
                   std::max(0.0, start_s)};
}

/// Convection from the roof around the unit to the air over it.
template <int L>
double LaneRun<L>::roof_W_m2(const network::Stepper<L>& stepper, const Outdoors& out) const {
  if (roof_ < 0) return 0;
  const auto c = static_cast<std::size_t>(roof_);
  const double film_W_m2K =
      drive_.film_still_W_m2K[0] + cabin_.chains[c].wind_share_1 * drive_.film_wind_W_m2K[0];
  return film_W_m2K * (stepper.T_outer_K(c, lane_) - out.T_K);
}

/// Ideal heating or cooling: exactly what brings the air to its set point by the end of the step.
template <int L>
void LaneRun<L>::hold_ideally(network::Stepper<L>& stepper, const network::Response<L>& response,
                              double unit_W) {
  Step& s = step_;
  const scenario::Ideal& ideal = scenario_.ideal;
  const double T_K = response.free_K[lane_] + response.per_W[lane_] * unit_W;
  const auto act = [&](double T_set_K, double limit_W, int place) {
    const double per_W = place < 0 ? response.per_W[lane_]
                                   : stepper.face_per_W(static_cast<std::size_t>(place), lane_);
    double W = (T_set_K - T_K) / per_W;
    if (limit_W > 0) W = std::clamp(W, -limit_W, limit_W);
    if (place < 0)
      ideal_air_W_ = W;
    else
      stepper.heat_face(static_cast<std::size_t>(place), W, lane_);
    return W;
  };
  ideal_air_W_ = 0;
  if (ideal.heat_to_K && T_K < ideal.heat_to_K->at(s.second_of_day))
    s.ideal_heating_W = act(ideal.heat_to_K->at(s.second_of_day), ideal.heat_limit_W, heat_place_);
  else if (ideal.cool_to_K && T_K > ideal.cool_to_K->at(s.second_of_day))
    s.ideal_cooling_W = -act(ideal.cool_to_K->at(s.second_of_day), ideal.cool_limit_W, cool_place_);
}

/// What a failure does to a step before it begins.
template <int L>
void LaneRun<L>::fail() {
  if (step_.t_s < options_.failing->at_s + 0.5 * dt_s_ || failed(Failure::shade_lost))
    supply_.refill();
  step_.unit_scheduled =
      !failed(Failure::unit_fault) && !failed(Failure::battery_empty) && !gave_out_;
}

/// Into the drive that all lanes share, but for what acts at the chains.
template <int L>
void LaneRun<L>::pass_on(network::Drive<L>& to) const {
  const network::Drive<1>& d = drive_;
  to.T_out_K[lane_] = d.T_out_K[0];
  to.T_sky_K[lane_] = d.T_sky_K[0];
  to.T_ground_K[lane_] = d.T_ground_K[0];
  to.T_under_K[lane_] = d.T_under_K[0];
  to.film_still_W_m2K[lane_] = d.film_still_W_m2K[0];
  to.film_wind_W_m2K[lane_] = d.film_wind_W_m2K[0];
  to.exchange_W_K[lane_] = d.exchange_W_K[0];
  to.mixing_W_m2K[lane_] = d.mixing_W_m2K[0];
  to.air_W[lane_] = d.air_W[0];
  to.radiant_W[lane_] = d.radiant_W[0];
}

template <int L>
void LaneRun<L>::begin(network::Stepper<L>& stepper, network::Drive<L>& drive) {
  dt_s_ = clock_.dt_s();
  const double t_s = clock_.t_s(), middle_s = t_s + 0.5 * dt_s_;
  if (options_.window && !in_window_ && middle_s > options_.window->from_s) {
    supply_.charge_to(options_.window->charge_1);
    in_window_ = true;
  }
  Step& s = step_ = {};
  s.t_s = t_s + dt_s_;
  s.dt_s = dt_s_;
  s.second_of_day = core::second_of_day(middle_s);
  s.unit_scheduled =
      options_.unit_enabled && (in_window_ || scenario_.unit_on.active(s.second_of_day));
  if (options_.failing) fail();
  const double T_air_K = stepper.T_air_K(lane_);
  const bool powered = supply_.bank().connected() && !failed(Failure::battery_empty);
  around_.set(
      middle_s, s.second_of_day,
      {.T_air_K = T_air_K,
       .powered = powered,
       .served = failed(Failure::battery_empty) ? occupants::Served{0, 0}
                                                : served_of(ask_, supply_.granted(), powered),
       .power_heat_W = supply_.granted().heat_to_cabin_W,
       .stirring_m3_s = fan_running_1_ * machine_.fan_flow_m3_s(s.second_of_day)},
      drive_);
  pass_on(drive);
  if (drive_.at_changed) stepper.act_at(drive_.at, lane_);
  set_power(T_air_K, middle_s);
  booked_ = book_.begin(t_s, dt_s_, stepper, lane_);
  if (failed(Failure::battery_empty)) ask_ = {};
}

template <int L>
double LaneRun<L>::act(network::Stepper<L>& stepper, network::Response<L>& response) {
  const Outdoors& out = around_.out();
  wet_ = wet_faces(cabin_, stepper, lane_, dew_guard_, vapour_.value(), out.p_Pa, response);
  given_ = cool(stepper, response, out);
  const double asked_W = given_.electric_W;
  power();
  if (failed(Failure::supply_lost) && step_.unit_scheduled)
    gave_out_ = gave_out(scenario_, supply_, supply_.granted(), unit_state_, given_, asked_W);
  const double unit_W = given_.fan_heat_W - given_.sensible_W;
  hold_ideally(stepper, response, unit_W);
  return unit_W + ideal_air_W_;
}

template <int L>
void LaneRun<L>::end(const network::Stepper<L>& stepper) {
  const Outdoors& out = around_.out();
  Step& s = step_;
  account_heat(stepper);
  const double through_kg_s = around_.exchange_kg_s() + wet_.flow_kg_s;
  vapour_.step(
      around_.air_kg() * cabin_.moisture_capacity_factor_1, through_kg_s,
      through_kg_s > 0 ? (around_.exchange_kg_s() * out.W_1 + wet_.water_kg_s) / through_kg_s : 0.0,
      around_.gains().moisture_kg_s - given_.moisture_kg_s, dt_s_);
  co2_.step(around_.air_kg(), around_.exchange_kg_s(), co2_mass_1(kOutdoorCo2_ppm),
            around_.gains().co2_kg_s, dt_s_);
  fan_running_1_ = given_.fan_on_1;
  s.T_air_K = stepper.T_air_K(lane_);
  s.T_bed_K = s.T_air_K + scenario_.air.bed_offset_K;
  s.T_operative_K = air::operative_temperature_K(s.T_bed_K, stepper.T_star_K(lane_),
                                                 scenario_.air.speed_at_bed_m_s);
  s.p_Pa = out.p_Pa;
  s.T_out_K = out.T_K;
  if (roof_ >= 0) {
    const auto roof = static_cast<std::size_t>(roof_);
    s.T_roof_surface_K = stepper.T_outer_K(roof, lane_);
    s.T_roof_cavity_K = 0.5 * (s.T_roof_surface_K + stepper.T_inner_K(roof, lane_));
  }
  s.exchange_kg_s = around_.exchange_kg_s();
  s.W_air_1 = vapour_.value();
  s.co2_ppm = co2_ppm(co2_.value());
  s.unit_electric_W = given_.electric_W;
  s.sensible_W = given_.sensible_W;
  s.latent_W = given_.latent_W;
  s.condensate_kg_s = given_.moisture_kg_s;
  s.compressor_on_1 = given_.compressor_on_1;
  if (booked_)
    book_.end(s, stepper, lane_, around_, supply_.granted(), {given_.fan_heat_W, ideal_air_W_});
  constexpr int kTimes = 20;
  const double share_1 = (s.t_s - start_s_) / (end_s_ - start_s_);
  if (options_.progress && !options_.window && told_ < kTimes && share_1 * kTimes >= told_)
    options_.progress(static_cast<double>(told_++) / kTimes);
  clock_.advance();
  if (options_.window)
    watch_window(s);
  else
    watch_nights(s);
  if (s.t_s > end_s_ - 0.5 * dt_s_) done_ = true;
  if (done_) close(stepper);
}

template <int L>
void LaneRun<L>::account_heat(const network::Stepper<L>& stepper) {
  const network::Flows<L>& f = stepper.flows();
  for (const auto* flow : {&f.envelope_W, &f.windows_W, &f.sun_inside_W, &f.exchange_W, &f.gains_W,
                           &f.unit_W, &f.placed_W}) {
    heat_in_J_ += (*flow)[lane_] * dt_s_;
    heat_throughput_J_ += std::abs((*flow)[lane_]) * dt_s_;
  }
}

template <int L>
void LaneRun<L>::close_balance(const network::Stepper<L>& stepper) {
  const double change_J = stepper.stored_J(lane_) - stored_at_start_J_;
  Balance& b = trace_.balance;
  b.throughput_J = heat_throughput_J_;
  // Where hardly anything flows (a shaded cabin at outdoor temperature) rounding is set beside what
  // one kelvin of the whole cabin is worth instead.
  const double one_kelvin_J = stored_at_start_J_ / stepper.T_air_K(lane_);
  b.heat_residual_relative =
      std::abs(change_J - heat_in_J_) / std::max(heat_throughput_J_, one_kelvin_J);
  b.moisture_residual_relative = vapour_.residual_relative();
  b.co2_residual_relative = co2_.residual_relative();
  b.battery_residual_relative = supply_.residual_relative();
  if (!(b.worst() <= kLargestResidual_1))
    throw core::NumericalError("the balance of the run does not close: relative residual " +
                               std::to_string(b.worst()) + ", allowed 1e-6");
}

template <int L>
double LaneRun<L>::T_start_K() const {
  return scenario_.start.T_K.value_or(around_.outdoors_at(start_s_).T_K);
}

template <int L>
void LaneRun<L>::start(const network::Stepper<L>& stepper) {
  vapour_.start_at(around_.outdoors_at(start_s_).W_1);
  co2_.start_at(co2_mass_1(kOutdoorCo2_ppm));
  stored_at_start_J_ = stepper.stored_J(lane_);
}

/// What the run's own figures take from a step.
template <int L>
void LaneRun<L>::note(const Step& s) {
  Trace& trace = trace_;
  const double hours = dt_s_ / core::kSecondsInHour;
  trace.electric_total_Wh += s.unit_electric_W * hours;
  trace.unit_on_h += s.compressor_on_1 * hours;
  if (s.beyond_map) trace.beyond_map_h += s.compressor_on_1 * hours;
  if (s.compressor_on_1 > 0)
    trace.condenser_air_max_K = std::max(trace.condenser_air_max_K, s.condenser_air_K);
  trace.unserved_Wh += s.unserved_W * hours;
  note_cells(s, hours);
  for (const power::Event& e : supply_.granted().events) {
    const double after_s = e.second_of_day - power_around_.second_of_day;
    trace.events.push_back(
        {e.kind, s.t_s - dt_s_ + (after_s < 0 ? after_s + core::kSecondsInDay : after_s)});
  }
}

/// What the temperature of the battery's cells did in a step.
template <int L>
void LaneRun<L>::note_cells(const Step& s, double hours) {
  CellsBound& cells = trace_.cells;
  if (s.cells_bound) {
    const bool none = cells.hot_h + cells.cold_h == 0;
    cells.hottest_K = none ? s.battery_K : std::max(cells.hottest_K, s.battery_K);
    cells.coldest_K = none ? s.battery_K : std::min(cells.coldest_K, s.battery_K);
    (s.battery_K > power::kMildCells_K ? cells.hot_h : cells.cold_h) += hours;
    if (scenario_.supply.bank.cells.discharge_per_h.at(s.battery_K) <= 0) cells.nothing_h += hours;
  }
  if (supply_.granted().charge_limit == power::BankLimit::temperature) trace_.hot_charge_h += hours;
  if (supply_.granted().charge_limit != power::BankLimit::cold_charge) return;
  trace_.cold_charge_h += hours;
  if (s.battery_K < core::kZeroCelsius_K) trace_.frozen_charge_h += hours;
}

template <int L>
void LaneRun<L>::close(const network::Stepper<L>& stepper) {
  trace_.unit_enabled = options_.unit_enabled;
  trace_.steps = clock_.steps();
  trace_.flows = book_.accounts();
  if (!std::isfinite(stepper.T_air_K(lane_)))
    throw core::NumericalError("the cabin temperature is not finite at the end of the run");
  close_balance(stepper);
}

template <int L>
void LaneRun<L>::watch_nights(const Step& s) {
  const double t_s = s.t_s - dt_s_;
  if (t_s < observe_s_ - 0.5 * dt_s_) return;
  if (hourly_) hourly_->step(s);
  hottest_->step(s);
  note(s);
  if (options_.failing && s.t_s > options_.failing->at_s - 0.5 * dt_s_ &&
      s.t_s < options_.failing->at_s + options_.failing->keep_s + 0.5 * dt_s_)
    trace_.window.steps.push_back(s);
  if (t_s < judge_s_ - 0.5 * dt_s_) return;
  night_->step(s);
  if (options_.step_trace_night) {
    const double from_s = *options_.step_trace_night * core::kSecondsInDay + cut_s_;
    if (s.t_s > from_s && s.t_s <= from_s + core::kSecondsInDay) trace_.window.steps.push_back(s);
  }
}

template <int L>
void LaneRun<L>::watch_window(const Step& s) {
  if (!in_window_) return;
  note(s);
  trace_.window.steps.push_back(s);
  // Cut off, or too little left for the unit to start on.
  if (!supply_.bank().connected() || s.limit == Limit::battery) trace_.cut_s = s.t_s;
  for (const SupplyEvent& e : trace_.events)
    if (e.kind == power::EventKind::empty || e.kind == power::EventKind::low_voltage)
      trace_.cut_s = e.t_s;
  if (!std::isnan(trace_.cut_s)) done_ = true;
}

template class LaneRun<1>;
template class LaneRun<4>;
template class LaneRun<8>;

}  // namespace cabinload::simulation
