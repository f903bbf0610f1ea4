// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/roof.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/report/page.hpp>
#include <cabinload/store/store.hpp>
#include <memory>

#include "runs.hpp"

namespace cabinload::cli {
namespace {

constexpr const char* kExamples =
    "One HTML file for the customer: it needs no network and no program but a\n"
    "browser, switches between SI and US units, and prints on two sheets. What would\n"
    "help is tried on the days around the hardest night only; what-helps tries it on\n"
    "all of them. Exit status as hold.\n\n"
    "Examples:\n"
    "  cabinload report my-van.toml --from 05-01 --to 09-30 -o my-van.html\n"
    "  cabinload report result.h5 -o my-van.html     a result kept by hold --out\n";

struct ReportOptions {
  ScenarioOptions scenario;
  OutputOptions output;
};

report::Page computed(const ReportOptions& options, ProgressLine& line) {
  report::Page page;
  page.scenario = scenario::read(options.scenario.file, options.scenario.overrides);
  const weather::Series weather = weather_of(page.scenario);
  const HoldRun run = hold_run(page.scenario, weather, {"", "", "true"}, line);
  page.hold = run.answer;
  page.night = report::hours_of_night(run.traces[0].hourly, report::shown_night(page.hold),
                                      page.scenario.night);
  return page;
}

void report_page(Context& context, const ReportOptions& options) {
  const OutputOptions& output = options.output;
  probe_text(output.out_file, output.force);
  ProgressLine line(context.surroundings.err_is_terminal && !output.quiet);
  report::Page page = computed(options, line);
  page.units = output.style(context).units;
  page.command_line = context.command_line;
  page.created_utc = store::created_utc();
  write_text(output.out_file, report::html(page), output.force);
  context.out = report::first_line(page.hold, output.style(context));
  if (!output.quiet) context.err += "written: " + output.out_file + "\n";
  context.exit = page.hold.met() ? core::ExitCode::done : core::ExitCode::not_met;
}

}  // namespace

void add_report(CLI::App& app, Context& context) {
  auto options = std::make_shared<ReportOptions>();
  CLI::App* command =
      app.add_subcommand("report", "One HTML page for the customer, to show, mail and print");
  add_scenario(*command, options->scenario);
  add_output(*command, options->output);
  command->remove_option(command->get_option("--json"));
  command->add_option("-o,--out", options->output.out_file, "the HTML file to write")->required();
  command->add_flag("--force", options->output.force, "replace an existing file");
  add_examples(*command, kExamples);
  command->callback([&context, options] { report_page(context, *options); });
}

}  // namespace cabinload::cli
