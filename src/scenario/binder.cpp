// SPDX-License-Identifier: Apache-2.0
#include "binder.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>
#include <numeric>

namespace cabinload::scenario {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

bool as_number(const std::string& text, double& value) {
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  return error == std::errc{} && end == text.data() + text.size() && std::isfinite(value);
}

/// "person[3].count" and "person[0].count" are the same kind of key.
std::string kind_of(const std::string& key) {
  std::string out;
  for (std::size_t i = 0; i < key.size(); ++i) {
    out += key[i];
    if (key[i] != '[') continue;
    out += '0';
    while (i + 1 < key.size() && key[i + 1] != ']') ++i;
  }
  return out;
}

constexpr const char* kWhereKeysStand =
    "`cabinload new` writes the keys of a van, `cabinload show scenario` lists all";

/// The keys of the same table, or where all are listed.
std::string keys_beside(const std::string& key, const std::vector<std::string>& known) {
  const std::string table = key.substr(0, key.find('.') + 1);
  std::string list;
  for (const std::string& k : known)
    if (!table.empty() && k.starts_with(table))
      list += (list.empty() ? "" : ", ") + k.substr(table.size());
  if (list.empty()) return kWhereKeysStand;
  return fmt::format("[{}] has: {}", table.substr(0, table.find_first_of("[.")), list);
}

}  // namespace

std::string written(double value_SI, core::Quantity kind, const char* unit) {
  const std::string u = unit;
  double value = value_SI;
  if (kind == core::Quantity::temperature && u == "degC")
    value = value_SI - 273.15;
  else if (!u.empty() && u != core::si_unit(kind))
    value = value_SI / core::parse_quantity("1 " + u, kind);
  return fmt::format("{:.10g}{}{}", value, u.empty() ? "" : " ", u);
}

void Binder::note(const std::string& key, const std::string& shown, const Given* given, About about,
                  std::optional<core::Quantity> kind) {
  entries_.push_back({key, given != nullptr ? given->text : shown,
                      given != nullptr ? given->origin : "default", about.text,
                      given != nullptr ? "" : about.source, kind});
}

void Binder::problem(const std::string& key, const std::string& what, const std::string& hint) {
  const auto at = given_.all().find(key);
  if (at == given_.all().end()) {
    const Given* near = given_.beside(key);
    if (near != nullptr)
      problems_.push_back({near->file, near->line, near->column, key, what, hint});
    else
      problems_.push_back({"scenario", 0, 0, key, what, hint});
  } else {
    const Given& g = at->second;
    const std::string name =
        g.file == "command line" && g.origin != "--set" ? g.origin + " (" + key + ")" : key;
    problems_.push_back({g.file, g.line, g.column, name, what, hint});
  }
}

void Binder::check_range(const std::string& key, const Given& given, double value, Range range,
                         core::Quantity kind, const char* unit) {
  if (value >= range.low && value <= range.high) return;
  problem(key,
          fmt::format("'{}' is out of range, must be {} to {}", given.text,
                      written(range.low, kind, unit), written(range.high, kind, unit)),
          range.why);
}

void Binder::quantity(const std::string& key, core::Quantity kind, const char* unit, double& value,
                      Range range, About about) {
  const Given* given = given_.find(key);
  note(key, std::isnan(value) ? "never" : written(value, kind, unit), given, about, kind);
  if (given == nullptr) return;
  try {
    const double parsed = core::parse_quantity(given->text, kind);
    check_range(key, *given, parsed, range, kind, unit);
    value = parsed;
  } catch (const core::UnitError& e) {
    problem(key, e.what());
  }
}

void Binder::maybe(const std::string& key, core::Quantity kind, const char* unit,
                   std::optional<double>& value, Range range, const char* shown, About about) {
  const Given* given = given_.find(key);
  note(key, value ? written(*value, kind, unit) : shown, given, about, kind);
  if (given == nullptr || given->text == shown) return;
  try {
    value = core::parse_quantity(given->text, kind);
    check_range(key, *given, *value, range, kind, unit);
  } catch (const core::UnitError& e) {
    problem(key, e.what());
  }
}

void Binder::profile(const std::string& key, core::Quantity kind, const char* unit,
                     core::DayProfile& value, Range range, About about) {
  const Given* given = given_.find(key);
  note(key, written(value.at(0), kind, unit), given, about, kind);
  if (given == nullptr) return;
  try {
    value = core::DayProfile::parse(given->text, kind);
    on_clock(value);
    for (const double x : {value.lowest(), value.highest()}) {
      if (x >= range.low && x <= range.high) continue;
      problem(key, fmt::format("'{}' is out of range, must be {} to {}", given->text,
                               written(range.low, kind, unit), written(range.high, kind, unit)));
      break;
    }
  } catch (const core::Error& e) {
    problem(key, e.what());
  }
}

void Binder::maybe_profile(const std::string& key, core::Quantity kind, const char* unit,
                           std::optional<core::DayProfile>& value, Range range, const char* shown,
                           About about) {
  const auto at = given_.all().find(key);
  if (at == given_.all().end() || at->second.text == shown) {
    note(key, shown, given_.find(key), about);
    return;
  }
  value.emplace();
  profile(key, kind, unit, *value, range, about);
}

void Binder::share(const std::string& key, double& value, Range range, About about) {
  quantity(key, core::Quantity::dimensionless, "", value, range, about);
}

void Binder::whole(const std::string& key, int& value, int low, int high, About about) {
  const Given* given = given_.find(key);
  note(key, std::to_string(value), given, about);
  if (given == nullptr) return;
  double parsed = kNaN;
  if (!as_number(given->text, parsed) || parsed != std::floor(parsed) || parsed < low ||
      parsed > high)
    problem(key, fmt::format("'{}' must be a whole number from {} to {}", given->text, low, high));
  else
    value = static_cast<int>(parsed);
}

void Binder::flag(const std::string& key, bool& value, About about) {
  const Given* given = given_.find(key);
  note(key, value ? "true" : "false", given, about);
  if (given == nullptr) return;
  if (given->text != "true" && given->text != "false")
    problem(key, fmt::format("'{}' must be true or false", given->text));
  value = given->text == "true";
}

void Binder::hours(const std::string& key, core::DaySchedule& value, About about) {
  custom(
      key, value.text(),
      [&](const std::string& text) {
        value = core::DaySchedule::parse(text);
        if (text.find_first_not_of(' ') == std::string::npos)
          odd(key, "'' is taken as never: write \"never\", \"always\" or \"22:00-07:00\"");
      },
      about);
  on_clock(value);
}

void Binder::date(const std::string& key, core::Date& value, const char* shown, About about) {
  const auto at = given_.all().find(key);
  const bool figure = at != given_.all().end() && at->second.figure;
  custom(
      key, shown,
      [&](const std::string& text) {
        if (text == shown) return;
        if (figure) throw core::Error(text + " is a number, not a date; write \"07-14\" in quotes");
        value = core::parse_date(text);
        const std::string year = text.substr(0, text.find('-'));
        if (year.size() == 4 && year.find_first_not_of("0123456789") == std::string::npos)
          odd(key, "the year " + year + " is not used: " + core::long_text(value) +
                       " of the weather's typical year is taken");
      },
      about);
}

void Binder::odd(const std::string& key, const std::string& what) {
  const auto at = given_.all().find(key);
  const std::string where = at == given_.all().end() ? "" : at->second.origin + ": ";
  odds_.push_back(where + key + ": " + what);
}

void Binder::on_clock(int minute) {
  clock_grid_min_ = std::gcd(clock_grid_min_, minute);
}

void Binder::on_clock(const core::DaySchedule& hours) {
  for (const core::DaySchedule::Interval& i : hours.intervals()) {
    on_clock(i.start_min);
    on_clock(i.end_min);
  }
}

void Binder::on_clock(const core::DayProfile& profile) {
  for (const core::DayProfile::Point& p : profile.points()) {
    on_clock(static_cast<int>(std::lround(p.from_s / 60)));
    on_clock(static_cast<int>(std::lround(p.reached_s / 60)));
  }
}

bool Binder::has_table(const std::string& name) {
  (void)given_.find(name);
  return given_.has_below(name);
}

void Binder::text(const std::string& key, std::string& value, About about) {
  const Given* given = given_.find(key);
  note(key, value, given, about);
  if (given != nullptr) value = given->text;
}

void Binder::choice(const std::string& key, std::string& value,
                    const std::vector<std::string>& allowed, About about) {
  const Given* given = given_.find(key);
  note(key, value, given, about);
  if (given == nullptr) return;
  if (std::find(allowed.begin(), allowed.end(), given->text) == allowed.end()) {
    const auto [what, hint] = core::unknown_name(given->text, allowed);
    problem(key, what, hint);
    return;
  }
  value = given->text;
}

void Binder::custom(const std::string& key, const std::string& shown,
                    const std::function<void(const std::string&)>& parse, About about) {
  const Given* given = given_.find(key);
  note(key, shown, given, about);
  if (given == nullptr) return;
  try {
    parse(given->text);
  } catch (const core::Error& e) {
    problem(key, e.what());
  }
}

const Given* Binder::idle(const std::string& key) {
  idle_.push_back(key);
  return given_.find(key);
}

void Binder::finish() {
  std::vector<std::string> known;
  for (const Entry& e : entries_) known.push_back(kind_of(e.key));
  for (const std::string& key : idle_) known.push_back(kind_of(key));
  for (const auto& [key, given] : given_.all()) {
    const std::string without_header = given_.without_header(given);
    if (given.used) {
      if (!without_header.empty())
        odd(key, "is read as a key of [" + key.substr(0, key.find_first_of(".[")) + "]; " +
                     without_header);
      continue;
    }
    if (given.table) {
      // Nothing asks for the table itself; its keys tell whether there is such a one.
      const std::string kind = kind_of(key) + ".";
      if (std::any_of(known.begin(), known.end(),
                      [&](const std::string& k) { return k.starts_with(kind); })) {
        if (given.braces && key.back() != ']') odd(key, "'{}' is empty and changes nothing");
        continue;
      }
      std::vector<std::string> tables;
      tables.reserve(known.size());
      for (const std::string& k : known) tables.push_back(k.substr(0, k.find_first_of(".[")));
      const std::string near = core::nearest_name(key, tables);
      problem(key, "this table is not known",
              near.empty() ? kWhereKeysStand : "did you mean '" + near + "'?");
      continue;
    }
    if (given.text == "[]") {
      problem(key, "'[]' is an empty list, which says nothing", "leave the key out");
      continue;
    }
    const std::string near = core::nearest_name(kind_of(key), known);
    problem(key, fmt::format("this key is not known (value '{}')", given.text),
            !without_header.empty() ? without_header
            : near.empty()          ? keys_beside(kind_of(key), known)
                                    : "did you mean '" + near + "'?");
  }
  std::stable_sort(problems_.begin(), problems_.end(),
                   [](const auto& a, const auto& b) { return a.line < b.line; });
  if (!problems_.empty()) throw core::InputError(problems_);
}

}  // namespace cabinload::scenario
