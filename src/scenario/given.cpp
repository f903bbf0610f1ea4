// SPDX-License-Identifier: Apache-2.0
#include "given.hpp"

#include <fmt/format.h>
#include <toml++/toml.h>
#include <cctype>
#include <cerrno>
#include <charconv>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <sstream>

namespace cabinload::scenario {
namespace {

/// Tables of which there may be several.
const std::set<std::string>& arrays() {
  static const std::set<std::string> names = {"person",    "pet",        "appliance", "surface",
                                              "window",    "furnishing", "opening",   "skyline",
                                              "roof_item", "measured",   "vary"};
  return names;
}

/// Text of a scalar as it would be written again.
bool scalar_text(const toml::node& node, std::string& text) {
  if (const auto* s = node.as_string())
    text = s->get();
  else if (const auto* i = node.as_integer())
    text = std::to_string(i->get());
  else if (const auto* f = node.as_floating_point())
    text = fmt::format("{}", f->get());
  else if (const auto* b = node.as_boolean())
    text = b->get() ? "true" : "false";
  else if (const auto* d = node.as_date())
    text = fmt::format("{:04}-{:02}-{:02}", d->get().year, d->get().month, d->get().day);
  else
    return false;
  return true;
}

void flatten(const toml::node& node, const std::string& key, const std::string& path,
             std::map<std::string, Given>& out) {
  if (const toml::table* table = node.as_table()) {
    if (table->empty() && !key.empty()) {
      Given& given = out[key];
      given.file = path;
      given.line = table->source().begin.line;
      given.column = table->source().begin.column;
      given.origin = fmt::format("{}:{}", path, given.line);
      given.table = true;
      given.braces = table->is_inline();
    }
    for (const auto& [name, child] : *table) {
      const std::string below = (key.empty() ? "" : key + ".") + std::string(name.str());
      // A single [person] is taken as the first of [[person]].
      const bool lone = key.empty() && child.is_table() && arrays().contains(below);
      flatten(child, lone ? below + "[0]" : below, path, out);
    }
    return;
  }
  const toml::array* array = node.as_array();
  if (array != nullptr && !array->empty()) {
    for (std::size_t i = 0; i < array->size(); ++i)
      flatten((*array)[i], fmt::format("{}[{}]", key, i), path, out);
    return;
  }
  Given given;
  const auto& begin = node.source().begin;
  given.file = path;
  given.line = begin.line;
  given.column = begin.column;
  given.origin = fmt::format("{}:{}", path, begin.line);
  if (array != nullptr)
    given.text = "[]";
  else if (!scalar_text(node, given.text))
    throw core::InputError({path, begin.line, begin.column, key,
                            "a time of day is not a value here", "write texts in quotes"});
  given.figure = node.is_number();
  out[key] = given;
}

/// Lines (from 1) that are the header of a table, "[panels]", or one commented out, "#[panels]".
std::map<std::size_t, std::string> headers_of(const std::string& text) {
  std::map<std::size_t, std::string> headers;
  std::istringstream lines(text);
  std::string line;
  for (std::size_t at = 1; std::getline(lines, line); ++at) {
    line.erase(line.find_last_not_of(" \t\r") + 1);
    const std::size_t begin = line.find_first_not_of("# \t");
    if (begin == std::string::npos || line[begin] != '[' || line.back() != ']') continue;
    if (line.find_first_not_of("[]._abcdefghijklmnopqrstuvwxyz", begin) == std::string::npos)
      headers[at] = line;
  }
  return headers;
}

/// Says so, where the last header above a line is commented out.
std::string without_header_at(const std::map<std::size_t, std::string>& headers, std::size_t line) {
  const auto below = headers.lower_bound(line);
  if (below == headers.begin()) return "";
  const std::string& last = std::prev(below)->second;
  if (last.front() != '#') return "";
  return last.substr(last.find('[')) + " above it is still commented out: take away its # too";
}

}  // namespace

std::string GivenValues::without_header(const Given& given) const {
  const auto headers = headers_.find(given.file);
  return headers == headers_.end() ? "" : without_header_at(headers->second, given.line);
}

void GivenValues::add_text(const std::string& text, const std::string& path) {
  const std::map<std::size_t, std::string>& headers = headers_[path] = headers_of(text);
  try {
    flatten(toml::parse(text, path), "", path, values_);
  } catch (const toml::parse_error& e) {
    const auto& begin = e.source().begin;
    const std::string header = without_header_at(headers, begin.line);
    throw core::InputError(
        {path, begin.line, begin.column, "", std::string(e.description()),
         header.empty() ? "the file is TOML: key = \"value with unit\"" : header});
  }
}

void GivenValues::add_file(const std::string& path) {
  std::error_code error;
  if (std::filesystem::is_directory(path, error))
    throw core::IoError(path, "this is a directory, a scenario file is needed");
  std::ifstream in(path, std::ios::binary);
  if (!in) {
    const bool missing = errno == ENOENT;
    throw core::IoError(path, std::string("cannot be opened for reading: ") + std::strerror(errno) +
                                  (missing ? "; here stands a scenario file, as `cabinload new -o "
                                             "my-van.toml` writes it"
                                           : ""));
  }
  std::ostringstream text;
  text << in.rdbuf();
  add_text(text.str(), path);
}

void GivenValues::add_override(const Override& o) {
  std::string key;
  std::size_t start = 0;
  bool first = true, indexed = false;
  while (start <= o.key.size()) {
    const std::size_t dot = std::min(o.key.find('.', start), o.key.size());
    const std::string part = o.key.substr(start, dot - start);
    const bool index = !part.empty() && part.find_first_not_of("0123456789") == std::string::npos;
    if (index) {
      key += "[" + part + "]";
      indexed = true;
    } else {
      if (!first && !indexed && arrays().contains(key)) key += "[0]";
      key += (first ? "" : ".") + part;
    }
    first = false;
    start = dot + 1;
  }
  Given given{o.value, o.origin, "command line", 0, 0, false};
  // The user's own defaults come from a line of a file.
  const std::size_t colon = o.origin.rfind(':');
  if (colon != std::string::npos) {
    given.file = o.origin.substr(0, colon);
    std::from_chars(o.origin.data() + colon + 1, o.origin.data() + o.origin.size(), given.line);
  }
  values_[key] = given;
}

Given* GivenValues::find(const std::string& key) {
  const auto at = values_.find(key);
  if (at == values_.end()) return nullptr;
  at->second.used = true;
  return &at->second;
}

void GivenValues::join(const std::string& key) {
  std::string text;
  for (int i = 0;; ++i) {
    const auto at = values_.find(fmt::format("{}[{}]", key, i));
    if (at == values_.end()) break;
    text += at->second.text + "; ";  // the last one too: one value alone stays whole
    if (i == 0) values_[key] = at->second;
    values_.erase(at);
  }
  if (!text.empty()) values_[key].text = text;
}

const Given* GivenValues::beside(const std::string& key) const {
  const auto later = [](const Given& g) { return g.line > 0 ? g.line : std::string::npos; };
  for (std::string table = key;; table.resize(table.find_last_of(".["))) {
    const Given* first = nullptr;
    for (const auto& [name, given] : values_) {
      const bool below =
          name.starts_with(table) &&
          (name.size() == table.size() || name[table.size()] == '.' || name[table.size()] == '[');
      if (below && (first == nullptr || later(given) < later(*first))) first = &given;
    }
    if (first != nullptr || table.find_last_of(".[") == std::string::npos) return first;
  }
}

bool GivenValues::has_below(const std::string& prefix) const {
  const auto at = values_.lower_bound(prefix);
  return at != values_.end() && at->first.compare(0, prefix.size(), prefix) == 0;
}

int GivenValues::count(const std::string& array) const {
  int n = 0;
  while (has_below(fmt::format("{}[{}]", array, n))) ++n;
  return n;
}

}  // namespace cabinload::scenario
