// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/answers/hold.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/store/store.hpp>
#include <cabinload/study/runner.hpp>
#include <cabinload/study/spread.hpp>
#include <functional>
#include <memory>

#include "runs.hpp"

namespace cabinload::cli {
namespace {

constexpr const char* kExamples =
    "A night is held when the air at the bed stays at or below the limit through the\n"
    "sleep window, apart from the pull-down allowance at its start. A night needs\n"
    "cooling when it would not be held with the unit off. Exit status 1: not all\n"
    "nights that need cooling are held; with --samples, may be promised.\n\n"
    "Examples:\n"
    "  cabinload hold --vehicle long-van --insulation good --from 06-01 --to 08-31\n"
    "  cabinload hold --samples 64 --from 06-01 --to 08-31\n"
    "  cabinload hold --high \"100 degF\" --low \"75 degF\" --dew-point \"60 degF\" --units us\n";

struct HoldOptions {
  ScenarioOptions scenario;
  OutputOptions output;
  Closer closer;
};

std::optional<int> step_night(const std::string& date, const scenario::Scenario& scenario,
                              const forcing::Forcing& forcing) {
  if (date.empty()) return std::nullopt;
  scenario::Night night = scenario.night;
  night.from = night.to = core::parse_date(date);
  return simulation::nights_of(night, forcing.hours, forcing.first_day).first;
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
    resolved.night.from = resolved.night.to = core::parse_date(cycles);
    simulation::Options options;
    options.cycles = true;
    options.step_trace_night = step_night(cycles, scenario, forcing);
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

/// Which night --why is about: the one that was named, else the hardest, else the warmest.
std::size_t asked_night(const std::string& why, const answers::Hold& answer) {
  const auto& nights = answer.each_night;
  const auto refuse = [](const std::string& what) {
    return core::InputError({"command line", 0, 0, "--why", what,
                             "an evening of the period as --why=07-14, or --why alone for the "
                             "hardest one"});
  };
  if (why == "true" && answer.worst_night) return *answer.worst_night;
  auto found = std::max_element(nights.begin(), nights.end(), [](const auto& a, const auto& b) {
    return a.bed_peak_K < b.bed_peak_K;
  });
  if (why != "true") try {
      found = std::find_if(
          nights.begin(), nights.end(),
          [date = core::parse_date(why)](const answers::HoldNight& n) { return n.date == date; });
    } catch (const core::Error& e) {
      throw refuse(e.what());
    }
  if (found == nights.end()) throw refuse("'" + why + "' is no night of the period");
  return static_cast<std::size_t>(found - nights.begin());
}

/// The same run again up to that night, its flows accounted for.
void explain(const scenario::Scenario& scenario, const std::string& why, HoldRun& result) {
  if (why.empty()) return;
  const std::size_t index = asked_night(why, result.answer);
  const answers::HoldNight& night = result.answer.each_night[index];
  const int first_day = result.forcing.first_day;
  scenario::Scenario until = scenario;
  until.night.to = night.date;
  const int first = simulation::nights_of(scenario.night, result.forcing.hours, first_day).first;
  simulation::Options options;
  options.flows = answers::spans_of(night, scenario.night, first + static_cast<int>(index));
  const study::Case cases[] = {{"why", &result.cabin, &result.forcing, &until, options}};
  result.answer.header.flows = answers::night_ledgers(study::run(cases)[0].flows, first_day);
}

/// The whole way of the data, once.
HoldRun stand(const scenario::Scenario& scenario, const weather::Series& weather,
              const Closer& closer, const std::function<void(double)>& progress) {
  HoldRun result;
  result.forcing = forcing::make(weather, scenario.site, scenario.vehicle);
  result.cabin = network::assemble(scenario.vehicle);
  simulation::Options on, off;
  off.unit_enabled = false;
  on.step_trace_night = step_night(closer.steps, scenario, result.forcing);
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
  constexpr int kHeadings = 8;
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
  if (!output.out_file.empty())
    store::write(output.out_file,
                 {scenario::effective_toml(scenario), json, context.command_line, weather.first_day,
                  answer, result.traces[0], result.traces[1]},
                 output.force);
  context.out = output.json ? json : report::terminal(answer, output.style(context));
  if (!output.out_file.empty() && !output.quiet)
    context.err += "written: " + output.out_file + "\n";
  keep_csv(context, output, json);
  context.exit = answer.met() ? core::ExitCode::done : core::ExitCode::not_met;
}

}  // namespace

HoldRun hold_run(scenario::Scenario& scenario, const weather::Series& weather, const Closer& closer,
                 ProgressLine& line) {
  HoldRun result = scenario.heading_worst ? stand_worst(scenario, weather, closer, line)
                                          : stand(scenario, weather, closer,
                                                  [&line](double share_1) { line.show(share_1); });
  draw_vans(scenario, weather, line, result);
  look_closer(scenario, closer.cycles, result);
  explain(scenario, closer.why, result);
  return result;
}

void add_hold(CLI::App& app, Context& context) {
  auto options = std::make_shared<HoldOptions>();
  CLI::App* command =
      app.add_subcommand("hold", "Which nights people can sleep, and why not others");
  add_scenario(*command, options->scenario);
  add_samples(*command, options->scenario);
  add_output(*command, options->output);
  command->add_option("-o,--out", options->output.out_file, "keep the result as an HDF5 file");
  command->add_flag("--force", options->output.force, "replace an existing file");
  command->add_option("--steps", options->closer.steps,
                      "keep every step of this night in the file, 07-14");
  command->add_option("--cycles", options->closer.cycles,
                      "resolve this night at 1 s, the compressor going on and off, 07-14");
  command->add_flag("--why", options->closer.why,
                    "what comes in and goes out in the hardest night; --why=07-14: in that one");
  add_csv(*command, options->output, "hold");
  add_examples(*command, kExamples);
  command->callback([&context, options] { hold(context, *options); });
}

}  // namespace cabinload::cli
