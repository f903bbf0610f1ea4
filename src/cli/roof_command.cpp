// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/roof.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/roof/drawing.hpp>
#include <memory>

#include "command.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "What stands on the roof is listed in [[roof_item]] tables of the scenario; a unit "
    "without a position finds the best one. Clearances are told to each edge and item, "
    "the height as the vehicle stands. Panels are packed into what is left; their watts "
    "are those of the label. Exit status 1: something does not fit, or the vehicle "
    "becomes too high.",
    "Whether the sheet metal carries it, where ribs and wiring really run, or how it is "
    "sealed: that is seen on the vehicle itself.",
    {"cabinload roof --vehicle long-van --set roof.ribs=\"0.9 m, 1.8 m, 2.7 m\"",
     "cabinload roof my-van.toml --units us --out my-roof.svg"}};

struct RoofOptions {
  ScenarioOptions scenario;
  OutputOptions output;
};

/// The drawing goes places without the rest of the answer: it carries the cautions itself.
std::string drawing(const answers::Roof& answer) {
  std::vector<std::string> cautions;
  for (const answers::Caution& c : answer.header.cautions)
    cautions.push_back(c.signal + ": " + c.text);
  return roof::svg(answer.roof, answer.plan, cautions);
}

void roof(Context& context, const RoofOptions& options) {
  const OutputOptions& output = options.output;
  if (!output.out_file.empty() && !output.out_file.ends_with(".svg"))
    refuse_option("--out", "'" + output.out_file + "' must end in .svg: the drawing is an SVG",
                  "--out my-roof.svg");
  probe_csv(output);
  const scenario::Scenario scenario =
      scenario::read(options.scenario.file, options.scenario.overrides);
  const answers::Roof answer = answers::roof_plan(scenario, weather_of(scenario));
  if (!output.out_file.empty()) core::write_text(output.out_file, drawing(answer), output.force);
  const std::string json = report::json(answer);
  context.out = output.json ? json : report::terminal(answer, output.style(context));
  if (!output.out_file.empty() && !output.quiet)
    context.err += "written: " + output.out_file + "\n";
  keep_csv(context, output, json);
  context.exit = answer.met() ? core::ExitCode::done : core::ExitCode::not_met;
}

}  // namespace

void add_roof(CLI::App& app, Context& context) {
  auto options = std::make_shared<RoofOptions>();
  CLI::App* command =
      app.add_subcommand("roof", "Where the unit and the panels go, and how high it gets");
  add_scenario(*command, options->scenario, &context);
  add_output(*command, options->output);
  command->add_option("-o,--out", options->output.out_file, "draw the roof into this SVG file");
  command->add_flag("--force", options->output.force, "replace an existing file");
  add_csv(*command, options->output, "roof");
  add_help(*command, kHelp);
  command->callback([&context, options] { roof(context, *options); });
}

}  // namespace cabinload::cli
