// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/study/runner.hpp>
#include <cabinload/weather/series.hpp>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

/// Variants of a vehicle, its unit, its use and its place, each with the unit on and off; what they
/// have in common is computed once.
namespace cabinload::study {

/// A demand to compute beside the nights, in a scenario that may have a shorter period.
struct VariantDemand {
  scenario::Scenario scenario;
  simulation::DemandOptions options;
};

/// One vehicle, unit, use and place to run with the unit on and off.
struct Variant {
  std::string label;
  std::shared_ptr<const scenario::Scenario> scenario;
  std::shared_ptr<const weather::Series> weather;
  /// What differs in the vehicle's layers from what the scenario's entries say; "" when nothing
  /// does. Two variants of the same entries and the same word share the run with the unit off.
  /// Whatever the unit and its settings are, they do not matter with the unit off.
  std::string layers;
  /// Nights, counted from the first of the period, that need cooling in what this is compared to:
  /// they are run with the unit on even where this variant does not need it.
  std::vector<bool> also;
  std::optional<VariantDemand> demand;
  bool hours = true;  ///< false: Outcome::on has nights only
};

/// What a variant leaves behind. Nights before the first and after the last one that needs cooling
/// (in this variant or by Variant::also) are those with the unit off in both.
struct Outcome {
  std::shared_ptr<const simulation::Trace> off;  ///< nights; no hours
  simulation::Trace on;
  std::optional<simulation::Demand> demand;
};

/// Whether a night of a run with the unit off needs cooling.
[[nodiscard]] bool needs_cooling(const simulation::NightRecord& unit_off);

/// Runs lists of variants by run(), and keeps what later lists may share: forcings (by place, shape
/// and glass) and runs with the unit off (by all but the unit).
class Variants {
 public:
  /// @param threads  0: as many as the machine has cores
  explicit Variants(unsigned threads = 0) : threads_(threads) {}

  /// @param progress  called with runs done and runs known of; may be empty
  /// @return in the order of the variants; the same bits whatever the threads and whatever was kept
  /// @throws what simulation::run throws
  std::vector<Outcome> run(
      std::span<const Variant> variants,
      const std::function<void(std::size_t done, std::size_t of)>& progress = {});

  /// Lets go of the runs with the unit off: later lists share none with those so far.
  void forget_unit_off() { off_.clear(); }

  /// Of all lists so far.
  struct Counts {
    std::size_t forcings = 0, unit_off = 0, unit_on = 0, demands = 0;
  };
  /// What was computed, not what was asked: shared work counts once.
  [[nodiscard]] const Counts& counts() const { return counts_; }

 private:
  struct Batch;
  std::vector<std::size_t> take(std::span<const Variant> variants,
                                const std::vector<std::string>& keys,
                                std::vector<std::size_t>& left);
  void run_off(const Batch& batch);
  void run_on(const Batch& batch, std::vector<Outcome>& out);
  void run_demands(const Batch& batch, std::vector<Outcome>& out);

  unsigned threads_;
  Counts counts_;
  std::map<std::string, std::shared_ptr<const forcing::Forcing>> forcings_;
  std::map<std::string, std::shared_ptr<const simulation::Trace>> off_;
};

}  // namespace cabinload::study
