// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/power/cell_bank.hpp>
#include <cabinload/power/converter.hpp>
#include <cabinload/power/sources.hpp>
#include <optional>
#include <string_view>
#include <vector>

/// What feeds the unit and the other loads: one bank, converters, sources.
namespace cabinload::power {

/// What a supply of so many volts is called: 12, 24 or 48, from a tenth less (flat) to a quarter
/// more (being charged); none: nobody calls it one of these. Common practice, no published source.
[[nodiscard]] std::optional<double> nominal_volts(double volts);

/// What there is; what is unset is not there.
struct SupplyDescription {
  BankDescription bank;
  double unit_V = 12;                            ///< 12, 24 or 48
  std::optional<ConverterDescription> to_unit;   ///< needed where unit_V is not the bank's
  std::optional<ConverterDescription> inverter;  ///< without it no alternating current off shore
  std::optional<Panels> panels;
  std::optional<Alternator> alternator;
  std::optional<Shore> shore;
  Place electronics = Place::inside;  ///< converters, controller, chargers: where their heat goes
};

/// Asked for a step; all >= 0.
struct Ask {
  double unit_W = 0;      ///< at the unit's terminals
  double other_dc_W = 0;  ///< at the bank's voltage
  double other_ac_W = 0;  ///< alternating current
};

/// What surrounds the supply during a step.
struct Around {
  double T_cabin_K = 298.15, T_out_K = 298.15;
  double wind_m_s = 0;               ///< at the panels
  double panel_irradiance_W_m2 = 0;  ///< on their plane, after shade; >= 0
  bool driving = false;
  double second_of_day = 0;  ///< of the step's start
};

/// Why the unit gets less than it asks.
enum class SupplyLimit {
  none,
  empty,        ///< the bank, at the low end of its window
  port,         ///< the bank's outlet
  converter,    ///< the converter to the unit
  rate,         ///< the cells' largest current
  temperature,  ///< the cells, too hot or too cold
  low_voltage,  ///< the bank's low-voltage disconnect
  shore_trip,   ///< the bank is empty or disconnected because the pitch's breaker has tripped
};
/// "low_voltage", as the enumerator; none: "none".
[[nodiscard]] std::string_view name_of(SupplyLimit limit);

/// The breaker at the pitch tripped; the bank was cut by its voltage; it ran empty; it serves
/// again.
enum class EventKind { shore_trip, low_voltage, empty, reconnected };
/// "low_voltage", as the enumerator.
[[nodiscard]] std::string_view name_of(EventKind kind);
/// A change that people should know of.
struct Event {
  EventKind kind;
  double second_of_day;  ///< when, 0..86400
};

/// Means over a step, and the state at its end.
struct Granted {
  double unit_W = 0, unit_V = 0;  ///< at its terminals; 0 V while disconnected
  double other_dc_W = 0, other_ac_W = 0;
  double solar_W = 0;           ///< to the bus, used
  double solar_possible_W = 0;  ///< of it, what there was
  double alternator_W = 0;      ///< to the bus, used
  double shore_W = 0;           ///< drawn at the pitch: loads and charger
  double charge_W = 0;          ///< into the bank's cells at its terminals
  double state_of_charge_1 = 0, bank_K = 0;
  double heat_to_cabin_W = 0;  ///< of bank and electronics that stand inside
  double battery_W = 0;        ///< what the bank's cells gave of their content; below zero: took
  double loss_W = 0;  ///< solar_W + alternator_W + shore_W + battery_W - what the loads got
  SupplyLimit limit = SupplyLimit::none;
  BankLimit discharge_limit = BankLimit::none;  ///< why the bank gave less than all together asked
  BankLimit charge_limit = BankLimit::none;     ///< why not all that is offered was taken
  std::vector<Event> events;
};

/// Loads take from panels, alternator and shore in this order, then from the bank; what is over
/// charges the bank as far as it takes it. Loads of alternating current are on shore while it
/// gives. When the bus cannot give all, other loads come first and the unit gets the rest; when the
/// bank empties within a step, all ran for that share of it. While the bank is disconnected loads
/// on the bus get nothing: what is offered charges it until it is back.
class Supply {
 public:
  /// @throws core::RangeError  a value out of range, by key, with what would be right
  explicit Supply(const SupplyDescription& description);

  /// What it grants: as granted() until the next step. Where the pitch's breaker trips within it,
  /// shore power counts until then.
  /// @throws core::RangeError  an ask or irradiance below 0 or not finite, dt_s not above 0
  const Granted& step(const Ask& ask, const Around& around, double dt_s);
  /// By the last step; nothing before the first.
  [[nodiscard]] const Granted& granted() const { return granted_; }

  /// As Bank::refill().
  void refill();
  /// As Bank::charge_to().
  void charge_to(double state_of_charge_1);
  /// Most that it can grant the unit through a whole step, beside what the others ask [W].
  /// @param bound_by  out: what keeps the bank from more; may be null
  [[nodiscard]] double most_unit_W(const Ask& others, const Around& around, double dt_s,
                                   BankLimit* bound_by = nullptr) const;
  /// The bank as the last step left it.
  [[nodiscard]] const Bank& bank() const { return bank_; }
  /// Energy from sources - to loads - heat - change of what the bank holds, over all energy moved
  /// (at least a thousandth of the bank's nominal).
  [[nodiscard]] double residual_relative() const;

 private:
  struct Offer {
    double solar_W = 0, alternator_W = 0, charger_W = 0;  ///< at the bus
    [[nodiscard]] double total_W() const { return solar_W + alternator_W + charger_W; }
    [[nodiscard]] Offer taken(double accepted_W) const;
  };
  struct Load {
    double out_W = 0, in_W = 0;  ///< at its terminals, at the bus
  };
  struct Loads {
    Load dc, ac, unit;
    [[nodiscard]] double in_W() const { return dc.in_W + ac.in_W + unit.in_W; }
    [[nodiscard]] double out_W() const { return dc.out_W + ac.out_W + unit.out_W; }
  };
  // Inline for the step, which they are most of.
  [[nodiscard]] inline Offer offer(const Around& around, bool on_shore) const;
  [[nodiscard]] inline Loads loads(const Ask& ask, bool on_shore) const;
  [[nodiscard]] Loads shed(const Loads& asked, const BankStep& s) const;
  [[nodiscard]] SupplyLimit why(const Ask& ask, const Loads& asked, const Loads& served,
                                const BankStep& s) const;
  void note(EventKind kind, double second_of_day);
  const Granted& advance(const Ask& ask, const Around& around, double dt_s);
  const Granted& step_that_may_trip(const Ask& ask, const Around& around, double dt_s);

  SupplyDescription description_;
  Bank bank_;
  Converter to_unit_;
  std::optional<PanelYield> panels_;
  std::optional<Converter> inverter_;
  std::optional<ShoreBreaker> breaker_;
  bool bank_inside_, electronics_inside_;
  /// Lost before the bus, over what comes to it; 0 for what is not there.
  double solar_loss_1_ = 0, alternator_loss_1_ = 0, charger_loss_1_ = 0;
  Granted granted_;
  double bank_V_;     ///< of the step before
  double content_J_;  ///< of the bank, now
  double start_J_, in_J_ = 0, out_J_ = 0, heat_J_ = 0;
};

}  // namespace cabinload::power
