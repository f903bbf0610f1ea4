// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/scenario/stored.hpp>
#include <charconv>
#include <map>

#include "tables.hpp"

namespace cabinload::scenario {
namespace {

Scenario bind_all(GivenValues& given) {
  Scenario s;
  Binder b(given, s.entries);
  bind_vehicle(b, s);
  bind_shell(b, s);
  bind_parking(b, s);
  bind_people(b, s);
  bind_appliances(b, s);
  bind_air(b, s);
  bind_ideal(b, s);
  bind_unit(b, s);
  bind_power(b, s);
  bind_night(b, s);
  bind_weather(b, s);
  bind_run(b, s);
  bind_uncertainty(b, s);
  bind_cable(b, s);
  bind_roof(b, s);
  bind_study(b, s);
  b.finish();
  for (const std::string& odd : b.odds()) s.warnings.push_back(odd);
  for (std::string& w : warnings_of(s)) s.warnings.push_back(std::move(w));
  return s;
}

/// Bare in TOML when it is a number or a truth value, quoted otherwise.
std::string toml_value(const std::string& text) {
  double number = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  const bool bare = (error == std::errc{} && end == text.data() + text.size() &&
                     text.find_first_of("naN") == std::string::npos) ||
                    text == "true" || text == "false";
  if (bare) return text;
  std::string quoted = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') quoted += '\\';
    quoted += c;
  }
  return quoted + "\"";
}

struct KeyParts {
  std::string table, array, name;
  int index = -1;
};

/// "person[1].count" -> array person, 1, count; "surface[0].layers[1].thickness" -> surface, 0, the
/// rest.
KeyParts parts_of(const std::string& key) {
  KeyParts p;
  const std::size_t dot = key.find('.');
  p.name = dot == std::string::npos ? key : key.substr(dot + 1);
  const std::string head = dot == std::string::npos ? "" : key.substr(0, dot);
  const std::size_t bracket = head.find('[');
  p.table = head.substr(0, bracket);
  if (bracket != std::string::npos) p.index = std::stoi(head.substr(bracket + 1));
  return p;
}

/// Entries of one table side by side, in the order in which tables first come: TOML opens a table
/// only once.
std::vector<const Entry*> by_table(const std::vector<Entry>& entries) {
  std::map<std::string, std::size_t> first;
  std::vector<std::pair<std::size_t, const Entry*>> order;
  for (const Entry& e : entries) {
    const KeyParts p = parts_of(e.key);
    const auto at = first.emplace(fmt::format("{} {}", p.table, p.index), first.size()).first;
    order.emplace_back(at->second, &e);
  }
  std::stable_sort(order.begin(), order.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<const Entry*> list;
  list.reserve(order.size());
  for (const auto& [table, e] : order) list.push_back(e);
  return list;
}

/// Writes entries as TOML. Layers become inline tables.
std::string to_toml(const Scenario& s, bool commented) {
  std::string out, open, layers, layers_name;
  int open_index = -1;
  const auto close_layers = [&] {
    if (!layers_name.empty()) out += fmt::format("{} = [{}}}]\n", layers_name, layers);
    layers.clear();
    layers_name.clear();
  };
  for (const Entry* entry : by_table(s.entries)) {
    const Entry& e = *entry;
    const KeyParts p = parts_of(e.key);
    if (p.table != open || p.index != open_index) {
      close_layers();
      if (p.index >= 0)
        out += fmt::format("\n[[{}]]\n", p.table);
      else if (!p.table.empty())
        out += fmt::format("\n[{}]\n", p.table);
      open = p.table;
      open_index = p.index;
    }
    const std::size_t bracket = p.name.find('[');
    if (bracket != std::string::npos) {  // layers[0].material
      const std::string list = p.name.substr(0, bracket),
                        field = p.name.substr(p.name.find('.') + 1);
      if (list != layers_name) close_layers(), layers_name = list;
      const bool starts_layer = field == "material";
      layers += starts_layer ? (layers.empty() ? "{" : "}, {") : ", ";
      layers += field + " = " + toml_value(e.value);
      continue;
    }
    close_layers();
    const bool off = commented && e.origin == "default";
    if (commented)
      out += fmt::format("# {}{}\n", e.about,
                         e.source.empty() ? "" : fmt::format(" (default: {})", e.source));
    out += fmt::format("{}{} = {}\n", off ? "#" : "", p.name, toml_value(e.value));
  }
  close_layers();
  return out;
}

}  // namespace

Scenario read(const std::string& path, const std::vector<Override>& overrides) {
  GivenValues given;
  if (!path.empty()) given.add_file(path);
  for (const Override& o : overrides) given.add_override(o);
  Scenario s = bind_all(given);
  s.file = path;
  return s;
}

Scenario read_stored(const std::string& toml, const std::string& name) {
  GivenValues given;
  given.add_text(toml, name);
  Scenario s = bind_all(given);
  const Scenario built_in = read("", {});
  for (Entry& e : s.entries) {
    const bool same =
        std::any_of(built_in.entries.begin(), built_in.entries.end(),
                    [&](const Entry& b) { return b.key == e.key && b.value == e.value; });
    e.origin = same ? "default" : name;
  }
  return s;
}

bool given(const Scenario& scenario, const std::string& key) {
  return std::any_of(scenario.entries.begin(), scenario.entries.end(),
                     [&](const Entry& e) { return e.key == key && e.origin != "default"; });
}

core::InputProblem problem_at(const Scenario& scenario, const std::string& key,
                              const std::string& what, const std::string& hint) {
  core::InputProblem problem{
      scenario.file.empty() ? "scenario" : scenario.file, 0, 0, key, what, hint};
  for (const Entry& e : scenario.entries) {
    if (e.key != key || e.origin == "default") continue;
    const std::size_t colon = e.origin.rfind(':');
    if (colon == std::string::npos) {
      problem.file = "command line";
      if (e.origin != "--set") problem.key = fmt::format("{} ({})", e.origin, key);
      continue;
    }
    problem.file = e.origin.substr(0, colon);
    std::from_chars(e.origin.data() + colon + 1, e.origin.data() + e.origin.size(), problem.line);
  }
  return problem;
}

std::string commented_toml(const std::vector<Override>& overrides) {
  const Scenario s = read("", overrides);
  std::string body = to_toml(s, true);
  // What counts for nothing unless its table is there, each by an example that can be read.
  const struct {
    const char* table;
    std::vector<Override> example;
  } kIfThere[] = {
      {"pet", {{"pet.species", "dog", "new"}, {"pet.mass", "20 kg", "new"}}},
      {"panels", {{"panels.power", "400 W", "new"}}},
      {"alternator",
       {{"alternator.current", "30 A", "new"},
        {"driving.hours", "09:00-12:00", "new"},
        {"driving.speed", "80 km/h", "new"}}},
      {"shore", {{"shore.charger", "500 W", "new"}}},
      {"appliance",
       {{"appliance.kind", "refrigerator", "new"}, {"appliance.power", "45 W", "new"}}},
  };
  body += "\n# --- Counted only when it is there: take away the # in front of its [name] too.\n";
  for (const auto& one : kIfThere) {
    const auto of_it = [&](const Entry& e) { return parts_of(e.key).table == one.table; };
    if (std::any_of(s.entries.begin(), s.entries.end(), of_it)) continue;
    Scenario part = read("", one.example);
    std::erase_if(part.entries, [&](const Entry& e) { return !of_it(e); });
    for (Entry& e : part.entries) e.origin = "default";
    std::string text = to_toml(part, true);
    body += text.insert(text.find('['), "#");
  }
  return "# A cabinload scenario. Take away the # in front of a key to change it. Values carry "
         "their unit:\n"
         "# \"78 degF\", \"25.5 degC\", \"6 ft 3 in\", \"2.4 kWh\", \"200 m3/h\". Hours are local "
         "standard time.\n" +
         body;
}

std::string effective_toml(const Scenario& scenario) {
  return to_toml(scenario, false);
}

}  // namespace cabinload::scenario
