// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/load.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/store/store.hpp>
#include <cabinload/study/runner.hpp>
#include <cmath>
#include <memory>
#include <optional>

#include "command.hpp"
#include "keep.hpp"
#include "progress_line.hpp"
#include "why.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "The demand is what has to be taken from the cabin, hour by hour, so that its air "
    "stays at the set point and no wetter than --humidity: heat (sensible) and moisture "
    "(latent), of whatever size. The parts by cause add up to it; one that counts below "
    "zero takes heat out. 99 % means: 99 of 100 hours need less. --hours: all, unit (the "
    "hours of unit.on), or as 21:00-07:00. Every hour by cause is kept by --out. Exit "
    "status 0, also where nothing needs cooling.",
    "What a unit can do: a smaller one lets the cabin get warmer and may still hold the "
    "night, which is asked of `cabinload hold`.",
    {"cabinload load --vehicle long-van --insulation good --from 06-01 --to 08-31",
     "cabinload load --high \"100 degF\" --low \"75 degF\" --hours unit --units us"}};

struct LoadOptions {
  ScenarioOptions scenario;
  OutputOptions output;
  std::string hours = "all", humidity = "60 %";
  std::string why;
  bool by_body = false;
};

core::DaySchedule hours_of(const std::string& text, const scenario::Scenario& scenario) {
  if (text == "all") return core::DaySchedule::always();
  if (text == "unit") {
    if (scenario.unit_on.empty())
      refuse_option("--hours", "unit.on is 'never'", "--hours all, or hours as 21:00-07:00");
    return scenario.unit_on;
  }
  try {
    core::DaySchedule hours = core::DaySchedule::parse(text);
    if (hours.hours() > 0) return hours;
  } catch (const core::Error& e) {
    refuse_option("--hours", e.what(), "all, unit (the hours of unit.on), or hours as 21:00-07:00");
  }
  refuse_option("--hours", "'" + text + "' holds no hour",
                "all, unit (the hours of unit.on), or hours as 21:00-07:00");
}

double humidity_of(const std::string& text) {
  double humidity_1 = 0;
  try {
    humidity_1 = core::parse_quantity(text, core::Quantity::dimensionless);
  } catch (const core::Error& e) {
    refuse_option("--humidity", e.what(), "\"60 %\"");
  }
  if (!(humidity_1 >= 0.05 && humidity_1 <= 1))
    refuse_option("--humidity", "'" + text + "' is out of range", "between \"5 %\" and \"100 %\"");
  return humidity_1;
}

/// A cabin that is heated above the temperature to which it is cooled has no demand that means
/// anything.
void refuse_conflict(const scenario::Scenario& scenario, const core::DayProfile& T_set_K) {
  if (!scenario.ideal.heat_to_K) return;
  for (double s = 0; s < core::kSecondsInDay; s += 60)
    if (scenario.ideal.heat_to_K->at(s) > T_set_K.at(s)) {
      const auto shown = [](double T_K) {
        return core::format_quantity(T_K, core::Quantity::temperature, core::UnitSystem::si, 1);
      };
      refuse_option("ideal.heat_to",
                    "heats to " + shown(scenario.ideal.heat_to_K->at(s)) + " at " +
                        core::clock_text(s) + ", above the set point of " + shown(T_set_K.at(s)),
                    "a set point above it, or ideal.heat_to = \"none\"");
    }
}

/// What the scenario and the command line ask for.
simulation::DemandOptions asked(const LoadOptions& o, const scenario::Scenario& scenario) {
  simulation::DemandOptions options = simulation::demand_options(scenario);
  for (const scenario::Override& x : o.scenario.overrides)  // before a stated ideal cooling's
    if (x.origin == "--set-point")
      options.T_set_K =
          core::DayProfile(scenario.unit_settings.T_set_K - scenario.air.return_offset_K);
  refuse_conflict(scenario, options.T_set_K);
  options.hours = hours_of(o.hours, scenario);
  options.humidity_1 = humidity_of(o.humidity);
  return options;
}

/// One vehicle as it stands.
struct Standing {
  simulation::Demand demand;
  answers::Load answer;
};

Standing stand(const scenario::Scenario& scenario, const weather::Series& weather,
               const simulation::DemandOptions& options) {
  const forcing::Forcing forcing = forcing::make(weather, scenario.site, scenario.vehicle);
  const network::Cabin cabin = network::assemble(scenario.vehicle);
  const study::DemandCase cases[] = {{"demand", &cabin, &forcing, &scenario, options}};
  Standing result;
  result.demand = std::move(study::demands(cases)[0]);
  result.answer = answers::load(result.demand, options, scenario, weather);
  return result;
}

/// Eight headings, one after the other so that memory does not grow; the highest hour wins.
Standing stand_worst(scenario::Scenario& scenario, const weather::Series& weather,
                     simulation::DemandOptions options, ProgressLine& line) {
  constexpr int kHeadings = 8;
  std::vector<answers::Load::Heading> headings;
  Standing worst;
  for (int i = 0; i < kHeadings; ++i) {
    scenario.vehicle.heading_rad = i * 2 * core::kPi / kHeadings;
    options.progress = [&](double share_1) { line.show((i + share_1) / kHeadings); };
    Standing one = stand(scenario, weather, options);
    headings.push_back({scenario.vehicle.heading_rad, one.answer.peak_W()});
    if (i == 0 || one.answer.peak_W() > worst.answer.peak_W()) worst = std::move(one);
  }
  scenario.vehicle.heading_rad = worst.answer.heading_rad;
  worst.answer.headings = headings;
  return worst;
}

/// The same in every built-in body: what one figure per floor area is worth.
std::vector<answers::Load::Body> bodies(const LoadOptions& o, const weather::Series& weather) {
  struct Work {
    scenario::Scenario scenario;
    forcing::Forcing forcing;
    network::Cabin cabin;
    simulation::DemandOptions options;
  };
  std::vector<std::unique_ptr<Work>> all;
  std::vector<study::DemandCase> cases;
  std::vector<answers::Load::Body> rows;
  for (const vehicle::Body& body : vehicle::bodies()) {
    std::vector<scenario::Override> overrides = o.scenario.overrides;
    overrides.push_back({"vehicle.body", body.key, "--by-body"});
    auto w = std::make_unique<Work>();
    w->scenario = scenario::read(o.scenario.file, overrides);
    w->forcing = forcing::make(weather, w->scenario.site, w->scenario.vehicle);
    w->cabin = network::assemble(w->scenario.vehicle);
    w->options = asked(o, w->scenario);
    cases.push_back({body.key, &w->cabin, &w->forcing, &w->scenario, w->options});
    rows.push_back({body.key, w->scenario.vehicle.floor_area_m2, 0});
    all.push_back(std::move(w));
  }
  const std::vector<simulation::Demand> demands = study::demands(cases);
  for (std::size_t i = 0; i < rows.size(); ++i) rows[i].peak_W = answers::highest_W(demands[i]);
  return rows;
}

/// The hour that was named, or the highest of those that fit what was named, cause by cause.
void explain(Standing& result, const std::string& why, int first_day) {
  const simulation::Demand& d = result.demand;
  const Moment asked = moment_of("--why", why);
  const auto total_W = [&](std::size_t h) { return d.sensible_W[h] + d.latent_W[h]; };
  std::optional<std::size_t> highest;
  for (std::size_t h = 0; h < d.sensible_W.size(); ++h) {
    const double s = d.start_s + static_cast<double>(h) * core::kSecondsInHour;
    const double day = std::floor(s / core::kSecondsInDay + 1e-9);
    const auto hour = std::lround((s - day * core::kSecondsInDay) / core::kSecondsInHour);
    if (asked.date && !(core::date_of(first_day + static_cast<int>(day)) == *asked.date)) continue;
    if (asked.second_of_day && std::lround(*asked.second_of_day) / 3600 != hour) continue;
    if (!highest || total_W(h) > total_W(*highest)) highest = h;
  }
  if (!highest) refuse_moment(why);
  result.answer.header.flows = {answers::ledger(
      why == "true" ? "The hour of the highest demand" : "The highest hour asked for", d, *highest,
      first_day)};
}

void load(Context& context, const LoadOptions& o) {
  const OutputOptions& output = o.output;
  if (!output.out_file.empty()) core::check_output(output.out_file, output.force);
  probe_csv(output);

  scenario::Scenario scenario = scenario::read(o.scenario.file, o.scenario.overrides);
  if (o.by_body && (scenario.vehicle.body == "own" || scenario.heading_worst))
    refuse_option("--by-body", "needs a built-in body and one heading",
                  "vehicle.body as `cabinload list vehicles` names them, vehicle.heading "
                  "as a direction");
  simulation::DemandOptions options = asked(o, scenario);
  (void)moment_of("--why", o.why);  // told before the weather is read
  const weather::Series weather = weather_of(scenario);
  ProgressLine line(context.surroundings.err_is_terminal && !output.quiet && !output.json);
  options.progress = [&line](double share_1) { line.show(share_1); };
  Standing result = scenario.heading_worst ? stand_worst(scenario, weather, options, line)
                                           : stand(scenario, weather, options);
  if (o.by_body) result.answer.bodies = bodies(o, weather);
  if (!o.why.empty() && result.answer.peak) explain(result, o.why, weather.first_day);
  const std::string json = report::json(result.answer);
  tell(context, output, result.answer, json,
       store::LoadResult{about(context, scenario, json, weather.first_day), result.answer,
                         result.demand});
}

}  // namespace

void add_load(CLI::App& app, Context& context) {
  auto options = std::make_shared<LoadOptions>();
  CLI::App* command =
      app.add_subcommand("load", "What has to be cooled away hour by hour, and what causes it");
  add_scenario(*command, options->scenario, &context);
  add_output(*command, options->output);
  command->add_option("--hours", options->hours, "when the cabin is held")->capture_default_str();
  command->add_option("--humidity", options->humidity, "no wetter than this at the set point")
      ->capture_default_str();
  add_out_file(*command, options->output);
  command->add_flag("--why", options->why,
                    "what comes in and goes out in the highest hour; --why=07-14: of that day");
  command->add_flag("--by-body", options->by_body,
                    "beside it the demand of every built-in body per floor area");
  add_csv(*command, options->output, "load");
  add_help(*command, kHelp);
  command->callback([&context, options] { load(context, *options); });
}

}  // namespace cabinload::cli
