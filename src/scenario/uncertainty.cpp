// SPDX-License-Identifier: Apache-2.0
#include <cabinload/scenario/uncertainty.hpp>

#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/network/films.hpp>
#include <charconv>
#include <cmath>

#include "tables.hpp"

namespace cabinload::scenario {
namespace {

using core::Quantity;
constexpr Quantity kFactor = Quantity::dimensionless;
constexpr Quantity kDegrees = Quantity::temperature_difference;

/// Layers that conduct less than this are insulation; wood conducts more. Engineering judgement.
constexpr double kInsulation_W_mK = 0.08;

void leakage(Scenario& s, double f) {
  s.vehicle.leakage_area_m2 *= f;
}
void insulation(Scenario& s, double f) {
  for (vehicle::Surface& face : s.vehicle.surfaces)
    for (vehicle::Layer& layer : face.layers)
      if (layer.k_W_mK < kInsulation_W_mK && layer.rho_kg_m3 > 0) layer.k_W_mK *= f;
}
void framing(Scenario& s, double f) {
  for (vehicle::Surface& face : s.vehicle.surfaces)
    face.framing_fraction = std::min(0.5, face.framing_fraction * f);
}
void paint(Scenario& s, double more) {
  for (vehicle::Surface& face : s.vehicle.surfaces)
    if (face.outside == vehicle::Outside::open_air)
      face.absorptance_1 = std::clamp(face.absorptance_1 + more, 0.0, 1.0);
}
void wind(Scenario& s, double f) {
  for (vehicle::Surface& face : s.vehicle.surfaces)
    if (face.outside == vehicle::Outside::open_air || face.outside == vehicle::Outside::underbody)
      face.wind_share_1 = f * face.wind_share_1.value_or(face.outside == vehicle::Outside::underbody
                                                             ? network::kUnderbodyWindShare_1
                                                             : 1.0);
  for (vehicle::Window& window : s.vehicle.windows) window.wind_share_1 *= f;
}
void inside_film(Scenario& s, double f) {
  s.vehicle.inside_film_factor_1 *= f;
}
void light_mass(Scenario& s, double f) {
  s.vehicle.air_capacity_factor_1 *= f;
}
void bed_air(Scenario& s, double more_K) {
  s.air.bed_offset_K += more_K;
}
void thermostat(Scenario& s, double more_K) {
  s.unit_settings.T_set_K += more_K;
}
void capacity(Scenario& s, double f) {
  s.unit = unit::off_the_plate(s.unit, f, 1);
}
void power(Scenario& s, double f) {
  s.unit = unit::off_the_plate(s.unit, 1, f);
}
void recirculation(Scenario& s, double more) {
  double& share_1 = s.unit_settings.recirculation_1;
  share_1 = std::clamp(share_1 + more, 0.0, 0.8);
}
void people(Scenario& s, double f) {
  for (occupants::Person& p : s.people) {
    p.awake_met *= f;
    p.asleep_met *= f;
  }
}
void animals(Scenario& s, double f) {
  for (occupants::Pet& p : s.pets) p.activity_factor *= f;
}
void battery(Scenario& s, double f) {
  s.supply.bank.nominal_energy_J *= f;
}
void panels(Scenario& s, double f) {
  if (s.supply.panels) s.supply.panels->soiling_1 = std::min(1.0, s.supply.panels->soiling_1 * f);
}

constexpr Unknown kUnknowns[] = {
    {"leakage", true, kFactor, "", 0.5, 2, 0.05, 20, "cracks of the shell, their area", kJudgement,
     leakage},
    {"insulation", true, kFactor, "", 0.95, 1.3, 0.5, 5,
     "what the insulation conducts as built: gaps, damp, age", kJudgement, insulation},
    {"framing", true, kFactor, "", 0.7, 1.5, 0, 5, "share of the shell that is ribs", kJudgement,
     framing},
    {"paint", false, kFactor, "", -0.05, 0.15, -0.5, 0.5,
     "what the outside absorbs of the sun: dirt, age, the shade of a colour", kJudgement, paint},
    {"wind", true, kFactor, "", 0.6, 1.4, 0, 5, "wind at the shell, for its outside film",
     kJudgement, wind},
    {"inside_film", true, kFactor, "", 0.7, 1.4, 0.2, 5,
     "natural convection at faces inside: published laws differ as much", kJudgement, inside_film},
    {"light_mass", true, kFactor, "", 0.6, 1.6, 0.2, 5,
     "heat capacity of the air and what is as light", kJudgement, light_mass},
    {"bed_air", false, kDegrees, "K", -0.5, 0.5, -5, 5, "air at the bed, against the mixed air",
     kJudgement, bed_air},
    {"thermostat", false, kDegrees, "K", -0.5, 0.5, -3, 3, "set point as kept", kJudgement,
     thermostat},
    {"capacity", true, kFactor, "", 0.9, 1.02, 0.3, 2, "cooling against the data plate",
     "engineering judgement; rating standards let a unit fall 5 to 8 % short, from memory",
     capacity},
    {"power", true, kFactor, "", 0.97, 1.1, 0.5, 2, "electric input against the data plate",
     "engineering judgement; as capacity", power},
    {"recirculation", false, kFactor, "", -0.1, 0.2, -0.8, 0.8,
     "share of the condenser's air that comes round again", kJudgement, recirculation},
    {"people", true, kFactor, "", 0.8, 1.2, 0.3, 3, "heat of people",
     "ISO 8996, accuracy of tables by activity, 20 %, from memory", people},
    {"animals", true, kFactor, "", 0.8, 1.25, 0.3, 3, "heat of animals", kJudgement, animals},
    {"battery", true, kFactor, "", 0.8, 1, 0.1, 1.5, "energy of the battery as aged",
     "common practice, no published source: replaced at 80 %", battery},
    {"panels", true, kFactor, "", 0.9, 1, 0.1, 1, "light that passes the dirt on the panels",
     kJudgement, panels},
};

double figure(const Unknown& u, const std::string& text) {
  return core::parse_quantity(text, u.kind);
}

constexpr const char* kByAnswer = "by answer";

int samples_of(const std::string& text) {
  constexpr int kMost = 100000;
  int n = -1;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), n);
  if (error != std::errc{} || end != text.data() + text.size() || n < 0 || n > kMost)
    throw core::Error(
        fmt::format("'{}' must be a whole number from 0 to {}, or \"{}\"", text, kMost, kByAnswer));
  return n;
}

}  // namespace

std::span<const Unknown> unknowns() {
  return kUnknowns;
}

double UnknownRange::at(double u) const {
  if (!kUnknowns[unknown].times || !(low > 0)) return low + u * (high - low);
  return low * std::pow(high / low, u);
}

std::string text_of(const UnknownRange& range) {
  const Unknown& u = kUnknowns[range.unknown];
  const std::string low = written(range.low, u.kind, u.unit);
  return range.low == range.high ? low : low + " to " + written(range.high, u.kind, u.unit);
}

UnknownRange range_of(std::size_t unknown, const std::string& text) {
  const Unknown& u = kUnknowns[unknown];
  const std::size_t to = text.find(" to ");
  UnknownRange r{unknown, 0, 0};
  r.low = figure(u, text.substr(0, to));
  r.high = to == std::string::npos ? r.low : figure(u, text.substr(to + 4));
  const std::string right = text_of({unknown, u.low, u.high});
  if (r.low > r.high)
    throw core::Error(fmt::format("'{}' is upside down: the low end first, as '{}'", text, right));
  if (r.low < u.least || r.high > u.most)
    throw core::Error(fmt::format("'{}' is out of range, must lie within '{}'; by default '{}'",
                                  text, text_of({unknown, u.least, u.most}), right));
  return r;
}

Scenario drawn(const Scenario& scenario, std::span<const double> u) {
  Scenario s = scenario;
  for (const UnknownRange& range : scenario.uncertainty.ranges)
    kUnknowns[range.unknown].apply(s, range.at(u[range.unknown]));
  return s;
}

void bind_uncertainty(Binder& b, Scenario& s) {
  Uncertainty& u = s.uncertainty;
  b.custom(
      "uncertainty.samples", kByAnswer,
      [&](const std::string& text) {
        if (text == kByAnswer) return;
        u.samples = samples_of(text);
        u.samples_given = true;
      },
      {"vans drawn from the ranges below, for the spread: 64 in hold, size, pets and what-helps, "
       "none in the others; 0: none",
       kJudgement});
  b.whole("uncertainty.seed", s.uncertainty.seed, 0, 1000000000,
          {"of the draw: the same seed, the same vans", kJudgement});
  for (std::size_t i = 0; i < std::size(kUnknowns); ++i) {
    const Unknown& u = kUnknowns[i];
    UnknownRange range{i, u.low, u.high};
    bool off = false;
    const std::string about =
        fmt::format("{}, {}; or off", u.about, u.times ? "times so much" : "so much added");
    b.custom(fmt::format("uncertainty.{}", u.key), text_of(range),
             [&](const std::string& text) {
               off = text == "off";
               if (!off) range = range_of(i, text);
             },
             {about.c_str(), u.source});
    if (!off) s.uncertainty.ranges.push_back(range);
  }
}

}  // namespace cabinload::scenario
