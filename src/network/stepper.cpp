// SPDX-License-Identifier: Apache-2.0
#include <bit>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/network/stepper.hpp>
#include <cmath>
#include <cstdint>

namespace cabinload::network {
namespace {

/// Conductances per area that stand for the films when theta is chosen [W m-2 K-1].
constexpr double kNominalOutside_W_m2K = 20.0, kNominalInside_W_m2K = 8.0;
/// Of the inside film, what reaches the air rather than the star.
constexpr double kConvectiveShare_1 = 0.4;
/// A node is "faster than the step" when dt * sum G > this * C: the midpoint rule would ring.
constexpr double kFastNode_1 = 2.0;
/// Ties the radiant star to its own last value, so that a cabin without radiation has a solution
/// [W/K].
constexpr double kStarTie_W_K = 1e-9;
/// Below this the least inside film rules anyway; keeps the cube root away from zero [K].
constexpr double kLeastDifference_K = 1e-9;
/// Air density for the air node's capacity [kg/m3]; the node is effective, not exact.
constexpr double kAirDensity_kg_m3 = 1.15;

constexpr double kSigma = core::kStefanBoltzmann_W_m2K4;

double over_theta(double C_J_K, double G_W_K, double dt_s) {
  return dt_s * G_W_K > kFastNode_1 * C_J_K ? 1.0 : 2.0;
}

/// Cube root of x >= 0, relative error below 1e-12: a first guess from the exponent's third, then
/// two steps of Halley's method. Inline so that many overlap; the film laws call it for every face.
inline double cube_root(double x) {
  const double y0 =
      std::bit_cast<double>(std::bit_cast<std::uint64_t>(x) / 3 + 0x2A9F7893782DA1CEULL);
  const double a = y0 * y0 * y0;
  const double y1 = y0 * (a + 2 * x) / (2 * a + x);
  const double b = y1 * y1 * y1;
  return y1 * (b + 2 * x) / (2 * b + x);
}
template <int L>
Lane<L> cube_root(const Lane<L>& x) {
  Lane<L> y;
  for (int l = 0; l < L; ++l) y[l] = cube_root(x[l]);
  return y;
}

template <int L>
Lane<L> fourth_power(const Lane<L>& T_K) {
  const Lane<L> square = T_K * T_K;
  return square * square;
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
Stepper<L>::Stepper(std::span<const Cabin> cabins, double dt_s) {
  CABINLOAD_ASSERT(cabins.size() == static_cast<std::size_t>(L) && dt_s > 0);
  const std::size_t chains = cabins[0].chains.size();
  for (std::size_t c = 0; c < chains; ++c) add_chain(cabins, c, dt_s);
  for (int l = 0; l < L; ++l) {
    const Cabin& cabin = cabins[static_cast<std::size_t>(l)];
    CABINLOAD_ASSERT(cabin.chains.size() == chains);
    double inside_W_K = 0;
    for (const Chain& chain : cabin.chains)
      inside_W_K += kConvectiveShare_1 * kNominalInside_W_m2K * chain.area_m2;
    C_air_[l] = cabin.volume_m3 * kAirDensity_kg_m3 * core::kSpecificHeatDryAir_J_kgK *
                cabin.air_capacity_factor_1;
    over_theta_air_[l] = over_theta(C_air_[l], inside_W_K, dt_s);
  }
  K_air_ = C_air_ * over_theta_air_ / dt_s;
  start_at(Lane<L>::Constant(293.15));
}

template <int L>
void Stepper<L>::add_chain(std::span<const Cabin> cabins, std::size_t c, double dt_s) {
  const auto each = [&](auto value) {
    Lane<L> lane;
    for (int l = 0; l < L; ++l) lane[l] = value(cabins[static_cast<std::size_t>(l)].chains[c]);
    return lane;
  };
  const auto seen = [&](double LongWaveView::*view) {
    return each(
        [view](const Chain& x) { return kSigma * x.emittance_out_1 * x.view.*view * x.area_m2; });
  };
  const Chain& chain = cabins[0].chains[c];
  const std::size_t n = chain.C_J_K.size();
  for (std::size_t i = 0; i < n; ++i) {
    Node node{};
    node.C = each([&](const Chain& x) {
      CABINLOAD_ASSERT(x.C_J_K.size() == n && x.outside == chain.outside);
      return x.C_J_K[i];
    });
    node.G = each([&](const Chain& x) { return i + 1 < n ? x.G_W_K[i] : 0.0; });
    node.over_theta = each([&](const Chain& x) {
      double sum_W_K = i > 0 ? x.G_W_K[i - 1] : 0.0;
      sum_W_K += i + 1 < n ? x.G_W_K[i] : kNominalInside_W_m2K * x.area_m2;
      if (i == 0 && x.outside != vehicle::Outside::adiabatic)
        sum_W_K += kNominalOutside_W_m2K * x.area_m2;
      return over_theta(x.C_J_K[i], sum_W_K, dt_s);
    });
    node.K = node.C * node.over_theta / dt_s;
    node.T = node.forward = node.inverse = node.q = node.s = node.p = Lane<L>::Zero();
    nodes_.push_back(node);
  }
  Ends e;
  e.first = nodes_.size() - n;
  e.last = nodes_.size() - 1;
  e.outside = chain.outside;
  e.inside_cover = chain.inside_cover.side == vehicle::CoverSide::inside;
  e.outside_cover = chain.outside_cover.side == vehicle::CoverSide::outside;
  e.is_window = chain.group == Group::window;
  e.area = each([](const Chain& x) { return x.area_m2; });
  e.radiant_area = each([](const Chain& x) { return x.radiant_area_m2; });
  e.wind_share = each([](const Chain& x) { return x.wind_share_1; });
  e.sky = seen(&LongWaveView::sky_1);
  e.air = seen(&LongWaveView::air_1);
  e.ground = seen(&LongWaveView::ground_1);
  e.long_wave = e.sky + e.air + e.ground;
  e.film_warm = each([](const Chain& x) { return x.film.surface_warmer; });
  e.film_cool = each([](const Chain& x) { return x.film.surface_cooler; });
  e.fixed_outside = each([](const Chain& x) { return x.films.outside_W_m2K; });
  e.fixed_inside = each([](const Chain& x) { return x.films.inside_W_m2K; });
  e.fixed_radiant = each([](const Chain& x) { return x.films.inside_radiant_W_m2K; });
  factor(e);
  ends_.push_back(e);
}

/// Factors of a chain's inner nodes first+1 .. last-1 and what the ends feel through them.
template <int L>
void Stepper<L>::factor(Ends& e) {
  Node& first = nodes_[e.first];
  Node& last = nodes_[e.last];
  e.through = Lane<L>::Zero();
  if (e.last == e.first) {  // one node is both ends: everything is kept at the inner end
    e.outer_diag = Lane<L>::Constant(1.0);
    e.inner_diag = first.K;
    return;
  }
  const Lane<L> inmost_G = nodes_[e.last - 1].G;
  e.outer_diag = first.K + first.G;
  e.inner_diag = last.K + inmost_G;
  if (e.last == e.first + 1) {
    e.through = first.G;
    return;
  }
  for (std::size_t i = e.first + 1; i < e.last; ++i) {
    Node& n = nodes_[i];
    const Node& before = nodes_[i - 1];
    Lane<L> diag = n.K + before.G + n.G;
    n.q = before.G;  // right side of a unit temperature at the outer end
    if (i > e.first + 1) {
      n.forward = before.G * before.inverse;
      diag -= n.forward * before.G;
      n.q = n.forward * before.q;
    }
    n.inverse = 1.0 / diag;
  }
  Lane<L> q = Lane<L>::Zero(), s = Lane<L>::Ones();
  for (std::size_t i = e.last; --i > e.first;) {
    Node& n = nodes_[i];
    n.q = q = (n.q + n.G * q) * n.inverse;
    n.s = s = n.G * s * n.inverse;
  }
  e.outer_diag -= first.G * nodes_[e.first + 1].q;
  e.inner_diag -= inmost_G * nodes_[e.last - 1].s;
  e.through = first.G * nodes_[e.first + 1].s;
}

template <int L>
void Stepper<L>::start_at(const Lane<L>& T_K) {
  for (Node& node : nodes_) node.T = T_K;
  T_air_ = T_star_ = T_K;
}

template <int L>
void Stepper<L>::see_outside(Ends& e, const Drive<L>& d, const AtChain<L>& at,
                             const Surroundings& around) const {
  if (e.outside == vehicle::Outside::adiabatic) {
    e.G_outside = e.GT_outside = Lane<L>::Zero();
    return;
  }
  const bool fixed = e.outside == vehicle::Outside::fixed;
  const Lane<L> law = fixed ? Lane<L>::Constant(kNominalOutside_W_m2K)
                            : Lane<L>(d.film_still_W_m2K + e.wind_share * d.film_wind_W_m2K);
  const Lane<L> film = (e.fixed_outside > 0).select(e.fixed_outside, law) * e.area;
  e.G_outside = film;
  e.GT_outside = film * (fixed ? at.T_fixed_K : d.T_out_K);
  if (!fixed) {  // tangent of sigma T^4 at the face's temperature
    const Lane<L>& T_K = nodes_[e.first].T;
    const Lane<L> cube = T_K * T_K * T_K;
    const Lane<L>& below = e.outside == vehicle::Outside::underbody ? around.under : around.ground;
    e.G_outside += 4.0 * e.long_wave * cube;
    e.GT_outside +=
        e.sky * around.sky + e.air * around.air + e.ground * below + 3.0 * e.long_wave * cube * T_K;
  }
  if (!e.outside_cover) return;
  const Lane<L> part = 1.0 / (1.0 + at.outside_cover_m2K_W * e.G_outside / e.area);
  e.GT_outside = (e.GT_outside + at.outside_cover_W) * part;
  e.G_outside *= part;
}

template <int L>
void Stepper<L>::see_inside(Ends& e, const Drive<L>& d, const AtChain<L>& at,
                            const Lane<L>& star_W_m2K) const {
  const Lane<L> dT = nodes_[e.last].T - T_air_;
  const Lane<L> root = cube_root<L>(dT.abs().max(kLeastDifference_K));
  const Lane<L> natural = (dT > 0).select(e.film_warm, e.film_cool) * root;
  const Lane<L> law = natural.max(kLeastInsideFilm_W_m2K) + d.mixing_W_m2K;
  e.g_air = (e.fixed_inside > 0).select(e.fixed_inside, law) * e.area;
  e.g_star = (e.fixed_radiant > 0).select(e.fixed_radiant * e.area, e.radiant_area * star_W_m2K);
  if (!e.inside_cover) return;
  const Lane<L> part = 1.0 / (1.0 + at.inside_cover_m2K_W * (e.g_air + e.g_star) / e.area);
  e.g_air *= part;
  e.g_star *= part;
}

template <int L>
Response<L> Stepper<L>::prepare(const Drive<L>& d) {
  const Lane<L> star_W_m2K = 4.0 * kSigma * T_star_ * T_star_ * T_star_;
  Lane<L> air_diag = K_air_ + d.exchange_W_K;
  Lane<L> air_rhs = K_air_ * T_air_ + d.exchange_W_K * d.T_out_K + d.air_W;
  Lane<L> star_diag = Lane<L>::Constant(kStarTie_W_K), cross = Lane<L>::Zero();
  Lane<L> star_rhs = d.radiant_W + kStarTie_W_K * T_star_;
  const Surroundings around{fourth_power<L>(d.T_out_K), fourth_power<L>(d.T_sky_K),
                            fourth_power<L>(d.T_ground_K), fourth_power<L>(d.T_under_K)};
  placed_W_ = Lane<L>::Zero();
  Node* const nodes = nodes_.data();
  for (std::size_t c = 0; c < ends_.size(); ++c) {
    Ends& e = ends_[c];
    const AtChain<L>& at = d.at[c];
    see_outside(e, d, at, around);
    see_inside(e, d, at, star_W_m2K);
    const Node& first = nodes[e.first];
    const Node& last = nodes[e.last];
    Lane<L> outer_rhs = first.K * first.T + e.GT_outside + at.outer_W;
    Lane<L> diag = e.inner_diag + e.g_air + e.g_star, rhs = at.inner_W;
    if (e.last == e.first) {
      diag += e.G_outside;
      rhs += outer_rhs;
    } else {
      rhs += last.K * last.T;
      Lane<L> p = Lane<L>::Zero();
      for (Node* n = nodes + e.first + 1; n < &last; ++n) n->p = p = n->K * n->T + n->forward * p;
      p = Lane<L>::Zero();
      for (Node* n = nodes + e.last - 1; n > &first; --n) n->p = p = (n->p + n->G * p) * n->inverse;
      outer_rhs += first.G * p;
      if (e.last > e.first + 1) rhs += nodes[e.last - 1].G * nodes[e.last - 1].p;
      e.outer_rhs = outer_rhs;
      e.over_outer = 1.0 / (e.outer_diag + e.G_outside);
      const Lane<L> w = e.through * e.over_outer;
      diag -= w * e.through;
      rhs += w * outer_rhs;
    }
    e.over_inner = 1.0 / diag;
    e.inner_rhs = rhs;
    const Lane<L> wa = e.g_air * e.over_inner, ws = e.g_star * e.over_inner;
    air_diag += e.g_air - wa * e.g_air;
    star_diag += e.g_star - ws * e.g_star;
    cross += wa * e.g_star;
    air_rhs += wa * rhs;
    star_rhs += ws * rhs;
  }
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
  const Ends& e = ends_[chain];
  return over_theta_air_ * e.over_inner * (air_per_W_ * e.g_air + star_per_W_ * e.g_star);
}

template <int L>
void Stepper<L>::heat_face(std::size_t chain, const Lane<L>& W) {
  Ends& e = ends_[chain];
  const Lane<L> to_air_W = e.g_air * e.over_inner * W, to_star_W = e.g_star * e.over_inner * W;
  e.inner_rhs += W;
  air_0_ += air_per_W_ * to_air_W + star_per_W_ * to_star_W;
  star_0_ += star_per_W_ * to_air_W + star_per_star_W_ * to_star_W;
  placed_W_ += W;
}

template <int L>
void Stepper<L>::finish(const Drive<L>& d, const Lane<L>& unit_W) {
  const Lane<L> Ta = air_0_ + air_per_W_ * unit_W;
  const Lane<L> Ts = star_0_ + star_per_W_ * unit_W;
  const auto follow = [](Node& n, const Lane<L>& during) { n.T += n.over_theta * (during - n.T); };
  Lane<L> envelope_W = Lane<L>::Zero(), windows_W = envelope_W, sun_W = envelope_W;
  Node* const nodes = nodes_.data();
  for (std::size_t c = 0; c < ends_.size(); ++c) {
    const Ends& e = ends_[c];
    const Lane<L> inner = (e.inner_rhs + e.g_air * Ta + e.g_star * Ts) * e.over_inner;
    Lane<L> outer = inner;
    if (e.last > e.first) {
      outer = (e.outer_rhs + e.through * inner) * e.over_outer;
      for (Node* n = nodes + e.first + 1; n < nodes + e.last; ++n)
        follow(*n, n->p + n->q * outer + n->s * inner);
      follow(nodes[e.last], inner);
    }
    follow(nodes[e.first], outer);
    const Lane<L> in = e.GT_outside - e.G_outside * outer + d.at[c].outer_W;
    (e.is_window ? windows_W : envelope_W) += in;
    sun_W += d.at[c].inner_W;
  }
  flows_ = {envelope_W, windows_W, sun_W, d.exchange_W_K * (d.T_out_K - Ta), d.air_W + d.radiant_W,
            unit_W,     placed_W_};
  T_air_ += over_theta_air_ * (Ta - T_air_);
  T_star_ = Ts;
}

template <int L>
Lane<L> Stepper<L>::stored_J() const {
  Lane<L> sum = C_air_ * T_air_;
  for (const Node& node : nodes_) sum += node.C * node.T;
  return sum;
}

template struct Drive<1>;
template struct Drive<8>;
template class Stepper<1>;
template class Stepper<8>;

}  // namespace cabinload::network
