// SPDX-License-Identifier: Apache-2.0
// Reads the small comma-separated tables in tests/data: '#' lines are comments, fields may be
// quoted.
#pragma once
#include <cstdlib>
#include <fstream>
#include <map>
#include <stdexcept>
#include <string>
#include <vector>

namespace cabinload::test {

class Table {
 public:
  /// @param path  under tests/data, e.g. "air/psychrometrics.csv"
  explicit Table(const std::string& path) {
    const std::string full = std::string(CABINLOAD_SOURCE_DIR) + "/tests/data/" + path;
    std::ifstream in(full);
    if (!in) throw std::runtime_error("cannot open " + full);
    std::string line;
    while (std::getline(in, line)) {
      if (!line.empty() && line.back() == '\r') line.pop_back();
      if (line.empty() || line[0] == '#') continue;
      std::vector<std::string> fields = split(line);
      if (columns_.empty())
        for (std::size_t i = 0; i < fields.size(); ++i) columns_[fields[i]] = i;
      else
        rows_.push_back(std::move(fields));
    }
  }
  [[nodiscard]] std::size_t rows() const { return rows_.size(); }
  [[nodiscard]] const std::string& text(std::size_t row, const std::string& column) const {
    return rows_.at(row).at(columns_.at(column));
  }
  [[nodiscard]] double number(std::size_t row, const std::string& column) const {
    const std::string& s = text(row, column);
    char* end = nullptr;
    const double value = std::strtod(s.c_str(), &end);
    if (s.empty() || *end != '\0') throw std::runtime_error("not a number: '" + s + "'");
    return value;
  }

 private:
  static std::vector<std::string> split(const std::string& line) {
    std::vector<std::string> fields(1);
    bool quoted = false;
    for (const char c : line) {
      if (c == '"')
        quoted = !quoted;
      else if (c == ',' && !quoted)
        fields.emplace_back();
      else
        fields.back().push_back(c);
    }
    return fields;
  }
  std::map<std::string, std::size_t> columns_;
  std::vector<std::vector<std::string>> rows_;
};

}  // namespace cabinload::test
