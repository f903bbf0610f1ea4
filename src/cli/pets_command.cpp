// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/answers/pets.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/store/store.hpp>
#include <cabinload/study/failure_peak.hpp>
#include <cabinload/study/runner.hpp>
#include <cabinload/study/spread.hpp>
#include <cmath>
#include <memory>
#include <optional>

#include "keep.hpp"
#include "runs.hpp"
#include "why.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "For every hour of the period: the minutes from a failure of the cooling to the "
    "animal's limit, from the state in which the vehicle is at that hour, with what "
    "nobody knows taken on the side that shortens them. Limits: 9 CFR 3 (29.5 degC / 85 "
    "degF), lower for short-nosed, old, young, overweight and very large animals. The "
    "margin is how far the cabin stays below the limit while the unit runs. Exit status "
    "1: the limit is passed with the unit running.",
    "That an animal may be left. A parked vehicle is never a place to leave an animal "
    "unattended, nor a child, nor an adult who depends on others, and local law may "
    "forbid it. The minutes say how little time there is.",
    {"cabinload pets --pet \"dog 20 kg\" --from 06-01 --to 08-31",
     "cabinload pets --set pet.nose=short --set pet.age=old \\\n    --high \"100 degF\" --units "
     "us"}};

struct PetsOptions {
  ScenarioOptions scenario;
  OutputOptions output;
  std::string why;
};

std::string shown(double T_K) {
  return core::format_quantity(T_K, core::Quantity::temperature, core::UnitSystem::si, 1);
}

/// The vehicle as it is taken, and without its shade and covers. Stays where it is made.
struct Worlds {
  scenario::Scenario taken;
  std::optional<scenario::Scenario> bare;
  forcing::Forcing sun, bare_sun;
  network::Cabin cabin, bare_cabin;
  simulation::World as_is, stripped;

  Worlds(const scenario::Scenario& scenario, const weather::Series& weather)
      : taken(answers::pets_scenario(scenario)),
        bare(answers::pets_bare(taken)),
        sun(forcing::make(weather, taken.site, taken.vehicle)),
        cabin(network::assemble(taken.vehicle)),
        as_is{&cabin, &sun},
        stripped(as_is) {
    if (!bare) return;
    bare_sun = forcing::make(weather, bare->site, bare->vehicle);
    bare_cabin = network::assemble(bare->vehicle);
    stripped = {&bare_cabin, &bare_sun};
  }
  ~Worlds() = default;
  Worlds(const Worlds&) = delete;
  Worlds& operator=(const Worlds&) = delete;
};

PetsRun stand(const scenario::Scenario& scenario, const weather::Series& weather,
              const std::function<void(double)>& progress) {
  const Worlds worlds(scenario, weather);
  std::vector<study::FailureCase> cases;
  for (const simulation::FailureOptions& o :
       answers::pets_options(worlds.taken, worlds.sun.hours, worlds.sun.first_day))
    cases.push_back({"days", worlds.as_is, worlds.stripped, &worlds.taken, o});
  cases.front().options.progress = progress;
  const std::vector<simulation::Failures> runs = study::failures(cases);
  return {answers::joined(runs), answers::pets(runs, worlds.taken, weather)};
}

/// The hour that was named, or of those that fit what was named the one with the fewest minutes;
/// where no failure passes the limit, the warmest one. Counted from the first of the runs.
simulation::FailureAsked asked_hour(const std::string& why, const simulation::Failures& runs,
                                    int first_day) {
  const Moment asked = moment_of("--why", why);
  std::optional<simulation::FailureAsked> best;
  double least_min = 0;
  for (std::size_t row = 0; row < runs.T_air_K.size(); ++row) {
    const long hour = std::lround(runs.start_s / core::kSecondsInHour) + static_cast<long>(row);
    if (asked.date && !(core::date_of(first_day + static_cast<int>(hour / 24)) == *asked.date))
      continue;
    if (asked.second_of_day && std::lround(*asked.second_of_day) / 3600 != hour % 24) continue;
    for (std::size_t k = 0; k < simulation::kFailures; ++k) {
      const double minutes = runs.minutes[k][row];
      const bool warmer = best && minutes == simulation::kNever_min && minutes == least_min &&
                          runs.T_air_K[row] > runs.T_air_K[best->hour];
      if (best && !(minutes < least_min) && !warmer) continue;
      best = {row, static_cast<simulation::Failure>(k)};
      least_min = minutes;
    }
  }
  if (!best) refuse_moment(why);
  return *best;
}

/// The run to that hour once more, its flows accounted for.
std::vector<answers::Ledger> explain(const scenario::Scenario& scenario,
                                     const weather::Series& weather,
                                     simulation::FailureAsked asked) {
  const Worlds worlds(scenario, weather);
  const simulation::Failure failure = asked.failure;
  simulation::FailureOptions options;
  for (simulation::FailureOptions& o :
       answers::pets_options(worlds.taken, worlds.sun.hours, worlds.sun.first_day)) {
    const auto hours = static_cast<std::size_t>(o.days.count) * 24;
    options = std::move(o);
    if (asked.hour < hours) break;
    asked.hour -= hours;
  }
  options.asked = asked;
  const study::FailureCase cases[] = {
      {"why", worlds.as_is, worlds.stripped, &worlds.taken, options}};
  return answers::failure_ledgers(study::failures(cases)[0], failure, worlds.sun.first_day);
}

/// Eight headings, one after the other so that memory does not grow; the shortest minutes win.
PetsRun stand_worst(scenario::Scenario& scenario, const weather::Series& weather,
                    ProgressLine& line) {
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

/// The vans that the description fits, about the days that are worst as described; what one in
/// twenty falls short of.
void draw_vans(const scenario::Scenario& scenario, const weather::Series& weather,
               ProgressLine& line, PetsRun& result) {
  constexpr int kTogether = 16;  // between two looks at the progress
  const int samples = scenario.uncertainty.samples;
  const std::vector<simulation::Nights> days = answers::worst_days(result.runs);
  const auto series = std::make_shared<const weather::Series>(weather);
  std::vector<double> fewest_min, peak_K, margin_K;
  for (int first = 0; first < samples; first += kTogether) {
    line.show(static_cast<double>(first) / samples);
    std::vector<study::PeakAsk> asks;
    for (int van = first; van < std::min(first + kTogether, samples); ++van)
      asks.push_back(
          {std::make_shared<const scenario::Scenario>(scenario::drawn(
               scenario, study::draw(scenario.uncertainty, static_cast<std::size_t>(van)))),
           series, days});
    for (const study::FailurePeak& peak : study::failure_peaks(asks)) {
      fewest_min.push_back(peak.fewest_min);
      peak_K.push_back(peak.cabin_peak_K);
      margin_K.push_back(peak.margin_K);
    }
  }
  answers::Pets::Drawn d;
  d.samples = samples;
  for (const simulation::Nights& some : days)
    for (int day = some.first; day < some.first + some.count; ++day)
      d.days.push_back(core::date_of(weather.first_day + day));
  d.min_min = answers::likely(fewest_min).low;
  d.cabin_peak_K = answers::likely(peak_K).high;
  d.margin_K = answers::likely(margin_K).low;
  result.answer.drawn = std::move(d);
}

void pets(Context& context, const PetsOptions& o) {
  const OutputOptions& output = o.output;
  if (!output.out_file.empty()) core::check_output(output.out_file, output.force);
  probe_csv(output);
  scenario::Scenario scenario = with_animals(o.scenario);
  (void)moment_of("--why", o.why);  // told before the weather is read
  const weather::Series weather = weather_of(scenario);
  ProgressLine line(context.surroundings.err_is_terminal && !output.quiet && !output.json);
  PetsRun result = pets_run(scenario, weather, line);
  if (!o.why.empty())
    result.answer.header.flows =
        explain(scenario, weather, asked_hour(o.why, result.runs, weather.first_day));
  const std::string json = report::json(result.answer);
  tell(context, output, result.answer, json,
       store::PetsResult{about(context, scenario, json, weather.first_day), result.answer,
                         result.runs});
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
    refuse_option("pet.count", "no animal is in the cabin", "pet.count = 1 or more");
  const occupants::AnimalLimit limit = occupants::limit_of(s.pets);
  const double T_held_K = s.unit_settings.T_set_K - s.air.return_offset_K;
  if (T_held_K >= limit.T_most_K)
    refuse_option("unit.set_point",
                  "holds the cabin at " + shown(T_held_K) + ", not below the limit of " +
                      shown(limit.T_most_K) + " of the " + limit.animal,
                  "a set point below the limit, at least by some kelvin");
  return s;
}

PetsRun pets_run(scenario::Scenario& scenario, const weather::Series& weather, ProgressLine& line) {
  PetsRun result = scenario.heading_worst
                       ? stand_worst(scenario, weather, line)
                       : stand(scenario, weather, [&line](double share_1) { line.show(share_1); });
  if (scenario.uncertainty.samples > 0) draw_vans(scenario, weather, line, result);
  return result;
}

void add_pets(CLI::App& app, Context& context) {
  auto options = std::make_shared<PetsOptions>();
  CLI::App* command = app.add_subcommand(
      "pets", "Minutes from a failure of the cooling to an animal's limit, hour by hour");
  add_scenario(*command, options->scenario, &context);
  command->remove_option(command->get_option("--limit"));
  command->add_option_function<std::string>(
      "--limit",
      [options](const std::string& v) {
        options->scenario.overrides.push_back({"pet.limit", v, "--limit"});
      },
      "a lower limit of the animal's own, \"78 degF\"");
  add_samples(*command, options->scenario, true);
  add_output(*command, options->output);
  add_out_file(*command, options->output);
  command->add_flag("--why", options->why,
                    "what comes in and goes out before and after the failure with the fewest "
                    "minutes; --why=\"07-14 15:00\": of that day, or that hour");
  add_csv(*command, options->output, "pets");
  add_help(*command, kHelp);
  command->callback([&context, options] { pets(context, *options); });
}

}  // namespace cabinload::cli
