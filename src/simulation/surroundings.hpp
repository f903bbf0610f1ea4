// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/network/stepper.hpp>
#include <cabinload/occupants/occupants.hpp>
#include <cabinload/power/supply.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <vector>

namespace cabinload::simulation {

/// The world around the cabin in the middle of a step.
struct Outdoors {
  double T_K, W_1, p_Pa, wind_m_s, T_sky_K, T_ground_K, T_under_K;
  double air_speed_m_s = wind_m_s;  ///< past the vehicle: wind, and the speed while driving
};

/// What the cabin tells its surroundings at the start of a step.
struct CabinNow {
  double T_air_K = 0;
  bool powered = true;            ///< the vent fan has electricity
  occupants::Served served = {};  ///< what appliances got, in the step before
  double power_heat_W = 0;        ///< of battery and electronics inside, of the step before
  double stirring_m3_s = 0;       ///< cabin air that the unit's fan moves
  double extra_m3_s = 0;          ///< outdoor air beside what the scenario says
  double cracks_warm_1 = 1, cracks_cool_1 = 1;  ///< on the cracks while it is warmer outdoors; else
};

/// What appliances get of what they ask, by the step before; all where nothing was asked then.
/// @param powered  the supply is connected; without it only what shore feeds gets anything
[[nodiscard]] inline occupants::Served served_of(const power::Ask& ask,
                                                 const power::Granted& granted, bool powered) {
  const auto share = [](double granted_W, double asked_W) {
    return asked_W > 0 ? granted_W / asked_W : 1.0;
  };
  return {powered ? share(granted.other_dc_W, ask.other_dc_W) : 0.0,
          powered || granted.shore_W > 0 ? share(granted.other_ac_W, ask.other_ac_W) : 0.0};
}

/// What refrigerators drew of what the supply granted [W]. @param load  what `ask` was made of
[[nodiscard]] inline double refrigerators_W(const occupants::Load& load, const power::Ask& ask,
                                            const power::Granted& granted) {
  const auto got = [](double part_W, double granted_W, double asked_W) {
    return asked_W > 0 ? part_W * (granted_W / asked_W) : 0.0;
  };
  return got(load.refrigerator_direct_W, granted.other_dc_W, ask.other_dc_W) +
         got(load.refrigerator_alternating_W, granted.other_ac_W, ask.other_ac_W);
}

/// Weather, sun, people and openings of a step, written into the network's drive. What does not
/// change within 10 min is not computed anew.
class Surroundings {
 public:
  Surroundings(const network::Cabin& cabin, const forcing::Forcing& forcing,
               const scenario::Scenario& scenario);

  [[nodiscard]] Outdoors outdoors_at(double t_s) const;
  /// Sets `drive` for the step around `middle_s` (seconds after 00:00 of the series' first day).
  void set(double middle_s, double second_of_day, const CabinNow& now, network::Drive<1>& drive);

  [[nodiscard]] const Outdoors& out() const { return out_; }
  [[nodiscard]] const occupants::Gains& gains() const { return gains_; }
  [[nodiscard]] double exchange_kg_s() const { return exchange_kg_s_; }  ///< dry air coming in
  [[nodiscard]] double air_kg() const { return air_kg_; }                ///< dry air in the cabin
  [[nodiscard]] double vent_fan_W() const { return vent_fan_W_; }
  /// Heat of battery and electronics, as CabinNow gave it.
  [[nodiscard]] double power_heat_W() const { return power_heat_W_; }
  [[nodiscard]] double global_W_m2(double middle_s) const;  ///< on the level ground
  [[nodiscard]] double plane_W_m2(
      double middle_s) const;  ///< on the first of Site::planes; 0 without
  /// Sun of one window (a chain): what entered, what its inner pane took, and what its inside cover
  /// gave to the air [W]; of one surface: heat stated at its inner face [W].
  struct OfChain {
    double entered_W = 0, pane_W = 0, cover_W = 0, stated_W = 0;
  };
  [[nodiscard]] const OfChain& of_chain(std::size_t chain) const { return of_chain_[chain]; }
  /// Number of the 10 min for which the sun stands.
  [[nodiscard]] long slot() const { return slot_; }

 private:
  /// Outdoors along one hour: straight lines.
  struct Hour {
    long number = -1'000'000'000;
    std::array<double, 7> from{}, rise{};  // in the order of Outdoors
    [[nodiscard]] Outdoors at(double share_1) const;
  };
  [[nodiscard]] Hour hour(long number) const;
  [[nodiscard]] std::size_t slot_at(double middle_s) const;
  void set_slot(long slot, double second_of_day, network::Drive<1>& drive);
  void set_surfaces(std::size_t slot, double second_of_day, network::Drive<1>& drive);
  double set_windows(std::size_t slot, double second_of_day, network::Drive<1>& drive);
  void set_air(double second_of_day, const CabinNow& now, network::Drive<1>& drive);
  void stir(double flow_m3_s, network::Drive<1>& drive);
  double vent_fan_m3_s(double second_of_day, const CabinNow& now);

  const network::Cabin& cabin_;
  const forcing::Forcing& forcing_;
  const scenario::Scenario& scenario_;
  std::vector<double> sun_inner_W_;  // per chain, of the current slot
  std::vector<OfChain> of_chain_;    // the same by origin
  double sun_to_air_W_ = 0;          // absorbed by inside covers, or stated to go to the air
  double stirred_m3_s_ = -1;         // flow for which drive.mixing_W_m2K stands
  double vent_fan_W_ = 0, power_heat_W_ = 0, exchange_kg_s_ = 0, air_kg_ = 0;
  long slot_ = -1'000'000'000;
  bool dark_ = false;     // no sun in that slot
  bool clocked_ = false;  // covers or stated temperatures change by the clock
  Hour hour_;
  Outdoors out_{};
  occupants::Gains gains_;
};

}  // namespace cabinload::simulation
