// SPDX-License-Identifier: Apache-2.0
#include "command.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>
#include <unistd.h>
#include <algorithm>
#include <cabinload/report/csv.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <set>

namespace cabinload::cli {
namespace {

constexpr Everyday kEveryday[] = {
    {"--vehicle", "vehicle.body", "body: list vehicles", true},
    {"--insulation", "vehicle.insulation", "bare, thin, good, very-good", true},
    {"--paint", "vehicle.paint", "colour: list paints", true},
    {"--cover", "vehicle.cover", "window cover: list covers", true},
    {"--weather", "weather.file", "shipped year, extreme day or a file: list climates", true},
    {"--unit", "unit.model", "cooling unit: list units", true},
    {"--set-point", "unit.set_point", "\"24 degC\"", true},
    {"--battery", "battery.capacity", "\"2.4 kWh\"", true},
    {"--from", "night.from", "first evening, 07-01", false},
    {"--to", "night.to", "last evening, 08-31", false},
    {"--limit", "night.limit", "hottest the bed may be, \"78 degF\"", true},
    {"--people", "person.count", "people in the cabin at night", true},
    {"--high", "weather.high", "typed day instead of a file: its high", false},
    {"--low", "weather.low", "typed day: its low", false},
    {"--dew-point", "weather.dew_point", "typed day: its dew point", false},
    {"--date", "weather.date", "typed day: its date", false},
    {"--latitude", "weather.latitude", "typed day: \"33 degree\"", false},
    {"--sky", "weather.sky", "typed day: clear or cloudy", false},
};

/// "dog 20 kg" -> species and mass: words, then a number and its unit.
void add_pet(ScenarioOptions& options, const std::string& text) {
  const std::size_t number = text.find_first_of("0123456789.+-");
  std::string species = text.substr(0, number);
  while (!species.empty() && species.back() == ' ') species.pop_back();
  if (species.empty() || number == std::string::npos)
    refuse_option("--pet", "'" + text + "' is not a species and the mass of one animal",
                  "--pet \"dog 20 kg\"");
  options.overrides.push_back({"pet.species", species, "--pet"});
  options.overrides.push_back({"pet.mass", text.substr(number), "--pet"});
}

void add_set(ScenarioOptions& options, const std::string& text) {
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos || equals == 0)
    refuse_option("--set", "'" + text + "' is not KEY=VALUE", "--set unit.set_point=\"75 degF\"");
  options.overrides.push_back({text.substr(0, equals), text.substr(equals + 1), "--set"});
}

constexpr int kNarrowest = 40, kWidest = 120;  // of pictures

const Config& own_defaults(Context& context) {
  if (!context.config) context.config = read_config(context.surroundings.config_file);
  return *context.config;
}

/// Names of the tables of a scenario file; none of one that cannot be read, which is told later.
std::set<std::string> tables_of(const std::string& file) {
  std::set<std::string> names;
  std::error_code error;
  if (file.empty() || !std::filesystem::is_regular_file(file, error)) return names;
  try {
    for (const auto& [key, node] : toml::parse_file(file)) names.emplace(key.str());
  } catch (const toml::parse_error&) {
    names.clear();
  }
  return names;
}

/// The user's own defaults, before what was asked: only where neither the command line gives that
/// key (of the weather: any) nor the scenario file its table.
void put_own_defaults(Context& context, ScenarioOptions& o) {
  const std::set<std::string> tables = tables_of(o.file);
  std::vector<scenario::Override> all;
  for (const scenario::Override& own : own_defaults(context).defaults) {
    const std::string table = own.key.substr(0, own.key.find('.'));
    const auto given = [&](const scenario::Override& x) {
      return x.key == own.key || (table == "weather" && x.key.starts_with("weather."));
    };
    if (!tables.contains(table) && std::none_of(o.overrides.begin(), o.overrides.end(), given))
      all.push_back(own);
  }
  all.insert(all.end(), o.overrides.begin(), o.overrides.end());
  o.overrides = std::move(all);
}

}  // namespace

void refuse_option(const std::string& option, const std::string& what, const std::string& right) {
  throw core::InputError({"command line", 0, 0, option, what, right});
}

std::span<const Everyday> everyday() {
  return kEveryday;
}

report::Style OutputOptions::style(Context& context) const {
  report::Style style;
  const Surroundings& around = context.surroundings;
  std::string shown = units;
  if (units.empty() && !no_config && !own_defaults(context).units.empty()) {
    shown = context.config->units;
    style.note = fmt::format("Shown in {} units: your own default ({}).",
                             shown == "us" ? "US customary" : "SI", context.config->units_place);
  }
  style.units = shown == "us" ? core::UnitSystem::us : core::UnitSystem::si;
  style.colour = around.out_is_terminal && around.colour_allowed;
  style.ascii = ascii;
  style.pictures = pictures == "always" || (pictures == "auto" && around.out_is_terminal);
  style.columns = static_cast<std::size_t>(
      std::clamp(around.columns > 0 ? around.columns : 80, kNarrowest, kWidest));
  return style;
}

void add_units(CLI::App& command, OutputOptions& o) {
  command.add_option("--units", o.units, "si or us, for text")->check(CLI::IsMember({"si", "us"}));
}

void add_output(CLI::App& command, OutputOptions& o) {
  add_units(command, o);
  command.add_flag("--json", o.json, "print JSON instead of text");
  command.add_option("--pictures", o.pictures, "auto: on a terminal; always or never")
      ->check(CLI::IsMember({"auto", "always", "never"}));
  command.add_flag("--ascii", o.ascii, "draw with plain characters");
  command.add_flag("-q,--quiet", o.quiet, "no progress, no hints");
  command.add_flag("--no-config", o.no_config, "leave your own defaults aside");
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

void add_out_file(CLI::App& command, OutputOptions& o) {
  command.add_option("-o,--out", o.out_file, "keep the result as an HDF5 file");
  command.add_flag("--force", o.force, "replace an existing file");
}

void add_scenario(CLI::App& command, ScenarioOptions& o, Context* context) {
  if (context != nullptr)
    command.parse_complete_callback([&command, &o, context] {
      const CLI::Option* aside = command.get_option_no_throw("--no-config");
      if (aside == nullptr || aside->count() == 0) put_own_defaults(*context, o);
    });
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

void add_samples(CLI::App& command, ScenarioOptions& o, bool by_itself) {
  const std::string by_default = by_itself ? "; 64 if not said" : "; none if not said";
  command.add_option_function<std::string>(
      "--samples",
      [&o](const std::string& v) {
        o.overrides.push_back({"uncertainty.samples", v, "--samples"});
      },
      "vans drawn from what nobody knows exactly, for how sure it is; 0: none" + by_default);
}

void refuse_worst_heading(const scenario::Scenario& scenario, const std::string& command) {
  if (!scenario.heading_worst) return;
  refuse_option("vehicle.heading",
                "'worst' is not taken by " + command + ": it lays many runs side by side",
                "a heading, as S or \"200 degree\"; cabinload hold tells the worst");
}

void add_help(CLI::App& command, const Help& help) {
  const auto block = [](const char* head, const std::string& text) {
    return std::string(head) + "\n" + report::wrapped("  " + text, 80, 2);
  };
  std::string text = block("What the figures mean", help.figures) + "\n" +
                     block("What it does not say", help.not_said) + "\nExamples\n";
  for (const std::string& example : help.examples) text += "  " + example + "\n";
  command.footer(text);
}

void probe_csv(const OutputOptions& o) {
  if (o.csv_file.empty()) return;
  if (o.csv_file == o.out_file)
    refuse_option("--csv", "'" + o.csv_file + "' is the file of --out too",
                  "give each file its own name");
  core::check_output(o.csv_file, o.force);
}

void keep_csv(Context& context, const OutputOptions& o, const std::string& json) {
  if (o.csv_file.empty()) return;
  const std::string kind = report::answer_of(json, o.csv_file);
  const std::vector<std::string>& tables = report::tables_of(kind);
  if (tables.empty())
    refuse_option("--csv", "the result of a " + kind + " has no table for it",
                  "`cabinload study FILE --csv cases.csv` writes a table of its cases");
  const std::string table = o.table.empty() ? tables.front() : o.table;
  core::write_text(o.csv_file, report::csv(json, table), o.force);
  if (!o.quiet) context.err += "written: " + o.csv_file + "\n";
}

namespace {

/// What is wrong with a word that is neither a climate's name nor like a file; nothing else is
/// looked at.
std::optional<core::UnknownName> unknown_weather(const std::string& file) {
  std::vector<std::string> keys;
  for (const auto& year : weather::shipped_years()) keys.push_back(year.key);
  for (const auto& day : weather::extreme_days()) keys.push_back(day.key);
  std::error_code error;
  if (std::find(keys.begin(), keys.end(), file) != keys.end() ||
      file.find_first_of("/.") != std::string::npos || std::filesystem::exists(file, error))
    return std::nullopt;
  core::UnknownName text = core::unknown_name(file, keys);
  text.hint += ", or a file";
  return text;
}

}  // namespace

weather::Series read_weather(const std::string& file) {
  if (const auto unknown = unknown_weather(file))
    refuse_option("weather", unknown->what, unknown->hint);
  for (const auto& year : weather::shipped_years())
    if (year.key == file) return weather::read(weather::shipped_folder() + "/" + year.file);
  for (const auto& day : weather::extreme_days())
    if (day.key == file) return weather::make(day.day);
  return weather::read(file);
}

weather::Series weather_of(const scenario::Scenario& scenario) {
  if (scenario.weather.day) return weather::make(*scenario.weather.day);
  if (const auto unknown = unknown_weather(scenario.weather.file))
    throw core::InputError(
        scenario::problem_at(scenario, "weather.file", unknown->what, unknown->hint));
  return read_weather(scenario.weather.file);
}

}  // namespace cabinload::cli
