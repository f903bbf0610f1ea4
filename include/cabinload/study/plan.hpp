// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/study/sampling.hpp>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

/// A study: what varies, and what each case of it is. Case i is a function of i alone.
namespace cabinload::study {

/// One input that varies.
struct Input {
  std::string key;                                      ///< of the scenario
  std::vector<std::string> levels;                      ///< of a list; empty: numbers
  std::string unit;                                     ///< of the numbers, as written; may be ""
  core::Quantity kind = core::Quantity::dimensionless;  ///< of the numbers
  Distribution spread;                                  ///< of the numbers, in that unit
  double low = 0, high = 0;                             ///< ends of the range
  int steps = 0;  ///< of a range when every combination is run
  /// A range of [uncertainty]: which of scenario::unknowns().
  std::optional<scenario::UnknownRange> unknown;

  /// Values it takes when every combination is run.
  [[nodiscard]] std::size_t count() const;
  /// Its value at such a level; of a list the level itself.
  [[nodiscard]] double at_level(std::size_t level) const;
  /// Its value at u, 0..1; of a list the number of a level.
  [[nodiscard]] double at(double u) const;
  /// A value as a scenario takes it: "2.4 kWh", "thin".
  [[nodiscard]] std::string text(double value) const;
};

/// How the points of a study lie.
enum class Way { all, latin, sobol };

/// What a study runs.
struct Plan {
  std::string file;                       ///< the scenario's; "" for the built-in one
  std::vector<scenario::Override> given;  ///< on the command line
  std::vector<Input> inputs;
  Way way = Way::all;
  std::uint64_t seed = 1;
  bool effects = false;      ///< points as saltelli_point() lays them
  std::uint64_t points = 0;  ///< of effects: base points
  std::uint64_t cases = 0;
  std::vector<std::string> warnings;  ///< plausible but odd values of an input, the first few

  /// One number an input. @param index  0 .. cases - 1
  [[nodiscard]] std::vector<double> values(std::uint64_t index) const;
  /// The scenario of such values.
  /// @throws core::InputError  they do not go together
  [[nodiscard]] scenario::Scenario scenario_of(const std::vector<double>& values) const;
};

/// Makes sense of [study] and [[vary]]; each value of a list, both ends of each range are tried.
/// @param scenario  of `file` and `given`
/// @throws core::InputError  nothing varies, no case, a key that is not known or varied twice, a
///                           value that the scenario does not take, a range upside down
[[nodiscard]] Plan plan_of(const scenario::Scenario& scenario,
                           const std::vector<scenario::Override>& given);

}  // namespace cabinload::study
