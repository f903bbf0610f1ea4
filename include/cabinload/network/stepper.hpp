// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <Eigen/Core>
#include <cabinload/network/cabin.hpp>
#include <cabinload/network/lanes.hpp>
#include <cabinload/network/step_data.hpp>
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
  Lane<L> mixing_W_m2K;        ///< added to every inside film by law while a fan runs
  Lane<L> air_W, radiant_W;    ///< gains to the air and to the radiant star, without the unit
  std::vector<AtChain<L>> at;  ///< as Cabin::chains of each lane
  /// Whether `at` may have changed since the step before. Whoever says false answers for it.
  bool at_changed = true;
  /// Nothing acts: 293.15 K all around, still air. @param chains  most of a lane's cabin
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
/// theta is that with which a node that decays alone, with its nominal sum of G, does so exactly
/// (exponential fitting [Liniger1970]): near 1/2, the midpoint rule, where the step is short for
/// the node, 1 where the node follows at once; the midpoint rule would ring there. Stored heat
/// changes by exactly the flows at T*. Films are linear in T* with coefficients taken at the start
/// of the step; long wave outside by its tangent there, long wave inside by the star's temperature
/// there.
///
/// Inside a chain nothing changes from step to step but the history, so its inner nodes are solved
/// once as T*_i = p_i + q_i T*_outer + s_i T*_inner with q, s constant and p by two sweeps of
/// stored factors. What is left per chain is its two ends; the outer is eliminated onto the inner,
/// the inner onto air and star, which are two equations.
///
/// Lanes have nothing in common: each may have a step of its own and chains of its own number,
/// length and kind. What a lane lacks beside the others is filled up with zeros that change no bit
/// of its result, so that a lane equals the run of its cabin alone, whoever stands beside it. The
/// arithmetic is in step_kernel.hpp, compiled for each instruction set (lanes.hpp).
///
/// Instantiated for L = 1, 4 and 8.
template <int L>
class Stepper {
 public:
  /// @param cabins  L cabins
  /// @param dt_s    L steps, > 0
  Stepper(std::span<const Cabin* const> cabins, std::span<const double> dt_s,
          InstructionSet set = widest());
  /// The same with another arithmetic, as one that counts.
  Stepper(std::span<const Cabin* const> cabins, std::span<const double> dt_s,
          detail::StepKernel<L> kernel);
  /// For cabins that stand together and one step for all.
  Stepper(std::span<const Cabin> cabins, double dt_s, InstructionSet set = widest());

  /// Sets every node to one temperature.
  void start_at(const Lane<L>& T_K);
  /// Takes the temperatures of all nodes from another of the same topology, whatever its step.
  /// @pre  same topology; asserted
  void start_from(const Stepper& other);

  /// From now on steps of a lane are as long as those of another stepper of the same cabins; its
  /// temperatures stay. @pre  no step prepared
  void use_step_of(const Stepper& other, int lane);

  /// What acts at the chains of one lane, from the next step on; for who keeps Drive::at_changed
  /// false. @param at  as Cabin::chains of the lane
  void act_at(const std::vector<AtChain<1>>& at, int lane);
  /// Eliminates everything but the unit; call finish() next.
  [[nodiscard]] Response<L> prepare(const Drive<L>& drive);
  /// Heat capacity of the cabin air [J/K].
  [[nodiscard]] double C_air_J_K(int lane = 0) const { return C_air_[lane]; }
  /// What leaves the air in the prepared step per kelvin that it is warmer during it, to faces and
  /// by exchange [W/K]; after prepare().
  [[nodiscard]] double air_W_K(int lane = 0) const {
    return 1 / data_.air_per_W.x[lane] - data_.K_air.x[lane];
  }
  /// T_air at the end of the step per watt given to the inner face of a chain; after prepare().
  [[nodiscard]] double face_per_W(std::size_t chain, int lane = 0) const;
  /// Gives heat to the inner face of a chain during the step; between prepare() and finish().
  void heat_face(std::size_t chain, double W, int lane = 0);
  /// Completes the step with the unit's heat to the air (negative cools).
  void finish(const Drive<L>& drive, const Lane<L>& unit_W);

  /// Cabin air after the last step [K].
  [[nodiscard]] Lane<L> T_air_K() const { return lanes(data_.T_air); }
  /// The same of one lane.
  [[nodiscard]] double T_air_K(int lane) const { return data_.T_air.x[lane]; }
  /// Radiant star after the last step [K].
  [[nodiscard]] double T_star_K(int lane = 0) const { return data_.T_star.x[lane]; }
  /// Inner face of a chain.
  [[nodiscard]] double T_inner_K(std::size_t chain, int lane = 0) const {
    return face(detail::kT_inner, chain, lane);
  }
  /// Outside face of a chain.
  [[nodiscard]] double T_outer_K(std::size_t chain, int lane = 0) const {
    return face(detail::kT_outer, chain, lane);
  }
  /// The coldest of all inner faces at the end of the last step.
  [[nodiscard]] double coldest_inner_K(int lane = 0) const { return data_.coldest_K.x[lane]; }
  /// Nodes of all chains, chain by chain, outside to inside.
  [[nodiscard]] std::size_t nodes(int lane = 0) const;
  /// One of them [K]. @param node  0..nodes() - 1; not checked
  [[nodiscard]] double T_node_K(std::size_t node, int lane = 0) const;
  /// Heat stored in all nodes over 0 K [J].
  [[nodiscard]] double stored_J(int lane = 0) const;
  /// Flows of the last step, means over it [W].
  [[nodiscard]] const Flows<L>& flows() const { return flows_; }
  /// Of them what came in at the outside face of one chain. @pre a step is finished, none prepared
  [[nodiscard]] double outside_W(std::size_t chain, int lane = 0) const {
    return face(detail::kHeatOutside, chain, lane);
  }

 private:
  friend class Superposition;  // solves further right sides with the factors of a step
  using Each = typename detail::StepData<L>::Each;
  struct Layout;
  struct EndNode;
  struct alignas(64) Line {
    double x[8];
  };
  /// Place of a number among the columns: pack, and number in it.
  struct Spot {
    std::size_t pack, in_pack;
  };
  [[nodiscard]] Spot spot(std::size_t column, int lane) const {
    const std::size_t flat = column * static_cast<std::size_t>(L) + static_cast<std::size_t>(lane);
    return {flat / width_, flat % width_};
  }
  [[nodiscard]] std::size_t face_at(detail::Face f, Spot s) const {
    return (s.pack * detail::kFaceNumbers + static_cast<std::size_t>(f)) * width_ + s.in_pack;
  }
  [[nodiscard]] std::size_t node_at(detail::Node f, Spot s, std::size_t level) const {
    const std::size_t apart = L < 4 ? 1 : L / width_;  // packs of a column lie side by side
    const auto first = static_cast<std::size_t>(packs_[s.pack].first_node) + level * apart;
    return (first * detail::kNodeNumbers + static_cast<std::size_t>(f)) * width_ + s.in_pack;
  }
  [[nodiscard]] const double* faces() const { return face_lines_[0].x; }
  [[nodiscard]] double* faces() { return face_lines_[0].x; }
  [[nodiscard]] const double* inner() const { return node_lines_[0].x; }
  [[nodiscard]] double* inner() { return node_lines_[0].x; }
  [[nodiscard]] Spot spot_of(std::size_t chain, int lane) const {
    return spot(place_[static_cast<std::size_t>(lane)][chain], lane);
  }
  [[nodiscard]] double face(detail::Face f, std::size_t chain, int lane = 0) const {
    return faces()[face_at(f, spot_of(chain, lane))];
  }
  [[nodiscard]] static Lane<L> lanes(const Each& each);
  static void fill(Each& each, const Lane<L>& lane);
  void lay_out(std::span<const Cabin* const> cabins);
  void add_chain(const Chain& chain, std::size_t c, int lane, double dt_s);
  void describe_face(const Chain& chain, Spot at);
  void factor(std::vector<EndNode>& nodes, Spot at);
  void connect();
  void take(const Drive<L>& drive);
  template <int K>
  void take_lane(const std::vector<AtChain<K>>& acts, int k, int l);

  std::vector<std::size_t> place_[L];    // column of a chain, by lane
  std::vector<std::size_t> lengths_[L];  // nodes of a chain
  std::vector<unsigned> flags_[L];       // detail::PackFlag of a chain
  std::vector<detail::Pack> packs_;
  std::vector<Line> face_lines_, node_lines_;
  detail::StepData<L> data_{};
  detail::StepKernel<L> kernel_;
  std::size_t width_ = 0;  // of a pack
  Lane<L> C_air_, sun_inside_W_, placed_W_;
  Flows<L> flows_;
};

extern template class Stepper<1>;
extern template class Stepper<4>;
extern template class Stepper<8>;

}  // namespace cabinload::network
