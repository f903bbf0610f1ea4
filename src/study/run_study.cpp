// SPDX-License-Identifier: Apache-2.0
#include <cabinload/study/run_study.hpp>

#include <algorithm>
#include <numeric>
#include <span>
#include <vector>

namespace cabinload::study {
namespace {

/// Blocks that a rank has at a time: the next one waits for it when it is done with one. Near the
/// end one each, so that the last ones are not left to a single rank.
constexpr int kAhead = 2;

/// @param tick  called with cases done
template <class Tick>
std::vector<CaseAnswer> run_cases(CaseRunner& runner, std::uint64_t first, std::size_t count,
                                  const Watch& watch, Tick tick) {
  if (watch.interrupted && watch.interrupted()) throw Interrupted{};
  return runner.run(first, count, [&](double cases_done) {
    if (watch.interrupted && watch.interrupted()) throw Interrupted{};
    tick(cases_done);
  });
}

/// Blocks one behind the other.
struct Stretch {
  std::uint64_t first = 0, end = 0;
};

/// Blocks that are still to be given out.
class Open {
 public:
  explicit Open(const Journal& journal) : journal_(journal) { skip(); }
  [[nodiscard]] bool any() const { return next_ < journal_.blocks(); }
  /// Those that the journal held from the start among them.
  [[nodiscard]] std::uint64_t left() const { return journal_.blocks() - next_; }
  /// The next ones, so many at most. @param most  at least 1
  Stretch take(std::uint64_t most) {
    Stretch s{next_, next_};
    do ++s.end;
    while (s.end - s.first < most && s.end < journal_.blocks() && !journal_.has(s.end));
    next_ = s.end;
    skip();
    return s;
  }

 private:
  void skip() {
    while (any() && journal_.has(next_)) ++next_;
  }
  const Journal& journal_;
  std::uint64_t next_ = 0;
};

/// The one that leads: gives out blocks, keeps what comes back.
class Lead {
 public:
  Lead(Journal& journal, Open& open, const Watch& watch, Ranks& ranks)
      : journal_(journal),
        open_(open),
        watch_(watch),
        ranks_(ranks),
        at_start_(journal.cases_done()),
        out_(static_cast<std::size_t>(ranks.count()), 0) {
    give();
  }
  /// Keeps what has come.
  void collect(bool wait) {
    while (std::accumulate(out_.begin(), out_.end(), 0) > 0) {
      const std::optional<Ranks::Done> done = ranks_.take(wait);
      if (!done) return;
      --out_[static_cast<std::size_t>(done->rank)];
      journal_.append(done->block, answers_of(done->bytes, journal_.cases_of(done->block)));
      if (watch_.progress) watch_.progress(static_cast<double>(journal_.cases_done() - at_start_));
      give();
    }
  }

 private:
  /// One each first, then those that wait for them.
  void give() {
    for (int ahead = 1; ahead <= kAhead; ++ahead)
      for (std::size_t rank = 1; rank < out_.size() && open_.any(); ++rank) {
        const bool many = open_.left() > kAhead * out_.size();
        if (out_[rank] >= ahead || (ahead > 1 && !many)) continue;
        ranks_.give(static_cast<int>(rank), open_.take(1).first);
        ++out_[rank];
      }
  }
  Journal& journal_;
  Open& open_;
  const Watch& watch_;
  Ranks& ranks_;
  std::uint64_t at_start_;
  std::vector<int> out_;  // blocks that each rank has
};

}  // namespace

void Ranks::stop_all() {
  for (int other = 1; other < count(); ++other) give(other, kNoBlock);
}

void run_study(CaseRunner& runner, Journal& journal, const Watch& watch, Ranks* ranks) {
  Open open(journal);
  std::optional<Lead> lead;
  if (ranks != nullptr && ranks->count() > 1) lead.emplace(journal, open, watch, *ranks);
  const std::uint64_t at_start = journal.cases_done(), size = journal.block_cases();
  // Threads have blocks enough at a time that they seldom wait for each other.
  const std::uint64_t most = lead ? 1 : std::max<std::uint64_t>(1, runner.side_by_side() / size);
  while (open.any()) {
    const Stretch stretch = open.take(most);
    const std::uint64_t first = stretch.first * size, last = stretch.end - 1;
    const std::size_t count = (last - stretch.first) * size + journal.cases_of(last);
    const auto answers = run_cases(runner, first, count, watch, [&](double cases_done) {
      // Another rank need not wait until this one is through with its block. (From one thread
      // only.)
      if (lead && runner.one_thread()) lead->collect(false);
      const auto before = static_cast<double>(journal.cases_done() - at_start);
      if (watch.progress) watch.progress(before + cases_done);
    });
    for (std::uint64_t block = stretch.first; block < stretch.end; ++block)
      journal.append(block, std::span(answers).subspan((block - stretch.first) * size,
                                                       journal.cases_of(block)));
    if (lead) lead->collect(false);
  }
  if (!lead) return;
  lead->collect(true);
  ranks->stop_all();
}

void help_with_study(CaseRunner& runner, std::uint64_t cases, const Watch& watch, Ranks& ranks) {
  const std::uint64_t block_cases = Journal::block_cases_of(cases);
  for (std::uint64_t block = ranks.next(); block != Ranks::kNoBlock; block = ranks.next()) {
    const std::uint64_t first = block * block_cases;
    const auto count = static_cast<std::size_t>(std::min(block_cases, cases - first));
    ranks.send(block, bytes_of(run_cases(runner, first, count, watch, [](double) {})));
  }
}

}  // namespace cabinload::study
