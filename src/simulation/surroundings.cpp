// SPDX-License-Identifier: Apache-2.0
#include "surroundings.hpp"

#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/network/films.hpp>
#include <cmath>
#include <utility>

namespace cabinload::simulation {

Surroundings::Surroundings(const network::Cabin& cabin, const forcing::Forcing& forcing,
                           const scenario::Scenario& scenario)
    : cabin_(cabin), forcing_(forcing), scenario_(scenario) {
  sun_inner_W_.assign(cabin.chains.size(), 0.0);
  of_chain_.resize(cabin.chains.size());
  const auto changes = [](const vehicle::Cover& cover) {
    return cover.side != vehicle::CoverSide::none && !cover.hours.constant();
  };
  for (const network::Chain& c : cabin.chains)
    clocked_ =
        clocked_ || !c.T_fixed_K.constant() || changes(c.inside_cover) || changes(c.outside_cover);
}

Outdoors Surroundings::Hour::at(double share_1) const {
  const auto x = [&](std::size_t i) { return from[i] + share_1 * rise[i]; };
  return {x(0), x(1), x(2), x(3), x(4), x(5), x(6)};
}

Surroundings::Hour Surroundings::hour(long number) const {
  const long n = static_cast<long>(forcing_.hours);
  const long k = ((number % n) + n) % n;
  const auto a = static_cast<std::size_t>(k), b = static_cast<std::size_t>((k + 1) % n);
  const std::vector<double>* of[] = {&forcing_.T_out_K,  &forcing_.W_out_1, &forcing_.p_Pa,
                                     &forcing_.wind_m_s, &forcing_.T_sky_K, &forcing_.T_ground_K,
                                     &forcing_.T_under_K};
  Hour h;
  h.number = number;
  for (std::size_t i = 0; i < h.from.size(); ++i) {
    h.from[i] = (*of[i])[a];
    h.rise[i] = (*of[i])[b] - (*of[i])[a];
  }
  return h;
}

Outdoors Surroundings::outdoors_at(double t_s) const {
  const double hours = t_s / core::kSecondsInHour;
  const long number = core::whole(hours);
  const double share_1 = forcing_.held ? 0.0 : hours - static_cast<double>(number);
  return number == hour_.number ? hour_.at(share_1) : hour(number).at(share_1);
}

/// What changes every 10 min only: sun, covers, stated temperatures.
void Surroundings::set_slot(long slot, double second_of_day, network::Drive<1>& drive) {
  drive.at_changed = cabin_.radiant_shares;
  if (slot == slot_) return;
  slot_ = slot;
  const long n = static_cast<long>(forcing_.hours) * forcing::kSlotsPerHour;
  const auto s = static_cast<std::size_t>(((slot % n) + n) % n);
  const bool dark = !forcing_.dark.empty() && forcing_.dark[s];
  if (std::exchange(dark_, dark) && dark && !clocked_) return;
  drive.at_changed = true;
  sun_to_air_W_ = 0;
  const double entered_W = set_windows(s, second_of_day, drive);
  sun_to_air_W_ += cabin_.solar_air_1 * entered_W;
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c)
    if (cabin_.chains[c].window < 0) sun_inner_W_[c] = cabin_.chains[c].solar_share_1 * entered_W;
  set_surfaces(s, second_of_day, drive);
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c) drive.at[c].inner_W = sun_inner_W_[c];
}

/// @return sun that entered through all windows [W]
double Surroundings::set_windows(std::size_t s, double second_of_day, network::Drive<1>& drive) {
  double entered_W = 0;
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c) {
    const network::Chain& chain = cabin_.chains[c];
    if (chain.window < 0) continue;
    const auto& sun = forcing_.windows[static_cast<std::size_t>(chain.window)];
    const auto in_place = [&](const vehicle::Cover& cover) {
      return cover.side != vehicle::CoverSide::none && cover.hours.active(second_of_day);
    };
    network::AtChain<1>& at = drive.at[c];
    at.outer_W = sun.absorbed_outer_W_m2[s] * chain.area_m2;
    of_chain_[c] = {sun.transmitted_W_m2[s] * chain.area_m2,
                    sun.absorbed_inner_W_m2[s] * chain.area_m2,
                    sun.inside_cover_W_m2[s] * chain.area_m2, 0};
    sun_inner_W_[c] = of_chain_[c].pane_W;
    at.outside_cover_W = sun.outside_cover_W_m2[s] * chain.area_m2;
    at.inside_cover_m2K_W =
        in_place(chain.inside_cover) ? chain.inside_cover.resistance_m2K_W : 0.0;
    at.outside_cover_m2K_W =
        in_place(chain.outside_cover) ? chain.outside_cover.resistance_m2K_W : 0.0;
    entered_W += of_chain_[c].entered_W;
    sun_to_air_W_ += of_chain_[c].cover_W;
  }
  return entered_W;
}

void Surroundings::set_surfaces(std::size_t s, double second_of_day, network::Drive<1>& drive) {
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c) {
    const network::Chain& chain = cabin_.chains[c];
    if (chain.surface < 0) continue;
    const auto& sun = forcing_.surfaces[static_cast<std::size_t>(chain.surface)];
    network::AtChain<1>& at = drive.at[c];
    at.outer_W = chain.absorptance_1 * sun.incident_W_m2[s] * chain.area_m2;
    if (!sun.inside_W_m2.empty()) of_chain_[c].stated_W = sun.inside_W_m2[s] * chain.area_m2;
    sun_inner_W_[c] += of_chain_[c].stated_W;
    if (chain.outside == vehicle::Outside::fixed) at.T_fixed_K = chain.T_fixed_K.at(second_of_day);
  }
}

/// Flow of the vent fan, and its power in vent_fan_W_.
double Surroundings::vent_fan_m3_s(double second_of_day, const CabinNow& now) {
  const scenario::VentFan& fan = scenario_.air.fan;
  vent_fan_W_ = 0;
  if (fan.flow_m3_s <= 0 || !fan.hours.active(second_of_day)) return 0;
  if (fan.power_W > 0 && !now.powered) return 0;
  const double T_air_K = now.T_air_K;
  const bool helps = T_air_K > fan.T_wanted_K && out_.T_K < T_air_K - fan.dT_start_K;
  if (fan.only_when_it_helps && !helps) return 0;
  vent_fan_W_ = fan.power_W;
  return fan.flow_m3_s;
}

/// Air moved by fans, vents and openings stirs the films inside; what seeps through cracks does
/// not.
void Surroundings::stir(double flow_m3_s, network::Drive<1>& drive) {
  if (flow_m3_s == stirred_m3_s_) return;
  stirred_m3_s_ = flow_m3_s;
  drive.mixing_W_m2K =
      network::mixing_film_W_m2K(flow_m3_s * core::kSecondsInHour / cabin_.volume_m3);
}

/// Outdoor air that comes in: cracks, openings, vents, fan.
void Surroundings::set_air(double second_of_day, const CabinNow& now, network::Drive<1>& drive) {
  const double dT_K = now.T_air_K - out_.T_K;
  double flow_m3_s = vent_fan_m3_s(second_of_day, now) + now.extra_m3_s;
  for (const scenario::Opening& o : scenario_.air.openings)
    if (o.open.active(second_of_day))
      flow_m3_s += network::opening_m3_s(o.area_m2, o.height_m, dT_K, out_.air_speed_m_s);
  const double dry_kg_m3 = air::density_kg_m3(out_.T_K, out_.W_1, out_.p_Pa) / (1.0 + out_.W_1);
  if (scenario_.air.fresh_air_hours.active(second_of_day))
    flow_m3_s += scenario_.air.fresh_air_m3_s.at(second_of_day) *
                 scenario_.air.fresh_air_density_kg_m3.value_or(dry_kg_m3) / dry_kg_m3;
  stir(flow_m3_s + now.stirring_m3_s, drive);
  const double cracks_1 = dT_K < 0 ? now.cracks_warm_1 : now.cracks_cool_1;
  flow_m3_s += network::leakage_m3_s(cracks_1 * cabin_.leakage_area_m2, dT_K, out_.air_speed_m_s);
  exchange_kg_s_ = flow_m3_s * dry_kg_m3;
  air_kg_ = cabin_.volume_m3 * dry_kg_m3;
  drive.exchange_W_K = exchange_kg_s_ * air::specific_heat_J_kgK(out_.W_1);
}

void Surroundings::set(double middle_s, double second_of_day, const CabinNow& now,
                       network::Drive<1>& drive) {
  if (const long number = core::whole(middle_s / core::kSecondsInHour); number != hour_.number)
    hour_ = hour(number);
  out_ = outdoors_at(middle_s);
  const bool driving = scenario_.site.driving_hours.active(second_of_day);
  if (driving) {
    out_.air_speed_m_s = std::hypot(out_.wind_m_s, scenario_.site.driving_speed_m_s);
    out_.T_under_K = out_.T_ground_K;  // the road ahead lay in the sun
  }
  set_slot(core::whole(middle_s / forcing::kSlot_s), second_of_day, drive);
  gains_ = occupants::gains(scenario_.people, scenario_.pets, scenario_.appliances, second_of_day,
                            now.T_air_K, out_.T_K, now.served);
  power_heat_W_ = now.power_heat_W;
  set_air(second_of_day, now, drive);
  drive.T_out_K = out_.T_K;
  drive.T_sky_K = out_.T_sky_K;
  drive.T_ground_K = out_.T_ground_K;
  drive.T_under_K = out_.T_under_K;
  const network::OutsideFilm film =
      driving ? network::driving_film(scenario_.site.driving_speed_m_s, out_.wind_m_s,
                                      scenario_.vehicle.length_m)
              : network::parked_film(out_.wind_m_s);
  drive.film_still_W_m2K = film.still_W_m2K;
  drive.film_wind_W_m2K = film.wind_W_m2K;
  drive.air_W = gains_.convective_W + sun_to_air_W_ + now.power_heat_W;
  drive.radiant_W = cabin_.radiant_shares ? 0.0 : gains_.radiant_W;
  if (!cabin_.radiant_shares) return;
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c)
    drive.at[c].inner_W = sun_inner_W_[c] + cabin_.chains[c].radiant_share_1 * gains_.radiant_W;
}

std::size_t Surroundings::slot_at(double middle_s) const {
  const long n = static_cast<long>(forcing_.hours) * forcing::kSlotsPerHour;
  const long slot = core::whole(middle_s / forcing::kSlot_s);
  return static_cast<std::size_t>(((slot % n) + n) % n);
}

double Surroundings::global_W_m2(double middle_s) const {
  return forcing_.ghi_W_m2[slot_at(middle_s)];
}

double Surroundings::plane_W_m2(double middle_s) const {
  return forcing_.planes_W_m2.empty() ? 0.0 : forcing_.planes_W_m2[0][slot_at(middle_s)];
}

}  // namespace cabinload::simulation
