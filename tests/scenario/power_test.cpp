// SPDX-License-Identifier: Apache-2.0
// Battery, panels, alternator, shore, inverter and loads as a scenario file states them.
#include <algorithm>
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/runtime.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/simulation/run.hpp>
#include <cabinload/weather/typed_day.hpp>
#include <cmath>
#include <initializer_list>

#include "support/catch.hpp"
#include "support/scenario_text.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace power = cabinload::power;
namespace scenario = cabinload::scenario;
namespace simulation = cabinload::simulation;
using cabinload::test::contains;
using cabinload::test::read_text;
using cabinload::test::refusal;

namespace {

/// A day of July and its nights, on the way that `hold` and `runtime` take.
struct Ran {
  cabinload::scenario::Scenario scenario;
  cabinload::weather::Series weather;
  simulation::Trace trace;
};

Ran run(const std::string& text, const simulation::Options& options = {}) {
  Ran r;
  r.scenario = read_text(text);
  r.weather = cabinload::weather::make(*r.scenario.weather.day);
  const auto forcing = cabinload::forcing::make(r.weather, r.scenario.site, r.scenario.vehicle);
  r.trace = simulation::run(cabinload::network::assemble(r.scenario.vehicle), forcing, r.scenario,
                            options);
  return r;
}

bool told(const std::vector<std::string>& warnings, const std::string& part) {
  for (const std::string& w : warnings)
    if (w.find(part) != std::string::npos) return true;
  return false;
}

constexpr const char* kPitch =
    "weather = { high = \"30 degC\", low = \"18 degC\", date = \"07-14\" }\n"
    "battery = { capacity = \"2 kWh\", full_at = \"never\" }\n"
    "inverter = { power = \"2500 W\" }\n"
    "shore = { volts = \"120 V\", current = \"15 A\", hours = \"18:00-08:00\", charger = \"300 W\" "
    "}\n"
    "[[appliance]]\nname = \"cooktop\"\nalternating = true\non = \"19:30-20:00\"\n";

/// What a text is refused with: its key, and part of the words.
struct Refused {
  const char *text, *key, *part;
};
void check_refused(std::initializer_list<Refused> cases) {
  for (const Refused& c : cases) {
    INFO(c.text);
    CHECK_THAT(refusal(c.text), contains(c.key) && contains(c.part));
  }
}

}  // namespace

TEST_CASE("scenario: shore without a charger is told, and charges nothing", "[scenario][unit]") {
  const std::string pitch = "[shore]\ncurrent = \"10 A\"\n";
  const auto bare = read_text(pitch), charged = read_text(pitch + "charger = \"500 W\"\n");
  CHECK(told(bare.warnings, "charges no battery"));
  CHECK_FALSE(told(charged.warnings, "charges no battery"));
  const auto weather = cabinload::weather::make(
      read_text("weather = { high = \"30 degC\", low = \"18 degC\" }\n").weather.day.value());
  const auto charging = [&](const scenario::Scenario& s) {
    return answers::header_of("hold", s, weather).assumptions.back().text;
  };
  CHECK(charging(bare) == "The battery is not recharged during the period.");
  CHECK_THAT(charging(charged), contains("by a charger of 500 W"));
}

TEST_CASE("scenario: lead-acid brings its caution, a converter is said", "[scenario][unit]") {
  const auto weather = cabinload::weather::make(
      read_text("weather = { high = \"30 degC\", low = \"18 degC\" }\n").weather.day.value());
  const auto header = [&](const std::string& text) {
    return answers::header_of("hold", read_text(text), weather);
  };
  const auto gas = [](const answers::Header& h) {
    return std::count_if(h.cautions.begin(), h.cautions.end(), [](const auto& c) {
      return c.text.find("hydrogen") != std::string::npos;
    });
  };
  const auto lfp = header("battery = { capacity = \"100 Ah\", volts = \"12.8 V\" }\n");
  CHECK(gas(lfp) == 0);
  CHECK(gas(header("battery = { capacity = \"2 kWh\", chemistry = \"agm\" }\n")) == 1);
  CHECK_THAT(lfp.assumptions.back().text, contains("from 12 V to the unit's 24 V"));
}

TEST_CASE("scenario: a supply of everything is read as written", "[scenario][unit]") {
  const auto s = read_text(
      "[battery]\nchemistry = \"agm\"\nvolts = \"12 V\"\ncapacity = \"200 Ah\"\ncut_off = \"40 "
      "%\"\n"
      "standby = \"5 W\"\nplace = \"outside\"\nport_limit = \"900 W\"\n"
      "[panels]\nmount = \"portable\"\npower = \"400 W\"\ntilt = \"30 degree\"\nheading = \"180 "
      "degree\"\npercent_per_K = -0.35\n"
      "[driving]\nhours = \"09:00-11:00\"\nspeed = \"80 km/h\"\n[alternator]\ncurrent = \"30 A\"\n"
      "[shore]\nvolts = \"230 V\"\ncurrent = \"10 A\"\nhours = \"20:00-06:00\"\ncharger = \"600 "
      "W\"\n"
      "[inverter]\npower = \"1500 W\"\n"
      "[[appliance]]\npower = \"60 W\"\n");
  const power::SupplyDescription& d = s.supply;
  CHECK(d.bank.chemistry == power::Chemistry::agm);
  CHECK_RELATIVE(d.bank.nominal_energy_J, 200 * 12 * 3600.0, 1e-9);
  CHECK(d.bank.usable_low_1 == 0.4);
  CHECK(d.bank.standby_W == 5);
  CHECK(d.bank.port_limit_W == 900);
  CHECK(d.bank.place == power::Place::outside);
  REQUIRE(d.panels);
  CHECK(d.panels->stc_W == 400);
  CHECK_RELATIVE(d.panels->gamma_1_K, -0.0035, 1e-12);
  REQUIRE(s.site.planes.size() == 1);
  CHECK_RELATIVE(s.site.planes[0].tilt_rad, core::kPi / 6, 1e-12);
  CHECK_RELATIVE(s.site.planes[0].azimuth_rad, core::kPi, 1e-12);
  CHECK_FALSE(s.site.planes[0].with_vehicle);
  CHECK_FALSE(s.site.planes[0].shaded);
  REQUIRE(d.alternator);
  CHECK(d.alternator->limit_A == 30);
  REQUIRE(d.shore);
  CHECK(d.shore->charger_W == 600);
  REQUIRE(d.inverter);
  CHECK(std::isnan(s.battery_full_at_s));  // what is simulated charges it
  // 200 Ah of lithium cells are rated at 12.8 V.
  CHECK_RELATIVE(read_text("[battery]\nvolts = \"12 V\"\ncapacity = \"200 Ah\"\n")
                     .supply.bank.nominal_energy_J,
                 200 * 12.8 * 3600, 1e-9);
  CHECK(read_text("").battery_full_at_s == 18 * 3600.0);
}

TEST_CASE("scenario: a load past midnight is understood", "[scenario][unit]") {
  const auto s = read_text("[[appliance]]\npower = \"80 W\"\non = \"22:30-02:00\"\n");
  const auto W = [&](double hour) {
    return cabinload::occupants::load(s.appliances, hour * 3600, 298, 298).direct_W;
  };
  CHECK(W(22) == 0);
  CHECK(W(23) == 80);
  CHECK(W(0) == 80);
  CHECK(W(1.9) == 80);
  CHECK(W(2.1) == 0);
  // By the clock it may change within: the last value holds over midnight.
  const auto p = read_text("[[appliance]]\npower = \"06:00 90 W, 23:00 40 W\"\n");
  CHECK(cabinload::occupants::load(p.appliances, 2 * 3600.0, 298, 298).direct_W == 40);
}

TEST_CASE("scenario: a supply that cannot be is refused by name, with a remedy",
          "[scenario][unit]") {
  check_refused({
      {"[battery]\ncapacity = \"200 Ah\"\n", "battery.capacity", "battery.volts"},
      {"[battery]\ncapacity = \"200\"\n", "battery.capacity", "no unit"},
      {"[battery]\ncapacity = \"0 kWh\"\n", "battery.capacity", "10 Wh to 277 kWh"},
      {"[battery]\ncapacity = \"nan kWh\"\n", "battery.capacity", "nan"},
      {"[battery]\ncut_off = \"60 %\"\ncharged_to = \"40 %\"\n", "battery.cut_off",
       "empty at 60 %, full at 40 %: the usable window is upside down"},
      {"[battery]\nstart = \"5 %\"\n", "battery.start", "within the usable window"},
      {"[battery]\nreconnect_charge = \"5 %\"\n", "battery.reconnect_charge",
       "within the usable window"},
      {"[battery]\nvolts = \"36 V\"\n", "battery.volts", "12, 24 and 48 V"},
      {"[battery]\nvolts = \"10.2 V\"\n", "battery.volts", "not what it shows at a moment"},
      {"[unit]\nvolts = \"230 V\"\n", "unit.volts", "9 V to 66 V"},
      {"[unit]\nvolts = \"110 V\"\n", "unit.volts", "on mains is not modelled"},
      {"[unit]\nvolts = \"6 V\"\n", "unit.volts", "9 V to 66 V"},
      {"[battery]\ndisconnect = \"40 V\"\n", "battery", "below the charging voltage"},
      {"[battery]\nchemistry = \"lead\"\n", "battery.chemistry", "agm"},
      {"[battery]\nport_limit = \"-1 W\"\n", "battery.port_limit", "0"},
      {"[battery]\nplace = \"roof\"\n", "battery.place", "inside"},
      {"[battery]\ncapcity = \"2 kWh\"\n", "battery.capcity", "battery.capacity"},
      {"[panels]\ntilt = \"10 degree\"\n", "panels.power", "a power or an area"},
      {"[panels]\narea = \"40 m2\"\n", "panels.area", "on a roof of"},
      {"[panels]\npower = \"12 kW\"\n", "panels.power", "on a roof of"},
      {"[panels]\npower = \"400 W\"\ntilt = \"120 degree\"\n", "panels.tilt", "90"},
      {"[panels]\npower = \"400 W\"\nsoiling = \"120 %\"\n", "panels.soiling", "1"},
      {"[panels]\npower = \"400 W\"\npercent_per_K = 0.4\n", "panels.percent_per_K", "0"},
      {"[shore]\ncurrent = \"0 A\"\n", "shore.current", "1"},
      {"[shore]\nvolts = \"24 V\"\n", "shore.volts", "90"},
      {"[shore]\nhours = \"25:00-26:00\"\n", "shore.hours", "22:00-07:00"},
      {"[alternator]\ncurrent = \"30 A\"\n", "alternator.current", "driving.hours"},
      {"[alternator]\nefficiency = \"90 %\"\n[driving]\nhours = \"09:00-10:00\"\n",
       "alternator.current", "limit in A or W"},
      {"[inverter]\npower = \"1500 W\"\nefficiency_half = \"20 %\"\n", "inverter.efficiency_half",
       "0.5 to 1"},
      {"[inverter]\npower = \"100 W\"\nno_load = \"90 W\"\n", "battery", "inverter"},
  });
  // What stands beside the vehicle may be larger than its roof.
  CHECK(read_text("[panels]\nmount = \"portable\"\narea = \"40 m2\"\n").supply.panels->area_m2 ==
        40);
}

TEST_CASE("scenario: an appliance that cannot be is refused by name, with a remedy",
          "[scenario][unit]") {
  check_refused({
      {"[[appliance]]\npower = \"2 kW\"\nalternating = true\n", "appliance[0].alternating",
       "no inverter and no shore"},
      {"[[appliance]]\nkind = \"fridge\"\n", "appliance[0].kind", "refrigerator"},
      {"[[appliance]]\nkind = \"refrigerator\"\npower = \"0 W\"\n", "appliance[0].power",
       "compressor draws"},
      {"[[appliance]]\nkind = \"refrigerator\"\nheat_share = 1\n", "appliance[0].heat_share",
       "follows from what it draws"},
      {"[[appliance]]\nkind = \"refrigerator\"\ninside = \"20 degC\"\n", "appliance[0].inside",
       "-30 degC to 15 degC"},
      {"[[appliance]]\nkind = \"refrigerator\"\nbox_loss = \"0 W/K\"\n", "appliance[0].box_loss",
       "0.05 W/K"},
      {"[[appliance]]\nkind = \"refrigerator\"\ndoor_load = \"-5 W\"\n", "appliance[0].door_load",
       "0 W to 500 W"},
      {"[[appliance]]\nkind = \"refrigerator\"\ncondenser = \"roof\"\n", "appliance[0].condenser",
       "outside"},
      {"[[appliance]]\npower = \"20 W\"\ndoor_load = \"5 W\"\n", "appliance[0].door_load",
       "kind = \"refrigerator\""},
      {"[[appliance]]\npower = \"2 kWh\"\n", "appliance[0].power", "not a power"},
      {"[[appliance]]\npower = \"2 kW\"\non = \"22-2-4\"\n", "appliance[0].on", "22:00-07:00"},
  });
}

TEST_CASE("scenario: shore power and a cooktop above its limit trip it, and that is told",
          "[scenario][unit]") {
  // The pitch gives 15 A at 120 V, 1800 W.
  const std::string text = std::string(kPitch) + "power = \"1900 W\"\n";
  const Ran night = run(text);
  simulation::Options unit_off;
  unit_off.unit_enabled = false;
  const Ran off = run(text, unit_off);
  const auto hold = answers::hold(night.trace, off.trace, night.scenario, night.weather);
  CHECK(told(hold.header.warnings, "trips on 14 July at 19:31"));
  CHECK(told(hold.header.warnings, "15 A (1800 W)"));
  // A smaller one does not, while the battery is full.
  const std::string less = std::string(kPitch) + "power = \"1400 W\"\n";
  const Ran quiet = run(less);
  CHECK_FALSE(told(answers::supply_warnings(quiet.trace, quiet.scenario, quiet.weather.first_day),
                   "trips"));
  // `runtime` tells too.
  simulation::Options options;
  options.window = simulation::Window{19 * 3600.0, 4, 0.5};
  const Ran from = run(text, options);
  const auto answer = answers::runtime(from.trace, *options.window, from.scenario, from.weather);
  CHECK(told(answer.header.warnings, "trips on 14 July at 19:31"));
}

TEST_CASE("scenario: a battery in the frost is charged as its cells allow, and that is told",
          "[scenario][unit]") {
  const auto frost = [](const std::string& battery) {
    return run(
        "weather = { high = \"-4 degC\", low = \"-12 degC\", dew_point = \"-15 degC\", date "
        "= \"01-14\" }\n" +
        battery +
        "shore = { hours = \"always\", charger = \"300 W\" }\n"
        "[[appliance]]\npower = \"60 W\"\non = \"00:00-06:00\"\n");
  };
  const Ran out = frost("battery = { place = \"outside\", start = \"50 %\" }\n");
  const auto warnings = answers::supply_warnings(out.trace, out.scenario, out.weather.first_day);
  CHECK(told(warnings, "below 0 °C (lithium cells take none then)"));
  CHECK(out.trace.frozen_charge_h > 12);
  double most_1 = 0;
  for (const double charge_1 : out.trace.hourly.state_of_charge_end_1)
    most_1 = std::max(most_1, charge_1);
  CHECK(most_1 < 1);
  // Lead takes a little.
  const Ran lead =
      frost("battery = { place = \"outside\", chemistry = \"agm\", start = \"60 %\" }\n");
  CHECK(lead.trace.hourly.state_of_charge_end_1.back() > 0.9);
  // In mild weather nothing is said.
  const Ran mild = run(std::string(kPitch) + "power = \"100 W\"\n");
  CHECK(answers::supply_warnings(mild.trace, mild.scenario, mild.weather.first_day).empty());
}

TEST_CASE("scenario: a refrigerator is told by its kind", "[scenario][unit]") {
  const auto s = read_text(
      "[[appliance]]\nkind = \"refrigerator\"\ncondenser = \"outside\"\ninside = \"-18 degC\"\n"
      "door_load = \"08:00 12 W, 22:00 0 W\"\n[[appliance]]\npower = \"10 W\"\n");
  REQUIRE(s.appliances.size() == 2);
  REQUIRE(s.appliances[0].refrigerator);
  CHECK(s.appliances[0].power_W.at(0) == 45);
  CHECK_FALSE(s.appliances[0].refrigerator->condenser_inside);
  CHECK_WITHIN(s.appliances[0].refrigerator->T_inside_K, 255.15, 1e-9);
  CHECK(s.appliances[0].refrigerator->load_W.at(12 * 3600.0) == 12);
  CHECK(s.appliances[0].refrigerator->load_W.at(23 * 3600.0) == 0);
  CHECK_FALSE(s.appliances[1].refrigerator);
  // What is shown reads back.
  const auto again = read_text(cabinload::scenario::effective_toml(s));
  CHECK(cabinload::scenario::effective_toml(again) == cabinload::scenario::effective_toml(s));
}

TEST_CASE("scenario: what its way from the battery cannot feed is told", "[scenario][unit]") {
  const auto warned = [](const std::string& text, const char* part) {
    return told(read_text(text).warnings, part);
  };
  CHECK(warned("[battery]\nport_limit = \"400 W\"\n", "its outlet gives 400 W"));
  CHECK_FALSE(warned("[battery]\nport_limit = \"1500 W\"\n", "port_limit"));
  CHECK(warned("[battery]\nvolts = \"12 V\"\n[converter]\npower = \"300 W\"\n",
               "converter.power: it gives 300 W"));
  CHECK_FALSE(warned("[battery]\nvolts = \"12 V\"\n", "converter.power"));
  // Two at once on one inverter; one after the other they find room.
  const std::string kettle =
      "[inverter]\npower = \"1500 W\"\n[[appliance]]\npower = \"1 kW\"\nalternating = true\non = "
      "\"19:00-20:00\"\n[[appliance]]\npower = \"800 W\"\nalternating = true\non = ";
  CHECK(warned(kettle + "\"19:30-19:50\"\n", "ask for 1800 W of alternating current at once"));
  CHECK_FALSE(warned(kettle + "\"20:00-20:30\"\n", "alternating current at once"));
}

TEST_CASE("scenario: volts that nobody calls a supply are told", "[scenario][unit]") {
  // Taken as the nearest of 12, 24 and 48 V by ratio: between them at 17.0 and 33.9 V.
  const struct {
    const char* volts;
    double nominal_V;
    bool odd;
  } cases[] = {{"10.8 V", 12, false}, {"12.8 V", 12, false}, {"14.6 V", 12, false},
               {"16.5 V", 12, true},  {"17.5 V", 24, true},  {"25.6 V", 24, false},
               {"33 V", 24, true},    {"36 V", 48, true},    {"51.2 V", 48, false},
               {"58.4 V", 48, false}, {"63 V", 48, true},    {"9.5 V", 12, true}};
  for (const auto& c : cases) {
    INFO(c.volts);
    const auto s = read_text(std::string("[unit]\nvolts = \"") + c.volts + "\"\n");
    CHECK(s.supply.unit_V == c.nominal_V);
    CHECK(s.supply.bank.nominal_V == c.nominal_V);
    CHECK(told(s.warnings, "none of 12, 24 and 48 V; its supply is taken as one of") == c.odd);
  }
}
