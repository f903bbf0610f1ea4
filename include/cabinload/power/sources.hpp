// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <algorithm>
#include <cabinload/core/schedule.hpp>
#include <optional>

/// What charges a bank: panels, alternator, shore. Each says what it can give to the bus (the
/// bank's terminals); the supply says what is taken.
namespace cabinload::power {

/// Standard conditions of a panel's rating [IEC60891]: on its plane, and of its cells.
inline constexpr double kStandardIrradiance_W_m2 = 1000.0, kStandardCell_K = 298.15;

/// How a panel is mounted, which decides how it sheds its heat.
enum class Mount { roof, portable };

/// Loss of heat of a panel [W/(m2 K)], [W s/(m3 K)]: u0 + u1 v.
struct PanelLoss {
  double u0_W_m2K, u1_Ws_m3K;
};
/// Portable (open at the back): 25 and 6.84 [Faiman2008]. Roof (close to the skin, no air behind):
/// 16.6 and 0.85, a straight line through exp(-a - b v) at 0 and 5 m/s with a = -2.81,
/// b = -0.0455 s/m of the insulated back [King2004], whose wind is measured at 10 m.
[[nodiscard]] PanelLoss loss_of(Mount mount);

/// Panels of one plane. Irradiance comes from outside: tilt, heading and the shade's flag are for
/// whoever computes it.
struct Panels {
  double area_m2 = 0;          ///< used when stc_W is 0; >= 0
  double efficiency_1 = 0.20;  ///< of a module at standard conditions, above 0 below 0.5;
                               ///< common practice, no published source
  double stc_W = 0;            ///< at 1000 W/m2 and 25 degC cells; >= 0
  Mount mount = Mount::roof;
  double tilt_deg = 0;     ///< from level, 0..90
  double heading_deg = 0;  ///< roof: from the vehicle's front; portable: from north; clockwise
  bool in_parking_shade = true;           ///< the parking's shade falls on it
  double gamma_1_K = -0.004;              ///< power by cell temperature, -0.01..0; common practice,
                                          ///< no published source; a module's data sheet decides
  std::optional<PanelLoss> own_loss;      ///< instead of the mount's
  double controller_efficiency_1 = 0.95;  ///< common practice, no published source
  double soiling_1 = 0.97;                ///< of the light that passes the dirt; common practice,
                                          ///< no published source
};
/// Its own, or the mount's.
[[nodiscard]] PanelLoss loss_of(const Panels& panels);
/// Rated power [W] from stc_W, or from area and efficiency.
[[nodiscard]] double rated_W(const Panels& panels);
/// Cell temperature [K] = air + G / (u0 + u1 v), steady [Faiman2008].
/// @param irradiance_W_m2  on the plane, >= 0
/// @param wind_m_s         at the panel, >= 0
[[nodiscard]] inline double cell_K(const PanelLoss& loss, double irradiance_W_m2, double T_air_K,
                                   double wind_m_s) {
  return T_air_K + irradiance_W_m2 / (loss.u0_W_m2K + loss.u1_Ws_m3K * wind_m_s);
}
/// Power to the bus after soiling, temperature (linear [IEC60891]) and controller [W]; never below
/// 0. Soiling lessens the power and not the heat.
[[nodiscard]] double panel_W(const Panels& panels, double irradiance_W_m2, double T_air_K,
                             double wind_m_s);
/// The same for panels that stay, which it is told once.
class PanelYield {
 public:
  /// @param panels  not checked here
  explicit PanelYield(const Panels& panels)
      : loss_(loss_of(panels)),
        W_per_W_m2_(rated_W(panels) / kStandardIrradiance_W_m2 * panels.soiling_1 *
                    panels.controller_efficiency_1),
        gamma_1_K_(panels.gamma_1_K) {}
  /// As panel_W().
  [[nodiscard]] double power_W(double irradiance_W_m2, double T_air_K, double wind_m_s) const {
    if (irradiance_W_m2 <= 0) return 0;
    const double rise_K = cell_K(loss_, irradiance_W_m2, T_air_K, wind_m_s) - kStandardCell_K;
    return std::max(0.0, W_per_W_m2_ * irradiance_W_m2 * (1 + gamma_1_K_ * rise_K));
  }

 private:
  PanelLoss loss_;
  double W_per_W_m2_;  ///< per irradiance, at the standard cell temperature
  double gamma_1_K_;
};

/// A charger fed while driving. The smaller of its limits holds.
struct Alternator {
  double limit_A = 0;         ///< at the bank, at its voltage; 0: none
  double limit_W = 0;         ///< taken from the alternator; 0: none; one of both above 0
  double efficiency_1 = 0.9;  ///< of the charger; common practice, no published source
};
/// Most it gives to the bus [W].
[[nodiscard]] double alternator_W(const Alternator& alternator, double bank_V);

/// Mains at a pitch: loads of alternating current are on it while it is there, and a charger.
struct Shore {
  double volts = 120;                 ///< > 0; 120 or 230
  double limit_A = 15;                ///< of the pitch's breaker, > 0
  core::DaySchedule hours;            ///< plugged in
  double charger_W = 0;               ///< most that the charger gives to the bus; >= 0
  double charger_efficiency_1 = 0.9;  ///< common practice, no published source
  double trip_delay_s = 60;           ///< above the limit for longer than this: trips; >= 0;
                                      ///< engineering judgement
};

/// @throws core::RangeError  a value out of range, by key, with what would be right
/// @{
void check(const Panels& panels);
void check(const Alternator& alternator);
void check(const Shore& shore);
/// @}

/// The breaker at the pitch. Tripped, it stays so until the next start of the hours: somebody plugs
/// in anew ("always" has no further start). A trip acts from the next step on.
class ShoreBreaker {
 public:
  /// @throws core::RangeError  as check()
  explicit ShoreBreaker(const Shore& shore) : shore_(shore) { check(shore); }
  /// Called at the start of each step: whether it gives power in this step.
  bool begin(double second_of_day) {
    const bool now = shore_.hours.active(second_of_day);
    if (now && !in_hours_) tripped_ = false, over_s_ = 0;
    in_hours_ = now;
    return now && !tripped_;
  }
  /// What begin() would say.
  [[nodiscard]] bool gives(double second_of_day) const {
    return shore_.hours.active(second_of_day) && !(tripped_ && in_hours_);
  }
  /// What was drawn from it in the step [W]: whether it trips in it.
  bool drawn(double power_W, double dt_s) {
    if (!in_hours_ || tripped_) return false;
    if (power_W > shore_.limit_A * shore_.volts) return overload(dt_s);
    over_s_ = 0;
    return false;
  }
  /// Trips it, as drawn() does.
  void trip() { tripped_ = true; }
  /// When it tripped last, after the start of that step [s].
  [[nodiscard]] double trip_after_s() const { return trip_after_s_; }
  /// Tripped and still in its hours.
  [[nodiscard]] bool tripped() const { return tripped_ && in_hours_; }
  /// As given.
  [[nodiscard]] const Shore& shore() const { return shore_; }

 private:
  bool overload(double dt_s);
  Shore shore_;
  bool in_hours_ = false, tripped_ = false;
  double over_s_ = 0, trip_after_s_ = 0;
};

}  // namespace cabinload::power
