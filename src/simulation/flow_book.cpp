// SPDX-License-Identifier: Apache-2.0
#include "flow_book.hpp"

#include <algorithm>

namespace cabinload::simulation {
namespace {

/// Everything that is a mean over the stretch.
constexpr double FlowAccount::*kMeans[] = {
    &FlowAccount::T_out_K,         &FlowAccount::T_air_K,
    &FlowAccount::roof_W,          &FlowAccount::walls_W,
    &FlowAccount::floor_W,         &FlowAccount::partitions_W,
    &FlowAccount::windows_W,       &FlowAccount::sun_W,
    &FlowAccount::exchange_W,      &FlowAccount::people_W,
    &FlowAccount::pets_W,          &FlowAccount::appliances_W,
    &FlowAccount::refrigerators_W, &FlowAccount::refrigerators_draw_W,
    &FlowAccount::supply_W,        &FlowAccount::wet_faces_W,
    &FlowAccount::heating_W,       &FlowAccount::cooling_W,
    &FlowAccount::fan_W,           &FlowAccount::coil_W,
    &FlowAccount::given_back_W,    &FlowAccount::solar_W,
    &FlowAccount::alternator_W,    &FlowAccount::shore_W,
    &FlowAccount::battery_W,       &FlowAccount::unit_W,
    &FlowAccount::other_W,         &FlowAccount::loss_W,
    &FlowAccount::latent_W};

double& by_group(FlowAccount& a, network::Group group) {
  switch (group) {
    case network::Group::roof:
      return a.roof_W;
    case network::Group::floor:
      return a.floor_W;
    case network::Group::window:
      return a.windows_W;
    case network::Group::partition:
      return a.partitions_W;
    default:  // furnishings have no outside
      return a.walls_W;
  }
}

}  // namespace

double FlowAccount::heat_W() const {
  return roof_W + walls_W + floor_W + partitions_W + windows_W + sun_W + exchange_W + people_W +
         pets_W + appliances_W + refrigerators_W + supply_W + wet_faces_W + heating_W + cooling_W +
         fan_W + coil_W + given_back_W;
}

double FlowAccount::electricity_W() const {
  return solar_W + alternator_W + shore_W + battery_W - unit_W - other_W - refrigerators_draw_W -
         loss_W;
}

FlowBook::FlowBook(const network::Cabin& cabin, const scenario::Scenario& scenario,
                   const std::vector<Span>& spans)
    : cabin_(cabin), scenario_(scenario), sums_(spans.size()) {
  for (std::size_t i = 0; i < spans.size(); ++i) sums_[i].span = spans[i];
}

template <int L>
bool FlowBook::begin(double t_s, double dt_s, const network::Stepper<L>& stepper, int lane) {
  const double middle_s = t_s + 0.5 * dt_s;
  const bool asked = std::any_of(sums_.begin(), sums_.end(), [&](const FlowAccount& a) {
    return middle_s > a.span.from_s && middle_s < a.span.to_s;
  });
  if (!asked) return false;
  t_s_ = middle_s;
  stored_J_ = stepper.stored_J(lane);
  T_air_K_ = stepper.T_air_K(lane);
  return true;
}

template <int L>
FlowAccount FlowBook::of_step(const Step& s, const network::Stepper<L>& stepper, int lane,
                              const Surroundings& around, const power::Granted& granted,
                              const Air& air) const {
  FlowAccount a;
  const network::Flows<L>& f = stepper.flows();
  a.T_out_K = s.T_out_K;
  a.T_air_K = s.T_air_K;
  for (std::size_t c = 0; c < cabin_.chains.size(); ++c)
    by_group(a, cabin_.chains[c].group) += stepper.outside_W(c, lane);
  const auto heat_W = [](const occupants::Gains& g) { return g.convective_W + g.radiant_W; };
  const double gains_W = heat_W(around.gains());
  a.people_W =
      heat_W(occupants::gains(scenario_.people, {}, {}, s.second_of_day, T_air_K_, s.T_out_K));
  a.pets_W = heat_W(occupants::gains({}, scenario_.pets, {}, s.second_of_day, T_air_K_, s.T_out_K));
  a.refrigerators_W = around.gains().refrigerator_W;
  a.appliances_W = gains_W - a.people_W - a.pets_W - a.refrigerators_W;
  a.supply_W = around.power_heat_W();
  a.sun_W = f.sun_inside_W[lane] + f.gains_W[lane] - gains_W - a.supply_W;
  a.exchange_W = f.exchange_W[lane];
  a.heating_W = s.ideal_heating_W;
  a.cooling_W = -s.ideal_cooling_W;
  a.wet_faces_W = f.placed_W[lane] - (a.heating_W + a.cooling_W - air.ideal_W);
  a.fan_W = air.fan_W;
  a.coil_W = -s.sensible_W;
  a.given_back_W = (stored_J_ - stepper.stored_J(lane)) / s.dt_s;
  a.solar_W = s.solar_W;
  a.alternator_W = s.alternator_W;
  a.shore_W = s.shore_W;
  a.battery_W = granted.battery_W;
  a.unit_W = s.unit_electric_W;
  a.other_W = s.other_W - s.refrigerator_W;
  a.refrigerators_draw_W = s.refrigerator_W;
  a.loss_W = granted.loss_W;
  a.latent_W = s.latent_W;
  return a;
}

template <int L>
void FlowBook::end(const Step& s, const network::Stepper<L>& stepper, int lane,
                   const Surroundings& around, const power::Granted& granted, const Air& air) {
  const FlowAccount now = of_step(s, stepper, lane, around, granted, air);
  for (FlowAccount& sum : sums_) {
    if (!(t_s_ > sum.span.from_s && t_s_ < sum.span.to_s)) continue;
    for (const auto mean : kMeans) sum.*mean += now.*mean * s.dt_s;
    sum.seconds += s.dt_s;
  }
}

std::vector<FlowAccount> FlowBook::accounts() const {
  std::vector<FlowAccount> means = sums_;
  for (FlowAccount& a : means)
    for (const auto mean : kMeans) a.*mean /= a.seconds > 0 ? a.seconds : 1.0;
  return means;
}

template bool FlowBook::begin(double, double, const network::Stepper<1>&, int);
template void FlowBook::end(const Step&, const network::Stepper<1>&, int, const Surroundings&,
                            const power::Granted&, const Air&);
template bool FlowBook::begin(double, double, const network::Stepper<4>&, int);
template void FlowBook::end(const Step&, const network::Stepper<4>&, int, const Surroundings&,
                            const power::Granted&, const Air&);
template bool FlowBook::begin(double, double, const network::Stepper<8>&, int);
template void FlowBook::end(const Step&, const network::Stepper<8>&, int, const Surroundings&,
                            const power::Granted&, const Air&);

}  // namespace cabinload::simulation
