// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/profile.hpp>
#include <cabinload/core/schedule.hpp>
#include <cabinload/occupants/refrigerator.hpp>
#include <optional>
#include <string>
#include <vector>

namespace cabinload::occupants {

/// What living things and appliances put into the cabin at one moment.
struct Gains {
  double convective_W = 0;   ///< to the air
  double radiant_W = 0;      ///< to the surfaces
  double moisture_kg_s = 0;  ///< water vapour
  double co2_kg_s = 0;
  double refrigerator_W = 0;  ///< of convective_W and radiant_W, by refrigerators; may be below 0
  /// Adds member by member.
  Gains& operator+=(const Gains& other);
};

/// People of one kind, with their hours.
struct Person {
  std::string name = "person";
  int count = 1;
  core::DaySchedule present;  ///< in the cabin
  core::DaySchedule asleep;   ///< counts only while present
  double awake_met = 1.0;     ///< 1 met = 58.2 W/m2
  double asleep_met = 0.7;
  double body_area_m2 = 1.8;  ///< DuBois
};

/// A short nose sheds heat badly: the stricter line holds.
enum class Nose { long_nosed, short_nosed };
/// The young and the old stand heat worse: the stricter line holds.
enum class Age { young, adult, old };

/// Animals of one kind, with their hours.
struct Pet {
  std::string species = "dog";
  int count = 1;
  double mass_kg = 20;  ///< > 0
  core::DaySchedule present;
  double activity_factor = 2.5;  ///< over basal
  // What decides its limit, animal_limits.hpp.
  Nose nose = Nose::long_nosed;
  Age age = Age::adult;
  bool overweight = false;
  bool acclimated = true;                ///< used to the cold
  std::optional<double> T_limit_K = {};  ///< its own, lower than the published line
};

/// Something that draws electricity, gives heat or moisture, by hours.
struct Appliance {
  std::string name;
  core::DayProfile power_W;      ///< electric while on, >= 0, by the clock; a refrigerator's while
                                 ///< its compressor runs
  double heat_share_1 = 1;       ///< of the power that ends in the cabin
  double radiant_share_1 = 0.4;  ///< of that heat, by radiation; engineering judgement
  double moisture_kg_s = 0;
  bool on_battery = true;
  core::DaySchedule on;
  bool alternating = false;  ///< fed by the inverter, or by shore while there is some
  /// What it draws and gives follows the cabin then; heat_share_1 has no part in it.
  std::optional<Refrigerator> refrigerator = {};
};

/// Metabolic heat [W] of one person: met x 58.2 W/m2 x body area. Source: [ISO8996], [ASHRAE-55].
[[nodiscard]] double person_total_W(const Person& person, bool asleep);
/// Metabolic heat [W] of one animal: 3.5 m^0.75 times the activity factor. Source: [ASHRAE-F2013],
/// from memory.
[[nodiscard]] double pet_total_W(const Pet& pet);
/// Share of the heat that is sensible; the rest leaves as vapour. Falls as the air warms and, for
/// people, as they work harder (`met` above 1). Sources beside the constants.
[[nodiscard]] double person_sensible_share_1(double T_air_K, double met = 1.0);
/// The same for animals, 0.05..0.85: panting gives off vapour.
[[nodiscard]] double pet_sensible_share_1(double T_air_K);

/// What the appliances on the vehicle's supply get of what they ask, 0..1.
struct Served {
  double direct_1 = 1, alternating_1 = 1;
};

/// Gains of all at a moment. Sensible share falls as the air warms; the total stays.
/// @param T_air_K  cabin air, 250..330 K (clamped)
/// @param T_out_K  outdoors, for condensers that stand there
/// @param served   heat and moisture of an appliance shrink with what it gets
[[nodiscard]] Gains gains(const std::vector<Person>& people, const std::vector<Pet>& pets,
                          const std::vector<Appliance>& appliances, double second_of_day,
                          double T_air_K, double T_out_K, const Served& served = {});

/// Electric power of the appliances that are on and on the vehicle's supply [W].
struct Load {
  double direct_W = 0, alternating_W = 0;
  double refrigerator_direct_W = 0, refrigerator_alternating_W = 0;  ///< of these, refrigerators
};
/// Sum over the appliances at a moment. @param second_of_day  any finite value
[[nodiscard]] Load load(const std::vector<Appliance>& appliances, double second_of_day,
                        double T_air_K, double T_out_K);

}  // namespace cabinload::occupants
