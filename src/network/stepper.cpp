// SPDX-License-Identifier: Apache-2.0
// What goes into a step and comes out of it. Its arithmetic: step_kernel.hpp; how chains are laid
// out and factored: stepper_layout.cpp.
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/network/stepper.hpp>
#include <iterator>

namespace cabinload::network {

using namespace detail;

static_assert(kLeastFilm_W_m2K == kLeastInsideFilm_W_m2K);
static_assert(kSigma_W_m2K4 == core::kStefanBoltzmann_W_m2K4);
static_assert(kTie_W_K == kStarTie_W_K);

template <int L>
Drive<L>::Drive(std::size_t chains) {
  T_out_K = T_sky_K = T_ground_K = T_under_K = Lane<L>::Constant(293.15);
  film_wind_W_m2K = exchange_W_K = mixing_W_m2K = air_W = radiant_W = Lane<L>::Zero();
  film_still_W_m2K = Lane<L>::Constant(kOutsideFilmStill_W_m2K);
  const Lane<L> zero = Lane<L>::Zero();
  at.assign(chains, {zero, zero, zero, zero, zero, Lane<L>::Constant(293.15)});
}

template <int L>
Lane<L> Stepper<L>::lanes(const Each& each) {
  return Eigen::Map<const Lane<L>>(each.x);
}

template <int L>
void Stepper<L>::fill(Each& each, const Lane<L>& lane) {
  if constexpr (L == 1)
    std::fill(std::begin(each.x), std::end(each.x), lane[0]);
  else
    Eigen::Map<Lane<L>>(each.x) = lane;
}

template <int L>
void Stepper<L>::start_at(const Lane<L>& T_K) {
  for (int l = 0; l < L; ++l)
    for (std::size_t c = 0; c < lengths_[l].size(); ++c) {
      const Spot at = spot_of(c, l);
      faces()[face_at(kT_outer, at)] = faces()[face_at(kT_inner, at)] = T_K[l];
      for (std::size_t j = 0; j + 2 < lengths_[l][c]; ++j) inner()[node_at(kNodeT, at, j)] = T_K[l];
    }
  for (Each* each : {&data_.T_air, &data_.T_star, &data_.coldest_K}) fill(*each, T_K);
  connect();
  kernel_.recall(data_);
}

template <int L>
void Stepper<L>::start_from(const Stepper& other) {
  for (int l = 0; l < L; ++l) {
    CABINLOAD_ASSERT(lengths_[l] == other.lengths_[l] && place_[l] == other.place_[l]);
    for (std::size_t c = 0; c < lengths_[l].size(); ++c) {
      const Spot at = spot_of(c, l);
      for (const Face f : {kT_outer, kT_inner})
        faces()[face_at(f, at)] = other.faces()[face_at(f, at)];
      for (std::size_t j = 0; j + 2 < lengths_[l][c]; ++j)
        inner()[node_at(kNodeT, at, j)] = other.inner()[node_at(kNodeT, at, j)];
    }
  }
  data_.T_air = other.data_.T_air;
  data_.T_star = other.data_.T_star;
  data_.coldest_K = other.data_.coldest_K;
  connect();
  kernel_.recall(data_);
}

template <int L>
void Stepper<L>::use_step_of(const Stepper& other, int l) {
  for (std::size_t c = 0; c < lengths_[l].size(); ++c) {
    const Spot at = spot_of(c, l);
    for (const Face f : {kK_outer, kK_inner, kOverTheta_outer, kOverTheta_inner, kDiag_outer,
                         kDiag_inner, kThrough})
      faces()[face_at(f, at)] = other.faces()[face_at(f, at)];
    for (std::size_t j = 0; j + 2 < lengths_[l][c]; ++j)
      for (const Node f : {kNodeHistory, kNodeBefore, kNodeNext, kNodeQ, kNodeS, kNodeOverTheta})
        inner()[node_at(f, at, j)] = other.inner()[node_at(f, at, j)];
  }
  for (int r = l; r < (L == 1 ? static_cast<int>(width_) : l + 1); ++r) {
    data_.K_air.x[r] = other.data_.K_air.x[r];
    data_.over_theta_air.x[r] = other.data_.over_theta_air.x[r];
  }
  connect();
  kernel_.recall(data_);
}

template <int L>
void Stepper<L>::connect() {
  data_.faces = faces();
  data_.nodes = inner();
  data_.packs = packs_.data();
  data_.count = static_cast<int>(packs_.size());
}

template <int L>
std::size_t Stepper<L>::nodes(int lane) const {
  std::size_t sum = 0;
  for (const std::size_t n : lengths_[lane]) sum += n;
  return sum;
}

template <int L>
double Stepper<L>::T_node_K(std::size_t node, int lane) const {
  std::size_t chain = 0;
  while (node >= lengths_[lane][chain]) node -= lengths_[lane][chain++];
  const Spot at = spot_of(chain, lane);
  if (node == 0) return faces()[face_at(kT_outer, at)];
  if (node + 1 == lengths_[lane][chain]) return faces()[face_at(kT_inner, at)];
  return inner()[node_at(kNodeT, at, node - 1)];
}

template <int L>
double Stepper<L>::stored_J(int lane) const {
  double sum_J = C_air_[lane] * data_.T_air.x[lane];
  for (std::size_t c = 0; c < lengths_[lane].size(); ++c) {
    const Spot at = spot_of(c, lane);
    sum_J += faces()[face_at(kC_outer, at)] * faces()[face_at(kT_outer, at)] +
             faces()[face_at(kC_inner, at)] * faces()[face_at(kT_inner, at)];
    for (std::size_t j = 0; j + 2 < lengths_[lane][c]; ++j)
      sum_J += inner()[node_at(kNodeC, at, j)] * inner()[node_at(kNodeT, at, j)];
  }
  return sum_J;
}

/// What acts at the chains of a lane, at their places. @param k  which number of `acts` is the
/// lane's
template <int L>
template <int K>
void Stepper<L>::take_lane(const std::vector<AtChain<K>>& acts, int k, int l) {
  double sun_W = 0;
  for (std::size_t c = 0; c < lengths_[l].size(); ++c) {
    const AtChain<K>& a = acts[c];
    const Spot at = spot_of(c, l);
    double* const x = faces() + face_at(kT_outer, at);
    x[kOuter_W * width_] = a.outer_W[k];
    x[kInner_W * width_] = a.inner_W[k];
    x[kT_fixed * width_] = a.T_fixed_K[k];
    sun_W += a.inner_W[k];
    if (flags_[l][c] & kHasInsideCover) x[kInsideCover_m2K_W * width_] = a.inside_cover_m2K_W[k];
    if (flags_[l][c] & kHasOutsideCover) {
      x[kOutsideCover_m2K_W * width_] = a.outside_cover_m2K_W[k];
      x[kOutsideCover_W * width_] = a.outside_cover_W[k];
    }
  }
  sun_inside_W_[l] = sun_W;
}

template <int L>
void Stepper<L>::act_at(const std::vector<AtChain<1>>& at, int lane) {
  take_lane(at, 0, lane);
}

template <int L>
void Stepper<L>::take(const Drive<L>& d) {
  if (d.at_changed)
    for (int l = 0; l < L; ++l) take_lane(d.at, l, l);
  StepData<L>& s = data_;
  fill(s.T_out, d.T_out_K);
  fill(s.T_sky, d.T_sky_K);
  fill(s.T_ground, d.T_ground_K);
  fill(s.T_under, d.T_under_K);
  fill(s.film_still, d.film_still_W_m2K);
  fill(s.film_wind, d.film_wind_W_m2K);
  fill(s.exchange, d.exchange_W_K);
  fill(s.mixing, d.mixing_W_m2K);
  fill(s.air_W, d.air_W);
  fill(s.radiant_W, d.radiant_W);
}

template <int L>
Response<L> Stepper<L>::prepare(const Drive<L>& d) {
  take(d);
  connect();
  placed_W_ = Lane<L>::Zero();
  kernel_.prepare(data_);
  return {lanes(data_.free_K), lanes(data_.per_W)};
}

template <int L>
double Stepper<L>::face_per_W(std::size_t chain, int l) const {
  return data_.over_theta_air.x[l] * (data_.air_per_W.x[l] * face(kInnerByAir, chain, l) +
                                      data_.star_per_W.x[l] * face(kInnerByStar, chain, l));
}

template <int L>
void Stepper<L>::heat_face(std::size_t chain, double W, int l) {
  const double to_air_W = face(kInnerByAir, chain, l) * W;
  const double to_star_W = face(kInnerByStar, chain, l) * W;
  faces()[face_at(kInner_0, spot_of(chain, l))] += face(kOver_inner, chain, l) * W;
  const double air_K = data_.air_per_W.x[l] * to_air_W + data_.star_per_W.x[l] * to_star_W;
  const double star_K = data_.star_per_W.x[l] * to_air_W + data_.star_per_star_W.x[l] * to_star_W;
  for (int r = l; r < (L == 1 ? static_cast<int>(width_) : l + 1); ++r) {
    data_.air_0.x[r] += air_K;
    data_.star_0.x[r] += star_K;
  }
  placed_W_[l] += W;
}

template <int L>
void Stepper<L>::finish(const Drive<L>& d, const Lane<L>& unit_W) {
  fill(data_.unit_W, unit_W);
  kernel_.finish(data_);
  flows_ = {lanes(data_.envelope_W),
            lanes(data_.windows_W),
            sun_inside_W_,
            lanes(data_.exchange_W),
            d.air_W + d.radiant_W,
            unit_W,
            placed_W_};
}

template struct Drive<1>;
template struct Drive<4>;
template struct Drive<8>;
template class Stepper<1>;
template class Stepper<4>;
template class Stepper<8>;

}  // namespace cabinload::network
