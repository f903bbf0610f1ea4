// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/occupants/occupants.hpp>
#include <cmath>

namespace cabinload::occupants {
namespace {

/// 1 met. Source: [ISO8996] / [ASHRAE-55], 58.2 W/m2.
constexpr double kMet_W_m2 = 58.2;
/// Sensible share of a person's heat at 24 degC: seated quietly (1 met of an average adult, 105 W)
/// 70 W of 105 W. It falls with activity as sweating sets in: the straight line to light bench work
/// (80 W of 220 W), then level: the table's busier rows lie between 0.36 and 0.40. Below 1 met
/// nothing is printed; kept at the seated share. Source: [ASHRAE-F2013] ch. 18 table 1.
constexpr double kPersonShare24_1 = 70.0 / 105.0;
constexpr double kSharePerMet_1 = (80.0 / 220.0 - 70.0 / 105.0) / (220.0 / 105.0 - 1.0);
constexpr double kBusyShare24_1 = 0.37;
/// About 20 % lower at 27 degC, the total unchanged: the same table's note. A straight line through
/// both, beyond 20 to 30 degC engineering judgement, as are the bounds 0.05 and 0.9.
constexpr double kPersonFallPerK_1 = 0.2 / 3.0;
/// Of a person's sensible heat, the radiant part at low air speed: 60 %, the same table's column
/// for seated people, from memory.
constexpr double kPersonRadiant_1 = 0.6;
/// Animals. Basal 3.5 W/kg^0.75. Source: [ASHRAE-F2013] laboratory animals (M = 3.5 m^0.75), from
/// memory.
constexpr double kBasal_W = 3.5, kBasalExponent = 0.75;
/// Sensible share of a dog's heat: 0.67 at 22 degC (handbook table: one third latent, from memory),
/// falling to 0.2 at 36 degC as panting takes over (engineering judgement).
constexpr double kPetShare22_1 = 0.67, kPetSharePerK_1 = (0.20 - 0.67) / 14.0;
constexpr double kPetRadiant_1 = 0.5;  // engineering judgement: fur keeps the surface near the air
/// CO2: V = 0.00276 A_D M RQ / (0.23 RQ + 0.77) L/s at 1 met per unit M. Source: [ASTMD6245], RQ
/// 0.83.
constexpr double kRespiratoryQuotient = 0.83, kOxygen_L_s_m2met = 0.00276;
constexpr double kCo2Density_kg_L = 1.83e-3;  // at 20 degC, 101325 Pa: 44.01/24.06 g/L
/// Heat of vaporization at the skin's 34 degC: vapour less liquid enthalpy, [ASHRAE-F2017] ch. 1
/// (2501 + 1.86 t - 4.186 t kJ/kg). The skin's temperature: engineering judgement.
constexpr double kSpecificHeatWater_J_kgK = 4186.0, kSkin_degC = 34.0;
constexpr double kVaporization_J_kg =
    core::kVaporizationHeat_J_kg +
    (core::kSpecificHeatVapour_J_kgK - kSpecificHeatWater_J_kgK) * kSkin_degC;

double co2_of(double metabolic_W) {
  const double met_m2 = metabolic_W / kMet_W_m2;  // met times body area
  return kOxygen_L_s_m2met * met_m2 * kRespiratoryQuotient / (0.23 * kRespiratoryQuotient + 0.77) *
         kCo2Density_kg_L;
}

/// Splits a living body's heat.
Gains body(double total_W, double sensible_1, double radiant_1) {
  const double sensible_W = total_W * sensible_1;
  return {sensible_W * (1 - radiant_1), sensible_W * radiant_1,
          (total_W - sensible_W) / kVaporization_J_kg, co2_of(total_W), 0};
}

Gains heat_of(const Appliance& a, double second_of_day, double T_air_K, double T_out_K,
              double served_1) {
  const double power_W = a.power_W.at(second_of_day);
  double heat_W = power_W * a.heat_share_1;
  if (a.refrigerator)
    heat_W = run_of(*a.refrigerator, power_W, second_of_day, T_air_K, T_out_K).heat_to_cabin_W;
  heat_W *= served_1;
  return {heat_W * (1 - a.radiant_share_1), heat_W * a.radiant_share_1, a.moisture_kg_s * served_1,
          0, a.refrigerator ? heat_W : 0.0};
}

}  // namespace

Gains& Gains::operator+=(const Gains& other) {
  convective_W += other.convective_W;
  radiant_W += other.radiant_W;
  moisture_kg_s += other.moisture_kg_s;
  co2_kg_s += other.co2_kg_s;
  refrigerator_W += other.refrigerator_W;
  return *this;
}

double person_total_W(const Person& p, bool asleep) {
  return (asleep ? p.asleep_met : p.awake_met) * kMet_W_m2 * p.body_area_m2;
}

double pet_total_W(const Pet& p) {
  return kBasal_W * std::pow(p.mass_kg, kBasalExponent) * p.activity_factor;
}

double person_sensible_share_1(double T_air_K, double met) {
  const double at_24_1 =
      std::max(kPersonShare24_1 + kSharePerMet_1 * std::max(met - 1.0, 0.0), kBusyShare24_1);
  const double warmer_K = core::to_celsius(T_air_K) - 24.0;
  return std::clamp(at_24_1 * (1.0 - kPersonFallPerK_1 * warmer_K), 0.05, 0.9);
}

double pet_sensible_share_1(double T_air_K) {
  return std::clamp(kPetShare22_1 + kPetSharePerK_1 * (core::to_celsius(T_air_K) - 22.0), 0.05,
                    0.85);
}

Gains gains(const std::vector<Person>& people, const std::vector<Pet>& pets,
            const std::vector<Appliance>& appliances, double second_of_day, double T_air_K,
            double T_out_K, const Served& served) {
  Gains sum;
  const double T_K = std::clamp(T_air_K, 250.0, 330.0);
  for (const Person& p : people) {
    if (!p.present.active(second_of_day)) continue;
    const bool asleep = p.asleep.active(second_of_day);
    const double share_1 = person_sensible_share_1(T_K, asleep ? p.asleep_met : p.awake_met);
    sum += body(p.count * person_total_W(p, asleep), share_1, kPersonRadiant_1);
  }
  for (const Pet& p : pets)
    if (p.present.active(second_of_day))
      sum += body(p.count * pet_total_W(p), pet_sensible_share_1(T_K), kPetRadiant_1);
  for (const Appliance& a : appliances) {
    if (!a.on.active(second_of_day)) continue;
    const double served_1 = !a.on_battery   ? 1.0
                            : a.alternating ? served.alternating_1
                                            : served.direct_1;
    sum += heat_of(a, second_of_day, T_air_K, T_out_K, served_1);
  }
  return sum;
}

Load load(const std::vector<Appliance>& appliances, double second_of_day, double T_air_K,
          double T_out_K) {
  Load sum;
  for (const Appliance& a : appliances) {
    if (!a.on_battery || !a.on.active(second_of_day)) continue;
    double power_W = a.power_W.at(second_of_day);
    if (a.refrigerator) {
      power_W = run_of(*a.refrigerator, power_W, second_of_day, T_air_K, T_out_K).electric_W;
      (a.alternating ? sum.refrigerator_alternating_W : sum.refrigerator_direct_W) += power_W;
    }
    (a.alternating ? sum.alternating_W : sum.direct_W) += power_W;
  }
  return sum;
}

}  // namespace cabinload::occupants
