// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/error.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <map>
#include <string>
#include <vector>

namespace cabinload::scenario {

/// A value as somebody wrote it, and where.
struct Given {
  std::string text;
  std::string origin;  ///< "case.toml:12", "--set"
  std::string file;    ///< for messages
  std::size_t line = 0, column = 0;
  bool used = false;
  bool table = false;   ///< a table without keys: it is there, and says no more
  bool braces = false;  ///< such a one as {}, which somebody meant to say something with
  bool figure = false;  ///< a number without quotes
};

/// All values of a scenario by flat key: "unit.set_point", "person[0].count",
/// "surface[1].layers[0].material".
class GivenValues {
 public:
  /// @throws core::IoError, core::InputError (TOML syntax)
  void add_file(const std::string& path);
  void add_text(const std::string& toml, const std::string& path);
  /// "person.count" means person[0].count, "person.1.count" person[1].count.
  void add_override(const Override& override);

  /// A list of texts becomes one text, parted by "; "; anything else stays.
  void join(const std::string& key);

  /// The value of a key, marked as used; nullptr when nobody gave it.
  Given* find(const std::string& key);
  /// The first value in the file beside a key that nobody gave: below it, else in its table.
  [[nodiscard]] const Given* beside(const std::string& key) const;
  /// "[panels] above it is still commented out ...", where no other table begins between that
  /// header and the value: it is not in the table that it was written for. Else "".
  [[nodiscard]] std::string without_header(const Given& given) const;
  [[nodiscard]] bool has_below(const std::string& prefix) const;
  /// Number of array tables of that name ("person").
  [[nodiscard]] int count(const std::string& array) const;
  [[nodiscard]] const std::map<std::string, Given>& all() const { return values_; }

 private:
  std::map<std::string, Given> values_;
  std::map<std::string, std::map<std::size_t, std::string>> headers_;  ///< of files, by path, line
};

}  // namespace cabinload::scenario
