// SPDX-License-Identifier: Apache-2.0
#include "command.hpp"

#include <fmt/format.h>
#include <unistd.h>
#include <cabinload/report/csv.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <cstring>
#include <filesystem>
#include <fstream>

namespace cabinload::cli {
namespace {

/// A flag that sets a scenario key.
struct Everyday {
  const char* flag;
  const char* key;
  const char* help;
};
constexpr Everyday kEveryday[] = {
    {"--vehicle", "vehicle.body", "body: list vehicles"},
    {"--insulation", "vehicle.insulation", "bare, thin, good, very-good"},
    {"--paint", "vehicle.paint", "colour: list paints"},
    {"--cover", "vehicle.cover", "window cover: list covers"},
    {"--weather", "weather.file", "shipped year, extreme day or a file: list climates"},
    {"--unit", "unit.model", "cooling unit: list units"},
    {"--set-point", "unit.set_point", "\"24 degC\""},
    {"--battery", "battery.capacity", "\"2.4 kWh\""},
    {"--from", "night.from", "first evening, 07-01"},
    {"--to", "night.to", "last evening, 08-31"},
    {"--limit", "night.limit", "hottest the bed may be, \"78 degF\""},
    {"--people", "person.count", "people in the cabin at night"},
    {"--high", "weather.high", "typed day instead of a file: its high"},
    {"--low", "weather.low", "typed day: its low"},
    {"--dew-point", "weather.dew_point", "typed day: its dew point"},
    {"--date", "weather.date", "typed day: its date"},
    {"--latitude", "weather.latitude", "typed day: \"33 degree\""},
    {"--sky", "weather.sky", "typed day: clear or cloudy"},
};

/// "dog 20 kg" -> species and mass: words, then a number and its unit.
void add_pet(ScenarioOptions& options, const std::string& text) {
  const std::size_t number = text.find_first_of("0123456789.+-");
  std::string species = text.substr(0, number);
  while (!species.empty() && species.back() == ' ') species.pop_back();
  if (species.empty() || number == std::string::npos)
    throw core::InputError({"command line", 0, 0, "--pet",
                            "'" + text + "' is not a species and the mass of one animal",
                            "--pet \"dog 20 kg\""});
  options.overrides.push_back({"pet.species", species, "--pet"});
  options.overrides.push_back({"pet.mass", text.substr(number), "--pet"});
}

void add_set(ScenarioOptions& options, const std::string& text) {
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos || equals == 0)
    throw core::InputError({"command line", 0, 0, "--set", "'" + text + "' is not KEY=VALUE",
                            "--set unit.set_point=\"75 degF\""});
  options.overrides.push_back({text.substr(0, equals), text.substr(equals + 1), "--set"});
}

}  // namespace

report::Style OutputOptions::style(const Context& context) const {
  report::Style style;
  style.units = units == "us" ? core::UnitSystem::us : core::UnitSystem::si;
  style.colour = context.surroundings.out_is_terminal && context.surroundings.colour_allowed;
  return style;
}

void add_output(CLI::App& command, OutputOptions& o) {
  command.add_option("--units", o.units, "si or us, for text")
      ->check(CLI::IsMember({"si", "us"}))
      ->capture_default_str();
  command.add_flag("--json", o.json, "print JSON instead of text");
  command.add_flag("-q,--quiet", o.quiet, "no progress, no hints");
}

void add_csv(CLI::App& command, OutputOptions& o, const std::string& answer) {
  const std::vector<std::string>& tables = report::tables_of(answer);
  if (!tables.empty()) o.table = tables.front();
  CLI::Option* csv = command.add_option("--csv", o.csv_file, "write a table of the answer as CSV");
  if (tables.size() != 1) {
    CLI::Option* table = command.add_option("--table", o.table, "which table --csv writes");
    table->needs(csv);
    if (!tables.empty()) table->check(CLI::IsMember(tables))->capture_default_str();
  }
  if (command.get_option_no_throw("--force") == nullptr)
    command.add_flag("--force", o.force, "replace an existing file");
}

void add_scenario(CLI::App& command, ScenarioOptions& o) {
  command.add_option("SCENARIO", o.file, "scenario file (TOML); the built-in one without");
  for (const Everyday& e : kEveryday)
    command.add_option_function<std::string>(
        e.flag,
        [&o, e](const std::string& v) {
          o.overrides.push_back({e.key, v, e.flag});
        },
        e.help);
  command.add_option_function<std::string>(
      "--pet", [&o](const std::string& v) { add_pet(o, v); }, "\"dog 20 kg\"");
  command
      .add_option_function<std::vector<std::string>>(
          "--set",
          [&o](const std::vector<std::string>& all) {
            for (const std::string& v : all) add_set(o, v);
          },
          "any other key: --set parking.shade=tree")
      ->take_all()
      ->allow_extra_args(false);
}

void add_samples(CLI::App& command, ScenarioOptions& o) {
  command.add_option_function<std::string>(
      "--samples",
      [&o](const std::string& v) {
        o.overrides.push_back({"uncertainty.samples", v, "--samples"});
      },
      "vans drawn from what nobody knows exactly, for how sure it is; 0: none");
}

void refuse_worst_heading(const scenario::Scenario& scenario, const std::string& command) {
  if (!scenario.heading_worst) return;
  throw core::InputError({"command line", 0, 0, "vehicle.heading",
                          "'worst' is not taken by " + command + ": it lays many runs side by side",
                          "a heading, as S or \"200 degree\"; cabinload hold tells the worst"});
}

void add_examples(CLI::App& command, const std::string& text) {
  command.footer(text);
}

void probe_csv(const OutputOptions& o) {
  if (o.csv_file.empty()) return;
  if (o.csv_file == o.out_file)
    throw core::InputError({"command line", 0, 0, "--csv",
                            "'" + o.csv_file + "' is the file of --out too",
                            "give each file its own name"});
  core::check_output(o.csv_file, o.force);
}

void keep_csv(Context& context, const OutputOptions& o, const std::string& json) {
  if (o.csv_file.empty()) return;
  std::string table = o.table;
  if (table.empty()) table = report::tables_of(report::answer_of(json, o.csv_file)).front();
  core::write_text(o.csv_file, report::csv(json, table), o.force);
  if (!o.quiet) context.err += "written: " + o.csv_file + "\n";
}

weather::Series read_weather(const std::string& file) {
  for (const auto& year : weather::shipped_years())
    if (year.key == file) return weather::read(weather::shipped_folder() + "/" + year.file);
  for (const auto& day : weather::extreme_days())
    if (day.key == file) return weather::make(day.day);
  std::error_code error;
  if (!std::filesystem::exists(file, error) && file.find('/') == std::string::npos &&
      file.find('.') == std::string::npos) {
    std::vector<std::string> keys;
    for (const auto& year : weather::shipped_years()) keys.push_back(year.key);
    for (const auto& day : weather::extreme_days()) keys.push_back(day.key);
    const auto [what, hint] = core::unknown_name(file, keys);
    throw core::InputError({"command line", 0, 0, "weather", what, hint + ", or a file"});
  }
  return weather::read(file);
}

weather::Series weather_of(const scenario::Scenario& scenario) {
  return scenario.weather.day ? weather::make(*scenario.weather.day)
                              : read_weather(scenario.weather.file);
}

}  // namespace cabinload::cli
