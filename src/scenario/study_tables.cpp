// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cmath>

#include "tables.hpp"

namespace cabinload::scenario {
namespace {

/// A text that may be left out.
void maybe_text(Binder& b, const std::string& key, std::string& value, About about) {
  value = kNone;
  b.text(key, value, about);
  if (value == kNone) value.clear();
}

}  // namespace

void bind_study(Binder& b, Scenario& s) {
  StudyPlan& plan = s.study;
  b.choice("study.way", plan.way, {"all", "latin", "sobol"},
           {"every combination; points of a Latin hypercube; points of Sobol's sequence",
            "what a list of a few values needs"});
  double cases = static_cast<double>(plan.cases);
  b.share("study.cases", cases, {0, 1e15}, {"points of latin and sobol", "a power of two"});
  if (cases != std::floor(cases))
    b.problem("study.cases", fmt::format("{:g} is not a whole number", cases), "1024");
  plan.cases = static_cast<std::uint64_t>(cases);
  b.whole("study.seed", plan.seed, 0, 1000000000,
          {"of the points: the same seed, the same ones", "none is better"});
  b.flag("study.effects", plan.effects,
         {"with sobol: cases times (inputs + 2) runs, which tell how much of the answers' spread "
          "goes with each input",
          "no"});
  for (int i = 0; i < b.given().count("vary"); ++i) {
    const std::string at = fmt::format("vary[{}].", i);
    Vary v;
    b.text(at + "key", v.key,
           {"key that differs from case to case; uncertainty: every one of that table", ""});
    b.given().join(at + "values");
    maybe_text(b, at + "values", v.values,
               {"its values: \"thin, good\"; with ';' if any has a ','", ""});
    maybe_text(
        b, at + "files", v.files,
        {"folder, each file of which but .md and .toml is a value; or a text with a value a line",
         ""});
    maybe_text(b, at + "range", v.range, {"\"1 kWh to 5 kWh\"", ""});
    b.whole(at + "steps", v.steps, 2, 1000000,
            {"values from end to end of the range, when every combination is run", ""});
    b.choice(at + "spread", v.spread, {"even", "triangle", "bell", "factor"},
             {"how likely what is in the range, for latin and sobol", ""});
    maybe_text(b, at + "likeliest", v.likeliest,
               {"of triangle; mean of bell; median of factor", ""});
    maybe_text(b, at + "deviation", v.deviation, {"standard deviation of bell", ""});
    b.share(at + "factor", v.factor_1, {1, 1e3},
            {"nine in ten lie between the median over this and the median times this", ""});
    plan.vary.push_back(v);
  }
}

}  // namespace cabinload::scenario
