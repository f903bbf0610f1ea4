// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cabinload/answers/roof.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/report/page.hpp>
#include <cabinload/scenario/stored.hpp>
#include <cabinload/simulation/run.hpp>
#include <cabinload/store/store.hpp>
#include <cabinload/weather/stretch.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <future>
#include <memory>

#include "runs.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "One HTML file for the customer: it needs no network and no program but a browser, "
    "switches between SI and US units, and prints on two sheets, on three with an animal. What "
    "would help is tried on the days around the hardest night only; what-helps tries it on all "
    "of them. With --samples 64 its first line says how many nights to promise, as hold's does; "
    "the "
    "page of a result that hold kept says so by itself. Exit status as hold.",
    "More than the answers it is made of: one calculation of one van in a typical year.",
    {"cabinload report my-van.toml --samples 64 --from 05-01 --to 09-30 \\\n    -o my-van.html",
     "cabinload report result.h5 -o my-van.html"}};

struct ReportOptions {
  ScenarioOptions scenario;
  OutputOptions output;
  bool animals = false;
};

/// What would help, tried on the nights around the hardest one: a few days of weather are enough.
constexpr int kAround_nights = 3;
/// Days in front of them, for the run's warm-up and before it for the ground, which remembers about
/// one; and behind the last evening. Engineering judgement.
constexpr int kBefore_days = 14, kGround_days = 4, kAfter_days = 2;

answers::Helps helps_around(const ScenarioOptions& given, const report::Page& page,
                            const weather::Series& weather, ProgressLine& line) {
  const auto& nights = page.hold.each_night;
  const int shown = static_cast<int>(report::shown_night(page.hold));
  const int from = std::max(0, shown - kAround_nights);
  const int to = std::min(static_cast<int>(nights.size()) - 1, shown + kAround_nights);
  ScenarioOptions around = given;
  const auto set = [&](const char* key, const std::string& value) {
    around.overrides.push_back({key, value, "report"});
  };
  set("night.from", core::iso_text(nights[static_cast<std::size_t>(from)].date));
  set("uncertainty.samples", "0");
  set("night.to", core::iso_text(nights[static_cast<std::size_t>(to)].date));
  if (page.scenario.heading_worst)
    set("vehicle.heading",
        fmt::format("{:.10g} degree", page.hold.heading_rad / core::kDegree_rad));
  const int day =
      simulation::nights_of(page.scenario.night, weather.hours(), weather.first_day).first + from;
  const int before = std::max(kBefore_days, page.scenario.start.warm_up_days + kGround_days);
  HelpsAsked asked;
  asked.by = page.hold.met() ? answers::HelpBy::energy : answers::HelpBy::nights;
  asked.pairs = asked.minutes = false;  // the page shows neither
  return helps_run(around,
                   weather::stretch(weather, day - before, before + to - from + 1 + kAfter_days),
                   asked, [&line](double share_1) { line.show(share_1); });
}

/// An answer, or in words why it cannot be had: the page has others.
template <class Answer, class Make>
void fill(report::PagePart<Answer>& part, Make make) {
  try {
    part.answer = make();
  } catch (const core::InputError& e) {
    part.problem = e.what();
  } catch (const core::RangeError& e) {
    part.problem = e.what();
  }
}

report::Page computed(const ReportOptions& options, ProgressLine& line) {
  report::Page page;
  page.scenario = scenario::read(options.scenario.file, options.scenario.overrides);
  page.scenario.uncertainty.samples = page.scenario.uncertainty.asked();
  const weather::Series weather = weather_of(page.scenario);
  // The animals ask nothing of the nights: beside them on the other core, where no vans are drawn,
  // for which each takes all cores and has the line to itself.
  ProgressLine silent(false);
  const bool beside = page.scenario.uncertainty.samples == 0;
  const bool animals = options.animals || !page.scenario.pets.empty();
  std::future<report::PagePart<answers::Pets>> pets =
      std::async(beside ? std::launch::async : std::launch::deferred, [&] {
        report::PagePart<answers::Pets> part;
        if (animals)
          fill(part, [&] {
            scenario::Scenario with = with_animals(options.scenario);
            with.uncertainty.samples = page.scenario.uncertainty.samples;
            return pets_run(with, weather, beside ? silent : line).answer;
          });
        return part;
      });
  const HoldRun run = hold_run(page.scenario, weather, {"", "", "true"}, line);
  page.hold = run.answer;
  page.night = report::hours_of_night(run.traces[0].hourly, report::shown_night(page.hold),
                                      page.scenario.night);
  fill(page.helps, [&] { return helps_around(options.scenario, page, weather, line); });
  fill(page.wire, [&] { return wire_run(page.scenario, weather); });
  fill(page.roof, [&] { return answers::roof_plan(page.scenario, weather); });
  page.pets = pets.get();
  return page;
}

/// Told by its first bytes, or where they are lost by its name.
bool is_result(const std::string& path) {
  std::array<char, 8> first{};
  std::ifstream(path, std::ios::binary).read(first.data(), first.size());
  return path.ends_with(".h5") || std::string_view(first.data(), 4) == "\x89HDF";
}

report::Page stored(const ReportOptions& options) {
  const std::string& path = options.scenario.file;
  if (!options.scenario.overrides.empty())
    refuse_option(options.scenario.overrides.front().origin,
                  "changes a scenario, and " + path + " is a result",
                  "a page of the scenario itself, or hold --out with the change");
  if (options.animals)
    refuse_option("--animals", "needs a run, and " + path + " is the result of one without", "");
  const store::Stored file = store::read(path);
  report::Page page;
  page.hold = report::hold_from_json(file.answer_json, path);
  page.scenario = scenario::read_stored(file.scenario_toml, path);
  const simulation::Hourly hours = store::read_hourly(path);
  constexpr std::size_t kDay_h = 24;
  if (hours.T_bed_mean_K.size() < kDay_h * page.hold.each_night.size())
    throw core::InputError({path, 0, 0, "",
                            fmt::format("'/trace/hourly' has {} rows, too few for {} nights",
                                        hours.T_bed_mean_K.size(), page.hold.each_night.size()),
                            "this file is not whole"});
  // Its nights say when it begins: hours that are shifted as a whole go on one by one, too.
  const core::Date first = page.hold.each_night.front().date;
  const double start_s = core::day_index(first) * core::kSecondsInDay;
  if (std::abs(hours.start_s - start_s) > 1)
    throw core::InputError(
        {path, 0, 0, "",
         fmt::format("'/trace/hourly/time' begins {:g} h into the year, and its first night is "
                     "that of {}, which begins at {:g} h",
                     hours.start_s / core::kSecondsInHour, core::long_text(first),
                     start_s / core::kSecondsInHour),
         "this file is damaged"});
  page.night = report::hours_of_night(hours, report::shown_night(page.hold), page.scenario.night);
  page.result_file = std::filesystem::path(path).filename().string();
  page.left_out = {
      "This page is of a result file, which holds nights and hours alone: what would "
      "help, cable and fuse, roof and animals are on the page of the scenario itself "
      "(cabinload report SCENARIO)."};
  if (page.hold.header.flows.empty())
    page.left_out.emplace_back("Where the heat comes from was not kept: hold --why keeps it.");
  return page;
}

void report_page(Context& context, const ReportOptions& options) {
  const OutputOptions& output = options.output;
  core::check_output(output.out_file, output.force);
  ProgressLine line(context.surroundings.err_is_terminal && !output.quiet);
  report::Page page = is_result(options.scenario.file) ? stored(options) : computed(options, line);
  page.units = output.style(context).units;
  page.command_line = context.command_line;
  page.created_utc = store::created_utc();
  core::write_text(output.out_file, report::html(page), output.force);
  context.out = report::first_line(page.hold, output.style(context));
  if (!output.quiet) context.err += "written: " + output.out_file + "\n";
  context.exit = page.hold.met() ? core::ExitCode::done : core::ExitCode::not_met;
}

}  // namespace

void add_report(CLI::App& app, Context& context) {
  auto options = std::make_shared<ReportOptions>();
  CLI::App* command =
      app.add_subcommand("report", "One HTML page for the customer, to show, mail and print");
  add_scenario(*command, options->scenario, &context);
  add_samples(*command, options->scenario, false);
  add_output(*command, options->output);
  command->remove_option(command->get_option("--json"));
  command->add_option("-o,--out", options->output.out_file, "the HTML file to write")->required();
  command->add_flag("--force", options->output.force, "replace an existing file");
  command->add_flag("--animals", options->animals,
                    "with the animals' page, also where the scenario has none: an ordinary dog");
  add_help(*command, kHelp);
  command->callback([&context, options] { report_page(context, *options); });
}

}  // namespace cabinload::cli
