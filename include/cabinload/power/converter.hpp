// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <limits>

namespace cabinload::power {

/// A direct-current converter or an inverter, by three figures of its data sheet.
struct ConverterDescription {
  double rated_W = 0;              ///< most it gives; > 0
  double no_load_W = 0;            ///< what it draws when on without load; >= 0
  double efficiency_half_1 = 0.9;  ///< at half the rated power, above 0.3 and at most 1
  double efficiency_full_1 = 0.9;  ///< at the rated power
  bool always_on = false;          ///< draws no_load_W also while nothing is asked
};
/// Figures of common devices, no published source: a converter between 12, 24 and 48 V (5 W a kW,
/// 96 and 94 %) and an inverter of a pure sine (10 W a kW, 93 and 90 %).
[[nodiscard]] ConverterDescription dc_converter_of(double rated_W);
/// The inverter of that size. @param rated_W  > 0; not checked here
[[nodiscard]] ConverterDescription inverter_of(double rated_W);

/// Loss = no_load + k1 P + k2 P^2 through the two efficiencies, k1 and k2 not negative.
class Converter {
 public:
  /// Identity: gives what it takes, without limit.
  Converter() = default;
  /// @throws core::RangeError  a value out of range, or a no-load draw that no rising loss through
  ///         the efficiencies has (the text says which would do)
  /// @param part  name in errors: "inverter", "converter"
  Converter(const ConverterDescription& description, const char* part);

  /// It stands for no device: output is input.
  [[nodiscard]] bool identity() const { return identity_; }
  /// Most that it gives [W]; infinite for the identity.
  [[nodiscard]] double most_W() const { return rated_W_; }
  /// Input for an output [W]; output at most most_W().
  [[nodiscard]] double input_W(double output_W) const {
    if (identity_) return output_W;
    if (output_W <= 0) return always_on_ ? no_load_W_ : 0.0;
    return output_W + no_load_W_ + (k1_ + k2_1_W_ * output_W) * output_W;
  }
  /// Output from an input [W]: the inverse; 0 when the input does not cover the no-load draw.
  [[nodiscard]] double output_W(double input_W) const;

 private:
  bool identity_ = true, always_on_ = false;
  double rated_W_ = std::numeric_limits<double>::infinity();
  double full_input_W_ = rated_W_, no_load_W_ = 0, k1_ = 0, k2_1_W_ = 0;
};

}  // namespace cabinload::power
