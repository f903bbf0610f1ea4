// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/forcing/forcing.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/simulation/demand.hpp>
#include <cabinload/simulation/failures.hpp>
#include <cabinload/simulation/run.hpp>
#include <span>
#include <string>
#include <vector>

/// The one place that runs simulations. An answer lists its cases and reads the traces.
namespace cabinload::study {

/// One simulation to run. Pointers outlive the call; cases may share them.
struct Case {
  std::string label;
  const network::Cabin* cabin = nullptr;
  const forcing::Forcing* forcing = nullptr;
  const scenario::Scenario* scenario = nullptr;
  simulation::Options options;
};

/// Traces in the order of the cases, whatever the number of threads; equal to the last bit. Cases
/// step side by side in vector lanes (simulation::run_together) where there are enough of them.
/// @param threads  0: as many as the machine has cores
/// @throws what simulation::run throws, for the first case that failed
[[nodiscard]] std::vector<simulation::Trace> run(std::span<const Case> cases, unsigned threads = 0);

/// The same, where a case that fails leaves the others alone: its result holds what it threw.
[[nodiscard]] std::vector<simulation::Result> run_each(std::span<const Case> cases,
                                                       unsigned threads = 0);

/// One demand to compute, as Case.
struct DemandCase {
  std::string label;
  const network::Cabin* cabin = nullptr;
  const forcing::Forcing* forcing = nullptr;
  const scenario::Scenario* scenario = nullptr;
  simulation::DemandOptions options;
};

/// The same for demands. @throws what simulation::demand throws
[[nodiscard]] std::vector<simulation::Demand> demands(std::span<const DemandCase> cases,
                                                      unsigned threads = 0);

/// One run with branches to compute, as Case.
struct FailureCase {
  std::string label;
  simulation::World as_is, bare;
  const scenario::Scenario* scenario = nullptr;
  simulation::FailureOptions options;
};

/// The same for failures. @throws what simulation::failures throws
[[nodiscard]] std::vector<simulation::Failures> failures(std::span<const FailureCase> cases,
                                                         unsigned threads = 0);

}  // namespace cabinload::study
