// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/report/csv.hpp>
#include <cabinload/report/json.hpp>
#include <map>
#include <set>
#include <utility>

#include "json_parts.hpp"

namespace cabinload::report {
namespace {

std::string in_quotes(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) out += c == '"' ? "\"\"" : std::string(1, c);
  return out + '"';
}

/// A column's name: as it is, unless a comma, a quote or a line break asks for quotes.
std::string heading(const std::string& name) {
  return name.find_first_of(",\"\r\n") == std::string::npos ? name : in_quotes(name);
}

/// A text as it is, of a note its text, of anything else its JSON.
std::string plain(const Json& value) {
  if (value.is_object() && value.contains("text")) return plain(value["text"]);
  return value.is_string() ? value.get<std::string>() : value.dump();
}

std::string cell(const Json& value) {
  if (value.is_null()) return "";
  if (value.is_array()) {
    std::string all;
    for (const Json& element : value) all += (all.empty() ? "" : "; ") + plain(element);
    return in_quotes(all);
  }
  return value.is_string() ? in_quotes(value.get<std::string>()) : value.dump();
}

using Row = std::vector<std::pair<std::string, std::string>>;  // columns and cells

/// The column of a member: "worst_night.date".
std::string below(const std::string& name, const std::string& key) {
  return fmt::format("{}.{}", name, key);
}

/// Lists that have a column for each place: those that hold more than texts and notes in some row.
void find_wide(std::set<std::string>& wide, const std::string& name, const Json& value) {
  if (value.is_object())
    for (const auto& [key, member] : value.items()) find_wide(wide, below(name, key), member);
  if (value.is_array() && std::any_of(value.begin(), value.end(), [](const Json& x) {
        return !x.is_string() && !x.is_object();
      }))
    wide.insert(name);
}

void put(Row& row, const std::set<std::string>& wide, const std::string& name, const Json& value) {
  if (value.is_object()) {
    for (const auto& [key, member] : value.items()) put(row, wide, below(name, key), member);
  } else if (value.is_array() && wide.count(name) > 0) {
    for (std::size_t i = 0; i < value.size(); ++i)
      put(row, wide, below(name, std::to_string(i)), value[i]);
  } else {
    row.emplace_back(name, cell(value));
  }
}

std::vector<Row> rows_of(const Json& table) {
  std::set<std::string> wide;
  for (const Json& element : table)
    for (const auto& [name, value] : element.items()) find_wide(wide, name, value);
  std::vector<Row> rows;
  for (const auto& [key, element] : table.items()) {
    Row row;
    if (table.is_object()) row.emplace_back("key", in_quotes(key));
    for (const auto& [name, value] : element.items()) put(row, wide, name, value);
    rows.push_back(std::move(row));
  }
  return rows;
}

std::string line_of(const std::vector<std::string>& cells) {
  std::string line;
  for (std::size_t i = 0; i < cells.size(); ++i) line += (i > 0 ? "," : "") + cells[i];
  return line + '\n';
}

/// Columns of all rows, in the order in which they are met: a row may lack some.
std::vector<std::string> columns_of(const std::vector<Row>& rows) {
  std::vector<std::string> columns;
  for (const Row& row : rows)
    for (const auto& [name, text] : row)
      if (std::find(columns.begin(), columns.end(), name) == columns.end()) columns.push_back(name);
  return columns;
}

}  // namespace

const std::vector<std::string>& tables_of(const std::string& answer) {
  static const std::map<std::string, std::vector<std::string>> all = {
      {"hold", {"each_night", "by_month"}},
      {"load", {"causes", "by_month", "peak_day", "bodies"}},
      {"runtime", {"path"}},
      {"pets", {"by_failure", "by_month_and_hour", "helps"}},
      {"size", {"sizes", "listed_units", "trade_off", "too_large"}},
      {"compare", {"rows"}},
      {"what-helps", {"rows", "pairs"}},
      {"wire", {"runs", "rules"}},
      {"roof", {"items", "packed"}},
      {"weather", {"warmest_nights", "warm"}}};
  static const std::vector<std::string> none;
  const auto found = all.find(answer);
  return found == all.end() ? none : found->second;
}

std::string csv(const std::string& answer_json, const std::string& table) {
  const std::string answer = answer_of(answer_json, "answer");
  const std::vector<std::string>& known = tables_of(answer);
  if (std::find(known.begin(), known.end(), table) == known.end()) {
    const auto [what, hint] = core::unknown_name(table, known);
    throw core::InputError({"command line", 0, 0, "--table", what, hint});
  }
  const Json j = Json::parse(answer_json);
  const std::vector<Row> rows = rows_of(j.at(table));
  const std::vector<std::string> columns = columns_of(rows);
  std::vector<std::string> cells(columns.size());
  std::transform(columns.begin(), columns.end(), cells.begin(), heading);
  std::string out = rows.empty() ? "# no rows\n" : line_of(cells);
  for (const Row& row : rows) {
    std::fill(cells.begin(), cells.end(), "");
    for (const auto& [name, text] : row)
      cells[static_cast<std::size_t>(std::find(columns.begin(), columns.end(), name) -
                                     columns.begin())] = text;
    out += line_of(cells);
  }
  for (const Json& c : j.at("cautions"))
    out += "# " + c.at("signal").get<std::string>() + ": " + c.at("text").get<std::string>() + '\n';
  return out;
}

}  // namespace cabinload::report
