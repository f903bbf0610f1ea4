// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <Eigen/Core>
#include <cabinload/network/cabin.hpp>
#include <cstddef>
#include <span>
#include <vector>

namespace cabinload::network {

/// One number for each of L scenarios that step together. L = 1 for a single run.
template <int L>
using Lane = Eigen::Array<double, L, 1>;

/// What acts on the cabin during one step: means over the step (or values at its middle).
/// The caller keeps one object and changes only what changes.
template <int L>
struct Drive {
  Lane<L> T_out_K, T_sky_K, T_ground_K;
  Lane<L> wind_m_s;                     ///< at the vehicle
  Lane<L> exchange_W_K;                 ///< air exchange: mass flow x specific heat
  Lane<L> mixing_W_m2K;                 ///< added to every inside film while a fan runs
  Lane<L> air_W, radiant_W;             ///< gains to the air and to the radiant star, without the unit
  std::vector<Lane<L>> outer_W;         ///< per chain: sun absorbed at the outside node
  std::vector<Lane<L>> inner_W;         ///< per chain: sun absorbed at the inner face
  std::vector<Lane<L>> cover_m2K_W;     ///< per chain: resistance of an inside cover, 0 without
  explicit Drive(std::size_t chains);
};

/// T_air at the end of the step = free_K + per_W * (heat to the air from the unit, in W).
template <int L>
struct Response {
  Lane<L> free_K, per_W;
};

/// Heat that crossed the cabin's boundary during the last step, mean [W], positive warms.
template <int L>
struct Flows {
  Lane<L> envelope_W;    ///< films and long wave at the outside faces, sun absorbed on them
  Lane<L> windows_W;     ///< the same at window panes
  Lane<L> sun_inside_W;  ///< sun absorbed inside
  Lane<L> exchange_W;    ///< air exchange
  Lane<L> gains_W;       ///< people, pets, appliances, covers
  Lane<L> unit_W;        ///< as given to finish()
};

/// Steps the network by a semi-implicit rule, O(nodes).
///
/// With T* the temperatures during the step, node i has
///   C_i/(theta_i dt) (T*_i - T_i) = sum_j G_ij (T*_j - T*_i) + Q_i,   T_i <- T_i + (T*_i - T_i)/theta_i.
/// theta = 1/2 is the midpoint rule (second order); nodes faster than the step (dt sum G > 2 C) take
/// theta = 1, so that they follow instead of ringing. Stored heat changes by exactly the flows at T*.
/// Films and long wave are linear in T* with coefficients taken at the start of the step.
/// Each chain is eliminated from outside to its inner face, then air and star are two equations.
///
/// Instantiated for L = 1 and 8.
template <int L>
class Stepper {
 public:
  /// @param cabins  L cabins of one topology (same chains and node counts), numbers may differ
  /// @param dt_s    > 0
  /// @pre  same topology; asserted
  Stepper(std::span<const Cabin> cabins, double dt_s);

  /// Sets every node to one temperature.
  void start_at(const Lane<L>& T_K);

  /// Eliminates everything but the unit; call finish() next.
  [[nodiscard]] Response<L> prepare(const Drive<L>& drive);
  /// Completes the step with the unit's heat to the air (negative cools).
  void finish(const Drive<L>& drive, const Lane<L>& unit_W);

  [[nodiscard]] const Lane<L>& T_air_K() const { return T_air_; }
  [[nodiscard]] const Lane<L>& T_star_K() const { return T_star_; }
  /// Inner face of a chain.
  [[nodiscard]] const Lane<L>& T_inner_K(std::size_t chain) const { return T_[end_[chain] - 1]; }
  /// Outside face of a chain.
  [[nodiscard]] const Lane<L>& T_outer_K(std::size_t chain) const {
    return T_[chain == 0 ? 0 : end_[chain - 1]];
  }
  /// All nodes of all chains, chain by chain, outside to inside.
  [[nodiscard]] const std::vector<Lane<L>>& T_K() const { return T_; }
  /// Heat stored in all nodes over 0 K [J].
  [[nodiscard]] Lane<L> stored_J() const;
  [[nodiscard]] const Flows<L>& flows() const { return flows_; }

 private:
  struct Outer { Lane<L> G_W_K, GT_W; };   // sum of conductances at the outside node, and G*T
  Outer outer_end(std::size_t chain, const Drive<L>& drive, const Lane<L>& T_face_K) const;

  // Constant over the run.
  std::vector<std::size_t> end_;                   // one past the last node of each chain
  std::vector<Lane<L>> C_, K_, over_theta_, G_;    // per node; G_[i] between i and i+1 of a chain
  std::vector<Lane<L>> area_, radiant_area_, eps_sky_, eps_air_, eps_ground_, T_fixed_;
  std::vector<Lane<L>> film_warm_, film_cool_, fixed_outside_, fixed_inside_;
  std::vector<vehicle::Outside> outside_;
  std::vector<unsigned char> covered_, is_window_;
  Lane<L> C_air_, K_air_, over_theta_air_;
  // State.
  std::vector<Lane<L>> T_;
  Lane<L> T_air_, T_star_;
  // Of the current step.
  std::vector<Lane<L>> reduced_, inverse_;         // forward elimination: rhs and 1/diagonal
  std::vector<Lane<L>> g_air_, g_star_;
  std::vector<Outer> outer_;
  Lane<L> air_0_, air_per_W_, star_0_, star_per_W_;
  Flows<L> flows_;
};

extern template class Stepper<1>;
extern template class Stepper<8>;

}  // namespace cabinload::network
