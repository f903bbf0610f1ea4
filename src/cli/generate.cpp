// SPDX-License-Identifier: Apache-2.0
#include "generate.hpp"

#include <fmt/format.h>
#include <cabinload/unit/unit.hpp>
#include <cabinload/vehicle/catalogue.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/typed_day.hpp>

#include "help_topics.hpp"

namespace cabinload::cli {
namespace {

template <class List>
std::vector<std::string> keys_of(const List& list) {
  std::vector<std::string> keys;
  for (const auto& entry : list) keys.emplace_back(entry.key);
  return keys;
}

/// Names that an option takes, by its own name.
std::vector<std::string> names_of(const std::string& option) {
  if (option == "--vehicle" || option == "--body") return keys_of(vehicle::bodies());
  if (option == "--insulation") return keys_of(vehicle::insulations());
  if (option == "--paint" || option == "--colour") return keys_of(vehicle::paints());
  if (option == "--cover") return keys_of(vehicle::covers());
  if (option == "--unit" || option == "--units-of") return keys_of(unit::built_in());
  if (option == "--sky") return {"clear", "cloudy"};
  if (option == "TOPIC") return keys_of(help_topics());
  if (option == "--weather" || option == "--town" || option == "FILE") {
    std::vector<std::string> keys = keys_of(weather::shipped_years());
    for (const auto& day : weather::extreme_days()) keys.push_back(day.key);
    return keys;
  }
  return {};
}

/// "TEXT:{si,us}" -> si, us.
std::vector<std::string> members_of(const std::string& type) {
  std::vector<std::string> members;
  const std::size_t open = type.find('{');
  const std::size_t close = type.find('}', open);
  if (open == std::string::npos || close == std::string::npos) return members;
  for (std::size_t at = open + 1; at < close;) {
    const std::size_t end = std::min(type.find(',', at), close);
    members.push_back(type.substr(at, end - at));
    at = end + 1;
  }
  return members;
}

OptionText text_of(const CLI::Option& option) {
  OptionText t;
  for (const std::string& name : option.get_snames()) t.names.push_back("-" + name);
  for (const std::string& name : option.get_lnames()) t.names.push_back("--" + name);
  t.placeholder = option.get_positional() ? option.get_name(true) : "";
  t.about = option.get_description();
  t.takes_value = option.get_items_expected_max() > 0;
  t.values = members_of(option.get_type_name());
  if (t.values.empty() && t.takes_value)
    t.values = names_of(t.names.empty()               ? t.placeholder
                        : option.get_lnames().empty() ? t.names[0]
                                                      : "--" + option.get_lnames()[0]);
  return t;
}

CommandText text_of(const CLI::App& app, const std::string& name) {
  CommandText t{name, app.get_description(), app.get_footer(), {}};
  for (const CLI::Option* option : app.get_options()) t.options.push_back(text_of(*option));
  return t;
}

}  // namespace

std::vector<CommandText> command_texts(const CLI::App& app) {
  std::vector<CommandText> all = {text_of(app, "")};
  for (const CLI::App* command : app.get_subcommands({}))
    all.push_back(text_of(*command, command->get_name()));
  return all;
}

const std::vector<ExitWords>& exit_words() {
  static const std::vector<ExitWords> words = {
      {0, "met or done"},    {1, "a limit is not met"}, {2, "usage or input"},
      {3, "file or system"}, {4, "numerical failure"},  {70, "a defect of the program"},
      {130, "interrupted"}};
  return words;
}

std::string generate(const CLI::App& app, const std::string& kind) {
  const std::vector<CommandText> commands = command_texts(app);
  return kind == "man"    ? man_page(commands)
         : kind == "bash" ? bash_completion(commands)
         : kind == "zsh"  ? zsh_completion(commands)
                          : fish_completion(commands);
}

}  // namespace cabinload::cli
