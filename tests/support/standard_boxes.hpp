// SPDX-License-Identifier: Apache-2.0
// ANSI/ASHRAE Standard 140, single-zone boxes: which file is which, and our figures on the
// standard's own weather. That weather may not be passed on: the figures are computed where it is
// at hand, kept with the day in a file of tests/data/envelope, and judged everywhere.
#pragma once
#include <cstdio>
#include <ctime>
#include <fstream>
#include <initializer_list>
#include <map>
#include <string>

#include "support/checks.hpp"
#include "support/table.hpp"

namespace cabinload::test {

/// "older/600", "y2020/600": the box `name` of a row's edition.
inline std::string box_id(const Table& t, std::size_t row, const std::string& name) {
  return (t.text(row, "edition")[0] == '1' ? "older/" : "y2020/") + name;
}

/// The weather that the standard gives for a box, in the folder that holds it.
inline std::string box_weather(const std::string& folder, const std::string& id) {
  return folder + (id[0] == 'o' ? "/DRYCOLDTMY.epw" : "/725650TYCST.epw");
}

/// The row's own words made into one key: "older, 600, annual_cooling".
inline std::string row_key(const Table& t, std::size_t row,
                           std::initializer_list<const char*> columns) {
  std::string key = t.text(row, "edition")[0] == '1' ? "older" : "2020";
  for (const char* c : columns) key += ", " + t.text(row, c);
  return key;
}

/// A figure of ours on the standard's weather.
struct Seen {
  double ours = 0;
  std::string date;  ///< on which it was computed
};

/// Figures by key of a file in tests/data/envelope: key,ours,date.
inline std::map<std::string, Seen> read_seen(const std::string& file) {
  std::map<std::string, Seen> seen;
  const Table t("envelope/" + file);
  for (std::size_t i = 0; i < t.rows(); ++i)
    seen[t.text(i, "key")] = {t.number(i, "ours"), t.text(i, "date")};
  return seen;
}

inline void write_seen(const std::string& file, const std::map<std::string, double>& seen) {
  char date[16];
  const std::time_t now = std::time(nullptr);
  std::strftime(date, sizeof date, "%Y-%m-%d", std::gmtime(&now));
  std::ofstream out(std::string(CABINLOAD_SOURCE_DIR) + "/tests/data/envelope/" + file);
  out << "key,ours,date\n";
  for (const auto& [key, value] : seen) {
    char text[32];
    std::snprintf(text, sizeof text, "%.6g", value);
    out << '"' << key << "\"," << text << ',' << date << '\n';
  }
}

/// A row's range over the reference programs beside the figure seen in `file`.
inline Check range_check(const std::string& group, const Table& t, std::size_t row,
                         const std::string& key, const Seen& seen, const std::string& file) {
  Check check;
  check.group = group;
  check.what = key;
  check.source = "ANSI/ASHRAE Standard 140";
  check.low = t.number(row, "reference_programs_min");
  check.high = t.number(row, "reference_programs_max");
  check.ours = seen.ours;
  check.unit = t.text(row, "unit");
  check.kept_from = seen.date;
  check.kept_in = "data/envelope/" + file;
  return check;
}

}  // namespace cabinload::test
