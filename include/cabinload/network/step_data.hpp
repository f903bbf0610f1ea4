// SPDX-License-Identifier: Apache-2.0
#pragma once

/// What the step kernel works on: plain arrays in packs. The kernel is compiled once for each
/// instruction set; nothing here or in it has inline functions of the standard library or of Eigen,
/// so that no code for a wide machine can stand in for that of a narrow one.
///
/// A *column* is a chain of one lane at its place. A *pack* is what is computed side by side: with
/// one lane four neighbouring columns, else one column of as many lanes as a register holds
/// (width), the packs of further lanes next to it. The numbers of a pack stand together: number f
/// of pack b begins at (b * numbers + f) * width.
namespace cabinload::network::detail {

// As the headers have them whose functions may not come in here; stepper.cpp sees that they agree.
inline constexpr double kLeastFilm_W_m2K = 0.3;
inline constexpr double kSigma_W_m2K4 = 5.670374419e-8;
inline constexpr double kTie_W_K = 1e-9;

/// Of the two ends of a chain.
enum Face {
  // States.
  kT_outer,
  kT_inner,
  // Outside: films by law, stated, to a fixed temperature; sigma x emittance x area by what is
  // seen.
  kFilmStill,
  kFilmWind,
  kFilmStated,
  kFixed,
  kSky,
  kAir,
  kGround,
  kUnder,
  kLongWave,
  // Inside: law by direction, stated x area, area where the law holds.
  kFilmWarm,
  kFilmCool,
  kToAirStated,
  kToAirLaw,
  kToStarStated,
  kToStarLaw,
  // The chain between its ends.
  kK_outer,
  kK_inner,
  kOverTheta_outer,
  kOverTheta_inner,
  kG_first,  ///< to the first inner node
  kDiag_outer,
  kDiag_inner,
  kThrough,
  kSingle,    ///< 1: one node is both ends
  kIsWindow,  ///< 1: a pane
  kArea,
  kC_outer,
  kC_inner,
  // What acts during the step.
  kOuter_W,
  kInner_W,
  kT_fixed,
  kInsideCover_m2K_W,
  kOutsideCover_m2K_W,
  kOutsideCover_W,
  // Of the current step.
  kG_outside,       ///< films and long wave
  kSource_outside,  ///< sum of G T, and sun
  kRhs_outer,
  kOver_outer,
  kOver_inner,
  kInner_0,  ///< inner T* = kInner_0 + kInnerByAir T_air* + kInnerByStar T_star*
  kInnerByAir,
  kInnerByStar,
  kToAir,
  kHeatOutside,
  kTerm,  ///< five parts of the sums over all faces
  kFaceNumbers = kTerm + 5
};

/// Of an inner node: T* = p + q T*_outer + s T*_inner.
enum Node {
  kNodeT,
  kNodeHistory,  ///< p_j = history T_j + before p_(j-1), then p_(j-1) += next_(j-1) p_j
  kNodeBefore,
  kNodeNext,
  kNodeP,
  kNodeQ,
  kNodeS,
  kNodeOverTheta,
  kNodeToInner,  ///< conductance to the inner end; 0 but at the inmost node
  kNodeC,
  kNodeNumbers
};

/// What any column of a pack has; the others have zeros there, which change nothing.
enum PackFlag : unsigned {
  kHasFixed = 1,
  kHasInsideCover = 2,
  kHasOutsideCover = 4,
  kHasSingle = 8,
  kHasOutside = 16,
  kHasStated = 32,  ///< a film that is stated
  kHasGround = 64,
  kHasUnder = 128,
  kHasWindow = 256,
};

/// What a pack of columns has, and where its inner nodes lie.
struct Pack {
  unsigned flags = 0;
  int levels = 0;        ///< inner nodes of the longest chain
  int first_node = 0;    ///< pack of nodes
  int first_inmost = 0;  ///< level from which on a node may be the inmost of its chain
};

/// All that a step works on.
template <int L>
struct StepData {
  double* faces = nullptr;
  double* nodes = nullptr;
  const Pack* packs = nullptr;
  int count = 0;  ///< packs
  /// A number a lane; with one lane the same in every place.
  struct alignas(64) Each {
    double x[L < 4 ? 4 : L];  // NOLINT(bugprone-branch-clone): of one L
  };
  Each K_air, over_theta_air, T_air, T_star;
  // Drive.
  Each T_out, T_sky, T_ground, T_under, film_still, film_wind, exchange, mixing, air_W, radiant_W;
  Each unit_W;
  // Of the current step: T* = _0 + _per_W Q.
  Each air_0, air_per_W, star_0, star_per_W, star_per_star_W;
  Each free_K, per_W;
  Each envelope_W, windows_W, exchange_W;  ///< heat during the step
  Each coldest_K;                          ///< of all inner faces, at the end of the step
};

/// A step in its parts, for one instruction set.
template <int L>
struct StepKernel {
  int width;                     ///< of a pack
  void (*recall)(StepData<L>&);  ///< what the inner nodes' history does to the next step
  void (*prepare)(StepData<L>&);
  void (*finish)(StepData<L>&);  ///< recalls as well
};

}  // namespace cabinload::network::detail
