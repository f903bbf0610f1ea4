// SPDX-License-Identifier: Apache-2.0
#include "cabin_air.hpp"

#include <algorithm>
#include <array>
#include <cabinload/air/comfort.hpp>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/network/stepper.hpp>
#include <cabinload/simulation/observers.hpp>
#include <cabinload/simulation/run.hpp>
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

/// The world around the cabin in the middle of a step.
struct Outdoors {
  double T_K, W_1, p_Pa, wind_m_s, T_sky_K, T_ground_K, T_under_K;
  double air_speed_m_s = wind_m_s;  ///< past the vehicle: wind, and the speed while driving
};

/// Film by which faces that are colder than the dew point take water from the air; engineering
/// judgement, the inside films of a cabin lie between 2 and 4.
constexpr double kFilmOfWetFaces_W_m2K = 3.0;

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
        machine_(scenario.unit, scenario.unit_settings),
        battery_(scenario.battery) {
    sun_inner_W_.assign(cabin.chains.size(), 0.0);
    heat_place_ = place_of(scenario.ideal.heat_place);
    cool_place_ = place_of(scenario.ideal.cool_place);
    for (const occupants::Appliance& a : scenario.appliances)
      if (!a.on_battery) off_battery_.push_back(a);
  }

  Trace run();

 private:
  [[nodiscard]] Outdoors outdoors_at(double t_s) const;
  [[nodiscard]] int place_of(const std::string& name) const;
  void set_slot(long slot, double second_of_day);
  void set_surfaces(std::size_t slot, double second_of_day);
  double set_windows(std::size_t slot, double second_of_day);
  void set_surroundings(const Outdoors& out, double second_of_day);
  void set_air(const Outdoors& out, double second_of_day);
  void stir(double flow_m3_s);
  double vent_fan_m3_s(const Outdoors& out, double second_of_day);
  Step step(double t_s);
  unit::Delivered cool(const network::Response<1>& response, const Outdoors& out, Step& step);
  void hold_ideally(const network::Response<1>& response, double unit_W, Step& step);
  void condense(network::Response<1>& response, const Outdoors& out);
  void account_heat();
  void close_balance(Trace& trace) const;

  const network::Cabin& cabin_;
  const forcing::Forcing& forcing_;
  const scenario::Scenario& scenario_;
  const Options& options_;
  double dt_s_;
  network::Stepper<1> stepper_;
  network::Drive<1> drive_;
  unit::Machine machine_;
  power::Battery battery_;
  std::vector<occupants::Appliance> off_battery_;  // those that still run when it is empty
  MixedAir vapour_, co2_;
  double stirred_m3_s_ = -1;               // flow for which drive_.mixing_W_m2K stands
  std::vector<double> sun_inner_W_;        // per chain, of the current slot
  double sun_to_air_W_ = 0;                // absorbed by inside covers, or stated to go to the air
  int heat_place_ = -1, cool_place_ = -1;  // chain at which ideal heat acts; -1: the air
  double vent_fan_W_ = 0, ideal_air_W_ = 0;
  long slot_ = -1'000'000'000;
  bool fan_running_ = false;
  double exchange_kg_s_ = 0, air_kg_ = 0;     // dry air
  double wet_kg_s_ = 0, wet_water_kg_s_ = 0;  // to wet faces: flow of air, and the water it keeps
  occupants::Gains gains_;
  double heat_in_J_ = 0, heat_throughput_J_ = 0, stored_at_start_J_ = 0;
};

int Runner::place_of(const std::string& name) const {
  if (name == "air") return -1;
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c)
    if (cabin_.chains[c].name == name) return static_cast<int>(c);
  throw core::RangeError("no surface is named '" + name + "', where ideal heat should act");
}

Outdoors Runner::outdoors_at(double t_s) const {
  const double hours = t_s / core::kSecondsInHour;
  const double whole = std::floor(hours);
  const double f = forcing_.held ? 0.0 : hours - whole;
  const long n = static_cast<long>(forcing_.hours);
  const long k = ((static_cast<long>(whole) % n) + n) % n;
  const auto a = static_cast<std::size_t>(k), b = static_cast<std::size_t>((k + 1) % n);
  const auto at = [&](const std::vector<double>& v) { return v[a] + f * (v[b] - v[a]); };
  return {at(forcing_.T_out_K),  at(forcing_.W_out_1), at(forcing_.p_Pa),
          at(forcing_.wind_m_s), at(forcing_.T_sky_K), at(forcing_.T_ground_K),
          at(forcing_.T_under_K)};
}

/// What changes every 10 min only: sun, covers, stated temperatures.
void Runner::set_slot(long slot, double second_of_day) {
  if (slot == slot_) return;
  slot_ = slot;
  const long n = static_cast<long>(forcing_.hours) * forcing::kSlotsPerHour;
  const auto s = static_cast<std::size_t>(((slot % n) + n) % n);
  sun_to_air_W_ = 0;
  const double entered_W = set_windows(s, second_of_day);
  sun_to_air_W_ += cabin_.solar_air_1 * entered_W;
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c)
    if (cabin_.chains[c].window < 0) sun_inner_W_[c] = cabin_.chains[c].solar_share_1 * entered_W;
  set_surfaces(s, second_of_day);
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c) drive_.at[c].inner_W = sun_inner_W_[c];
}

/// @return sun that entered through all windows [W]
double Runner::set_windows(std::size_t s, double second_of_day) {
  double entered_W = 0;
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c) {
    const network::Chain& chain = cabin_.chains[c];
    if (chain.window < 0) continue;
    const auto& sun = forcing_.windows[static_cast<std::size_t>(chain.window)];
    const auto in_place = [&](const vehicle::Cover& cover) {
      return cover.side != vehicle::CoverSide::none && cover.hours.active(second_of_day);
    };
    network::AtChain<1>& at = drive_.at[c];
    at.outer_W = sun.absorbed_outer_W_m2[s] * chain.area_m2;
    sun_inner_W_[c] = sun.absorbed_inner_W_m2[s] * chain.area_m2;
    at.outside_cover_W = sun.outside_cover_W_m2[s] * chain.area_m2;
    at.inside_cover_m2K_W =
        in_place(chain.inside_cover) ? chain.inside_cover.resistance_m2K_W : 0.0;
    at.outside_cover_m2K_W =
        in_place(chain.outside_cover) ? chain.outside_cover.resistance_m2K_W : 0.0;
    entered_W += sun.transmitted_W_m2[s] * chain.area_m2;
    sun_to_air_W_ += sun.inside_cover_W_m2[s] * chain.area_m2;
  }
  return entered_W;
}

void Runner::set_surfaces(std::size_t s, double second_of_day) {
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c) {
    const network::Chain& chain = cabin_.chains[c];
    if (chain.surface < 0) continue;
    const auto& sun = forcing_.surfaces[static_cast<std::size_t>(chain.surface)];
    network::AtChain<1>& at = drive_.at[c];
    at.outer_W = chain.absorptance_1 * sun.incident_W_m2[s] * chain.area_m2;
    if (!sun.inside_W_m2.empty()) sun_inner_W_[c] += sun.inside_W_m2[s] * chain.area_m2;
    if (chain.outside == vehicle::Outside::fixed) at.T_fixed_K = chain.T_fixed_K.at(second_of_day);
  }
}

/// Flow of the vent fan, and its power in vent_fan_W_.
double Runner::vent_fan_m3_s(const Outdoors& out, double second_of_day) {
  const scenario::VentFan& fan = scenario_.air.fan;
  vent_fan_W_ = 0;
  if (fan.flow_m3_s <= 0 || !fan.hours.active(second_of_day)) return 0;
  if (fan.power_W > 0 && !battery_.connected()) return 0;
  const double T_air_K = stepper_.T_air_K()[0];
  const bool helps = T_air_K > fan.T_wanted_K && out.T_K < T_air_K - fan.dT_start_K;
  if (fan.only_when_it_helps && !helps) return 0;
  vent_fan_W_ = fan.power_W;
  return fan.flow_m3_s;
}

/// Air moved by fans, vents and openings stirs the films inside; what seeps through cracks does
/// not.
void Runner::stir(double flow_m3_s) {
  if (flow_m3_s == stirred_m3_s_) return;
  stirred_m3_s_ = flow_m3_s;
  drive_.mixing_W_m2K =
      network::mixing_film_W_m2K(flow_m3_s * core::kSecondsInHour / cabin_.volume_m3);
}

/// Outdoor air that comes in: cracks, openings, vents, fan.
void Runner::set_air(const Outdoors& out, double second_of_day) {
  const double dT_K = stepper_.T_air_K()[0] - out.T_K;
  double flow_m3_s = vent_fan_m3_s(out, second_of_day);
  for (const scenario::Opening& o : scenario_.air.openings)
    if (o.open.active(second_of_day))
      flow_m3_s += network::opening_m3_s(o.area_m2, o.height_m, dT_K, out.air_speed_m_s);
  const double dry_kg_m3 = air::density_kg_m3(out.T_K, out.W_1, out.p_Pa) / (1.0 + out.W_1);
  if (scenario_.air.fresh_air_hours.active(second_of_day))
    flow_m3_s += scenario_.air.fresh_air_m3_s.at(second_of_day) *
                 scenario_.air.fresh_air_density_kg_m3.value_or(dry_kg_m3) / dry_kg_m3;
  stir(flow_m3_s + (fan_running_ ? scenario_.unit.air_flow_m3_s : 0.0));
  flow_m3_s += network::leakage_m3_s(cabin_.leakage_area_m2, dT_K, out.air_speed_m_s);
  exchange_kg_s_ = flow_m3_s * dry_kg_m3;
  air_kg_ = cabin_.volume_m3 * dry_kg_m3;
  drive_.exchange_W_K = exchange_kg_s_ * air::specific_heat_J_kgK(out.W_1);
}

void Runner::set_surroundings(const Outdoors& out, double second_of_day) {
  const auto& appliances = battery_.connected() ? scenario_.appliances : off_battery_;
  gains_ = occupants::gains(scenario_.people, scenario_.pets, appliances, second_of_day,
                            stepper_.T_air_K()[0]);
  set_air(out, second_of_day);
  drive_.T_out_K = out.T_K;
  drive_.T_sky_K = out.T_sky_K;
  drive_.T_ground_K = out.T_ground_K;
  drive_.T_under_K = out.T_under_K;
  const bool driving = scenario_.site.driving_hours.active(second_of_day);
  const network::OutsideFilm film =
      driving ? network::driving_film(scenario_.site.driving_speed_m_s, out.wind_m_s,
                                      scenario_.vehicle.length_m)
              : network::parked_film(out.wind_m_s);
  drive_.film_still_W_m2K = film.still_W_m2K;
  drive_.film_wind_W_m2K = film.wind_W_m2K;
  drive_.air_W = gains_.convective_W + sun_to_air_W_;
  drive_.radiant_W = cabin_.radiant_shares ? 0.0 : gains_.radiant_W;
  if (!cabin_.radiant_shares) return;
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c)
    drive_.at[c].inner_W = sun_inner_W_[c] + cabin_.chains[c].radiant_share_1 * gains_.radiant_W;
}

/// The unit's part of a step: what would hold the set point, what it gives, what the battery
/// allows.
unit::Delivered Runner::cool(const network::Response<1>& response, const Outdoors& out, Step& s) {
  if (!s.unit_scheduled) {
    s.limit = Limit::schedule;
    return {};
  }
  if (!battery_.connected()) {
    s.limit = Limit::battery;
    return {};
  }
  const double T_set_K = scenario_.unit_settings.T_set_K - scenario_.air.return_offset_K;
  const double net_W = (response.free_K[0] - T_set_K) / response.per_W[0];
  const double demand_W = net_W + machine_.fan_heat_W();
  const double return_K = stepper_.T_air_K()[0] + scenario_.air.return_offset_K;
  unit::Offer offer;  // nothing is asked of the coil when the cabin is cool enough
  if (demand_W > 0)
    offer = machine_.offer({return_K, vapour_.value(), out.p_Pa,
                            out.T_K + scenario_.unit_settings.condenser_air_rise_K});
  unit::Delivered given = machine_.deliver(offer, demand_W);
  const double granted_W = battery_.draw(given.electric_W, dt_s_);
  if (granted_W < given.electric_W * (1.0 - 1e-12)) {
    // The battery gave out within the step: the unit ran for that share of it.
    const double share = given.electric_W > 0 ? granted_W / given.electric_W : 0.0;
    for (double* x : {&given.sensible_W, &given.latent_W, &given.moisture_kg_s, &given.fan_heat_W,
                      &given.compressor_on_1})
      *x *= share;
    given.electric_W = granted_W;
    s.limit = Limit::battery;
  } else if (offer.cut_out) {
    s.limit = Limit::cut_out;
  } else if (given.load_ratio_1 >= 1.0 - 1e-9) {
    s.limit = Limit::capacity;
  }
  return given;
}

/// Faces below the dew point take water from the air and are warmed by it: g = h / cp (W - Ws)
/// (Lewis relation, [ASHRAE-F2017] ch. 6). What has condensed runs down and is wiped off: it does
/// not come back.
void Runner::condense(network::Response<1>& response, const Outdoors& out) {
  wet_kg_s_ = wet_water_kg_s_ = 0;
  double coldest_K = stepper_.T_air_K()[0];
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c)
    coldest_K = std::min(coldest_K, stepper_.T_inner_K(c)[0]);
  if (vapour_.value() <= air::saturation_humidity_ratio_1(coldest_K, out.p_Pa)) return;
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c) {
    const double face_K = stepper_.T_inner_K(c)[0];
    const double dW = vapour_.value() - air::saturation_humidity_ratio_1(face_K, out.p_Pa);
    if (dW <= 0) continue;
    const double flow_kg_s = cabin_.chains[c].area_m2 * kFilmOfWetFaces_W_m2K /
                             air::specific_heat_J_kgK(vapour_.value());
    const double heat_W = flow_kg_s * dW * core::kVaporizationHeat_J_kg;
    wet_kg_s_ += flow_kg_s;
    wet_water_kg_s_ += flow_kg_s * (vapour_.value() - dW);
    response.free_K += stepper_.face_per_W(c) * heat_W;
    stepper_.heat_face(c, network::Lane<1>::Constant(heat_W));
  }
}

/// Ideal heating or cooling: exactly what brings the air to its set point by the end of the step.
void Runner::hold_ideally(const network::Response<1>& response, double unit_W, Step& s) {
  const scenario::Ideal& ideal = scenario_.ideal;
  const double T_K = response.free_K[0] + response.per_W[0] * unit_W;
  const auto act = [&](double T_set_K, double limit_W, int place) {
    const double per_W =
        place < 0 ? response.per_W[0] : stepper_.face_per_W(static_cast<std::size_t>(place))[0];
    double W = (T_set_K - T_K) / per_W;
    if (limit_W > 0) W = std::clamp(W, -limit_W, limit_W);
    if (place < 0)
      ideal_air_W_ = W;
    else
      stepper_.heat_face(static_cast<std::size_t>(place), network::Lane<1>::Constant(W));
    return W;
  };
  ideal_air_W_ = 0;
  if (ideal.heat_to_K && T_K < ideal.heat_to_K->at(s.second_of_day))
    s.ideal_heating_W = act(ideal.heat_to_K->at(s.second_of_day), ideal.heat_limit_W, heat_place_);
  else if (ideal.cool_to_K && T_K > ideal.cool_to_K->at(s.second_of_day))
    s.ideal_cooling_W = -act(ideal.cool_to_K->at(s.second_of_day), ideal.cool_limit_W, cool_place_);
}

Step Runner::step(double t_s) {
  const double middle_s = t_s + 0.5 * dt_s_;
  const double second_of_day =
      middle_s - core::kSecondsInDay * std::floor(middle_s / core::kSecondsInDay);
  Step s;
  s.t_s = t_s + dt_s_;
  s.dt_s = dt_s_;
  s.second_of_day = second_of_day;
  battery_.tick(second_of_day - 0.5 * dt_s_, dt_s_);
  Outdoors out = outdoors_at(middle_s);
  if (scenario_.site.driving_hours.active(second_of_day)) {
    out.air_speed_m_s = std::hypot(out.wind_m_s, scenario_.site.driving_speed_m_s);
    out.T_under_K = out.T_ground_K;  // the road ahead lay in the sun
  }
  set_slot(std::lround(std::floor(middle_s / forcing::kSlot_s)), second_of_day);
  set_surroundings(out, second_of_day);
  s.other_W = battery_.draw(
      occupants::battery_load_W(scenario_.appliances, second_of_day) + vent_fan_W_, dt_s_);
  s.unit_scheduled = options_.unit_enabled && scenario_.unit_on.active(second_of_day);
  network::Response<1> response = stepper_.prepare(drive_);
  condense(response, out);
  const unit::Delivered given = cool(response, out, s);
  const double unit_W = given.fan_heat_W - given.sensible_W;
  hold_ideally(response, unit_W, s);
  stepper_.finish(drive_, network::Lane<1>::Constant(unit_W + ideal_air_W_));
  account_heat();
  const double through_kg_s = exchange_kg_s_ + wet_kg_s_;
  vapour_.step(air_kg_ * cabin_.moisture_capacity_factor_1, through_kg_s,
               through_kg_s > 0 ? (exchange_kg_s_ * out.W_1 + wet_water_kg_s_) / through_kg_s : 0.0,
               gains_.moisture_kg_s - given.moisture_kg_s, dt_s_);
  co2_.step(air_kg_, exchange_kg_s_, co2_mass_1(kOutdoorCo2_ppm), gains_.co2_kg_s, dt_s_);
  fan_running_ = given.fan_heat_W > 0;
  s.T_air_K = stepper_.T_air_K()[0];
  s.T_bed_K = s.T_air_K + scenario_.air.bed_offset_K;
  s.T_operative_K = air::operative_temperature_K(s.T_bed_K, stepper_.T_star_K()[0],
                                                 scenario_.air.speed_at_bed_m_s);
  s.p_Pa = out.p_Pa;
  s.T_out_K = out.T_K;
  s.exchange_kg_s = exchange_kg_s_;
  s.W_air_1 = vapour_.value();
  s.co2_ppm = co2_ppm(co2_.value());
  s.unit_electric_W = given.electric_W;
  s.sensible_W = given.sensible_W;
  s.latent_W = given.latent_W;
  s.condensate_kg_s = given.moisture_kg_s;
  s.compressor_on_1 = given.compressor_on_1;
  s.state_of_charge_1 = battery_.state_of_charge_1();
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
  const double change_J = stepper_.stored_J()[0] - stored_at_start_J_;
  Balance& b = trace.balance;
  b.throughput_J = heat_throughput_J_;
  // Where hardly anything flows (a shaded cabin at outdoor temperature) rounding is set beside what
  // one kelvin of the whole cabin is worth instead.
  const double one_kelvin_J = stored_at_start_J_ / stepper_.T_air_K()[0];
  b.heat_residual_relative =
      std::abs(change_J - heat_in_J_) / std::max(heat_throughput_J_, one_kelvin_J);
  b.moisture_residual_relative = vapour_.residual_relative();
  b.co2_residual_relative = co2_.residual_relative();
  b.battery_residual_relative = battery_.residual_relative();
  if (!(b.worst() <= kLargestResidual_1))
    throw core::NumericalError("the balance of the run does not close: relative residual " +
                               std::to_string(b.worst()) + ", allowed 1e-6");
}

Trace Runner::run() {
  const Nights nights = nights_of(scenario_.night, forcing_.hours, forcing_.first_day);
  const double cut_s = NightObserver::account_cut_s(scenario_.night);
  const double observe_s = nights.first * core::kSecondsInDay;
  const double judge_s = observe_s + cut_s;
  const double start_s = observe_s - scenario_.start.warm_up_days * core::kSecondsInDay;
  const double end_s = judge_s + nights.count * core::kSecondsInDay;
  const Outdoors out = outdoors_at(start_s);
  stepper_.start_at(network::Lane<1>::Constant(scenario_.start.T_K.value_or(out.T_K)));
  vapour_.start_at(out.W_1);
  co2_.start_at(co2_mass_1(kOutdoorCo2_ppm));
  stored_at_start_J_ = stepper_.stored_J()[0];

  Trace trace;
  trace.unit_enabled = options_.unit_enabled;
  trace.step_s = dt_s_;
  HourlyObserver hourly(trace.hourly, observe_s);
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
    trace.electric_total_Wh += s.unit_electric_W * dt_s_ / core::kSecondsInHour;
    if (t_s < judge_s - 0.5 * dt_s_) continue;
    night.step(s);
    if (options_.step_trace_night) {
      const double from_s = *options_.step_trace_night * core::kSecondsInDay + cut_s;
      if (s.t_s > from_s && s.t_s <= from_s + core::kSecondsInDay) trace.window.steps.push_back(s);
    }
  }
  trace.steps = static_cast<std::size_t>(steps);
  if (!std::isfinite(stepper_.T_air_K()[0]))
    throw core::NumericalError("the cabin temperature is not finite at the end of the run");
  close_balance(trace);
  return trace;
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
  return Runner(cabin, forcing, scenario, options).run();
}

}  // namespace cabinload::simulation
