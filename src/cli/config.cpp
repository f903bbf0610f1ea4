// SPDX-License-Identifier: Apache-2.0
// The user's own defaults, from a file of flags without their dashes.
#include <fmt/format.h>

#include "command.hpp"
#include "toml_file.hpp"

namespace cabinload::cli {
namespace {

constexpr const char* kUnits = "units";

std::string value_of(const toml::node& node) {
  if (const auto* text = node.as_string()) return text->get();
  if (const auto* whole = node.as_integer()) return std::to_string(whole->get());
  return "";
}

}  // namespace

Config read_config(const std::string& file) {
  Config config;
  if (file.empty()) return config;
  const toml::table table = toml_file(file, " ($CABINLOAD_CONFIG)", "units = \"us\"");
  std::vector<std::string> known = {kUnits};
  for (const Everyday& e : everyday())
    if (e.own_default) known.emplace_back(e.flag + 2);
  std::vector<core::InputProblem> problems;
  for (const auto& [name, node] : table) {
    const std::string key(name.str()), value = value_of(node);
    const std::size_t line = node.source().begin.line, column = node.source().begin.column;
    const std::string place = fmt::format("{}:{}", file, line);
    const auto refuse = [&](const std::string& what, const std::string& hint) {
      problems.push_back({file, line, column, key, what, hint});
    };
    if (std::find(known.begin(), known.end(), key) == known.end()) {
      const auto [what, hint] = core::unknown_name(key, known);
      refuse(what, hint);
    } else if (value.empty()) {
      refuse("is not a text", key + " = \"...\", as after --" + key);
    } else if (key != kUnits) {
      for (const Everyday& e : everyday())
        if (e.flag + 2 == key) config.defaults.push_back({e.key, value, place});
    } else if (value != "si" && value != "us") {
      refuse("'" + value + "' is neither si nor us", "units = \"us\"");
    } else {
      config.units = value;
      config.units_place = place;
    }
  }
  if (!problems.empty()) throw core::InputError(problems);
  return config;
}

}  // namespace cabinload::cli
