// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <numeric>

namespace cabinload::core {
namespace {

std::string joined(const std::vector<InputProblem>& problems) {
  std::string text;
  for (const InputProblem& problem : problems) {
    if (!text.empty()) text += '\n';
    text += problem.text();
  }
  return text;
}

std::size_t edit_distance(const std::string& a, const std::string& b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t change = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
      diagonal = row[j];
      row[j] = std::min({row[j] + 1, row[j - 1] + 1, change});
    }
  }
  return row[b.size()];
}

/// The beginning and the end of a text that would fill the screen.
std::string clipped(const std::string& text, std::size_t most) {
  if (text.size() <= most) return text;
  const auto begins = [&](std::size_t at) {  // at a character, not within one
    return (static_cast<unsigned char>(text[at]) & 0xC0) != 0x80;
  };
  std::size_t head = most * 2 / 3, tail = text.size() - most / 3;
  while (head > 0 && !begins(head)) --head;
  while (tail < text.size() && !begins(tail)) ++tail;
  return text.substr(0, head) + " ... " + text.substr(tail);
}

}  // namespace

std::string InputProblem::text() const {
  constexpr std::size_t kLongestKey = 120, kLongest = 600;
  std::string out = file;
  if (line > 0) out += ':' + std::to_string(line);
  if (line > 0 && column > 0) out += ':' + std::to_string(column);
  if (!out.empty()) out += ": ";
  out += "error: ";
  if (!key.empty()) out += clipped(key, kLongestKey) + ": ";
  out += clipped(what, kLongest);
  if (!hint.empty()) out += "\n  hint: " + hint;
  return out;
}

InputError::InputError(InputProblem problem)
    : InputError(std::vector<InputProblem>{std::move(problem)}) {}

InputError::InputError(std::vector<InputProblem> problems)
    : Error(joined(problems)), problems_(std::move(problems)) {}

IoError::IoError(std::string path, const std::string& what)
    : Error(path + ": error: " + what), path_(std::move(path)) {}

std::string nearest_name(const std::string& name, const std::vector<std::string>& candidates) {
  std::string nearest;
  std::size_t best = 0;
  // A word cut short is meant before a word of another spelling.
  for (const std::string& candidate : candidates)
    if (name.size() > 2 && candidate.starts_with(name) && name.back() != '.' &&
        (nearest.empty() || candidate.size() < nearest.size()))
      nearest = candidate;
  if (!nearest.empty()) return nearest;
  for (const std::string& candidate : candidates) {
    // Of two keys of the same table, what stands after the dot is compared.
    const std::size_t dot = candidate.rfind('.') + 1;
    const std::size_t same = name.starts_with(candidate.substr(0, dot)) ? dot : 0;
    const std::size_t length = std::max(name.size(), candidate.size()) - same;
    const std::size_t distance = edit_distance(name.substr(same), candidate.substr(same));
    if (distance <= std::max<std::size_t>(length > 3 ? 2 : 1, length / 3) && distance < length &&
        (nearest.empty() || distance < best)) {
      nearest = candidate;
      best = distance;
    }
  }
  return nearest;
}

UnknownName unknown_name(const std::string& name, const std::vector<std::string>& known) {
  const std::string near = nearest_name(name, known);
  UnknownName text{"'" + name + "' is not known", "there are:"};
  if (!near.empty()) text.what += ", did you mean '" + near + "'?";
  for (std::size_t i = 0; i < known.size(); ++i) text.hint += (i > 0 ? ", " : " ") + known[i];
  return text;
}

}  // namespace cabinload::core
