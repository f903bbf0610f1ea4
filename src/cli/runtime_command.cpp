// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/runtime.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/store/store.hpp>
#include <cabinload/study/runner.hpp>
#include <cmath>
#include <memory>

#include "command.hpp"
#include "keep.hpp"
#include "progress_line.hpp"
#include "why.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "From a charge and a moment on the unit is asked on until the battery is empty, 48 h "
    "at most; what charges the battery meanwhile is simulated. Beside it stands what a "
    "display shows that divides the rest by the draw of the moment: the difference is the"
    " night cooling down and the unit cycling. Without --at: when the unit is switched "
    "on, on the evening with the warmest 12 hours from then on. Without --charge: "
    "battery.start. Local standard time. Exit status 0.",
    "Whether the cabin is cool enough meanwhile (`cabinload hold`), and how many hours an"
    " older battery lasts.",
    {"cabinload runtime --charge \"80 %\" --at \"07-14 21:00\"",
     "cabinload runtime --high \"100 degF\" --battery \"2 kWh\" --at 22:00"}};

struct RuntimeOptions {
  ScenarioOptions scenario;
  OutputOptions output;
  std::string charge, at;
  bool why = false;
};

double charge_of(const std::string& text, const power::BankDescription& bank) {
  const std::string window = fmt::format(
      "above \"{:g} %\" (battery.cut_off) and at most \"{:g} %\" "
      "(battery.charged_to)",
      100 * bank.usable_low_1, 100 * bank.usable_high_1);
  double charge_1 = bank.start_1;
  try {
    if (!text.empty()) charge_1 = core::parse_quantity(text, core::Quantity::dimensionless);
  } catch (const core::Error& e) {
    refuse_option("--charge", e.what(), window);
  }
  if (!(charge_1 > bank.usable_low_1 + 1e-6 && charge_1 <= bank.usable_high_1 + 1e-12))
    refuse_option("--charge",
                  fmt::format("'{}' is outside what the battery may be used over",
                              text.empty() ? fmt::format("{:g} %", 100 * charge_1) : text),
                  window);
  return std::min(charge_1, bank.usable_high_1);
}

double start_s(const std::string& at, const scenario::Scenario& scenario,
               const forcing::Forcing& forcing) {
  const Moment m = moment_of("--at", at);
  const auto& spans = scenario.unit_on.intervals();
  const double clock_s =
      m.second_of_day.value_or(spans.empty() ? 21 * 3600.0 : spans.front().start_min * 60.0);
  scenario::Night night = scenario.night;
  if (m.date) night.from = night.to = m.date;
  const simulation::Nights nights = simulation::nights_of(night, forcing.hours, forcing.first_day);
  const int day = m.date ? nights.first : answers::warmest_evening(forcing, nights, clock_s);
  return day * core::kSecondsInDay + clock_s;
}

/// It begins at any minute, and the last minutes count.
constexpr double kStep_s = 60;

/// One vehicle as it stands.
struct Standing {
  simulation::Trace trace;
  answers::Runtime answer;
};

Standing stand(const scenario::Scenario& as_described, const weather::Series& weather,
               const RuntimeOptions& o) {
  scenario::Scenario scenario = as_described;
  scenario.step_s = std::min(scenario.step_s, kStep_s);
  const forcing::Forcing forcing = forcing::make(weather, scenario.site, scenario.vehicle);
  const network::Cabin cabin = network::assemble(scenario.vehicle);
  simulation::Options options;
  options.window = simulation::Window{start_s(o.at, scenario, forcing), answers::kRuntimeHours,
                                      charge_of(o.charge, scenario.supply.bank)};
  if (o.why)
    options.flows = {{options.window->from_s, options.window->from_s + core::kSecondsInHour},
                     {options.window->from_s,
                      options.window->from_s + options.window->hours * core::kSecondsInHour}};
  const study::Case cases[] = {{"runtime", &cabin, &forcing, &scenario, options}};
  Standing result;
  result.trace = std::move(study::run(cases)[0]);
  result.answer = answers::runtime(result.trace, *options.window, scenario, weather);
  const char* titles[] = {"The first hour", "The whole way to the end"};
  for (std::size_t i = 0; i < result.trace.flows.size(); ++i)
    result.answer.header.flows.push_back(
        answers::ledger(titles[i], result.trace.flows[i], forcing.first_day));
  return result;
}

/// Eight headings, one after the other; the soonest empty is the answer.
Standing stand_worst(scenario::Scenario& scenario, const weather::Series& weather,
                     const RuntimeOptions& o, ProgressLine& line) {
  Standing worst;
  for (int i = 0; i < kHeadings; ++i) {
    scenario.vehicle.heading_rad = i * 2 * core::kPi / kHeadings;
    line.show(static_cast<double>(i) / kHeadings);
    Standing one = stand(scenario, weather, o);
    const bool sooner =
        one.answer.ran_empty() && !(worst.answer.hours_to_empty <= one.answer.hours_to_empty);
    const bool lower = !one.answer.ran_empty() && !worst.answer.ran_empty() &&
                       one.answer.charge_end_1 < worst.answer.charge_end_1;
    if (i == 0 || sooner || lower) worst = std::move(one);
  }
  scenario.vehicle.heading_rad = worst.answer.heading_rad;
  worst.answer.header.assumptions.push_back(
      {"vehicle.heading", fmt::format("Of eight headings the one that is empty first: nose to "
                                      "{:.0f} degree.",
                                      worst.answer.heading_rad / core::kDegree_rad)});
  return worst;
}

void runtime(Context& context, const RuntimeOptions& o) {
  const OutputOptions& output = o.output;
  if (!output.out_file.empty()) core::check_output(output.out_file, output.force);
  probe_csv(output);

  scenario::Scenario scenario = scenario::read(o.scenario.file, o.scenario.overrides);
  (void)charge_of(o.charge, scenario.supply.bank);  // told before the weather is read
  (void)moment_of("--at", o.at);
  const weather::Series weather = weather_of(scenario);
  ProgressLine line(context.surroundings.err_is_terminal && !output.quiet && !output.json);
  const Standing result = scenario.heading_worst ? stand_worst(scenario, weather, o, line)
                                                 : stand(scenario, weather, o);
  const std::string json = report::json(result.answer);
  tell(context, output, result.answer, json,
       store::RuntimeResult{about(context, scenario, json, weather.first_day), result.answer,
                            result.trace});
}

}  // namespace

void add_runtime(CLI::App& app, Context& context) {
  auto options = std::make_shared<RuntimeOptions>();
  CLI::App* command = app.add_subcommand(
      "runtime", "How long the battery lasts from a moment on, against what a display says");
  add_scenario(*command, options->scenario, &context);
  add_output(*command, options->output);
  command->add_option("--charge", options->charge,
                      "charge at the start, \"80 %\"; battery.start without");
  command->add_option("--at", options->at, "date and time of the start, \"07-14 21:00\"");
  add_out_file(*command, options->output);
  command->add_flag("--why", options->why, "what comes in and goes out on the way");
  add_csv(*command, options->output, "runtime");
  add_help(*command, kHelp);
  command->callback([&context, options] { runtime(context, *options); });
}

}  // namespace cabinload::cli
