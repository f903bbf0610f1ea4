// SPDX-License-Identifier: Apache-2.0
// Invented generic units and the generic factors they use: data.
#include <cabinload/core/constants.hpp>
#include <cabinload/unit/unit.hpp>

namespace cabinload::unit {
namespace {

// src/unit/generic_factors.py with CoolProp 8.0.0, R134a: superheat 5 K, subcooling 5 K, isentropic
// efficiency 0.65, evaporation 12 K below the wet bulb, condensation 15 K above the condenser
// inlet. Worst error of the fit 0.6 % of rated (capacity), 1.6 % (power).
constexpr BiQuadratic kCapacity = {
    {0.59605168, 0.028400305, 0.00053344865, -0.0026320435, -2.0298218e-05, -0.00034209915},
    10,
    26,
    15,
    60};
constexpr BiQuadratic kPower = {
    {0.40309534, -0.0040395838, -0.00033061082, 0.013333731, -7.0659734e-05, 0.00061765737},
    10,
    26,
    15,
    60};

Description generic(const char* key, const char* about, double volts, double capacity_W,
                    double power_W, double flow_m3_h, double fan_W) {
  Description d;
  d.key = key;
  d.about = about;
  d.source = "invented generic unit, of no maker";
  d.volts = volts;
  d.capacity_W = capacity_W;
  d.power_W = power_W;
  d.rated_dry_bulb_K =
      core::to_kelvin(26.67);  // AHRI 210/240 condition A: 80/67 degF inside, 95 degF outside
  d.rated_wet_bulb_K = core::to_kelvin(19.44);
  d.rated_condenser_K = core::to_kelvin(35);
  d.sensible_ratio_1 = 0.75;
  d.air_flow_m3_s = flow_m3_h / 3600;
  d.cabin_fan_W = fan_W;
  d.standby_W = 3;
  d.condenser_cut_out_K = core::to_kelvin(60);
  d.capacity_factor = kCapacity;
  d.power_factor = kPower;
  d.factors_source = "generic factors: ideal R134a cycle (src/unit/generic_factors.py)";
  return d;
}

}  // namespace

const std::vector<Description>& built_in() {
  static const std::vector<Description> units = {
      generic("generic-1500-12v", "small roof unit for 12 V", 12, 1500, 560, 300, 25),
      generic("generic-1500-24v", "small roof unit for 24 V", 24, 1500, 560, 300, 25),
      generic("generic-2000-24v", "medium roof unit for 24 V", 24, 2000, 720, 400, 35),
      generic("generic-2000-48v", "medium roof unit for 48 V", 48, 2000, 720, 400, 35),
      generic("generic-2600-48v", "large roof unit for 48 V", 48, 2600, 930, 520, 45),
  };
  return units;
}

}  // namespace cabinload::unit
