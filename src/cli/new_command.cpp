// SPDX-License-Identifier: Apache-2.0
#include <memory>

#include "command.hpp"
#include "new_words.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "Asks nothing. The keys of a van stand in the file with their meaning, default and where "
    "that comes from; what the options say is filled in, the rest is commented out and "
    "stays at its default. Names of bodies, colours, covers, units and climates: "
    "`cabinload list`. Exit status 0.",
    "Whether the unit will do: that is `cabinload hold FILE`.",
    {"cabinload new > my-van.toml",
     "cabinload new --body long-van --insulation good --colour silver --windows 3 \\\n    --people "
     "2 --pet \"dog 20 kg\" --panels \"400 W\" --town miami -o my-van.toml"}};

struct NewOptions {
  ScenarioOptions scenario;
  OutputOptions output;
};

/// A customer's word for a key. `also` is what other commands call it: one of the two.
struct Word {
  const char *flag, *key, *help, *also;
};
constexpr Word kWords[] = {
    {"--name", "name", "what the vehicle is called", ""},
    {"--body", "vehicle.body", "body: list vehicles", "--vehicle"},
    {"--colour,--color", "vehicle.paint", "colour of the roof: list paints", "--paint"},
    {"--windows", "vehicle.side_windows", "side windows in the living space, 3", ""},
    {"--town", "weather.file", "shipped year, extreme day or weather file", "--weather"},
    {"--shade", "parking.shade", "where it stands in the afternoon: none, tree, carport", ""},
    {"--shade-hours", "parking.shade_hours", "when, \"12:00-20:00\"", ""},
    {"--panels", "panels.power", "solar panels, \"400 W\"", ""},
    {"--shore-charger", "shore.charger", "charger on a hook-up at night, \"1 kW\"", ""},
};

void add_words(CLI::App& command, ScenarioOptions& o) {
  for (const Word& w : kWords) {
    CLI::Option* option = command.add_option_function<std::string>(
        w.flag,
        [&o, w](const std::string& v) {
          o.overrides.push_back(
              {w.key, v, std::string(w.flag).substr(0, std::string(w.flag).find(','))});
        },
        w.help);
    if (*w.also != '\0') option->excludes(command.get_option(w.also));
  }
}

void write_new(Context& context, const NewOptions& options) {
  const std::string text = scenario::commented_toml(options.scenario.overrides);
  // A scenario may name any file; one that is written now should name a file that is there.
  for (const scenario::Override& x : options.scenario.overrides)
    if (x.key == "weather.file") (void)read_weather(x.value);
  if (options.output.out_file.empty()) {
    context.out = text;
    return;
  }
  core::write_text(options.output.out_file, text, options.output.force);
  context.err += "written: " + options.output.out_file + "\n  next: cabinload hold " +
                 options.output.out_file + "\n";
}

}  // namespace

std::string key_of_new(const std::string& flag) {
  for (const Word& w : kWords) {
    const std::string flags = std::string(w.flag) + ",";
    if (("," + flags).find("," + flag + ",") != std::string::npos) return w.key;
  }
  return "";
}

void add_new(CLI::App& app, Context& context) {
  auto options = std::make_shared<NewOptions>();
  CLI::App* command = app.add_subcommand("new", "A commented scenario to start from");
  add_scenario(*command, options->scenario, nullptr);
  command->remove_option(command->get_option("SCENARIO"));
  add_words(*command, options->scenario);
  command->add_option("-o,--out", options->output.out_file,
                      "write to this file instead of the terminal");
  command->add_flag("--force", options->output.force, "replace an existing file");
  add_help(*command, kHelp);
  command->callback([&context, options] { write_new(context, *options); });
}

}  // namespace cabinload::cli
