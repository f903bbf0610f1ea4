// SPDX-License-Identifier: Apache-2.0
// Invented generic units and the generic factors they use: data.
#include <cabinload/core/constants.hpp>
#include <cabinload/unit/unit.hpp>

namespace cabinload::unit {
namespace {

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
  d.minimum_speed_capacity_1 = 0.45;
  d.minimum_speed_power_1 = 0.36;
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
