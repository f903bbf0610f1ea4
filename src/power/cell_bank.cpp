// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/power/cell_bank.hpp>
#include <cmath>
#include <limits>

#include "require.hpp"

namespace cabinload::power {
namespace {

constexpr double kHour_s = 3600.0;
constexpr int kMostIterations = 80;
constexpr double kUnknown_A = std::numeric_limits<double>::max();
/// Charge this near to the end of the window counts as there (share of the capacity).
constexpr double kAtTheEnd_1 = 1e-9;

void check_cells(const CellTable& c) {
  const auto is = [](bool good, const char* key, double value, const char* must) {
    require(good, "battery cells", key, value, must);
  };
  const auto& open = c.open_1.points;
  is(open.size() >= 2 && open.front().x == 0 && open.back().x == 1, "points of the voltage at rest",
     static_cast<double>(open.size()), "at least two, from charge 0 to charge 1");
  is(open.front().y > 0, "volts at rest when empty", open.front().y, "above 0");
  for (std::size_t i = 1; i < open.size(); ++i) {
    is(open[i].x > open[i - 1].x, "state of charge of a voltage at rest", open[i].x,
       "above the point before");
    is(open[i].y >= open[i - 1].y, "voltage at rest", open[i].y, "not below the point before");
  }
  is(c.upper_1 > open.back().y, "upper volts per nominal volt", c.upper_1,
     "above the voltage at rest of a full bank");
  is(c.rated_1 > 0, "rated volts per nominal volt", c.rated_1, "above 0");
  is(c.resistance_h > 0, "resistance", c.resistance_h, "above 0");
  is(!c.resistance_1.points.empty(), "points of the resistance", 0, "at least one");
  for (const Curve::Point& p : c.resistance_1.points)
    is(p.y > 0, "factor of the resistance", p.y, "above 0");
  for (const Bands* rates : {&c.charge_per_h, &c.discharge_per_h})
    is(rates->largest() > 0, "largest rate per hour", rates->largest(), "above 0");
  is(c.taper_per_h > 0, "taper per hour", c.taper_per_h, "above 0");
  is(c.coulombic_1 > 0.5 && c.coulombic_1 <= 1, "coulombic efficiency", c.coulombic_1,
     "above 0.5 and at most 1");
  is(c.self_discharge_1_s >= 0 && c.self_discharge_1_s < 1e-5, "self-discharge per second",
     c.self_discharge_1_s, "at least 0 and below 1e-5");
}

void check(const BankDescription& d) {
  const auto is = [](bool good, const char* key, double value, const char* must) {
    require(good, "battery", key, value, must);
  };
  check_cells(d.cells);
  is(d.nominal_energy_J > 0 && std::isfinite(d.nominal_energy_J), "energy in Wh",
     d.nominal_energy_J / 3600, "above 0");
  is(d.nominal_V == 12 || d.nominal_V == 24 || d.nominal_V == 48, "volts", d.nominal_V,
     "12, 24 or 48");
  is(d.usable_low_1 >= 0 && d.usable_low_1 < 1, "usable low", d.usable_low_1,
     "at least 0 and below 1");
  is(d.usable_high_1 > d.usable_low_1 && d.usable_high_1 <= 1, "usable high", d.usable_high_1,
     "above usable low and at most 1 (is the window upside down?)");
  is(d.reconnect_charge_1 >= d.usable_low_1 && d.reconnect_charge_1 <= d.usable_high_1,
     "reconnect charge", d.reconnect_charge_1, "within the usable window");
  const double full_V = d.cells.upper_1 * d.nominal_V;
  is(d.disconnect_V >= 0 && d.disconnect_V < full_V, "disconnect volts", d.disconnect_V,
     "at least 0 (none) and below the charging voltage");
  is(d.reconnect_V >= d.disconnect_V && d.reconnect_V < full_V, "reconnect volts", d.reconnect_V,
     "at least the disconnect volts and below the charging voltage");
  is(d.delay_s >= 0 && std::isfinite(d.delay_s), "disconnect delay in s", d.delay_s, "at least 0");
  is(d.start_1 >= d.usable_low_1 && d.start_1 <= d.usable_high_1, "charge at the start", d.start_1,
     "within the usable window");
  is(d.port_limit_W >= 0, "port limit in W", d.port_limit_W, "at least 0 (none)");
  is(d.standby_W >= 0 && std::isfinite(d.standby_W), "standby in W", d.standby_W, "at least 0");
  is(d.heat_capacity_J_K > 0, "heat capacity in J/K", d.heat_capacity_J_K, "above 0");
  is(d.ua_W_K >= 0, "heat loss in W/K", d.ua_W_K, "at least 0");
  is(d.start_K > 200 && d.start_K < 350, "temperature at the start in K", d.start_K,
     "between 200 and 350");
}

/// The smaller root of P = I (E - I R), at most `most_A` and the current of the largest power.
double limited_A(double power_W, double E_V, double R_ohm, double most_A, bool& limited) {
  const double root = E_V * E_V - 4 * R_ohm * power_W;
  const double I = root > 0 ? 2 * power_W / (E_V + std::sqrt(root)) : 0.5 * E_V / R_ohm;
  limited = root <= 0 || I > most_A;
  return std::min(I, most_A);
}

}  // namespace

Bank::Bank(const BankDescription& d) : description_(d) {
  check(d);
  const double V = rated_V(d);
  capacity_C_ = d.nominal_energy_J / V;
  resistance_25_ohm_ = d.cells.resistance_h * V * V / (d.nominal_energy_J / kHour_s);
  upper_V_ = d.cells.upper_1 * d.nominal_V;
  for (const Curve::Point& p : d.cells.open_1.points) {
    const double C = p.x * capacity_C_, E = p.y * d.nominal_V;
    below_J_.push_back(
        at_C_.empty() ? 0.0 : below_J_.back() + 0.5 * (E + open_V_.back()) * (C - at_C_.back()));
    if (!at_C_.empty()) slope_V_C_.push_back((E - open_V_.back()) / (C - at_C_.back()));
    at_C_.push_back(C);
    open_V_.push_back(E);
  }
  charge_C_ = d.start_1 * capacity_C_;
  T_K_ = d.start_K;
  empty_ = d.start_1 <= d.usable_low_1 + kAtTheEnd_1;
  start_J_ = stored_J();
}

double Bank::resistance_ohm() const {
  return resistance_25_ohm_ * description_.cells.resistance_1.at(T_K_);
}

std::size_t Bank::piece_of(double charge_C) const {
  std::size_t k = piece_;  // hardly ever far
  while (k + 1 < slope_V_C_.size() && charge_C >= at_C_[k + 1]) ++k;
  while (k > 0 && charge_C < at_C_[k]) --k;
  return k;
}

/// Exact mean of E between two charges, without cancellation: by pieces.
double Bank::mean_open_V(double from_C, double to_C) const {
  const double low_C = std::min(from_C, to_C), high_C = std::max(from_C, to_C);
  const std::size_t last = slope_V_C_.size() - 1;
  std::size_t k = piece_of(low_C);
  const auto at = [&](double C) { return open_V_[k] + slope_V_C_[k] * (C - at_C_[k]); };
  if (k == last || high_C <= at_C_[k + 1]) return at(0.5 * (low_C + high_C));
  double sum_J = 0, begin_C = low_C;
  for (;; ++k) {
    const double end_C = k == last ? high_C : std::min(high_C, at_C_[k + 1]);
    sum_J += at(0.5 * (begin_C + end_C)) * (end_C - begin_C);
    if (end_C >= high_C) return sum_J / (high_C - low_C);
    begin_C = end_C;
  }
}

double Bank::stored_J() const {
  const std::size_t k = piece_of(charge_C_);
  const double over_C = charge_C_ - at_C_[k];
  return below_J_[k] + (open_V_[k] + 0.5 * slope_V_C_[k] * over_C) * over_C;
}

void Bank::refill() {
  const double before_J = stored_J();
  charge_C_ = std::max(charge_C_, description_.usable_high_1 * capacity_C_);
  in_J_ += stored_J() - before_J;
  empty_ = low_voltage_ = false;
  beyond_s_ = 0;
}

void Bank::charge_to(double state_of_charge_1) {
  const BankDescription& d = description_;
  require(state_of_charge_1 >= d.usable_low_1 && state_of_charge_1 <= d.usable_high_1, "battery",
          "charge", state_of_charge_1, "within the usable window");
  const double before_J = stored_J();
  charge_C_ = state_of_charge_1 * capacity_C_;
  const double change_J = stored_J() - before_J;
  (change_J > 0 ? in_J_ : out_J_) += std::abs(change_J);
  empty_ = state_of_charge_1 <= d.usable_low_1 + kAtTheEnd_1;
  low_voltage_ = false;
  beyond_s_ = 0;
}

double Bank::content_J() const {
  return stored_J() + description_.heat_capacity_J_K * T_K_;
}

/// The current that gives a power: P = I (E - I R), E the mean over the charge that it takes. On
/// one straight piece E is linear in I and this is one quadratic; across a corner it is iterated.
Bank::Flow Bank::discharge(double power_W, double most_A, double dt_s) const {
  const double R = resistance_ohm(), leak_C = leak_A() * dt_s;
  const std::size_t k = piece_of(charge_C_);
  const double droop_ohm = 0.5 * slope_V_C_[k] * dt_s;
  const double E_idle = open_V() - 0.5 * slope_V_C_[k] * leak_C;
  bool limited = false;
  double I = limited_A(power_W, E_idle, R + droop_ohm, most_A, limited);
  double E = E_idle - droop_ohm * I;
  if (charge_C_ - I * dt_s - leak_C < at_C_[k]) {
    const auto E_of = [&] {
      return mean_open_V(charge_C_, std::max(0.0, charge_C_ - I * dt_s - leak_C));
    };
    E = E_of();
    for (int i = 0; i < kMostIterations; ++i) {
      const double before_A = I;
      I = limited_A(power_W, E, R, most_A, limited);
      E = E_of();
      if (std::abs(I - before_A) <= 1e-14 * I) break;
    }
  }
  Flow f{I, I * (E - I * R), E, R};
  if (limited || std::abs(f.power_W - power_W) > 1e-11 * power_W)
    f.limit = BankLimit::rate;
  else
    f.power_W = power_W;
  return f;
}

/// The same where the charge above the floor ends within the step: until then.
Bank::Flow Bank::discharge_to(double floor_C, double power_W, double most_A, double dt_s) const {
  Flow f;
  const double leak_C = leak_A() * dt_s, left_C = std::max(0.0, charge_C_ - floor_C - leak_C);
  bool limited = false;
  f.open_V = mean_open_V(charge_C_ - leak_C - left_C, charge_C_);
  f.resistance_ohm = resistance_ohm();
  f.current_A = limited_A(power_W, f.open_V, f.resistance_ohm, most_A, limited);
  f.power_W = f.current_A * (f.open_V - f.current_A * f.resistance_ohm);
  if (left_C < f.current_A * dt_s) f.share_1 = left_C / (f.current_A * dt_s);
  f.limit = BankLimit::empty;
  return f;
}

/// Discharge within rate and window. The bank's own part goes on when the rate is 0.
Bank::Flow Bank::serve(double power_W, double own_W, double dt_s) const {
  const BankDescription& d = description_;
  const double rate_per_h = d.cells.discharge_per_h.at(T_K_);
  const double rate_A = rate_per_h * capacity_C_ / kHour_s;
  const double floor_C = connected() ? d.usable_low_1 * capacity_C_ : 0.0;
  Flow f = discharge(power_W, rate_A, dt_s);
  if (f.limit != BankLimit::none && rate_per_h < d.cells.discharge_per_h.largest())
    f.limit = BankLimit::temperature;
  double most_A = rate_A;
  if (f.limit != BankLimit::none && f.power_W < own_W) {
    const BankLimit why = f.limit;
    most_A = kUnknown_A;
    power_W = own_W;
    f = discharge(power_W, most_A, dt_s);
    f.limit = why;
  }
  if ((f.current_A + leak_A()) * dt_s <= charge_C_ - floor_C) return f;
  return discharge_to(floor_C, power_W, most_A, dt_s);
}

/// The current that takes a power: P = I (E + I R), within rate, window and upper voltage.
Bank::Flow Bank::charge(double power_W, double dt_s) const {
  const BankDescription& d = description_;
  const double rate_per_h = d.cells.charge_per_h.at(T_K_);
  const double rate_A = rate_per_h * capacity_C_ / kHour_s;
  const double missing_C = d.usable_high_1 * capacity_C_ - charge_C_;
  Flow f{0, 0, mean_open_V(charge_C_, charge_C_ - leak_A() * dt_s)};
  if (power_W <= 0) return f;
  const BankLimit by_rate = rate_per_h >= d.cells.charge_per_h.largest() ? BankLimit::rate
                            : T_K_ < kMildCells_K                        ? BankLimit::cold_charge
                                                                         : BankLimit::temperature;
  f.limit = missing_C <= kAtTheEnd_1 * capacity_C_ ? BankLimit::full : by_rate;
  if (f.limit == BankLimit::full || rate_A <= 0) return f;
  const double R = resistance_ohm(), coulombic = d.cells.coulombic_1;
  const double taper_A = missing_C * taper_share(dt_s) / (coulombic * dt_s);
  const auto limited = [&](double E_V, double R_ohm, double full_A) {
    double I = 2 * power_W / (E_V + std::sqrt(E_V * E_V + 4 * R_ohm * power_W));
    f.limit = BankLimit::none;
    if (I > full_A) I = full_A, f.limit = BankLimit::full;
    if (I > rate_A) I = rate_A, f.limit = by_rate;
    return I;
  };
  // Far from full, on one straight piece: one quadratic.
  const std::size_t k = piece_of(charge_C_);
  const double rise_ohm = 0.5 * coulombic * slope_V_C_[k] * dt_s, E_idle = f.open_V;
  f.resistance_ohm = R;
  f.current_A = limited(E_idle, R + rise_ohm, taper_A);
  f.open_V = E_idle + rise_ohm * f.current_A;
  const bool corner = charge_C_ + coulombic * f.current_A * dt_s > at_C_[k + 1] ||
                      charge_C_ - leak_A() * dt_s < at_C_[k];
  // Else iterated; the more current is tried the less the voltages allow: bracketed, then halved.
  double low_A = 0, high_A = kUnknown_A;
  if (corner || upper_V_ - f.open_V > taper_A * R || f.open_V + f.current_A * R > upper_V_)
    for (int i = 0; i < kMostIterations; ++i) {
      f.open_V = mean_open_V(charge_C_, charge_C_ + (coulombic * f.current_A - leak_A()) * dt_s);
      const double head_V = upper_V_ - f.open_V;
      const double full_A = std::min(taper_A, head_V / R);
      f.resistance_ohm = head_V / full_A;
      double next_A = limited(f.open_V, f.resistance_ohm, full_A);
      if (std::abs(next_A - f.current_A) <= 1e-13 * next_A) break;
      (next_A > f.current_A ? low_A : high_A) = f.current_A;
      const bool astray = next_A <= low_A || next_A >= high_A || (i > 10 && high_A < kUnknown_A);
      f.current_A = astray ? 0.5 * (low_A + high_A) : next_A;
    }
  f.power_W = f.current_A * (f.open_V + f.current_A * f.resistance_ohm);
  // Rounding alone must not make it take less, or more, than is there.
  if (f.limit == BankLimit::none || f.power_W > power_W) f.power_W = power_W;
  return f;
}

/// Share of what is missing that the taper brings in a step.
double Bank::taper_share(double dt_s) const {
  return dt_s == taper_s_ ? taper_1_
                          : -std::expm1(-description_.cells.taper_per_h * dt_s / kHour_s);
}

void Bank::remember_taper(double dt_s) {
  if (dt_s == taper_s_) return;
  taper_1_ = taper_share(dt_s);
  taper_s_ = dt_s;
}

void Bank::give(BankStep& s, double out_W, double offered_W, double dt_s) {
  const double own_W = description_.standby_W, leak = leak_A();
  const Flow f = serve(out_W + own_W - offered_W, std::max(0.0, own_W - offered_W), dt_s);
  // Once empty within the step: nothing but the bank's own part, as far as it is offered.
  const double on = f.share_1, I = f.current_A;
  s.accepted_W = on < 1 ? on * offered_W + (1 - on) * std::min(offered_W, own_W) : offered_W;
  if (s.accepted_W < offered_W) s.charge_limit = BankLimit::empty;
  s.granted_W = out_W;
  if (f.limit != BankLimit::none) {
    s.granted_W = on * std::clamp(f.power_W + offered_W - own_W, 0.0, out_W);
    if (s.granted_W < out_W) s.discharge_limit = f.limit;
  }
  s.current_A = on * I;
  s.terminal_V = f.open_V - I * f.resistance_ohm;
  const double own_used_W = on * f.power_W + s.accepted_W - s.granted_W;
  s.loss_W = on * I * I * f.resistance_ohm + leak * f.open_V + own_used_W;
  charge_C_ = std::max(0.0, charge_C_ - (on * I + leak) * dt_s);
}

void Bank::take(BankStep& s, double out_W, double offered_W, double dt_s) {
  const double coulombic = description_.cells.coulombic_1, leak = leak_A();
  const double own_W = description_.standby_W;
  const Flow f = charge(offered_W - out_W - own_W, dt_s);
  const double I = f.current_A;
  s.granted_W = out_W;
  s.accepted_W =
      f.limit == BankLimit::none ? offered_W : std::min(offered_W, out_W + own_W + f.power_W);
  s.charge_limit = f.limit;
  s.current_A = -I;
  s.terminal_V = f.open_V + I * f.resistance_ohm;
  s.loss_W = I * I * f.resistance_ohm + ((1 - coulombic) * I + leak) * f.open_V + own_W;
  charge_C_ += (coulombic * I - leak) * dt_s;
}

void Bank::warm(BankStep& s, double ambient_K, double dt_s) {
  const double C_W_K = description_.heat_capacity_J_K / dt_s, ua = description_.ua_W_K;
  // In rises over the surroundings, so that a bank at their temperature stays there exactly.
  const double rise_K = (C_W_K * (T_K_ - ambient_K) + s.loss_W) / (C_W_K + ua);
  s.heat_W = ua * rise_K;
  T_K_ = ambient_K + rise_K;
}

/// Disconnects and reconnects: by voltage with a delay, by the window at once.
void Bank::watch(BankStep& s, double asked_W, double dt_s) {
  const BankDescription& d = description_;
  const bool before = connected();
  const bool beyond = low_voltage_ ? s.terminal_V >= d.reconnect_V : s.terminal_V < d.disconnect_V;
  beyond_s_ = beyond ? beyond_s_ + dt_s : 0.0;
  if (beyond && beyond_s_ >= d.delay_s) {
    if (before && !low_voltage_) s.cut_after_s = dt_s - (beyond_s_ - d.delay_s);
    low_voltage_ = !low_voltage_;
    beyond_s_ = 0;
  }
  if (!empty_ && charge_C_ <= (d.usable_low_1 + kAtTheEnd_1) * capacity_C_) {
    empty_ = true;
    if (before) s.cut_after_s = asked_W > 0 ? dt_s * s.granted_W / asked_W : dt_s;
  } else if (empty_ && charge_C_ >= d.reconnect_charge_1 * capacity_C_) {
    // At the low end itself only once something came in.
    if (charge_C_ > (d.usable_low_1 + kAtTheEnd_1) * capacity_C_) empty_ = false;
  }
  s.cut = before && !connected();
  s.back = !before && connected();
}

BankStep Bank::step(double asked_W, double offered_W, double ambient_K, double dt_s) {
  require(asked_W >= 0 && std::isfinite(asked_W), "battery", "power asked in W", asked_W,
          "at least 0");
  require(offered_W >= 0 && std::isfinite(offered_W), "battery", "power offered in W", offered_W,
          "at least 0");
  require(dt_s > 0 && std::isfinite(dt_s), "battery", "step in s", dt_s, "above 0");
  require(ambient_K > 0 && std::isfinite(ambient_K), "battery", "surroundings in K", ambient_K,
          "above 0");
  remember_taper(dt_s);
  BankStep s;
  double out_W = asked_W;
  if (!connected()) {
    out_W = 0;
    if (asked_W > 0) s.discharge_limit = empty_ ? BankLimit::empty : BankLimit::low_voltage;
  } else if (description_.port_limit_W > 0 && asked_W > description_.port_limit_W) {
    out_W = description_.port_limit_W;
    s.discharge_limit = BankLimit::port;
  }
  if (offered_W < out_W + description_.standby_W)
    give(s, out_W, offered_W, dt_s);
  else
    take(s, out_W, offered_W, dt_s);
  warm(s, ambient_K, dt_s);
  watch(s, out_W, dt_s);
  s.state_of_charge_1 = state_of_charge_1();
  s.T_K = T_K_;
  piece_ = piece_of(charge_C_);
  in_J_ += s.accepted_W * dt_s;
  out_J_ += s.granted_W * dt_s;
  heat_J_ += s.heat_W * dt_s;
  return s;
}

double Bank::most_W(double offered_W, double dt_s, BankLimit* bound_by) const {
  if (!connected()) {
    if (bound_by) *bound_by = empty_ ? BankLimit::empty : BankLimit::low_voltage;
    return 0;
  }
  const BankDescription& d = description_;
  Flow f = serve(std::numeric_limits<double>::max(), 0, dt_s);
  if (f.share_1 < 1) {
    // What the charge left gives when it is spread over the whole step.
    const double I = f.current_A * f.share_1;
    f.power_W = I * (f.open_V - I * f.resistance_ohm);
  }
  const double most = std::max(0.0, f.power_W + offered_W - d.standby_W);
  const bool port = d.port_limit_W > 0 && d.port_limit_W < most;
  if (bound_by) *bound_by = port ? BankLimit::port : f.limit;
  return port ? d.port_limit_W : most;
}

double Bank::residual_relative() const {
  const double heat_J = description_.heat_capacity_J_K * (T_K_ - description_.start_K);
  const double off_J = in_J_ - out_J_ - heat_J_ - (stored_J() - start_J_) - heat_J;
  return std::abs(off_J) / std::max(in_J_ + out_J_, 1e-3 * description_.nominal_energy_J);
}

double naive_hours_displayed(const Bank& bank, double present_W) {
  if (!(present_W > 0)) return std::numeric_limits<double>::infinity();
  const BankDescription& d = bank.description();
  const double left_1 = std::max(0.0, bank.state_of_charge_1() - d.usable_low_1);
  return left_1 * d.nominal_energy_J / kHour_s / present_W;
}

}  // namespace cabinload::power
