// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/units.hpp>
#include <cstddef>
#include <span>
#include <string>
#include <vector>

/// Inputs that nobody knows exactly: one table, with the range of each and where it comes from.
namespace cabinload::scenario {

struct Scenario;

/// One such input. What is drawn from its range changes the scenario as described: it multiplies a
/// figure (`times`) or is added to it.
struct Unknown {
  const char* key;      ///< in [uncertainty]
  bool times;           ///< else: added
  core::Quantity kind;  ///< of what is drawn
  const char* unit;     ///< in which it is written, "" or "K"
  double low, high;     ///< the range by default, SI
  double least, most;   ///< what a scenario may state
  const char* about;    ///< what it changes
  const char* source;   ///< of the range
  void (*apply)(Scenario& scenario, double drawn);
};
/// The table, in the order of the keys. Every range is taken as one of which only the ends are
/// known: all in it as likely ([JCGM100] 4.3.7, from memory), factors by their logarithm, so that
/// half and twice weigh the same.
[[nodiscard]] std::span<const Unknown> unknowns();

/// The range of one of them in a scenario.
struct UnknownRange {
  std::size_t unknown = 0;                  ///< index into unknowns()
  double low = 0, high = 0;                 ///< low <= high
  [[nodiscard]] double at(double u) const;  ///< what u = 0..1 draws: 0 the low end, 1 the high
};

/// What a scenario says of them.
struct Uncertainty {
  int samples = 64;            ///< vans drawn beside the one described; 0: none
  bool samples_given = false;  ///< not the default
  /// For answers that take long with them: as many as were asked for.
  [[nodiscard]] int asked() const { return samples_given ? samples : 0; }
  int seed = 1;
  std::vector<UnknownRange> ranges;  ///< those not switched off, in the order of the table
};

/// "0.5 to 2", or a single figure. @throws core::Error  neither, out of range, or upside down
[[nodiscard]] UnknownRange range_of(std::size_t unknown, const std::string& text);
/// As range_of() reads it.
[[nodiscard]] std::string text_of(const UnknownRange& range);

/// One of the vans that the description fits. Sums and shares are kept within what is possible.
/// @param u  one number 0..1 for each of unknowns(), in their order
[[nodiscard]] Scenario drawn(const Scenario& scenario, std::span<const double> u);

}  // namespace cabinload::scenario
