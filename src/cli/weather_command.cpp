// SPDX-License-Identifier: Apache-2.0
#include <cabinload/answers/weather_summary.hpp>
#include <cabinload/report/json.hpp>
#include <memory>

#include "command.hpp"

namespace cabinload::cli {
namespace {

constexpr const char* kExamples =
    "Reads EPW, TMY2, TMY3 CSV, NSRDB PSM CSV and the European archive's CSV; the format\n"
    "is told from the content. Doubts are things that are possible and hard to believe.\n\n"
    "Examples:\n"
    "  cabinload weather tucson\n"
    "  cabinload weather my-town.epw --units us\n";

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
  add_examples(*command, kExamples);
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
