// SPDX-License-Identifier: Apache-2.0
// The step. How chains are laid out and factored: stepper_layout.cpp.
#include <algorithm>
#include <bit>
#include <cabinload/core/constants.hpp>
#include <cabinload/network/stepper.hpp>
#include <cassert>
#include <cmath>
#include <cstdint>

namespace cabinload::network {
namespace {

/// Below this the least inside film rules anyway; keeps the cube root away from zero [K].
constexpr double kLeastDifference_K = 1e-9;
constexpr double kSigma = core::kStefanBoltzmann_W_m2K4;

/// First guess of the cube root of x >= 0: a third of the exponent, within 5 %.
inline double cube_root_guess(double x) {
  return std::bit_cast<double>(std::bit_cast<std::uint64_t>(x) / 3 + 0x2A9F7893782DA1CEULL);
}

template <int L>
Lane<L> fourth_power(const Lane<L>& T_K) {
  const Lane<L> square = T_K * T_K;
  return square * square;
}

/// y[k] += a[k] * x[k]. Plain numbers: levels are short, and a compiler makes the most of this.
void add_product(double* y, const double* a, const double* x, Eigen::Index n) {
  for (Eigen::Index k = 0; k < n; ++k) y[k] += a[k] * x[k];
}

}  // namespace

template <int L>
Drive<L>::Drive(std::size_t chains) {
  T_out_K = T_sky_K = T_ground_K = T_under_K = Lane<L>::Constant(293.15);
  film_wind_W_m2K = exchange_W_K = mixing_W_m2K = air_W = radiant_W = Lane<L>::Zero();
  film_still_W_m2K = Lane<L>::Constant(kOutsideFilmStill_W_m2K);
  const Lane<L> zero = Lane<L>::Zero();
  at.assign(chains, {zero, zero, zero, zero, zero, Lane<L>::Constant(293.15)});
}

template <int L>
void Stepper<L>::start_at(const Lane<L>& T_K) {
  for (Rows* rows : {&faces_.T_outer, &faces_.T_inner, &inner_.T}) rows->colwise() = T_K;
  T_air_ = T_star_ = T_K;
}

template <int L>
void Stepper<L>::start_from(const Stepper& other) {
  assert(order_ == other.order_ && lengths_ == other.lengths_);
  faces_.T_outer = other.faces_.T_outer;
  faces_.T_inner = other.faces_.T_inner;
  inner_.T = other.inner_.T;
  T_air_ = other.T_air_;
  T_star_ = other.T_star_;
}

template <int L>
Lane<L> Stepper<L>::T_node_K(std::size_t node) const {
  std::size_t chain = 0;
  while (node >= lengths_[chain]) node -= lengths_[chain++];
  const Eigen::Index k = place_[chain];
  if (node == 0) return faces_.T_outer.col(k);
  if (node + 1 == lengths_[chain]) return faces_.T_inner.col(k);
  return inner_.T.col(inner_.start[node - 1] + k);
}

template <int L>
auto Stepper<L>::spread(const Lane<L>& lane, [[maybe_unused]] Eigen::Index columns) {
  if constexpr (L == 1)
    return lane[0];
  else
    return lane.replicate(1, columns);
}

template <int L>
template <class Expression>
Lane<L> Stepper<L>::sum(const Eigen::ArrayBase<Expression>& rows) {
  if constexpr (L == 1)
    return Lane<L>::Constant(rows.sum());
  else
    return rows.rowwise().sum();
}

/// p of all inner nodes from their history: inwards, then back.
template <int L>
void Stepper<L>::sweep() {
  Inner& in = inner_;
  double* const p = in.p.data();
  const std::size_t levels = in.start.size();
  in.p = in.K * in.T;
  for (std::size_t j = 1; j < levels; ++j)
    add_product(p + L * in.start[j], in.forward.data() + L * in.start[j], p + L * in.start[j - 1],
                L * in.count[j]);
  in.p *= in.inverse;
  for (std::size_t j = levels; j-- > 1;)
    add_product(p + L * in.start[j - 1], in.next.data() + L * in.start[j - 1], p + L * in.start[j],
                L * in.count[j]);
}

template <int L>
void Stepper<L>::follow_inner() {
  Inner& in = inner_;
  const double *outer = now_.outer.data(), *inner = now_.inner.data();
  const double *p = in.p.data(), *q = in.q.data(), *s = in.s.data(), *w = in.over_theta.data();
  double* T = in.T.data();
  for (std::size_t j = 0; j < in.start.size(); ++j)
    for (Eigen::Index k = 0, i = L * in.start[j]; k < L * in.count[j]; ++k, ++i)
      T[i] += w[i] * (p[i] + q[i] * outer[k] + s[i] * inner[k] - T[i]);
}

/// What acts at the chains, in the order of the places.
template <int L>
void Stepper<L>::take(const Drive<L>& d) {
  for (std::size_t k = 0; k < order_.size(); ++k) {
    const AtChain<L>& at = d.at[order_[k]];
    const auto column = static_cast<Eigen::Index>(k);
    now_.outer_W.col(column) = at.outer_W;
    now_.inner_W.col(column) = at.inner_W;
    now_.T_fixed.col(column) = at.T_fixed_K;
  }
}

/// Of the difference between inner face and air: two steps of Halley's method, relative error below
/// 1e-12; and the film's coefficient by its sign.
template <int L>
void Stepper<L>::take_cube_roots() {
  Current& n = now_;
  double *size = n.size.data(), *y = n.root.data(), *coefficient = n.coefficient.data();
  const double *T = faces_.T_inner.data(), *warm = faces_.film_warm.data(),
               *cool = faces_.film_cool.data();
  const Eigen::Index numbers = n.size.size();
  for (Eigen::Index k = 0; k < numbers; ++k) {
    const double dT = T[k] - T_air_[k % L];
    coefficient[k] = dT > 0 ? warm[k] : cool[k];
    size[k] = std::max(std::abs(dT), kLeastDifference_K);
    y[k] = cube_root_guess(size[k]);
  }
  for (int i = 0; i < 2; ++i)
    for (Eigen::Index k = 0; k < numbers; ++k) {
      const double cube = y[k] * y[k] * y[k];
      y[k] *= (cube + 2 * size[k]) / (2 * cube + size[k]);
    }
}

/// What the faces see outside and inside: conductances, and their sum times temperatures.
template <int L>
void Stepper<L>::see(const Drive<L>& d) {
  const Faces& f = faces_;
  Current& n = now_;
  const Eigen::Index all = n.film.cols();
  n.film = f.stated_air + f.still * spread(d.film_still_W_m2K, all) +
           f.wind * spread(d.film_wind_W_m2K, all);
  n.cube = f.long_wave * f.T_outer * f.T_outer * f.T_outer;  // tangent of sigma T^4
  n.G_outside = n.film + f.stated_fixed + 4.0 * n.cube;
  n.GT_outside = n.film * spread(d.T_out_K, all) + f.stated_fixed * n.T_fixed +
                 f.sky * spread(fourth_power<L>(d.T_sky_K), all) +
                 f.air * spread(fourth_power<L>(d.T_out_K), all) +
                 f.ground * spread(fourth_power<L>(d.T_ground_K), all) +
                 f.under * spread(fourth_power<L>(d.T_under_K), all) + 3.0 * n.cube * f.T_outer;
  n.to_air =
      f.to_air_stated + f.to_air_law * ((n.coefficient * n.root).max(kLeastInsideFilm_W_m2K) +
                                        spread(d.mixing_W_m2K, all));
  const Lane<L> star_W_m2K = 4.0 * kSigma * T_star_ * T_star_ * T_star_;
  n.to_star = f.to_star_stated + f.to_star_law * spread(star_W_m2K, all);
}

/// Covers stand between a face and what it sees.
template <int L>
void Stepper<L>::cover(const Drive<L>& d) {
  Current& n = now_;
  for (const Eigen::Index k : faces_.outside_cover) {
    const AtChain<L>& at = d.at[order_[static_cast<std::size_t>(k)]];
    const Lane<L> part =
        1.0 / (1.0 + at.outside_cover_m2K_W * n.G_outside.col(k) / faces_.area.col(k));
    n.GT_outside.col(k) = (n.GT_outside.col(k) + at.outside_cover_W) * part;
    n.G_outside.col(k) *= part;
  }
  for (const Eigen::Index k : faces_.inside_cover) {
    const AtChain<L>& at = d.at[order_[static_cast<std::size_t>(k)]];
    const Lane<L> both = n.to_air.col(k) + n.to_star.col(k);
    const Lane<L> part = 1.0 / (1.0 + at.inside_cover_m2K_W * both / faces_.area.col(k));
    n.to_air.col(k) *= part;
    n.to_star.col(k) *= part;
  }
}

/// Outer ends onto inner ends.
template <int L>
void Stepper<L>::eliminate() {
  const Faces& f = faces_;
  Current& n = now_;
  n.outer_rhs = f.K_outer * f.T_outer + n.GT_outside + n.outer_W;
  n.inner_rhs = f.K_inner * f.T_inner + n.inner_W;
  n.over_inner = f.inner_diag + n.to_air + n.to_star;
  if (!inner_.count.empty()) {
    const Eigen::Index with = inner_.count[0];
    n.outer_rhs.leftCols(with) += f.G_first.leftCols(with) * inner_.p.leftCols(with);
    for (Eigen::Index k = 0; k < with; ++k)
      n.inner_rhs.col(k) += f.G_inmost.col(k) * inner_.p.col(f.inmost[static_cast<std::size_t>(k)]);
  }
  for (const Eigen::Index k : f.single) {
    n.inner_rhs.col(k) += n.outer_rhs.col(k);
    n.over_inner.col(k) += n.G_outside.col(k);
  }
  n.over_outer = (f.outer_diag + n.G_outside).inverse();
  n.weight = f.through * n.over_outer;
  n.inner_rhs += n.weight * n.outer_rhs;
  n.over_inner = (n.over_inner - n.weight * f.through).inverse();
}

template <int L>
Response<L> Stepper<L>::prepare(const Drive<L>& d) {
  placed_W_ = Lane<L>::Zero();
  sweep();
  take(d);
  take_cube_roots();
  see(d);
  cover(d);
  eliminate();
  // The inner ends onto air and star.
  Current& n = now_;
  n.weight = n.to_air * n.over_inner;  // of a face's right side, what reaches the air
  Lane<L> air_diag = K_air_ + d.exchange_W_K + sum(n.to_air - n.weight * n.to_air);
  Lane<L> air_rhs =
      K_air_ * T_air_ + d.exchange_W_K * d.T_out_K + d.air_W + sum(n.weight * n.inner_rhs);
  const Lane<L> cross = sum(n.weight * n.to_star);
  n.weight = n.to_star * n.over_inner;
  const Lane<L> star_diag = kStarTie_W_K + sum(n.to_star - n.weight * n.to_star);
  const Lane<L> star_rhs = d.radiant_W + kStarTie_W_K * T_star_ + sum(n.weight * n.inner_rhs);
  // air_diag Ta - cross Ts = air_rhs + Q;  -cross Ta + star_diag Ts = star_rhs
  const Lane<L> over = 1.0 / (air_diag * star_diag - cross * cross);
  air_per_W_ = star_diag * over;
  air_0_ = air_per_W_ * air_rhs + cross * over * star_rhs;
  star_per_W_ = cross * over;
  star_per_star_W_ = air_diag * over;
  star_0_ = star_per_W_ * air_rhs + star_per_star_W_ * star_rhs;
  return {T_air_ + over_theta_air_ * (air_0_ - T_air_), over_theta_air_ * air_per_W_};
}

template <int L>
Lane<L> Stepper<L>::face_per_W(std::size_t chain) const {
  const Eigen::Index k = place_[chain];
  return over_theta_air_ * now_.over_inner.col(k) *
         (air_per_W_ * now_.to_air.col(k) + star_per_W_ * now_.to_star.col(k));
}

template <int L>
void Stepper<L>::heat_face(std::size_t chain, const Lane<L>& W) {
  const Eigen::Index k = place_[chain];
  const Lane<L> share = now_.over_inner.col(k) * W;
  const Lane<L> to_air_W = now_.to_air.col(k) * share, to_star_W = now_.to_star.col(k) * share;
  now_.inner_rhs.col(k) += W;
  air_0_ += air_per_W_ * to_air_W + star_per_W_ * to_star_W;
  star_0_ += star_per_W_ * to_air_W + star_per_star_W_ * to_star_W;
  placed_W_ += W;
}

template <int L>
void Stepper<L>::finish(const Drive<L>& d, const Lane<L>& unit_W) {
  const Lane<L> Ta = air_0_ + air_per_W_ * unit_W;
  const Lane<L> Ts = star_0_ + star_per_W_ * unit_W;
  Faces& f = faces_;
  Current& n = now_;
  const Eigen::Index all = n.film.cols();
  n.inner = (n.inner_rhs + n.to_air * spread(Ta, all) + n.to_star * spread(Ts, all)) * n.over_inner;
  n.outer = (n.outer_rhs + f.through * n.inner) * n.over_outer;
  for (const Eigen::Index k : f.single) n.outer.col(k) = n.inner.col(k);
  n.weight = n.GT_outside - n.G_outside * n.outer + n.outer_W;  // heat into the outside faces
  const Lane<L> windows_W = sum(n.weight * f.is_window);
  flows_ = {sum(n.weight) - windows_W, windows_W, sum(n.inner_W), d.exchange_W_K * (d.T_out_K - Ta),
            d.air_W + d.radiant_W,     unit_W,    placed_W_};
  f.T_outer += f.over_theta_outer * (n.outer - f.T_outer);
  f.T_inner += f.over_theta_inner * (n.inner - f.T_inner);
  follow_inner();
  T_air_ += over_theta_air_ * (Ta - T_air_);
  T_star_ = Ts;
}

template <int L>
Lane<L> Stepper<L>::stored_J() const {
  return C_air_ * T_air_ + sum(faces_.C_outer * faces_.T_outer) +
         sum(faces_.C_inner * faces_.T_inner) + sum(inner_.C * inner_.T);
}

template struct Drive<1>;
template struct Drive<8>;
template class Stepper<1>;
template class Stepper<8>;

}  // namespace cabinload::network
