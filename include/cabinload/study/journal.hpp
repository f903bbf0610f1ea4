// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/core/error.hpp>
#include <cabinload/study/cases.hpp>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

/// The cases of a study that are done, on disk: what an end at any moment leaves behind.
namespace cabinload::study {

/// Answers as bytes, and back; numbers as the machine has them.
[[nodiscard]] std::string bytes_of(std::span<const CaseAnswer> answers);
/// @param count  answers in `bytes`
[[nodiscard]] std::vector<CaseAnswer> answers_of(const std::string& bytes, std::size_t count);

/// A file that only grows, a block of cases at a time. A block is there once it is whole on the
/// disk and its sum is right; what stands behind the last such block is cut off when the file is
/// opened again.
class Journal {
 public:
  /// Lines "key = value" that two runs must share to be the same study.
  using Identity = std::vector<std::string>;

  /// Starts one. @throws core::IoError  it exists already, cannot be written, is in use
  static Journal start(const std::string& path, const Identity& identity, std::uint64_t cases);
  /// Goes on with one.
  /// @throws core::IoError     there is none, or another process writes it
  /// @throws core::InputError  it is of another study: says what differs
  static Journal resume(const std::string& path, const Identity& identity, std::uint64_t cases);

  /// The other one holds no file any more.
  Journal(Journal&& other) noexcept;
  Journal& operator=(Journal&&) = delete;
  Journal(const Journal&) = delete;
  Journal& operator=(const Journal&) = delete;
  ~Journal();

  /// Cases of a block of a study of so many; the last one may have fewer.
  [[nodiscard]] static std::uint64_t block_cases_of(std::uint64_t cases);
  /// The same of this study.
  [[nodiscard]] std::uint64_t block_cases() const { return block_cases_; }
  /// Of the whole study.
  [[nodiscard]] std::uint64_t blocks() const { return offsets_.size(); }
  /// Cases of one block. @param block  below blocks()
  [[nodiscard]] std::size_t cases_of(std::uint64_t block) const;
  /// Whether a block is whole on the disk. @param block  below blocks()
  [[nodiscard]] bool has(std::uint64_t block) const { return offsets_[block] != 0; }
  /// Cases of all blocks that are there.
  [[nodiscard]] std::uint64_t cases_done() const { return cases_done_; }

  /// Keeps a block; it is on the disk when this returns.
  /// @throws core::IoError  it cannot be kept (the disk is full): those before it stay
  void append(std::uint64_t block, std::span<const CaseAnswer> answers);
  /// @pre has(block) @throws core::IoError  it cannot be read
  [[nodiscard]] std::vector<CaseAnswer> read(std::uint64_t block) const;
  /// Once the result is written elsewhere.
  void remove();

 private:
  Journal(std::string path, std::uint64_t cases);
  void open(int flags);
  void read_head(const Identity& identity);
  void find_blocks();
  void write(const std::string& bytes);

  std::string path_;
  int fd_ = -1;
  std::uint64_t cases_, block_cases_, cases_done_ = 0, end_ = 0;
  std::vector<std::uint64_t> offsets_;  // of each block's payload; 0: not there
  std::vector<std::uint64_t> sizes_;
};

/// Says which lines one has and the other lacks; the first few.
[[nodiscard]] core::InputError of_another_study(const std::string& path,
                                                const Journal::Identity& then,
                                                const Journal::Identity& now);

}  // namespace cabinload::study
