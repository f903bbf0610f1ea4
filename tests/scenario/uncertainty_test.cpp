// SPDX-License-Identifier: Apache-2.0
#include <cabinload/network/cabin.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cmath>
#include <cstring>

#include "support/catch.hpp"
#include "support/error_of.hpp"

namespace scenario = cabinload::scenario;
using cabinload::test::contains;
using cabinload::test::error_of;
using Overrides = std::vector<scenario::Override>;

namespace {

std::size_t index_of(const char* key) {
  const auto all = scenario::unknowns();
  for (std::size_t i = 0; i < all.size(); ++i)
    if (std::strcmp(all[i].key, key) == 0) return i;
  FAIL("no such unknown");
  return 0;
}

/// The scenario with one unknown alone drawn at u.
scenario::Scenario at(const char* key, double u, Overrides given = {}) {
  auto s = scenario::read("", given);
  std::erase_if(s.uncertainty.ranges, [&](const auto& r) { return r.unknown != index_of(key); });
  return scenario::drawn(s, std::vector<double>(scenario::unknowns().size(), u));
}

std::string message(const char* key, const char* value) {
  return error_of([&] { (void)scenario::read("", {{key, value}}); });
}

}  // namespace

TEST_CASE("scenario: every unknown says its range, its source and changes what it names",
          "[scenario][table]") {
  const auto plain = scenario::read("", {});
  CHECK(plain.uncertainty.samples == 64);
  CHECK(plain.uncertainty.asked() == 0);
  CHECK(scenario::read("", {{"uncertainty.samples", "7"}}).uncertainty.asked() == 7);
  REQUIRE(plain.uncertainty.ranges.size() == scenario::unknowns().size());
  for (std::size_t i = 0; i < scenario::unknowns().size(); ++i) {
    const scenario::Unknown& u = scenario::unknowns()[i];
    INFO(u.key);
    CHECK(std::strlen(u.about) > 5);
    CHECK(std::strlen(u.source) > 5);
    CHECK(u.low < u.high);
    CHECK((u.least <= u.low && u.high <= u.most));
    // What is described lies within the range, or at its end.
    CHECK((u.low <= (u.times ? 1 : 0) && u.high >= (u.times ? 1 : 0)));
    const auto read_back = scenario::range_of(i, scenario::text_of({i, u.low, u.high}));
    CHECK_WITHIN(read_back.low, u.low, 1e-12);
    CHECK_WITHIN(read_back.high, u.high, 1e-12);
    // Without change at the value that changes nothing.
    const auto at_none =
        scenario::range_of(i, scenario::text_of({i, u.times ? 1.0 : 0.0, u.times ? 1.0 : 0.0}));
    CHECK(at_none.at(0.3) == (u.times ? 1 : 0));
  }
  CHECK(scenario::UnknownRange{index_of("leakage"), 0.5, 2}.at(0.5) ==
        1);  // half as likely as twice
  CHECK_WITHIN((scenario::UnknownRange{index_of("bed_air"), -0.5, 0.5}.at(0.75)), 0.25, 1e-15);
}

TEST_CASE("scenario: a drawn van differs from the one described by what was drawn",
          "[scenario][unit]") {
  const auto plain = scenario::read("", {{"panels.power", "200 W"}, {"pet.species", "dog"}});
  const auto with = [](const char* key, double u) {
    return at(key, u, {{"panels.power", "200 W"}, {"pet.species", "dog"}});
  };
  CHECK_RELATIVE(with("leakage", 1).vehicle.leakage_area_m2, 2 * plain.vehicle.leakage_area_m2,
                 1e-12);
  CHECK_WITHIN(with("paint", 1).vehicle.surfaces[0].absorptance_1,
               plain.vehicle.surfaces[0].absorptance_1 + 0.15, 1e-12);
  CHECK_RELATIVE(with("capacity", 0).unit.capacity_W, 0.9 * plain.unit.capacity_W, 1e-12);
  CHECK(with("capacity", 0).unit.power_W == plain.unit.power_W);
  CHECK_RELATIVE(with("power", 1).unit.power_W, 1.1 * plain.unit.power_W, 1e-12);
  CHECK_RELATIVE(with("battery", 0).supply.bank.nominal_energy_J,
                 0.8 * plain.supply.bank.nominal_energy_J, 1e-12);
  CHECK_RELATIVE(with("people", 1).people[0].asleep_met, 1.2 * 0.7, 1e-12);
  CHECK_RELATIVE(with("animals", 0).pets[0].activity_factor, 0.8 * 2.5, 1e-12);
  CHECK_RELATIVE(with("panels", 0).supply.panels->soiling_1, 0.9 * plain.supply.panels->soiling_1,
                 1e-12);
  CHECK_WITHIN(with("thermostat", 0).unit_settings.T_set_K, plain.unit_settings.T_set_K - 0.5,
               1e-12);
  CHECK_WITHIN(with("bed_air", 1).air.bed_offset_K, 0.5, 1e-12);
  CHECK_WITHIN(with("recirculation", 1).unit_settings.recirculation_1, 0.4, 1e-12);
  CHECK_RELATIVE(with("light_mass", 1).vehicle.air_capacity_factor_1,
                 1.6 * plain.vehicle.air_capacity_factor_1, 1e-12);
  const auto cabin = cabinload::network::assemble(plain.vehicle);
  const auto films = cabinload::network::assemble(with("inside_film", 1).vehicle);
  const auto windy = cabinload::network::assemble(with("wind", 0).vehicle);
  const auto ribs = cabinload::network::assemble(with("framing", 1).vehicle);
  const auto foam = cabinload::network::assemble(with("insulation", 1).vehicle);
  const auto through = [](const cabinload::network::Cabin& c) {
    double UA_W_K = 0;
    for (const auto& chain : c.chains) {
      double R_K_W = 0;
      for (const double G_W_K : chain.G_W_K) R_K_W += 1 / G_W_K;
      if (R_K_W > 0) UA_W_K += 1 / R_K_W;
    }
    return UA_W_K;
  };
  CHECK_RELATIVE(films.chains[0].film.surface_cooler, 1.4 * cabin.chains[0].film.surface_cooler,
                 1e-12);
  CHECK_RELATIVE(windy.chains[0].wind_share_1, 0.6 * cabin.chains[0].wind_share_1, 1e-12);
  CHECK(through(ribs) > 1.02 * through(cabin));
  CHECK(through(foam) > 1.02 * through(cabin));
}

TEST_CASE("scenario: ranges can be stated and switched off", "[scenario][unit]") {
  const auto s = scenario::read("", {{"uncertainty.leakage", "off"},
                                     {"uncertainty.paint", "0 to 0.1"},
                                     {"uncertainty.bed_air", "-1 K to 2 K"},
                                     {"uncertainty.samples", "64"}});
  CHECK(s.uncertainty.samples == 64);
  CHECK(s.uncertainty.ranges.size() == scenario::unknowns().size() - 1);
  for (const auto& r : s.uncertainty.ranges) {
    CHECK(r.unknown != index_of("leakage"));
    if (r.unknown == index_of("paint")) CHECK((r.low == 0 && r.high == 0.1));
    if (r.unknown == index_of("bed_air")) CHECK((r.low == -1 && r.high == 2));
  }
  CHECK_THAT(message("uncertainty.leakage", "2 to 0.5"),
             contains("upside down") && contains("'0.5 to 2'"));
  CHECK_THAT(message("uncertainty.leakage", "0 to 2"), contains("out of range"));
  CHECK_THAT(message("uncertainty.leakage", "0.5 to nan"), contains("uncertainty.leakage"));
  CHECK_THAT(message("uncertainty.leakage", "much"), contains("uncertainty.leakage"));
  CHECK_THAT(message("uncertainty.leak", "1 to 2"), contains("uncertainty.leakage"));
  CHECK_THAT(message("uncertainty.samples", "-1"), contains("whole number"));
}
