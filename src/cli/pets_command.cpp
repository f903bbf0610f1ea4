// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/pets.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/store/store.hpp>
#include <cabinload/study/runner.hpp>
#include <cabinload/study/spread.hpp>
#include <memory>
#include <optional>

#include "runs.hpp"

namespace cabinload::cli {
namespace {

constexpr const char* kExamples =
    "What happens to an animal in the cabin when the cooling stops: for every hour of\n"
    "the period the minutes from a failure to the animal's limit, from the state in\n"
    "which the vehicle is at that hour. It is no permission to leave one: a parked\n"
    "vehicle is never a place to leave an animal unattended, nor a child, nor an adult\n"
    "who depends on others, and local law may forbid it. The minutes say how little\n"
    "time there is. Limits: 9 CFR 3 (29.5 degC / 85 degF), lower for short-nosed, old,\n"
    "young, overweight and very large animals. Exit status 1: the limit is passed with\n"
    "the unit running.\n\n"
    "Examples:\n"
    "  cabinload pets --pet \"dog 20 kg\" --from 06-01 --to 08-31\n"
    "  cabinload pets --set pet.nose=short --set pet.age=old --high \"100 degF\" --units us\n";

struct PetsOptions {
  ScenarioOptions scenario;
  OutputOptions output;
};

std::string shown(double T_K) {
  return core::format_quantity(T_K, core::Quantity::temperature, core::UnitSystem::si, 1);
}

PetsRun stand(const scenario::Scenario& scenario, const weather::Series& weather,
              const std::function<void(double)>& progress) {
  const scenario::Scenario taken = answers::pets_scenario(scenario);
  const forcing::Forcing sun = forcing::make(weather, taken.site, taken.vehicle);
  const network::Cabin cabin = network::assemble(taken.vehicle);
  const std::optional<scenario::Scenario> bare = answers::pets_bare(taken);
  const forcing::Forcing bare_sun =
      bare ? forcing::make(weather, bare->site, bare->vehicle) : forcing::Forcing{};
  const network::Cabin bare_cabin = bare ? network::assemble(bare->vehicle) : network::Cabin{};
  const simulation::World as_is{&cabin, &sun}, stripped{&bare_cabin, &bare_sun};
  std::vector<study::FailureCase> cases;
  for (const simulation::FailureOptions& o : answers::pets_options(taken, sun.hours, sun.first_day))
    cases.push_back({"days", as_is, bare ? stripped : as_is, &taken, o});
  cases.front().options.progress = progress;
  const std::vector<simulation::Failures> runs = study::failures(cases);
  return {answers::joined(runs), answers::pets(runs, taken, weather)};
}

/// Eight headings, one after the other so that memory does not grow; the shortest minutes win.
PetsRun stand_worst(scenario::Scenario& scenario, const weather::Series& weather,
                    ProgressLine& line) {
  constexpr int kHeadings = 8;
  std::vector<answers::Pets::Heading> headings;
  PetsRun worst;
  for (int i = 0; i < kHeadings; ++i) {
    scenario.vehicle.heading_rad = i * 2 * core::kPi / kHeadings;
    PetsRun one =
        stand(scenario, weather, [&](double share_1) { line.show((i + share_1) / kHeadings); });
    const answers::PetsFigures& now = one.answer.all;
    headings.push_back({scenario.vehicle.heading_rad, now.min_min, now.p05_min});
    if (i == 0 || now.min_min < worst.answer.all.min_min) worst = std::move(one);
  }
  scenario.vehicle.heading_rad = worst.answer.heading_rad;
  worst.answer.headings = headings;
  return worst;
}

/// The vans that the description fits, one after the other; what one in twenty falls short of.
void draw_vans(const scenario::Scenario& scenario, const weather::Series& weather,
               ProgressLine& line, answers::Pets& answer) {
  const int samples = scenario.uncertainty.samples;
  std::vector<double> min_min, p05_min, peak_K, margin_K;
  for (int van = 0; van < samples; ++van) {
    const answers::Pets one =
        stand(scenario::drawn(scenario,
                              study::draw(scenario.uncertainty, static_cast<std::size_t>(van))),
              weather, [&](double share_1) { line.show((van + share_1) / samples); })
            .answer;
    min_min.push_back(one.all.min_min);
    p05_min.push_back(one.all.p05_min);
    peak_K.push_back(one.cabin_peak_K);
    margin_K.push_back(one.margin_K);
  }
  answer.drawn = {samples, answers::likely(min_min).low, answers::likely(p05_min).low,
                  answers::likely(peak_K).high, answers::likely(margin_K).low};
}

void pets(Context& context, const PetsOptions& o) {
  const OutputOptions& output = o.output;
  if (!output.out_file.empty()) core::check_output(output.out_file, output.force);
  probe_csv(output);
  scenario::Scenario scenario = with_animals(o.scenario);
  const weather::Series weather = weather_of(scenario);
  ProgressLine line(context.surroundings.err_is_terminal && !output.quiet && !output.json);
  const PetsRun result = pets_run(scenario, weather, line);
  const std::string json = report::json(result.answer);
  if (!output.out_file.empty())
    store::write(output.out_file,
                 store::PetsResult{{scenario::effective_toml(scenario), json, context.command_line,
                                    weather.first_day},
                                   result.answer,
                                   result.runs},
                 output.force);
  context.out = output.json ? json : report::terminal(result.answer, output.style(context));
  if (!output.out_file.empty() && !output.quiet)
    context.err += "written: " + output.out_file + "\n";
  keep_csv(context, output, json);
  context.exit = result.answer.met() ? core::ExitCode::done : core::ExitCode::not_met;
}

}  // namespace

scenario::Scenario with_animals(const ScenarioOptions& o) {
  scenario::Scenario s = scenario::read(o.file, o.overrides);
  if (s.pets.empty()) {  // an ordinary dog, told in the answer
    std::vector<scenario::Override> with = o.overrides;
    with.push_back({"pet.species", "dog", "assumed by pets"});
    s = scenario::read(o.file, with);
  }
  if (s.pets.empty())
    throw core::InputError(
        {"command line", 0, 0, "pet.count", "no animal is in the cabin", "pet.count = 1 or more"});
  const occupants::AnimalLimit limit = occupants::limit_of(s.pets);
  const double T_held_K = s.unit_settings.T_set_K - s.air.return_offset_K;
  if (T_held_K >= limit.T_most_K)
    throw core::InputError({"command line", 0, 0, "unit.set_point",
                            "holds the cabin at " + shown(T_held_K) + ", not below the limit of " +
                                shown(limit.T_most_K) + " of the " + limit.animal,
                            "a set point below the limit, at least by some kelvin"});
  return s;
}

PetsRun pets_run(scenario::Scenario& scenario, const weather::Series& weather, ProgressLine& line) {
  PetsRun result = scenario.heading_worst
                       ? stand_worst(scenario, weather, line)
                       : stand(scenario, weather, [&line](double share_1) { line.show(share_1); });
  if (scenario.uncertainty.samples > 0) draw_vans(scenario, weather, line, result.answer);
  return result;
}

void add_pets(CLI::App& app, Context& context) {
  auto options = std::make_shared<PetsOptions>();
  CLI::App* command = app.add_subcommand(
      "pets", "Minutes from a failure of the cooling to an animal's limit, hour by hour");
  add_scenario(*command, options->scenario);
  command->remove_option(command->get_option("--limit"));
  command->add_option_function<std::string>(
      "--limit",
      [options](const std::string& v) {
        options->scenario.overrides.push_back({"pet.limit", v, "--limit"});
      },
      "a lower limit of the animal's own, \"78 degF\"");
  add_samples(*command, options->scenario);
  add_output(*command, options->output);
  command->add_option("-o,--out", options->output.out_file, "keep the result as an HDF5 file");
  command->add_flag("--force", options->output.force, "replace an existing file");
  add_csv(*command, options->output, "pets");
  add_examples(*command, kExamples);
  command->callback([&context, options] { pets(context, *options); });
}

}  // namespace cabinload::cli
