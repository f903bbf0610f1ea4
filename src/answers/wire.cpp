// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/wire.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>
#include <string_view>
#include <utility>

namespace cabinload::answers {
namespace {

using scenario::CablePlace;
using wiring::Note;
using wiring::Run;

constexpr double kHotter_K = 1.0;  // a stated ambient may lie this far below the one found

bool is_paint(const scenario::UnknownRange& range) {
  return std::string_view(scenario::unknowns()[range.unknown].key) == "paint";
}

/// What closed_up() adds to the solar absorptance.
double paint_added_1(const scenario::Scenario& s) {
  const auto& ranges = s.uncertainty.ranges;
  const auto at = std::find_if(ranges.begin(), ranges.end(), is_paint);
  return at == ranges.end() ? 0.0 : at->high;
}

/// What the simulation says of a place [degC], in the engine bay with what is stated on top of it;
/// NaN: no roof. A cable in the roof comes there through the cabin: the hotter of both.
double found_degC(const scenario::Cable& cable, const simulation::Hottest& hottest) {
  const CablePlace place = cable.place;
  if (place == CablePlace::engine_bay)
    return core::to_celsius(hottest.outdoors.T_K) + cable.engine_bay_K;
  const double cabin_K = hottest.cabin_air.T_K, cavity_K = hottest.roof_cavity.T_K;
  if (place == CablePlace::cabin) return core::to_celsius(cabin_K);
  return core::to_celsius(cabin_K > cavity_K ? cabin_K : cavity_K);
}

const char* words_of(CablePlace place) {
  if (place == CablePlace::engine_bay) return "engine bay";
  return place == CablePlace::cabin ? "cabin" : "roof cavity or the cabin below it";
}

/// All of a unit at full speed with its rated return air.
double electric_W(const unit::Description& unit, const unit::Map& map, double condenser_K) {
  return map.at(unit.rated_wet_bulb_K, condenser_K, 1).power_W + unit.cabin_fan_W + unit.standby_W;
}

constexpr std::array kNominal_V{12.0, 24.0, 48.0};

/// Index of the nominal voltage that a unit is made for.
std::optional<std::size_t> index_of(double volts) {
  const auto nominal_V = power::nominal_volts(volts);
  if (!nominal_V) return std::nullopt;
  return static_cast<std::size_t>(std::find(kNominal_V.begin(), kNominal_V.end(), *nominal_V) -
                                  kNominal_V.begin());
}

/// Notes of all runs, each text once; what not every voltage has says which have it.
std::vector<Note> merged(const std::array<Run, 3>& runs, std::vector<Note> Run::*notes) {
  std::vector<Note> list;
  std::vector<std::vector<double>> volts;
  for (const Run& run : runs)
    for (const Note& note : run.*notes) {
      const auto same = [&](const Note& n) { return n.text == note.text; };
      const auto at = std::find_if(list.begin(), list.end(), same);
      if (at == list.end()) {
        list.push_back(note);
        volts.push_back({run.volts});
      } else {
        volts[static_cast<std::size_t>(at - list.begin())].push_back(run.volts);
      }
    }
  for (std::size_t i = 0; i < list.size(); ++i)
    if (volts[i].size() < runs.size()) {
      std::string which;
      for (const double V : volts[i]) which += fmt::format("{}{:g}", which.empty() ? "" : ", ", V);
      if (!list[i].text.starts_with(which + " V ")) list[i].text = which + " V: " + list[i].text;
    }
  return list;
}

wiring::Ask ask_of(const scenario::Scenario& s, const Wire& a);

/// Other insulation and another way, each alone and together, at what was simulated anyhow.
std::vector<WireWay> ways_of(const scenario::Scenario& s, const Wire& a) {
  std::vector<WireWay> ways;
  const bool hotter_rating = s.cable.insulation != wiring::Insulation::marine_c105;
  const bool cabin = a.place != CablePlace::cabin && !a.ambient_stated;
  for (const auto& [higher, through_cabin] :
       {std::pair(true, false), std::pair(false, true), std::pair(true, true)}) {
    if ((higher && !hotter_rating) || (through_cabin && !cabin)) continue;
    WireWay way;
    wiring::Ask ask = ask_of(s, a);
    if (higher) ask.insulation = wiring::Insulation::marine_c105;
    if (through_cabin) {
      ask.ambient_degC = std::ceil(10 * core::to_celsius(a.hottest.cabin_air.T_K)) / 10;
      ask.engine_space = false;
    }
    way.words =
        through_cabin ? fmt::format("through the cabin ({:.0f} degC)", ask.ambient_degC) : "";
    if (higher)
      way.words += fmt::format("{}insulation rated {:g} degC", through_cabin ? " and " : "",
                               wiring::rating_degC(ask.insulation));
    way.ambient_degC = ask.ambient_degC;
    if (ask.ambient_degC <= wiring::warmest_ambient_degC(ask.insulation))
      way.run = wiring::side_by_side(ask)[a.own.value_or(0)];
    ways.push_back(std::move(way));
  }
  return ways;
}

/// For the hint of an error: what of it the tables do have.
std::string ways_words(const std::vector<WireWay>& ways) {
  std::string words;
  for (const WireWay& way : ways)
    if (way.run && way.run->possible)
      words += fmt::format("{}{}: {}{} AWG at {:g} V{}", words.empty() ? "" : "; ", way.words,
                           way.run->parallel > 1 ? fmt::format("{} x ", way.run->parallel) : "",
                           way.run->awg, way.run->volts,
                           wiring::hard_to_route(*way.run) ? ", which nobody can route" : "");
  return words.empty() ? "" : words + "; ";
}

void check_place(const scenario::Scenario& s, const Wire& a) {
  const double degC = a.ambient_degC;
  const wiring::Insulation insulation = s.cable.insulation;
  if (std::isnan(degC))
    throw core::InputError(problem_at(s, "cable.place",
                                      "the vehicle has no roof face for the cable to lie under",
                                      "cabin, or state cable.ambient"));
  const double warmest_degC = wiring::warmest_ambient_degC(insulation);
  if (degC <= warmest_degC) return;
  const std::string how =
      s.cable.ambient_K ? "is stated as"
      : s.cable.place == CablePlace::engine_bay
          ? fmt::format("comes to, {:g} K over the hottest outdoors,", s.cable.engine_bay_K)
          : "reaches, with the unit off and the vehicle closed,";
  throw core::InputError(problem_at(
      s, "cable.insulation",
      fmt::format("the {} {} {:.1f} degC, above {:g} degC, the warmest that the tables have for "
                  "insulation rated {:g} degC",
                  words_of(s.cable.place), how, degC, warmest_degC,
                  wiring::rating_degC(insulation)),
      ways_words(ways_of(s, a)) +
          "a cooler way (cable.place), shade over the vehicle, a lighter paint"));
}

wiring::Ask ask_of(const scenario::Scenario& s, const Wire& a) {
  wiring::Ask ask;
  ask.power_W = a.power_W;
  ask.volts = a.own ? kNominal_V[*a.own] : 12.0;
  ask.length_m = a.length_m;
  ask.ambient_degC = a.ambient_degC;
  ask.insulation = s.cable.insulation;
  ask.terminal_degC = a.terminal_degC;
  ask.engine_space = a.place == CablePlace::engine_bay;
  ask.conductors_together = a.conductors_together;
  ask.drop_limit_percent = 100 * a.allowed_drop_1;
  if (s.vehicle.body != "own" || s.choice.length_m) ask.vehicle_length_m = s.vehicle.length_m;
  ask.fuse_distance_m = s.cable.fuse_distance_m;
  if (s.cable.short_circuit_A)
    ask.battery_resistance_ohm = wiring::kRestOverNominal_1 * ask.volts / *s.cable.short_circuit_A;
  return ask;
}

/// What the answer rests on: of the cabin what heats it, then the cable's own.
std::vector<Assumption> assumptions_of(const Header& header, const scenario::Scenario& s,
                                       const Wire& a) {
  std::vector<Assumption> list;
  for (const Assumption& x : header.assumptions)
    if (x.key == "weather.file" || x.key == "vehicle.insulation" || x.key == "parking.shade_hours")
      list.push_back(x);
  std::string power = fmt::format("Power {:.0f} W, as stated.", a.power_W);
  if (!a.power_stated)
    power = fmt::format(
        "Power {:.0f} W: the most that the unit draws at full speed, at the hottest condenser air "
        "it "
        "runs with, no economy cap. At its rating point it is {:.0f} W.",
        a.power_W, electric_W(s.unit, unit::characteristics(s.unit).map, s.unit.rated_condenser_K));
  list.push_back({"cable.power", power});
  list.push_back({"cable.length", fmt::format("{:g} m of cable one way; the current goes there and "
                                              "back.",
                                              a.length_m)});
  std::string lies =
      fmt::format("The cable lies in the {}",
                  a.place == CablePlace::roof_cavity ? "roof cavity" : words_of(a.place));
  if (a.ambient_stated)
    lies += fmt::format(", {:.0f} degC as stated.", a.ambient_degC);
  else if (a.place == CablePlace::engine_bay)
    lies += fmt::format(
        ": {:g} K over the hottest outdoors of the period (cable.engine_bay_difference); nothing "
        "of the engine is simulated.",
        s.cable.engine_bay_K);
  else if (a.place == CablePlace::cabin)
    lies += ", as hot as the simulated cabin air.";
  else
    lies +=
        ": the mean of the roof's simulated outer and inner faces, or the cabin air where that "
        "is hotter, since it comes from there.";
  list.push_back({"cable.place", lies});
  if (!a.ambient_stated && a.place != CablePlace::engine_bay && a.paint_added_1 > 0)
    list.push_back(
        {"uncertainty.paint",
         fmt::format("The {} paint takes {:.2f} more of the sun than when it is clean and "
                     "new: dirt, age (uncertainty.paint).",
                     s.vehicle.paint, a.paint_added_1)});
  list.push_back({"cable.insulation",
                  fmt::format("Insulation rated {:g} degC, terminals {:g} degC, {} conductors "
                              "together.",
                              a.insulation_degC, a.terminal_degC, s.cable.conductors_together)});
  return list;
}

void warn(const scenario::Scenario& s, Wire& a) {
  std::vector<std::string>& list = a.header.warnings;
  const double found = found_degC(s.cable, a.hottest);
  if (a.ambient_stated && found > a.ambient_degC + kHotter_K)
    list.push_back(
        fmt::format("cable.ambient says {:.0f} degC, but the {} reaches {:.0f} degC: "
                    "the conductor is chosen for what was said",
                    a.ambient_degC, words_of(a.place), found));
  if (!a.own && s.cable.short_circuit_A)
    list.emplace_back("cable.short_circuit is taken as of a 12 V battery");
  if (s.supply.to_unit)
    list.push_back(
        fmt::format("the battery has {:g} V and the unit {:g} V: what lies before the "
                    "converter carries the battery's voltage",
                    s.supply.bank.nominal_V, s.supply.unit_V));
  for (const Note& note : merged(a.runs, &Run::warnings)) list.push_back(note.text);
}

}  // namespace

bool Wire::met() const {
  if (own) return !wiring::hard_to_route(runs[*own]);
  return std::any_of(runs.begin(), runs.end(), [](const Run& r) { return !hard_to_route(r); });
}

scenario::Scenario closed_up(const scenario::Scenario& scenario) {
  scenario::Scenario s = scenario;
  s.air.fresh_air_hours = core::DaySchedule();
  s.air.openings.clear();
  s.air.fan.flow_m3_s = 0;
  s.ideal = {};
  // The paint alone at its high end: all others as described.
  std::vector<scenario::UnknownRange>& ranges = s.uncertainty.ranges;
  std::erase_if(ranges, [](const auto& r) { return !is_paint(r); });
  const std::vector<double> high(scenario::unknowns().size(), 1.0);
  return scenario::drawn(s, high);
}

simulation::Hottest hotter(const simulation::Hottest& a, const simulation::Hottest& b) {
  const auto of = [](const auto& x, const auto& y) {
    return std::isnan(x.T_K) || y.T_K > x.T_K ? y : x;
  };
  return {of(a.cabin_air, b.cabin_air), of(a.roof_cavity, b.roof_cavity),
          of(a.roof_surface, b.roof_surface), of(a.outdoors, b.outdoors)};
}

double full_power_W(const unit::Description& unit) {
  const unit::Map map = unit::characteristics(unit).map;
  const double from_K = unit.rated_condenser_K;
  const double to_K =
      std::max(from_K, std::min(unit.condenser_cut_out_K, map.range().condenser_high_K));
  constexpr int kSteps = 50;
  double most_W = 0;
  for (int i = 0; i <= kSteps; ++i)
    most_W = std::max(most_W, electric_W(unit, map, from_K + (to_K - from_K) * i / kSteps));
  return most_W;
}

std::vector<Caution> wire_cautions() {
  return {
      {"stored_energy", "WARNING",
       "A battery cannot be switched off: it holds enough energy to weld, burn and start fires "
       "while everything is off. Take off rings and watches, insulate tools, disconnect it first."},
      {"fuse_at_source", "WARNING",
       "Every cable that leaves the battery has its fuse at the battery, within 178 mm (7 in) of "
       "the post. A cable without one burns before anything else gives way."},
      {"ventilation", "WARNING",
       "Lead-acid batteries give off explosive hydrogen while charging: ventilate them to the "
       "outside. Lithium batteries must stay within their maker's temperatures, never charged "
       "below freezing."},
      {"licensed_work", "WARNING",
       "Have the work done and checked by someone licensed for it. The local code decides; "
       "published tables and a calculation do not replace it."},
      {"chafe", "CAUTION",
       "Where a cable passes metal it needs a grommet, every run needs support, every lug the "
       "right crimp: a good size does not help a bad joint."},
      {"model", "NOTICE",
       "All this is for the vehicle as described, in a typical year: in a hotter summer, under a "
       "darker roof or bundled with others a cable carries less than the figures say."},
  };
}

Wire wire(const simulation::Trace& closed, const scenario::Scenario& s,
          const weather::Series& weather) {
  Wire a;
  a.header = header_of("wire", s, weather);
  a.header.from = s.night.from.value_or(a.header.from);
  a.header.to = s.night.to.value_or(a.header.to);
  a.header.cautions = wire_cautions();
  a.power_stated = s.cable.power_W.has_value();
  a.power_W = a.power_stated ? *s.cable.power_W : full_power_W(s.unit);
  a.place = s.cable.place;
  a.hottest = closed.hottest;
  a.first_day = weather.first_day;
  a.ambient_stated = s.cable.ambient_K.has_value();
  a.ambient_degC = a.ambient_stated ? core::to_celsius(*s.cable.ambient_K)
                                    : std::ceil(10 * found_degC(s.cable, a.hottest)) / 10;
  a.length_m = s.cable.length_m;
  a.insulation_degC = wiring::rating_degC(s.cable.insulation);
  a.terminal_degC = s.cable.terminal_degC;
  a.allowed_drop_1 = s.cable.allowed_drop_1;
  a.conductors_together = s.cable.conductors_together;
  a.own = index_of(s.unit.volts);
  a.paint_added_1 = paint_added_1(s);
  check_place(s, a);
  a.runs = wiring::side_by_side(ask_of(s, a));
  if (!a.met()) a.ways = ways_of(s, a);
  a.rules = merged(a.runs, &Run::rules);
  a.residual_relative = closed.balance.worst();
  a.header.assumptions = assumptions_of(a.header, s, a);
  warn(s, a);
  return a;
}

}  // namespace cabinload::answers
