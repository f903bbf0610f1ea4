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
#include <string>
#include <vector>

namespace cabinload::cli {

/// What every command shares.
struct Context {
  Surroundings surroundings;
  std::string command_line;
  std::string out, err;
  core::ExitCode exit = core::ExitCode::done;
};

/// Options of every answer: how to print it, where to keep it.
struct OutputOptions {
  std::string units = "si";
  bool json = false, quiet = false, force = false;
  std::string out_file;
  std::string csv_file, table;  ///< a table of the answer, of report::tables_of()
  [[nodiscard]] report::Style style(const Context& context) const;
};

/// The everyday changes, each an override of a scenario key.
struct ScenarioOptions {
  std::string file;
  std::vector<scenario::Override> overrides;
};

void add_output(CLI::App& command, OutputOptions& options);
/// --csv, --table, and --force unless it is there. Last of the options.
/// @param answer  whose tables: "hold"; "": of any answer, its main one unless --table says else
void add_csv(CLI::App& command, OutputOptions& options, const std::string& answer);
void add_scenario(CLI::App& command, ScenarioOptions& options);
/// --samples, for answers that carry a spread.
void add_samples(CLI::App& command, ScenarioOptions& options);
/// Two examples and what the figures mean, below the options.
void add_examples(CLI::App& command, const std::string& text);

/// The weather a scenario names: typed day, shipped year, or file.
[[nodiscard]] weather::Series weather_of(const scenario::Scenario& scenario);
/// A shipped key or a path.
[[nodiscard]] weather::Series read_weather(const std::string& file);

/// Whether --csv could be written, before the work. @throws core::IoError  it cannot
void probe_csv(const OutputOptions& options);
/// Writes what --csv asks for. @param json  of the answer
void keep_csv(Context& context, const OutputOptions& options, const std::string& json);

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
void add_study(CLI::App& app, Context& context);

}  // namespace cabinload::cli
