// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/network/stepper.hpp>
#include <cstddef>
#include <vector>

namespace cabinload::network {

/// Splits the heat that holds a cabin's air at its temperature by what causes it.
///
/// Once its films are frozen a step of the network is linear: one matrix M (capacities over the
/// step, conductances), and a right side that is a sum of what acts. With temperatures counted from
/// a constant T_ref every cause c has a right side of its own, and
///   M x_c = (its own history) + (its own sources),   x_c the excess temperatures that it makes,
/// is solved with the very factors that the full step has just used. In each cause's column the air
/// is kept at T_ref by a heat Q_c; -Q_c is that cause's part of the load: what it would bring to
/// the air of a cabin that stood at T_ref all the time, with the walls storing its heat on the way.
/// One more column, the *rest*, has no source but the heat that the full run started with and what
/// the caller gives it (heating), and its air follows the full run's: it holds what comes and goes
/// with the air not standing at T_ref (cooling off, a set point that changes). As the columns'
/// right sides, histories and air temperatures sum to those of the full step, so do their heats:
/// the parts add up to the load of every step but for rounding, and nothing is shared out
/// afterwards.
///
/// What acts at an outside face is sum G T - T_ref sum G of films and long wave. Long wave is the
/// step's tangent of sigma T^4 at the face's last temperature; what tangent and curve differ by
/// stays with the face. The split depends on these frozen coefficients: a cause's part is what it
/// does among the others, not what it would do alone.
///
/// The method is that of heat gains to a space held at constant temperature, with the difference
/// to the heat that is really extracted kept apart: [ASHRAE-F2017] ch. 18 (from memory).
class Superposition {
 public:
  /// @param full    outlives this; stepped by the caller
  /// @param causes  columns, without the rest
  /// @param place   chain whose inner face the load acts on; -1: the air
  Superposition(const Stepper<1>& full, std::size_t causes, double T_ref_K, int place = -1);

  /// The full stepper was started at one temperature.
  void start_at(double T_K);

  /// Column of the rest.
  [[nodiscard]] std::size_t rest() const { return causes_; }

  // Sources [W], kept until they are set anew. `column` is a cause or rest().
  /// At the outside node of a chain.
  void set_outer(std::size_t column, std::size_t chain, double W);
  /// At the inner face of a chain.
  void set_inner(std::size_t column, std::size_t chain, double W);
  /// At the cabin air.
  void set_air(std::size_t column, double W) { air_W_[column] = W; }
  /// At the radiant star.
  void set_star(std::size_t column, double W) { star_W_[column] = W; }

  /// What acts at the outside face of a chain, counted from T_ref.
  struct Outside {
    double seen_W = 0;  ///< films and long wave
    double sun_W = 0;   ///< absorbed by the face and by its cover
  };
  /// @pre  the full stepper has prepared a step with `drive`
  [[nodiscard]] Outside outside(const Drive<1>& drive, std::size_t chain) const;

  /// Follows the step that the full stepper has just finished.
  void step();

  /// Heat taken from the cabin by each column during the last step [W]; the sum is what the full
  /// step took at `place`.
  [[nodiscard]] double removed_W(std::size_t column) const { return removed_W_[column]; }
  /// Sum of all columns, over 0 K: what the full stepper has, but for rounding.
  [[nodiscard]] double T_inner_K(std::size_t chain) const;

 private:
  /// Node-major: the columns of a node stand together. `width_` columns, a multiple of 4.
  using Numbers = std::vector<double>;
  [[nodiscard]] std::size_t at(std::size_t place) const { return place * width_; }
  [[nodiscard]] double face(detail::Face f, std::size_t place) const;
  [[nodiscard]] double node(detail::Node f, std::size_t place, std::size_t level) const;
  void sweep();
  void gather();
  void hold_air();
  void follow();

  const Stepper<1>& full_;
  std::size_t causes_, width_;
  double T_ref_K_;
  int place_;
  std::vector<std::size_t> inner_nodes_, first_node_;  // of the chain at a place
  Numbers outer_W_, inner_W_, air_W_, star_W_;
  Numbers T_node_, T_outer_, T_inner_, T_air_, T_star_;  // excess
  Numbers p_, outer_rhs_, inner_rhs_, air_rhs_, star_rhs_, air_during_, star_during_, removed_W_;
  Numbers outer_during_, inner_during_;  // of one chain
};

}  // namespace cabinload::network
