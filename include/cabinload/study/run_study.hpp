// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/study/cases.hpp>
#include <cabinload/study/journal.hpp>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>

/// Runs what a journal lacks: in this process, or shared with others.
namespace cabinload::study {

/// Somebody asked for an end; what the journal holds stays.
struct Interrupted {};

/// Other processes at work on the same study; the first one leads and alone writes.
class Ranks {
 public:
  /// What a rank has done, or asks.
  struct Done {
    int rank = 0;
    std::uint64_t block = 0;
    std::string bytes;  ///< bytes_of() its answers
  };
  static constexpr std::uint64_t kNoBlock = ~std::uint64_t{0};

  virtual ~Ranks() = default;
  [[nodiscard]] virtual int rank() const = 0;   ///< 0: it leads
  [[nodiscard]] virtual int count() const = 0;  ///< at least 1
  // Of the one that leads.
  virtual void give(int rank, std::uint64_t block) = 0;  ///< kNoBlock: it may stop
  void stop_all();                                       ///< nothing more for anybody
  /// What has come; waits for it when asked to.
  virtual std::optional<Done> take(bool wait) = 0;
  // Of the others.
  virtual std::uint64_t next() = 0;                               ///< waits
  virtual void send(std::uint64_t block, std::string bytes) = 0;  ///< to the one that leads
  /// Ends the whole job at once.
  [[noreturn]] virtual void abort(int exit_code) = 0;
};

/// How a study is watched.
struct Watch {
  std::function<bool()> interrupted;                ///< asked often, from any thread; may be empty
  std::function<void(double cases_done)> progress;  ///< of those that were lacking; may be empty
};

/// Runs every block that the journal lacks. Answers do not depend on the ranks.
/// @param ranks  nullptr: this process alone; else the one that leads
/// @throws Interrupted; core::IoError  a block cannot be kept
void run_study(CaseRunner& runner, Journal& journal, const Watch& watch, Ranks* ranks = nullptr);

/// The part of a rank that does not lead.
/// @throws Interrupted
void help_with_study(CaseRunner& runner, std::uint64_t cases, const Watch& watch, Ranks& ranks);

}  // namespace cabinload::study
