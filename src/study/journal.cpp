// SPDX-License-Identifier: Apache-2.0
#include <cabinload/study/journal.hpp>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/core/sha256.hpp>
#include <cerrno>
#include <cstring>
#include <utility>

namespace cabinload::study {
namespace {

// Head: kMagic, bytes of the identity (u64), the identity, its sum. Block: number (u64), bytes of
// the payload (u64), the payload, the sum of all of it. Of a case: kAnswers doubles, bytes of the
// reason (u32), the reason. Numbers as the machine has them: the file stays where it is.
constexpr const char kMagic[] = "cabinload unfinished study 2\n";
constexpr std::size_t kSum = 64, kMagicSize = sizeof kMagic - 1;
/// Cases of a block: as many as step together, so that ranks share a small study evenly to its end;
/// more where there would be more than so many blocks, and of a large study more again.
constexpr std::uint64_t kFewest = 4, kFewBlocks = 128, kBlock = 32, kMostBlocks = 65536;

/// So many in each of so many parts, a multiple of something.
std::uint64_t shared_out(std::uint64_t cases, std::uint64_t parts, std::uint64_t multiple) {
  const std::uint64_t each = (cases + parts - 1) / parts;
  return (each + multiple - 1) / multiple * multiple;
}

template <class T>
void put(std::string& bytes, T value) {
  bytes.append(reinterpret_cast<const char*>(&value), sizeof value);
}
template <class T>
T take(const std::string& bytes, std::size_t& at) {
  T value{};
  if (at + sizeof value <= bytes.size()) std::memcpy(&value, bytes.data() + at, sizeof value);
  at += sizeof value;
  return value;
}

std::string error_text() {
  return std::strerror(errno);
}

/// Bytes from..from + size of a file; shorter at its end.
std::string read_at(int fd, std::uint64_t from, std::uint64_t size) {
  std::string bytes(size, '\0');
  std::size_t got = 0;
  while (got < size) {
    const ssize_t n = ::pread(fd, bytes.data() + got, size - got, static_cast<off_t>(from + got));
    if (n < 0 && errno == EINTR) continue;
    if (n <= 0) break;
    got += static_cast<std::size_t>(n);
  }
  bytes.resize(got);
  return bytes;
}

std::uint64_t size_of(int fd) {
  struct stat status {};
  return ::fstat(fd, &status) == 0 ? static_cast<std::uint64_t>(status.st_size) : 0;
}

/// What stands before the first block.
std::string head_of(const std::string& text) {
  std::string head = kMagic;
  put<std::uint64_t>(head, text.size());
  return head + text + core::sha256_hex(text);
}

std::string joined(const Journal::Identity& identity) {
  std::string text;
  for (const std::string& line : identity) text += line + '\n';
  return text;
}

Journal::Identity lines_of(const std::string& text) {
  Journal::Identity lines;
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t to = std::min(text.find('\n', from), text.size());
    lines.push_back(text.substr(from, to - from));
    from = to + 1;
  }
  return lines;
}

}  // namespace

core::InputError of_another_study(const std::string& path, const Journal::Identity& then,
                                  const Journal::Identity& now) {
  constexpr std::size_t kShown = 3;
  std::vector<std::string> out;
  const auto lacks = [](const std::vector<std::string>& list, const std::string& line) {
    return std::find(list.begin(), list.end(), line) == list.end();
  };
  for (const std::string& line : now)
    if (lacks(then, line)) out.push_back("now " + line);
  for (const std::string& line : then)
    if (lacks(now, line)) out.push_back("then " + line);
  std::sort(out.begin(), out.end(), [](const std::string& a, const std::string& b) {
    const auto rest = [](const std::string& s) { return s.substr(s.find(' ')); };
    return rest(a) < rest(b);
  });
  std::string text;
  for (std::size_t i = 0; i < std::min(2 * kShown, out.size()); ++i)
    text += (i > 0 ? "; " : "") + out[i];
  return core::InputError({path, 0, 0, "",
                           "is of another study: " + text + (out.size() > 2 * kShown ? " ..." : ""),
                           "resume with the same scenario, or --force to begin anew"});
}

std::string bytes_of(std::span<const CaseAnswer> answers) {
  std::string bytes;
  for (const CaseAnswer& a : answers) {
    for (const double v : a.values) put(bytes, v);
    put(bytes, static_cast<std::uint32_t>(a.failed.size()));
    bytes += a.failed;
  }
  return bytes;
}

std::vector<CaseAnswer> answers_of(const std::string& bytes, std::size_t count) {
  std::vector<CaseAnswer> answers(count);
  std::size_t at = 0;
  for (CaseAnswer& a : answers) {
    for (double& v : a.values) v = take<double>(bytes, at);
    const auto size = take<std::uint32_t>(bytes, at);
    a.failed = bytes.substr(std::min(at, bytes.size()), size);
    at += size;
  }
  return answers;
}

std::uint64_t Journal::block_cases_of(std::uint64_t cases) {
  const std::uint64_t small = shared_out(cases, kFewBlocks, kFewest);
  return small < kBlock ? std::max(small, kFewest)
                        : std::max(shared_out(cases, kMostBlocks, kBlock), kBlock);
}

Journal::Journal(std::string path, std::uint64_t cases) : path_(std::move(path)), cases_(cases) {
  block_cases_ = block_cases_of(cases);
  const std::uint64_t blocks = (cases + block_cases_ - 1) / block_cases_;
  offsets_.assign(blocks, 0);
  sizes_.assign(blocks, 0);
}

Journal::Journal(Journal&& other) noexcept
    : path_(std::move(other.path_)),
      fd_(std::exchange(other.fd_, -1)),
      cases_(other.cases_),
      block_cases_(other.block_cases_),
      cases_done_(other.cases_done_),
      end_(other.end_),
      offsets_(std::move(other.offsets_)),
      sizes_(std::move(other.sizes_)) {}

Journal::~Journal() {
  if (fd_ >= 0) ::close(fd_);
}

void Journal::open(int flags) {
  fd_ = ::open(path_.c_str(), O_RDWR | O_CLOEXEC | flags, 0644);
  if (fd_ < 0 && errno == EEXIST)
    throw core::IoError(path_,
                        "an unfinished study lies here: --resume goes on with it, --force "
                        "begins anew");
  if (fd_ < 0 && errno == ENOENT && (flags & O_CREAT) == 0)
    throw core::IoError(path_, "no unfinished study lies here: leave --resume out");
  if (fd_ < 0) throw core::IoError(path_, "cannot be opened: " + error_text());
  if (::flock(fd_, LOCK_EX | LOCK_NB) != 0)
    throw core::IoError(path_, "another run is at work on it");
}

Journal Journal::start(const std::string& path, const Identity& identity, std::uint64_t cases) {
  Journal j(path, cases);
  j.open(O_CREAT | O_EXCL);
  try {
    j.write(head_of(joined(identity)));
  } catch (const core::IoError&) {
    j.remove();  // without its head it is no journal
    throw;
  }
  return j;
}

Journal Journal::resume(const std::string& path, const Identity& identity, std::uint64_t cases) {
  Journal j(path, cases);
  j.open(0);
  j.read_head(identity);
  j.find_blocks();
  return j;
}

void Journal::read_head(const Identity& identity) {
  const std::string whole = head_of(joined(identity));
  const std::uint64_t there = size_of(fd_);
  if (there < whole.size() && whole.starts_with(read_at(fd_, 0, there)))
    return write(whole);  // ended while it began
  const std::string start = read_at(fd_, 0, kMagicSize + 8);
  std::size_t at = kMagicSize;
  const auto size = take<std::uint64_t>(start, at);
  const auto broken = [&] {
    return core::InputError({path_, 0, 0, "", "is not an unfinished study, or its head is broken",
                             "--force begins anew"});
  };
  if (start.size() < at || start.compare(0, kMagicSize, kMagic) != 0 || size > size_of(fd_))
    throw broken();
  const std::string text = read_at(fd_, at, size), sum = read_at(fd_, at + size, kSum);
  if (core::sha256_hex(text) != sum) throw broken();
  if (text != joined(identity)) throw of_another_study(path_, lines_of(text), identity);
  end_ = at + size + kSum;
}

void Journal::find_blocks() {
  const std::uint64_t size = size_of(fd_);
  while (end_ + 16 <= size) {
    const std::string head = read_at(fd_, end_, 16);
    std::size_t at = 0;
    const auto block = take<std::uint64_t>(head, at), bytes = take<std::uint64_t>(head, at);
    if (head.size() < 16 || block >= offsets_.size() || bytes > size ||
        end_ + 16 + bytes + kSum > size)
      break;
    const std::string payload = read_at(fd_, end_ + 16, bytes);
    if (core::sha256_hex(head + payload) != read_at(fd_, end_ + 16 + bytes, kSum)) break;
    if (offsets_[block] == 0) cases_done_ += cases_of(block);
    offsets_[block] = end_ + 16;
    sizes_[block] = bytes;
    end_ += 16 + bytes + kSum;
  }
  if (end_ < size && ::ftruncate(fd_, static_cast<off_t>(end_)) != 0)
    throw core::IoError(path_, "cannot be shortened to its last whole block: " + error_text());
}

void Journal::write(const std::string& bytes) {
  std::size_t done = 0;
  while (done < bytes.size()) {
    const ssize_t n =
        ::pwrite(fd_, bytes.data() + done, bytes.size() - done, static_cast<off_t>(end_ + done));
    if (n < 0 && errno == EINTR) continue;
    if (n <= 0) break;
    done += static_cast<std::size_t>(n);
  }
  if (done < bytes.size() || ::fsync(fd_) != 0) {
    const std::string why = error_text();
    // What is half written would be cut off by the next run as well.
    if (::ftruncate(fd_, static_cast<off_t>(end_)) != 0) errno = 0;
    throw core::IoError(path_, fmt::format("cannot be written: {}; the {} cases before are kept, "
                                           "--resume goes on from there",
                                           why, cases_done_));
  }
  end_ += bytes.size();
}

std::size_t Journal::cases_of(std::uint64_t block) const {
  return static_cast<std::size_t>(std::min(block_cases_, cases_ - block * block_cases_));
}

void Journal::append(std::uint64_t block, std::span<const CaseAnswer> answers) {
  const std::string payload = bytes_of(answers);
  std::string head;
  put<std::uint64_t>(head, block);
  put<std::uint64_t>(head, payload.size());
  const std::uint64_t at = end_ + head.size();
  write(head + payload + core::sha256_hex(head + payload));
  offsets_[block] = at;
  sizes_[block] = payload.size();
  cases_done_ += answers.size();
}

std::vector<CaseAnswer> Journal::read(std::uint64_t block) const {
  const std::string payload = read_at(fd_, offsets_[block], sizes_[block]);
  if (payload.size() != sizes_[block]) throw core::IoError(path_, "cannot be read back");
  return answers_of(payload, cases_of(block));
}

void Journal::remove() {
  ::unlink(path_.c_str());
}

}  // namespace cabinload::study
