// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "tables.hpp"

namespace cabinload::scenario {
namespace {

using core::Quantity;
using core::to_kelvin;
using wiring::Insulation;

constexpr std::array kPlaces{CablePlace::roof_cavity, CablePlace::cabin, CablePlace::engine_bay};
constexpr std::array kInsulations{Insulation::c60, Insulation::c75, Insulation::c90,
                                  Insulation::marine_c105};

/// One of the ratings that insulation and terminals come in.
double rating_of(const std::string& text) {
  const double degC = core::to_celsius(core::parse_quantity(text, Quantity::temperature));
  for (const Insulation i : kInsulations)
    if (std::abs(degC - wiring::rating_degC(i)) < 0.5) return wiring::rating_degC(i);
  throw core::Error(fmt::format(
      "'{}' is no rating of the tables, must be 60 degC, 75 degC, 90 degC or 105 degC", text));
}

/// A stated ambient that no table has for the insulation.
void check_ambient(Binder& b, const Cable& c) {
  const double warmest_degC = wiring::warmest_ambient_degC(c.insulation);
  if (!c.ambient_K || core::to_celsius(*c.ambient_K) <= warmest_degC + 1e-6) return;
  b.problem(
      "cable.ambient",
      fmt::format("{:g} degC is above {:g} degC, the warmest that the tables have for "
                  "insulation rated {:g} degC",
                  core::to_celsius(*c.ambient_K), warmest_degC, wiring::rating_degC(c.insulation)),
      "a higher cable.insulation (60, 75, 90, 105 degC), or a cooler way");
}

void bind_fuse(Binder& b, Cable& c) {
  b.maybe("cable.short_circuit", Quantity::current, "A", c.short_circuit_A, {10, 1e6}, "unknown",
          {"what the battery's terminals give into a short circuit, as arranged for the unit's "
           "voltage: its data sheet; unknown: the strongest fuse is taken",
           "of the battery"});
  bool fuse = true;
  b.flag("cable.fuse", fuse, {"a fuse at the battery", "no run is computed without one"});
  if (!fuse)
    b.problem("cable.fuse",
              "'false' leaves the cable unprotected, must be true: a short circuit would set it on "
              "fire and no conductor is named for that",
              "put a fuse within 0.178 m (7 in) of the battery");
  b.quantity("cable.fuse_distance", Quantity::length, "m", c.fuse_distance_m, {0, 30},
             {"along the cable from the battery's post to the fuse", kJudgement});
  if (!b.failed() && c.fuse_distance_m > c.length_m)
    b.problem(b.was_given("cable.fuse_distance") ? "cable.fuse_distance" : "cable.length",
              fmt::format("the fuse at {:g} m lies beyond the end of the cable of {:g} m",
                          c.fuse_distance_m, c.length_m),
              "0.15 m: at the battery");
}

}  // namespace

const char* key_of(CablePlace place) {
  switch (place) {
    case CablePlace::cabin:
      return "cabin";
    case CablePlace::engine_bay:
      return "engine-bay";
    case CablePlace::roof_cavity:
      break;
  }
  return "roof-cavity";
}

void bind_cable(Binder& b, Scenario& s) {
  Cable& c = s.cable;
  c.length_m = s.vehicle.length_m;
  b.quantity("cable.length", Quantity::length, "m", c.length_m, {0.2, 60},
             {"from the battery to the unit, one way along the cable",
              "as long as the vehicle inside; engineering judgement"});
  std::string place = key_of(c.place);
  b.choice("cable.place", place, {"roof-cavity", "cabin", "engine-bay"},
           {"where the hottest part of it lies", kJudgement});
  for (const CablePlace p : kPlaces)
    if (place == key_of(p)) c.place = p;
  b.custom("cable.insulation", "90 degC",
           [&](const std::string& t) {
             for (const Insulation i : kInsulations)
               if (rating_of(t) == wiring::rating_degC(i)) c.insulation = i;
           },
           {"rating of its insulation: 60, 75, 90 degC, or 105 degC for boat cable", kPractice});
  b.custom("cable.terminals", "75 degC",
           [&](const std::string& t) { c.terminal_degC = rating_of(t); },
           {"rating of lugs and terminals: 60, 75, 90, 105 degC", kPractice});
  b.share("cable.allowed_drop", c.allowed_drop_1, {0.001, 0.1},
          {"of the nominal voltage, there and back",
           "3 % for what must not fail, ABYC E-11 and ISO 13297"});
  b.whole("cable.bundle", c.conductors_together, 2, 60,
          {"conductors that carry current and lie together, this run's two included", "alone"});
  b.maybe("cable.ambient", Quantity::temperature, "degC", c.ambient_K,
          {to_kelvin(-40), to_kelvin(150)}, "simulated",
          {"hottest air where it lies, instead of what the simulation finds there", "simulated"});
  b.quantity("cable.engine_bay_difference", Quantity::temperature_difference, "K", c.engine_bay_K,
             {0, 100},
             {"place = engine-bay: its air over the hottest outdoors of the period; nothing of the "
              "engine is simulated",
              kJudgement});
  check_ambient(b, c);
  b.maybe("cable.power", Quantity::power, "W", c.power_W, {1, 20000}, "of the unit",
          {"what it carries for hours", "full power of the unit"});
  bind_fuse(b, c);
}

}  // namespace cabinload::scenario
