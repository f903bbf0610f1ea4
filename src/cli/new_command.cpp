// SPDX-License-Identifier: Apache-2.0
#include <memory>

#include "command.hpp"

namespace cabinload::cli {
namespace {

constexpr const char* kExamples =
    "Every key stands there with its meaning, its default and where that comes from.\n\n"
    "Examples:\n"
    "  cabinload new > my-van.toml\n"
    "  cabinload new --vehicle long-van --insulation good --battery \"5 kWh\" -o my-van.toml\n";

struct NewOptions {
  ScenarioOptions scenario;
  OutputOptions output;
};

}  // namespace

void add_new(CLI::App& app, Context& context) {
  auto options = std::make_shared<NewOptions>();
  CLI::App* command = app.add_subcommand("new", "A commented scenario to start from");
  add_scenario(*command, options->scenario);
  command->remove_option(command->get_option("SCENARIO"));
  command->add_option("-o,--out", options->output.out_file,
                      "write to this file instead of the terminal");
  command->add_flag("--force", options->output.force, "replace an existing file");
  add_examples(*command, kExamples);
  command->callback([&context, options] {
    const std::string text = scenario::commented_toml(options->scenario.overrides);
    if (options->output.out_file.empty()) {
      context.out = text;
      return;
    }
    core::write_text(options->output.out_file, text, options->output.force);
    context.err += "written: " + options->output.out_file + "\n";
  });
}

}  // namespace cabinload::cli
