// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/study/run_study.hpp>
#include <deque>

#include "study/plan_text.hpp"
#include "support/catch.hpp"
#include "support/temporary_path.hpp"

namespace core = cabinload::core;
namespace scenario = cabinload::scenario;
namespace study = cabinload::study;
using cabinload::test::TemporaryPath;

namespace {

constexpr std::uint64_t kCases = 330;  // 82 blocks of 4 and one of 2

study::Plan plan() {
  return cabinload::test::plan_of_text(
      "[study]\nway = \"latin\"\ncases = " + std::to_string(kCases) +
      "\n[[vary]]\nkey = \"battery.capacity\"\nrange = \"1 kWh to 5 kWh\"\n");
}

/// Cases that fail at once, each with words of its own: what is tested is who runs them.
std::shared_ptr<const cabinload::weather::Series> no_weather(const scenario::Scenario& s) {
  throw core::Error(std::to_string(s.supply.bank.nominal_energy_J));
}

std::vector<std::string> reasons(const study::Journal& j) {
  std::vector<std::string> list;
  for (std::uint64_t block = 0; block < j.blocks(); ++block)
    for (const study::CaseAnswer& a : j.read(block)) list.push_back(a.failed);
  return list;
}

/// Other ranks in this process; what they were given last is done first.
class Others : public study::Ranks {
 public:
  Others(study::CaseRunner& runner, int count)
      : runner_(runner), has_(static_cast<std::size_t>(count)) {}
  [[nodiscard]] int rank() const override { return 0; }
  [[nodiscard]] int count() const override { return static_cast<int>(has_.size()); }
  void give(int rank, std::uint64_t block) override {
    if (block == kNoBlock) {
      ++stopped;
      return;
    }
    given_.push_back({rank, block});
    blocks.push_back(block);
    auto& has = has_[static_cast<std::size_t>(rank)];
    most = std::max(most, ++has);
    if (block + 4 >= (kCases + 3) / 4) most_at_end = std::max(most_at_end, has);
  }
  std::optional<Done> take(bool wait) override {
    if (given_.empty() || (!wait && ++asked_ % 2 == 0)) return std::nullopt;
    const auto [rank, block] = given_.back();
    given_.pop_back();
    --has_[static_cast<std::size_t>(rank)];
    const std::uint64_t size = study::Journal::block_cases_of(kCases), first = block * size;
    const auto answers =
        runner_.run(first, static_cast<std::size_t>(std::min(size, kCases - first)));
    return Done{rank, block, study::bytes_of(answers)};
  }
  std::uint64_t next() override { return kNoBlock; }
  void send(std::uint64_t, std::string) override {}
  [[noreturn]] void abort(int) override { std::abort(); }

  std::vector<std::uint64_t> blocks;
  int stopped = 0, most = 0, most_at_end = 0;

 private:
  study::CaseRunner& runner_;
  std::deque<std::pair<int, std::uint64_t>> given_;
  std::vector<int> has_;
  int asked_ = 0;
};

}  // namespace

TEST_CASE("study: a long reason of a failed case is cut between letters", "[study][unit]") {
  const study::Plan p = plan();
  for (const std::string before : {"", "x"}) {
    study::CaseRunner runner(p,
                             [&](const auto&) -> std::shared_ptr<const cabinload::weather::Series> {
                               std::string text = before;
                               for (int i = 0; i < 300; ++i) text += "°";  // of two bytes
                               throw core::Error(text);
                             });
    const std::string reason = runner.run(0, 1).front().failed;
    CHECK(reason.size() == 400 - before.size());
    CHECK(reason.substr(reason.size() - 2) == "°");
  }
}

TEST_CASE("study: shared with other ranks every block is run once, the last ones one by one",
          "[study][unit]") {
  const study::Plan p = plan();
  study::CaseRunner runner(p, no_weather, 1);
  const TemporaryPath place;
  auto alone = study::Journal::start(place.string(), {"a"}, p.cases);
  study::run_study(runner, alone, {});
  const std::vector<std::string> expected = reasons(alone);
  REQUIRE(expected.size() == kCases);
  CHECK(expected[0] != expected[1]);
  alone.remove();
  for (const int count : {1, 2, 3}) {
    auto shared = study::Journal::start(place.string(), {"a"}, p.cases);
    study::CaseRunner of_others(p, no_weather, 1);
    Others others(of_others, count);
    std::uint64_t done = 0;
    study::run_study(runner, shared,
                     {{}, [&](double cases) { done = static_cast<std::uint64_t>(cases); }},
                     &others);
    CHECK(reasons(shared) == expected);
    CHECK(done == kCases);
    std::sort(others.blocks.begin(), others.blocks.end());
    CHECK(std::adjacent_find(others.blocks.begin(), others.blocks.end()) == others.blocks.end());
    CHECK(others.stopped == (count > 1 ? count - 1 : 0));
    CHECK((others.most == 2) == (count > 1));
    CHECK(others.most_at_end <= 1);
    shared.remove();
  }
}

TEST_CASE("study: an end that was asked for keeps what is done, the rest is run later",
          "[study][unit]") {
  const study::Plan p = plan();
  study::CaseRunner runner(p, no_weather, 1);
  const TemporaryPath place;
  std::vector<std::string> expected;
  {
    auto whole = study::Journal::start(place.string(), {"a"}, p.cases);
    study::run_study(runner, whole, {});
    expected = reasons(whole);
    whole.remove();
  }
  double seen = 0;
  {
    auto j = study::Journal::start(place.string(), {"a"}, p.cases);
    const study::Watch watch{[&] { return seen >= 100; }, [&](double cases) { seen = cases; }};
    CHECK_THROWS_AS(study::run_study(runner, j, watch), study::Interrupted);
    CHECK((j.cases_done() >= 64 && j.cases_done() < kCases));
  }
  auto j = study::Journal::resume(place.string(), {"a"}, p.cases);
  const std::uint64_t before = j.cases_done();
  study::run_study(runner, j, {{}, [&](double cases) { seen = cases; }});
  CHECK(seen == static_cast<double>(p.cases - before));  // of those that were lacking
  CHECK(reasons(j) == expected);
}
