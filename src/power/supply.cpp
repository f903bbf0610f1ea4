// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/power/supply.hpp>
#include <cmath>
#include <limits>
#include <utility>

#include "require.hpp"

namespace cabinload::power {
namespace {

constexpr double kDay_s = 86400.0;

Converter converter_to_unit(const SupplyDescription& d) {
  require(d.unit_V == 12 || d.unit_V == 24 || d.unit_V == 48, "supply", "unit volts", d.unit_V,
          "12, 24 or 48");
  if (d.to_unit) return {*d.to_unit, "converter to the unit"};
  require(d.unit_V == d.bank.nominal_V, "supply", "unit volts", d.unit_V,
          "the battery's volts, or a converter between them must be given");
  return {};
}

void check(const Ask& ask, const Around& a) {
  // All is well but for a caller's error: one look at the least, and at the sum, in which a NaN or
  // an infinite one shows.
  double least = 0, sum = 0;
  for (const double x : {ask.unit_W, ask.other_dc_W, ask.other_ac_W, a.panel_irradiance_W_m2,
                         a.wind_m_s, a.T_cabin_K, a.T_out_K})
    least = std::min(least, x), sum += x;
  if (least >= 0 && sum <= std::numeric_limits<double>::max()) return;
  const auto is = [](const char* key, double value) {
    require(value >= 0 && std::isfinite(value), "supply", key, value, "at least 0");
  };
  is("power asked by the unit in W", ask.unit_W);
  is("power asked by other loads in W", ask.other_dc_W);
  is("power asked by other loads, alternating current, in W", ask.other_ac_W);
  is("irradiance on the panels in W/m2", a.panel_irradiance_W_m2);
  is("wind at the panels in m/s", a.wind_m_s);
  is("temperature of the cabin in K", a.T_cabin_K);
  is("temperature outdoors in K", a.T_out_K);
}

}  // namespace

std::optional<double> nominal_volts(double volts) {
  for (const double nominal : {12.0, 24.0, 48.0})
    if (volts >= 0.9 * nominal && volts <= 1.25 * nominal) return nominal;
  return std::nullopt;
}

Supply::Supply(const SupplyDescription& d)
    : description_(d),
      bank_(d.bank),
      to_unit_(converter_to_unit(d)),
      bank_inside_(d.bank.place == Place::inside),
      electronics_inside_(d.electronics == Place::inside) {
  if (d.inverter) inverter_.emplace(*d.inverter, "inverter");
  const auto loss_1 = [](double efficiency_1) { return 1 / efficiency_1 - 1; };
  if (d.panels) {
    check(*d.panels);
    panels_.emplace(*d.panels);
    solar_loss_1_ = loss_1(d.panels->controller_efficiency_1);
  }
  if (d.alternator) {
    check(*d.alternator);
    alternator_loss_1_ = loss_1(d.alternator->efficiency_1);
  }
  if (d.shore) {
    breaker_.emplace(*d.shore);
    charger_loss_1_ = loss_1(d.shore->charger_efficiency_1);
  }
  bank_V_ = bank_.open_V();
  start_J_ = content_J_ = bank_.content_J();
}

Supply::Offer Supply::offer(const Around& a, bool on_shore) const {
  Offer o;
  if (panels_) o.solar_W = panels_->power_W(a.panel_irradiance_W_m2, a.T_out_K, a.wind_m_s);
  if (a.driving && description_.alternator)
    o.alternator_W = alternator_W(*description_.alternator, bank_V_);
  if (on_shore) o.charger_W = description_.shore->charger_W;
  return o;
}

/// What the bus took of it, in order.
Supply::Offer Supply::Offer::taken(double accepted_W) const {
  Offer t;
  t.solar_W = std::min(solar_W, accepted_W);
  t.alternator_W = std::min(alternator_W, accepted_W - t.solar_W);
  t.charger_W = std::clamp(accepted_W - t.solar_W - t.alternator_W, 0.0, charger_W);
  return t;
}

/// What stands on the bus, capped by the converters.
Supply::Loads Supply::loads(const Ask& ask, bool on_shore) const {
  Loads l;
  l.dc = {ask.other_dc_W, ask.other_dc_W};
  if (inverter_) {
    l.ac.out_W = on_shore ? 0.0 : std::min(ask.other_ac_W, inverter_->most_W());
    l.ac.in_W = inverter_->input_W(l.ac.out_W);
  }
  l.unit.out_W = std::min(ask.unit_W, to_unit_.most_W());
  l.unit.in_W = to_unit_.input_W(l.unit.out_W);
  return l;
}

/// What is served when the bank grants less.
Supply::Loads Supply::shed(const Loads& asked, const BankStep& s) const {
  Loads l = asked;
  if (s.discharge_limit == BankLimit::empty) {
    const double share = s.granted_W / asked.in_W();
    for (Load* x : {&l.dc, &l.ac, &l.unit}) x->out_W *= share, x->in_W *= share;
    return l;
  }
  double rest_W = s.granted_W;
  l.dc.in_W = l.dc.out_W = std::min(rest_W, asked.dc.in_W);
  rest_W -= l.dc.in_W;
  if (rest_W < asked.ac.in_W) l.ac = {inverter_->output_W(rest_W), rest_W};
  rest_W -= l.ac.in_W;
  l.unit = {std::min(to_unit_.output_W(rest_W), asked.unit.out_W), rest_W};
  return l;
}

SupplyLimit Supply::why(const Ask& ask, const Loads& asked, const Loads& served,
                        const BankStep& s) const {
  if (served.unit.out_W >= ask.unit_W) return SupplyLimit::none;
  if (served.unit.out_W >= asked.unit.out_W) return SupplyLimit::converter;
  const bool tripped = breaker_ && breaker_->tripped();
  switch (s.discharge_limit) {
    case BankLimit::port:
      return SupplyLimit::port;
    case BankLimit::temperature:
      return SupplyLimit::temperature;
    case BankLimit::empty:
      return tripped ? SupplyLimit::shore_trip : SupplyLimit::empty;
    case BankLimit::low_voltage:
      return tripped ? SupplyLimit::shore_trip : SupplyLimit::low_voltage;
    default:
      return SupplyLimit::rate;
  }
}

void Supply::note(EventKind kind, double second_of_day) {
  granted_.events.push_back({kind, std::fmod(second_of_day, kDay_s)});
}

const Granted& Supply::step(const Ask& ask, const Around& a, double dt_s) {
  check(ask, a);
  if (breaker_) {
    const Shore& shore = breaker_->shore();
    const double most_W = ask.other_ac_W + shore.charger_W * (1 + charger_loss_1_);
    if (most_W > shore.limit_A * shore.volts && breaker_->gives(a.second_of_day))
      return step_that_may_trip(ask, a, dt_s);
  }
  return advance(ask, a, dt_s);
}

/// A step in which the breaker may trip is taken in two, until then and from then on.
const Granted& Supply::step_that_may_trip(const Ask& ask, const Around& a, double dt_s) {
  const auto is_trip = [](const Event& e) { return e.kind == EventKind::shore_trip; };
  Supply whole = *this;
  const std::vector<Event>& events = whole.advance(ask, a, dt_s).events;
  if (std::none_of(events.begin(), events.end(), is_trip)) {
    *this = std::move(whole);
    return granted_;
  }
  const double until_s = whole.breaker_->trip_after_s(), rest_s = dt_s - until_s;
  Granted before;
  (void)breaker_->begin(a.second_of_day);
  if (until_s > 0) before = advance(ask, a, until_s);
  breaker_->trip();
  Around after = a;
  after.second_of_day = std::fmod(a.second_of_day + until_s, kDay_s);
  std::erase_if(before.events, is_trip);
  before.events.push_back({EventKind::shore_trip, after.second_of_day});
  if (rest_s > 0)
    (void)advance(ask, after, rest_s);
  else
    granted_.events.clear();
  // Means over both; the end is that of the second.
  const double share_1 = until_s / dt_s;
  for (double Granted::*mean :
       {&Granted::unit_W, &Granted::other_dc_W, &Granted::other_ac_W, &Granted::solar_W,
        &Granted::solar_possible_W, &Granted::alternator_W, &Granted::shore_W, &Granted::charge_W,
        &Granted::heat_to_cabin_W, &Granted::battery_W, &Granted::loss_W})
    granted_.*mean += share_1 * (before.*mean - granted_.*mean);
  if (granted_.limit == SupplyLimit::none) granted_.limit = before.limit;
  if (granted_.discharge_limit == BankLimit::none)
    granted_.discharge_limit = before.discharge_limit;
  if (granted_.charge_limit == BankLimit::none) granted_.charge_limit = before.charge_limit;
  granted_.events.insert(granted_.events.begin(), before.events.begin(), before.events.end());
  return granted_;
}

const Granted& Supply::advance(const Ask& ask, const Around& a, double dt_s) {
  const bool on_shore = breaker_ && breaker_->begin(a.second_of_day);
  const Offer o = offer(a, on_shore);
  const Loads asked = loads(ask, on_shore);
  const double asked_W = asked.in_W(), shore_load_W = on_shore ? ask.other_ac_W : 0.0;
  const BankStep& s =
      bank_.step(asked_W, o.total_W(), bank_inside_ ? a.T_cabin_K : a.T_out_K, dt_s);
  const Loads served = s.granted_W >= asked_W ? asked : shed(asked, s);
  const Offer used = o.taken(s.accepted_W);
  // The controller's and the alternator charger's losses lie before the bus, where both are
  // counted.
  const double before_bus_W = used.solar_W * solar_loss_1_ + used.alternator_W * alternator_loss_1_;
  const double charger_loss_W = used.charger_W * charger_loss_1_;
  const double bus_loss_W = charger_loss_W + (served.in_W() - served.out_W());
  const double electronics_W = before_bus_W + bus_loss_W;
  Granted& g = granted_;
  g.unit_W = served.unit.out_W;
  g.unit_V = !bank_.connected() ? 0.0 : to_unit_.identity() ? s.terminal_V : description_.unit_V;
  g.other_dc_W = served.dc.out_W;
  g.other_ac_W = served.ac.out_W + shore_load_W;
  g.solar_W = used.solar_W;
  g.solar_possible_W = o.solar_W;
  g.alternator_W = used.alternator_W;
  g.shore_W = used.charger_W + charger_loss_W + shore_load_W;
  g.events.clear();
  if (s.cut)
    note(bank_.empty() ? EventKind::empty : EventKind::low_voltage,
         a.second_of_day + s.cut_after_s);
  if (s.back) note(EventKind::reconnected, a.second_of_day + dt_s);
  if (on_shore && breaker_->drawn(g.shore_W, dt_s))
    note(EventKind::shore_trip, a.second_of_day + breaker_->trip_after_s());
  g.charge_W = std::max(0.0, -s.current_A * s.terminal_V);
  g.state_of_charge_1 = s.state_of_charge_1;
  g.bank_K = s.T_K;
  g.heat_to_cabin_W = (bank_inside_ ? s.heat_W : 0.0) + (electronics_inside_ ? electronics_W : 0.0);
  g.loss_W = s.heat_W + bus_loss_W;
  g.limit = why(ask, asked, served, s);
  g.discharge_limit = s.discharge_limit;
  g.charge_limit = s.charge_limit;
  bank_V_ = s.terminal_V;
  const double before_J = std::exchange(content_J_, bank_.content_J());
  g.battery_W = (before_J - content_J_) / dt_s;
  in_J_ += (used.total_W() + before_bus_W + charger_loss_W + shore_load_W) * dt_s;
  out_J_ += (served.out_W() + shore_load_W) * dt_s;
  heat_J_ += (s.heat_W + electronics_W) * dt_s;
  return g;
}

double Supply::most_unit_W(const Ask& others, const Around& a, double dt_s,
                           BankLimit* bound_by) const {
  const bool on_shore = breaker_ && breaker_->gives(a.second_of_day);
  Ask ask = others;
  ask.unit_W = 0;
  Loads l = loads(ask, on_shore);
  const double most_W = bank_.most_W(offer(a, on_shore).total_W(), dt_s, bound_by);
  const double rest_W = most_W - l.dc.in_W - l.ac.in_W;
  return rest_W > 0 ? to_unit_.output_W(rest_W) : 0.0;
}

void Supply::refill() {
  const double before_J = content_J_;
  bank_.refill();
  content_J_ = bank_.content_J();
  in_J_ += content_J_ - before_J;
  bank_V_ = bank_.open_V();
}

void Supply::charge_to(double state_of_charge_1) {
  const double before_J = content_J_;
  bank_.charge_to(state_of_charge_1);
  content_J_ = bank_.content_J();
  const double change_J = content_J_ - before_J;
  (change_J > 0 ? in_J_ : out_J_) += std::abs(change_J);
  bank_V_ = bank_.open_V();
}

double Supply::residual_relative() const {
  const double off_J = in_J_ - out_J_ - heat_J_ - (bank_.content_J() - start_J_);
  return std::abs(off_J) / std::max(in_J_ + out_J_, 1e-3 * description_.bank.nominal_energy_J);
}

std::string_view name_of(SupplyLimit limit) {
  switch (limit) {
    case SupplyLimit::none:
      break;
    case SupplyLimit::empty:
      return "empty";
    case SupplyLimit::port:
      return "port";
    case SupplyLimit::converter:
      return "converter";
    case SupplyLimit::rate:
      return "rate";
    case SupplyLimit::temperature:
      return "temperature";
    case SupplyLimit::low_voltage:
      return "low_voltage";
    case SupplyLimit::shore_trip:
      return "shore_trip";
  }
  return "none";
}

std::string_view name_of(EventKind kind) {
  switch (kind) {
    case EventKind::shore_trip:
      return "shore_trip";
    case EventKind::low_voltage:
      return "low_voltage";
    case EventKind::empty:
      return "empty";
    case EventKind::reconnected:
      break;
  }
  return "reconnected";
}

}  // namespace cabinload::power
