// SPDX-License-Identifier: Apache-2.0
#include "demand_causes.hpp"

#include <fmt/format.h>
#include <algorithm>

namespace cabinload::simulation {
namespace {

using network::Group;

/// "window", "window 2", ...: names that people gave twice are told apart.
std::string told_apart(const std::string& name, const std::vector<Cause>& list) {
  std::string unique = name;
  const auto taken = [&] {
    return std::any_of(list.begin(), list.end(),
                       [&](const Cause& c) { return c.window == unique; });
  };
  for (int i = 2; taken(); ++i) unique = fmt::format("{} {}", name, i);
  return unique;
}

CauseKind kind_of(Group group) {
  switch (group) {
    case Group::roof:
      return CauseKind::roof;
    case Group::floor:
      return CauseKind::floor;
    case Group::partition:
      return CauseKind::partitions;
    default:
      return CauseKind::walls;
  }
}

}  // namespace

std::size_t DemandCauses::add(CauseKind kind, const std::string& window) {
  list_.push_back({kind, window});
  return list_.size() - 1;
}

DemandCauses::DemandCauses(const network::Cabin& cabin, const scenario::Scenario& scenario)
    : cabin_(cabin), scenario_(scenario), of_chain_(cabin.chains.size(), -1) {
  for (const Group group : {Group::roof, Group::wall, Group::floor, Group::partition}) {
    const auto belongs = [&](const network::Chain& c) {
      return c.surface >= 0 && c.group == group;
    };
    if (std::none_of(cabin.chains.begin(), cabin.chains.end(), belongs)) continue;
    const int column = static_cast<int>(add(kind_of(group)));
    for (std::size_t c = 0; c < cabin.chains.size(); ++c)
      if (belongs(cabin.chains[c])) of_chain_[c] = column;
  }
  for (std::size_t c = 0; c < cabin.chains.size(); ++c) {
    if (cabin.chains[c].window < 0) continue;
    const std::string name = told_apart(cabin.chains[c].name, list_);
    of_chain_[c] = static_cast<int>(add(CauseKind::window, name));
    add(CauseKind::window_sun, name);
    windows_.push_back(c);
  }
  exchange_ = add(CauseKind::air_exchange);
  people_ = add(CauseKind::people);
  pets_ = add(CauseKind::pets);
  appliances_ = add(CauseKind::appliances);
  condensation_ = add(CauseKind::condensation);
  add(CauseKind::stored);
}

/// The sun stands for 10 min: where it lands inside, by the window it came through.
void DemandCauses::shine(const Surroundings& around, network::Superposition& parts) const {
  for (const std::size_t w : windows_) {
    const auto sun = static_cast<std::size_t>(of_chain_[w]) + 1;
    const Surroundings::OfChain& of = around.of_chain(w);
    parts.set_inner(sun, w, of.pane_W);
    parts.set_air(sun, cabin_.solar_air_1 * of.entered_W + of.cover_W);
    for (std::size_t c = 0; c < cabin_.chains.size(); ++c)
      if (cabin_.chains[c].window < 0)
        parts.set_inner(sun, c, cabin_.chains[c].solar_share_1 * of.entered_W);
  }
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c)
    if (cabin_.chains[c].surface >= 0)
      parts.set_inner(static_cast<std::size_t>(of_chain_[c]), c, around.of_chain(c).stated_W);
}

void DemandCauses::give(std::size_t column, const occupants::Gains& gains,
                        network::Superposition& parts) const {
  parts.set_air(column, gains.convective_W);
  if (!cabin_.radiant_shares) {
    parts.set_star(column, gains.radiant_W);
    return;
  }
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c)
    parts.set_inner(column, c, cabin_.chains[c].radiant_share_1 * gains.radiant_W);
}

void DemandCauses::act(const Surroundings& around, const network::Drive<1>& drive, double T_ref_K,
                       double second_of_day, double T_air_K, network::Superposition& parts) {
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c) {
    if (of_chain_[c] < 0) continue;
    const auto column = static_cast<std::size_t>(of_chain_[c]);
    const network::Superposition::Outside outside = parts.outside(drive, c);
    const bool window = cabin_.chains[c].window >= 0;
    parts.set_outer(column, c, outside.seen_W + (window ? 0.0 : outside.sun_W));
    if (window) parts.set_outer(column + 1, c, outside.sun_W);
  }
  if (around.slot() != slot_) shine(around, parts);
  slot_ = around.slot();
  parts.set_air(exchange_, drive.exchange_W_K[0] * (around.out().T_K - T_ref_K));
  const double T_out_K = around.out().T_K;
  from_people_ = occupants::gains(scenario_.people, {}, {}, second_of_day, T_air_K, T_out_K);
  from_pets_ = occupants::gains({}, scenario_.pets, {}, second_of_day, T_air_K, T_out_K);
  from_appliances_ =
      occupants::gains({}, {}, scenario_.appliances, second_of_day, T_air_K, T_out_K);
  give(people_, from_people_, parts);
  give(pets_, from_pets_, parts);
  give(appliances_, from_appliances_, parts);
}

void DemandCauses::water(const Surroundings& around, const WetFaces& wet, double W_most_1,
                         std::vector<double>& out) const {
  out[exchange_] = around.exchange_kg_s() * (around.out().W_1 - W_most_1);
  out[people_] = from_people_.moisture_kg_s;
  out[pets_] = from_pets_.moisture_kg_s;
  out[appliances_] = from_appliances_.moisture_kg_s;
  out[condensation_] = wet.water_kg_s - wet.flow_kg_s * W_most_1;
}

}  // namespace cabinload::simulation
