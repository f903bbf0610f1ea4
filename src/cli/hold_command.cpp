// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/would_hold.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/store/store.hpp>
#include <cabinload/study/runner.hpp>
#include <cabinload/study/spread.hpp>
#include <functional>
#include <memory>

#include "keep.hpp"
#include "runs.hpp"
#include "why.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "A night is held when the air at the bed stays at or below the limit through the "
    "sleep window, apart from the pull-down allowance at its start, and the battery serves "
    "the other loads through it: a night on which refrigerator or lights go dark is lost, "
    "however cool the bed, and says so. It needs cooling when it would not be held with the unit "
    "off: only those nights are counted. A lost night says why: capacity, battery empty, a limit "
    "of the "
    "supply, cut-out, pull-down, schedule. The first line promises what nineteen in twenty of 64 "
    "vans hold, drawn from what nobody knows exactly (`cabinload list uncertainty`); --samples 0 "
    "is "
    "the van as described alone, much quicker. Exit status 1: not all nights that need cooling "
    "may be promised (with --samples 0: are held).",
    "How a hotter year than the typical one goes. With --samples 0 it is one calculation: promise "
    "fewer nights. Nothing about noise, draught or where in the bed it is warm.",
    {"cabinload hold --vehicle long-van --insulation good --from 06-01 --to 08-31",
     "cabinload hold --samples 0 --from 06-01 --to 08-31",
     "cabinload hold --high \"100 degF\" --low \"75 degF\" \\\n    --dew-point \"60 degF\" --units "
     "us"}};

struct HoldOptions {
  ScenarioOptions scenario;
  OutputOptions output;
  Closer closer;
};

/// Day of the series on which a night that an option names lies.
std::optional<int> night_of(const char* option, const std::string& date,
                            const scenario::Scenario& scenario, const forcing::Forcing& forcing) {
  if (date.empty()) return std::nullopt;
  return evening_of(option, date_of(option, date),
                    simulation::nights_of(scenario.night, forcing.hours, forcing.first_day),
                    forcing.first_day);
}

/// The soaked vehicle, one night with the compressor really going on and off, and what a battery
/// that ran empty lacked.
void look_closer(const scenario::Scenario& scenario, const std::string& cycles, HoldRun& result) {
  const forcing::Forcing& forcing = result.forcing;
  const network::Cabin& cabin = result.cabin;
  const scenario::Scenario soaked =
      answers::soak_scenario(result.traces[1], scenario, forcing.first_day);
  std::vector<study::Case> cases = {{"soaked", &cabin, &forcing, &soaked, {}}};
  scenario::Scenario resolved = scenario;
  if (!cycles.empty()) {
    resolved.step_s = 1;
    resolved.night.from = resolved.night.to = date_of("--cycles", cycles);
    simulation::Options options;
    options.cycles = true;
    options.step_trace_night = night_of("--cycles", cycles, scenario, forcing);
    cases.push_back({"cycles", &cabin, &forcing, &resolved, options});
  }
  scenario::Scenario ample;
  if (answers::ran_empty(result.answer)) {
    ample = answers::ample_scenario(scenario, result.answer);
    cases.push_back({"ample", &cabin, &forcing, &ample, {}});
  }
  const std::vector<simulation::Trace> traces = study::run(cases);
  result.answer.soak = answers::soak(traces[0], soaked);
  if (answers::ran_empty(result.answer))
    answers::add_missing(result.answer, result.traces[0], traces.back(), scenario.night);
  if (!cycles.empty()) result.answer.cycles = answers::cycle_night(traces[1], result.answer);
}

/// What alone would have held the hardest night.
void look_for_help(const scenario::Scenario& scenario, const weather::Series& weather,
                   HoldRun& result) {
  if (result.answer.met()) return;
  answers::WouldHoldSearch search(scenario, result.answer);
  std::optional<forcing::Forcing> shaded;
  for (auto tries = search.wanted(); !tries.empty(); tries = search.wanted()) {
    std::vector<scenario::Scenario> scenarios;
    scenarios.reserve(tries.size());
    for (const answers::WouldHoldTry& t : tries)
      scenarios.push_back(answers::would_hold_scenario(scenario, result.answer, t));
    std::vector<study::Case> cases;
    for (std::size_t i = 0; i < tries.size(); ++i) {
      const bool shade = tries[i].what == answers::WouldHoldTry::What::shade;
      if (shade) shaded = forcing::make(weather, scenarios[i].site, scenarios[i].vehicle);
      cases.push_back(
          {"would hold", &result.cabin, shade ? &*shaded : &result.forcing, &scenarios[i], {}});
    }
    const std::vector<simulation::Trace> traces = study::run(cases);
    for (std::size_t i = 0; i < tries.size(); ++i)
      search.tell(tries[i], traces[i].nights.back().held());
  }
  result.answer.would_hold = search.found();
  if (!result.answer.would_hold || !result.answer.would_hold->shade) return;
  if (auto told = answers::shade_on_panels(scenario))
    result.answer.header.assumptions.push_back(std::move(*told));
}

/// The whole way of the data, once.
HoldRun stand(const scenario::Scenario& scenario, const weather::Series& weather,
              const Closer& closer, const std::function<void(double)>& progress) {
  HoldRun result;
  result.forcing = forcing::make(weather, scenario.site, scenario.vehicle);
  for (const auto& [option, date] : {std::pair("--cycles", closer.cycles), {"--why", closer.why}})
    if (date != "true") (void)night_of(option, date, scenario, result.forcing);  // before the work
  result.cabin = network::assemble(scenario.vehicle);
  simulation::Options on, off;
  off.unit_enabled = false;
  on.step_trace_night = night_of("--steps", closer.steps, scenario, result.forcing);
  on.progress = progress;
  const study::Case cases[] = {{"unit on", &result.cabin, &result.forcing, &scenario, on},
                               {"unit off", &result.cabin, &result.forcing, &scenario, off}};
  result.traces = study::run(cases);
  result.answer = answers::hold(result.traces[0], result.traces[1], scenario, weather);
  return result;
}

/// The vans that the description fits, each like the one described but for what was drawn.
void draw_vans(const scenario::Scenario& scenario, const weather::Series& weather,
               ProgressLine& line, HoldRun& result) {
  if (scenario.uncertainty.samples == 0) return;
  const auto vans =
      study::drawn_nights(scenario, std::make_shared<const weather::Series>(weather),
                          [&](std::size_t done, std::size_t of) {
                            line.show(static_cast<double>(done) / static_cast<double>(of));
                          });
  result.answer.spread = study::spread_of(result.answer, vans);
}

/// Eight headings, one after the other so that memory does not grow; the hardest is the answer.
HoldRun stand_worst(scenario::Scenario& scenario, const weather::Series& weather,
                    const Closer& closer, ProgressLine& line) {
  std::vector<answers::Hold> all;
  std::vector<answers::Hold::Heading> headings;
  HoldRun worst;
  for (int i = 0; i < kHeadings; ++i) {
    scenario.vehicle.heading_rad = i * 2 * core::kPi / kHeadings;
    HoldRun one = stand(scenario, weather, closer,
                        [&](double share_1) { line.show((i + share_1) / kHeadings); });
    headings.push_back({scenario.vehicle.heading_rad, one.answer.held, one.answer.needing_cooling});
    all.push_back(one.answer);
    if (answers::hardest_of(all) + 1 == all.size()) worst = std::move(one);
  }
  scenario.vehicle.heading_rad = worst.answer.heading_rad;
  worst.answer.headings = headings;
  return worst;
}

void hold(Context& context, const HoldOptions& options) {
  const OutputOptions& output = options.output;
  if (!output.out_file.empty()) core::check_output(output.out_file, output.force);
  probe_csv(output);

  scenario::Scenario scenario = scenario::read(options.scenario.file, options.scenario.overrides);
  const weather::Series weather = weather_of(scenario);
  ProgressLine line(context.surroundings.err_is_terminal && !output.quiet && !output.json);
  const HoldRun result = hold_run(scenario, weather, options.closer, line);
  const answers::Hold& answer = result.answer;
  const std::string json = report::json(answer);
  tell(context, output, answer, json,
       store::Result{about(context, scenario, json, weather.first_day), answer, result.traces[0],
                     result.traces[1]});
  context.exit = answer.met() ? core::ExitCode::done : core::ExitCode::not_met;
}

}  // namespace

void require_limit_in_reach(const scenario::Scenario& s) {
  const double over_K = s.air.bed_offset_K - s.air.return_offset_K;
  const double bed_K = s.unit_settings.T_set_K + over_K;
  if (bed_K <= s.night.T_limit_K + 1e-9) return;
  const auto both = [](double T_K) {
    return fmt::format("{:.1f} degC ({:.1f} degF)", core::to_celsius(T_K),
                       core::to_celsius(T_K) * 1.8 + 32);
  };
  throw core::InputError(scenario::problem_at(
      s, scenario::given(s, "night.limit") ? "night.limit" : "unit.set_point",
      fmt::format("the set point of {} keeps the bed at {}, above the sleeper's limit of {}: no "
                  "night could be held",
                  both(s.unit_settings.T_set_K), both(bed_K), both(s.night.T_limit_K)),
      fmt::format("unit.set_point of at most {:.1f} degC, or a higher night.limit",
                  core::to_celsius(s.night.T_limit_K - over_K))));
}

HoldRun hold_run(scenario::Scenario& scenario, const weather::Series& weather, const Closer& closer,
                 ProgressLine& line) {
  require_limit_in_reach(scenario);
  HoldRun result = scenario.heading_worst ? stand_worst(scenario, weather, closer, line)
                                          : stand(scenario, weather, closer,
                                                  [&line](double share_1) { line.show(share_1); });
  draw_vans(scenario, weather, line, result);
  look_closer(scenario, closer.cycles, result);
  look_for_help(scenario, weather, result);
  if (!closer.why.empty())
    result.answer.header.flows = night_flows(
        scenario, weather, result.answer.each_night[asked_night(closer.why, result.answer)]);
  return result;
}

void add_hold(CLI::App& app, Context& context) {
  auto options = std::make_shared<HoldOptions>();
  CLI::App* command =
      app.add_subcommand("hold", "Which nights people can sleep, and why not others");
  add_scenario(*command, options->scenario, &context);
  add_samples(*command, options->scenario, true);
  add_output(*command, options->output);
  add_out_file(*command, options->output);
  command
      ->add_option("--steps", options->closer.steps,
                   "keep every step of this night in the file of --out, 07-14")
      ->needs(command->get_option("--out"));
  command->add_option("--cycles", options->closer.cycles,
                      "resolve this night at 1 s, the compressor going on and off, 07-14");
  command->add_flag("--why", options->closer.why,
                    "what comes in and goes out in the hardest night; --why=07-14: in that one");
  add_csv(*command, options->output, "hold");
  add_help(*command, kHelp);
  command->callback([&context, options] { hold(context, *options); });
}

}  // namespace cabinload::cli
