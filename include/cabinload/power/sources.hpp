// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/schedule.hpp>
#include <optional>

/// What charges a bank: panels, alternator, shore. Each says what it can give to the bus (the
/// bank's terminals); the supply says what is taken.
namespace cabinload::power {

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
[[nodiscard]] double cell_K(const PanelLoss& loss, double irradiance_W_m2, double T_air_K,
                            double wind_m_s);
/// Power to the bus after soiling, temperature (linear [IEC60891]) and controller [W]; never below
/// 0. Soiling lessens the power and not the heat.
[[nodiscard]] double panel_W(const Panels& panels, double irradiance_W_m2, double T_air_K,
                             double wind_m_s);

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
  bool begin(double second_of_day);
  /// What begin() would say.
  [[nodiscard]] bool gives(double second_of_day) const;
  /// What was drawn from it in the step [W]; the seconds after the step's start at which it trips.
  std::optional<double> drawn(double power_W, double dt_s);
  /// Tripped and still in its hours.
  [[nodiscard]] bool tripped() const { return tripped_ && in_hours_; }
  /// As given.
  [[nodiscard]] const Shore& shore() const { return shore_; }

 private:
  Shore shore_;
  bool in_hours_ = false, tripped_ = false;
  double over_s_ = 0;
};

}  // namespace cabinload::power
