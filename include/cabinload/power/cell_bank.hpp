// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/power/curve.hpp>
#include <string_view>
#include <vector>

/// A bank of cells: charge, voltage under load, limits, losses and temperature.
///
/// Not modelled: the capacity that a lead-acid bank loses at high current (enter the capacity at
/// the current it is used at), ageing, cells out of balance, the slow part of a rebound.
namespace cabinload::power {

/// Lithium iron phosphate; lead-acid in absorbent glass mat.
enum class Chemistry { lfp, agm };
/// Inside or outside the cabin.
enum class Place { inside, outside };
/// "lfp", "agm".
[[nodiscard]] std::string_view name_of(Chemistry chemistry);

/// What a chemistry is like. `_1` of voltages: per nominal volt (12, 24, 48).
struct CellTable {
  double rated_1 = 1;       ///< rated over nominal volts: 12.8 V / 12 V for four LFP cells
  Curve open_1;             ///< at rest by state of charge 0..1; rises throughout
  double upper_1 = 1.2;     ///< held at the end of charging; above `open_1` of a full bank
  double resistance_h = 0;  ///< R E / V^2 at 25 degC [ohm W h / V^2], V rated; > 0
  Curve resistance_1;       ///< R over R at 25 degC, by temperature [K]; > 0
  Bands charge_per_h;      ///< largest charging current over the capacity [1/h], by temperature [K]
  Bands discharge_per_h;   ///< the same for discharge
  double taper_per_h = 1;  ///< current taken at the upper voltage over what is missing [1/h]; > 0
  double coulombic_1 = 1;  ///< charge stored over charge put in, above 0.5
  double self_discharge_1_s = 0;             ///< share of the charge lost per second
  double J_per_K_J = 0;                      ///< heat capacity over nominal energy [1/K]; > 0
  double disconnect_1 = 0, reconnect_1 = 0;  ///< volts, common settings
  double usable_low_1 = 0;                   ///< state of charge down to which it is commonly used
};
/// Sources and what is from memory: beside the values in cell_tables.cpp. Defaults to override:
/// a pack's own data sheet decides.
[[nodiscard]] const CellTable& cells_of(Chemistry chemistry);

/// A bank as bought and as set.
struct BankDescription {
  Chemistry chemistry = Chemistry::lfp;
  CellTable cells;                  ///< the chemistry's, or one's own
  double nominal_energy_J = 0;      ///< rated volts times capacity; > 0
  double nominal_V = 12;            ///< 12, 24 or 48
  double usable_low_1 = 0.1;        ///< state of charge at which it is empty, 0 <= low < high
  double usable_high_1 = 1.0;       ///< up to which it is charged, <= 1
  double reconnect_charge_1 = 0.2;  ///< at which an emptied bank serves again, low..high
  double disconnect_V = 0;          ///< under load; >= 0, 0: none
  double reconnect_V = 0;           ///< >= disconnect_V
  double delay_s = 30;              ///< below (above) which it must stay for so long; >= 0
  double start_1 = 1.0;             ///< low..high
  double port_limit_W = 0;          ///< most that its outlet gives; 0: none
  double standby_W = 0;             ///< its own electronics, always, also when disconnected
  Place place = Place::inside;
  double heat_capacity_J_K = 0;  ///< > 0
  double ua_W_K = 0;             ///< to what surrounds it; >= 0
  double start_K = 298.15;
};
/// All filled from the chemistry's table. Heat loss: 1.5 W/K for 1.28 kWh, with the 2/3 power of
/// the energy (a closed box of 0.3 m2 with 5 W/(m2 K); engineering judgement). Delay 30 s: common
/// practice, no published source.
/// @throws core::RangeError  energy not above 0, volts not 12, 24 or 48
[[nodiscard]] BankDescription bank_of(Chemistry chemistry, double nominal_energy_J,
                                      double nominal_V);
/// Volts that its ampere-hours are rated at: 12.8, 25.6, 51.2 (LFP), 12, 24, 48 (AGM).
[[nodiscard]] double rated_V(const BankDescription& bank);
/// Capacity [A h].
[[nodiscard]] double capacity_Ah(const BankDescription& bank);

/// Cells bound by their temperature are too hot above this, too cold below [K].
inline constexpr double kMildCells_K = 298.15;

/// Why less was given, or taken, than asked.
enum class BankLimit {
  none,
  port,         ///< the outlet's limit
  temperature,  ///< too hot or too cold for (full) discharge, or too hot to charge
  rate,         ///< the cells' largest current
  empty,        ///< at the low end of its window, or not back from there
  low_voltage,  ///< disconnected by its voltage
  cold_charge,  ///< too cold to charge (fully)
  full,         ///< at the upper voltage: it takes less and less
};
/// "cold_charge", as the enumerator; none: "none".
[[nodiscard]] std::string_view name_of(BankLimit limit);

/// Means over a step, and the state at its end.
struct BankStep {
  double granted_W = 0;   ///< of the asked, at the terminals
  double accepted_W = 0;  ///< of the offered, at the terminals: for loads, standby and cells
  double terminal_V = 0;  ///< > 0 also while disconnected: what the cells hold
  double current_A = 0;   ///< of the cells, discharge > 0
  double loss_W = 0;      ///< resistance, coulombic, self-discharge, standby
  double heat_W = 0;      ///< to the surroundings
  double state_of_charge_1 = 0;
  double T_K = 0;
  BankLimit discharge_limit = BankLimit::none;
  BankLimit charge_limit = BankLimit::none;
  bool cut = false;        ///< loads were disconnected in this step
  double cut_after_s = 0;  ///< when, from its start
  bool back = false;       ///< loads are connected again from its end on
};

/// Loads take from what is offered first; the cells give or take the difference at constant power.
/// Charge is counted in ampere-seconds:
///     d(charge)/dt = -I (discharge) or -I eta (charge) - self-discharge
///     V = E - I R,  P = V I,  E the mean of the open-circuit voltage over the step's charge
/// and solved for I (exact, the integral of the piecewise linear E too), so that energy closes to
/// rounding for any step. Charging at the upper voltage takes what is missing times `taper_per_h`
/// (the exponential taper of a constant-voltage stage [Mas1967]); the resistance to charging is
/// what brings the voltage there then. Temperature: implicit, limits and R from the step's start.
class Bank {
 public:
  /// @throws core::RangeError  a value out of range, by key, with what would be right
  explicit Bank(const BankDescription& description);

  /// @param asked_W, offered_W  >= 0
  /// @param dt_s                > 0
  /// @throws core::RangeError  otherwise
  /// @return                    valid until the next step
  const BankStep& step(double asked_W, double offered_W, double ambient_K, double dt_s);

  /// Charges it to the high end of its window from outside the model, ready to serve again.
  void refill();
  /// Sets its charge from outside the model; it serves again unless that is the low end.
  /// @param state_of_charge_1  within the usable window
  /// @throws core::RangeError  otherwise
  void charge_to(double state_of_charge_1);
  /// Most that it can grant through a whole step with so much offered [W].
  /// @param bound_by  out: what keeps it from more; may be null
  [[nodiscard]] double most_W(double offered_W, double dt_s, BankLimit* bound_by = nullptr) const;
  /// Loads are served: neither empty nor cut by its voltage.
  [[nodiscard]] bool connected() const { return !empty_ && !low_voltage_; }
  /// At the low end of its window, and not yet back at the charge from which it serves again.
  [[nodiscard]] bool empty() const { return empty_; }
  /// Charge over capacity, 0..1.
  [[nodiscard]] double state_of_charge_1() const { return charge_C_ / capacity_C_; }
  /// Temperature of the cells [K].
  [[nodiscard]] double T_K() const { return T_K_; }
  /// Voltage at rest at its present charge [V].
  [[nodiscard]] double open_V() const { return piece().at_V(charge_C_); }
  /// Internal resistance at its present temperature [ohm].
  [[nodiscard]] double resistance_ohm() const { return warmth().at_ohm(T_K_); }
  /// Integral of the open-circuit voltage over the charge held [J].
  [[nodiscard]] double stored_J() const {
    const Piece& p = piece();
    const double over_C = charge_C_ - p.from_C;
    return p.below_J + (p.from_V + 0.5 * p.slope_V_C * over_C) * over_C;
  }
  /// Stored energy and heat against a start at 0 K [J].
  [[nodiscard]] double content_J() const {
    return stored_J() + description_.heat_capacity_J_K * T_K_;
  }
  /// Energy in - out - change of stored energy and heat - heat given off, over all energy moved
  /// (at least a thousandth of the nominal).
  [[nodiscard]] double residual_relative() const;
  /// As given.
  [[nodiscard]] const BankDescription& description() const { return description_; }

 private:
  struct Flow {  ///< of the cells, > 0 in its own direction
    double current_A = 0;
    double power_W = 0;  ///< at the terminals
    double open_V = 0;
    double drop_V = 0;  ///< between cells and terminals: current times resistance
    BankLimit limit = BankLimit::none;
    double share_1 = 1;  ///< of the step that it lasts
  };
  /// A straight piece of E by charge; the last one has no end.
  struct Piece {
    double from_C, to_C, from_V, slope_V_C;
    double below_J;  ///< integral of E up to its start
    [[nodiscard]] double at_V(double charge_C) const {
      return from_V + slope_V_C * (charge_C - from_C);
    }
  };
  /// What the cells' temperature decides, between two corners of the tables; the outermost have no
  /// end.
  struct Warmth {
    double from_K, to_K;
    double at_K, R_ohm, slope_ohm_K;          ///< of the resistance: a point and the slope
    double charge_A, discharge_A;             ///< largest currents
    BankLimit charge_bound, discharge_bound;  ///< what bounds them
    [[nodiscard]] double at_ohm(double T_K) const { return R_ohm + slope_ohm_K * (T_K - at_K); }
  };
  /// What follows from the length of a step, kept until that changes.
  struct StepLength {
    double dt_s = 0;
    double taper_1_s = 0;  ///< current at the upper voltage over the charge missing
    double keep_W_K = 0;   ///< heat capacity over the step
    double rise_K_W = 0;   ///< at its end, by the heat put in and that of the start
  };
  [[nodiscard]] const Piece& piece() const { return pieces_[piece_]; }
  [[nodiscard]] const Warmth& warmth() const { return warmths_[warmth_]; }
  void lay_out_voltage();
  void lay_out_warmth();
  // Inline where a step calls them once.
  inline void hold(double charge_C);
  inline void hold_at(double T_K);
  [[nodiscard]] double mean_open_V(double from_C, double to_C) const;
  [[nodiscard]] double leak_A() const { return self_discharge_1_s_ * charge_C_; }
  [[nodiscard]] inline Flow discharge(double power_W, double most_A, double dt_s) const;
  void iterate_discharge(Flow& f, double power_W, double most_A, double dt_s, bool& limited) const;
  [[nodiscard]] Flow discharge_to(double floor_C, double power_W, double most_A, double dt_s) const;
  [[nodiscard]] inline Flow serve(double power_W, double own_W, double dt_s) const;
  [[nodiscard]] inline Flow charge(double power_W) const;
  void iterate_charge(Flow& f, double power_W, double taper_A) const;
  void set_length(double dt_s);
  inline void give(double out_W, double offered_W);
  inline void take(double out_W, double offered_W);
  inline void warm(double ambient_K);
  inline void watch(double asked_W);

  BankDescription description_;
  std::vector<Piece> pieces_;
  std::vector<Warmth> warmths_;
  // Of the description, in the units of a step.
  double capacity_C_, upper_V_, per_upper_1_V_, self_discharge_1_s_, coulombic_1_, standby_W_;
  double low_C_, high_C_, back_C_;  ///< charge at the window's ends, and where it serves again
  double near_C_;                   ///< so near to an end counts as there
  StepLength length_;
  BankStep step_;  ///< the last one
  double charge_C_, T_K_;
  std::size_t piece_ = 0, warmth_ = 0;  ///< on which charge and temperature stand
  bool empty_ = false, low_voltage_ = false;
  double beyond_s_ = 0;  ///< voltage below disconnect, or above reconnect, for so long
  double in_J_ = 0, out_J_ = 0, heat_J_ = 0, start_J_ = 0;
};

/// What a display shows that divides the usable energy left by the draw of the moment [h];
/// infinite when nothing is drawn. It counts nominal watt-hours and knows of no losses, limits, sun
/// or falling load.
[[nodiscard]] double naive_hours_displayed(const Bank& bank, double present_W);

}  // namespace cabinload::power
