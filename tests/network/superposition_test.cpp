// SPDX-License-Identifier: Apache-2.0
#include <cabinload/network/superposition.hpp>
#include <cmath>

#include "support/catch.hpp"
#include "support/sample_cabin.hpp"

namespace network = cabinload::network;
namespace test = cabinload::test;
namespace vehicle = cabinload::vehicle;
using network::Lane;
using network::Superposition;

namespace {

constexpr double kRef_K = 297.15;

/// Every chain's outside a cause of its own, then what is inside: sun, air, star.
void act(const network::Cabin& cabin, const network::Drive<1>& d, Superposition& parts) {
  const std::size_t n = cabin.chains.size();
  for (std::size_t c = 0; c < n; ++c) {
    const Superposition::Outside outside = parts.outside(d, c);
    parts.set_outer(c, c, outside.seen_W);
    parts.set_outer(n, c, outside.sun_W);
    parts.set_inner(n, c, d.at[c].inner_W[0]);
  }
  parts.set_air(n + 1, d.exchange_W_K[0] * (d.T_out_K[0] - kRef_K) + d.air_W[0]);
  parts.set_star(n + 1, d.radiant_W[0]);
}

/// Steps full run and parts for two days; the unit toggles. Worst gap of heats, of heats by what
/// they do to the air in a step, and of faces.
struct Gap {
  double W = 0, air_K = 0, face_K = 0;
};
Gap worst_gap(const network::Cabin& cabin, double dt_s, int place) {
  network::Stepper<1> full(std::span(&cabin, 1), dt_s);
  full.start_at(Lane<1>::Constant(310.0));
  Superposition parts(full, cabin.chains.size() + 2, kRef_K, place);
  parts.start_at(310.0);
  network::Drive<1> drive(cabin.chains.size());
  Gap worst;
  for (double t_s = 0; t_s < 2 * 86400.0; t_s += dt_s) {
    test::sample_drive(cabin, t_s + 0.5 * dt_s, drive);
    for (std::size_t c = 0; c < cabin.chains.size(); ++c)
      if (cabin.chains[c].outside_cover.side == vehicle::CoverSide::outside) {
        drive.at[c].outside_cover_m2K_W = t_s < 86400.0 ? 0.3 : 0.0;
        drive.at[c].outside_cover_W = t_s < 86400.0 ? 150.0 : 0.0;
      }
    const auto response = full.prepare(drive);
    const double per_W =
        place < 0 ? response.per_W[0] : full.face_per_W(static_cast<std::size_t>(place));
    act(cabin, drive, parts);
    const double removed_W = std::fmod(t_s, 5400.0) < 2700.0 ? 1200.0 : -25.0;
    if (place >= 0) full.heat_face(static_cast<std::size_t>(place), -removed_W);
    full.finish(drive, Lane<1>::Constant(place < 0 ? -removed_W : 0.0));
    parts.step();
    double sum_W = 0;
    for (std::size_t c = 0; c <= parts.rest(); ++c) sum_W += parts.removed_W(c);
    worst.W = std::max(worst.W, std::abs(sum_W - removed_W));
    worst.air_K = std::max(worst.air_K, per_W * std::abs(sum_W - removed_W));
    for (std::size_t c = 0; c < cabin.chains.size(); ++c)
      worst.face_K = std::max(worst.face_K, std::abs(parts.T_inner_K(c) - full.T_inner_K(c)));
  }
  return worst;
}

}  // namespace

TEST_CASE("network: what the causes do adds up to the full run, heats and faces",
          "[network][property]") {
  // The same equations in other columns: only rounding separates them. A face tells the air little
  // within a short step, so that the air's own rounding is much heat there.
  constexpr double kHeat_W = 1e-7, kAir_K = 1e-9, kFace_K = 1e-7;
  vehicle::Vehicle v = test::sample_vehicle();
  v.windows.push_back(v.windows[0]);
  v.windows[1].inside_cover = {};
  v.windows[1].outside_cover.side = vehicle::CoverSide::outside;
  v.surfaces[1].layers = {{"sheet", 0.0008, 50, 7800, 460}};  // one node
  v.surfaces[1].framing_fraction = 0;
  const network::Cabin cabin = network::assemble(v);
  for (const double dt_s : {10.0, 60.0, 600.0})
    for (const int place : {-1, 0}) {
      const Gap gap = worst_gap(cabin, dt_s, place);
      INFO("step " << dt_s << " s, place " << place << ": " << gap.W << " W, " << gap.air_K
                   << " K, faces " << gap.face_K << " K");
      if (place < 0) CHECK(gap.W < kHeat_W);
      CHECK(gap.air_K < kAir_K);
      CHECK(gap.face_K < kFace_K);
    }
}
