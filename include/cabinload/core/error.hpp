// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cstddef>
#include <stdexcept>
#include <string>
#include <vector>

namespace cabinload::core {

/// Process exit codes; the only list of them.
enum class ExitCode : int {
  done = 0,            ///< ran, and what was asked is met
  not_met = 1,         ///< ran, but a limit or criterion is not met
  usage_or_input = 2,  ///< the command line, a scenario or a weather file is wrong
  file_or_system = 3,  ///< a file cannot be opened, read, written
  numerical = 4,       ///< the computation failed (not finite, balance does not close)
  defect = 70,         ///< a defect of the program
  interrupted = 130,
};

/// Base of all errors of the library. What() is a complete sentence for the user.
class Error : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// One thing wrong in an input. `line` and `column` count from 1; 0 means unknown.
struct InputProblem {
  std::string file;  ///< path as the user gave it, or "command line"
  std::size_t line = 0;
  std::size_t column = 0;
  std::string key;   ///< "vehicle.length", "column Dry-bulb"; may be empty
  std::string what;  ///< value found and the rule it breaks
  std::string hint;  ///< what would be right; may be empty

  /// "case.toml:12:9: error: key = value, must be ...\n  hint: ..."
  [[nodiscard]] std::string text() const;
};

/// Broken input: carries every problem found, not only the first.
/// Caller's data are untouched.
class InputError : public Error {
 public:
  /// One problem.
  explicit InputError(InputProblem problem);
  /// Several; what() joins their texts.
  explicit InputError(std::vector<InputProblem> problems);
  /// Every problem, in the order found.
  [[nodiscard]] const std::vector<InputProblem>& problems() const { return problems_; }

 private:
  std::vector<InputProblem> problems_;
};

/// A value handed to a function lies outside its stated range.
class RangeError : public Error {
 public:
  using Error::Error;
};

/// A file cannot be opened, read or written. Text says path, what was tried, the system's reason.
class IoError : public Error {
 public:
  /// what() is "path: error: what".
  IoError(std::string path, const std::string& what);
  /// The path as the user gave it.
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::string path_;
};

/// The computation failed: a value that is not finite, a balance that does not close.
class NumericalError : public Error {
 public:
  using Error::Error;
};

/// The candidate nearest to `name` by edit distance, or "" when none is near (distance > 1/3 of
/// the longer length, at least 2).
[[nodiscard]] std::string nearest_name(const std::string& name,
                                       const std::vector<std::string>& candidates);

/// "'x' is not known, did you mean 'y'?" and "there are: y, z".
struct UnknownName {
  std::string what, hint;
};
/// Words for a name that is not among the known ones; the guess is nearest_name(), if any.
[[nodiscard]] UnknownName unknown_name(const std::string& name,
                                       const std::vector<std::string>& known);

}  // namespace cabinload::core

/// Programming mistakes. On with CABINLOAD_ASSERTIONS, otherwise not evaluated.
#ifdef CABINLOAD_ASSERTIONS
#include <cassert>
#define CABINLOAD_ASSERT(condition) assert(condition)
#else
#define CABINLOAD_ASSERT(condition) static_cast<void>(sizeof(condition))
#endif
