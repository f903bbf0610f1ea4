// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/network/films.hpp>
#include <cabinload/vehicle/vehicle.hpp>
#include <string>
#include <vector>

/// The vehicle as nodes, conductances and capacities: plain numbers.
///
/// A *chain* is a row of nodes from an outside end to a face in the cabin. Every chain meets the
/// others only through two shared nodes: the cabin air (convection) and a radiant star (long wave).
/// A step therefore eliminates each chain onto its inner face and solves two equations
/// (stepper.hpp).
namespace cabinload::network {

/// What a chain belongs to, for accounts by cause.
enum class Group { roof, wall, floor, window, furnishing, partition };

/// Nodes from the outside to a face in the cabin, and what acts at both ends.
struct Chain {
  std::string name;
  Group group = Group::wall;
  double area_m2 = 0;
  std::vector<double> C_J_K;  ///< nodes, outside to inside, n >= 1, >= 0
  std::vector<double> G_W_K;  ///< between neighbours, n - 1, > 0

  vehicle::Outside outside = vehicle::Outside::adiabatic;
  core::DayProfile T_fixed_K;  ///< for Outside::fixed
  double emittance_out_1 = 0;
  LongWaveView view;         ///< of the outside face
  double absorptance_1 = 0;  ///< of sun on the outside face
  int surface = -1;          ///< index in Forcing::surfaces, or -1
  int window = -1;           ///< index in Forcing::windows, or -1

  double wind_share_1 = 1;  ///< of the wind part of the outside film
  vehicle::Films films;     ///< where stated instead of the laws
  NaturalFilm film;         ///< inside convection by law
  double emittance_in_1 = 0;
  double radiant_area_m2 = 0;  ///< G to the star = radiant_area * 4 sigma T^3
  double solar_share_1 = 0;    ///< of the sun that entered, landing on the inner face
  double radiant_share_1 = 0;  ///< of radiant gains, where Cabin::radiant_shares
  vehicle::Cover inside_cover, outside_cover;  ///< a resistance beside the face
};

/// What a step needs of a vehicle: its chains, and what belongs to the air alone.
struct Cabin {
  std::vector<Chain> chains;
  double volume_m3 = 0;
  double air_capacity_factor_1 = 1;
  double moisture_capacity_factor_1 = 1;
  double leakage_area_m2 = 0;
  double solar_air_1 = 0;       ///< share of the sun that entered and warms the air at once
  double solar_lost_1 = 0;      ///< share of it that leaves by the glass again
  bool radiant_shares = false;  ///< radiant gains go by shares to faces, not to the star

  /// Nodes of all chains, and the two that they share.
  [[nodiscard]] std::size_t nodes() const;
  /// Chain of the roof under a unit: the largest opaque face that looks up at the open air; -1:
  /// none.
  [[nodiscard]] int roof() const;
};

/// Lump rule. With d = sqrt(a P / pi), a = k / (rho c), P = kSlicePeriod_s (the depth to which a
/// wave of that period penetrates), a layer of thickness L is cut into the fewest equal slices not
/// thicker than
///   d * min(kSliceDepth, sqrt(kSliceError d / L)):
/// the lumps' error grows with the square of a slice and with the number of depths passed. Nodes
/// lie at slice borders, each with half the heat capacity of its two neighbours. A slice whose
/// resistance is below kThinResistance is one node with its neighbour. Shown against ISO 13786 in
/// the tests: every built-in wall within 1 % at 24 to 3 h and 2 % at 1 h.
inline constexpr double kSliceDepth_1 = 0.42;
inline constexpr double kSliceError_1 = 0.28;
inline constexpr double kSlicePeriod_s = 3600.0;
/// Furnishings bring their thin skins as layers; their bulk matters over hours.
inline constexpr double kFurnishingPeriod_s = 3 * 3600.0;
inline constexpr double kThinResistance_m2K_W = 0.004;

/// @throws core::RangeError  no surface at all, or a layer without thickness or conductivity
[[nodiscard]] Cabin assemble(const vehicle::Vehicle& vehicle);

}  // namespace cabinload::network
