// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/network/stepper.hpp>

namespace cabinload::simulation {

/// What faces below the dew point do to the air's water.
struct WetFaces {
  double flow_kg_s = 0;   ///< of air, to and from wet faces
  double water_kg_s = 0;  ///< water that this flow keeps
};

/// Film by which faces that are colder than the dew point take water from the air; engineering
/// judgement, the inside films of a cabin lie between 2 and 4.
inline constexpr double kFilmOfWetFaces_W_m2K = 3.0;

/// Faces below the dew point take water from the air and are warmed by it: g = h / cp (W - Ws)
/// (Lewis relation, [ASHRAE-F2017] ch. 6). What has condensed runs down and is wiped off: it does
/// not come back. Heats the faces in the prepared step and updates its response.
/// @param on_chain  called for every chain with the heat that it gets [W], 0 where it is dry
template <class OnChain>
WetFaces wet_faces(const network::Cabin& cabin, network::Stepper<1>& stepper, double W_air_1,
                   double p_Pa, network::Response<1>& response, OnChain on_chain) {
  WetFaces wet;
  double coldest_K = stepper.T_air_K()[0];
  for (std::size_t c = 0; c < cabin.chains.size(); ++c)
    coldest_K = std::min(coldest_K, stepper.T_inner_K(c));
  const bool any = W_air_1 > air::saturation_humidity_ratio_1(coldest_K, p_Pa);
  for (std::size_t c = 0; c < cabin.chains.size(); ++c) {
    double heat_W = 0;
    const double dW_1 =
        any ? W_air_1 - air::saturation_humidity_ratio_1(stepper.T_inner_K(c), p_Pa) : 0.0;
    if (dW_1 > 0) {
      const double flow_kg_s =
          cabin.chains[c].area_m2 * kFilmOfWetFaces_W_m2K / air::specific_heat_J_kgK(W_air_1);
      heat_W = flow_kg_s * dW_1 * core::kVaporizationHeat_J_kg;
      wet.flow_kg_s += flow_kg_s;
      wet.water_kg_s += flow_kg_s * (W_air_1 - dW_1);
      response.free_K += stepper.face_per_W(c) * heat_W;
      stepper.heat_face(c, heat_W);
    }
    on_chain(c, heat_W);
  }
  return wet;
}
inline WetFaces wet_faces(const network::Cabin& cabin, network::Stepper<1>& stepper, double W_air_1,
                          double p_Pa, network::Response<1>& response) {
  return wet_faces(cabin, stepper, W_air_1, p_Pa, response, [](std::size_t, double) {});
}

}  // namespace cabinload::simulation
