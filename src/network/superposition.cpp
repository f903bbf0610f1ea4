// SPDX-License-Identifier: Apache-2.0
// The names and the order follow stepper.cpp; here every node has a row of columns.
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/network/superposition.hpp>
#include <numeric>

namespace cabinload::network {
namespace {

// Plain loops over numbers that do not overlap: the compiler makes vectors of them.

/// y = a x
void set(double* __restrict y, double a, const double* __restrict x, std::size_t n) {
  for (std::size_t i = 0; i < n; ++i) y[i] = a * x[i];
}

/// y += a x
void add(double* __restrict y, double a, const double* __restrict x, std::size_t n) {
  for (std::size_t i = 0; i < n; ++i) y[i] += a * x[i];
}

void scale(double* __restrict y, double a, std::size_t n) {
  for (std::size_t i = 0; i < n; ++i) y[i] *= a;
}

/// T += w (during - T)
void move(double* __restrict T, double w, const double* __restrict during, std::size_t n) {
  for (std::size_t i = 0; i < n; ++i) T[i] += w * (during[i] - T[i]);
}

constexpr std::size_t kColumns = 4;  // the width is a multiple of it

}  // namespace

Superposition::Superposition(const Stepper<1>& full, std::size_t causes, double T_ref_K, int place)
    : full_(full),
      causes_(causes),
      width_((causes + 1 + kColumns - 1) / kColumns * kColumns),
      T_ref_K_(T_ref_K),
      place_(place) {
  CABINLOAD_ASSERT(place < static_cast<int>(full.order_.size()));
  const std::size_t faces = full.order_.size() * width_;
  for (Numbers* n : {&outer_W_, &inner_W_, &T_outer_, &T_inner_, &outer_rhs_, &inner_rhs_})
    n->assign(faces, 0.0);
  for (Numbers* n : {&T_node_, &p_})
    n->assign(static_cast<std::size_t>(full.inner_.T.cols()) * width_, 0.0);
  for (Numbers* n : {&air_W_, &star_W_, &T_air_, &T_star_, &air_rhs_, &star_rhs_, &air_during_,
                     &star_during_, &removed_W_, &outer_during_, &inner_during_})
    n->assign(width_, 0.0);
}

void Superposition::start_at(double T_K) {
  for (Numbers* n : {&T_node_, &T_outer_, &T_inner_, &T_air_, &T_star_}) {
    std::fill(n->begin(), n->end(), 0.0);
    for (std::size_t i = rest(); i < n->size(); i += width_) (*n)[i] = T_K - T_ref_K_;
  }
}

void Superposition::set_outer(std::size_t column, std::size_t chain, double W) {
  outer_W_[at(full_.place_[chain]) + column] = W;
}

void Superposition::set_inner(std::size_t column, std::size_t chain, double W) {
  inner_W_[at(full_.place_[chain]) + column] = W;
}

Superposition::Outside Superposition::outside(const Drive<1>& drive, std::size_t chain) const {
  const Eigen::Index k = full_.place_[chain];
  const AtChain<1>& acts = drive.at[chain];
  const double G_W_K = full_.now_.G_outside(0, k);
  // A cover of resistance R lets part = 1 / (1 + R G0) of what the face saw without it pass, and
  // G = G0 part is what is left: part = 1 - R G.
  double cover_W = 0;
  const auto& covered = full_.faces_.outside_cover;
  if (std::find(covered.begin(), covered.end(), k) != covered.end())
    cover_W = acts.outside_cover_W[0] *
              (1.0 - acts.outside_cover_m2K_W[0] * G_W_K / full_.faces_.area(0, k));
  return {full_.now_.GT_outside(0, k) - G_W_K * T_ref_K_ - cover_W, acts.outer_W[0] + cover_W};
}

/// p of all inner nodes from each column's history: inwards, then back.
void Superposition::sweep() {
  const auto& in = full_.inner_;
  double* const p = p_.data();
  const std::size_t levels = in.start.size();
  for (Eigen::Index i = 0; i < in.K.size(); ++i)
    set(p + at(i), in.K(0, i), T_node_.data() + at(i), width_);
  for (std::size_t level = 1; level < levels; ++level)
    for (Eigen::Index k = 0; k < in.count[level]; ++k) {
      const Eigen::Index i = in.start[level] + k, before = in.start[level - 1] + k;
      add(p + at(i), in.forward(0, i), p + at(before), width_);
    }
  for (Eigen::Index i = 0; i < in.K.size(); ++i) scale(p + at(i), in.inverse(0, i), width_);
  for (std::size_t level = levels; level-- > 1;)
    for (Eigen::Index k = 0; k < in.count[level]; ++k) {
      const Eigen::Index i = in.start[level] + k, before = in.start[level - 1] + k;
      add(p + at(before), in.next(0, before), p + at(i), width_);
    }
}

/// Right sides of all faces, the outer onto the inner, the inner onto air and star.
void Superposition::gather() {
  const auto& f = full_.faces_;
  const auto& n = full_.now_;
  const Eigen::Index with = full_.inner_.count.empty() ? 0 : full_.inner_.count[0];
  const double K_air = full_.K_air_[0];
  for (std::size_t j = 0; j < width_; ++j) {
    air_rhs_[j] = K_air * T_air_[j] + air_W_[j];
    star_rhs_[j] = kStarTie_W_K * T_star_[j] + star_W_[j];
  }
  for (Eigen::Index k = 0; k < f.area.size(); ++k) {
    double *const outer = outer_rhs_.data() + at(k), *const inner = inner_rhs_.data() + at(k);
    const double *const To = T_outer_.data() + at(k), *const Ti = T_inner_.data() + at(k),
                        *const So = outer_W_.data() + at(k), *const Si = inner_W_.data() + at(k);
    const double Ko = f.K_outer(0, k), Ki = f.K_inner(0, k);
    for (std::size_t j = 0; j < width_; ++j) outer[j] = Ko * To[j] + So[j];
    for (std::size_t j = 0; j < width_; ++j) inner[j] = Ki * Ti[j] + Si[j];
    if (k < with) {
      add(outer, f.G_first(0, k), p_.data() + at(k), width_);
      add(inner, f.G_inmost(0, k), p_.data() + at(f.inmost[static_cast<std::size_t>(k)]), width_);
    }
    const bool single = std::find(f.single.begin(), f.single.end(), k) != f.single.end();
    add(inner, single ? 1.0 : f.through(0, k) * n.over_outer(0, k), outer, width_);
    add(air_rhs_.data(), n.to_air(0, k) * n.over_inner(0, k), inner, width_);
    add(star_rhs_.data(), n.to_star(0, k) * n.over_inner(0, k), inner, width_);
  }
}

/// The heat that keeps each column's air where it has to be, then air and star during the step.
void Superposition::hold_air() {
  const double per_air = full_.air_per_W_[0], per_star = full_.star_per_W_[0],
               star_per_star = full_.star_per_star_W_[0], over_theta = full_.over_theta_air_[0];
  for (std::size_t j = 0; j < width_; ++j) air_during_[j] = T_air_[j] * (1.0 - 1.0 / over_theta);
  air_during_[rest()] += (full_.T_air_[0] - T_ref_K_) / over_theta;
  if (place_ < 0) {
    for (std::size_t j = 0; j < width_; ++j) {
      const double Q_W = (air_during_[j] - per_star * star_rhs_[j]) / per_air - air_rhs_[j];
      air_rhs_[j] += Q_W;
      removed_W_[j] = -Q_W;
    }
  } else {
    const Eigen::Index k = full_.place_[static_cast<std::size_t>(place_)];
    const double to_air = full_.now_.to_air(0, k) * full_.now_.over_inner(0, k),
                 to_star = full_.now_.to_star(0, k) * full_.now_.over_inner(0, k);
    const double per_face = per_air * to_air + per_star * to_star;
    for (std::size_t j = 0; j < width_; ++j) {
      const double Q_W =
          (air_during_[j] - per_air * air_rhs_[j] - per_star * star_rhs_[j]) / per_face;
      inner_rhs_[at(k) + j] += Q_W;
      air_rhs_[j] += to_air * Q_W;
      star_rhs_[j] += to_star * Q_W;
      removed_W_[j] = -Q_W;
    }
  }
  for (std::size_t j = 0; j < width_; ++j)
    star_during_[j] = per_star * air_rhs_[j] + star_per_star * star_rhs_[j];
}

/// All nodes to the end of the step.
void Superposition::follow() {
  const auto& f = full_.faces_;
  const auto& n = full_.now_;
  const auto& in = full_.inner_;
  double *const outer = outer_during_.data(), *const inner = inner_during_.data();
  for (Eigen::Index k = 0; k < f.area.size(); ++k) {
    const double a = n.to_air(0, k), b = n.to_star(0, k), over_inner = n.over_inner(0, k),
                 through = f.through(0, k), over_outer = n.over_outer(0, k);
    const double *const Ri = inner_rhs_.data() + at(k), *const Ro = outer_rhs_.data() + at(k);
    for (std::size_t j = 0; j < width_; ++j)
      inner[j] = (Ri[j] + a * air_during_[j] + b * star_during_[j]) * over_inner;
    for (std::size_t j = 0; j < width_; ++j) outer[j] = (Ro[j] + through * inner[j]) * over_outer;
    if (std::find(f.single.begin(), f.single.end(), k) != f.single.end())
      std::copy_n(inner, width_, outer);
    for (std::size_t level = 0; level < in.start.size() && k < in.count[level]; ++level) {
      const Eigen::Index i = in.start[level] + k;
      const double q = in.q(0, i), r = in.s(0, i), w = in.over_theta(0, i);
      double* const __restrict T = T_node_.data() + at(i);
      const double* const __restrict p = p_.data() + at(i);
      for (std::size_t j = 0; j < width_; ++j)
        T[j] += w * (p[j] + q * outer[j] + r * inner[j] - T[j]);
    }
    move(T_outer_.data() + at(k), f.over_theta_outer(0, k), outer, width_);
    move(T_inner_.data() + at(k), f.over_theta_inner(0, k), inner, width_);
  }
  move(T_air_.data(), full_.over_theta_air_[0], air_during_.data(), width_);
  std::copy(star_during_.begin(), star_during_.end(), T_star_.begin());
}

void Superposition::step() {
  sweep();
  gather();
  hold_air();
  follow();
}

double Superposition::T_inner_K(std::size_t chain) const {
  const auto first = T_inner_.begin() + static_cast<long>(at(full_.place_[chain]));
  return T_ref_K_ + std::accumulate(first, first + static_cast<long>(width_), 0.0);
}

}  // namespace cabinload::network
