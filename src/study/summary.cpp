// SPDX-License-Identifier: Apache-2.0
#include <cabinload/study/summary.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <limits>

namespace cabinload::study {
namespace {

constexpr std::size_t kMostLevels = 40;
constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

/// Sums by level, in the order of inputs and levels.
struct Levels {
  std::vector<std::vector<LevelFigures>> of;

  explicit Levels(const Plan& plan) {
    for (const Input& input : plan.inputs) {
      of.emplace_back();
      if (input.levels.size() > kMostLevels) continue;
      for (const std::string& value : input.levels) of.back().push_back({input.key, value});
    }
  }
  void add(const Plan& plan, std::uint64_t index, const CaseAnswer& a) {
    if (std::all_of(of.begin(), of.end(), [](const auto& levels) { return levels.empty(); }))
      return;
    const std::vector<double> values = plan.values(index);
    for (std::size_t i = 0; i < of.size(); ++i) {
      if (of[i].empty()) continue;
      LevelFigures& l = of[i][static_cast<std::size_t>(values[i])];
      ++l.cases;
      l.needing += a.values[kNightsNeeding];
      l.held += a.values[kNightsHeld];
      l.all_held += a.values[kNightsHeld] == a.values[kNightsNeeding] ? 1 : 0;
    }
  }
};

Figures figures_of(const AnswerColumn& column, std::vector<double> values) {
  std::erase_if(values, [](double v) { return !std::isfinite(v); });
  Figures f{column.name, column.units, column.about, values.size(), kNaN, kNaN, kNaN, kNaN};
  if (values.empty()) return f;
  double sum = 0;
  for (const double v : values) sum += v;
  f.mean = sum / static_cast<double>(values.size());
  const std::array<double, 3> percents = {5, 50, 95};
  const std::vector<double> at = percentiles(std::move(values), percents);
  f.p05 = at[0];
  f.p50 = at[1];
  f.p95 = at[2];
  return f;
}

/// Rows of a figure, one a base point; those with a failed run or without the figure are left out.
std::vector<Effect> effects_on(std::size_t column, const Plan& plan,
                               const std::vector<std::vector<double>>& kept) {
  const std::size_t blocks = plan.inputs.size() + 2;
  const std::vector<double>& all = kept[column];
  std::vector<std::size_t> whole;
  for (std::size_t row = 0; row < all.size() / blocks; ++row) {
    const auto from = all.begin() + static_cast<std::ptrdiff_t>(row * blocks);
    if (std::all_of(from, from + static_cast<std::ptrdiff_t>(blocks),
                    [](double v) { return std::isfinite(v); }))
      whole.push_back(row);
  }
  if (whole.size() < 2) return std::vector<Effect>(plan.inputs.size());
  Eigen::ArrayXXd outputs(static_cast<Eigen::Index>(whole.size()),
                          static_cast<Eigen::Index>(blocks));
  for (std::size_t r = 0; r < whole.size(); ++r)
    for (std::size_t b = 0; b < blocks; ++b)
      outputs(static_cast<Eigen::Index>(r), static_cast<Eigen::Index>(b)) =
          all[whole[r] * blocks + b];
  Bootstrap bootstrap;
  bootstrap.seed = plan.seed;
  if (whole.size() > 4096) bootstrap.replicates = 100;
  return effects(outputs, bootstrap);
}

void add_effects(const Plan& plan, const std::vector<std::vector<double>>& kept, Summary& s) {
  const std::vector<Effect> held = effects_on(kNightsHeld, plan, kept);
  const std::vector<Effect> energy = effects_on(kUnitEnergy, plan, kept);
  for (std::size_t i = 0; i < plan.inputs.size(); ++i)
    s.effects.push_back({plan.inputs[i].key, held[i], energy[i]});
  std::stable_sort(
      s.effects.begin(), s.effects.end(),
      [](const InputEffect& a, const InputEffect& b) { return a.held.total > b.held.total; });
}

std::string values_of(const Input& input) {
  constexpr std::size_t kNamed = 6;
  if (input.levels.empty()) return input.text(input.low) + " to " + input.text(input.high);
  if (input.levels.size() > kNamed) return std::to_string(input.levels.size()) + " values";
  std::string text;
  for (const std::string& level : input.levels)
    text +=
        (text.empty() ? "" : ", ") +
        (input.key == "weather.file" ? std::filesystem::path(level).filename().string() : level);
  return text;
}

}  // namespace

Summary summary_of(const Plan& plan, const Journal& journal, const answers::Header& header) {
  Summary s;
  s.header = header;
  s.way = plan.way == Way::all ? "all" : plan.way == Way::latin ? "latin" : "sobol";
  s.seed = plan.seed;
  s.cases = plan.cases;
  for (const Input& input : plan.inputs) s.varied.push_back({input.key, values_of(input)});
  // Whole base points of effects, the first ones: they are as even as any.
  const std::uint64_t stride = plan.effects ? 1 : (plan.cases - 1) / kMostInMemory + 1;
  const std::uint64_t end = plan.effects
                                ? std::min(plan.cases, kMostInMemory / (plan.inputs.size() + 2) *
                                                           (plan.inputs.size() + 2))
                                : plan.cases;
  Levels levels(plan);
  std::vector<std::vector<double>> kept(kAnswers);
  for (std::uint64_t block = 0; block < journal.blocks(); ++block) {
    std::uint64_t index = block * journal.block_cases();
    for (const CaseAnswer& a : journal.read(block)) {
      const std::uint64_t i = index++;
      if (i % stride == 0 && i < end)
        for (std::size_t k = 0; k < kAnswers; ++k) kept[k].push_back(a.values[k]);
      if (!a.failed.empty()) {
        if (s.failed++ == 0) s.first_failed = i, s.first_reason = a.failed;
        continue;
      }
      levels.add(plan, i, a);
      s.needing += a.values[kNightsNeeding];
      s.held += a.values[kNightsHeld];
      s.all_held += a.values[kNightsHeld] == a.values[kNightsNeeding] ? 1 : 0;
    }
  }
  if (kept[0].size() < plan.cases) s.sampled = kept[0].size();
  for (std::size_t k = 0; k < kAnswers; ++k)
    s.figures.push_back(figures_of(answer_columns()[k], kept[k]));
  for (const auto& of_input : levels.of)
    s.levels.insert(s.levels.end(), of_input.begin(), of_input.end());
  if (plan.effects) add_effects(plan, kept, s);
  return s;
}

}  // namespace cabinload::study
