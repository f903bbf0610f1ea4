// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/network/stepper.hpp>
#include <cmath>

namespace cabinload::network {
namespace {

/// Conductances per area that stand for the films when theta is chosen [W m-2 K-1].
constexpr double kNominalOutside_W_m2K = 20.0, kNominalInside_W_m2K = 8.0;
/// A node is "faster than the step" when dt * sum G > this * C: the midpoint rule would ring.
constexpr double kFastNode_1 = 2.0;
/// Ties the radiant star to its own last value, so that a cabin without radiation has a solution
/// [W/K].
constexpr double kStarTie_W_K = 1e-9;
/// Air density for the air node's capacity [kg/m3]; the node is effective, not exact.
constexpr double kAirDensity_kg_m3 = 1.15;

constexpr double kSigma = core::kStefanBoltzmann_W_m2K4;

double over_theta(double C_J_K, double G_W_K, double dt_s) {
  return dt_s * G_W_K > kFastNode_1 * C_J_K ? 1.0 : 2.0;
}

template <int L>
Lane<L> cube_root(const Lane<L>& x) {
  Lane<L> y;
  for (int l = 0; l < L; ++l) y[l] = std::cbrt(x[l]);
  return y;
}

/// Linear long-wave coefficient sigma (a^2 + b^2)(a + b), so that it times (a - b) is exact.
template <int L>
Lane<L> long_wave(const Lane<L>& a_K, const Lane<L>& b_K) {
  return kSigma * (a_K * a_K + b_K * b_K) * (a_K + b_K);
}

}  // namespace

template <int L>
Drive<L>::Drive(std::size_t chains) {
  T_out_K = T_sky_K = T_ground_K = Lane<L>::Constant(293.15);
  wind_m_s = exchange_W_K = mixing_W_m2K = air_W = radiant_W = Lane<L>::Zero();
  outer_W.assign(chains, Lane<L>::Zero());
  inner_W.assign(chains, Lane<L>::Zero());
  cover_m2K_W.assign(chains, Lane<L>::Zero());
}

template <int L>
Stepper<L>::Stepper(std::span<const Cabin> cabins, double dt_s) {
  CABINLOAD_ASSERT(cabins.size() == static_cast<std::size_t>(L) && dt_s > 0);
  const std::size_t chains = cabins[0].chains.size();
  const auto each = [&](std::size_t chain, auto value) {
    Lane<L> lane;
    for (int l = 0; l < L; ++l) lane[l] = value(cabins[static_cast<std::size_t>(l)].chains[chain]);
    return lane;
  };
  for (std::size_t c = 0; c < chains; ++c) {
    const Chain& first = cabins[0].chains[c];
    const std::size_t n = first.C_J_K.size();
    for (std::size_t i = 0; i < n; ++i) {
      Lane<L> C, G, over;
      for (int l = 0; l < L; ++l) {
        const Chain& chain = cabins[static_cast<std::size_t>(l)].chains[c];
        CABINLOAD_ASSERT(chain.C_J_K.size() == n && chain.outside == first.outside);
        double sum_W_K = 0;
        if (i > 0) sum_W_K += chain.G_W_K[i - 1];
        if (i + 1 < n) sum_W_K += chain.G_W_K[i];
        if (i == 0 && chain.outside != vehicle::Outside::adiabatic)
          sum_W_K += kNominalOutside_W_m2K * chain.area_m2;
        if (i + 1 == n) sum_W_K += kNominalInside_W_m2K * chain.area_m2;
        C[l] = chain.C_J_K[i];
        G[l] = i + 1 < n ? chain.G_W_K[i] : 0.0;
        over[l] = over_theta(C[l], sum_W_K, dt_s);
      }
      C_.push_back(C);
      G_.push_back(G);
      over_theta_.push_back(over);
      K_.push_back(C * over / dt_s);
    }
    end_.push_back(C_.size());
    area_.push_back(each(c, [](const Chain& x) { return x.area_m2; }));
    radiant_area_.push_back(each(c, [](const Chain& x) { return x.radiant_area_m2; }));
    eps_sky_.push_back(
        each(c, [](const Chain& x) { return x.emittance_out_1 * x.view.sky_1 * x.area_m2; }));
    eps_air_.push_back(
        each(c, [](const Chain& x) { return x.emittance_out_1 * x.view.air_1 * x.area_m2; }));
    eps_ground_.push_back(
        each(c, [](const Chain& x) { return x.emittance_out_1 * x.view.ground_1 * x.area_m2; }));
    T_fixed_.push_back(each(c, [](const Chain& x) { return x.T_fixed_K; }));
    film_warm_.push_back(each(c, [](const Chain& x) { return x.film.surface_warmer; }));
    film_cool_.push_back(each(c, [](const Chain& x) { return x.film.surface_cooler; }));
    fixed_outside_.push_back(each(c, [](const Chain& x) { return x.outside_film_W_m2K; }));
    fixed_inside_.push_back(each(c, [](const Chain& x) { return x.inside_film_W_m2K; }));
    outside_.push_back(first.outside);
    covered_.push_back(first.cover.side == vehicle::CoverSide::inside);
    is_window_.push_back(first.group == Group::window);
  }
  for (int l = 0; l < L; ++l) {
    const Cabin& cabin = cabins[static_cast<std::size_t>(l)];
    double inside_W_K = 0;
    for (const Chain& chain : cabin.chains)
      inside_W_K += 0.4 * kNominalInside_W_m2K * chain.area_m2;
    C_air_[l] = cabin.volume_m3 * kAirDensity_kg_m3 * core::kSpecificHeatDryAir_J_kgK *
                cabin.air_capacity_factor_1;
    over_theta_air_[l] = over_theta(C_air_[l], inside_W_K, dt_s);
  }
  K_air_ = C_air_ * over_theta_air_ / dt_s;
  T_.resize(C_.size());
  reduced_.resize(C_.size());
  inverse_.resize(C_.size());
  g_air_.resize(chains);
  g_star_.resize(chains);
  outer_.resize(chains);
  start_at(Lane<L>::Constant(293.15));
}

template <int L>
void Stepper<L>::start_at(const Lane<L>& T_K) {
  for (auto& T : T_) T = T_K;
  T_air_ = T_star_ = T_K;
}

template <int L>
typename Stepper<L>::Outer Stepper<L>::outer_end(std::size_t c, const Drive<L>& d,
                                                 const Lane<L>& T_K) const {
  const Lane<L>& area = area_[c];
  switch (outside_[c]) {
    case vehicle::Outside::open_air: {
      const Lane<L> film =
          (fixed_outside_[c] > 0).select(fixed_outside_[c], outside_film_W_m2K(d.wind_m_s));
      const Lane<L> air = film * area + eps_air_[c] * long_wave<L>(d.T_out_K, T_K);
      const Lane<L> sky = eps_sky_[c] * long_wave<L>(d.T_sky_K, T_K);
      const Lane<L> ground = eps_ground_[c] * long_wave<L>(d.T_ground_K, T_K);
      return {air + sky + ground, air * d.T_out_K + sky * d.T_sky_K + ground * d.T_ground_K};
    }
    case vehicle::Outside::underbody: {
      // Shaded ground under the vehicle is taken at outdoor air temperature (plain).
      const Lane<L> G = outside_film_W_m2K(Lane<L>(kUnderbodyWindShare_1 * d.wind_m_s)) * area +
                        eps_ground_[c] * long_wave<L>(d.T_out_K, T_K);
      return {G, G * d.T_out_K};
    }
    case vehicle::Outside::fixed: {
      const Lane<L> G = (fixed_outside_[c] > 0)
                            .select(fixed_outside_[c], Lane<L>::Constant(kNominalOutside_W_m2K)) *
                        area;
      return {G, G * T_fixed_[c]};
    }
    case vehicle::Outside::adiabatic:
      break;
  }
  return {Lane<L>::Zero(), Lane<L>::Zero()};
}

template <int L>
Response<L> Stepper<L>::prepare(const Drive<L>& d) {
  const Lane<L> star_W_m2K = 4.0 * kSigma * T_star_ * T_star_ * T_star_;
  Lane<L> air_diag = K_air_ + d.exchange_W_K;
  Lane<L> air_rhs = K_air_ * T_air_ + d.exchange_W_K * d.T_out_K + d.air_W;
  Lane<L> star_diag = Lane<L>::Constant(kStarTie_W_K), cross = Lane<L>::Zero();
  Lane<L> star_rhs = d.radiant_W + kStarTie_W_K * T_star_;
  std::size_t i = 0;
  for (std::size_t c = 0; c < end_.size(); ++c) {
    const std::size_t last = end_[c] - 1;
    outer_[c] = outer_end(c, d, T_[i]);
    Lane<L> diag = K_[i] + G_[i] + outer_[c].G_W_K;
    Lane<L> rhs = K_[i] * T_[i] + outer_[c].GT_W + d.outer_W[c];
    for (; i < last; ++i) {
      inverse_[i] = 1.0 / diag;
      reduced_[i] = rhs;
      const Lane<L> w = G_[i] * inverse_[i];
      diag = K_[i + 1] + G_[i + 1] + G_[i] - w * G_[i];
      rhs = K_[i + 1] * T_[i + 1] + w * rhs;
    }
    const Lane<L> dT = T_[last] - T_air_;
    const Lane<L> law = ((dT > 0).select(film_warm_[c], film_cool_[c]) * cube_root<L>(dT.abs()))
                            .max(kLeastInsideFilm_W_m2K) +
                        d.mixing_W_m2K;
    Lane<L> ga = (fixed_inside_[c] > 0).select(fixed_inside_[c], law) * area_[c];
    Lane<L> gs = radiant_area_[c] * star_W_m2K;
    if (covered_[c]) {
      const Lane<L> part = 1.0 / (1.0 + d.cover_m2K_W[c] * (ga + gs) / area_[c]);
      ga *= part;
      gs *= part;
    }
    diag += ga + gs;
    rhs += d.inner_W[c];
    inverse_[last] = 1.0 / diag;
    reduced_[last] = rhs;
    g_air_[c] = ga;
    g_star_[c] = gs;
    const Lane<L> wa = ga * inverse_[last], ws = gs * inverse_[last];
    air_diag += ga - wa * ga;
    star_diag += gs - ws * gs;
    cross += wa * gs;
    air_rhs += wa * rhs;
    star_rhs += ws * rhs;
    ++i;
  }
  // air_diag Ta - cross Ts = air_rhs + Q;  -cross Ta + star_diag Ts = star_rhs
  const Lane<L> over = 1.0 / (air_diag * star_diag - cross * cross);
  air_per_W_ = star_diag * over;
  air_0_ = air_per_W_ * air_rhs + cross * over * star_rhs;
  star_per_W_ = cross * over;
  star_0_ = star_per_W_ * air_rhs + air_diag * over * star_rhs;
  return {T_air_ + over_theta_air_ * (air_0_ - T_air_), over_theta_air_ * air_per_W_};
}

template <int L>
void Stepper<L>::finish(const Drive<L>& d, const Lane<L>& unit_W) {
  const Lane<L> Ta = air_0_ + air_per_W_ * unit_W;
  const Lane<L> Ts = star_0_ + star_per_W_ * unit_W;
  flows_ = {Lane<L>::Zero(),       Lane<L>::Zero(),
            Lane<L>::Zero(),       d.exchange_W_K * (d.T_out_K - Ta),
            d.air_W + d.radiant_W, unit_W};
  for (std::size_t c = end_.size(); c-- > 0;) {
    const std::size_t first = c == 0 ? 0 : end_[c - 1];
    std::size_t i = end_[c] - 1;
    Lane<L> T = (reduced_[i] + g_air_[c] * Ta + g_star_[c] * Ts) * inverse_[i];
    T_[i] += over_theta_[i] * (T - T_[i]);
    while (i > first) {
      --i;
      T = (reduced_[i] + G_[i] * T) * inverse_[i];
      T_[i] += over_theta_[i] * (T - T_[i]);
    }
    const Lane<L> in = outer_[c].GT_W - outer_[c].G_W_K * T + d.outer_W[c];
    (is_window_[c] ? flows_.windows_W : flows_.envelope_W) += in;
    flows_.sun_inside_W += d.inner_W[c];
  }
  T_air_ += over_theta_air_ * (Ta - T_air_);
  T_star_ = Ts;
}

template <int L>
Lane<L> Stepper<L>::stored_J() const {
  Lane<L> sum = C_air_ * T_air_;
  for (std::size_t i = 0; i < T_.size(); ++i) sum += C_[i] * T_[i];
  return sum;
}

template struct Drive<1>;
template struct Drive<8>;
template class Stepper<1>;
template class Stepper<8>;

}  // namespace cabinload::network
