// SPDX-License-Identifier: Apache-2.0
#include <cabinload/study/run_study.hpp>

#include <algorithm>

namespace cabinload::study {
namespace {

/// Blocks that a rank has or has before it: the next one waits for it when it is done with one.
constexpr int kAhead = 2;

std::vector<CaseAnswer> run_block(CaseRunner& runner, std::uint64_t first, std::size_t count,
                                  const Watch& watch, double before) {
  if (watch.interrupted && watch.interrupted()) throw Interrupted{};
  return runner.run(first, count, [&](double cases_done) {
    if (watch.interrupted && watch.interrupted()) throw Interrupted{};
    if (watch.progress) watch.progress(before + cases_done);
  });
}

/// Blocks that are still to be given out.
class Open {
 public:
  explicit Open(const Journal& journal) : journal_(journal) { skip(); }
  [[nodiscard]] bool any() const { return next_ < journal_.blocks(); }
  std::uint64_t take() {
    const std::uint64_t block = next_++;
    skip();
    return block;
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
        at_start_(journal.cases_done()) {
    for (int ahead = 0; ahead < kAhead; ++ahead)
      for (int rank = 1; rank < ranks_.count(); ++rank) give(rank);
  }
  /// Keeps what has come.
  void collect(bool wait) {
    while (out_ > 0) {
      const std::optional<Ranks::Done> done = ranks_.take(wait);
      if (!done) return;
      --out_;
      journal_.append(done->block, answers_of(done->bytes, journal_.cases_of(done->block)));
      if (watch_.progress) watch_.progress(static_cast<double>(journal_.cases_done() - at_start_));
      give(done->rank);
    }
  }
  void stop_all() {
    for (int rank = 1; rank < ranks_.count(); ++rank) ranks_.give(rank, Ranks::kNoBlock);
  }

 private:
  void give(int rank) {
    if (!open_.any()) return;
    ranks_.give(rank, open_.take());
    ++out_;
  }
  Journal& journal_;
  Open& open_;
  const Watch& watch_;
  Ranks& ranks_;
  std::uint64_t at_start_;
  int out_ = 0;
};

}  // namespace

void run_study(CaseRunner& runner, Journal& journal, const Watch& watch, Ranks* ranks) {
  Open open(journal);
  std::optional<Lead> lead;
  if (ranks != nullptr && ranks->count() > 1) lead.emplace(journal, open, watch, *ranks);
  const std::uint64_t at_start = journal.cases_done();
  while (open.any()) {
    const std::uint64_t block = open.take();
    journal.append(block, run_block(runner, block * journal.block_cases(), journal.cases_of(block),
                                    watch, static_cast<double>(journal.cases_done() - at_start)));
    if (lead) lead->collect(false);
  }
  if (!lead) return;
  lead->collect(true);
  lead->stop_all();
}

void help_with_study(CaseRunner& runner, std::uint64_t cases, const Watch& watch, Ranks& ranks) {
  const std::uint64_t block_cases = Journal::block_cases_of(cases);
  Watch quiet = watch;
  quiet.progress = {};
  for (std::uint64_t block = ranks.next(); block != Ranks::kNoBlock; block = ranks.next()) {
    const std::uint64_t first = block * block_cases;
    const auto count = static_cast<std::size_t>(std::min(block_cases, cases - first));
    ranks.send(block, bytes_of(run_block(runner, first, count, quiet, 0)));
  }
}

}  // namespace cabinload::study
