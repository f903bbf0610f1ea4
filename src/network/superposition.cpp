// SPDX-License-Identifier: Apache-2.0
// The names and the order follow step_kernel.hpp; here every node has a row of columns.
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/network/superposition.hpp>
#include <numeric>

namespace cabinload::network {

using namespace detail;

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
  const std::size_t chains = full.lengths_[0].size();
  CABINLOAD_ASSERT(place < static_cast<int>(chains));
  inner_nodes_.resize(chains);
  first_node_.resize(chains);
  for (std::size_t c = 0; c < chains; ++c)
    inner_nodes_[full.place_[0][c]] = std::max<std::size_t>(full.lengths_[0][c], 2) - 2;
  std::size_t nodes = 0;
  for (std::size_t k = 0; k < chains; ++k) {
    first_node_[k] = nodes;
    nodes += inner_nodes_[k];
  }
  for (Numbers* n : {&outer_W_, &inner_W_, &T_outer_, &T_inner_, &outer_rhs_, &inner_rhs_})
    n->assign(chains * width_, 0.0);
  for (Numbers* n : {&T_node_, &p_}) n->assign(nodes * width_, 0.0);
  for (Numbers* n : {&air_W_, &star_W_, &T_air_, &T_star_, &air_rhs_, &star_rhs_, &air_during_,
                     &star_during_, &removed_W_, &outer_during_, &inner_during_})
    n->assign(width_, 0.0);
}

double Superposition::face(detail::Face f, std::size_t k) const {
  return full_.faces()[full_.face_at(f, full_.spot(k, 0))];
}

double Superposition::node(detail::Node f, std::size_t k, std::size_t level) const {
  return full_.inner()[full_.node_at(f, full_.spot(k, 0), level)];
}

void Superposition::start_at(double T_K) {
  for (Numbers* n : {&T_node_, &T_outer_, &T_inner_, &T_air_, &T_star_}) {
    std::fill(n->begin(), n->end(), 0.0);
    for (std::size_t i = rest(); i < n->size(); i += width_) (*n)[i] = T_K - T_ref_K_;
  }
}

void Superposition::set_outer(std::size_t column, std::size_t chain, double W) {
  outer_W_[at(full_.place_[0][chain]) + column] = W;
}

void Superposition::set_inner(std::size_t column, std::size_t chain, double W) {
  inner_W_[at(full_.place_[0][chain]) + column] = W;
}

Superposition::Outside Superposition::outside(const Drive<1>& drive, std::size_t chain) const {
  const std::size_t k = full_.place_[0][chain];
  const AtChain<1>& acts = drive.at[chain];
  const double G_W_K = face(kG_outside, k);
  // A cover of resistance R lets part = 1 / (1 + R G0) of what the face saw without it pass, and
  // G = G0 part is what is left: part = 1 - R G.
  const double cover_W =
      face(kOutsideCover_W, k) * (1.0 - face(kOutsideCover_m2K_W, k) * G_W_K / face(kArea, k));
  return {face(kSource_outside, k) - acts.outer_W[0] - G_W_K * T_ref_K_ - cover_W,
          acts.outer_W[0] + cover_W};
}

/// p of all inner nodes from each column's history: inwards, then back.
void Superposition::sweep() {
  for (std::size_t k = 0; k < inner_nodes_.size() && inner_nodes_[k] > 0; ++k) {
    double* p = p_.data() + at(first_node_[k]);
    const double* T = T_node_.data() + at(first_node_[k]);
    for (std::size_t j = 0; j < inner_nodes_[k]; ++j, p += width_, T += width_) {
      set(p, node(kNodeHistory, k, j), T, width_);
      if (j > 0) add(p, node(kNodeBefore, k, j), p - width_, width_);
    }
    p -= width_;
    for (std::size_t j = inner_nodes_[k]; --j > 0; p -= width_)
      add(p - width_, node(kNodeNext, k, j - 1), p, width_);
  }
}

/// Right sides of all faces, the outer onto the inner, the inner onto air and star.
void Superposition::gather() {
  const double K_air = full_.data_.K_air.x[0];
  for (std::size_t j = 0; j < width_; ++j) {
    air_rhs_[j] = K_air * T_air_[j] + air_W_[j];
    star_rhs_[j] = kStarTie_W_K * T_star_[j] + star_W_[j];
  }
  for (std::size_t k = 0; k < inner_nodes_.size(); ++k) {
    double *const outer = outer_rhs_.data() + at(k), *const inner = inner_rhs_.data() + at(k);
    const double *const To = T_outer_.data() + at(k), *const Ti = T_inner_.data() + at(k),
                        *const So = outer_W_.data() + at(k), *const Si = inner_W_.data() + at(k);
    const double Ko = face(kK_outer, k), Ki = face(kK_inner, k);
    for (std::size_t j = 0; j < width_; ++j) outer[j] = Ko * To[j] + So[j];
    for (std::size_t j = 0; j < width_; ++j) inner[j] = Ki * Ti[j] + Si[j];
    if (const std::size_t n = inner_nodes_[k]; n > 0) {
      add(outer, face(kG_first, k), p_.data() + at(first_node_[k]), width_);
      add(inner, node(kNodeToInner, k, n - 1), p_.data() + at(first_node_[k] + n - 1), width_);
    }
    const bool single = face(kSingle, k) > 0;
    add(inner, single ? 1.0 : face(kThrough, k) * face(kOver_outer, k), outer, width_);
    add(air_rhs_.data(), face(kInnerByAir, k), inner, width_);
    add(star_rhs_.data(), face(kInnerByStar, k), inner, width_);
  }
}

/// The heat that keeps each column's air where it has to be, then air and star during the step.
void Superposition::hold_air() {
  const double per_air = full_.data_.air_per_W.x[0], per_star = full_.data_.star_per_W.x[0],
               star_per_star = full_.data_.star_per_star_W.x[0],
               over_theta = full_.data_.over_theta_air.x[0];
  for (std::size_t j = 0; j < width_; ++j) air_during_[j] = T_air_[j] * (1.0 - 1.0 / over_theta);
  air_during_[rest()] += (full_.T_air_K(0) - T_ref_K_) / over_theta;
  if (place_ < 0) {
    for (std::size_t j = 0; j < width_; ++j) {
      const double Q_W = (air_during_[j] - per_star * star_rhs_[j]) / per_air - air_rhs_[j];
      air_rhs_[j] += Q_W;
      removed_W_[j] = -Q_W;
    }
  } else {
    const std::size_t k = full_.place_[0][static_cast<std::size_t>(place_)];
    const double to_air = face(kInnerByAir, k), to_star = face(kInnerByStar, k);
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
  double *const outer = outer_during_.data(), *const inner = inner_during_.data();
  for (std::size_t k = 0; k < inner_nodes_.size(); ++k) {
    const double a = face(kInnerByAir, k), b = face(kInnerByStar, k),
                 over_inner = face(kOver_inner, k), through = face(kThrough, k),
                 over_outer = face(kOver_outer, k);
    const double *const Ri = inner_rhs_.data() + at(k), *const Ro = outer_rhs_.data() + at(k);
    for (std::size_t j = 0; j < width_; ++j)
      inner[j] = Ri[j] * over_inner + a * air_during_[j] + b * star_during_[j];
    for (std::size_t j = 0; j < width_; ++j) outer[j] = (Ro[j] + through * inner[j]) * over_outer;
    if (face(kSingle, k) > 0) std::copy_n(inner, width_, outer);
    for (std::size_t level = 0; level < inner_nodes_[k]; ++level) {
      const double q = node(kNodeQ, k, level), r = node(kNodeS, k, level),
                   w = node(kNodeOverTheta, k, level);
      double* const __restrict T = T_node_.data() + at(first_node_[k] + level);
      const double* const __restrict p = p_.data() + at(first_node_[k] + level);
      for (std::size_t j = 0; j < width_; ++j)
        T[j] += w * (p[j] + q * outer[j] + r * inner[j] - T[j]);
    }
    move(T_outer_.data() + at(k), face(kOverTheta_outer, k), outer, width_);
    move(T_inner_.data() + at(k), face(kOverTheta_inner, k), inner, width_);
  }
  move(T_air_.data(), full_.data_.over_theta_air.x[0], air_during_.data(), width_);
  std::copy(star_during_.begin(), star_during_.end(), T_star_.begin());
}

void Superposition::step() {
  sweep();
  gather();
  hold_air();
  follow();
}

double Superposition::T_inner_K(std::size_t chain) const {
  const auto first = T_inner_.begin() + static_cast<long>(at(full_.place_[0][chain]));
  return T_ref_K_ + std::accumulate(first, first + static_cast<long>(width_), 0.0);
}

}  // namespace cabinload::network
