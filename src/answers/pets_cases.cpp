// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/answers/pets.hpp>
#include <cabinload/core/constants.hpp>

namespace cabinload::answers {
namespace {

constexpr const char* kJudgement = "engineering judgement";

constexpr ShorteningSide kSides[] = {
    {"vehicle.leakage_area", "cracks twice as large while it is warmer outdoors",
     "engineering judgement: vehicles of one kind differ by a factor of two either way", 2.0},
    {"vehicle.leakage_area", "half as large while it is cooler",
     "engineering judgement: vehicles of one kind differ by a factor of two either way", 0.5},
    {"vehicle.paint", "paint taking 0.10 more of the sun: dirt and age",
     "engineering judgement: weathered light paints lose about a tenth of their reflectance", 0.10},
    {"vehicle.cover", "a tenth of each cover open at its edges", kJudgement, 0.10},
    {"vehicle.cover", "covers insulating half as well", kJudgement, 0.5},
    {"vehicle.air_capacity_factor", "air and light things storing a quarter less heat", kJudgement,
     0.75},
};

constexpr double kMostAbsorptance_1 = 0.97;  // soot black; engineering judgement
/// Days of a run: short enough that two cores share a month, long enough that the warm-up is
/// little.
constexpr int kDaysOfRun = 31;

void worsen(vehicle::Cover& cover) {
  if (cover.side == vehicle::CoverSide::none) return;
  const double gap_1 = shortening(Side::cover_gap).value;
  cover.solar_transmittance_1 += gap_1 * (1 - cover.solar_transmittance_1);
  cover.solar_reflectance_1 *= 1 - gap_1;
  cover.resistance_m2K_W *= shortening(Side::cover_resistance).value;
}

}  // namespace

std::span<const ShorteningSide> shortening_sides() {
  return kSides;
}
const ShorteningSide& shortening(Side side) {
  return kSides[static_cast<std::size_t>(side)];
}

void add_animal(scenario::Scenario& s) {
  if (!s.pets.empty()) return;
  occupants::Pet dog;
  dog.present = core::DaySchedule::always();
  s.pets.push_back(dog);
}

MinutesRule minutes_rule(const scenario::Scenario& scenario) {
  scenario::Scenario s = scenario;
  add_animal(s);
  const occupants::AnimalLimit limit = occupants::limit_of(s.pets);
  return {limit.animal, limit.source, limit.T_most_K, simulation::FailureOptions().longest_s / 60};
}

scenario::Scenario pets_scenario(const scenario::Scenario& scenario) {
  scenario::Scenario s = scenario;
  s.unit_on = core::DaySchedule::always();
  for (occupants::Pet& p : s.pets) p.present = core::DaySchedule::always();
  vehicle::Vehicle& v = s.vehicle;
  if (v.air_capacity_factor_1 > 1)
    v.air_capacity_factor_1 =
        std::max(1.0, v.air_capacity_factor_1 * shortening(Side::air_capacity).value);
  for (vehicle::Surface& x : v.surfaces)
    if (x.outside == vehicle::Outside::open_air)
      x.absorptance_1 =
          std::max(x.absorptance_1,
                   std::min(kMostAbsorptance_1, x.absorptance_1 + shortening(Side::paint).value));
  for (vehicle::Window& w : v.windows) {
    worsen(w.inside_cover);
    worsen(w.outside_cover);
  }
  return s;
}

std::optional<scenario::Scenario> pets_bare(const scenario::Scenario& pets_scenario) {
  scenario::Scenario s = pets_scenario;
  const auto covered = [](const vehicle::Window& w) {
    return w.inside_cover.side != vehicle::CoverSide::none ||
           w.outside_cover.side != vehicle::CoverSide::none;
  };
  const bool shaded =
      s.site.shade_hours.hours() > 0 &&
      (s.site.shade_beam_1 < 1 || s.site.shade_diffuse_1 < 1 || s.site.shade_sky_view_1 < 1);
  if (!shaded && std::none_of(s.vehicle.windows.begin(), s.vehicle.windows.end(), covered))
    return std::nullopt;
  s.site.shade_hours = core::DaySchedule();
  for (vehicle::Window& w : s.vehicle.windows) w.inside_cover = w.outside_cover = vehicle::Cover{};
  return s;
}

simulation::Helps pets_helps(const scenario::Scenario& scenario,
                             const occupants::AnimalLimit& limit) {
  constexpr double kAlarm_K = 2.0;      // over the set point
  constexpr double kFan_m3_h = 300;     // a small roof fan
  constexpr double kOpening_m2 = 0.04;  // a roof vent, its screen taken off
  constexpr double kOpeningHeight_m = 0.2;
  const double T_set_K = scenario.unit_settings.T_set_K - scenario.air.return_offset_K;
  return {kFan_m3_h / core::kSecondsInHour, kOpening_m2, kOpeningHeight_m,
          T_set_K + std::min(kAlarm_K, 0.5 * (limit.T_most_K - T_set_K))};
}

simulation::FailureOptions pets_options(const scenario::Scenario& pets_scenario,
                                        const simulation::Nights& days) {
  simulation::FailureOptions o;
  o.limit = occupants::limit_of(pets_scenario.pets);
  o.helps = pets_helps(pets_scenario, o.limit);
  o.days = days;
  o.cracks_warm_1 = shortening(Side::cracks_warm).value;
  o.cracks_cool_1 = shortening(Side::cracks_cool).value;
  return o;
}

std::vector<simulation::FailureOptions> pets_options(const scenario::Scenario& pets_scenario,
                                                     std::size_t hours, int first_day) {
  const simulation::Nights days = simulation::nights_of(pets_scenario.night, hours, first_day);
  std::vector<simulation::FailureOptions> list;
  for (int day = 0; day < days.count; day += kDaysOfRun)
    list.push_back(
        pets_options(pets_scenario, {days.first + day, std::min(kDaysOfRun, days.count - day)}));
  return list;
}

}  // namespace cabinload::answers
