// SPDX-License-Identifier: Apache-2.0
#include <H5public.h>
#include <fmt/format.h>
#include <oneapi/tbb/version.h>
#include <toml++/toml.h>
#include <Eigen/Core>
#include <cabinload/cli/program.hpp>
#include <cabinload/core/version.hpp>
#include <nlohmann/json.hpp>
#include <sstream>

#include "command.hpp"
#include "generate.hpp"
#include "new_words.hpp"

namespace cabinload::cli {
namespace {

constexpr const char* kAbout =
    "Will a small roof air conditioner let you sleep, in your van, in your climate,\n"
    "on your battery? A simulation against hourly weather answers night by night.";

constexpr const char* kStart =
    "Start with\n"
    "  cabinload hold                       a demo van in Tucson, a year of nights\n"
    "  cabinload hold --high \"38 degC\"      will it hold tonight?\n"
    "  cabinload load                       what has to be cooled away, by cause\n"
    "  cabinload pets --pet \"dog 20 kg\"     how little time is left when it stops\n"
    "  cabinload runtime                    how long the battery lasts\n"
    "  cabinload size                       which capacity and battery it takes\n"
    "  cabinload what-helps                 what to change first\n"
    "  cabinload report -o my-van.html      a page for the customer\n"
    "  cabinload new -o my-van.toml         a commented scenario to change\n"
    "  cabinload help                       what a night is, what a limit is, ...\n\n"
    "Exit status\n";

/// The start, and what the exit status says.
std::string start_text() {
  std::string words;
  for (const ExitWords& e : exit_words())
    words += fmt::format("{}{} {}", words.empty() ? "  " : ", ", e.status, e.words);
  return kStart + report::wrapped(words + ".", 80, 2);
}

/// Help within 80 columns.
class Columns : public CLI::Formatter {
 public:
  static constexpr std::size_t kNames = 30;
  Columns() { column_width(kNames); }
  std::string make_option_desc(const CLI::Option* option) const override {
    return folded(option->get_description());
  }
  std::string make_subcommand(const CLI::App* command) const override {
    std::ostringstream out;
    CLI::detail::format_help(out, command->get_name(), folded(command->get_description()), kNames);
    return out.str();
  }

 private:
  static std::string folded(const std::string& description) {
    std::string text = report::wrapped(description, 80 - kNames, 0);
    text.pop_back();
    return text;
  }
};

std::string version_text() {
  unsigned major = 0, minor = 0, release = 0;
  H5get_libversion(&major, &minor, &release);
  const std::string parts = fmt::format(
      "HDF5 {}.{}.{}, Eigen {}.{}.{}, fmt {}.{}.{}, CLI11 {}, toml++ {}.{}.{}, "
      "nlohmann-json {}.{}.{}, oneTBB {}.{}",
      major, minor, release, EIGEN_WORLD_VERSION, EIGEN_MAJOR_VERSION, EIGEN_MINOR_VERSION,
      FMT_VERSION / 10000, FMT_VERSION / 100 % 100, FMT_VERSION % 100, CLI11_VERSION,
      TOML_LIB_MAJOR, TOML_LIB_MINOR, TOML_LIB_PATCH, NLOHMANN_JSON_VERSION_MAJOR,
      NLOHMANN_JSON_VERSION_MINOR, NLOHMANN_JSON_VERSION_PATCH, TBB_VERSION_MAJOR,
      TBB_VERSION_MINOR);
  std::string text =
      fmt::format("cabinload {} ({})\n", core::program_version(), core::git_revision()) +
      report::wrapped(parts, 80, 0);
  text.pop_back();
  return text;
}

int code(core::ExitCode exit) {
  return static_cast<int>(exit);
}

constexpr std::size_t kMostWord = 60;  // of a word that is no command

/// What a command that is not `new` calls an option of it; "" for any other word.
std::string said_here(const std::string& word) {
  const std::string key = key_of_new(word);
  for (const Everyday& e : everyday())
    if (!key.empty() && key == e.key) return e.flag;
  return key.empty() ? "" : "--set " + key + "=VALUE";
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
  const bool nameless = argc > 1 && argv[1][0] != '-' && command == &app;
  if (nameless) {
    text = fmt::format("error: '{}' is not a command\n", std::string(argv[1]).substr(0, kMostWord));
    std::string all;
    for (const CLI::App* sub : app.get_subcommands({})) all += ", " + sub->get_name();
    if (core::nearest_name(argv[1], names).empty())
      text += "  hint: there are: " + all.substr(2) + "\n";
  } else if (argc == 1) {
    text = "error: a command is needed, as in `cabinload hold`\n";
  }
  for (int i = 1; i < argc; ++i) {
    const std::string word = std::string(argv[i]).substr(0, std::string(argv[i]).find('='));
    const bool meant_as_command = command == &app && i == 1 && word[0] != '-';
    if (!meant_as_command && std::string(error.what()).find(word) == std::string::npos) continue;
    if (const std::string here = said_here(word); !here.empty()) {
      text += "  hint: that is said to `cabinload new`; here it is " + here + "\n";
      continue;
    }
    const std::string near = core::nearest_name(word, names);
    if (!near.empty() && near != word) text += "  hint: did you mean '" + near + "'?\n";
  }
  return text + fmt::format("  hint: cabinload {}--help\n",
                            command == &app ? "" : command->get_name() + " ");
}

void build(CLI::App& app, Context& context) {
  app.require_subcommand(1);
  app.formatter(std::make_shared<Columns>());
  app.set_version_flag("--version", version_text(), "what this is built from");
  app.set_help_flag("-h,--help", "this help");
  app.footer(start_text());
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
  add_report(app, context);
  add_help_command(app, context);
  app.add_option_function<std::string>(
         "--generate",
         [&app](const std::string& kind) {
           throw CLI::CallForVersion(generate(app, kind), 0);  // printed as that is
         },
         "write the manual page or a shell's completions")
      ->check(CLI::IsMember({"man", "bash", "zsh", "fish"}))
      ->trigger_on_parse();
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
