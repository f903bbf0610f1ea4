// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/weather_summary.hpp>
#include <cabinload/report/json.hpp>
#include <memory>

#include "command.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "What a file holds, its gaps and its design conditions. Reads EPW, TMY2, TMY3 CSV, "
    "NSRDB PSM CSV and the European archive's CSV; the format is told from the content. "
    "Doubts are things that are possible and hard to believe. 0.4 % dry bulb: hotter in "
    "35 hours of the year. Exit status 0.",
    "How hot the hottest year was: a typical year is put together from ordinary months. "
    "Nor how much hotter a car park is than the station.",
    {"cabinload weather tucson", "cabinload weather my-town.epw --units us"}};

struct WeatherOptions {
  std::string file;
  OutputOptions output;
};

}  // namespace

void add_weather(CLI::App& app, Context& context) {
  auto options = std::make_shared<WeatherOptions>();
  CLI::App* command =
      app.add_subcommand("weather", "What a weather file holds and how far to trust it");
  command->add_option("FILE", options->file, "weather file, or a shipped climate: list climates")
      ->required();
  add_output(*command, options->output);
  add_csv(*command, options->output, "weather");
  add_help(*command, kHelp);
  command->callback([&context, options] {
    probe_csv(options->output);
    const answers::WeatherSummary summary = answers::summarize(read_weather(options->file));
    const std::string json = report::json(summary);
    context.out =
        options->output.json ? json : report::terminal(summary, options->output.style(context));
    keep_csv(context, options->output, json);
  });
}

}  // namespace cabinload::cli
