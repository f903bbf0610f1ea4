// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string>
#include <vector>

/// The cooling unit as a map from the air it breathes to what it gives.
///
/// Plain in this version: capacity and power follow normalised factors of wet bulb and condenser
/// inlet; the sensible share at part speed is that of full speed; the condenser's warm layer is one
/// stated rise; restart delays, water evaporating back from the coil and low supply voltage are not
/// modelled.
namespace cabinload::unit {

/// c0 + c1 x + c2 x2 + c3 y + c4 y2 + c5 x y, equal to 1 at the rating point.
/// x: evaporator inlet wet bulb [degC], y: condenser inlet dry bulb [degC].
struct BiQuadratic {
  double c[6] = {1, 0, 0, 0, 0, 0};
  double x_min_degC = 10, x_max_degC = 26, y_min_degC = 15,
         y_max_degC = 55;  ///< inputs are clamped
  [[nodiscard]] double at(double wet_bulb_degC, double condenser_degC) const;
};

/// A unit as described: the rating point and how it moves away from it.
struct Description {
  std::string key;
  std::string about;
  std::string source;           ///< "invented"
  double volts = 24;            ///< nominal supply
  double capacity_W = 2000;     ///< rated total cooling, net of the cabin fan, full speed
  double power_W = 700;         ///< rated electric input at the same point, all included
  double rated_wet_bulb_K = 0;  ///< evaporator inlet, rating point
  double rated_dry_bulb_K = 0;
  double rated_condenser_K = 0;
  double sensible_ratio_1 = 0.75;  ///< at the rating point
  double air_flow_m3_s = 0.08;     ///< cabin side, full fan
  double cabin_fan_W = 25;         ///< part of power_W; its heat enters the cabin
  double standby_W = 2;            ///< controls, all the time it is scheduled on; part of power_W
  double minimum_speed_1 = 0.4;    ///< of full
  double minimum_speed_capacity_1 = 0.45;  ///< of full-speed capacity
  double minimum_speed_power_1 = 0.36;     ///< of full-speed compressor and condenser-fan power
  double cyclic_degradation_1 = 0.15;      ///< C_D of AHRI 210/240 below minimum speed
  double condenser_cut_out_K = 0;          ///< condenser inlet above which it stops
  BiQuadratic capacity_factor;             ///< generic unless said otherwise
  BiQuadratic power_factor;
  std::string factors_source;
};

/// How it is run.
struct Settings {
  double T_set_K = 0;      ///< at the return-air sensor
  double power_cap_W = 0;  ///< economy: electric cap, 0 = none
  double speed_cap_1 = 1;  ///< economy: of full speed
  double condenser_air_rise_K =
      0;                   ///< roof's warm layer and recirculation over outdoor air (plain)
  bool fan_always = true;  ///< while scheduled on; else with the compressor
};

/// Air at the two coils.
struct Inlet {
  double T_cabin_K = 0;
  double W_cabin_1 = 0;  ///< humidity ratio [kg/kg]
  double p_Pa = 101325;
  double T_condenser_K = 0;
};

/// What the unit can give at most at a moment, and what it takes for it.
struct Offer {
  double sensible_W = 0;  ///< gross coil sensible heat removed, >= 0
  double latent_W = 0;
  double moisture_kg_s = 0;       ///< condensed
  double compressor_W = 0;        ///< compressor and condenser fan
  double minimum_sensible_W = 0;  ///< the same at minimum speed: below it, cycling
  double minimum_latent_W = 0;
  double minimum_moisture_kg_s = 0;
  double minimum_compressor_W = 0;
  bool capped = false;   ///< economy or supply holds it below full speed
  bool cut_out = false;  ///< condenser too hot: nothing is given
};

/// What it does over a step.
struct Delivered {
  double sensible_W = 0;  ///< gross coil sensible, mean over the step
  double latent_W = 0;
  double moisture_kg_s = 0;
  double fan_heat_W = 0;       ///< into the cabin air
  double electric_W = 0;       ///< all of the unit, at its terminals
  double compressor_on_1 = 0;  ///< share of the step that the compressor runs
  double load_ratio_1 = 0;     ///< delivered over the full offer's sensible
};

/// Ready to run: description and settings with everything that does not change worked out once.
class Machine {
 public:
  /// @throws core::RangeError  values out of range, named
  Machine(const Description& description, const Settings& settings);

  /// What it can give now. Coil state by apparatus dew point and bypass factor; dry coil handled.
  /// Accuracy: iterations stop at 1e-6 of the capacity.
  [[nodiscard]] Offer offer(const Inlet& inlet) const;

  /// Meets a sensible demand as far as the offer goes: modulates between minimum and full speed,
  /// below minimum cycles with the cyclic loss. demand <= 0: compressor off, fan as set.
  /// @param gross_sensible_demand_W  coil sensible that would hold the set point, fan heat included
  [[nodiscard]] Delivered deliver(const Offer& offer, double gross_sensible_demand_W) const;

  /// Heat of the cabin fan while it runs [W].
  [[nodiscard]] double fan_heat_W() const { return description_.cabin_fan_W; }
  [[nodiscard]] const Description& description() const { return description_; }
  [[nodiscard]] const Settings& settings() const { return settings_; }

 private:
  struct Coil {
    double sensible_W, latent_W, moisture_kg_s;
  };
  [[nodiscard]] double gross_W(double wet_bulb_K, double T_condenser_K) const;
  [[nodiscard]] Coil coil(const Inlet& inlet, double wet_bulb_K) const;
  [[nodiscard]] Coil dry_coil(const Inlet& inlet) const;

  Description description_;
  Settings settings_;
  double gross_rated_W_ = 0;       ///< net capacity plus the cabin fan's heat
  double compressor_rated_W_ = 0;  ///< without cabin fan and controls
  double bypass_factor_1_ = 0;
};

/// Apparatus dew point and bypass factor of a coil that cools `mass_flow` of air by given heats.
/// The straight line from inlet to outlet meets saturation at the apparatus dew point;
/// bypass = (T_out - T_adp) / (T_in - T_adp). Source: [ASHRAE-S2016] ch. 23.
/// @throws core::RangeError  the line does not meet saturation: more latent heat than such a coil
/// can take
struct BypassResult {
  double T_adp_K, bypass_factor_1;
};
[[nodiscard]] BypassResult bypass_factor(double T_in_K, double W_in_1, double p_Pa,
                                         double mass_flow_kg_s, double total_W, double sensible_W);

/// Invented generic units, smallest first.
[[nodiscard]] const std::vector<Description>& built_in();

}  // namespace cabinload::unit
