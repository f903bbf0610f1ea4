// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <vector>

namespace cabinload::forcing {

/// How transmittance and absorptance of a window fall from their values at normal incidence.
///
/// One or two equal panes, each with Fresnel reflection at both faces and absorption along the
/// refracted path ([Duffie2013] ch. 5, eqs. 5.1.1 to 5.3.4). Ratios to normal incidence, so that a
/// stated normal transmittance is kept exactly.
class Glass {
 public:
  /// Panes of index 1.526; extinction chosen so that the window absorbs the stated share.
  /// @param panes 1 or 2  @param absorptance_1 of the window at normal incidence, 0..0.95
  Glass(int panes, double absorptance_1);
  /// Panes of stated index and extinction (per metre of path).
  static Glass from_panes(int panes, double thickness_m, double index_1, double extinction_1_m);
  /// Panes of stated normal transmittance and reflectance: index and extinction that give them.
  /// @throws core::RangeError  no uncoated pane has these
  static Glass from_pane_optics(int panes, double transmittance_1, double reflectance_1);
  /// Transmitted ratio by points over the angle of incidence (straight lines between, 0 at 90 deg);
  /// the absorbed ratio is that of uncoated panes.
  /// @pre angles_rad rises, starts at 0 with ratio 1; same length
  static Glass from_curve(int panes, double absorptance_1, const std::vector<double>& angles_rad,
                          const std::vector<double>& ratios_1);

  /// Of the panes as calculated, at normal incidence.
  [[nodiscard]] double transmittance_1() const { return transmittance_1_; }
  [[nodiscard]] double absorptance_1() const { return absorptance_1_; }
  /// @param cos_incidence_1  0..1
  [[nodiscard]] double transmitted(double cos_incidence_1) const {
    return at(transmitted_, cos_incidence_1);
  }
  [[nodiscard]] double absorbed(double cos_incidence_1) const {
    return at(absorbed_, cos_incidence_1);
  }
  /// Of what is absorbed, the share of the outer pane (of one pane: of its outer half, 0.5).
  [[nodiscard]] double outer_share(double cos_incidence_1) const {
    return at(outer_, cos_incidence_1);
  }
  /// For isotropic diffuse light: 2 * integral of ratio * cos * sin over the hemisphere.
  [[nodiscard]] double transmitted_diffuse() const { return transmitted_diffuse_; }
  [[nodiscard]] double absorbed_diffuse() const { return absorbed_diffuse_; }
  [[nodiscard]] double outer_share_diffuse() const { return outer_diffuse_; }

 private:
  static constexpr int kPoints = 256;
  using Table = std::array<double, kPoints + 1>;  // over cos, 0..1
  Glass() = default;
  void tabulate(int panes, double index_1, double extinction_path);
  void integrate();
  static double at(const Table& table, double cos_1);
  Table transmitted_{}, absorbed_{}, outer_{};
  double transmittance_1_ = 0, absorptance_1_ = 0;
  double transmitted_diffuse_ = 0, absorbed_diffuse_ = 0, outer_diffuse_ = 0.5;
};

}  // namespace cabinload::forcing
