// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/cli/program.hpp>
#include <cabinload/core/version.hpp>
#include <sstream>

#include "command.hpp"

namespace cabinload::cli {
namespace {

constexpr const char* kAbout =
    "Will a small roof air conditioner let you sleep, in your van, in your climate,\n"
    "on your battery? A simulation against hourly weather answers night by night.";

constexpr const char* kStart =
    "Start with:\n"
    "  cabinload hold                       a demo van in Tucson, a year of nights\n"
    "  cabinload hold --high \"38 degC\"      will it hold tonight?\n"
    "  cabinload load                       what has to be cooled away, by cause\n"
    "  cabinload pets --pet \"dog 20 kg\"     how little time is left when it stops\n"
    "  cabinload runtime                    how long the battery lasts from a moment on\n"
    "  cabinload size                       which capacity and battery it takes\n"
    "  cabinload what-helps                 what to change first\n"
    "  cabinload new -o my-van.toml         a commented scenario to change\n\n"
    "Exit status: 0 met or done, 1 a limit is not met, 2 usage or input, 3 file or\n"
    "system, 4 numerical failure, 70 a defect of the program.\n";

int code(core::ExitCode exit) {
  return static_cast<int>(exit);
}

/// CLI11 says "not expected"; people want to know what was meant.
std::string with_suggestion(const CLI::App& app, const CLI::Error& error, int argc,
                            const char* const* argv) {
  std::string text = std::string("error: ") + error.what() + "\n";
  std::vector<std::string> names;
  const CLI::App* command = &app;
  for (const CLI::App* sub : app.get_subcommands()) command = sub;
  for (const CLI::App* sub : app.get_subcommands({})) names.push_back(sub->get_name());
  for (const CLI::Option* option : command->get_options())
    for (const std::string& name : option->get_lnames()) names.push_back("--" + name);
  for (int i = 1; i < argc; ++i) {
    const std::string word = std::string(argv[i]).substr(0, std::string(argv[i]).find('='));
    const bool meant_as_command = command == &app && i == 1 && word[0] != '-';
    if (!meant_as_command && std::string(error.what()).find(word) == std::string::npos) continue;
    const std::string near = core::nearest_name(word, names);
    if (!near.empty() && near != word) text += "  hint: did you mean '" + near + "'?\n";
  }
  return text + fmt::format("  hint: cabinload {}--help\n",
                            command == &app ? "" : command->get_name() + " ");
}

void build(CLI::App& app, Context& context) {
  app.require_subcommand(1);
  app.set_version_flag(
      "--version", fmt::format("cabinload {} ({})", core::program_version(), core::git_revision()));
  app.footer(kStart);
  app.get_formatter()->column_width(30);
  add_hold(app, context);
  add_load(app, context);
  add_pets(app, context);
  add_wire(app, context);
  add_roof(app, context);
  add_runtime(app, context);
  add_weather(app, context);
  add_new(app, context);
  add_list(app, context);
  add_show(app, context);
  add_size(app, context);
  add_compare(app, context);
  add_what_helps(app, context);
  add_study(app, context);
}

}  // namespace

Outcome run(int argc, const char* const* argv, const Surroundings& surroundings) {
  Context context;
  context.surroundings = surroundings;
  for (int i = 0; i < argc; ++i)
    context.command_line += (i > 0 ? " " : "") + std::string(i == 0 ? "cabinload" : argv[i]);
  CLI::App app(kAbout, "cabinload");
  try {
    build(app, context);
    app.parse(argc, argv);
    return {code(context.exit), context.out, context.err};
  } catch (const CLI::Success& done) {  // help and version
    std::ostringstream out, err;
    app.exit(done, out, err);
    return {0, out.str(), err.str()};
  } catch (const CLI::Error& e) {
    return {code(core::ExitCode::usage_or_input), "", with_suggestion(app, e, argc, argv)};
  } catch (const core::InputError& e) {
    return {code(core::ExitCode::usage_or_input), "", std::string(e.what()) + "\n"};
  } catch (const core::IoError& e) {
    return {code(core::ExitCode::file_or_system), "", std::string(e.what()) + "\n"};
  } catch (const core::NumericalError& e) {
    return {code(core::ExitCode::numerical), "", std::string("error: ") + e.what() + "\n"};
  } catch (const core::Error& e) {
    return {code(core::ExitCode::usage_or_input), "", std::string("error: ") + e.what() + "\n"};
  } catch (const std::exception& e) {
    return {
        code(core::ExitCode::defect), "",
        fmt::format(
            "error: a defect of the program: {}\n  hint: please report it with the command line\n",
            e.what())};
  }
}

}  // namespace cabinload::cli
