// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <array>
#include <cabinload/answers/hold.hpp>
#include <cabinload/study/plan.hpp>
#include <cabinload/study/variants.hpp>
#include <cabinload/weather/series.hpp>
#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <span>
#include <string>
#include <vector>

/// What each case of a study answers.
namespace cabinload::study {

/// One figure that every case gives.
struct AnswerColumn {
  const char* name;
  const char* units;  ///< UDUNITS spelling
  const char* about;
  double (*of)(const answers::Hold& hold);
};
inline constexpr std::size_t kAnswers = 11;
/// The figures, in the order of CaseAnswer::values.
[[nodiscard]] const std::array<AnswerColumn, kAnswers>& answer_columns();
/// Places in it that a summary needs.
inline constexpr std::size_t kNightsNeeding = 1, kNightsHeld = 2, kUnitEnergy = 7;

/// A case, run. NaN: such a figure does not exist (no night needs cooling).
struct CaseAnswer {
  std::array<double, kAnswers> values{};
  std::string failed;  ///< why; empty when it did not, else all values are NaN
};

/// Runs cases by their numbers. Results do not depend on the threads, nor on which cases were run
/// before.
class CaseRunner {
 public:
  /// Reads the weather that a scenario names.
  using Weather =
      std::function<std::shared_ptr<const weather::Series>(const scenario::Scenario& scenario)>;
  /// @param weather  reads what a scenario names; what it throws fails the case
  CaseRunner(const Plan& plan, Weather weather, unsigned threads = 0);

  /// Cases first .. first + count - 1; one that fails is kept as failed, the others go on.
  /// @param progress  called with cases done; what it throws ends the run
  [[nodiscard]] std::vector<CaseAnswer> run(
      std::uint64_t first, std::size_t count,
      const std::function<void(double cases_done)>& progress = {});
  /// Cases in one call that keep all its threads busy.
  [[nodiscard]] std::size_t side_by_side() const;
  /// Whether `progress` is called by one thread only.
  [[nodiscard]] bool one_thread() const { return side_by_side() == 1; }

 private:
  struct Made {
    std::uint64_t index = 0;
    Variant variant;
  };
  void make(std::uint64_t index, CaseAnswer& answer, std::vector<Made>& made);
  void answer(std::span<const Made> made, std::uint64_t first, std::vector<CaseAnswer>& out,
              const std::function<void(double cases_done)>& progress);

  const Plan& plan_;
  Weather weather_;
  unsigned threads_;
  Variants variants_;
  std::map<std::string, std::shared_ptr<const weather::Series>> series_;
};

}  // namespace cabinload::study
