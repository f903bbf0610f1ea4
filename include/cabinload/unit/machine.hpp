// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/unit/coil.hpp>
#include <cabinload/unit/unit.hpp>
#include <limits>

namespace cabinload::unit {

/// What the unit meets at a moment.
struct Inlet {
  double T_cabin_K = 0;  ///< return air
  double W_cabin_1 = 0;  ///< humidity ratio [kg/kg]
  double p_Pa = 101325;
  double T_out_K = 0;        ///< outdoor air
  double roof_W_m2 = 0;      ///< convection from the roof to the air over it, positive warms it
  double air_speed_m_s = 0;  ///< over the roof
  double second_of_day = 0;
  double volts = std::numeric_limits<double>::infinity();  ///< at its terminals
};

/// What the unit remembers from step to step. A plain value: copy it to branch a run.
struct State {
  double locked_s = 0;  ///< time left before it may start again
  bool locked_hot = false, locked_volts = false;
  double coil_water_kg = 0;
  double condenser_heat_W = 0;  ///< last given off: what comes round again
  /// Guesses from the step before, slow, middle and fast: apparatus dew point, heat of a dry coil
  /// (0: none) and its wet bulb; wet bulb of the return air.
  double T_adp_K[3] = {285, 285, 285}, dry_W[3] = {0, 0, 0}, dry_wet_K[3] = {285, 285, 285};
  double T_wet_K = 288;
  double load_1 = 0, on_1 = 0;                   ///< of a cycling step
  std::array<double, 4> cycling = {1, 0, 0, 1};  ///< and the slopes along which they were found
  // Cycle-resolved running only.
  bool on = false;
  double in_state_s = 1e6;  ///< time since it went on or off
  double speed_1 = 0, integral_1 = 0;
  double shift_K = 0;                 ///< of the thermostat's band
  double cycle_s = 0, cycle_K_s = 0;  ///< since the last start, and its temperature over the set
};

/// One way it can run: a speed and what that gives, steady.
struct Running {
  double speed_1 = 0;
  CoilHeat heat;            ///< gross
  double compressor_W = 0;  ///< compressor and condenser fan
};

/// What the unit can do in a step.
struct Offer {
  Running slow, middle, fast;  ///< minimum speed, the fastest allowed, and half way
  double condenser_K = 0;      ///< air that the condenser breathes
  double fan_W = 0;            ///< cabin fan at the present level: electricity, and heat
  double fan_flow_m3_s = 0;
  double vapour_J_kg = 2.55e6;  ///< enthalpy of vapour in the return air
  double evaporation_1 = 0;     ///< readiness of the air to take water back, 1 at the rating point
  bool capped = false;          ///< economy, quiet hours or derating hold it below full speed
  bool cut_out = false;         ///< too hot, or waiting to start again: nothing is given
  bool low_volts = false;       ///< supply too low: nothing is given
  bool inside = true;           ///< within the range of the description
  bool running = false;         ///< there is something to give
  bool slow_does = false;       ///< the slowest gives enough: middle and fast were left as it is
};

/// What the cabin asks.
struct Demand {
  double net_W = 0;      ///< sensible heat to take from the air to hold the set point, without the
                         ///< cabin fan's own, which comes on top
  double air_J_K = 1e5;  ///< heat that warms the cabin air by 1 K within a minute
  double limit_W = std::numeric_limits<double>::infinity();  ///< electricity granted
};

/// What it does over a step.
struct Delivered {
  double sensible_W = 0;  ///< gross coil sensible, mean over the step
  double latent_W = 0;    ///< negative: water goes back to the air
  double moisture_kg_s = 0;
  double fan_heat_W = 0;       ///< into the cabin air
  double electric_W = 0;       ///< all of the unit, at its terminals
  double condenser_W = 0;      ///< heat to the outdoors
  double compressor_on_1 = 0;  ///< share of the step that the compressor runs
  double fan_on_1 = 0;
  double load_ratio_1 = 0;  ///< delivered over what the fastest would give, as the offer has it
  bool limited = false;     ///< less electricity was granted than it asked for
};

/// Ready to run: description and settings with everything that does not change worked out once.
class Machine {
 public:
  /// @throws core::RangeError  as examine() says
  Machine(const Description& description, const Settings& settings);

  /// What it can give now. Advances the protection's clocks by dt_s.
  /// @param asked     false: nothing is asked of the coil; the map is not read
  /// @param enough_W  where the slowest gives more sensible heat than this, that is all it says
  [[nodiscard]] Offer offer(const Inlet& inlet, bool asked, State& state, double dt_s,
                            double enough_W = std::numeric_limits<double>::infinity()) const;

  /// Meets a sensible demand as far as the offer goes: modulates between minimum and full speed,
  /// below minimum cycles; demand <= 0: compressor off, fan as set, water evaporating. What cannot
  /// be met after a rest is given as the coil comes to its full.
  [[nodiscard]] Delivered deliver(const Offer& offer, const Demand& demand, State& state,
                                  double dt_s) const;

  /// The same for real: on and off by the thermostat's differential and the minimum times, the band
  /// shifted so that the mean of short cycles is the set point; speed by a proportional-integral
  /// law with the ramp, from the slowest at a start; capacity building up after it. Steps of 1..10
  /// s.
  [[nodiscard]] Delivered deliver_cycles(const Offer& offer, double T_return_K, double limit_W,
                                         State& state, double dt_s) const;

  /// A step in which it is switched off or has no supply: nothing runs, clocks go on.
  void rest(State& state, double dt_s) const;

  /// Heat of the cabin fan at the level of that time of day [W].
  [[nodiscard]] double fan_W(double second_of_day) const;
  /// Air that it moves then [m3/s].
  [[nodiscard]] double fan_flow_m3_s(double second_of_day) const;
  /// As given.
  [[nodiscard]] const Description& description() const { return description_; }
  /// As given.
  [[nodiscard]] const Settings& settings() const { return settings_; }
  /// Its map and where that comes from.
  [[nodiscard]] const Characteristics& characteristics() const { return characteristics_; }
  /// Bypass factor at full cabin air flow, from the rating point.
  [[nodiscard]] double bypass_factor_1() const { return bypass_factor_1_; }
  /// Time in which the coil comes to its full after a start [s]: such that the standard's cyclic
  /// test, 6 min on and 24 min off, loses what C_D says.
  [[nodiscard]] double start_s() const { return start_s_; }
  /// Air at the condenser over outdoor air [K].
  [[nodiscard]] double condenser_rise_K(const Inlet& inlet, double condenser_heat_W) const;

 private:
  [[nodiscard]] double fan_level_1(double second_of_day) const;
  [[nodiscard]] bool protect(const Inlet& inlet, State& state, double dt_s, Offer& offer) const;
  [[nodiscard]] double fastest_1(const Inlet& inlet, const Map::Line& line, Offer& offer) const;
  void fill(const Inlet& inlet, const Map::Line& line, double level_1, double wet_bulb_K,
            double fastest_1, double enough_W, Offer& offer, State& state) const;
  void run(const Offer& o, const Demand& demand, Delivered& out, State& state, double dt_s) const;
  void cycle(const Offer& o, const Demand& demand, Delivered& out, State& state, double dt_s) const;
  [[nodiscard]] double on_share_1(const Offer& o, const Demand& demand, double load_1, double on_1,
                                  double& cycle_s) const;
  [[nodiscard]] double latent_left_1(const Offer& o, double on_1, double blown_1,
                                     double cycle_s) const;
  [[nodiscard]] double dried_kg(const Offer& o, double water_kg, double blown_s) const;
  void idle(const Offer& o, Delivered& out, State& state, double dt_s) const;
  void shift_band(State& state) const;
  void add_fans(const Offer& o, double cycle_s, Delivered& out) const;

  Description description_;
  Settings settings_;
  Characteristics characteristics_;
  const GenericFactors* generic_ = nullptr;  // for the change with air flow
  double bypass_factor_1_ = 0;
  double condenser_flow_m3_s_ = 0;
  double rated_latent_W_ = 0, water_full_kg_ = 0, start_s_ = 0;
  double rated_depression_K_ = 0;  // dry less wet bulb
};

}  // namespace cabinload::unit
