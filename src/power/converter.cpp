// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/power/converter.hpp>
#include <cmath>

#include "require.hpp"

namespace cabinload::power {

ConverterDescription dc_converter_of(double rated_W) {
  return {rated_W, 0.005 * rated_W, 0.96, 0.94, false};
}

ConverterDescription inverter_of(double rated_W) {
  return {rated_W, 0.01 * rated_W, 0.93, 0.90, false};
}

Converter::Converter(const ConverterDescription& d, const char* part)
    : identity_(false), always_on_(d.always_on), rated_W_(d.rated_W), no_load_W_(d.no_load_W) {
  require(d.rated_W > 0 && std::isfinite(d.rated_W), part, "rated power in W", d.rated_W,
          "above 0");
  for (const double efficiency : {d.efficiency_half_1, d.efficiency_full_1})
    require(efficiency > 0.3 && efficiency <= 1, part, "efficiency", efficiency,
            "above 0.3 and at most 1");
  const double half_W = 0.5 * d.rated_W * (1 / d.efficiency_half_1 - 1);
  const double full_W = d.rated_W * (1 / d.efficiency_full_1 - 1);
  const double least_W = std::max(0.0, 2 * half_W - full_W);
  const double most_W = (4 * half_W - full_W) / 3;
  const double slack_W = 1e-9 * d.rated_W;
  require(most_W >= least_W - slack_W, part, "efficiency at half load", d.efficiency_half_1,
          "such that the loss at full load is at most four times that at half load");
  if (!(d.no_load_W >= least_W - slack_W && d.no_load_W <= most_W + slack_W))
    throw core::RangeError(fmt::format(
        "{}: no-load draw in W = {:g}, must be between {:.3g} and {:.3g}: its efficiencies of {:g} "
        "at half and {:g} at full load need that",
        part, d.no_load_W, least_W, most_W, d.efficiency_half_1, d.efficiency_full_1));
  const double half_rest_W = half_W - d.no_load_W, full_rest_W = full_W - d.no_load_W;
  k1_ = std::max(0.0, (4 * half_rest_W - full_rest_W) / d.rated_W);
  k2_1_W_ = std::max(0.0, 2 * (full_rest_W - 2 * half_rest_W) / (d.rated_W * d.rated_W));
  full_input_W_ = input_W(rated_W_);
}

double Converter::output_W(double input_W) const {
  if (identity_) return input_W;
  if (input_W >= full_input_W_) return rated_W_;
  const double rest_W = input_W - no_load_W_, a = 1 + k1_;
  if (rest_W <= 0) return 0;
  return std::min(rated_W_, 2 * rest_W / (a + std::sqrt(a * a + 4 * k2_1_W_ * rest_W)));
}

}  // namespace cabinload::power
