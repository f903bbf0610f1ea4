// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>

namespace cabinload::forcing {

/// How transmittance and absorptance of a window fall from their values at normal incidence.
///
/// One or two panes of index 1.526, each with Fresnel reflection at both faces and absorption along
/// the refracted path ([Duffie2013] ch. 5, eqs. 5.1.1 to 5.3.4); the extinction is chosen so that a
/// pane absorbs its part of the stated normal absorptance. Ratios to normal incidence, so that the
/// stated transmittance is kept exactly.
class Glass {
 public:
  /// @param panes 1 or 2  @param absorptance_1 of the window at normal incidence, 0..0.95
  Glass(int panes, double absorptance_1);
  /// @param cos_incidence_1  0..1
  [[nodiscard]] double transmitted(double cos_incidence_1) const {
    return at(transmitted_, cos_incidence_1);
  }
  [[nodiscard]] double absorbed(double cos_incidence_1) const {
    return at(absorbed_, cos_incidence_1);
  }
  /// For isotropic diffuse light: 2 * integral of ratio * cos * sin over the hemisphere.
  [[nodiscard]] double transmitted_diffuse() const { return transmitted_diffuse_; }
  [[nodiscard]] double absorbed_diffuse() const { return absorbed_diffuse_; }

 private:
  static constexpr int kPoints = 128;
  using Table = std::array<double, kPoints + 1>;  // over cos, 0..1
  static double at(const Table& table, double cos_1);
  Table transmitted_{}, absorbed_{};
  double transmitted_diffuse_ = 0, absorbed_diffuse_ = 0;
};

}  // namespace cabinload::forcing
