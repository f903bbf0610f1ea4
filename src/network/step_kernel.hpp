// SPDX-License-Identifier: Apache-2.0
// The arithmetic of a step. Included once for each instruction set, in a namespace of its own
// (CABINLOAD_KERNEL): no function here may be shared between them.
#ifdef __FMA__
#include <immintrin.h>
#endif
#include <cabinload/network/step_data.hpp>
#include <cstddef>

namespace cabinload::network::detail::CABINLOAD_KERNEL {
namespace {

#if CABINLOAD_WIDTH == 8
inline constexpr int kWidest = 8;
#else
inline constexpr int kWidest = 4;
#endif

/// What the processor does at once, for numbers of W lanes. (A benchmark brings its own, to count.)
#ifndef CABINLOAD_OWN_VECTOR
template <int W>
struct Vector;
template <>
struct Vector<4> {
  using Real = double __attribute__((vector_size(32), may_alias));
  using Bits = unsigned long long __attribute__((vector_size(32), may_alias));
  /// a b + c, rounded once where the machine can
  static Real fma(Real a, Real b, Real c) {
#ifdef __FMA__
    return _mm256_fmadd_pd(a, b, c);
#else
    return a * b + c;
#endif
  }
  /// `yes` where a > b
  static Real where_above(Real a, Real b, Real yes, Real no) {
    return a > b ? yes : no;
  }
  /// c - a b
  static Real less(Real a, Real b, Real c) {
#ifdef __FMA__
    return _mm256_fnmadd_pd(a, b, c);
#else
    return c - a * b;
#endif
  }
};
#if CABINLOAD_WIDTH == 8
template <>
struct Vector<8> {
  using Real = double __attribute__((vector_size(64), may_alias));
  using Bits = unsigned long long __attribute__((vector_size(64), may_alias));
  static Real where_above(Real a, Real b, Real yes, Real no) { return a > b ? yes : no; }
  static Real fma(Real a, Real b, Real c) { return _mm512_fmadd_pd(a, b, c); }
  static Real less(Real a, Real b, Real c) { return _mm512_fnmadd_pd(a, b, c); }
};
#endif

/// First guess of the cube root of a positive number, within 5 %: a third of the exponent.
template <int W>
typename Vector<W>::Real cube_root_guess(typename Vector<W>::Real x) {
  using V = typename Vector<W>::Real;
  using Bits = typename Vector<W>::Bits;
  constexpr double kWhole = 4503599627370496.0;  // 2^52: whole numbers in the low bits
  const V high = (V)(((Bits)x >> 32) | (Bits)(kWhole - V{})) - kWhole;
  return (V)((Bits)(high * (1.0 / 3.0) + 715094163.0 + kWhole) << 32);
}
#endif

/// Below this the least inside film rules anyway; keeps the cube root away from zero [K].
inline constexpr double kLeastDifference_K = 1e-9;

/// The packs of lanes H W to H W + W - 1.
template <int L, int H>
class Kernel {
  static constexpr std::ptrdiff_t W = L < 4 ? 4 : L < kWidest ? L : kWidest;  // counts offsets
  static constexpr int kStride = L < W ? 1 : L / W;                           // packs of a column
  using V = typename Vector<W>::Real;
  using Each = typename StepData<L>::Each;

  static V load(const double* x) { return *reinterpret_cast<const V*>(x); }
  static V load(const Each& e) { return load(e.x + H * W); }
  static void store(double* x, V v) { *reinterpret_cast<V*>(x) = v; }
  static void store(Each& e, V v) { store(e.x + H * W, v); }
  static V all(double x) { return x - V{}; }
  static V fma(V a, V b, V c) { return Vector<W>::fma(a, b, c); }
  static V less(V a, V b, V c) { return Vector<W>::less(a, b, c); }

  /// The numbers of a pack's faces.
  struct FacePack {
    double* x;
    [[nodiscard]] V operator()(Face f) const { return load(x + f * W); }
    void set(Face f, V v) const { store(x + f * W, v); }
  };
  static FacePack face(const StepData<L>& s, int b) { return {s.faces + b * (kFaceNumbers * W)}; }
  static double* node(const StepData<L>& s, int i) { return s.nodes + i * (kNodeNumbers * W); }
  static V number(const double* node, Node f) { return load(node + f * W); }

  static V above(V a, V b, V yes, V no) { return Vector<W>::where_above(a, b, yes, no); }
  static V larger(V a, V b) { return Vector<W>::where_above(a, b, a, b); }

  /// Of a positive number: two steps of Halley's method, relative error below 1e-12.
  static V cube_root(V x) {
    V y = cube_root_guess<W>(x);
    for (int i = 0; i < 2; ++i) {
      const V cube = y * y * y;
      y *= fma(all(2.0), x, cube) / fma(all(2.0), cube, x);
    }
    return y;
  }

  static V fourth_power(V T) {
    const V square = T * T;
    return square * square;
  }

  /// Conductance from the inner faces to the air.
  static void see_air(StepData<L>& s) {
    const V T_air = load(s.T_air), mixing = load(s.mixing);
    const V least_K = all(kLeastDifference_K), least_W_m2K = all(kLeastFilm_W_m2K);
    for (int b = H; b < s.count; b += kStride) {
      const FacePack f = face(s, b);
      const V dT = f(kT_inner) - T_air;
      const V by_sign = above(dT, all(0), f(kFilmWarm), f(kFilmCool));
      const V size = larger(larger(dT, T_air - f(kT_inner)), least_K);
      const V film = larger(by_sign * cube_root(size), least_W_m2K);
      V to_air = f(kToAirLaw) * (film + mixing);
      if (s.packs[b].flags & kHasStated) to_air += f(kToAirStated);
      f.set(kToAir, to_air);
    }
  }

  /// p of the inner nodes of a pack from what they inherit from outside: back outwards.
  static void sweep_back(double* last, int levels) {
    V p = number(last, kNodeP);
    for (int j = levels; --j > 0;) {
      last -= kNodeNumbers * W * kStride;
      p = fma(number(last, kNodeNext), p, number(last, kNodeP));
      store(last + kNodeP * W, p);
    }
  }

  /// Of the outdoors, the same for all faces of a lane.
  struct Seen {
    V still, wind, T_out, sky, air, ground, under, star;
    explicit Seen(const StepData<L>& s)
        : still(load(s.film_still)),
          wind(load(s.film_wind)),
          T_out(load(s.T_out)),
          sky(fourth_power(load(s.T_sky))),
          air(fourth_power(T_out)),
          ground(fourth_power(load(s.T_ground))),
          under(fourth_power(load(s.T_under))) {
      const V T_star = load(s.T_star);
      star = 4.0 * kSigma_W_m2K4 * T_star * T_star * T_star;
    }
  };

  /// What the outside faces see: conductances, and their sum times temperatures.
  static void see_outside(const FacePack& f, unsigned flags, const Seen& seen, V& G, V& GT) {
    V film = fma(f(kFilmStill), seen.still, f(kFilmWind) * seen.wind);
    if (flags & kHasStated) film += f(kFilmStated);
    const V T = f(kT_outer), cube = f(kLongWave) * T * T * T;  // tangent of sigma T^4
    G = fma(all(4.0), cube, film);
    GT = fma(film, seen.T_out, 3.0 * cube * T);
    GT = fma(f(kSky), seen.sky, GT);
    GT = fma(f(kAir), seen.air, GT);
    if (flags & kHasGround) GT = fma(f(kGround), seen.ground, GT);
    if (flags & kHasUnder) GT = fma(f(kUnder), seen.under, GT);
    if (flags & kHasFixed) {
      const V fixed = f(kFixed);
      G += fixed;
      GT = fma(fixed, f(kT_fixed), GT);
    }
    if (flags & kHasOutsideCover) {
      const V part = 1.0 / (1.0 + f(kOutsideCover_m2K_W) * G / f(kArea));
      GT = (GT + f(kOutsideCover_W)) * part;
      G *= part;
    }
  }

  /// A pack's inner ends onto air and star: five sums.
  struct Sums {
    V x[5];
  };

  /// Chains onto their inner ends, these onto air and star.
  static void eliminate(const StepData<L>& s, int b, const Seen& seen, Sums& sums) {
    const FacePack f = face(s, b);
    const Pack& pack = s.packs[b];
    V G = all(0), source = f(kOuter_W);
    if (pack.flags & kHasOutside) {
      V GT;
      see_outside(f, pack.flags, seen, G, GT);
      source += GT;
    }
    V to_air = f(kToAir), to_star = f(kToStarLaw) * seen.star;
    if (pack.flags & kHasStated) to_star += f(kToStarStated);
    if (pack.flags & kHasInsideCover) {
      const V part = 1.0 / (1.0 + f(kInsideCover_m2K_W) * (to_air + to_star) / f(kArea));
      to_air *= part;
      to_star *= part;
    }
    V rhs_outer = fma(f(kK_outer), f(kT_outer), source);
    V rhs_inner = fma(f(kK_inner), f(kT_inner), f(kInner_W));
    V diag_inner = f(kDiag_inner) + to_air + to_star;
    if (pack.levels > 0) {
      rhs_outer = fma(f(kG_first), number(node(s, pack.first_node), kNodeP), rhs_outer);
      for (int j = pack.first_inmost; j < pack.levels; ++j) {
        const double* n = node(s, pack.first_node + j * kStride);
        rhs_inner = fma(number(n, kNodeToInner), number(n, kNodeP), rhs_inner);
      }
    }
    if (pack.flags & kHasSingle) {
      const V single = f(kSingle);
      rhs_inner = fma(single, rhs_outer, rhs_inner);
      diag_inner = fma(single, G, diag_inner);
    }
    // Both inverses by one division: 1/outer, and 1/(inner - through^2/outer) = outer/rest.
    const V diag_outer = f(kDiag_outer) + G, through = f(kThrough);
    const V rest = less(through, through, diag_inner * diag_outer);
    const V over = 1.0 / (rest * diag_outer);
    const V over_outer = over * rest, over_inner = over * diag_outer * diag_outer;
    rhs_inner = fma(through * over_outer, rhs_outer, rhs_inner);
    const V by_air = to_air * over_inner, by_star = to_star * over_inner;
    f.set(kG_outside, G);
    f.set(kSource_outside, source);
    f.set(kRhs_outer, rhs_outer);
    f.set(kOver_outer, over_outer);
    f.set(kOver_inner, over_inner);
    f.set(kInner_0, rhs_inner * over_inner);
    f.set(kInnerByAir, by_air);
    f.set(kInnerByStar, by_star);
    if constexpr (L == 1) {
      const V term[5] = {less(by_air, to_air, to_air), by_air * to_star, by_air * rhs_inner,
                         less(by_star, to_star, to_star), by_star * rhs_inner};
      for (int i = 0; i < 5; ++i) store(f.x + (kTerm + i) * W, term[i]);
    } else {
      sums.x[0] += less(by_air, to_air, to_air);
      sums.x[1] += by_air * to_star;
      sums.x[2] += by_air * rhs_inner;
      sums.x[3] += less(by_star, to_star, to_star);
      sums.x[4] += by_star * rhs_inner;
    }
  }

 public:
  static void recall(StepData<L>& s) {
    for (int b = H; b < s.count; b += kStride) {
      const Pack& pack = s.packs[b];
      if (pack.levels == 0) continue;
      double* n = node(s, pack.first_node);
      V p = number(n, kNodeHistory) * number(n, kNodeT);
      store(n + kNodeP * W, p);
      for (int j = 1; j < pack.levels; ++j) {
        n += kNodeNumbers * W * kStride;
        p = fma(number(n, kNodeBefore), p, number(n, kNodeHistory) * number(n, kNodeT));
        store(n + kNodeP * W, p);
      }
      sweep_back(n, pack.levels);
    }
  }

  static void prepare(StepData<L>& s) {
    see_air(s);
    const Seen seen(s);
    Sums sums{};
    for (int b = H; b < s.count; b += kStride) eliminate(s, b, seen, sums);
    if constexpr (L == 1) {  // one after another: the order that more lanes have
      double x[5] = {};
      for (int b = 0; b < s.count; ++b)
        for (int r = 0; r < W; ++r)
          for (int i = 0; i < 5; ++i) x[i] += face(s, b).x[(kTerm + i) * W + r];
      for (int i = 0; i < 5; ++i) sums.x[i] = all(x[i]);
    }
    const V K_air = load(s.K_air), T_air = load(s.T_air), exchange = load(s.exchange);
    const V air_diag = K_air + exchange + sums.x[0], cross = sums.x[1];
    const V air_rhs = fma(K_air, T_air, fma(exchange, load(s.T_out), load(s.air_W) + sums.x[2]));
    const V star_diag = kTie_W_K + sums.x[3];
    const V star_rhs = load(s.radiant_W) + kTie_W_K * load(s.T_star) + sums.x[4];
    // air_diag Ta - cross Ts = air_rhs + Q;  -cross Ta + star_diag Ts = star_rhs
    const V over = 1.0 / less(cross, cross, air_diag * star_diag);
    const V air_per_W = star_diag * over, star_per_W = cross * over,
            star_per_star_W = air_diag * over;
    const V air_0 = fma(air_per_W, air_rhs, star_per_W * star_rhs);
    const V over_theta = load(s.over_theta_air);
    store(s.air_per_W, air_per_W);
    store(s.star_per_W, star_per_W);
    store(s.star_per_star_W, star_per_star_W);
    store(s.air_0, air_0);
    store(s.star_0, fma(star_per_W, air_rhs, star_per_star_W * star_rhs));
    store(s.free_K, fma(over_theta, air_0 - T_air, T_air));
    store(s.per_W, over_theta * air_per_W);
  }

 private:
  /// Inner nodes of a pack to the end of the step, and what they recall in the next.
  static void follow(const StepData<L>& s, const Pack& pack, V outer, V inner) {
    if (pack.levels == 0) return;
    double* n = node(s, pack.first_node);
    V next_p = all(0);
    for (int j = 0;;) {
      const V before = number(n, kNodeT);
      const V during =
          fma(number(n, kNodeS), inner, fma(number(n, kNodeQ), outer, number(n, kNodeP)));
      const V T = fma(number(n, kNodeOverTheta), during - before, before);
      next_p = fma(number(n, kNodeBefore), next_p, number(n, kNodeHistory) * T);
      store(n + kNodeT * W, T);
      store(n + kNodeP * W, next_p);
      if (++j == pack.levels) break;
      n += kNodeNumbers * W * kStride;
    }
    sweep_back(n, pack.levels);
  }

 public:
  static void finish(StepData<L>& s) {
    const V unit_W = load(s.unit_W);
    const V Ta = fma(load(s.air_per_W), unit_W, load(s.air_0));
    const V Ts = fma(load(s.star_per_W), unit_W, load(s.star_0));
    V outside_W = all(0), windows_W = all(0), coldest = all(1e9);
    for (int b = H; b < s.count; b += kStride) {
      const FacePack f = face(s, b);
      const Pack& pack = s.packs[b];
      const V inner = fma(f(kInnerByStar), Ts, fma(f(kInnerByAir), Ta, f(kInner_0)));
      V outer = fma(f(kThrough), inner, f(kRhs_outer)) * f(kOver_outer);
      if (pack.flags & kHasSingle) outer = above(f(kSingle), all(0), inner, outer);
      if (pack.flags & kHasOutside) {
        const V heat = less(f(kG_outside), outer, f(kSource_outside));
        f.set(kHeatOutside, heat);
        if constexpr (L != 1) {
          outside_W += heat;
          if (pack.flags & kHasWindow) windows_W = fma(f(kIsWindow), heat, windows_W);
        }
      }
      const V T_outer = f(kT_outer), T_inner = f(kT_inner);
      const V T_inner_end = fma(f(kOverTheta_inner), inner - T_inner, T_inner);
      f.set(kT_outer, fma(f(kOverTheta_outer), outer - T_outer, T_outer));
      f.set(kT_inner, T_inner_end);
      coldest = above(coldest, T_inner_end, T_inner_end, coldest);
      follow(s, pack, outer, inner);
    }
    if constexpr (L == 1) {
      double sum_W = 0, panes_W = 0, least = coldest[0];
      for (int b = 0; b < s.count; ++b)
        for (int r = 0; r < W; ++r) {
          const double heat_W = face(s, b).x[kHeatOutside * W + r];
          sum_W += heat_W;
          if (face(s, b).x[kIsWindow * W + r] > 0) panes_W += heat_W;
        }
      for (int r = 1; r < W; ++r) least = coldest[r] < least ? coldest[r] : least;
      outside_W = all(sum_W);
      windows_W = all(panes_W);
      coldest = all(least);
    }
    store(s.envelope_W, outside_W - windows_W);
    store(s.windows_W, windows_W);
    store(s.exchange_W, load(s.exchange) * (load(s.T_out) - Ta));
    store(s.coldest_K, coldest);
    const V T_air = load(s.T_air);
    store(s.T_air, fma(load(s.over_theta_air), Ta - T_air, T_air));
    store(s.T_star, Ts);
  }
};

/// All lanes, one register's after another's.
template <int L>
struct Whole {
  static constexpr bool kTwo = L > kWidest;
  static void recall(StepData<L>& s) {
    Kernel<L, 0>::recall(s);
    if constexpr (kTwo) Kernel<L, 1>::recall(s);
  }
  static void prepare(StepData<L>& s) {
    Kernel<L, 0>::prepare(s);
    if constexpr (kTwo) Kernel<L, 1>::prepare(s);
  }
  static void finish(StepData<L>& s) {
    Kernel<L, 0>::finish(s);
    if constexpr (kTwo) Kernel<L, 1>::finish(s);
  }
};

}  // namespace

template <int L>
StepKernel<L> kernel() {
  constexpr int kWidth = L < 4 ? 4 : L < kWidest ? L : kWidest;
  return {kWidth, &Whole<L>::recall, &Whole<L>::prepare, &Whole<L>::finish};
}
template StepKernel<1> kernel<1>();
template StepKernel<4> kernel<4>();
template StepKernel<8> kernel<8>();

}  // namespace cabinload::network::detail::CABINLOAD_KERNEL
