// SPDX-License-Identifier: Apache-2.0
// How a stepper lays its chains out: order, constants of every end, stored factors.
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/network/stepper.hpp>
#include <numeric>

namespace cabinload::network {
namespace {

/// Conductances per area that stand for the films when theta is chosen [W m-2 K-1].
constexpr double kNominalOutside_W_m2K = 20.0, kNominalInside_W_m2K = 8.0;
/// Of the inside film, what reaches the air rather than the star.
constexpr double kConvectiveShare_1 = 0.4;
/// A node is "faster than the step" when dt * sum G > this * C: the midpoint rule would ring.
constexpr double kFastNode_1 = 2.0;
/// Air density for the air node's capacity [kg/m3]; the node is effective, not exact.
constexpr double kAirDensity_kg_m3 = 1.15;

constexpr double kSigma = core::kStefanBoltzmann_W_m2K4;

double over_theta(double C_J_K, double G_W_K, double dt_s) {
  return dt_s * G_W_K > kFastNode_1 * C_J_K ? 1.0 : 2.0;
}

}  // namespace

/// A node while a chain is laid out: capacity over theta and step, and the stored factors.
template <int L>
struct Stepper<L>::Node {
  Lane<L> C, K, over_theta;  // K = C / (theta dt)
  Lane<L> G;                 // to the next node inwards; 0 at the last
  Lane<L> forward, inverse, q, s;
};

template <int L>
Stepper<L>::Stepper(std::span<const Cabin> cabins, double dt_s) {
  CABINLOAD_ASSERT(cabins.size() == static_cast<std::size_t>(L) && dt_s > 0);
  lay_out(cabins[0]);
  for (std::size_t c = 0; c < order_.size(); ++c) add_chain(cabins, c, dt_s);
  for (int l = 0; l < L; ++l) {
    const Cabin& cabin = cabins[static_cast<std::size_t>(l)];
    CABINLOAD_ASSERT(cabin.chains.size() == order_.size());
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

/// Puts chains in the order of their length and makes room.
template <int L>
void Stepper<L>::lay_out(const Cabin& cabin) {
  const std::size_t chains = cabin.chains.size();
  const auto inner_nodes = [&](std::size_t c) {
    const std::size_t n = cabin.chains[c].C_J_K.size();
    return n > 2 ? n - 2 : 0;
  };
  order_.resize(chains);
  std::iota(order_.begin(), order_.end(), std::size_t{0});
  std::stable_sort(order_.begin(), order_.end(),
                   [&](std::size_t a, std::size_t b) { return inner_nodes(a) > inner_nodes(b); });
  place_.resize(chains);
  for (std::size_t i = 0; i < chains; ++i) place_[order_[i]] = static_cast<Eigen::Index>(i);
  Eigen::Index placed = 0;
  for (std::size_t level = 0; chains > 0 && level < inner_nodes(order_[0]); ++level) {
    inner_.start.push_back(placed);
    for (const std::size_t c : order_)
      if (inner_nodes(c) > level) ++placed;
    inner_.count.push_back(placed - inner_.start.back());
  }
  for (const Chain& chain : cabin.chains) {
    lengths_.push_back(chain.C_J_K.size());
    nodes_ += chain.C_J_K.size();
  }
  make_room(placed);
}

template <int L>
void Stepper<L>::make_room(Eigen::Index inner_nodes) {
  Inner& in = inner_;
  for (Rows* rows : {&in.C, &in.T, &in.K, &in.over_theta, &in.forward, &in.inverse, &in.next, &in.q,
                     &in.s, &in.p})
    rows->setZero(L, inner_nodes);
  Faces& f = faces_;
  Current& n = now_;
  for (Rows* rows : {&f.area,
                     &f.is_window,
                     &f.stated_air,
                     &f.stated_fixed,
                     &f.still,
                     &f.wind,
                     &f.sky,
                     &f.air,
                     &f.ground,
                     &f.under,
                     &f.long_wave,
                     &f.film_warm,
                     &f.film_cool,
                     &f.to_air_stated,
                     &f.to_air_law,
                     &f.to_star_stated,
                     &f.to_star_law,
                     &f.C_outer,
                     &f.C_inner,
                     &f.K_outer,
                     &f.K_inner,
                     &f.over_theta_outer,
                     &f.over_theta_inner,
                     &f.G_first,
                     &f.G_inmost,
                     &f.outer_diag,
                     &f.inner_diag,
                     &f.through,
                     &f.T_outer,
                     &f.T_inner,
                     &n.outer_W,
                     &n.inner_W,
                     &n.T_fixed,
                     &n.film,
                     &n.cube,
                     &n.coefficient,
                     &n.size,
                     &n.root,
                     &n.G_outside,
                     &n.GT_outside,
                     &n.to_air,
                     &n.to_star,
                     &n.outer_rhs,
                     &n.inner_rhs,
                     &n.over_outer,
                     &n.over_inner,
                     &n.weight,
                     &n.outer,
                     &n.inner})
    rows->setZero(L, static_cast<Eigen::Index>(order_.size()));
  f.inmost.assign(order_.size(), -1);
}

template <int L>
void Stepper<L>::add_chain(std::span<const Cabin> cabins, std::size_t c, double dt_s) {
  const auto each = [&](auto value) {
    Lane<L> lane;
    for (int l = 0; l < L; ++l) lane[l] = value(cabins[static_cast<std::size_t>(l)].chains[c]);
    return lane;
  };
  const Chain& chain = cabins[0].chains[c];
  const std::size_t n = chain.C_J_K.size();
  std::vector<Node> nodes(n);
  for (std::size_t i = 0; i < n; ++i) {
    Node& node = nodes[i];
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
    node.forward = node.inverse = node.q = node.s = Lane<L>::Zero();
  }
  describe_faces(cabins, c);
  factor(nodes, place_[c]);
}

/// What the ends of a chain are and see, in numbers that never change.
template <int L>
void Stepper<L>::describe_faces(std::span<const Cabin> cabins, std::size_t c) {
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
  const Eigen::Index k = place_[c];
  Faces& f = faces_;
  const bool fixed = chain.outside == vehicle::Outside::fixed;
  const bool under = chain.outside == vehicle::Outside::underbody;
  const bool met = under || chain.outside == vehicle::Outside::open_air;
  // A stated film stands for itself, the law takes no part: 0 times it.
  const auto law = [met](const Chain& x) {
    return met && !(x.films.outside_W_m2K > 0) ? x.area_m2 : 0.0;
  };
  f.area.col(k) = each([](const Chain& x) { return x.area_m2; });
  f.is_window.col(k) = Lane<L>::Constant(chain.group == Group::window ? 1.0 : 0.0);
  if (met)
    f.stated_air.col(k) = each([](const Chain& x) { return x.films.outside_W_m2K * x.area_m2; });
  if (fixed)
    f.stated_fixed.col(k) = each([](const Chain& x) {
      const double stated = x.films.outside_W_m2K;
      return (stated > 0 ? stated : kNominalOutside_W_m2K) * x.area_m2;
    });
  f.still.col(k) = each(law);
  f.wind.col(k) = each([&](const Chain& x) { return law(x) * x.wind_share_1; });
  if (met) {
    f.sky.col(k) = seen(&LongWaveView::sky_1);
    f.air.col(k) = seen(&LongWaveView::air_1);
    (under ? f.under : f.ground).col(k) = seen(&LongWaveView::ground_1);
  }
  f.long_wave.col(k) = f.sky.col(k) + f.air.col(k) + f.ground.col(k) + f.under.col(k);
  f.film_warm.col(k) = each([](const Chain& x) { return x.film.surface_warmer; });
  f.film_cool.col(k) = each([](const Chain& x) { return x.film.surface_cooler; });
  const auto stated_or = [&](Rows& stated, Rows& by_law, double vehicle::Films::*film,
                             double Chain::*law_area) {
    stated.col(k) = each([&](const Chain& x) { return x.films.*film * x.area_m2; });
    by_law.col(k) = each([&](const Chain& x) { return x.films.*film > 0 ? 0.0 : x.*law_area; });
  };
  stated_or(f.to_air_stated, f.to_air_law, &vehicle::Films::inside_W_m2K, &Chain::area_m2);
  stated_or(f.to_star_stated, f.to_star_law, &vehicle::Films::inside_radiant_W_m2K,
            &Chain::radiant_area_m2);
  if (chain.inside_cover.side == vehicle::CoverSide::inside) f.inside_cover.push_back(k);
  if (chain.outside_cover.side == vehicle::CoverSide::outside) f.outside_cover.push_back(k);
}

/// Factors of a chain's inner nodes and what the ends feel through them.
template <int L>
void Stepper<L>::factor(std::vector<Node>& nodes, Eigen::Index k) {
  Faces& f = faces_;
  const std::size_t last = nodes.size() - 1;
  f.C_outer.col(k) = nodes[0].C;
  f.K_outer.col(k) = nodes[0].K;
  f.over_theta_outer.col(k) = nodes[0].over_theta;
  f.over_theta_inner.col(k) = nodes[last].over_theta;
  if (last == 0) {  // one node is both ends: everything is kept at the inner end
    f.single.push_back(k);
    f.outer_diag.col(k) = Lane<L>::Ones();
    f.inner_diag.col(k) = nodes[0].K;
    return;
  }
  f.C_inner.col(k) = nodes[last].C;
  f.K_inner.col(k) = nodes[last].K;
  f.outer_diag.col(k) = nodes[0].K + nodes[0].G;
  f.inner_diag.col(k) = nodes[last].K + nodes[last - 1].G;
  if (last == 1) {
    f.through.col(k) = nodes[0].G;
    return;
  }
  for (std::size_t i = 1; i < last; ++i) {
    Node& n = nodes[i];
    const Node& before = nodes[i - 1];
    Lane<L> diag = n.K + before.G + n.G;
    n.q = before.G;  // right side of a unit temperature at the outer end
    if (i > 1) {
      n.forward = before.G * before.inverse;
      diag -= n.forward * before.G;
      n.q = n.forward * before.q;
    }
    n.inverse = 1.0 / diag;
  }
  Lane<L> q = Lane<L>::Zero(), s = Lane<L>::Ones();
  for (std::size_t i = last; --i > 0;) {
    Node& n = nodes[i];
    n.q = q = (n.q + n.G * q) * n.inverse;
    n.s = s = n.G * s * n.inverse;
    const Eigen::Index at = inner_.start[i - 1] + k;
    inner_.C.col(at) = n.C;
    inner_.K.col(at) = n.K;
    inner_.over_theta.col(at) = n.over_theta;
    inner_.forward.col(at) = n.forward;
    inner_.inverse.col(at) = n.inverse;
    inner_.next.col(at) = n.G * n.inverse;
    inner_.q.col(at) = n.q;
    inner_.s.col(at) = n.s;
  }
  f.inmost[static_cast<std::size_t>(k)] = inner_.start[last - 2] + k;
  f.G_first.col(k) = nodes[0].G;
  f.G_inmost.col(k) = nodes[last - 1].G;
  f.outer_diag.col(k) -= nodes[0].G * nodes[1].q;
  f.inner_diag.col(k) -= nodes[last - 1].G * nodes[last - 1].s;
  f.through.col(k) = nodes[0].G * nodes[1].s;
}

template Stepper<1>::Stepper(std::span<const Cabin>, double);
template void Stepper<1>::lay_out(const Cabin&);
template void Stepper<1>::make_room(Eigen::Index);
template void Stepper<1>::describe_faces(std::span<const Cabin>, std::size_t);
template void Stepper<1>::add_chain(std::span<const Cabin>, std::size_t, double);
template void Stepper<1>::factor(std::vector<Node>&, Eigen::Index);
template Stepper<8>::Stepper(std::span<const Cabin>, double);
template void Stepper<8>::lay_out(const Cabin&);
template void Stepper<8>::make_room(Eigen::Index);
template void Stepper<8>::describe_faces(std::span<const Cabin>, std::size_t);
template void Stepper<8>::add_chain(std::span<const Cabin>, std::size_t, double);
template void Stepper<8>::factor(std::vector<Node>&, Eigen::Index);

}  // namespace cabinload::network
