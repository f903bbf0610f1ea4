// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/calendar.hpp>
#include <cabinload/simulation/trace.hpp>
#include <string>
#include <vector>

/// What comes in and what goes out, for the person who doubts a number.
namespace cabinload::scenario {
struct Night;
}
namespace cabinload::simulation {
struct Demand;
struct Failures;
enum class Failure;
}  // namespace cabinload::simulation
namespace cabinload::answers {
struct HoldNight;

/// A flow, mean over the stretch: what comes in counts positive, what goes out negative.
struct LedgerRow {
  std::string key;    ///< "roof", "coil"
  std::string words;  ///< for people
  double W = 0;
};

/// Its rows sum to 0 but for rounding.
struct LedgerAccount {
  std::string key;    ///< "heat", "electricity", "demand"
  std::string words;  ///< its heading
  std::vector<LedgerRow> rows;

  [[nodiscard]] double in_W() const;   ///< sum of what comes in
  [[nodiscard]] double out_W() const;  ///< sum of what goes out, >= 0
};

/// Everything that flowed in a stretch of time.
struct Ledger {
  std::string title;  ///< "The hour in which the bed is hottest"
  core::Date date{1, 1};
  double second_of_day = 0;         ///< of its start
  double hours = 1;                 ///< its length
  double T_out_K = 0, T_air_K = 0;  ///< means: outdoors, cabin
  std::vector<LedgerAccount> accounts;
  double latent_W = 0;  ///< moisture that the unit's coil takes beside the account of heat
};

/// @param first_day  day index of the series' first day
[[nodiscard]] Ledger ledger(const std::string& title, const simulation::FlowAccount& flows,
                            int first_day);
/// Of one hour of a demand: its causes on one side, the cooling that it takes on the other.
/// @param hour  row of the demand
[[nodiscard]] Ledger ledger(const std::string& title, const simulation::Demand& demand,
                            std::size_t hour, int first_day);

/// Stretches that explain a night: the hour in which the bed is hottest, and the sleep window.
/// @param day  of its evening, as simulation::Nights::first
[[nodiscard]] std::vector<simulation::Span> spans_of(const HoldNight& night,
                                                     const scenario::Night& settings, int day);
/// What spans_of() lists, as ledgers.
/// @param of  what they are of, where there are several: "As it is"; may be empty
[[nodiscard]] std::vector<Ledger> night_ledgers(const std::vector<simulation::FlowAccount>& flows,
                                                int first_day, const std::string& of = "");
/// Of the one failure that was asked for: the hour before it, and from it to the limit.
[[nodiscard]] std::vector<Ledger> failure_ledgers(const simulation::Failures& explained,
                                                  simulation::Failure failure, int first_day);

}  // namespace cabinload::answers
