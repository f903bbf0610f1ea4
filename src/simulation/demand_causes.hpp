// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/network/superposition.hpp>
#include <cabinload/simulation/demand.hpp>
#include <vector>

#include "surroundings.hpp"
#include "wet_faces.hpp"

namespace cabinload::simulation {

/// The causes of a cabin's demand, and what each of them does in a step. A cause's place in the
/// list is its column in the superposition; the last, `stored`, is its rest.
class DemandCauses {
 public:
  DemandCauses(const network::Cabin& cabin, const scenario::Scenario& scenario);

  [[nodiscard]] const std::vector<Cause>& list() const { return list_; }
  [[nodiscard]] std::size_t condensation() const { return condensation_; }

  /// Gives every cause its sources. @pre the full stepper has prepared a step with `drive`
  void act(const Surroundings& around, const network::Drive<1>& drive, double T_ref_K,
           double second_of_day, double T_air_K, network::Superposition& parts);
  /// Water that each cause brings over what the air may hold [kg/s]; the last stays as it is.
  void water(const Surroundings& around, const WetFaces& wet, double W_most_1,
             std::vector<double>& out) const;

 private:
  std::size_t add(CauseKind kind, const std::string& window = "");
  void shine(const Surroundings& around, network::Superposition& parts) const;
  void give(std::size_t column, const occupants::Gains& gains, network::Superposition& parts) const;

  const network::Cabin& cabin_;
  const scenario::Scenario& scenario_;
  std::vector<Cause> list_;
  std::vector<int> of_chain_;         // column of a chain's outside face; -1: none
  std::vector<std::size_t> windows_;  // chains; the sun's column follows the window's own
  std::size_t exchange_, people_, pets_, appliances_, condensation_;
  occupants::Gains from_people_, from_pets_, from_appliances_;
  long slot_ = -1'000'000'000;
};

}  // namespace cabinload::simulation
