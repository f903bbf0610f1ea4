// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/compare.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/report/terminal.hpp>
#include <cabinload/study/failure_peak.hpp>
#include <cabinload/study/variants.hpp>
#include <cabinload/unit/unit.hpp>
#include <charconv>
#include <cmath>
#include <memory>
#include <optional>

#include "command.hpp"
#include "keep.hpp"
#include "progress_line.hpp"
#include "toml_file.hpp"
#include "why.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "Nights held, of those that need cooling, what most of the others are lost to, electricity a "
    "night, and the fewest minutes from a failure of the cooling to an animal's limit (a dog's, "
    "unless the scenario has another) in the three days around the hottest, for every unit in "
    "every climate, vehicle and setting. --unit, --weather and --vehicle take names "
    "with commas between; --set \"KEY=VALUE|KEY=VALUE\" makes settings to compare (an empty"
    " one is the scenario as it is; ; joins keys of one setting), so also units by their "
    "plates. Or --lists FILE, a TOML"
    " file: units, weather, vehicles = [..], and settings = [..] written as for --set. "
    "What has only one value stays as the scenario says. The first line sums climates, never "
    "settings. Exit status 0.",
    "A promise for one vehicle: differences between rows are surer than the rows. The "
    "night by night is told by `cabinload hold`.",
    {"cabinload compare --unit generic-1500-24v,generic-2000-24v \\\n    --weather "
     "tucson,miami --vehicle medium-van,long-van --csv matrix.csv",
     "cabinload compare --weather miami --set \"|unit.power_cap=400 W\"",
     "cabinload compare --set \"unit.capacity=1.8 kW; unit.power=620 W \\\n    | "
     "unit.capacity=2.6 kW; unit.power=900 W\" --from 07-01 --to 07-31"}};

struct CompareOptions {
  ScenarioOptions scenario;
  OutputOptions output;
  std::string units_of, lists_file, why;
};

/// One alternative of --set: what the user wrote, and its overrides.
struct Setting {
  std::string text;
  std::vector<scenario::Override> overrides;
};

struct Lists {
  std::vector<std::string> units, weathers, vehicles;
  std::vector<Setting> settings;
};

std::string trimmed(const std::string& text) {
  const std::size_t first = text.find_first_not_of(' ');
  return first == std::string::npos ? ""
                                    : text.substr(first, text.find_last_not_of(' ') - first + 1);
}

std::vector<std::string> split(const std::string& text, char at) {
  std::vector<std::string> parts;
  std::size_t start = 0;
  for (std::size_t end = text.find(at); end != std::string::npos; end = text.find(at, start)) {
    parts.push_back(trimmed(text.substr(start, end - start)));
    start = end + 1;
  }
  parts.push_back(trimmed(text.substr(start)));
  return parts;
}

[[noreturn]] void refuse(const std::string& file, const std::string& key, const std::string& what,
                         const std::string& hint) {
  throw core::InputError({file, 0, 0, key, what, hint});
}

Setting setting_of(const std::string& text, const std::string& file) {
  Setting s;
  s.text = text.empty() ? "as it is" : text;
  if (text.empty()) return s;
  for (const std::string& part : split(text, ';')) {
    const std::size_t equals = part.find('=');
    if (equals == std::string::npos || equals == 0)
      refuse(file, "--set", "'" + part + "' is not KEY=VALUE",
             "--set \"unit.set_point=24 degC|unit.set_point=25 degC\"");
    s.overrides.push_back(
        {trimmed(part.substr(0, equals)), trimmed(part.substr(equals + 1)), "--set"});
  }
  return s;
}

/// Every alternative with every one of another --set.
std::vector<Setting> crossed(const std::vector<Setting>& all, const std::vector<Setting>& more) {
  if (all.empty()) return more;
  std::vector<Setting> product;
  for (const Setting& a : all)
    for (const Setting& b : more) {
      Setting both = a;
      both.text += "; " + b.text;
      both.overrides.insert(both.overrides.end(), b.overrides.begin(), b.overrides.end());
      product.push_back(both);
    }
  return product;
}

void check_list(const std::vector<std::string>& list, const std::string& file,
                const std::string& key, const std::vector<std::string>& known) {
  for (std::size_t i = 0; i < list.size(); ++i) {
    if (list[i].empty())
      refuse(file, key, "an empty name in the list", "names with one comma between");
    if (std::count(list.begin(), list.end(), list[i]) > 1)
      refuse(file, key, "'" + list[i] + "' is named twice", "each once");
    if (known.empty() || std::find(known.begin(), known.end(), list[i]) != known.end()) continue;
    const auto [what, hint] = core::unknown_name(list[i], known);
    refuse(file, key, what, hint);
  }
}

std::vector<std::string> unit_names() {
  std::vector<std::string> names;
  for (const auto& u : unit::built_in()) names.push_back(u.key);
  return names;
}
std::vector<std::string> body_names() {
  std::vector<std::string> names;
  for (const auto& b : vehicle::bodies()) names.push_back(b.key);
  return names;
}

/// Takes the lists out of what the shared options collected; what is left is for every row.
Lists lists_of(CompareOptions& o) {
  Lists lists;
  std::vector<scenario::Override> rest;
  for (const scenario::Override& x : o.scenario.overrides) {
    if (x.origin == "--unit") {
      lists.units = split(x.value, ',');
    } else if (x.origin == "--weather") {
      lists.weathers = split(x.value, ',');
    } else if (x.origin == "--vehicle") {
      lists.vehicles = split(x.value, ',');
    } else if (x.origin == "--set" &&
               (x.value.find('|') != std::string::npos || x.key.find('|') != std::string::npos)) {
      std::vector<Setting> alternatives;
      for (const std::string& text : split(x.key + "=" + x.value, '|'))
        alternatives.push_back(setting_of(text, "command line"));
      lists.settings = crossed(lists.settings, alternatives);
    } else {
      rest.push_back(x);
    }
  }
  o.scenario.overrides = rest;
  if (!o.units_of.empty() && !lists.units.empty())
    refuse_option("--units-of", "--unit says the same", "one of both");
  if (!o.units_of.empty()) lists.units = split(o.units_of, ',');
  check_list(lists.units, "command line", "--unit", unit_names());
  check_list(lists.vehicles, "command line", "--vehicle", body_names());
  check_list(lists.weathers, "command line", "--weather", {});
  return lists;
}

std::vector<std::string> texts_of(const toml::node& node, const std::string& file,
                                  const std::string& key) {
  std::vector<std::string> list;
  const toml::array* array = node.as_array();
  const auto line = node.source().begin.line;
  if (array == nullptr || array->empty())
    throw core::InputError({file, line, 0, key, "must be a list with at least one name",
                            key + " = [\"...\", \"...\"]"});
  for (const toml::node& element : *array) {
    const auto* text = element.as_string();
    if (text == nullptr)
      throw core::InputError(
          {file, line, 0, key, "holds something that is not a text", "write names in quotes"});
    list.push_back(text->get());
  }
  return list;
}

/// @throws core::InputError  also for a list that the command line gives too
void read_lists(const std::string& file, Lists& lists) {
  const toml::table table = toml_file(file, "", "units = [\"generic-2000-24v\"]");
  for (const auto& [key, node] : table) {
    const std::string name(key.str());
    if ((name == "units" && !lists.units.empty()) ||
        (name == "weather" && !lists.weathers.empty()) ||
        (name == "vehicles" && !lists.vehicles.empty()) ||
        (name == "settings" && !lists.settings.empty()))
      throw core::InputError({file, node.source().begin.line, 0, name,
                              "is listed on the command line too", "one of both"});
    if (name == "units") {
      lists.units = texts_of(node, file, name);
      check_list(lists.units, file, name, unit_names());
    } else if (name == "weather") {
      lists.weathers = texts_of(node, file, name);
      check_list(lists.weathers, file, name, {});
    } else if (name == "vehicles") {
      lists.vehicles = texts_of(node, file, name);
      check_list(lists.vehicles, file, name, body_names());
    } else if (name == "settings") {
      for (const std::string& text : texts_of(node, file, name))
        lists.settings.push_back(setting_of(trimmed(text), file));
    } else {
      const auto [what, hint] =
          core::unknown_name(name, {"units", "weather", "vehicles", "settings"});
      throw core::InputError({file, node.source().begin.line, 0, name, what, hint});
    }
  }
}

/// The scenario of one cell; a list without entries leaves what the scenario says.
scenario::Scenario scenario_of(const CompareOptions& o, const Lists& lists,
                               const answers::CompareRow& row) {
  std::vector<scenario::Override> overrides = o.scenario.overrides;
  const auto add = [&](const char* key, const std::vector<std::string>& list, std::size_t i,
                       const char* origin) {
    if (!list.empty()) overrides.push_back({key, list[i], origin});
  };
  add("vehicle.body", lists.vehicles, row.vehicle, "--vehicle");
  add("weather.file", lists.weathers, row.weather, "--weather");
  add("unit.model", lists.units, row.unit, "--units-of");
  if (!lists.settings.empty())
    for (const scenario::Override& x : lists.settings[row.setting].overrides)
      overrides.push_back(x);
  scenario::Scenario s = scenario::read(o.scenario.file, overrides);
  refuse_worst_heading(s, "compare");
  return s;
}

std::vector<answers::CompareRow> places(const Lists& lists) {
  std::vector<answers::CompareRow> rows;
  const auto n = [](std::size_t size) { return std::max<std::size_t>(size, 1); };
  for (std::size_t v = 0; v < n(lists.vehicles.size()); ++v)
    for (std::size_t w = 0; w < n(lists.weathers.size()); ++w)
      for (std::size_t u = 0; u < n(lists.units.size()); ++u)
        for (std::size_t s = 0; s < n(lists.settings.size()); ++s)
          rows.push_back({u, w, v, s, 0, 0, 0, 0, answers::Why::none, 0, 0});
  return rows;
}

/// What each entry of a list is called, also of a list without entries.
void name_lists(const Lists& lists, const scenario::Scenario& first, answers::Comparison& a) {
  a.units = lists.units.empty() ? std::vector<std::string>{first.unit.key} : lists.units;
  a.vehicles =
      lists.vehicles.empty() ? std::vector<std::string>{first.vehicle.body} : lists.vehicles;
  for (const Setting& s : lists.settings) a.settings.push_back(s.text);
  if (a.settings.empty()) a.settings = {"as it is"};
}

/// Which row --why is about, and which of its nights.
struct AskedRow {
  std::size_t row = 0;
  std::string night = "true";
};

/// "", "true", "2", "07-14" or "2 07-14": rows count from 1, as in --csv and --json.
std::optional<AskedRow> asked_row(const std::string& why, std::size_t rows) {
  if (why.empty()) return std::nullopt;
  AskedRow asked;
  std::string rest = why == "true" ? "" : why;
  const std::size_t end = std::min(rest.find(' '), rest.size());
  if (end > 0 && rest.find_first_not_of("0123456789") >= end) {
    std::size_t number = 0;
    std::from_chars(rest.data(), rest.data() + end, number);
    if (number < 1 || number > rows)
      refuse_option("--why", "'" + rest.substr(0, end) + "' is no row",
                    fmt::format("1 to {}, counted as in --csv and --json", rows));
    asked.row = number - 1;
    rest = trimmed(rest.substr(end));
  }
  if (rest.empty()) return asked;
  (void)date_of("--why", rest);
  asked.night = rest;
  return asked;
}

/// "Row 2 (long-van, tucson, generic-2000-24v, as it is)".
std::string row_words(const answers::Comparison& a, std::size_t row) {
  const answers::CompareRow& r = a.rows[row];
  return fmt::format("Row {} ({}, {}, {}, {})", row + 1, a.vehicles[r.vehicle],
                     a.weathers[r.weather].key, a.units[r.unit], a.settings[r.setting]);
}

/// Each row about the day on which its own cabin is hottest with the unit off.
std::vector<double> fewest_minutes(const std::vector<study::Variant>& variants,
                                   const std::vector<study::Outcome>& outcomes) {
  std::vector<study::PeakAsk> asks;
  for (std::size_t i = 0; i < variants.size(); ++i)
    asks.push_back({variants[i].scenario,
                    variants[i].weather,
                    {answers::days_about(static_cast<int>(std::floor(
                        outcomes[i].off->hottest.cabin_air.t_s / core::kSecondsInDay)))}});
  std::vector<double> minutes;
  for (const study::FailurePeak& peak : study::failure_peaks(asks))
    minutes.push_back(peak.fewest_min);
  return minutes;
}

/// @param first_day  out: of the first row's weather
answers::Comparison compared(const CompareOptions& o, const Lists& lists, ProgressLine& line,
                             int& first_day) {
  answers::Comparison a;
  a.rows = places(lists);
  const std::optional<AskedRow> asked = asked_row(o.why, a.rows.size());
  std::vector<answers::Ledger> flows;
  std::vector<study::Variant> variants;
  std::vector<std::shared_ptr<const weather::Series>> weathers(
      std::max<std::size_t>(lists.weathers.size(), 1));
  for (const answers::CompareRow& row : a.rows) {
    auto s = std::make_shared<const scenario::Scenario>(scenario_of(o, lists, row));
    auto& weather = weathers[row.weather];
    if (!weather) weather = std::make_shared<const weather::Series>(weather_of(*s));
    variants.push_back({"", s, weather, "", {}, {}, true});
  }
  for (std::size_t w = 0; w < weathers.size(); ++w)
    a.weathers.push_back(
        {lists.weathers.empty() ? variants.front().scenario->weather.file : lists.weathers[w],
         weathers[w]->place.name, weathers[w]->file, weathers[w]->sha256});
  first_day = weathers.front()->first_day;
  study::Variants runs;
  const std::vector<study::Outcome> outcomes =
      runs.run(variants, [&](std::size_t done, std::size_t of) {
        line.show(static_cast<double>(done) / static_cast<double>(of));
      });
  const std::vector<double> minutes = fewest_minutes(variants, outcomes);
  for (std::size_t i = 0; i < outcomes.size(); ++i) {
    const answers::Hold hold = answers::hold(outcomes[i].on, *outcomes[i].off,
                                             *variants[i].scenario, *variants[i].weather);
    const answers::CompareRow at = a.rows[i];
    a.rows[i] = answers::compare_row(hold);
    a.rows[i].unit = at.unit;
    a.rows[i].weather = at.weather;
    a.rows[i].vehicle = at.vehicle;
    a.rows[i].setting = at.setting;
    a.rows[i].minutes = minutes[i];
    a.residual_relative = std::max(a.residual_relative, hold.residual_relative);
    if (i == 0) name_lists(lists, *variants[0].scenario, a);
    if (asked && asked->row == i)
      flows = night_flows(*variants[i].scenario, *variants[i].weather,
                          hold.each_night[asked_night(asked->night, hold)], row_words(a, i));
    if (i > 0) continue;
    a.header = hold.header;
    a.header.answer = "compare";
    a.header.cautions = answers::animal_cautions();
    a.to = answers::minutes_rule(*variants[0].scenario);
    a.T_limit_K = hold.T_limit_K;
  }
  a.header.flows = flows;
  a.unit_on_runs = runs.counts().unit_on;
  a.unit_off_runs = runs.counts().unit_off;
  a.forcings = runs.counts().forcings;
  return a;
}

void compare(Context& context, CompareOptions o) {
  Lists lists = lists_of(o);
  if (!o.lists_file.empty()) read_lists(o.lists_file, lists);
  if (!o.output.out_file.empty()) core::check_output(o.output.out_file, o.output.force);
  probe_csv(o.output);
  ProgressLine line(context.surroundings.err_is_terminal && !o.output.quiet && !o.output.json);
  int first_day = 0;
  const answers::Comparison answer = compared(o, lists, line, first_day);
  const std::string json = report::json(answer);
  const scenario::Scenario first = scenario_of(o, lists, answer.rows.front());
  tell(context, o.output, answer, json,
       store::CompareResult{about(context, first, json, first_day), answer});
}

}  // namespace

void add_compare(CLI::App& app, Context& context) {
  auto options = std::make_shared<CompareOptions>();
  CLI::App* command =
      app.add_subcommand("compare", "Units by climates by vehicles by settings, side by side");
  add_scenario(*command, options->scenario, &context);
  add_output(*command, options->output);
  command->add_option("--units-of", options->units_of, "the same as --unit");
  command->add_option("--lists", options->lists_file, "the lists from a TOML file");
  add_out_file(*command, options->output);
  command->add_flag("--why", options->why,
                    "what comes in and goes out in the first row's hardest night; "
                    "--why=\"3 07-14\": in row 3, that night");
  add_csv(*command, options->output, "compare");
  add_help(*command, kHelp);
  command->callback([&context, options] { compare(context, *options); });
}

}  // namespace cabinload::cli
