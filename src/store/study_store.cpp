// SPDX-License-Identifier: Apache-2.0
#include "study_store.hpp"

#include <cabinload/study/cases.hpp>
#include <cmath>
#include <numeric>

namespace cabinload::store {
namespace {

/// A data set along the cases that is filled from its front.
class Growing {
 public:
  Growing(H5::Group& group, const Column& column, std::uint64_t rows, const H5::DataSet& axis)
      : set_(put_empty(group, column, rows, &axis)) {}

  void add(std::uint64_t from, const std::vector<double>& values) {
    write_rows(set_, from, values);
  }

 private:
  H5::DataSet set_;
};

/// The values of a list, beside the numbers that stand for them.
void put_levels(H5::Group& group, const study::Input& input) {
  std::vector<double> numbers(input.levels.size());
  std::iota(numbers.begin(), numbers.end(), 0.0);
  const std::string name = set_name("", input.key);
  const H5::DataSet axis = put_axis(
      group, {(name + "_number").c_str(), "1", "what stands for it in the cases", Precision::full},
      numbers);
  put_texts(group, {name.c_str(), "1", ("values of " + input.key).c_str()}, input.levels, axis);
}

}  // namespace

void write_cases(H5::Group& root, const StudyResult& r) {
  const study::Plan& plan = r.plan;
  H5::Group g = root.createGroup("cases");
  H5::Group lists = root.createGroup("values");
  put_number(g, "seed", static_cast<double>(plan.seed));
  const Column number = {"case", "1", "number of the case, from 0", Precision::full};
  H5::DataSet axis = put_empty(g, number, plan.cases, nullptr);
  std::vector<Growing> inputs, answers;
  for (const study::Input& input : plan.inputs) {
    if (!input.levels.empty()) put_levels(lists, input);
    const std::string about = input.levels.empty()
                                  ? "input " + input.key
                                  : "input " + input.key + ": number of its value in /values";
    const std::string name = set_name("in_", input.key);
    const std::string units = core::udunits_spelling(input.unit);
    const bool difference = input.kind == core::Quantity::temperature_difference;
    inputs.emplace_back(
        g, Column{name.c_str(), units.c_str(), about.c_str(), Precision::full, false, difference},
        plan.cases, axis);
  }
  for (const study::AnswerColumn& c : study::answer_columns())
    answers.emplace_back(g, Column{c.name, c.units, c.about, Precision::full, true}, plan.cases,
                         axis);
  Growing failed(g, {"failed", "1", "1: the case failed, its answers are NaN", Precision::full},
                 plan.cases, axis);
  std::vector<double> failed_case;
  std::vector<std::string> failed_why;
  for (std::uint64_t block = 0; block < r.journal.blocks(); ++block) {
    const std::uint64_t from = block * r.journal.block_cases();
    const std::vector<study::CaseAnswer> cases = r.journal.read(block);
    std::vector<std::vector<double>> in(inputs.size()), out(answers.size());
    std::vector<double> numbers, fails;
    for (std::size_t i = 0; i < cases.size(); ++i) {
      const std::vector<double> values = plan.values(from + i);
      for (std::size_t k = 0; k < in.size(); ++k) in[k].push_back(values[k]);
      for (std::size_t k = 0; k < out.size(); ++k) out[k].push_back(cases[i].values[k]);
      numbers.push_back(static_cast<double>(from + i));
      fails.push_back(cases[i].failed.empty() ? 0 : 1);
      if (cases[i].failed.empty() || failed_case.size() >= kMostReasons) continue;
      failed_case.push_back(numbers.back());
      failed_why.push_back(cases[i].failed);
    }
    write_rows(axis, from, numbers);
    for (std::size_t k = 0; k < in.size(); ++k) inputs[k].add(from, in[k]);
    for (std::size_t k = 0; k < out.size(); ++k) answers[k].add(from, out[k]);
    failed.add(from, fails);
  }
  H5::Group f = root.createGroup("failed");
  const H5::DataSet which =
      put_axis(f, {"case", "1", "number of a case that failed", Precision::full}, failed_case);
  put_texts(f, {"reason", "1", "why"}, failed_why, which);
}

}  // namespace cabinload::store
