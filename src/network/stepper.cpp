// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <bit>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/network/stepper.hpp>
#include <cmath>
#include <cstdint>
#include <numeric>

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

/// First guess of the cube root of x >= 0: a third of the exponent, within 5 %.
inline double cube_root_guess(double x) {
  return std::bit_cast<double>(std::bit_cast<std::uint64_t>(x) / 3 + 0x2A9F7893782DA1CEULL);
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
  arrange();
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
    node.T = node.forward = node.inverse = node.q = node.s = Lane<L>::Zero();
    nodes_.push_back(node);
  }
  Ends e;
  e.first = nodes_.size() - n;
  e.last = nodes_.size() - 1;
  e.place = c;
  e.outside = chain.outside;
  e.inside_cover = chain.inside_cover.side == vehicle::CoverSide::inside;
  e.outside_cover = chain.outside_cover.side == vehicle::CoverSide::outside;
  e.is_window = chain.group == Group::window;
  e.area = each([](const Chain& x) { return x.area_m2; });
  // A stated film stands for itself, the law takes no part: 0 times it.
  const auto law_outside = [](const Chain& x) {
    const bool met =
        x.outside == vehicle::Outside::open_air || x.outside == vehicle::Outside::underbody;
    return met && !(x.films.outside_W_m2K > 0) ? x.area_m2 : 0.0;
  };
  e.film_base = each([](const Chain& x) {
    const bool nominal = x.outside == vehicle::Outside::fixed && !(x.films.outside_W_m2K > 0);
    return (nominal ? kNominalOutside_W_m2K : x.films.outside_W_m2K) * x.area_m2;
  });
  e.film_still = each(law_outside);
  e.film_wind = each([&](const Chain& x) { return law_outside(x) * x.wind_share_1; });
  e.air_base = each([](const Chain& x) { return x.films.inside_W_m2K * x.area_m2; });
  e.air_law = each([](const Chain& x) { return x.films.inside_W_m2K > 0 ? 0.0 : x.area_m2; });
  e.star_base = each([](const Chain& x) { return x.films.inside_radiant_W_m2K * x.area_m2; });
  e.star_law = each(
      [](const Chain& x) { return x.films.inside_radiant_W_m2K > 0 ? 0.0 : x.radiant_area_m2; });
  e.sky = seen(&LongWaveView::sky_1);
  e.air = seen(&LongWaveView::air_1);
  e.ground = seen(&LongWaveView::ground_1);
  e.long_wave = e.sky + e.air + e.ground;
  e.film_warm = each([](const Chain& x) { return x.film.surface_warmer; });
  e.film_cool = each([](const Chain& x) { return x.film.surface_cooler; });
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

/// Lays the inner nodes out level by level.
template <int L>
void Stepper<L>::arrange() {
  const auto inner_nodes = [&](std::size_t c) {
    const std::size_t n = ends_[c].last - ends_[c].first + 1;
    return n > 2 ? n - 2 : 0;
  };
  std::vector<std::size_t> order(ends_.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return inner_nodes(a) > inner_nodes(b); });
  std::ptrdiff_t placed = 0;
  for (std::size_t level = 0; !order.empty() && level < inner_nodes(order[0]); ++level) {
    inner_.start.push_back(placed * L);
    for (std::size_t place = 0; place < order.size(); ++place) {
      Ends& e = ends_[order[place]];
      e.place = place;
      if (inner_nodes(order[place]) <= level) continue;
      nodes_[e.first + 1 + level].inner = placed++;
    }
    inner_.count.push_back(placed * L - inner_.start.back());
  }
  for (auto* array : {&inner_.T, &inner_.K, &inner_.over_theta, &inner_.forward, &inner_.inverse,
                      &inner_.next, &inner_.q, &inner_.s, &inner_.p})
    array->setZero(placed * L);
  const auto chains = static_cast<Eigen::Index>(ends_.size()) * L;
  for (auto* array :
       {&inner_.outer_end, &inner_.inner_end, &dT_, &size_, &root_, &outer_, &inner_face_})
    array->setZero(chains);
  for (const Node& n : nodes_) {
    if (n.inner < 0) continue;
    const auto put = [&](Eigen::ArrayXd& to, const Lane<L>& value) {
      Eigen::Map<Lane<L>>(to.data() + n.inner * L) = value;
    };
    put(inner_.K, n.K);
    put(inner_.over_theta, n.over_theta);
    put(inner_.forward, n.forward);
    put(inner_.inverse, n.inverse);
    put(inner_.next, n.G * n.inverse);
    put(inner_.q, n.q);
    put(inner_.s, n.s);
  }
}

/// y[k] += a[k] * x[k]. Plain numbers: levels are short, and a compiler makes the most of this.
void add_product(double* y, const double* a, const double* x, Eigen::Index n) {
  for (Eigen::Index k = 0; k < n; ++k) y[k] += a[k] * x[k];
}

/// p of all inner nodes from their history: inwards, then back.
template <int L>
void Stepper<L>::sweep() {
  Inner& in = inner_;
  double* const p = in.p.data();
  const std::size_t levels = in.start.size();
  in.p = in.K * in.T;
  for (std::size_t j = 1; j < levels; ++j)
    add_product(p + in.start[j], in.forward.data() + in.start[j], p + in.start[j - 1], in.count[j]);
  in.p *= in.inverse;
  for (std::size_t j = levels; j-- > 1;)
    add_product(p + in.start[j - 1], in.next.data() + in.start[j - 1], p + in.start[j],
                in.count[j]);
}

template <int L>
void Stepper<L>::follow_inner() {
  Inner& in = inner_;
  const double *outer = in.outer_end.data(), *inner = in.inner_end.data();
  const double *p = in.p.data(), *q = in.q.data(), *s = in.s.data(), *w = in.over_theta.data();
  double* T = in.T.data();
  for (std::size_t j = 0; j < in.start.size(); ++j)
    for (Eigen::Index k = 0, i = in.start[j]; k < in.count[j]; ++k, ++i)
      T[i] += w[i] * (p[i] + q[i] * outer[k] + s[i] * inner[k] - T[i]);
}

/// Of all faces at once: two steps of Halley's method, relative error below 1e-12.
template <int L>
void Stepper<L>::take_cube_roots() {
  double *size = size_.data(), *y = root_.data();
  for (std::size_t c = 0; c < ends_.size(); ++c)
    for (int l = 0; l < L; ++l) {
      const double dT = nodes_[ends_[c].last].T[l] - T_air_[l];
      const std::size_t k = c * L + static_cast<std::size_t>(l);
      dT_[static_cast<Eigen::Index>(k)] = dT;
      size[k] = std::max(std::abs(dT), kLeastDifference_K);
      y[k] = cube_root_guess(size[k]);
    }
  const Eigen::Index n = size_.size();
  for (int i = 0; i < 2; ++i)
    for (Eigen::Index k = 0; k < n; ++k) {
      const double cube = y[k] * y[k] * y[k];
      y[k] *= (cube + 2 * size[k]) / (2 * cube + size[k]);
    }
}

template <int L>
void Stepper<L>::start_at(const Lane<L>& T_K) {
  for (Node& node : nodes_) {
    node.T = T_K;
    if (node.inner >= 0) Eigen::Map<Lane<L>>(inner_.T.data() + node.inner * L) = T_K;
  }
  T_air_ = T_star_ = T_K;
}

template <int L>
Lane<L> Stepper<L>::T_node_K(std::size_t node) const {
  const Node& n = nodes_[node];
  return n.inner < 0 ? n.T : inner_.at(inner_.T, n.inner);
}

template <int L>
void Stepper<L>::see_outside(Ends& e, const Drive<L>& d, const AtChain<L>& at,
                             const Surroundings& around) const {
  if (e.outside == vehicle::Outside::adiabatic) {
    e.G_outside = e.GT_outside = Lane<L>::Zero();
    return;
  }
  const bool fixed = e.outside == vehicle::Outside::fixed;
  e.G_outside = e.film_base + e.film_still * d.film_still_W_m2K + e.film_wind * d.film_wind_W_m2K;
  e.GT_outside = e.G_outside * (fixed ? at.T_fixed_K : d.T_out_K);
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
                            const Lane<L>& star_W_m2K, std::size_t chain) const {
  const Eigen::Index at_chain = static_cast<Eigen::Index>(chain) * L;
  const Eigen::Map<const Lane<L>> dT(dT_.data() + at_chain), root(root_.data() + at_chain);
  const Lane<L> natural = (dT > 0).select(e.film_warm, e.film_cool) * root;
  e.g_air = e.air_base + e.air_law * (natural.max(kLeastInsideFilm_W_m2K) + d.mixing_W_m2K);
  e.g_star = e.star_base + e.star_law * star_W_m2K;
  if (!e.inside_cover) return;
  const Lane<L> part = 1.0 / (1.0 + at.inside_cover_m2K_W * (e.g_air + e.g_star) / e.area);
  e.g_air *= part;
  e.g_star *= part;
}

/// What the ends of every chain see, and their equations but for the couplings.
template <int L>
void Stepper<L>::gather(const Drive<L>& d) {
  const Lane<L> star_W_m2K = 4.0 * kSigma * T_star_ * T_star_ * T_star_;
  const Surroundings around{fourth_power<L>(d.T_out_K), fourth_power<L>(d.T_sky_K),
                            fourth_power<L>(d.T_ground_K), fourth_power<L>(d.T_under_K)};
  const Node* const nodes = nodes_.data();
  for (std::size_t c = 0; c < ends_.size(); ++c) {
    Ends& e = ends_[c];
    const AtChain<L>& at = d.at[c];
    see_outside(e, d, at, around);
    see_inside(e, d, at, star_W_m2K, c);
    const Node& first = nodes[e.first];
    const Node& last = nodes[e.last];
    e.outer_rhs = first.K * first.T + e.GT_outside + at.outer_W;
    e.inner_rhs = at.inner_W;
    Lane<L> diag = e.inner_diag + e.g_air + e.g_star;
    if (e.last == e.first) {
      diag += e.G_outside;
      e.inner_rhs += e.outer_rhs;
    } else {
      e.inner_rhs += last.K * last.T;
      if (e.last > e.first + 1) {
        e.outer_rhs += first.G * inner_.at(inner_.p, nodes[e.first + 1].inner);
        e.inner_rhs += nodes[e.last - 1].G * inner_.at(inner_.p, nodes[e.last - 1].inner);
      }
    }
    lane_of(outer_, c) = e.outer_diag + e.G_outside;
    lane_of(inner_face_, c) = diag;
  }
}

/// The divisions of all chains together: one after the other they would wait for each other.
template <int L>
void Stepper<L>::eliminate_outer() {
  outer_ = outer_.inverse();
  for (std::size_t c = 0; c < ends_.size(); ++c) {
    Ends& e = ends_[c];
    const Lane<L> w = e.through * lane_of(outer_, c);
    lane_of(inner_face_, c) -= w * e.through;
    e.inner_rhs += w * e.outer_rhs;
  }
  inner_face_ = inner_face_.inverse();
}

template <int L>
Response<L> Stepper<L>::prepare(const Drive<L>& d) {
  placed_W_ = Lane<L>::Zero();
  sweep();
  take_cube_roots();
  gather(d);
  eliminate_outer();
  Lane<L> air_diag = K_air_ + d.exchange_W_K;
  Lane<L> air_rhs = K_air_ * T_air_ + d.exchange_W_K * d.T_out_K + d.air_W;
  Lane<L> star_diag = Lane<L>::Constant(kStarTie_W_K), cross = Lane<L>::Zero();
  Lane<L> star_rhs = d.radiant_W + kStarTie_W_K * T_star_;
  for (std::size_t c = 0; c < ends_.size(); ++c) {
    const Ends& e = ends_[c];
    const Lane<L> over = lane_of(inner_face_, c);
    const Lane<L> wa = e.g_air * over, ws = e.g_star * over;
    air_diag += e.g_air - wa * e.g_air;
    star_diag += e.g_star - ws * e.g_star;
    cross += wa * e.g_star;
    air_rhs += wa * e.inner_rhs;
    star_rhs += ws * e.inner_rhs;
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
  return over_theta_air_ * lane_of(inner_face_, chain) *
         (air_per_W_ * e.g_air + star_per_W_ * e.g_star);
}

template <int L>
void Stepper<L>::heat_face(std::size_t chain, const Lane<L>& W) {
  Ends& e = ends_[chain];
  const Lane<L> share = lane_of(inner_face_, chain) * W;
  const Lane<L> to_air_W = e.g_air * share, to_star_W = e.g_star * share;
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
    const Lane<L> inner = (e.inner_rhs + e.g_air * Ta + e.g_star * Ts) * lane_of(inner_face_, c);
    Lane<L> outer = inner;
    if (e.last > e.first) {
      outer = (e.outer_rhs + e.through * inner) * lane_of(outer_, c);
      follow(nodes[e.last], inner);
    }
    Eigen::Map<Lane<L>>(inner_.outer_end.data() + e.place * L) = outer;
    Eigen::Map<Lane<L>>(inner_.inner_end.data() + e.place * L) = inner;
    follow(nodes[e.first], outer);
    const Lane<L> in = e.GT_outside - e.G_outside * outer + d.at[c].outer_W;
    (e.is_window ? windows_W : envelope_W) += in;
    sun_W += d.at[c].inner_W;
  }
  follow_inner();
  flows_ = {envelope_W, windows_W, sun_W, d.exchange_W_K * (d.T_out_K - Ta), d.air_W + d.radiant_W,
            unit_W,     placed_W_};
  T_air_ += over_theta_air_ * (Ta - T_air_);
  T_star_ = Ts;
}

template <int L>
Lane<L> Stepper<L>::stored_J() const {
  Lane<L> sum = C_air_ * T_air_;
  for (std::size_t i = 0; i < nodes_.size(); ++i) sum += nodes_[i].C * T_node_K(i);
  return sum;
}

template struct Drive<1>;
template struct Drive<8>;
template class Stepper<1>;
template class Stepper<8>;

}  // namespace cabinload::network
