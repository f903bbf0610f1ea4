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

/// What acts at one chain during a step.
template <int L>
struct AtChain {
  Lane<L> outer_W;             ///< sun absorbed at the outside node
  Lane<L> inner_W;             ///< sun and radiant gains absorbed at the inner face
  Lane<L> inside_cover_m2K_W;  ///< resistance between the inner face and the cabin; 0: none
  Lane<L> outside_cover_m2K_W, outside_cover_W;  ///< the same outside, and the sun it absorbs
  Lane<L> T_fixed_K;                             ///< for Outside::fixed
};

/// What acts on the cabin during one step: means over the step (or values at its middle).
/// The caller keeps one object and changes only what changes.
template <int L>
struct Drive {
  Lane<L> T_out_K, T_sky_K;
  Lane<L> T_ground_K, T_under_K;  ///< sunlit ground around; shaded ground under the vehicle
  Lane<L> film_still_W_m2K, film_wind_W_m2K;  ///< outside convection, see OutsideFilm
  Lane<L> exchange_W_K;                       ///< air exchange: mass flow x specific heat
  Lane<L> mixing_W_m2K;      ///< added to every inside film by law while a fan runs
  Lane<L> air_W, radiant_W;  ///< gains to the air and to the radiant star, without the unit
  std::vector<AtChain<L>> at;
  /// Nothing acts: 293.15 K all around, still air. @param chains  of the cabin
  explicit Drive(std::size_t chains);
};

class Superposition;

/// Ties the radiant star to its own last value, so that a cabin without radiation has a solution
/// [W/K].
inline constexpr double kStarTie_W_K = 1e-9;

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
  Lane<L> placed_W;      ///< as given to heat_face()
};

/// Steps the network by a semi-implicit rule, O(nodes).
///
/// With T* the temperatures during the step, node i has
///   C_i/(theta_i dt) (T*_i - T_i) = sum_j G_ij (T*_j - T*_i) + Q_i,   T_i <- T_i + (T*_i -
///   T_i)/theta_i.
/// theta = 1/2 is the midpoint rule (second order); nodes faster than the step (dt sum G > 2 C)
/// take theta = 1, so that they follow instead of ringing. Stored heat changes by exactly the flows
/// at T*. Films are linear in T* with coefficients taken at the start of the step; long wave
/// outside by its tangent there, long wave inside by the star's temperature there.
///
/// Inside a chain nothing changes from step to step but the history, so its inner nodes are solved
/// once as T*_i = p_i + q_i T*_outer + s_i T*_inner with q, s constant and p by two sweeps of
/// stored factors. What is left per chain is its two ends; the outer is eliminated onto the inner,
/// the inner onto air and star, which are two equations. The sweeps run level by level across all
/// chains (their second nodes, their third nodes ...), so that they are long loops without waiting.
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
  /// Takes the temperatures of all nodes from another of the same topology, whatever its step.
  /// @pre  same topology; asserted
  void start_from(const Stepper& other);

  /// Eliminates everything but the unit; call finish() next.
  [[nodiscard]] Response<L> prepare(const Drive<L>& drive);
  /// T_air at the end of the step per watt given to the inner face of a chain; after prepare().
  [[nodiscard]] Lane<L> face_per_W(std::size_t chain) const;
  /// Gives heat to the inner face of a chain during the step; between prepare() and finish().
  void heat_face(std::size_t chain, const Lane<L>& W);
  /// Completes the step with the unit's heat to the air (negative cools).
  void finish(const Drive<L>& drive, const Lane<L>& unit_W);

  /// Cabin air after the last step [K].
  [[nodiscard]] const Lane<L>& T_air_K() const { return T_air_; }
  /// Radiant star after the last step [K].
  [[nodiscard]] const Lane<L>& T_star_K() const { return T_star_; }
  /// Inner face of a chain.
  [[nodiscard]] Lane<L> T_inner_K(std::size_t chain) const {
    return faces_.T_inner.col(place_[chain]);
  }
  /// Outside face of a chain.
  [[nodiscard]] Lane<L> T_outer_K(std::size_t chain) const {
    return faces_.T_outer.col(place_[chain]);
  }
  /// Nodes of all chains, chain by chain, outside to inside.
  [[nodiscard]] std::size_t nodes() const { return nodes_; }
  /// One of them [K]. @param node  0..nodes() - 1; not checked
  [[nodiscard]] Lane<L> T_node_K(std::size_t node) const;
  /// Heat stored in all nodes over 0 K [J].
  [[nodiscard]] Lane<L> stored_J() const;
  /// Flows of the last step, means over it [W].
  [[nodiscard]] const Flows<L>& flows() const { return flows_; }
  /// Of them what came in at the outside face of one chain. @pre a step is finished, none prepared
  [[nodiscard]] Lane<L> outside_W(std::size_t chain) const {
    return now_.weight.col(place_[chain]);
  }

 private:
  friend class Superposition;  // solves further right sides with the factors of a step
  /// One number a lane (rows) for each chain or node (columns).
  using Rows = Eigen::Array<double, L, Eigen::Dynamic>;
  struct Node;
  /// Inner nodes of all chains, level by level. Chains stand in the order of their length, the
  /// longest first, so that on every level those that go on are the first ones.
  struct Inner {
    std::vector<Eigen::Index> start, count;  // columns of each level
    Rows C, T, K, over_theta, forward, inverse, next, q, s;
    Rows p;  // of the current step: T* = p + q T*_outer + s T*_inner
  };
  /// The ends of all chains, in the same order: what never changes.
  struct Faces {
    std::vector<Eigen::Index> single;                       // one node is both ends
    std::vector<Eigen::Index> inside_cover, outside_cover;  // chains that can have one
    std::vector<Eigen::Index> inmost;                       // column in Inner, -1 without
    Rows area, is_window;
    Rows stated_air, stated_fixed;  // outside films that are stated: to the air, to a temperature
    Rows still, wind;               // area where the outside law holds, times the wind's share
    Rows sky, air, ground, under, long_wave;  // sigma x emittance x area, by what is seen, in all
    Rows film_warm, film_cool;                // inside law
    Rows to_air_stated, to_air_law;           // stated x area; area where the law holds
    Rows to_star_stated, to_star_law;         // stated x area; radiant area where it holds
    Rows C_outer, C_inner, K_outer, K_inner, over_theta_outer, over_theta_inner;
    Rows G_first, G_inmost;                // to the inner nodes; 0 without
    Rows outer_diag, inner_diag, through;  // without films; coupling through the chain
    Rows T_outer, T_inner;
  };
  /// The ends in the current step.
  struct Current {
    Rows outer_W, inner_W, T_fixed, film, cube, coefficient, size, root;
    Rows G_outside, GT_outside, to_air, to_star;  // conductances, and sum of G T
    Rows outer_rhs, inner_rhs, over_outer, over_inner, weight;
    Rows outer, inner;  // T*
  };
  void lay_out(const Cabin& cabin);
  void make_room(Eigen::Index inner_nodes);
  void describe_faces(std::span<const Cabin> cabins, std::size_t chain);
  void add_chain(std::span<const Cabin> cabins, std::size_t chain, double dt_s);
  void factor(std::vector<Node>& nodes, Eigen::Index place);
  void sweep();
  void follow_inner();
  void take(const Drive<L>& drive);
  void take_cube_roots();
  void see(const Drive<L>& drive);
  void cover(const Drive<L>& drive);
  void eliminate();
  /// A lane's value for every column: a plain number for one lane.
  [[nodiscard]] static auto spread(const Lane<L>& lane, Eigen::Index columns);
  template <class Expression>
  [[nodiscard]] static Lane<L> sum(const Eigen::ArrayBase<Expression>& rows);

  std::size_t nodes_ = 0;
  std::vector<std::size_t> order_;    // chain at a place
  std::vector<Eigen::Index> place_;   // place of a chain
  std::vector<std::size_t> lengths_;  // nodes of a chain
  Inner inner_;
  Faces faces_;
  Current now_;
  Lane<L> C_air_, K_air_, over_theta_air_;
  Lane<L> T_air_, T_star_;
  Lane<L> air_0_, air_per_W_, star_0_, star_per_W_;  // of the current step: T* = _0 + _per_W Q
  Lane<L> star_per_star_W_, placed_W_;  // star per watt at the star; heat_face() so far
  Flows<L> flows_;
};

extern template class Stepper<1>;
extern template class Stepper<8>;

}  // namespace cabinload::network
