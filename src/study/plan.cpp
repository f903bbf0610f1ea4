// SPDX-License-Identifier: Apache-2.0
#include <cabinload/study/plan.hpp>

#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/study/sensitivity.hpp>
#include <cabinload/weather/climates.hpp>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <functional>
#include <memory>

namespace cabinload::study {
namespace {

using scenario::Scenario;
using scenario::Vary;

constexpr const char* kUncertainty = "uncertainty";
constexpr const char* kWorst = "'worst' is not taken by a study";
constexpr const char* kHeadings = "vary the heading over a list: \"N\", \"E\", \"S\", \"W\"";

std::string trimmed(const std::string& text) {
  const auto from = text.find_first_not_of(" \t\r\n"), to = text.find_last_not_of(" \t\r\n");
  return from == std::string::npos ? "" : text.substr(from, to - from + 1);
}

/// "thin, good"; with a ';' anywhere that parts them instead.
std::vector<std::string> list_of(const std::string& text) {
  if (text == "[]") return {};
  const char comma = text.find(';') == std::string::npos ? ',' : ';';
  std::vector<std::string> list;
  for (std::size_t from = 0; from <= text.size();) {
    const std::size_t to = std::min(text.find(comma, from), text.size());
    if (std::string one = trimmed(text.substr(from, to - from)); !one.empty()) list.push_back(one);
    from = to + 1;
  }
  return list;
}

/// "2.4 kWh": number and unit.
struct Figure {
  double number = 0;
  std::string unit;
};
Figure figure_of(const std::string& text) {
  const std::string t = trimmed(text);
  Figure f;
  const auto [end, error] = std::from_chars(t.data(), t.data() + t.size(), f.number);
  if (error != std::errc{} || !std::isfinite(f.number))
    throw core::Error("'" + text + "' does not begin with a number");
  f.unit = trimmed(std::string(end, t.data() + t.size()));
  return f;
}
/// A figure in the unit of the range.
double figure_in(const std::string& text, const std::string& unit) {
  const Figure f = figure_of(text);
  if (f.unit != unit)
    throw core::Error(fmt::format("'{}' is not in the unit of the range, '{}'", text, unit));
  return f.number;
}

/// Reads one [[vary]]; every problem names the key of it.
class Reader {
 public:
  Reader(const Scenario& scenario, std::size_t index)
      : scenario_(scenario), vary_(scenario.study.vary[index]), index_(index) {}

  std::vector<Input> inputs() {
    const int ways = (vary_.values.empty() ? 0 : 1) + (vary_.files.empty() ? 0 : 1) +
                     (vary_.range.empty() ? 0 : 1);
    const std::size_t dot = vary_.key.find('.');
    const bool unknown = vary_.key.substr(0, dot) == kUncertainty && vary_.values.empty();
    if (vary_.key.empty()) refuse("key", "is missing", "key = \"battery.capacity\"");
    if (vary_.key.starts_with("study.") || vary_.key.starts_with("vary"))
      refuse("key", "'" + vary_.key + "' is of the study itself, it cannot vary",
             "any other key of `cabinload show scenario`");
    if (ways > 1 || (ways == 0 && !unknown))
      refuse("key", "needs one of values, files and range",
             "values = [\"thin\", \"good\"], or range = \"1 kWh to 5 kWh\"");
    if (unknown) return unknowns(dot == std::string::npos ? "" : vary_.key.substr(dot + 1));
    Input input;
    input.key = vary_.key;
    guarded("values", [&] {
      if (!vary_.values.empty()) input.levels = list_of(vary_.values);
    });
    guarded("files", [&] {
      if (!vary_.files.empty()) input.levels = files();
    });
    guarded("range", [&] {
      if (!vary_.range.empty()) range(input);
    });
    if (vary_.range.empty() && input.levels.empty())
      refuse(vary_.files.empty() ? "values" : "files", "holds no value", "one at least");
    if (!input.levels.empty()) input.spread = Choice{input.levels.size()};
    return {input};
  }

 private:
  [[noreturn]] void refuse(const std::string& name, const std::string& what,
                           const std::string& hint) const {
    throw core::InputError(
        scenario::problem_at(scenario_, fmt::format("vary[{}].{}", index_, name), what, hint));
  }
  void guarded(const char* name, const std::function<void()>& read) const {
    try {
      read();
    } catch (const core::InputError&) {
      throw;
    } catch (const core::Error& e) {
      refuse(name, e.what(), "");
    }
  }

  [[nodiscard]] std::vector<std::string> files() const {
    namespace fs = std::filesystem;
    // Beside the scenario file, as people mean it.
    fs::path path = vary_.files;
    if (path.is_relative() && !fs::exists(path))
      path = fs::path(scenario_.file).parent_path() / path;
    std::vector<std::string> list;
    std::error_code error;
    if (fs::is_directory(path, error)) {
      for (const auto& entry : fs::directory_iterator(path))
        if (entry.is_regular_file() && entry.path().filename().string()[0] != '.' &&
            entry.path().extension() != ".md" && entry.path().extension() != ".toml")
          list.push_back(entry.path().lexically_normal().string());
      std::sort(list.begin(), list.end());
      return list;
    }
    std::ifstream in(path);
    if (!in) throw core::Error("'" + vary_.files + "' is neither a folder nor a readable file");
    for (std::string line; std::getline(in, line);)
      if (line = trimmed(line); !line.empty() && line[0] != '#') list.push_back(line);
    return list;
  }

  void range(Input& input) const {
    const std::size_t to = vary_.range.find(" to ");
    if (to == std::string::npos)
      throw core::Error("'" + vary_.range + "' is no range, as \"1 kWh to 5 kWh\"");
    const Figure high = figure_of(vary_.range.substr(to + 4));
    Figure low = figure_of(vary_.range.substr(0, to));
    if (low.unit.empty()) low.unit = high.unit;
    input.unit = high.unit;
    (void)core::udunits_spelling(input.unit);  // refused here, not when the table is written
    if (low.unit != high.unit)
      throw core::Error("'" + vary_.range + "' has two units, the same one is needed");
    if (!(low.number < high.number))
      throw core::Error("'" + vary_.range + "' is upside down, the low end comes first");
    input.low = low.number;
    input.high = high.number;
    input.steps = vary_.steps;
    input.spread = spread(input);
    check(input.spread, input.key);
  }

  [[nodiscard]] Distribution spread(const Input& input) const {
    const auto figure = [&](const char* name, const std::string& text) {
      if (text.empty())
        refuse(name, fmt::format("is missing, spread = \"{}\" needs it", vary_.spread), "");
      return figure_in(text, input.unit);
    };
    if (vary_.spread == "triangle")
      return Triangular{input.low, figure("likeliest", vary_.likeliest), input.high};
    if (vary_.spread == "bell")
      return TruncatedNormal{figure("likeliest", vary_.likeliest),
                             figure("deviation", vary_.deviation), input.low, input.high};
    if (vary_.spread == "factor")
      return Lognormal{figure("likeliest", vary_.likeliest), vary_.factor_1};
    return Uniform{input.low, input.high};
  }

  /// Of the table, one or all of them.
  [[nodiscard]] std::vector<Input> unknowns(const std::string& key) const {
    std::vector<Input> list;
    std::vector<std::string> known;
    for (const scenario::UnknownRange& r : scenario_.uncertainty.ranges) {
      const scenario::Unknown& u = scenario::unknowns()[r.unknown];
      known.emplace_back(u.key);
      if (!key.empty() && key != u.key) continue;
      Input input;
      input.key = fmt::format("{}.{}", kUncertainty, u.key);
      input.unit = u.unit;
      input.kind = u.kind;
      input.unknown = r;
      input.steps = vary_.steps;
      if (!vary_.range.empty())
        guarded("range", [&] { input.unknown = scenario::range_of(r.unknown, vary_.range); });
      input.low = input.unknown->low;
      input.high = input.unknown->high;
      list.push_back(input);
    }
    if (list.empty()) {
      const auto [what, hint] = core::unknown_name(key, known);
      refuse("key", what, hint);
    }
    return list;
  }

  const Scenario& scenario_;
  const Vary& vary_;
  std::size_t index_;
};

/// The key as an override gives it: "person[0].count" and "person.count" are the same.
std::string plain(std::string key) {
  for (std::size_t at = key.find("[0]"); at != std::string::npos; at = key.find("[0]"))
    key.erase(at, 3);
  return key;
}

void refuse_twice(const Scenario& scenario, const std::vector<Input>& inputs,
                  const std::vector<std::size_t>& of) {
  for (std::size_t i = 0; i < inputs.size(); ++i)
    for (std::size_t j = 0; j < i; ++j)
      if (plain(inputs[i].key) == plain(inputs[j].key))
        throw core::InputError(scenario::problem_at(
            scenario, fmt::format("vary[{}].key", of[i]),
            fmt::format("'{}' varies already, by [[vary]] number {}", inputs[i].key, of[j] + 1),
            "once is enough"));
}

/// A weather file in a scenario with a typed day would change nothing.
void refuse_idle_weather(const Scenario& scenario, const Input& input, double value,
                         const Scenario& tried, std::size_t of) {
  if (input.key != "weather.file" || !tried.weather.day) return;
  for (const auto& extreme : weather::extreme_days())
    if (extreme.key == input.text(value)) return;
  throw core::InputError(scenario::problem_at(
      scenario, fmt::format("vary[{}].key", of),
      "weather.file and a typed day (weather.high and the like) contradict: the day takes the "
      "place of any file",
      "one of them"));
}

/// What the figures of an input measure: 3 K may be a point or a difference.
void set_kind(Input& input, const Scenario& tried) {
  if (input.unknown) return;
  for (const scenario::Entry& e : tried.entries)
    if (plain(e.key) == plain(input.key) && e.kind) input.kind = *e.kind;
}

/// What a value makes odd that was not odd before.
void note_warnings(Plan& plan, const Scenario& scenario, const std::string& value,
                   const Scenario& tried) {
  constexpr std::size_t kMostWarnings = 8;
  for (const std::string& w : tried.warnings)
    if (std::find(scenario.warnings.begin(), scenario.warnings.end(), w) ==
            scenario.warnings.end() &&
        plan.warnings.size() < kMostWarnings)
      plan.warnings.push_back(fmt::format("{}: {}", value, w));
}

/// Every level of a list and both ends of a range, the other inputs at their first.
void try_values(const Scenario& scenario, Plan& plan, const std::vector<std::size_t>& of) {
  std::vector<double> first;
  for (const Input& input : plan.inputs) first.push_back(input.at_level(0));
  for (std::size_t i = 0; i < plan.inputs.size(); ++i) {
    Input& input = plan.inputs[i];
    std::vector<double> values = {input.low, input.high};
    if (!input.levels.empty()) {
      values.clear();
      for (std::size_t l = 0; l < input.levels.size(); ++l)
        values.push_back(static_cast<double>(l));
    }
    for (const double value : values) {
      std::vector<double> point = first;
      point[i] = value;
      try {
        const Scenario tried = plan.scenario_of(point);
        set_kind(input, tried);
        if (tried.heading_worst) throw core::InputError({"", 0, 0, input.key, kWorst, kHeadings});
        note_warnings(plan, scenario, input.key + " = " + input.text(value), tried);
        refuse_idle_weather(scenario, input, value, tried, of[i]);
      } catch (const core::InputError& e) {
        const core::InputProblem& p = e.problems().front();
        if (p.key.starts_with("vary[")) throw;
        // As an override names it.
        const bool own = plain(p.key) == plain(input.key) || p.key == "study (" + input.key + ")";
        throw core::InputError(
            scenario::problem_at(scenario, fmt::format("vary[{}].key", of[i]),
                                 fmt::format("{} = {}: {}{}", input.key, input.text(value),
                                             own ? "" : p.key + ": ", p.what),
                                 p.hint));
      }
    }
  }
}

std::uint64_t cases_of(const Scenario& scenario, const Plan& plan) {
  const auto refuse = [&](const std::string& what, const std::string& hint) {
    throw core::InputError(scenario::problem_at(scenario, "study.cases", what, hint));
  };
  if (plan.way == Way::all) {
    std::vector<std::size_t> counts;
    for (const Input& input : plan.inputs) counts.push_back(input.count());
    return factorial_points(counts);
  }
  if (plan.points == 0) refuse("0: a study of no case", "at least 1");
  if (plan.points > kMostPoints)
    refuse(fmt::format("{}: more points than there are, {}", plan.points, kMostPoints),
           "way = \"all\" has no such end");
  if (plan.effects && plan.points < 2) refuse("effects need at least 2 points", "a power of two");
  const std::size_t dimensions = plan.inputs.size() * (plan.effects ? 2 : 1);
  if (plan.way == Way::sobol && dimensions > kSobolDimensions)
    refuse(fmt::format("{} inputs: Sobol's sequence has {} dimensions{}", plan.inputs.size(),
                       kSobolDimensions, plan.effects ? ", effects take two an input" : ""),
           "way = \"latin\"");
  return plan.effects ? saltelli_runs(plan.points, plan.inputs.size()) : plan.points;
}

}  // namespace

std::size_t Input::count() const {
  return levels.empty() ? static_cast<std::size_t>(steps) : levels.size();
}

double Input::at_level(std::size_t level) const {
  if (!levels.empty()) return static_cast<double>(level);
  const double u = static_cast<double>(level) / (steps - 1);
  return unknown ? unknown->at(u) : low + u * (high - low);
}

double Input::at(double u) const {
  return unknown ? unknown->at(u) : quantile(spread, u);
}

std::string Input::text(double value) const {
  if (!levels.empty()) return levels[static_cast<std::size_t>(value)];
  return unit.empty() ? fmt::format("{}", value) : fmt::format("{} {}", value, unit);
}

std::vector<double> Plan::values(std::uint64_t index) const {
  std::vector<double> values;
  if (way == Way::all) {
    std::vector<std::size_t> counts;
    for (const Input& input : inputs) counts.push_back(input.count());
    const std::vector<std::size_t> levels = factorial_point(counts, index);
    for (std::size_t i = 0; i < inputs.size(); ++i) values.push_back(inputs[i].at_level(levels[i]));
    return values;
  }
  std::vector<double> u(inputs.size());
  if (effects) {
    saltelli_point(Sobol(2 * u.size(), seed), index / (u.size() + 2), index % (u.size() + 2), u);
  } else if (way == Way::sobol) {
    const Sobol sequence(u.size(), seed);
    for (std::size_t i = 0; i < u.size(); ++i) u[i] = sequence.at(index, i);
  } else {
    const LatinHypercube cube(points, seed);
    for (std::size_t i = 0; i < u.size(); ++i) u[i] = cube.at(index, i);
  }
  for (std::size_t i = 0; i < u.size(); ++i) values.push_back(inputs[i].at(u[i]));
  return values;
}

Scenario Plan::scenario_of(const std::vector<double>& values) const {
  std::vector<scenario::Override> overrides = given;
  std::vector<std::size_t> drawn;
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    overrides.push_back({inputs[i].key, inputs[i].text(values[i]), "study"});
    if (inputs[i].unknown) drawn.push_back(inputs[i].unknown->unknown);
  }
  Scenario s = scenario::read(file, overrides);
  std::erase_if(s.uncertainty.ranges, [&](const scenario::UnknownRange& r) {
    return std::find(drawn.begin(), drawn.end(), r.unknown) == drawn.end();
  });
  if (drawn.empty()) return s;
  return scenario::drawn(s, std::vector<double>(scenario::unknowns().size(), 0.5));
}

Plan plan_of(const Scenario& scenario, const std::vector<scenario::Override>& given) {
  const scenario::StudyPlan& asked = scenario.study;
  Plan plan;
  plan.file = scenario.file;
  plan.given = given;
  plan.way = asked.way == "latin" ? Way::latin : asked.way == "sobol" ? Way::sobol : Way::all;
  plan.seed = static_cast<std::uint64_t>(asked.seed);
  plan.effects = asked.effects;
  plan.points = asked.cases;
  if (asked.vary.empty())
    throw core::InputError(
        {scenario.file.empty() ? "scenario" : scenario.file, 0, 0, "vary", "nothing varies",
         "[[vary]] with key = \"vehicle.insulation\" and values = [\"thin\", \"good\"]"});
  if (scenario.heading_worst)
    throw core::InputError(scenario::problem_at(scenario, "vehicle.heading", kWorst, kHeadings));
  if (plan.effects && plan.way != Way::sobol)
    throw core::InputError(
        scenario::problem_at(scenario, "study.effects", "effects need way = \"sobol\"", ""));
  std::vector<std::size_t> of;
  for (std::size_t i = 0; i < asked.vary.size(); ++i)
    for (Input& input : Reader(scenario, i).inputs()) {
      plan.inputs.push_back(std::move(input));
      of.push_back(i);
    }
  refuse_twice(scenario, plan.inputs, of);
  plan.cases = cases_of(scenario, plan);
  try_values(scenario, plan, of);
  return plan;
}

}  // namespace cabinload::study
