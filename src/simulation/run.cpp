// SPDX-License-Identifier: Apache-2.0
#include "cabin_air.hpp"
#include "flow_book.hpp"
#include "gave_out.hpp"
#include "surroundings.hpp"
#include "wet_faces.hpp"

#include <algorithm>
#include <array>
#include <cabinload/air/comfort.hpp>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/network/stepper.hpp>
#include <cabinload/simulation/observers.hpp>
#include <cabinload/simulation/run.hpp>
#include <cabinload/unit/machine.hpp>
#include <cmath>

namespace cabinload::simulation {
namespace {

constexpr double kLargestResidual_1 = 1e-6;
/// CO2 outdoors, by volume: 2023 global mean 419 ppm, rounded up. Source: [NOAA-GML].
constexpr double kOutdoorCo2_ppm = 420.0;
/// Molar mass of CO2 over that of dry air [1]: [ASHRAE-F2017] ch. 1 table 1 (44.01, 28.966).
constexpr double kCo2MassPerVolume_1 = 44.01 / 28.966;

double co2_mass_1(double ppm) {
  return ppm * 1e-6 * kCo2MassPerVolume_1;
}
double co2_ppm(double mass_1) {
  return mass_1 / kCo2MassPerVolume_1 * 1e6;
}

class Runner {
 public:
  Runner(const network::Cabin& cabin, const forcing::Forcing& forcing,
         const scenario::Scenario& scenario, const Options& options)
      : cabin_(cabin),
        forcing_(forcing),
        scenario_(scenario),
        options_(options),
        dt_s_(scenario.step_s),
        stepper_(std::span(&cabin, 1), dt_s_),
        drive_(cabin.chains.size()),
        around_(cabin, forcing, scenario),
        machine_(scenario.unit, scenario.unit_settings),
        supply_(scenario.supply),
        book_(cabin, scenario, options.flows) {
    heat_place_ = place_of(scenario.ideal.heat_place);
    cool_place_ = place_of(scenario.ideal.cool_place);
    for (std::size_t c = 0; c < cabin.chains.size(); ++c) {
      const network::Chain& x = cabin.chains[c];
      if (x.surface < 0 || x.outside != vehicle::Outside::open_air || x.view.ground_1 > 0.1)
        continue;  // the largest opaque face that looks up
      if (roof_ < 0 || x.area_m2 > cabin.chains[static_cast<std::size_t>(roof_)].area_m2)
        roof_ = static_cast<int>(c);
    }
  }

  Trace run();

 private:
  Trace run_nights();
  Trace run_window(const Window& window);
  void start(double start_s);
  Trace finish(Trace trace, long steps) const;
  void note(const Step& s, Trace& trace) const;
  [[nodiscard]] int place_of(const std::string& name) const;
  [[nodiscard]] double roof_W_m2(const Outdoors& out) const;
  Step step(double t_s);
  unit::Delivered cool(const network::Response<1>& response, const Outdoors& out, Step& step);
  [[nodiscard]] double heat_of_a_minute_J_K(const network::Response<1>& response) const;
  void hold_ideally(const network::Response<1>& response, double unit_W, Step& step);
  void power(unit::Delivered& given, Step& s);
  void set_power(double middle_s, double second_of_day);
  void account_heat();
  void close_balance(Trace& trace) const;
  /// Has this failure come? A step's end tells.
  [[nodiscard]] bool failed(Failure failure, const Step& s) const {
    return options_.failing && options_.failing->failure == failure &&
           s.t_s > options_.failing->at_s + 0.5 * dt_s_;
  }
  void fail(Step& s);

  const network::Cabin& cabin_;
  const forcing::Forcing& forcing_;
  const scenario::Scenario& scenario_;
  const Options& options_;
  double dt_s_;
  network::Stepper<1> stepper_;
  network::Drive<1> drive_;
  Surroundings around_;
  unit::Machine machine_;
  unit::State unit_state_;
  power::Supply supply_;
  FlowBook book_;
  power::Granted granted_;  // of the step before
  power::Ask ask_;
  power::Around power_around_;
  bool in_window_ = false;  // of Options::window
  MixedAir vapour_, co2_;
  int roof_ = -1;                          // chain under the unit
  int heat_place_ = -1, cool_place_ = -1;  // chain at which ideal heat acts; -1: the air
  double ideal_air_W_ = 0;
  double fan_running_1_ = 0;
  bool gave_out_ = false;  // the battery, after the supply was lost
  double heat_in_J_ = 0, heat_throughput_J_ = 0, stored_at_start_J_ = 0;
};

int Runner::place_of(const std::string& name) const {
  if (name == "air") return -1;
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c)
    if (cabin_.chains[c].name == name) return static_cast<int>(c);
  throw core::RangeError("no surface is named '" + name + "', where ideal heat should act");
}

/// The unit's part of a step: what would hold the set point, what it gives, what the battery
/// allows.
unit::Delivered Runner::cool(const network::Response<1>& response, const Outdoors& out, Step& s) {
  if (!s.unit_scheduled) {
    s.limit = Limit::schedule;
    machine_.rest(unit_state_, dt_s_);
    return {};
  }
  const double T_set_K = scenario_.unit_settings.T_set_K - scenario_.air.return_offset_K;
  unit::Demand demand;
  demand.net_W = (response.free_K[0] - T_set_K) / response.per_W[0];
  demand.air_J_K = heat_of_a_minute_J_K(response);
  demand.limit_W = supply_.most_unit_W(ask_, power_around_, dt_s_);
  const double return_K = stepper_.T_air_K()[0] + scenario_.air.return_offset_K;
  const unit::Inlet inlet{
      return_K,        vapour_.value(),
      out.p_Pa,        out.T_K,
      roof_W_m2(out),  out.air_speed_m_s,
      s.second_of_day, granted_.unit_V > 0 ? granted_.unit_V : scenario_.unit.volts};
  const bool asked = options_.cycles || demand.net_W + machine_.fan_W(s.second_of_day) > 0;
  unit::Offer offer = machine_.offer(inlet, asked, unit_state_, dt_s_);
  if (failed(Failure::cut_out, s)) {
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
  else if (given.limited)
    s.limit = Limit::supply_limit;  // power() says whether it is an empty battery
  else if (offer.low_volts)
    s.limit = Limit::supply_limit;
  else if (given.load_ratio_1 >= 1.0 - 1e-9)
    s.limit = Limit::capacity;
  return given;
}

/// The supply's part of a step: what it grants, and what the unit then really did.
void Runner::power(unit::Delivered& given, Step& s) {
  ask_.unit_W = given.electric_W;
  granted_ = supply_.step(ask_, power_around_, dt_s_);
  if (granted_.unit_W < given.electric_W * (1.0 - 1e-9)) {
    // It gave out within the step: the unit ran for that share of it.
    const double share = granted_.unit_W / given.electric_W;
    for (double* x : {&given.sensible_W, &given.latent_W, &given.moisture_kg_s, &given.fan_heat_W,
                      &given.compressor_on_1, &given.fan_on_1})
      *x *= share;
    given.electric_W = granted_.unit_W;
    s.limit = Limit::supply_limit;
  }
  // Cut off, or too little left for the unit to start on.
  const power::BankDescription& bank = scenario_.supply.bank;
  const double left_J =
      (supply_.bank().state_of_charge_1() - bank.usable_low_1) * bank.nominal_energy_J;
  if (s.limit == Limit::supply_limit &&
      (!supply_.bank().connected() || left_J < 2 * scenario_.unit.power_W * dt_s_))
    s.limit = Limit::battery;
  s.other_W = granted_.other_dc_W + granted_.other_ac_W;
  s.solar_W = granted_.solar_W;
  s.alternator_W = granted_.alternator_W;
  s.shore_W = granted_.shore_W;
  s.charge_W = granted_.charge_W;
  s.battery_V = granted_.unit_V;
  s.battery_K = granted_.bank_K;
  s.state_of_charge_1 = granted_.state_of_charge_1;
  const double others_W = granted_.other_dc_W + (granted_.shore_W > 0 ? 0 : granted_.other_ac_W);
  s.hours_displayed = power::naive_hours_displayed(supply_.bank(), s.unit_running_W + others_W);
}

/// Around the battery and the panels in this step, and what others ask of them.
void Runner::set_power(double middle_s, double second_of_day) {
  const double full_s = scenario_.battery_full_at_s, start_s = second_of_day - 0.5 * dt_s_;
  if (!in_window_ && full_s >= start_s && full_s < start_s + dt_s_) supply_.refill();
  const occupants::Load load = occupants::load(scenario_.appliances, second_of_day);
  ask_ = {0, load.direct_W + around_.vent_fan_W(), load.alternating_W};
  power_around_ = {stepper_.T_air_K()[0],
                   around_.out().T_K,
                   around_.out().wind_m_s,
                   around_.plane_W_m2(middle_s),
                   scenario_.site.driving_hours.active(second_of_day),
                   std::max(0.0, start_s)};
}

/// What warms the cabin air by 1 K within a minute: the air's own, and what the walls take up in a
/// step, by the root of the time as walls do.
double Runner::heat_of_a_minute_J_K(const network::Response<1>& response) const {
  constexpr double kMinute_s = 60;
  const double air_J_K =
      around_.air_kg() * air::specific_heat_J_kgK(vapour_.value()) * cabin_.air_capacity_factor_1;
  const double faces_J_K = std::max(0.0, dt_s_ / response.per_W[0] - air_J_K);
  return air_J_K + faces_J_K * std::sqrt(kMinute_s / dt_s_);
}

/// Convection from the roof around the unit to the air over it.
double Runner::roof_W_m2(const Outdoors& out) const {
  if (roof_ < 0) return 0;
  const auto c = static_cast<std::size_t>(roof_);
  const double film_W_m2K =
      drive_.film_still_W_m2K[0] + cabin_.chains[c].wind_share_1 * drive_.film_wind_W_m2K[0];
  return film_W_m2K * (stepper_.T_outer_K(c) - out.T_K);
}

/// Ideal heating or cooling: exactly what brings the air to its set point by the end of the step.
void Runner::hold_ideally(const network::Response<1>& response, double unit_W, Step& s) {
  const scenario::Ideal& ideal = scenario_.ideal;
  const double T_K = response.free_K[0] + response.per_W[0] * unit_W;
  const auto act = [&](double T_set_K, double limit_W, int place) {
    const double per_W =
        place < 0 ? response.per_W[0] : stepper_.face_per_W(static_cast<std::size_t>(place));
    double W = (T_set_K - T_K) / per_W;
    if (limit_W > 0) W = std::clamp(W, -limit_W, limit_W);
    if (place < 0)
      ideal_air_W_ = W;
    else
      stepper_.heat_face(static_cast<std::size_t>(place), W);
    return W;
  };
  ideal_air_W_ = 0;
  if (ideal.heat_to_K && T_K < ideal.heat_to_K->at(s.second_of_day))
    s.ideal_heating_W = act(ideal.heat_to_K->at(s.second_of_day), ideal.heat_limit_W, heat_place_);
  else if (ideal.cool_to_K && T_K > ideal.cool_to_K->at(s.second_of_day))
    s.ideal_cooling_W = -act(ideal.cool_to_K->at(s.second_of_day), ideal.cool_limit_W, cool_place_);
}

/// What a failure does to a step before it begins.
void Runner::fail(Step& s) {
  if (s.t_s < options_.failing->at_s + 0.5 * dt_s_ || failed(Failure::shade_lost, s))
    supply_.refill();
  s.unit_scheduled =
      !failed(Failure::unit_fault, s) && !failed(Failure::battery_empty, s) && !gave_out_;
}

Step Runner::step(double t_s) {
  const double middle_s = t_s + 0.5 * dt_s_;
  const double second_of_day =
      middle_s - core::kSecondsInDay * std::floor(middle_s / core::kSecondsInDay);
  Step s;
  s.t_s = t_s + dt_s_;
  s.dt_s = dt_s_;
  s.second_of_day = second_of_day;
  s.unit_scheduled =
      options_.unit_enabled && (in_window_ || scenario_.unit_on.active(second_of_day));
  if (options_.failing) fail(s);
  const bool powered = supply_.bank().connected() && !failed(Failure::battery_empty, s);
  around_.set(middle_s, second_of_day,
              {.T_air_K = stepper_.T_air_K()[0],
               .powered = powered,
               .power_heat_W = granted_.heat_to_cabin_W,
               .stirring_m3_s = fan_running_1_ * machine_.fan_flow_m3_s(second_of_day)},
              drive_);
  const Outdoors& out = around_.out();
  set_power(middle_s, second_of_day);
  const bool booked = book_.begin(t_s, stepper_);
  if (failed(Failure::battery_empty, s)) ask_ = {};
  network::Response<1> response = stepper_.prepare(drive_);
  const WetFaces wet = wet_faces(cabin_, stepper_, vapour_.value(), out.p_Pa, response);
  unit::Delivered given = cool(response, out, s);
  const double asked_W = given.electric_W;
  power(given, s);
  if (failed(Failure::supply_lost, s) && s.unit_scheduled)
    gave_out_ = gave_out(scenario_, supply_, granted_, unit_state_, given, asked_W);
  const double unit_W = given.fan_heat_W - given.sensible_W;
  hold_ideally(response, unit_W, s);
  stepper_.finish(drive_, network::Lane<1>::Constant(unit_W + ideal_air_W_));
  account_heat();
  const double through_kg_s = around_.exchange_kg_s() + wet.flow_kg_s;
  vapour_.step(
      around_.air_kg() * cabin_.moisture_capacity_factor_1, through_kg_s,
      through_kg_s > 0 ? (around_.exchange_kg_s() * out.W_1 + wet.water_kg_s) / through_kg_s : 0.0,
      around_.gains().moisture_kg_s - given.moisture_kg_s, dt_s_);
  co2_.step(around_.air_kg(), around_.exchange_kg_s(), co2_mass_1(kOutdoorCo2_ppm),
            around_.gains().co2_kg_s, dt_s_);
  fan_running_1_ = given.fan_on_1;
  s.T_air_K = stepper_.T_air_K()[0];
  s.T_bed_K = s.T_air_K + scenario_.air.bed_offset_K;
  s.T_operative_K = air::operative_temperature_K(s.T_bed_K, stepper_.T_star_K(),
                                                 scenario_.air.speed_at_bed_m_s);
  s.p_Pa = out.p_Pa;
  s.T_out_K = out.T_K;
  if (roof_ >= 0) {
    const auto roof = static_cast<std::size_t>(roof_);
    s.T_roof_surface_K = stepper_.T_outer_K(roof);
    s.T_roof_cavity_K = 0.5 * (s.T_roof_surface_K + stepper_.T_inner_K(roof));
  }
  s.exchange_kg_s = around_.exchange_kg_s();
  s.W_air_1 = vapour_.value();
  s.co2_ppm = co2_ppm(co2_.value());
  s.unit_electric_W = given.electric_W;
  s.sensible_W = given.sensible_W;
  s.latent_W = given.latent_W;
  s.condensate_kg_s = given.moisture_kg_s;
  s.compressor_on_1 = given.compressor_on_1;
  if (booked) book_.end(s, stepper_, around_, granted_, {given.fan_heat_W, ideal_air_W_});
  return s;
}

void Runner::account_heat() {
  const network::Flows<1>& f = stepper_.flows();
  for (const auto* flow : {&f.envelope_W, &f.windows_W, &f.sun_inside_W, &f.exchange_W, &f.gains_W,
                           &f.unit_W, &f.placed_W}) {
    heat_in_J_ += (*flow)[0] * dt_s_;
    heat_throughput_J_ += std::abs((*flow)[0]) * dt_s_;
  }
}

void Runner::close_balance(Trace& trace) const {
  const double change_J = stepper_.stored_J() - stored_at_start_J_;
  Balance& b = trace.balance;
  b.throughput_J = heat_throughput_J_;
  // Where hardly anything flows (a shaded cabin at outdoor temperature) rounding is set beside what
  // one kelvin of the whole cabin is worth instead.
  const double one_kelvin_J = stored_at_start_J_ / stepper_.T_air_K()[0];
  b.heat_residual_relative =
      std::abs(change_J - heat_in_J_) / std::max(heat_throughput_J_, one_kelvin_J);
  b.moisture_residual_relative = vapour_.residual_relative();
  b.co2_residual_relative = co2_.residual_relative();
  b.battery_residual_relative = supply_.residual_relative();
  if (!(b.worst() <= kLargestResidual_1))
    throw core::NumericalError("the balance of the run does not close: relative residual " +
                               std::to_string(b.worst()) + ", allowed 1e-6");
}

void Runner::start(double start_s) {
  const Outdoors out = around_.outdoors_at(start_s);
  stepper_.start_at(network::Lane<1>::Constant(scenario_.start.T_K.value_or(out.T_K)));
  vapour_.start_at(out.W_1);
  co2_.start_at(co2_mass_1(kOutdoorCo2_ppm));
  stored_at_start_J_ = stepper_.stored_J();
}

/// What the run's own figures take from a step.
void Runner::note(const Step& s, Trace& trace) const {
  const double hours = dt_s_ / core::kSecondsInHour;
  trace.electric_total_Wh += s.unit_electric_W * hours;
  trace.unit_on_h += s.compressor_on_1 * hours;
  if (s.beyond_map) trace.beyond_map_h += s.compressor_on_1 * hours;
  if (s.compressor_on_1 > 0)
    trace.condenser_air_max_K = std::max(trace.condenser_air_max_K, s.condenser_air_K);
  if (granted_.charge_limit == power::BankLimit::cold_charge) {
    trace.cold_charge_h += hours;
    if (s.battery_K < core::kZeroCelsius_K) trace.frozen_charge_h += hours;
  }
  for (const power::Event& e : granted_.events) {
    const double after_s = e.second_of_day - power_around_.second_of_day;
    trace.events.push_back(
        {e.kind, s.t_s - dt_s_ + (after_s < 0 ? after_s + core::kSecondsInDay : after_s)});
  }
}

Trace Runner::finish(Trace trace, long steps) const {
  trace.unit_enabled = options_.unit_enabled;
  trace.step_s = dt_s_;
  trace.steps = static_cast<std::size_t>(steps);
  trace.flows = book_.accounts();
  if (!std::isfinite(stepper_.T_air_K()[0]))
    throw core::NumericalError("the cabin temperature is not finite at the end of the run");
  close_balance(trace);
  return trace;
}

Trace Runner::run_nights() {
  const Nights nights = nights_of(scenario_.night, forcing_.hours, forcing_.first_day);
  const double cut_s = NightObserver::account_cut_s(scenario_.night);
  const double observe_s = nights.first * core::kSecondsInDay;
  const double judge_s = observe_s + cut_s;
  const double start_s = observe_s - scenario_.start.warm_up_days * core::kSecondsInDay;
  const double end_s = judge_s + nights.count * core::kSecondsInDay;
  start(start_s);
  Trace trace;
  HourlyObserver hourly(trace.hourly, observe_s);
  HottestObserver hottest(trace.hottest);
  NightObserver night(trace.nights, scenario_.night, forcing_.first_day);
  const long steps = std::lround((end_s - start_s) / dt_s_);
  const long report_every = std::max(1L, steps / 20);
  for (long i = 0; i < steps; ++i) {
    const double t_s = start_s + static_cast<double>(i) * dt_s_;
    const Step s = step(t_s);
    if (options_.progress && i % report_every == 0)
      options_.progress(static_cast<double>(i) / static_cast<double>(steps));
    if (t_s < observe_s - 0.5 * dt_s_) continue;
    hourly.step(s);
    hottest.step(s);
    note(s, trace);
    if (options_.failing && s.t_s > options_.failing->at_s - 0.5 * dt_s_ &&
        s.t_s < options_.failing->at_s + options_.failing->keep_s + 0.5 * dt_s_)
      trace.window.steps.push_back(s);
    if (t_s < judge_s - 0.5 * dt_s_) continue;
    night.step(s);
    if (options_.step_trace_night) {
      const double from_s = *options_.step_trace_night * core::kSecondsInDay + cut_s;
      if (s.t_s > from_s && s.t_s <= from_s + core::kSecondsInDay) trace.window.steps.push_back(s);
    }
  }
  return finish(std::move(trace), steps);
}

Trace Runner::run_window(const Window& w) {
  const long before = std::lround(scenario_.start.warm_up_days * core::kSecondsInDay / dt_s_);
  const long most = before + std::lround(w.hours * core::kSecondsInHour / dt_s_);
  const double start_s = w.from_s - static_cast<double>(before) * dt_s_;
  start(start_s);
  Trace trace;
  long i = 0;
  for (; i < before; ++i) (void)step(start_s + static_cast<double>(i) * dt_s_);
  supply_.charge_to(w.charge_1);
  in_window_ = true;
  while (i < most && std::isnan(trace.cut_s)) {
    const Step s = step(start_s + static_cast<double>(i++) * dt_s_);
    note(s, trace);
    trace.window.steps.push_back(s);
    // Cut off, or too little left for the unit to start on.
    if (!supply_.bank().connected() || s.limit == Limit::battery) trace.cut_s = s.t_s;
    for (const SupplyEvent& e : trace.events)
      if (e.kind == power::EventKind::empty || e.kind == power::EventKind::low_voltage)
        trace.cut_s = e.t_s;
  }
  return finish(std::move(trace), i);
}

Trace Runner::run() {
  return options_.window ? run_window(*options_.window) : run_nights();
}

}  // namespace

double Balance::worst() const {
  return std::max({heat_residual_relative, moisture_residual_relative, co2_residual_relative,
                   battery_residual_relative});
}

Nights nights_of(const scenario::Night& night, std::size_t hours, int first_day) {
  const int days = static_cast<int>(hours / 24);
  const auto offset = [&](core::Date date) {
    return (core::day_index(date) - first_day + core::kDaysInYear) % core::kDaysInYear;
  };
  const int first = night.from ? offset(*night.from) : 0;
  if (days < core::kDaysInYear) {
    const int last = night.to ? offset(*night.to) : days - 1;
    if (first >= days || last >= days || last < first)
      throw core::RangeError(
          "the period names an evening that the weather does not have: it holds " +
          core::long_text(core::date_of(first_day)) + " to " +
          core::long_text(core::date_of(first_day + days - 1)));
    return {first, last - first + 1};
  }
  const int last = night.to ? offset(*night.to) : days - 1;
  const int count = (last - first + days) % days + 1;
  return {first, count};
}

Trace run(const network::Cabin& cabin, const forcing::Forcing& forcing,
          const scenario::Scenario& scenario, const Options& options) {
  const double dt_s = scenario.step_s;
  const double per_slot = forcing::kSlot_s / dt_s;
  if (!(dt_s > 0) || dt_s > kLongestStep_s || std::abs(per_slot - std::round(per_slot)) > 1e-9)
    throw core::RangeError("the step must divide 600 s and be at most 120 s");
  if (options.window && !(options.window->hours > 0 && std::isfinite(options.window->from_s)))
    throw core::RangeError("a window needs a start and hours above 0");
  return Runner(cabin, forcing, scenario, options).run();
}

}  // namespace cabinload::simulation
