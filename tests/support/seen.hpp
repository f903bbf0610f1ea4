// SPDX-License-Identifier: Apache-2.0
// Figures that take weather which may not be passed on: computed where that weather is at hand and
// kept, with the day, in a file of tests/data that is judged everywhere.
#pragma once
#include <cstdio>
#include <ctime>
#include <fstream>
#include <map>
#include <string>

#include "support/table.hpp"

namespace cabinload::test {

struct Seen {
  double ours = 0;
  std::string date;  ///< on which it was computed
};

/// @param file  below tests/data; its header is key,ours,date
inline std::map<std::string, Seen> read_seen(const std::string& file) {
  std::map<std::string, Seen> seen;
  const Table t(file);
  for (std::size_t i = 0; i < t.rows(); ++i)
    seen[t.text(i, "key")] = {t.number(i, "ours"), t.text(i, "date")};
  return seen;
}

inline void write_seen(const std::string& file, const std::map<std::string, double>& seen) {
  char date[16];
  const std::time_t now = std::time(nullptr);
  std::strftime(date, sizeof date, "%Y-%m-%d", std::gmtime(&now));
  std::ofstream out(std::string(CABINLOAD_SOURCE_DIR) + "/tests/data/" + file);
  out << "key,ours,date\n";
  for (const auto& [key, value] : seen) {
    char text[32];
    std::snprintf(text, sizeof text, "%.6g", value);
    out << '"' << key << "\"," << text << ',' << date << '\n';
  }
}

}  // namespace cabinload::test
