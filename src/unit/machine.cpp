// SPDX-License-Identifier: Apache-2.0
#include "fixed_point.hpp"
#include "rating.hpp"

#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/unit/machine.hpp>
#include <cmath>

namespace cabinload::unit {
namespace {

/// The roof's warm layer at the condenser: heat that the roof gives to the air along 1.5 m before
/// the unit, mixed into 0.15 m of height that moves with half the wind (that of a layer near a
/// wall) and what the condenser fan draws through the front of that height, 0.6 m on each of four
/// sides. Engineering judgement; the balance is exact. Never counted when it cools.
constexpr double kRoofBefore_m = 1.5, kLayer_m = 0.15, kIntakeFront_m = 2.4;
/// Rise of the condenser's air at the rating point, its flow not given. Engineering judgement.
constexpr double kCondenserRise_K = 10;
/// The cyclic test of AHRI 210/240: 6 min on, 24 min off.
constexpr double kTestOn_s = 360, kTestShare_1 = 0.2;

/// Most rounds in which on time, water and fan heat of a cycling step find each other, and how
/// closely, in shares of the step. Engineering judgement.
constexpr int kRounds = 20;
constexpr double kFound_1 = 1e-6;

/// Thermostat of the cycle-resolved mode: full speed 1 K above, reset time. Engineering judgement.
constexpr double kProportional_1_K = 1, kReset_s = 400;
/// After each cycle of less than half an hour it shifts its band against the mean of that cycle, by
/// at most 2 K, and 5 K in all: the shortest run and rest of a strong unit in a small cabin go far
/// beyond the differential. Engineering judgement.
constexpr double kShiftStep_K = 2, kMostShift_K = 5, kCycling_s = 1800;

/// Of air, per volume [J/(m3 K)]; vapour in it changes that by less than 1 %.
double air_heat_J_m3K(double T_K, double p_Pa) {
  return air::density_kg_m3(T_K, 0, p_Pa) * core::kSpecificHeatDryAir_J_kgK;
}

double relative(double part, double whole) {
  return whole > 0 ? part / whole : 0.0;
}

/// Mean of 1 - exp(-t/tau) over t_on.
double built_up_1(double t_on_s, double tau_s) {
  if (tau_s <= 0) return 1;
  if (t_on_s < 1e-3 * tau_s) return 0.5 * t_on_s / tau_s;
  return 1 + tau_s / t_on_s * (std::exp(-t_on_s / tau_s) - 1);
}

/// Time for the thermostat's swing. The longer it takes, the more of the walls swings too: the heat
/// capacity grows with the third root of the time over a minute; engineering judgement, set beside
/// real cycles in tests/simulation.
double swing_s(double swing_J, double net_W) {
  constexpr double kMinute_s = 60, kLongest_s = 6 * 3600;
  const double s = swing_J / net_W;
  return std::min(s < kMinute_s ? s : s * std::sqrt(s / kMinute_s), kLongest_s);
}

/// tau with which the cyclic test loses C_D (1 - CLF).
double start_from_degradation_s(double C_D) {
  double low = 0, high = 10 * kTestOn_s;
  for (int i = 0; i < 60; ++i) {
    const double tau = 0.5 * (low + high), PLF = built_up_1(kTestOn_s, tau);
    // CLF = on share x PLF; PLF = 1 - C_D (1 - CLF)
    (PLF > 1 - C_D * (1 - kTestShare_1 * PLF) ? low : high) = tau;
  }
  return C_D > 0 ? low : 0.0;
}

CoilHeat times(const CoilHeat& h, double share) {
  return {h.sensible_W * share, h.latent_W * share, h.moisture_kg_s * share};
}

/// Between the slow, middle and fast way of an offer at u in 0..2: parabola.
Running between(const Offer& o, double u) {
  const double a = 0.5 * (u - 1) * (u - 2), b = u * (2 - u), c = 0.5 * u * (u - 1);
  const auto mix = [&](double x, double y, double z) { return a * x + b * y + c * z; };
  // A coil that is dry when slow: the parabola would dip below nothing.
  const auto above = [&](double x, double y, double z) { return std::max(0.0, mix(x, y, z)); };
  return {
      mix(o.slow.speed_1, o.middle.speed_1, o.fast.speed_1),
      {mix(o.slow.heat.sensible_W, o.middle.heat.sensible_W, o.fast.heat.sensible_W),
       above(o.slow.heat.latent_W, o.middle.heat.latent_W, o.fast.heat.latent_W),
       above(o.slow.heat.moisture_kg_s, o.middle.heat.moisture_kg_s, o.fast.heat.moisture_kg_s)},
      mix(o.slow.compressor_W, o.middle.compressor_W, o.fast.compressor_W)};
}

/// u in 0..2 at which a parabola through (0, low), (1, middle), (2, high), rising, has `value`.
double where(double low, double middle, double high, double value) {
  if (value >= high) return 2;
  if (value <= low) return 0;
  const double b = -1.5 * low + 2 * middle - 0.5 * high, a = 0.5 * low - middle + 0.5 * high;
  const double c = low - value;
  const double root = std::sqrt(std::max(0.0, b * b - 4 * a * c));
  return std::clamp(-2 * c / (b + root), 0.0, 2.0);
}

}  // namespace

Machine::Machine(const Description& description, const Settings& settings)
    : description_(description), settings_(settings) {
  const Findings found = examine(description, settings);
  if (!found.problems.empty()) throw core::RangeError(found.problems.front());
  Description& d = description_;
  characteristics_ = unit::characteristics(d);
  generic_ = &generic_factors(d.refrigerant);
  if (d.condenser_restart_K <= 0) d.condenser_restart_K = d.condenser_cut_out_K - 5;
  const Output rated = characteristics_.map.at(d.rated_wet_bulb_K, d.rated_condenser_K, 1);
  bypass_factor_1_ = rated_coil(d, characteristics_.map).bypass_factor_1;
  rated_latent_W_ = rated.total_W * (1 - d.sensible_ratio_1);
  rated_depression_K_ = d.rated_dry_bulb_K - d.rated_wet_bulb_K;
  condenser_flow_m3_s_ = d.condenser_flow_m3_s;
  if (condenser_flow_m3_s_ <= 0)  // units are rated at sea level
    condenser_flow_m3_s_ =
        (rated.total_W + rated.power_W) /
        (air_heat_J_m3K(d.rated_condenser_K, core::kStandardPressure_Pa) * kCondenserRise_K);
  start_s_ = start_from_degradation_s(d.cyclic_degradation_1);
  water_full_kg_ = rated_latent_W_ / core::kVaporizationHeat_J_kg * kTimeToWet_s;
}

double Machine::fan_level_1(double second_of_day) const {
  const bool quiet = settings_.quiet.hours.active(second_of_day);
  return quiet ? std::min(settings_.fan_level_1, settings_.quiet.fan_level_1)
               : settings_.fan_level_1;
}

double Machine::fan_W(double second_of_day) const {
  const double level = fan_level_1(second_of_day);
  return description_.cabin_fan_W * level * level * level;  // fan law
}

double Machine::fan_flow_m3_s(double second_of_day) const {
  return description_.air_flow_m3_s * fan_level_1(second_of_day);
}

double Machine::condenser_rise_K(const Inlet& in, double condenser_heat_W) const {
  if (settings_.condenser_air_rise_K) return *settings_.condenser_air_rise_K;
  const double air_J_m3K = air_heat_J_m3K(in.T_out_K, in.p_Pa);
  const double draught_m_s = condenser_flow_m3_s_ / (kIntakeFront_m * kLayer_m);
  const double layer_K = std::max(0.0, in.roof_W_m2) * kRoofBefore_m /
                         (air_J_m3K * kLayer_m * (0.5 * in.air_speed_m_s + draught_m_s));
  const double r = settings_.recirculation_1;
  const double again_K = r / (1 - r) * condenser_heat_W / (air_J_m3K * condenser_flow_m3_s_);
  return layer_K + again_K;
}

/// @return true when it must stand still
bool Machine::protect(const Inlet& in, State& state, double dt_s, Offer& o) const {
  const Description& d = description_;
  state.locked_s = std::max(0.0, state.locked_s - dt_s);
  const auto trip = [&](bool& locked, bool out, bool back) {
    if (!locked && out) {
      locked = true;
      state.locked_s = d.restart_delay_s;
    } else if (locked && back && state.locked_s <= 0) {
      locked = false;
    }
  };
  trip(state.locked_hot, o.condenser_K > d.condenser_cut_out_K,
       o.condenser_K < d.condenser_restart_K);
  trip(state.locked_volts, in.volts < d.low_volts_stop_1 * d.volts,
       in.volts >= d.low_volts_restart_1 * d.volts);
  o.cut_out = state.locked_hot;
  o.low_volts = state.locked_volts;
  return o.cut_out || o.low_volts;
}

/// The fastest speed allowed now.
double Machine::fastest_1(const Inlet& in, const Map::Line& line, Offer& o) const {
  const Description& d = description_;
  double speed = settings_.speed_cap_1;
  if (settings_.quiet.hours.active(in.second_of_day))
    speed = std::min(speed, settings_.quiet.speed_cap_1);
  if (d.derate_from_K && o.condenser_K > *d.derate_from_K)
    speed = std::min(speed, 1 - (1 - d.minimum_speed_1) * (o.condenser_K - *d.derate_from_K) /
                                    (d.condenser_cut_out_K - *d.derate_from_K));
  if (settings_.power_cap_W > 0) {
    const double allowed_W = settings_.power_cap_W - o.fan_W - d.standby_W;
    const double u = where(line.at[0].power_W, line.at[1].power_W, line.at[2].power_W, allowed_W);
    speed = std::min(speed, line.speed_low_1 + 0.5 * u * (1 - line.speed_low_1));
  }
  o.capped = speed < 1 - 1e-9;
  return std::clamp(speed, d.minimum_speed_1, 1.0);
}

Offer Machine::offer(const Inlet& in, bool asked, State& state, double dt_s,
                     double enough_W) const {
  Offer o;
  const double level_1 = fan_level_1(in.second_of_day);
  o.fan_W = description_.cabin_fan_W * level_1 * level_1 * level_1;
  o.fan_flow_m3_s = description_.air_flow_m3_s * level_1;
  o.vapour_J_kg = core::kVaporizationHeat_J_kg +
                  core::kSpecificHeatVapour_J_kgK * core::to_celsius(in.T_cabin_K);
  o.condenser_K = in.T_out_K + condenser_rise_K(in, state.condenser_heat_W);
  const bool still = protect(in, state, dt_s, o);
  if (!asked && state.coil_water_kg <= 0) return o;
  state.T_wet_K = air::wet_bulb_K(in.T_cabin_K, in.W_cabin_1, in.p_Pa, state.T_wet_K);
  const double wet_bulb_K = state.T_wet_K;
  o.evaporation_1 = std::clamp((in.T_cabin_K - wet_bulb_K) / rated_depression_K_, 0.0, 2.0);
  if (still || !asked) return o;
  o.running = true;
  const Map::Line line = characteristics_.map.line(wet_bulb_K, o.condenser_K);
  const double fastest = fastest_1(in, line, o);
  fill(in, line, level_1, wet_bulb_K, fastest, enough_W, o, state);
  return o;
}

void Machine::fill(const Inlet& in, const Map::Line& line, double level_1, double wet_bulb_K,
                   double fastest, double enough_W, Offer& o, State& state) const {
  const auto parabola = [&](const std::array<double, 2>& c) {
    return 1 + (level_1 - 1) * (c[0] + c[1] * (level_1 - 1));
  };
  const double by_flow_1 = parabola(generic_->capacity_flow);
  const double power_by_flow_1 = parabola(generic_->power_flow);
  const double bypass_1 = bypass_at_flow_1(bypass_factor_1_, level_1);
  const CoilAir air{in.T_cabin_K, in.W_cabin_1, in.p_Pa,
                    o.fan_flow_m3_s * air::density_kg_m3(in.T_cabin_K, in.W_cabin_1, in.p_Pa) /
                        (1 + in.W_cabin_1)};
  o.inside = line.inside;
  const double passed_W_K = air.flow_kg_s * (1 - bypass_1) * air::specific_heat_J_kgK(in.W_cabin_1);
  // A dry coil: the wet bulb no longer counts. The map is read where the coil would just stay dry,
  // that is with the humidity of saturation at the coil's surface; each round is ten times nearer.
  const auto dry = [&](int k, double speed_1, Output& g, double& total_W) {
    constexpr int kMost = 6;
    constexpr double kNear_1 = 3e-5;
    if (std::abs(state.dry_W[k] - total_W) < 0.2 * total_W) total_W = state.dry_W[k];
    for (int i = 0; i < kMost; ++i) {
      const double surface_K = in.T_cabin_K - total_W / passed_W_K;
      const double W = air::saturation_humidity_ratio_1(surface_K, in.p_Pa);
      state.dry_wet_K[k] = air::wet_bulb_K(in.T_cabin_K, W, in.p_Pa, state.dry_wet_K[k]);
      g = characteristics_.map.at(std::max(wet_bulb_K, state.dry_wet_K[k]), o.condenser_K, speed_1);
      const double next_W = g.total_W * by_flow_1;
      const bool done = std::abs(next_W - total_W) < kNear_1 * next_W;
      total_W = next_W;
      if (done) break;
    }
    state.dry_W[k] = total_W;
  };
  const auto at_speed = [&](int k, double speed_1) {
    Output g = line.speed(speed_1);
    CoilHeat heat = coil_heat(air, g.total_W * by_flow_1, bypass_1, state.T_adp_K[k]);
    if (heat.latent_W <= 0) dry(k, speed_1, g, heat.sensible_W);
    return Running{speed_1, heat, g.power_W * power_by_flow_1};
  };
  const double slowest = description_.minimum_speed_1;
  if (fastest <= slowest) {
    o.slow = o.middle = o.fast = at_speed(2, fastest);
    return;
  }
  o.slow = o.middle = o.fast = at_speed(0, slowest);
  o.slow_does = o.slow.heat.sensible_W > enough_W;
  if (o.slow_does) return;
  o.middle = at_speed(1, 0.5 * (slowest + fastest));
  o.fast = at_speed(2, fastest);
}

void Machine::add_fans(const Offer& o, double cycle_s, Delivered& out) const {
  out.fan_on_1 = settings_.fan_always ? 1.0 : out.compressor_on_1;
  if (!settings_.fan_always && out.compressor_on_1 > 0 && out.compressor_on_1 < 1 && cycle_s > 0)
    out.fan_on_1 = std::min(1.0, out.compressor_on_1 + settings_.fan_run_on_s / cycle_s);
  out.fan_heat_W = o.fan_W * out.fan_on_1;
}

/// Water that goes back to the air from a coil that is blown at for a time, falling straight to
/// nothing as the coil dries, as in latent_share_1(): by the root of what is left.
double Machine::dried_kg(const Offer& o, double water_kg, double blown_s) const {
  if (water_kg <= 0 || blown_s <= 0) return 0;
  const double root = std::sqrt(water_kg / water_full_kg_) -
                      0.5 * kFirstEvaporation_1 * o.evaporation_1 * blown_s / kTimeToWet_s;
  return root > 0 ? water_kg - root * root * water_full_kg_ : water_kg;
}

void Machine::idle(const Offer& o, Delivered& out, State& state, double dt_s) const {
  state.condenser_heat_W = 0;
  if (out.fan_on_1 <= 0) return;
  const double kg_s = dried_kg(o, state.coil_water_kg, dt_s) / dt_s;
  state.coil_water_kg = std::max(0.0, state.coil_water_kg - kg_s * dt_s);
  out.moisture_kg_s = -kg_s;
  out.latent_W = -kg_s * o.vapour_J_kg;
  out.sensible_W = -out.latent_W;
}

/// Share of the time that the compressor runs to give a share of what it would give all the time.
double Machine::on_share_1(const Offer& o, const Demand& demand, double load_1, double on_1,
                           double& cycle_s) const {
  const Description& d = description_;
  const double total_W = o.slow.heat.sensible_W + o.slow.heat.latent_W;
  if (d.cycle_law == CycleLaw::standard) {
    // The load ratio of the standards is of heats net of the cabin fan that runs meanwhile.
    const double net_1 =
        std::clamp((load_1 * total_W - on_1 * o.fan_W) / (total_W - o.fan_W), 0.0, 1.0);
    return net_1 / (1 - d.cyclic_degradation_1 * (1 - net_1));
  }
  const double x = std::clamp(load_1, 1e-6, 1 - 1e-6), on = std::clamp(on_1, x, 1 - 1e-6);
  const double swing_J = settings_.differential_K * demand.air_J_K, Q_W = o.slow.heat.sensible_W;
  cycle_s = std::max({swing_s(swing_J, Q_W * (1 - x)) + swing_s(swing_J, Q_W * x),
                      d.minimum_on_s / on, d.minimum_off_s / (1 - on)});
  return std::min(1.0, load_1 / built_up_1(on * cycle_s, start_s_));
}

/// Share of the steady latent heat that cycles leave.
double Machine::latent_left_1(const Offer& o, double on_1, double blown_1, double cycle_s) const {
  if (blown_1 <= 0 || o.slow.heat.latent_W <= 0 || cycle_s <= 0) return 1;
  // What the coil holds and what dries off are the coil's; only their measure is this latent.
  const double rated_1 = rated_latent_W_ / o.slow.heat.latent_W;
  return latent_share_1(on_1 * cycle_s, blown_1 * cycle_s, kTimeToWet_s * rated_1,
                        kFirstEvaporation_1 * o.evaporation_1 * rated_1, start_s_);
}

void Machine::cycle(const Offer& o, const Demand& demand, Delivered& out, State& state,
                    double dt_s) const {
  const CoilHeat& slow = o.slow.heat;
  const double total_W = slow.sensible_W + slow.latent_W;
  out.fan_on_1 = settings_.fan_always ? 1.0 : 0.5;
  // Share of the coil's total at minimum speed, and of the time.
  double load_1 = (demand.net_W + o.fan_W * out.fan_on_1) / slow.sensible_W, on_1 = load_1;
  if (std::abs(state.load_1 - load_1) < 0.2 * load_1)
    load_1 = state.load_1, on_1 = state.on_1;
  else
    state.cycling = FixedPoint::kPlain;
  FixedPoint search(state.cycling);
  FixedPoint::Pair next = {load_1, on_1};
  double share_1 = 1, cycle_s = 0, dried_kg_s = 0;
  for (int i = 0; i < kRounds; ++i) {
    const FixedPoint::Pair tried = {std::clamp(next[0], 0.0, 1.0), std::clamp(next[1], 0.0, 1.0)};
    on_1 = on_share_1(o, demand, tried[0], tried[1], cycle_s);
    out.compressor_on_1 = on_1;
    add_fans(o, cycle_s, out);
    const double blown_1 = out.fan_on_1 - on_1;
    share_1 = latent_left_1(o, on_1, blown_1, cycle_s);
    dried_kg_s = 0;
    if (share_1 <= 0 || slow.latent_W <= 0) {  // never full: it keeps what it gathers, and dries
      share_1 = 1;
      dried_kg_s = dried_kg(o, state.coil_water_kg, blown_1 * dt_s) / dt_s;
    }
    // What is not taken as water is taken as sensible heat: the total is the coil's.
    load_1 = std::clamp((demand.net_W + out.fan_heat_W - dried_kg_s * o.vapour_J_kg) /
                            (total_W - share_1 * slow.latent_W),
                        0.0, 1.0);
    if (std::abs(load_1 - tried[0]) < kFound_1 && std::abs(on_1 - tried[1]) < kFound_1) break;
    next = search.next(tried, {load_1, on_1});
  }
  out.latent_W = load_1 * share_1 * slow.latent_W - dried_kg_s * o.vapour_J_kg;
  out.moisture_kg_s = load_1 * share_1 * slow.moisture_kg_s - dried_kg_s;
  out.sensible_W = load_1 * total_W - out.latent_W;
  out.electric_W = on_1 * o.slow.compressor_W;
  out.condenser_W = load_1 * total_W + out.electric_W;
  out.load_ratio_1 = relative(out.sensible_W, o.fast.heat.sensible_W);
  state.condenser_heat_W = total_W + o.slow.compressor_W;
  state.load_1 = load_1;
  state.on_1 = on_1;
}

void Machine::run(const Offer& o, const Demand& demand, Delivered& out, State& state,
                  double dt_s) const {
  const double room_W = demand.limit_W - o.fan_W - description_.standby_W;
  double u = where(o.slow.heat.sensible_W, o.middle.heat.sensible_W, o.fast.heat.sensible_W,
                   demand.net_W + o.fan_W);
  const double asked_u = u;
  u = std::min(u, where(o.slow.compressor_W, o.middle.compressor_W, o.fast.compressor_W, room_W));
  out.limited = u < asked_u - 1e-9;
  Running r = between(o, u);
  if (asked_u >= 2) {  // pulling down: after a rest the coil comes to its full within minutes
    const double coming_1 = start_s_ > 0 ? std::exp(-state.in_state_s / start_s_) : 0.0;
    r.heat = times(r.heat, 1 - coming_1 * (1 - built_up_1(dt_s, start_s_)));
  }
  out.compressor_on_1 = 1;
  out.sensible_W = r.heat.sensible_W;
  out.latent_W = r.heat.latent_W;
  out.moisture_kg_s = r.heat.moisture_kg_s;
  out.electric_W = r.compressor_W;
  out.condenser_W = r.heat.sensible_W + r.heat.latent_W + r.compressor_W;
  out.load_ratio_1 = u >= 2 ? 1.0 : relative(out.sensible_W, o.fast.heat.sensible_W);
  state.condenser_heat_W = out.condenser_W;
  add_fans(o, 0, out);
}

Delivered Machine::deliver(const Offer& o, const Demand& demand, State& state, double dt_s) const {
  Delivered out;
  const double rest_W = (settings_.fan_always ? o.fan_W : 0.0) + description_.standby_W;
  const double least_W = o.slow.compressor_W + o.fan_W + description_.standby_W;
  const bool asked = demand.net_W + (settings_.fan_always ? o.fan_W : 0.0) > 0 && o.running &&
                     o.fast.heat.sensible_W > 0;
  if (rest_W > demand.limit_W) {  // not even fan and controls
    out.limited = true;
    state.condenser_heat_W = 0;
    return out;
  }
  const bool runs = asked && demand.limit_W >= least_W;
  if (runs != state.on) state.in_state_s = 0;
  state.on = runs;
  if (runs) {
    if (demand.net_W + o.fan_W < o.slow.heat.sensible_W)
      cycle(o, demand, out, state, dt_s);
    else
      run(o, demand, out, state, dt_s);
    // What is taken from the air stays on the coil until that is full.
    state.coil_water_kg =
        std::clamp(state.coil_water_kg + out.moisture_kg_s * dt_s, 0.0, water_full_kg_);
  } else {
    out.limited = asked;
    add_fans(o, 0, out);
    idle(o, out, state, dt_s);
  }
  state.in_state_s += dt_s;
  out.electric_W += out.fan_heat_W + description_.standby_W;
  return out;
}

void Machine::rest(State& state, double dt_s) const {
  state.locked_s = std::max(0.0, state.locked_s - dt_s);
  state.condenser_heat_W = 0;
  state.in_state_s = state.on ? dt_s : state.in_state_s + dt_s;
  state.cycle_s += dt_s;
  state.on = false;
}

void Machine::shift_band(State& state) const {
  const double mean_K = state.cycle_s > 0 ? state.cycle_K_s / state.cycle_s : 0.0;
  const double by_K = std::clamp(-mean_K, -kShiftStep_K, kShiftStep_K);
  state.shift_K = state.cycle_s < kCycling_s
                      ? std::clamp(state.shift_K + by_K, -kMostShift_K, kMostShift_K)
                      : 0.0;
  state.cycle_s = state.cycle_K_s = 0;
}

Delivered Machine::deliver_cycles(const Offer& o, double T_return_K, double limit_W, State& state,
                                  double dt_s) const {
  const Description& d = description_;
  Delivered out;
  const double over_K = T_return_K - settings_.T_set_K, half_K = 0.5 * settings_.differential_K;
  if (state.cycle_s >= kCycling_s) state.shift_K = 0;
  const double in_band_K = over_K - state.shift_K;
  const double least_W = o.slow.compressor_W + o.fan_W + d.standby_W;
  const double rest_W = (settings_.fan_always ? o.fan_W : 0.0) + d.standby_W;
  const bool may = o.running && limit_W >= least_W;
  const bool stop = !may || (in_band_K < -half_K && state.in_state_s >= d.minimum_on_s);
  const bool start = may && in_band_K > half_K && state.in_state_s >= d.minimum_off_s;
  if (state.on ? stop : start) {
    state.on = !state.on;
    state.in_state_s = 0;
    if (state.on) shift_band(state);
    // It starts at its slowest and speeds up as far as that does not do.
    state.integral_1 = std::clamp(-kProportional_1_K * over_K, -1.0, 0.0);
    state.speed_1 = d.minimum_speed_1;
  }
  out.limited = o.running && !may && in_band_K > half_K;
  if (rest_W > limit_W) {  // not even fan and controls
    state.in_state_s += dt_s;
    state.condenser_heat_W = 0;
    return out;
  }
  if (state.on) {
    const double span = std::max(1e-9, o.fast.speed_1 - o.slow.speed_1);
    const double wanted = kProportional_1_K * over_K + state.integral_1;
    if (over_K > 0 ? wanted < 1 : wanted > 0)
      state.integral_1 += kProportional_1_K * over_K * dt_s / kReset_s;
    const double ramp = dt_s / d.ramp_s;
    const double target = o.slow.speed_1 + span * std::clamp(wanted, 0.0, 1.0);
    state.speed_1 = std::clamp(target, state.speed_1 - ramp, state.speed_1 + ramp);
    double u = std::clamp(2 * (state.speed_1 - o.slow.speed_1) / span, 0.0, 2.0);
    if (span < 1e-8) u = 2;
    const double granted_u = where(o.slow.compressor_W, o.middle.compressor_W, o.fast.compressor_W,
                                   limit_W - o.fan_W - d.standby_W);
    out.limited = granted_u < u - 1e-9;
    const Running r = between(o, std::min(u, granted_u));
    const double built_1 =
        start_s_ > 0 ? -std::expm1(-(state.in_state_s + 0.5 * dt_s) / start_s_) : 1;
    const CoilHeat heat = times(r.heat, built_1);
    out.sensible_W = heat.sensible_W;
    out.latent_W = heat.latent_W;
    out.moisture_kg_s = heat.moisture_kg_s;
    out.electric_W = r.compressor_W;
    out.condenser_W = heat.sensible_W + heat.latent_W + r.compressor_W;
    out.compressor_on_1 = 1;
    out.load_ratio_1 =
        u >= 2 - 1e-9 && !out.limited ? 1.0 : relative(r.heat.sensible_W, o.fast.heat.sensible_W);
    state.condenser_heat_W = out.condenser_W;
    state.coil_water_kg = std::min(water_full_kg_, state.coil_water_kg + heat.moisture_kg_s * dt_s);
  }
  state.cycle_s += dt_s;
  state.cycle_K_s += over_K * dt_s;
  state.in_state_s += dt_s;
  add_fans(o, 0, out);
  if (!state.on) {
    if (!settings_.fan_always && state.in_state_s <= settings_.fan_run_on_s) {
      out.fan_on_1 = 1;
      out.fan_heat_W = o.fan_W;
    }
    idle(o, out, state, dt_s);
  }
  out.electric_W += out.fan_heat_W + d.standby_W;
  return out;
}

}  // namespace cabinload::unit
