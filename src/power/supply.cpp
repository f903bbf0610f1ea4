// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/power/supply.hpp>
#include <cmath>
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
    : description_(d), bank_(d.bank), to_unit_(converter_to_unit(d)) {
  if (d.inverter) inverter_.emplace(*d.inverter, "inverter");
  if (d.panels) check(*d.panels);
  if (d.alternator) check(*d.alternator);
  if (d.shore) breaker_.emplace(*d.shore);
  bank_V_ = bank_.open_V();
  start_J_ = content_J_ = bank_.content_J();
}

Supply::Offer Supply::offer(const Around& a, bool on_shore) const {
  Offer o;
  if (description_.panels)
    o.solar_W = panel_W(*description_.panels, a.panel_irradiance_W_m2, a.T_out_K, a.wind_m_s);
  if (description_.alternator && a.driving)
    o.alternator_W = alternator_W(*description_.alternator, bank_V_);
  if (on_shore) o.charger_W = description_.shore->charger_W;
  return o;
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

Supply::Loads Supply::shed(const Loads& asked, const BankStep& s) const {
  const double in_W = asked.in_W();
  if (s.granted_W >= in_W) return asked;
  Loads l = asked;
  if (s.discharge_limit == BankLimit::empty) {
    const double share = s.granted_W / in_W;
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

/// Shares out what the bus took, in order; returns the chargers' and the controller's losses.
double Supply::use(const Offer& o, double accepted_W, Granted& g) const {
  g.solar_possible_W = o.solar_W;
  g.solar_W = std::min(o.solar_W, accepted_W);
  g.alternator_W = std::min(o.alternator_W, accepted_W - g.solar_W);
  const double charger_W = std::max(0.0, accepted_W - g.solar_W - g.alternator_W);
  double loss_W = 0;
  if (g.solar_W > 0) loss_W += g.solar_W * (1 / description_.panels->controller_efficiency_1 - 1);
  if (g.alternator_W > 0)
    loss_W += g.alternator_W * (1 / description_.alternator->efficiency_1 - 1);
  if (o.charger_W > 0) {
    g.shore_W += charger_W / description_.shore->charger_efficiency_1;
    loss_W += g.shore_W - charger_W;
  }
  return loss_W;
}

void Supply::note(const BankStep& s, const std::optional<double>& trip_s, double second_of_day,
                  double dt_s, std::vector<Event>& events) const {
  const auto add = [&](EventKind kind, double after_s) {
    events.push_back({kind, std::fmod(second_of_day + after_s, kDay_s)});
  };
  if (s.cut) add(bank_.empty() ? EventKind::empty : EventKind::low_voltage, s.cut_after_s);
  if (s.back) add(EventKind::reconnected, dt_s);
  if (trip_s) add(EventKind::shore_trip, *trip_s);
}

Granted Supply::step(const Ask& ask, const Around& a, double dt_s) {
  check(ask, a);
  Granted g;
  const bool on_shore = breaker_ && breaker_->begin(a.second_of_day);
  const Offer o = offer(a, on_shore);
  const Loads asked = loads(ask, on_shore);
  const bool bank_inside = description_.bank.place == Place::inside;
  const BankStep s =
      bank_.step(asked.in_W(), o.total_W(), bank_inside ? a.T_cabin_K : a.T_out_K, dt_s);
  const Loads served = shed(asked, s);
  g.unit_W = served.unit.out_W;
  g.unit_V = !bank_.connected() ? 0.0 : to_unit_.identity() ? s.terminal_V : description_.unit_V;
  g.other_dc_W = served.dc.out_W;
  g.other_ac_W = served.ac.out_W;
  double electronics_W = use(o, s.accepted_W, g);
  for (const Load& l : {served.dc, served.ac, served.unit}) electronics_W += l.in_W - l.out_W;
  if (on_shore) {
    g.other_ac_W = ask.other_ac_W;
    g.shore_W += ask.other_ac_W;
  }
  const auto trip_s = on_shore ? breaker_->drawn(g.shore_W, dt_s) : std::nullopt;
  g.charge_W = std::max(0.0, -s.current_A * s.terminal_V);
  g.state_of_charge_1 = s.state_of_charge_1;
  g.bank_K = s.T_K;
  g.heat_to_cabin_W = (bank_inside ? s.heat_W : 0.0) +
                      (description_.electronics == Place::inside ? electronics_W : 0.0);
  g.limit = why(ask, asked, served, s);
  g.discharge_limit = s.discharge_limit;
  g.charge_limit = s.charge_limit;
  note(s, trip_s, a.second_of_day, dt_s, g.events);
  bank_V_ = s.terminal_V;
  double in_W = g.shore_W;
  const double before_J = std::exchange(content_J_, bank_.content_J());
  g.battery_W = (before_J - content_J_) / dt_s;
  if (g.solar_W > 0) in_W += g.solar_W / description_.panels->controller_efficiency_1;
  if (g.alternator_W > 0) in_W += g.alternator_W / description_.alternator->efficiency_1;
  in_J_ += in_W * dt_s;
  out_J_ += (g.unit_W + g.other_dc_W + g.other_ac_W) * dt_s;
  heat_J_ += (s.heat_W + electronics_W) * dt_s;
  // The controller's and the alternator charger's losses lie before the bus, where both are
  // counted.
  g.loss_W = s.heat_W + electronics_W - (in_W - g.solar_W - g.alternator_W - g.shore_W);
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
