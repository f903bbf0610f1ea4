// SPDX-License-Identifier: Apache-2.0
// How a stepper lays its chains out: places, constants of every end, stored factors.
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/network/stepper.hpp>
#include <cmath>
#include <numeric>

#include "lanes.hpp"

namespace cabinload::network {

using namespace detail;

namespace {

/// Conductances per area that stand for the films when theta is chosen [W m-2 K-1].
constexpr double kNominalOutside_W_m2K = 20.0, kNominalInside_W_m2K = 8.0;
/// Of the inside film, what reaches the air rather than the star.
constexpr double kConvectiveShare_1 = 0.4;
/// Air density for the air node's capacity [kg/m3]: 30 degC at sea level. The node is effective,
/// not exact: its factor (air and light furnishing) hides a site's pressure.
constexpr double kAirDensity_kg_m3 = 1.15;
/// Of faces that are not there: never the coldest.
constexpr double kNowhere_K = 1e6;

constexpr double kSigma = core::kStefanBoltzmann_W_m2K4;

/// 1/theta with which a node that decays alone does so exactly: (1 - (1 - theta) x) / (1 + theta x)
/// = exp(-x), x = dt G / C ("exponential fitting", [Liniger1970]). From 2, the midpoint rule, for
/// slow nodes to 1 for fast ones, which the midpoint rule would let ring.
double over_theta(double C_J_K, double G_W_K, double dt_s) {
  if (C_J_K <= 0) return 1;
  const double x = dt_s * G_W_K / C_J_K;
  if (x < 1e-3) return 1 / (0.5 + x / 12);  // both terms below would be large
  return 1 / (1 / -std::expm1(-x) - 1 / x);
}

std::size_t inner_nodes(const Chain& chain) {
  return chain.C_J_K.size() > 2 ? chain.C_J_K.size() - 2 : 0;
}

/// Of every chain its column: the longest first.
std::vector<std::size_t> places(const Cabin& cabin) {
  std::vector<std::size_t> order(cabin.chains.size()), place(order.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return inner_nodes(cabin.chains[a]) > inner_nodes(cabin.chains[b]);
  });
  for (std::size_t i = 0; i < order.size(); ++i) place[order[i]] = i;
  return place;
}

bool meets_air(const Chain& chain) {
  return chain.outside == vehicle::Outside::underbody ||
         chain.outside == vehicle::Outside::open_air;
}

unsigned flags_of(const Chain& chain) {
  unsigned flags = 0;
  if (chain.outside == vehicle::Outside::fixed) flags |= kHasFixed | kHasOutside;
  if (meets_air(chain)) flags |= kHasOutside;
  if (chain.C_J_K.size() == 1) flags |= kHasSingle;
  if (chain.group == Group::window) flags |= kHasWindow;
  const vehicle::Films& films = chain.films;
  if (films.outside_W_m2K > 0 || films.inside_W_m2K > 0 || films.inside_radiant_W_m2K > 0)
    flags |= kHasStated;
  if (meets_air(chain) && chain.view.ground_1 > 0)
    flags |= chain.outside == vehicle::Outside::underbody ? kHasUnder : kHasGround;
  if (chain.inside_cover.side == vehicle::CoverSide::inside) flags |= kHasInsideCover;
  if (chain.outside_cover.side == vehicle::CoverSide::outside) flags |= kHasOutsideCover;
  return flags;
}

std::vector<const Cabin*> addresses(std::span<const Cabin> cabins) {
  std::vector<const Cabin*> each;
  for (const Cabin& cabin : cabins) each.push_back(&cabin);
  return each;
}

}  // namespace

/// A node while a chain is laid out: capacity over theta and step, and the stored factors.
template <int L>
struct Stepper<L>::EndNode {
  double C = 0, K = 0, over_theta = 2;  // K = C / (theta dt)
  double G = 0;                         // to the next node inwards; 0 at the last
  double inverse = 0, q = 0, s = 0;
};

template <int L>
Stepper<L>::Stepper(std::span<const Cabin> cabins, double dt_s, InstructionSet set)
    : Stepper(addresses(cabins), std::vector<double>(cabins.size(), dt_s), set) {}

template <int L>
Stepper<L>::Stepper(std::span<const Cabin* const> cabins, std::span<const double> dt_s,
                    InstructionSet set)
    : Stepper(cabins, dt_s, kernel_for<L>(set)) {}

template <int L>
Stepper<L>::Stepper(std::span<const Cabin* const> cabins, std::span<const double> dt_s,
                    detail::StepKernel<L> kernel)
    : kernel_(kernel), width_(static_cast<std::size_t>(kernel.width)) {
  CABINLOAD_ASSERT(cabins.size() == static_cast<std::size_t>(L) && dt_s.size() == cabins.size());
  lay_out(cabins);
  Lane<L> over, K_air;
  for (int l = 0; l < L; ++l) {
    const Cabin& cabin = *cabins[static_cast<std::size_t>(l)];
    const double step_s = dt_s[static_cast<std::size_t>(l)];
    CABINLOAD_ASSERT(step_s > 0);
    double inside_W_K = 0;
    for (std::size_t c = 0; c < cabin.chains.size(); ++c) {
      add_chain(cabin.chains[c], c, l, step_s);
      inside_W_K += kConvectiveShare_1 * kNominalInside_W_m2K * cabin.chains[c].area_m2;
    }
    C_air_[l] = cabin.volume_m3 * kAirDensity_kg_m3 * core::kSpecificHeatDryAir_J_kgK *
                cabin.air_capacity_factor_1;
    over[l] = over_theta(C_air_[l], inside_W_K, step_s);
    K_air[l] = C_air_[l] * over[l] / step_s;
  }
  fill(data_.over_theta_air, over);
  fill(data_.K_air, K_air);
  sun_inside_W_ = placed_W_ = Lane<L>::Zero();
  start_at(Lane<L>::Constant(293.15));
}

/// Puts the chains of each lane in the order of their length and makes room; what no lane fills
/// has zeros, and diagonals of one.
template <int L>
void Stepper<L>::lay_out(std::span<const Cabin* const> cabins) {
  std::size_t columns = 0;
  for (const Cabin* cabin : cabins) columns = std::max(columns, cabin->chains.size());
  packs_.resize(columns == 0 ? 0 : spot(columns - 1, L - 1).pack + 1);
  std::vector<int> least(packs_.size(), -1);  // inner nodes of the shortest chain that has any
  for (int l = 0; l < L; ++l) {
    const Cabin& cabin = *cabins[static_cast<std::size_t>(l)];
    place_[l] = places(cabin);
    for (std::size_t c = 0; c < cabin.chains.size(); ++c) {
      const std::size_t b = spot_of(c, l).pack;
      const int levels = static_cast<int>(inner_nodes(cabin.chains[c]));
      lengths_[l].push_back(cabin.chains[c].C_J_K.size());
      flags_[l].push_back(flags_of(cabin.chains[c]));
      packs_[b].flags |= flags_[l].back();
      packs_[b].levels = std::max(packs_[b].levels, levels);
      if (levels > 0 && (least[b] < 0 || levels < least[b])) least[b] = levels;
    }
  }
  // The nodes of a column's packs stand side by side, level by level.
  const std::size_t apart = L < 4 ? 1 : L / width_;
  std::size_t nodes = 0;
  for (std::size_t b = 0; b < packs_.size(); b += apart) {
    int levels = 0;
    for (std::size_t h = 0; h < apart; ++h) {
      Pack& pack = packs_[b + h];
      pack.first_node = static_cast<int>(nodes + h);
      pack.first_inmost = std::max(0, least[b + h] - 1);
      levels = std::max(levels, pack.levels);
    }
    nodes += static_cast<std::size_t>(levels) * apart;
  }
  const auto lines = [](std::size_t numbers) { return (numbers + 7) / 8 + 1; };
  face_lines_.assign(lines(packs_.size() * kFaceNumbers * width_), Line{});
  node_lines_.assign(lines(nodes * kNodeNumbers * width_), Line{});
  for (std::size_t b = 0; b < packs_.size(); ++b)
    for (std::size_t r = 0; r < width_; ++r) {
      for (const Face f : {kDiag_outer, kDiag_inner, kArea}) faces()[face_at(f, {b, r})] = 1.0;
      faces()[face_at(kT_inner, {b, r})] = kNowhere_K;
    }
}

template <int L>
void Stepper<L>::add_chain(const Chain& chain, std::size_t c, int lane, double dt_s) {
  const std::size_t n = chain.C_J_K.size();
  std::vector<EndNode> nodes(n);
  for (std::size_t i = 0; i < n; ++i) {
    EndNode& node = nodes[i];
    node.C = chain.C_J_K[i];
    node.G = i + 1 < n ? chain.G_W_K[i] : 0.0;
    double sum_W_K = i > 0 ? chain.G_W_K[i - 1] : 0.0;
    sum_W_K += i + 1 < n ? chain.G_W_K[i] : kNominalInside_W_m2K * chain.area_m2;
    if (i == 0 && chain.outside != vehicle::Outside::adiabatic)
      sum_W_K += kNominalOutside_W_m2K * chain.area_m2;
    node.over_theta = over_theta(node.C, sum_W_K, dt_s);
    node.K = node.C * node.over_theta / dt_s;
  }
  const Spot at = spot_of(c, lane);
  describe_face(chain, at);
  factor(nodes, at);
}

/// What the ends of a chain are and see, in numbers that never change.
template <int L>
void Stepper<L>::describe_face(const Chain& x, Spot at) {
  const auto set = [&](Face f, double value) { faces()[face_at(f, at)] = value; };
  const double stated_W_m2K = x.films.outside_W_m2K;
  const bool under = x.outside == vehicle::Outside::underbody;
  set(kArea, x.area_m2);
  set(kIsWindow, x.group == Group::window ? 1.0 : 0.0);
  if (meets_air(x)) {
    const double seen = kSigma * x.emittance_out_1 * x.area_m2;
    const double law_m2 = stated_W_m2K > 0 ? 0.0 : x.area_m2;  // a stated film stands for itself
    set(kFilmStated, stated_W_m2K * x.area_m2);
    set(kFilmStill, law_m2);
    set(kFilmWind, law_m2 * x.wind_share_1);
    set(kSky, seen * x.view.sky_1);
    set(kAir, seen * x.view.air_1);
    set(under ? kUnder : kGround, seen * x.view.ground_1);
    set(kLongWave, seen * x.view.sky_1 + seen * x.view.air_1 + seen * x.view.ground_1);
  }
  if (x.outside == vehicle::Outside::fixed)
    set(kFixed, (stated_W_m2K > 0 ? stated_W_m2K : kNominalOutside_W_m2K) * x.area_m2);
  set(kFilmWarm, x.film.surface_warmer);
  set(kFilmCool, x.film.surface_cooler);
  set(kToAirStated, x.films.inside_W_m2K * x.area_m2);
  set(kToAirLaw, x.films.inside_W_m2K > 0 ? 0.0 : x.area_m2);
  set(kToStarStated, x.films.inside_radiant_W_m2K * x.area_m2);
  set(kToStarLaw, x.films.inside_radiant_W_m2K > 0 ? 0.0 : x.radiant_area_m2);
}

/// Factors of a chain's inner nodes and what the ends feel through them.
template <int L>
void Stepper<L>::factor(std::vector<EndNode>& nodes, Spot at) {
  const auto set = [&](Face f, double value) { faces()[face_at(f, at)] = value; };
  const std::size_t last = nodes.size() - 1;
  set(kC_outer, nodes[0].C);
  set(kK_outer, nodes[0].K);
  set(kOverTheta_outer, nodes[0].over_theta);
  set(kOverTheta_inner, nodes[last].over_theta);
  if (last == 0) {  // one node is both ends: everything is kept at the inner end
    set(kSingle, 1.0);
    set(kDiag_inner, nodes[0].K);
    return;
  }
  set(kC_inner, nodes[last].C);
  set(kK_inner, nodes[last].K);
  set(kDiag_outer, nodes[0].K + nodes[0].G);
  set(kDiag_inner, nodes[last].K + nodes[last - 1].G);
  if (last == 1) {
    set(kThrough, nodes[0].G);
    return;
  }
  for (std::size_t i = 1; i < last; ++i) {
    EndNode& n = nodes[i];
    const EndNode& before = nodes[i - 1];
    double diag = n.K + before.G + n.G;
    n.q = before.G;  // right side of a unit temperature at the outer end
    if (i > 1) {
      diag -= before.G * before.inverse * before.G;
      n.q = before.G * before.inverse * before.q;
    }
    n.inverse = 1.0 / diag;
  }
  double q = 0, s = 1;
  for (std::size_t i = last; --i > 0;) {
    EndNode& n = nodes[i];
    n.q = q = (n.q + n.G * q) * n.inverse;
    n.s = s = n.G * s * n.inverse;
    const auto put = [&](Node f, double value) { inner()[node_at(f, at, i - 1)] = value; };
    put(kNodeC, n.C);
    put(kNodeOverTheta, n.over_theta);
    put(kNodeHistory, n.K * n.inverse);
    put(kNodeBefore, i > 1 ? nodes[i - 1].G * n.inverse : 0.0);
    put(kNodeNext, i + 1 < last ? n.G * n.inverse : 0.0);
    put(kNodeQ, n.q);
    put(kNodeS, n.s);
    if (i + 1 == last) put(kNodeToInner, n.G);
  }
  set(kG_first, nodes[0].G);
  faces()[face_at(kDiag_outer, at)] -= nodes[0].G * nodes[1].q;
  faces()[face_at(kDiag_inner, at)] -= nodes[last - 1].G * nodes[last - 1].s;
  set(kThrough, nodes[0].G * nodes[1].s);
}

template Stepper<1>::Stepper(std::span<const Cabin* const>, std::span<const double>,
                             InstructionSet);
template Stepper<1>::Stepper(std::span<const Cabin* const>, std::span<const double>, StepKernel<1>);
template Stepper<1>::Stepper(std::span<const Cabin>, double, InstructionSet);
template void Stepper<1>::lay_out(std::span<const Cabin* const>);
template void Stepper<1>::add_chain(const Chain&, std::size_t, int, double);
template void Stepper<1>::describe_face(const Chain&, Spot);
template void Stepper<1>::factor(std::vector<EndNode>&, Spot);
template Stepper<4>::Stepper(std::span<const Cabin* const>, std::span<const double>,
                             InstructionSet);
template Stepper<4>::Stepper(std::span<const Cabin* const>, std::span<const double>, StepKernel<4>);
template Stepper<4>::Stepper(std::span<const Cabin>, double, InstructionSet);
template void Stepper<4>::lay_out(std::span<const Cabin* const>);
template void Stepper<4>::add_chain(const Chain&, std::size_t, int, double);
template void Stepper<4>::describe_face(const Chain&, Spot);
template void Stepper<4>::factor(std::vector<EndNode>&, Spot);
template Stepper<8>::Stepper(std::span<const Cabin* const>, std::span<const double>,
                             InstructionSet);
template Stepper<8>::Stepper(std::span<const Cabin* const>, std::span<const double>, StepKernel<8>);
template Stepper<8>::Stepper(std::span<const Cabin>, double, InstructionSet);
template void Stepper<8>::lay_out(std::span<const Cabin* const>);
template void Stepper<8>::add_chain(const Chain&, std::size_t, int, double);
template void Stepper<8>::describe_face(const Chain&, Spot);
template void Stepper<8>::factor(std::vector<EndNode>&, Spot);

}  // namespace cabinload::network
