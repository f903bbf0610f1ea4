// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/power/cell_bank.hpp>
#include <cmath>
#include <limits>

#include "cell_checks.hpp"
#include "require.hpp"

namespace cabinload::power {
namespace {

constexpr double kHour_s = 3600.0;
constexpr int kMostIterations = 80;
constexpr int kMostNewton = 8;
constexpr double kNoEnd = std::numeric_limits<double>::infinity();
constexpr double kUnknown_A = std::numeric_limits<double>::max();
/// Charge this near to the end of the window counts as there (share of the capacity).
constexpr double kAtTheEnd_1 = 1e-9;

/// The smaller root of P = I (E - I R), at most `most_A` and the current of the largest power.
double limited_A(double power_W, double E_V, double R_ohm, double most_A, bool& limited) {
  const double root = E_V * E_V - 4 * R_ohm * power_W;
  const double I = root > 0 ? 2 * power_W / (E_V + std::sqrt(root)) : 0.5 * E_V / R_ohm;
  limited = root <= 0 || I > most_A;
  return std::min(I, most_A);
}

/// The root of P = I (E + I R).
double charging_A(double power_W, double E_V, double R_ohm) {
  return 2 * power_W / (E_V + std::sqrt(E_V * E_V + 4 * R_ohm * power_W));
}

/// The root of P = I (E + I (R - I c)), c small: from that of a quadratic by Newton. Twice as many
/// digits hold after a step as before, or more: the last one needs no check.
double tapering_A(double power_W, double E_V, double R_ohm, double c_ohm_A, double about_A) {
  double I = charging_A(power_W, E_V, R_ohm - c_ohm_A * about_A);
  for (int i = 0; i < kMostNewton; ++i) {
    const double off_W = I * (E_V + I * (R_ohm - I * c_ohm_A)) - power_W;
    const double step_A = off_W / (E_V + I * (2 * R_ohm - 3 * I * c_ohm_A));
    I -= step_A;
    if (std::abs(step_A) <= 1e-7 * I) break;
  }
  return I;
}

void check_step(double asked_W, double offered_W, double ambient_K, double dt_s) {
  // All is well but for a caller's error; a NaN or an infinite one shows in the sum.
  const double sum = asked_W + offered_W + ambient_K + dt_s;
  if (std::min(asked_W, offered_W) >= 0 && std::min(ambient_K, dt_s) > 0 &&
      sum <= std::numeric_limits<double>::max())
    return;
  const auto is = [](bool good, const char* key, double value, const char* must) {
    require(good && std::isfinite(value), "battery", key, value, must);
  };
  is(asked_W >= 0, "power asked in W", asked_W, "at least 0");
  is(offered_W >= 0, "power offered in W", offered_W, "at least 0");
  is(dt_s > 0, "step in s", dt_s, "above 0");
  is(ambient_K > 0, "surroundings in K", ambient_K, "above 0");
}

}  // namespace

Bank::Bank(const BankDescription& d) : description_(d) {
  check(d);
  capacity_C_ = d.nominal_energy_J / rated_V(d);
  upper_V_ = d.cells.upper_1 * d.nominal_V;
  per_upper_1_V_ = 1 / upper_V_;
  self_discharge_1_s_ = d.cells.self_discharge_1_s;
  coulombic_1_ = d.cells.coulombic_1;
  standby_W_ = d.standby_W;
  low_C_ = d.usable_low_1 * capacity_C_;
  high_C_ = d.usable_high_1 * capacity_C_;
  back_C_ = d.reconnect_charge_1 * capacity_C_;
  near_C_ = kAtTheEnd_1 * capacity_C_;
  lay_out_voltage();
  lay_out_warmth();
  hold(d.start_1 * capacity_C_);
  hold_at(d.start_K);
  empty_ = charge_C_ <= low_C_ + near_C_;
  start_J_ = stored_J();
}

void Bank::lay_out_voltage() {
  const auto& points = description_.cells.open_1.points;
  double below_J = 0;
  for (std::size_t i = 1; i < points.size(); ++i) {
    const double from_C = points[i - 1].x * capacity_C_, to_C = points[i].x * capacity_C_;
    const double from_V = points[i - 1].y * description_.nominal_V,
                 to_V = points[i].y * description_.nominal_V;
    pieces_.push_back({from_C, to_C, from_V, (to_V - from_V) / (to_C - from_C), below_J});
    below_J += 0.5 * (from_V + to_V) * (to_C - from_C);
  }
  pieces_.back().to_C = kNoEnd;
}

void Bank::lay_out_warmth() {
  const CellTable& c = description_.cells;
  std::vector<double> corners = {kMildCells_K};
  for (const Curve::Point& p : c.resistance_1.points) corners.push_back(p.x);
  for (const Bands* rates : {&c.charge_per_h, &c.discharge_per_h})
    for (const Bands::Band& b : rates->bands) corners.push_back(b.from);
  std::sort(corners.begin(), corners.end());
  corners.erase(std::unique(corners.begin(), corners.end()), corners.end());

  const double V = rated_V(description_);
  const double R_ohm = c.resistance_h * V * V / (description_.nominal_energy_J / kHour_s);
  const auto bound = [](const Bands& rates, double T_K, BankLimit by_temperature) {
    return rates.at(T_K) < rates.largest() ? by_temperature : BankLimit::rate;
  };
  for (std::size_t i = 0; i <= corners.size(); ++i) {
    const double from_K = i > 0 ? corners[i - 1] : -kNoEnd;
    const double to_K = i < corners.size() ? corners[i] : kNoEnd;
    const double at_K = i > 0 ? from_K : to_K, at_1 = c.resistance_1.at(at_K);
    const bool inner = i > 0 && i < corners.size();
    const double slope_1_K = inner ? (c.resistance_1.at(to_K) - at_1) / (to_K - from_K) : 0.0;
    warmths_.push_back(
        {from_K, to_K, at_K, R_ohm * at_1, R_ohm * slope_1_K,
         c.charge_per_h.at(from_K) * capacity_C_ / kHour_s,
         c.discharge_per_h.at(from_K) * capacity_C_ / kHour_s,
         bound(c.charge_per_h, from_K,
               from_K < kMildCells_K ? BankLimit::cold_charge : BankLimit::temperature),
         bound(c.discharge_per_h, from_K, BankLimit::temperature)});
  }
}

/// Sets the charge, and finds the piece of E that it stands on: hardly ever far.
void Bank::hold(double charge_C) {
  charge_C_ = charge_C;
  while (charge_C >= pieces_[piece_].to_C) ++piece_;
  while (charge_C < pieces_[piece_].from_C && piece_ > 0) --piece_;
}

/// The same for the temperature.
void Bank::hold_at(double T_K) {
  T_K_ = T_K;
  while (T_K >= warmths_[warmth_].to_K) ++warmth_;
  while (T_K < warmths_[warmth_].from_K) --warmth_;
}

/// Exact mean of E between two charges, without cancellation: by pieces.
double Bank::mean_open_V(double from_C, double to_C) const {
  const double low_C = std::min(from_C, to_C), high_C = std::max(from_C, to_C);
  const Piece* p = &piece();
  while (low_C >= p->to_C) ++p;
  while (p != pieces_.data() && low_C < p->from_C) --p;
  if (high_C <= p->to_C) return p->at_V(0.5 * (low_C + high_C));
  double sum_J = 0, begin_C = low_C;
  for (;; ++p) {
    const double end_C = std::min(high_C, p->to_C);
    sum_J += p->at_V(0.5 * (begin_C + end_C)) * (end_C - begin_C);
    if (end_C >= high_C) return sum_J / (high_C - low_C);
    begin_C = end_C;
  }
}

void Bank::refill() {
  const double before_J = stored_J();
  hold(std::max(charge_C_, high_C_));
  in_J_ += stored_J() - before_J;
  empty_ = low_voltage_ = false;
  beyond_s_ = 0;
}

void Bank::charge_to(double state_of_charge_1) {
  const BankDescription& d = description_;
  require(state_of_charge_1 >= d.usable_low_1 && state_of_charge_1 <= d.usable_high_1, "battery",
          "charge", state_of_charge_1, "within the usable window");
  const double before_J = stored_J();
  hold(state_of_charge_1 * capacity_C_);
  const double change_J = stored_J() - before_J;
  (change_J > 0 ? in_J_ : out_J_) += std::abs(change_J);
  empty_ = charge_C_ <= low_C_ + near_C_;
  low_voltage_ = false;
  beyond_s_ = 0;
}

/// The current that gives a power: P = I (E - I R), E the mean over the charge that it takes. On
/// one straight piece E is linear in I and this is one quadratic; across a corner it is iterated.
Bank::Flow Bank::discharge(double power_W, double most_A, double dt_s) const {
  const Piece& p = piece();
  const double R = resistance_ohm(), leak_C = leak_A() * dt_s;
  const double droop_ohm = 0.5 * p.slope_V_C * dt_s;
  const double E_idle = p.at_V(charge_C_ - 0.5 * leak_C);
  bool limited = false;
  Flow f;
  f.current_A = limited_A(power_W, E_idle, R + droop_ohm, most_A, limited);
  f.open_V = E_idle - droop_ohm * f.current_A;
  if (charge_C_ - f.current_A * dt_s - leak_C < p.from_C)
    iterate_discharge(f, power_W, most_A, dt_s, limited);
  f.drop_V = f.current_A * R;
  f.power_W = f.current_A * (f.open_V - f.drop_V);
  if (limited || std::abs(f.power_W - power_W) > 1e-11 * power_W)
    f.limit = BankLimit::rate;
  else
    f.power_W = power_W;
  return f;
}

/// Across a corner of E.
void Bank::iterate_discharge(Flow& f, double power_W, double most_A, double dt_s,
                             bool& limited) const {
  const double R = resistance_ohm(), leak_C = leak_A() * dt_s;
  const auto open_V = [&] {
    return mean_open_V(charge_C_, std::max(0.0, charge_C_ - f.current_A * dt_s - leak_C));
  };
  f.open_V = open_V();
  for (int i = 0; i < kMostIterations; ++i) {
    const double before_A = f.current_A;
    f.current_A = limited_A(power_W, f.open_V, R, most_A, limited);
    if (std::abs(f.current_A - before_A) <= 1e-14 * f.current_A) break;
    f.open_V = open_V();
  }
}

/// The same where the charge above the floor ends within the step: until then.
Bank::Flow Bank::discharge_to(double floor_C, double power_W, double most_A, double dt_s) const {
  Flow f;
  const double leak_C = leak_A() * dt_s, left_C = std::max(0.0, charge_C_ - floor_C - leak_C);
  const double R = resistance_ohm();
  bool limited = false;
  f.open_V = mean_open_V(charge_C_ - leak_C - left_C, charge_C_);
  f.current_A = limited_A(power_W, f.open_V, R, most_A, limited);
  f.drop_V = f.current_A * R;
  f.power_W = f.current_A * (f.open_V - f.drop_V);
  if (left_C < f.current_A * dt_s) f.share_1 = left_C / (f.current_A * dt_s);
  f.limit = BankLimit::empty;
  return f;
}

/// Discharge within rate and window. The bank's own part goes on when the rate is 0.
Bank::Flow Bank::serve(double power_W, double own_W, double dt_s) const {
  const double floor_C = connected() ? low_C_ : 0.0;
  double most_A = warmth().discharge_A;
  Flow f = discharge(power_W, most_A, dt_s);
  if (f.limit != BankLimit::none) {
    const BankLimit why = warmth().discharge_bound;
    if (f.power_W < own_W) {
      most_A = kUnknown_A;
      power_W = own_W;
      f = discharge(power_W, most_A, dt_s);
    }
    f.limit = why;
  }
  if ((f.current_A + leak_A()) * dt_s > charge_C_ - floor_C)
    f = discharge_to(floor_C, power_W, most_A, dt_s);
  return f;
}

/// The current that takes a power in a step: P = I (E + I R), within rate, window and upper
/// voltage U. R is the cells', or (U - E) over the taper's current where that is more. Solved where
/// E stays on one straight piece and R the one or the other, else iterated.
Bank::Flow Bank::charge(double power_W) const {
  const double leak_C = leak_A() * length_.dt_s, missing_C = high_C_ - charge_C_;
  Flow f{0, 0, mean_open_V(charge_C_, charge_C_ - leak_C)};
  if (power_W <= 0) return f;
  const Warmth& w = warmth();
  f.limit = missing_C <= near_C_ ? BankLimit::full : w.charge_bound;
  if (f.limit == BankLimit::full || w.charge_A <= 0) return f;
  const double E_idle = f.open_V, R = resistance_ohm(), taper_A = missing_C * length_.taper_1_s;
  const double rise_ohm = 0.5 * coulombic_1_ * piece().slope_V_C * length_.dt_s;
  const double per_taper_1_A = 1 / taper_A, taper_ohm = (upper_V_ - E_idle) * per_taper_1_A;
  const bool tapers = taper_ohm > R, plenty = power_W >= taper_A * upper_V_;
  f.limit = BankLimit::none;
  if (!tapers)
    f.current_A = charging_A(power_W, E_idle, R + rise_ohm);
  else if (plenty)
    f.current_A = taper_A, f.limit = BankLimit::full;
  else
    f.current_A = tapering_A(power_W, E_idle, taper_ohm + rise_ohm, rise_ohm * per_taper_1_A,
                             power_W * per_upper_1_V_);
  if (f.current_A > w.charge_A) f.current_A = w.charge_A, f.limit = w.charge_bound;
  f.open_V = E_idle + rise_ohm * f.current_A;
  const double head_V = upper_V_ - f.open_V;
  f.drop_V = f.current_A * (tapers ? head_V * per_taper_1_A : R);
  f.power_W = f.current_A * (f.open_V + f.drop_V);
  const bool straight = charge_C_ + coulombic_1_ * f.current_A * length_.dt_s <= piece().to_C &&
                        charge_C_ - leak_C >= piece().from_C;
  const bool stands = tapers ? head_V >= taper_A * R : f.drop_V <= head_V;
  const bool met = f.limit != BankLimit::none || std::abs(f.power_W - power_W) <= 1e-12 * power_W;
  if (!(straight && stands && met)) iterate_charge(f, power_W, taper_A);
  // Rounding alone must not make it take less, or more, than is there.
  if (f.limit == BankLimit::none || f.power_W > power_W) f.power_W = power_W;
  return f;
}

/// Everywhere. The more current is tried the less the voltages allow: bracketed, then halved.
void Bank::iterate_charge(Flow& f, double power_W, double taper_A) const {
  const Warmth& w = warmth();
  double low_A = 0, high_A = kUnknown_A;
  for (int i = 0; i < kMostIterations; ++i) {
    const double to_C = charge_C_ + (coulombic_1_ * f.current_A - leak_A()) * length_.dt_s;
    f.open_V = mean_open_V(charge_C_, to_C);
    const double head_V = upper_V_ - f.open_V,
                 full_A = std::min(taper_A, head_V / resistance_ohm());
    double next_A = charging_A(power_W, f.open_V, head_V / full_A);
    f.limit = BankLimit::none;
    if (next_A > full_A) next_A = full_A, f.limit = BankLimit::full;
    if (next_A > w.charge_A) next_A = w.charge_A, f.limit = w.charge_bound;
    f.drop_V = f.current_A * head_V / full_A;
    if (std::abs(next_A - f.current_A) <= 1e-13 * next_A) break;
    (next_A > f.current_A ? low_A : high_A) = f.current_A;
    const bool astray = next_A <= low_A || next_A >= high_A || (i > 10 && high_A < kUnknown_A);
    f.current_A = astray ? 0.5 * (low_A + high_A) : next_A;
  }
  f.power_W = f.current_A * (f.open_V + f.drop_V);
}

void Bank::set_length(double dt_s) {
  const double C_W_K = description_.heat_capacity_J_K / dt_s;
  // Share of what is missing that the taper brings in a step.
  const double taper_1 = -std::expm1(-description_.cells.taper_per_h * dt_s / kHour_s);
  length_ = {dt_s, taper_1 / (coulombic_1_ * dt_s), C_W_K, 1 / (C_W_K + description_.ua_W_K)};
}

void Bank::give(double out_W, double offered_W) {
  BankStep& s = step_;
  const double own_W = standby_W_, leak = leak_A(), dt_s = length_.dt_s;
  const Flow f = serve(out_W + own_W - offered_W, std::max(0.0, own_W - offered_W), dt_s);
  // Once empty within the step: nothing but the bank's own part, as far as it is offered.
  const double on = f.share_1, I = on * f.current_A;
  s.accepted_W = on < 1 ? on * offered_W + (1 - on) * std::min(offered_W, own_W) : offered_W;
  if (s.accepted_W < offered_W) s.charge_limit = BankLimit::empty;
  s.granted_W = out_W;
  if (f.limit != BankLimit::none) {
    s.granted_W = on * std::clamp(f.power_W + offered_W - own_W, 0.0, out_W);
    if (s.granted_W < out_W) s.discharge_limit = f.limit;
  }
  s.current_A = I;
  s.terminal_V = f.open_V - f.drop_V;
  const double own_used_W = on * f.power_W + s.accepted_W - s.granted_W;
  s.loss_W = I * f.drop_V + leak * f.open_V + own_used_W;
  hold(std::max(0.0, charge_C_ - (I + leak) * dt_s));
}

void Bank::take(double out_W, double offered_W) {
  BankStep& s = step_;
  const double own_W = standby_W_, leak = leak_A();
  const Flow f = charge(offered_W - out_W - own_W);
  const double I = f.current_A;
  s.granted_W = out_W;
  s.accepted_W =
      f.limit == BankLimit::none ? offered_W : std::min(offered_W, out_W + own_W + f.power_W);
  s.charge_limit = f.limit;
  s.current_A = -I;
  s.terminal_V = f.open_V + f.drop_V;
  s.loss_W = I * f.drop_V + ((1 - coulombic_1_) * I + leak) * f.open_V + own_W;
  hold(charge_C_ + (coulombic_1_ * I - leak) * length_.dt_s);
}

void Bank::warm(double ambient_K) {
  // In rises over the surroundings, so that a bank at their temperature stays there exactly.
  const double rise_K = (length_.keep_W_K * (T_K_ - ambient_K) + step_.loss_W) * length_.rise_K_W;
  step_.heat_W = description_.ua_W_K * rise_K;
  hold_at(ambient_K + rise_K);
}

/// Disconnects and reconnects: by voltage with a delay, by the window at once.
void Bank::watch(double asked_W) {
  BankStep& s = step_;
  const BankDescription& d = description_;
  const double dt_s = length_.dt_s;
  const bool before = connected();
  const bool beyond = low_voltage_ ? s.terminal_V >= d.reconnect_V : s.terminal_V < d.disconnect_V;
  beyond_s_ = beyond ? beyond_s_ + dt_s : 0.0;
  if (beyond && beyond_s_ >= d.delay_s) {
    if (before && !low_voltage_) s.cut_after_s = dt_s - (beyond_s_ - d.delay_s);
    low_voltage_ = !low_voltage_;
    beyond_s_ = 0;
  }
  const bool at_low = charge_C_ <= low_C_ + near_C_;
  if (!empty_ && at_low) {
    empty_ = true;
    if (before) s.cut_after_s = asked_W > 0 ? dt_s * s.granted_W / asked_W : dt_s;
  } else if (empty_ && !at_low && charge_C_ >= back_C_) {
    empty_ = false;  // where that is the low end itself: only once something came in
  }
  s.cut = before && !connected();
  s.back = !before && connected();
}

const BankStep& Bank::step(double asked_W, double offered_W, double ambient_K, double dt_s) {
  check_step(asked_W, offered_W, ambient_K, dt_s);
  if (dt_s != length_.dt_s) set_length(dt_s);
  BankStep& s = step_;
  s.discharge_limit = s.charge_limit = BankLimit::none;
  s.cut_after_s = 0;
  double out_W = asked_W;
  if (!connected()) {
    out_W = 0;
    if (asked_W > 0) s.discharge_limit = empty_ ? BankLimit::empty : BankLimit::low_voltage;
  } else if (description_.port_limit_W > 0 && asked_W > description_.port_limit_W) {
    out_W = description_.port_limit_W;
    s.discharge_limit = BankLimit::port;
  }
  if (offered_W < out_W + standby_W_)
    give(out_W, offered_W);
  else
    take(out_W, offered_W);
  warm(ambient_K);
  watch(out_W);
  s.state_of_charge_1 = state_of_charge_1();
  s.T_K = T_K_;
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
  const double I = warmth().discharge_A, R = resistance_ohm(), used_C = (I + leak_A()) * dt_s;
  const double E = mean_open_V(charge_C_, std::max(0.0, charge_C_ - used_C));
  Flow f;
  if (used_C <= charge_C_ - low_C_ && I * R <= 0.5 * E) {
    // At their largest current all along, where a smaller one would not give more.
    f = {I, I * (E - I * R), E, I * R, warmth().discharge_bound};
  } else {
    f = serve(std::numeric_limits<double>::max(), 0, dt_s);
    // What the charge left gives when it is spread over the whole step.
    const double spread_A = f.current_A * f.share_1;
    f.power_W = spread_A * (f.open_V - f.drop_V * f.share_1);
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
