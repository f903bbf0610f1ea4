// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <array>
#include <cabinload/wiring/fuse.hpp>
#include <limits>

namespace cabinload::wiring {
namespace {

constexpr std::array kNec_A{1.0,   3.0,   6.0,   10.0,  15.0,  20.0,  25.0,  30.0,  35.0,  40.0,
                            45.0,  50.0,  60.0,  70.0,  80.0,  90.0,  100.0, 110.0, 125.0, 150.0,
                            175.0, 200.0, 225.0, 250.0, 300.0, 350.0, 400.0, 450.0, 500.0, 600.0};
constexpr std::array kIec_A{2.0,  4.0,  6.0,  10.0,  16.0,  20.0,  25.0,  32.0,  40.0,
                            50.0, 63.0, 80.0, 100.0, 125.0, 160.0, 200.0, 250.0, 315.0};
// From memory, all below.
constexpr std::array kBlade_A{1.0,  2.0,  3.0,  4.0,  5.0,  7.5, 10.0,
                              15.0, 20.0, 25.0, 30.0, 35.0, 40.0};
constexpr std::array kBoltSmall_A{30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0, 125.0, 150.0, 200.0};
constexpr std::array kBoltLarge_A{60.0,  80.0,  100.0, 125.0, 150.0, 175.0, 200.0,
                                  225.0, 250.0, 300.0, 350.0, 400.0, 500.0};
constexpr std::array kAnl_A{35.0,  40.0,  50.0,  60.0,  80.0,  100.0, 150.0, 175.0,
                            200.0, 225.0, 250.0, 300.0, 350.0, 400.0, 500.0};
constexpr std::array kTerminal_A{30.0,  40.0,  50.0,  60.0,  80.0,  90.0,  100.0,
                                 125.0, 150.0, 175.0, 200.0, 225.0, 250.0, 300.0};

struct Breaking {
  FuseFamily family;
  double up_to_V, breaks_A;
};
/// Sources in the header.
constexpr std::array<Breaking, 8> kBreaking{{{FuseFamily::blade, 32, 1000},
                                             {FuseFamily::bolt_small, 32, 2000},
                                             {FuseFamily::bolt_large, 32, 2000},
                                             {FuseFamily::anl, 32, 6000},
                                             {FuseFamily::terminal, 14, 10000},
                                             {FuseFamily::terminal, 32, 5000},
                                             {FuseFamily::terminal, 58, 2000},
                                             {FuseFamily::class_t, 125, 20000}}};

constexpr std::array kWeakToStrong{FuseFamily::blade,      FuseFamily::bolt_small,
                                   FuseFamily::bolt_large, FuseFamily::anl,
                                   FuseFamily::terminal,   FuseFamily::class_t};

}  // namespace

std::string_view name_of(FuseFamily family) {
  switch (family) {
    case FuseFamily::class_t:
      return "Class T";
    case FuseFamily::anl:
      return "ANL";
    case FuseFamily::terminal:
      return "battery terminal fuse (MRBF)";
    case FuseFamily::bolt_large:
      return "bolt-down fuse (MEGA class)";
    case FuseFamily::bolt_small:
      return "bolt-down fuse (MIDI class)";
    case FuseFamily::blade:
      return "blade fuse";
    case FuseFamily::iec:
      break;
  }
  return "IEC 60269 fuse-link";
}

std::span<const double> ratings_A(FuseFamily family) {
  switch (family) {
    case FuseFamily::class_t:
      return kNec_A;
    case FuseFamily::anl:
      return kAnl_A;
    case FuseFamily::terminal:
      return kTerminal_A;
    case FuseFamily::bolt_large:
      return kBoltLarge_A;
    case FuseFamily::bolt_small:
      return kBoltSmall_A;
    case FuseFamily::blade:
      return kBlade_A;
    case FuseFamily::iec:
      break;
  }
  return kIec_A;
}

std::optional<double> next_rating_A(FuseFamily family, double current_A) {
  const auto ratings = ratings_A(family);
  const auto at = std::lower_bound(ratings.begin(), ratings.end(), current_A);
  return at == ratings.end() ? std::nullopt : std::optional<double>(*at);
}

double small_conductor_limit_A(const AwgSize& size) {
  switch (size.number) {
    case 14:
      return 15;
    case 12:
      return 20;
    case 10:
      return 30;
    default:
      return std::numeric_limits<double>::infinity();
  }
}

double breaks_A(FuseFamily family, double voltage_V) {
  for (const Breaking& b : kBreaking)
    if (b.family == family && voltage_V <= b.up_to_V) return b.breaks_A;
  return 0;
}

std::optional<Fuse> choose_fuse(double least_A, double most_A, double voltage_V,
                                double short_circuit_A) {
  const bool unknown = short_circuit_A == std::numeric_limits<double>::infinity();
  for (const FuseFamily family : kWeakToStrong) {
    const double breaks = breaks_A(family, voltage_V);
    if (unknown ? family != FuseFamily::class_t : breaks < short_circuit_A) continue;
    const auto rating = next_rating_A(family, least_A);
    if (rating && *rating <= most_A) return Fuse{family, *rating, breaks};
  }
  return std::nullopt;
}

}  // namespace cabinload::wiring
