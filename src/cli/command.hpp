// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <CLI/CLI.hpp>
#include <cabinload/cli/program.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/core/output_file.hpp>
#include <cabinload/core/units.hpp>
#include <cabinload/report/terminal.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/weather/series.hpp>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace cabinload::cli {

/// The user's own defaults.
struct Config {
  std::string units;                         ///< "si", "us"; "" not set
  std::string units_place;                   ///< "/home/x/.config/cabinload/config.toml:2"
  std::vector<scenario::Override> defaults;  ///< origin: the place
};
/// @throws core::InputError  with file, line and key
/// @throws core::IoError     it cannot be read
[[nodiscard]] Config read_config(const std::string& file);

/// @throws core::InputError  what is wrong with an option or a key, and what would be right
[[noreturn]] void refuse_option(const std::string& option, const std::string& what,
                                const std::string& right);

/// What every command shares.
struct Context {
  Surroundings surroundings;
  std::optional<Config> config;  ///< once it was asked for
  std::string command_line;
  std::string out, err;
  core::ExitCode exit = core::ExitCode::done;
};

/// Options of every answer: how to print it, where to keep it.
struct OutputOptions {
  std::string units;  ///< "": by the config file, else si
  bool json = false, quiet = false, force = false, no_config = false, ascii = false;
  std::string pictures = "auto";
  std::string out_file;
  std::string csv_file, table;  ///< a table of the answer, of report::tables_of()
  [[nodiscard]] report::Style style(Context& context) const;
};

/// The everyday changes, each an override of a scenario key.
struct ScenarioOptions {
  std::string file;
  std::vector<scenario::Override> overrides;
};

void add_output(CLI::App& command, OutputOptions& options);
/// --out and --force.
void add_out_file(CLI::App& command, OutputOptions& options);
/// --csv, --table, and --force unless it is there. Last of the options.
/// @param answer  whose tables: "hold"; "": of any answer, its main one unless --table says else
void add_csv(CLI::App& command, OutputOptions& options, const std::string& answer);
/// The user's own defaults go before them, unless `context` is null.
void add_scenario(CLI::App& command, ScenarioOptions& options, Context* context);
/// --samples, for answers that carry a spread. @param by_itself  some are drawn without it
void add_samples(CLI::App& command, ScenarioOptions& options, bool by_itself);
/// The same for --units alone.
void add_units(CLI::App& command, OutputOptions& options);
/// Everyday flags and the keys they set, for what else names them.
struct Everyday {
  const char *flag, *key, *help;
  bool own_default;  ///< may stand in the config file
};
[[nodiscard]] std::span<const Everyday> everyday();

/// What stands below the options of every command. Texts are wrapped; an example may go on in a
/// second line after a backslash.
struct Help {
  const char* figures;                ///< what they mean, and the exit status
  const char* not_said;               ///< what the answer leaves open
  std::vector<std::string> examples;  ///< whole command lines; at least two
};
void add_help(CLI::App& command, const Help& help);

/// The weather a scenario names: typed day, shipped year, or file.
[[nodiscard]] weather::Series weather_of(const scenario::Scenario& scenario);
/// A shipped key or a path.
[[nodiscard]] weather::Series read_weather(const std::string& file);

/// Whether --csv could be written, before the work. @throws core::IoError  it cannot
void probe_csv(const OutputOptions& options);
/// Writes what --csv asks for. @param json  of the answer
void keep_csv(Context& context, const OutputOptions& options, const std::string& json);

/// Air to air through a face, its framing with it, by the ordinary films of a wall (ISO 6946)
/// [W m-2 K-1].
[[nodiscard]] double face_U_W_m2K(const vehicle::Surface& face);

/// Headings that "worst" tries, all around: every 45 degree. Engineering judgement.
inline constexpr int kHeadings = 8;

/// For answers that lay many runs side by side: they take one heading.
/// @throws core::InputError  vehicle.heading is "worst"
void refuse_worst_heading(const scenario::Scenario& scenario, const std::string& command);

// One file per command; each adds its subcommand.
void add_hold(CLI::App& app, Context& context);
void add_load(CLI::App& app, Context& context);
void add_pets(CLI::App& app, Context& context);
void add_wire(CLI::App& app, Context& context);
void add_roof(CLI::App& app, Context& context);
void add_runtime(CLI::App& app, Context& context);
void add_weather(CLI::App& app, Context& context);
void add_new(CLI::App& app, Context& context);
void add_list(CLI::App& app, Context& context);
void add_show(CLI::App& app, Context& context);
void add_size(CLI::App& app, Context& context);
void add_compare(CLI::App& app, Context& context);
void add_what_helps(CLI::App& app, Context& context);
void add_help_command(CLI::App& app, Context& context);
void add_report(CLI::App& app, Context& context);
void add_study(CLI::App& app, Context& context);

}  // namespace cabinload::cli
