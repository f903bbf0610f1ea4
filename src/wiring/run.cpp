// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/wiring/run.hpp>
#include <cmath>

namespace cabinload::wiring {
namespace {

constexpr double kInfinite = std::numeric_limits<double>::infinity();
constexpr double kTables_degC = 30.0;       // [NEC], [ABYC-E11]
constexpr double kEngineSpace_degC = 50.0;  // [ABYC-E11]
constexpr int kMostParallel = 4;            // engineering judgement
constexpr int kThickestRouted = -1;         // 2/0 AWG: common practice, no published source

void require(bool good, const char* what, double value, const char* unit, const std::string& must) {
  if (!good)
    throw core::RangeError(fmt::format("wire: {} = {:g}{}, must be {}", what, value, unit, must));
}

void check(const Ask& a) {
  require(a.power_W > 0 && std::isfinite(a.power_W), "power", a.power_W, " W", "above 0");
  require(a.volts == 12 || a.volts == 24 || a.volts == 48, "voltage", a.volts, " V",
          "12, 24 or 48");
  require(a.length_m > 0 && std::isfinite(a.length_m), "length", a.length_m, " m",
          "above 0: one way along the cable");
  require(a.ambient_degC >= -40 && a.ambient_degC <= warmest_ambient_degC(a.insulation), "ambient",
          a.ambient_degC, " degC",
          fmt::format("between -40 and {:g} for insulation rated {:g} degC",
                      warmest_ambient_degC(a.insulation), rating_degC(a.insulation)));
  require(a.conductors_together >= 2 && a.conductors_together <= 60, "conductors together",
          a.conductors_together, "", "from 2 (this run's own) to 60");
  require(a.drop_limit_percent > 0 && a.drop_limit_percent <= 10, "drop limit",
          a.drop_limit_percent, " %", "above 0 and at most 10");
  require(std::isnan(a.vehicle_length_m) || a.vehicle_length_m > 0, "vehicle length",
          a.vehicle_length_m, " m", "above 0, or not given");
  require(a.fuse_distance_m >= 0 && a.fuse_distance_m <= a.length_m, "distance to the fuse",
          a.fuse_distance_m, " m", "between 0 and the length");
  require(std::isnan(a.battery_resistance_ohm) || a.battery_resistance_ohm > 0,
          "battery resistance", a.battery_resistance_ohm, " ohm", "above 0, or not given");
  if (!a.fused)
    throw core::RangeError(
        "wire: fused = false, must be true: no conductor is chosen for a run without a fuse; put "
        "one at the battery");
}

struct Candidate {
  const AwgSize* size;
  int parallel;
};

/// Rising in copper: n conductors of a gauge only where they have more than n - 1 of 4/0.
std::vector<Candidate> candidates(Insulation insulation) {
  std::vector<Candidate> all;
  const double thickest_mm2 = area_mm2(awg_sizes().back());
  for (int n = 1; n <= kMostParallel; ++n)
    for (const AwgSize& size : awg_sizes())
      if (size.sold && !std::isnan(table_ampacity_A(size, insulation)) &&
          n * area_mm2(size) > (n - 1) * thickest_mm2)
        all.push_back({&size, n});
  return all;
}

struct Rated {
  double carries_A = 0;  ///< all conductors, where they lie
  double usable_A = 0;   ///< with the terminals' cap
  double conductor_degC = 0, drop_V = 0;
  std::optional<Fuse> fuse;
  std::optional<Governs> fails;  ///< the first thing that is not met
};

struct Demand {
  double current_A, design_A, ambient_degC, rest_V, short_circuit_A;
};

Demand demand_of(const Ask& a) {
  Demand d{};
  d.current_A = a.power_W / a.volts;
  d.design_A = kContinuous_1 * d.current_A;
  d.ambient_degC = a.engine_space ? std::max(a.ambient_degC, kEngineSpace_degC) : a.ambient_degC;
  d.rest_V = kRestOverNominal_1 * a.volts;
  d.short_circuit_A =
      std::isnan(a.battery_resistance_ohm) ? kInfinite : d.rest_V / a.battery_resistance_ohm;
  return d;
}

Rated rate(const Ask& a, const Demand& d, const Candidate& c) {
  // No gain from the cold; parallel conductors lie in the same bundle.
  const Laying laying{a.insulation, std::max(d.ambient_degC, kTables_degC), a.engine_space,
                      a.conductors_together + 2 * (c.parallel - 1)};
  Rated r;
  r.carries_A = c.parallel * ampacity_A(*c.size, laying);
  r.usable_A =
      std::min(r.carries_A, c.parallel * terminal_cap_A(*c.size, a.insulation, a.terminal_degC));
  if (r.carries_A < d.design_A) {
    r.fails = Governs::ampacity;
    return r;
  }
  r.conductor_degC =
      conductor_degC(d.current_A, r.carries_A, d.ambient_degC, rating_degC(a.insulation));
  r.drop_V =
      2 * a.length_m * d.current_A / c.parallel * resistance_ohm_m(*c.size, r.conductor_degC);
  double most_A = r.usable_A;
  if (a.insulation != Insulation::marine_c105)
    most_A = std::min(most_A, small_conductor_limit_A(*c.size));
  r.fuse = choose_fuse(d.design_A, most_A, d.rest_V, d.short_circuit_A);
  if (r.usable_A < d.design_A)
    r.fails = Governs::terminal;
  else if (!r.fuse)
    r.fails = Governs::fuse;
  else if (r.drop_V > a.drop_limit_percent / 100 * a.volts)
    r.fails = Governs::drop;
  return r;
}

/// Fills what is known of the conductor; false when none fits.
bool search(const Ask& a, const Demand& d, Run& run) {
  Governs governs = Governs::smallest;
  for (const Candidate& c : candidates(a.insulation)) {
    const Rated r = rate(a, d, c);
    if (r.fails) {
      governs = *r.fails;
      continue;
    }
    run.possible = true;
    run.awg = c.size->name;
    run.parallel = c.parallel;
    run.conductor_mm2 = area_mm2(*c.size);
    run.conductor_degC = r.conductor_degC;
    run.drop_V = r.drop_V;
    run.drop_percent = 100 * r.drop_V / a.volts;
    run.loss_W = r.drop_V * d.current_A;
    run.ampacity_A = r.usable_A;
    run.fuse_A = r.fuse->rating_A;
    run.fuse_type = r.fuse->family;
    run.governs = governs;
    return true;
  }
  return false;
}

/// Not less copper, and its own resistance within the drop.
std::optional<double> metric_of(const Ask& a, const Run& run) {
  for (const MetricSize& size : metric_sizes())
    if (size.area_mm2 >= run.conductor_mm2 && 2 * a.length_m * run.current_A / run.parallel *
                                                      resistance_ohm_m(size, run.conductor_degC) <=
                                                  a.drop_limit_percent / 100 * a.volts)
      return size.area_mm2;
  return std::nullopt;
}

std::string label(const Run& run) {
  if (!run.possible) return "what is not possible here";
  if (run.parallel == 1) return fmt::format("{} AWG", run.awg);
  return fmt::format("{} x {} AWG", run.parallel, run.awg);
}

void say_rules(const Ask& a, const Demand& d, Run& run) {
  const bool marine = a.insulation == Insulation::marine_c105;
  const Origin tables = marine ? Origin::marine : Origin::nec;
  const auto rule = [&](Origin origin, std::string text) {
    run.rules.push_back({origin, std::move(text)});
  };
  rule(Origin::nec, "A load of three hours or more counts 125 % (210.19, 215.2).");
  rule(tables, marine ? "Ampacity of 105 degC boat cable (E-11), by formula for a warmer ambient."
                      : "Ampacity of 310.16, corrected for the ambient by 310.15(B)(1)(1).");
  if (a.conductors_together > 2 || run.parallel > 1)
    rule(tables, fmt::format("Conductors that carry current lie together: {} of them.",
                             a.conductors_together + 2 * (run.parallel - 1)));
  if (a.terminal_degC < rating_degC(a.insulation))
    rule(marine ? Origin::common_practice : Origin::nec,
         fmt::format("Terminals rated {:g} degC limit the ampacity{}.", a.terminal_degC,
                     marine ? "" : " to their column (110.14(C))"));
  if (!marine) rule(Origin::nec, "Fuses of 14, 12, 10 AWG at most 15, 20, 30 A (240.4(D)).");
  rule(Origin::marine,
       fmt::format("Voltage drop at most {:g} % there and back (3 % for feeders and "
                   "what must not fail, 10 % for the rest).",
                   a.drop_limit_percent));
  rule(Origin::marine, "The fuse is at most 178 mm (7 in) along the cable from the battery.");
  rule(Origin::common_practice,
       "The next standard fuse up, and never above the conductor's ampacity.");
  rule(
      Origin::common_practice,
      "Current at the nominal voltage; as the battery's voltage falls, the same power draws more.");
  if (std::isfinite(d.short_circuit_A))
    rule(Origin::common_practice,
         fmt::format(
             "The battery's short circuit is its resting voltage over its resistance, {:g} V "
             "give {:.0f} A; what a fuse breaks is on its data sheet.",
             d.rest_V, d.short_circuit_A));
  if (run.parallel > 1)
    rule(Origin::nec,
         "Parallel conductors: 1/0 AWG or thicker, of one length, one kind, with "
         "terminals of one kind (310.10).");
}

std::string why_impossible(const Demand& d) {
  const double breaks = breaks_A(FuseFamily::class_t, d.rest_V);
  const double largest_A = ratings_A(FuseFamily::class_t).back();
  if (std::isfinite(d.short_circuit_A) && d.short_circuit_A > breaks)
    return fmt::format(
        "No fuse here breaks the battery's short circuit of {:.0f} A (Class T: {:g} A): "
        "divide the battery and fuse each part.",
        d.short_circuit_A, breaks);
  if (d.design_A > largest_A)
    return fmt::format(
        "125 % of the current is {:.0f} A, above the largest fuse of {:g} A: take a "
        "higher voltage or divide the load.",
        d.design_A, largest_A);
  return "Not even four 4/0 AWG in parallel do: take a higher voltage, a shorter or cooler way.";
}

void warn(const Ask& a, const Demand& d, Run& run) {
  const auto say = [&](Origin origin, std::string text) {
    run.warnings.push_back({origin, std::move(text)});
  };
  if (a.length_m > a.vehicle_length_m)
    say(Origin::common_practice,
        fmt::format("The cable of {:g} m one way is longer than the vehicle of "
                    "{:g} m: is it the length there and back?",
                    a.length_m, a.vehicle_length_m));
  if (d.ambient_degC > a.ambient_degC)
    say(Origin::marine, fmt::format("An engine space counts as {:g} degC, not {:g} degC.",
                                    d.ambient_degC, a.ambient_degC));
  if (a.fuse_distance_m > kFuseDistance_m)
    say(Origin::marine,
        fmt::format("The fuse lies {:.2f} m along the cable from the battery, more than "
                    "0.178 m (7 in): that part has no protection.",
                    a.fuse_distance_m));
  if (!std::isfinite(d.short_circuit_A))
    say(Origin::common_practice,
        "The battery's resistance is not known: a Class T fuse is taken, the strongest here.");
  if (!run.possible) return say(Origin::common_practice, why_impossible(d));
  if (hard_to_route(run))
    say(Origin::common_practice,
        fmt::format("{:g} V needs {}: thicker than anyone routes in a vehicle.", a.volts,
                    label(run)));
  if (run.conductor_degC > a.terminal_degC)
    say(Origin::common_practice,
        fmt::format("The conductor reaches {:.0f} degC where it lies, the terminals are rated {:g} "
                    "degC: they must sit where it is cooler.",
                    run.conductor_degC, a.terminal_degC));
  Ask chart = a;
  chart.ambient_degC = kTables_degC;
  chart.engine_space = false;
  Demand cooler = demand_of(chart);
  Run other;
  if (d.ambient_degC > kTables_degC && search(chart, cooler, other) && label(other) != label(run))
    say(Origin::common_practice,
        fmt::format("A chart for 30 degC would have said {}; at {:g} degC it is {}.", label(other),
                    d.ambient_degC, label(run)));
}

}  // namespace

std::string_view name_of(Origin origin) {
  if (origin == Origin::nec) return "nec";
  return origin == Origin::marine ? "marine" : "common_practice";
}

std::string_view name_of(Governs governs) {
  switch (governs) {
    case Governs::ampacity:
      return "ampacity";
    case Governs::terminal:
      return "terminal";
    case Governs::fuse:
      return "fuse";
    case Governs::drop:
      return "drop";
    case Governs::smallest:
      break;
  }
  return "smallest";
}

bool hard_to_route(const Run& run) {
  return !run.possible || run.parallel > 1 || awg_size(run.awg).number < kThickestRouted;
}

double drop_V(const AwgSize& size, const Laying& laying, double current_A, double length_m) {
  const double T_degC = conductor_degC(current_A, ampacity_A(size, laying), laying.ambient_degC,
                                       rating_degC(laying.insulation));
  return 2 * length_m * current_A * resistance_ohm_m(size, T_degC);
}

const AwgSize* size_for_drop(const Laying& laying, double current_A, double length_m,
                             double most_drop_V) {
  for (const AwgSize& size : awg_sizes())
    if (size.sold && current_A <= ampacity_A(size, laying) &&
        drop_V(size, laying, current_A, length_m) <= most_drop_V)
      return &size;
  return nullptr;
}

Run choose_run(const Ask& ask) {
  check(ask);
  const Demand demand = demand_of(ask);
  Run run;
  run.volts = ask.volts;
  run.current_A = demand.current_A;
  run.design_current_A = demand.design_A;
  run.ambient_degC = demand.ambient_degC;
  if (std::isfinite(demand.short_circuit_A)) run.short_circuit_A = demand.short_circuit_A;
  if (search(ask, demand, run)) run.metric_mm2 = metric_of(ask, run);
  say_rules(ask, demand, run);
  warn(ask, demand, run);
  return run;
}

std::array<Run, 3> side_by_side(const Ask& ask) {
  check(ask);
  constexpr std::array kVolts{12.0, 24.0, 48.0};
  std::array<Run, 3> runs;
  for (std::size_t i = 0; i < kVolts.size(); ++i) {
    Ask at = ask;
    at.volts = kVolts[i];
    const double ratio = kVolts[i] / ask.volts;
    at.battery_resistance_ohm = ask.battery_resistance_ohm * ratio * ratio;
    runs[i] = choose_run(at);
  }
  const auto add = [&](Run& run, std::string text) {
    if (hard_to_route(run)) run.warnings.push_back({Origin::common_practice, std::move(text)});
  };
  add(runs[0],
      fmt::format("For the same power 24 V needs {}, 48 V {}.", label(runs[1]), label(runs[2])));
  add(runs[1], fmt::format("For the same power 48 V needs {}.", label(runs[2])));
  return runs;
}

}  // namespace cabinload::wiring
