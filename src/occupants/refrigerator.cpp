// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/occupants/refrigerator.hpp>

namespace cabinload::occupants {

RefrigeratorNow run_of(const Refrigerator& r, double compressor_W, double second_of_day,
                       double T_cabin_K, double T_out_K) {
  const auto within = [](double T_K) { return std::clamp(T_K, 250.0, 340.0); };
  const double wanted_W =
      r.ua_W_K * (within(T_cabin_K) - r.T_inside_K) + r.load_W.at(second_of_day);
  if (wanted_W <= 0 || compressor_W <= 0) return {};
  const double evaporating_K = r.T_inside_K - r.dT_cold_K;
  const double condensing_K = within(r.condenser_inside ? T_cabin_K : T_out_K) + r.dT_hot_K;
  const double cop_1 =
      r.carnot_share_1 * evaporating_K / std::max(kLeastLift_K, condensing_K - evaporating_K);
  RefrigeratorNow now;
  now.duty_1 = std::min(1.0, wanted_W / (cop_1 * compressor_W));
  now.electric_W = now.duty_1 * compressor_W;
  now.pumped_W = now.electric_W * cop_1;
  now.heat_to_cabin_W = r.condenser_inside ? now.electric_W : -now.pumped_W;
  return now;
}

}  // namespace cabinload::occupants
