// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/wire.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/simulation/run.hpp>
#include <cabinload/study/runner.hpp>
#include <memory>

#include "runs.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "Conductor, voltage drop and fuse of the run from the battery to the unit, at 12, 24 "
    "and 48 V side by side. The ambient is the hottest that the simulation finds where "
    "the cable lies, over the period, unit off and vehicle closed; the ampacity is the "
    "table's, corrected for it. Exit status 1: nobody can route it at the unit's voltage.",
    "What the local code, the unit's maker or the vehicle's own wiring asks beside it. "
    "Have the work done by someone licensed for it.",
    {"cabinload wire --length \"18 ft\" --unit generic-2600-48v --units us",
     "cabinload wire --place cabin --set cable.insulation=\"105 degC\" --paint black"}};

struct WireOptions {
  ScenarioOptions scenario;
  OutputOptions output;
};

/// The vehicle closed and the unit off, as the period goes by; of eight headings the hottest of
/// each place.
simulation::Trace closed_trace(const scenario::Scenario& as_given, const weather::Series& weather) {
  scenario::Scenario s = answers::closed_up(as_given);
  simulation::Options off;
  off.unit_enabled = false;
  const int headings = s.heading_worst ? kHeadings : 1;
  std::optional<simulation::Trace> result;
  for (int i = 0; i < headings; ++i) {
    if (headings > 1) s.vehicle.heading_rad = i * 2 * core::kPi / headings;
    const forcing::Forcing forcing = forcing::make(weather, s.site, s.vehicle);
    const network::Cabin cabin = network::assemble(s.vehicle);
    const study::Case cases[] = {{"closed", &cabin, &forcing, &s, off}};
    simulation::Trace trace = std::move(study::run(cases).front());
    if (result) {
      trace.hottest = answers::hotter(result->hottest, trace.hottest);
      if (result->balance.worst() > trace.balance.worst()) trace.balance = result->balance;
    }
    result = std::move(trace);
  }
  return *result;
}

void wire(Context& context, const WireOptions& options) {
  probe_csv(options.output);
  const scenario::Scenario scenario =
      scenario::read(options.scenario.file, options.scenario.overrides);
  const weather::Series weather = weather_of(scenario);
  const answers::Wire answer = wire_run(scenario, weather);
  const std::string json = report::json(answer);
  context.out =
      options.output.json ? json : report::terminal(answer, options.output.style(context));
  keep_csv(context, options.output, json);
  context.exit = answer.met() ? core::ExitCode::done : core::ExitCode::not_met;
}

}  // namespace

answers::Wire wire_run(const scenario::Scenario& scenario, const weather::Series& weather) {
  return answers::wire(closed_trace(scenario, weather), scenario, weather);
}

void add_wire(CLI::App& app, Context& context) {
  auto options = std::make_shared<WireOptions>();
  CLI::App* command = app.add_subcommand("wire", "Conductor, drop and fuse at 12, 24 and 48 V");
  add_scenario(*command, options->scenario, &context);
  const auto set = [&](const char* flag, const char* key, const char* help) {
    command->add_option_function<std::string>(
        flag,
        [options, flag, key](const std::string& value) {
          options->scenario.overrides.push_back({key, value, flag});
        },
        help);
  };
  set("--length", "cable.length", "cable from battery to unit, one way, \"18 ft\"");
  set("--place", "cable.place", "roof-cavity, cabin, engine-bay");
  add_output(*command, options->output);
  add_csv(*command, options->output, "wire");
  add_help(*command, kHelp);
  command->callback([&context, options] { wire(context, *options); });
}

}  // namespace cabinload::cli
