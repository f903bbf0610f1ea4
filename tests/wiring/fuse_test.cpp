// SPDX-License-Identifier: Apache-2.0
#include <cabinload/wiring/fuse.hpp>
#include <cmath>
#include <limits>
#include <map>
#include <set>

#include "support/catch.hpp"
#include "support/checks.hpp"
#include "support/table.hpp"

namespace wiring = cabinload::wiring;
using cabinload::test::Table;
using cabinload::test::Worst;
using F = wiring::FuseFamily;

TEST_CASE("wiring: fuse ratings are the standards', none missing and none added",
          "[wiring][published]") {
  const std::map<std::string, F> families{{"NEC 240.6(A)", F::class_t},
                                          {"NEC 240.6(A) additional fuse ratings", F::class_t},
                                          {"IEC 60269 / BS 88", F::iec},
                                          {"blade fuse ISO 8820-3", F::blade},
                                          {"bolt-down MIDI class", F::bolt_small},
                                          {"bolt-down MEGA class", F::bolt_large}};
  const Table t("wiring/fuse_ratings.csv");
  Worst next;
  std::map<F, std::set<double>> printed;
  int small = 0;
  for (std::size_t i = 0; i < t.rows(); ++i) {
    const std::string& name = t.text(i, "family");
    const double rating_A = t.number(i, "rating_A");
    INFO(name << " " << rating_A);
    const auto at = name.find(" AWG");
    if (at != std::string::npos) {
      CHECK(wiring::small_conductor_limit_A(wiring::awg_size(name.substr(at - 2, 2))) == rating_A);
      ++small;
      continue;
    }
    const F family = families.at(name);
    printed[family].insert(rating_A);
    CHECK(wiring::next_rating_A(family, rating_A) == rating_A);
    CHECK(next.see(wiring::next_rating_A(family, rating_A - 0.2).value_or(0), rating_A) == 0);
  }
  next.record("Conductors and fuses", "next standard rating of each fuse",
              "NEC 240.6(A), IEC 60269, ISO 8820", 0, "A");
  CHECK(small == 3);
  for (const auto& [family, ratings] : printed) {
    INFO(wiring::name_of(family));
    const auto ours = wiring::ratings_A(family);
    CHECK(std::set<double>(ours.begin(), ours.end()) == ratings);
    CHECK_FALSE(wiring::next_rating_A(family, *ratings.rbegin() + 1).has_value());
  }
  for (const F family : {F::anl, F::terminal})
    for (const double rating_A : wiring::ratings_A(family)) {
      INFO(wiring::name_of(family) << " " << rating_A);
      CHECK(printed[F::class_t].count(rating_A) == 1);
    }
  CHECK(std::isinf(wiring::small_conductor_limit_A(wiring::awg_size("8"))));
}

TEST_CASE("wiring: the fuse's kind follows the short circuit and the voltage", "[wiring][unit]") {
  const auto kind = [](double volts, double short_circuit_A) {
    const auto fuse = wiring::choose_fuse(90, 150, volts, short_circuit_A);
    return fuse ? fuse->family : F::iec;  // iec: none
  };
  CHECK(kind(13.6, 1500) == F::bolt_small);
  CHECK(kind(13.6, 5000) == F::anl);
  CHECK(kind(13.6, 8000) == F::terminal);
  CHECK(kind(13.6, 15000) == F::class_t);
  CHECK(kind(13.6, 25000) == F::iec);
  CHECK(kind(27.2, 8000) == F::class_t);
  CHECK(kind(54.4, 1500) == F::terminal);  // all other weak ones end at 32 V
  CHECK(kind(54.4, 2500) == F::class_t);
  CHECK(kind(13.6, std::numeric_limits<double>::infinity()) == F::class_t);
  const auto blade = wiring::choose_fuse(7, 20, 13.6, 900);
  REQUIRE(blade);
  CHECK(blade->family == F::blade);
  CHECK(blade->rating_A == 7.5);
  CHECK(blade->breaks_A == 1000);
  CHECK_FALSE(wiring::choose_fuse(91, 99, 13.6, 900));  // nothing between 90 and 100 A
  CHECK_FALSE(wiring::choose_fuse(601, 900, 13.6, 900));
  CHECK(wiring::breaks_A(F::anl, 54.4) == 0);
}
