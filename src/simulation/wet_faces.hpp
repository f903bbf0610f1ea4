// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <algorithm>
#include <cabinload/air/moist_air.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/network/stepper.hpp>
#include <type_traits>

namespace cabinload::simulation {

/// What faces below the dew point do to the air's water.
struct WetFaces {
  double flow_kg_s = 0;   ///< of air, to and from wet faces
  double water_kg_s = 0;  ///< water that this flow keeps
};

/// Film by which faces that are colder than the dew point take water from the air; engineering
/// judgement, the inside films of a cabin lie between 2 and 4.
inline constexpr double kFilmOfWetFaces_W_m2K = 3.0;

/// Tells air that is surely too dry to wet a face, without reckoning its dew point in every step.
class DewGuard {
 public:
  /// @return false: it may be wet
  [[nodiscard]] bool surely_dry(double T_face_K, double W_1, double p_Pa) {
    constexpr double kRoom_1 = 1.05, kRounding_K = 0.001;
    if (!(W_1 <= W_1_ && p_Pa <= p_Pa_ && W_1 * kRoom_1 * kRoom_1 >= W_1_)) {
      W_1_ = W_1 * kRoom_1;
      p_Pa_ = p_Pa * kRoom_1;
      T_dew_K_ = air::dew_point_K(W_1_, p_Pa_) + kRounding_K;
    }
    return T_face_K > T_dew_K_;
  }

 private:
  double W_1_ = -1, p_Pa_ = -1, T_dew_K_ = 1e9;  // air that is damper than any since
};

/// For wet_faces(): nobody wants to know.
struct Nobody {
  void operator()(std::size_t, double) const {}
};

/// Faces below the dew point take water from the air and are warmed by it: g = h / cp (W - Ws)
/// (Lewis relation, [ASHRAE-F2017] ch. 6). What has condensed runs down and is wiped off: it does
/// not come back. Heats the faces in the prepared step and updates its response.
/// @param on_chain  called for every chain with the heat that it gets [W], 0 where it is dry
template <int L, class OnChain>
WetFaces wet_faces(const network::Cabin& cabin, network::Stepper<L>& stepper, int lane,
                   DewGuard& guard, double W_air_1, double p_Pa, network::Response<L>& response,
                   OnChain on_chain) {
  WetFaces wet;
  const double coldest_K = std::min(stepper.T_air_K(lane), stepper.coldest_inner_K(lane));
  const bool any = !guard.surely_dry(coldest_K, W_air_1, p_Pa) &&
                   W_air_1 > air::saturation_humidity_ratio_1(coldest_K, p_Pa);
  if (std::is_same_v<OnChain, Nobody> && !any) return wet;
  for (std::size_t c = 0; c < cabin.chains.size(); ++c) {
    double heat_W = 0;
    const double dW_1 =
        any ? W_air_1 - air::saturation_humidity_ratio_1(stepper.T_inner_K(c, lane), p_Pa) : 0.0;
    if (dW_1 > 0) {
      const double flow_kg_s =
          cabin.chains[c].area_m2 * kFilmOfWetFaces_W_m2K / air::specific_heat_J_kgK(W_air_1);
      heat_W = flow_kg_s * dW_1 * core::kVaporizationHeat_J_kg;
      wet.flow_kg_s += flow_kg_s;
      wet.water_kg_s += flow_kg_s * (W_air_1 - dW_1);
      response.free_K[lane] += stepper.face_per_W(c, lane) * heat_W;
      stepper.heat_face(c, heat_W, lane);
    }
    on_chain(c, heat_W);
  }
  return wet;
}
template <int L>
WetFaces wet_faces(const network::Cabin& cabin, network::Stepper<L>& stepper, int lane,
                   DewGuard& guard, double W_air_1, double p_Pa, network::Response<L>& response) {
  return wet_faces(cabin, stepper, lane, guard, W_air_1, p_Pa, response, Nobody{});
}

}  // namespace cabinload::simulation
