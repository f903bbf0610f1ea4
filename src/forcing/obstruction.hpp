// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/forcing/forcing.hpp>
#include <vector>

namespace cabinload::forcing {

/// What an overhang and side fins hide from a rectangular face; opaque, black plates.
///
/// The face is sampled by kSide x kSide points, so a sunlit share is within about 1/kSide of exact.
class Obstruction {
 public:
  static constexpr int kSide = 24;
  /// @param tilt_rad  of the face: which half of what it sees is sky
  Obstruction(const vehicle::Shelter& shelter, double tilt_rad);
  /// Share of the face that the sun reaches. Direction to the sun in the face's own frame: to the
  /// right, up along the face, outwards. @pre out_1 > 0
  [[nodiscard]] double sunlit_share_1(double right_1, double up_1, double out_1) const;
  /// Share of isotropic sky (ground) light that still arrives, mean over the face.
  [[nodiscard]] double sky_share_1() const { return sky_share_1_; }
  [[nodiscard]] double ground_share_1() const { return ground_share_1_; }

 private:
  [[nodiscard]] bool hidden(double x_m, double y_m, double right_1, double up_1,
                            double out_1) const;
  vehicle::Shelter s_;
  double sky_share_1_ = 1, ground_share_1_ = 1;
};

/// The skyline around the vehicle: straight lines between its points, all the way round.
class Skyline {
 public:
  /// @param points  at least one, in any order
  explicit Skyline(std::vector<SkylinePoint> points);
  [[nodiscard]] double elevation_rad(double azimuth_rad) const;
  /// Share of isotropic sky light that reaches the horizontal: 1 - mean of sin^2(elevation).
  [[nodiscard]] double open_sky_1() const { return open_sky_1_; }

 private:
  std::vector<SkylinePoint> points_;  // by azimuth, 0..2 pi
  double open_sky_1_ = 1;
};

}  // namespace cabinload::forcing
