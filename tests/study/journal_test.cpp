// SPDX-License-Identifier: Apache-2.0
#include <cabinload/study/journal.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>

#include "support/catch.hpp"
#include "support/error_of.hpp"
#include "support/temporary_path.hpp"

namespace fs = std::filesystem;
namespace study = cabinload::study;
using cabinload::test::contains;
using cabinload::test::error_of;
using cabinload::test::TemporaryPath;

namespace {

constexpr std::uint64_t kBlock = 4;
constexpr std::uint64_t kCases = 11;  // blocks of 4, 4 and 3
const study::Journal::Identity kIdentity = {"program = 1", "battery.capacity = 2.4 kWh"};

std::vector<study::CaseAnswer> answers(std::uint64_t first, std::size_t count) {
  std::vector<study::CaseAnswer> list(count);
  for (std::size_t i = 0; i < count; ++i) {
    list[i].values.fill(static_cast<double>(first + i) + 0.125);
    if ((first + i) % 5 == 4) {
      list[i].values.fill(std::nan(""));
      list[i].failed = "case " + std::to_string(first + i);
    }
  }
  return list;
}

void check_block(const study::Journal& j, std::uint64_t block) {
  REQUIRE(j.has(block));
  const auto got = j.read(block), want = answers(block * kBlock, j.cases_of(block));
  REQUIRE(got.size() == want.size());
  for (std::size_t i = 0; i < got.size(); ++i) {
    CHECK(got[i].failed == want[i].failed);
    CHECK((got[i].values == want[i].values || !want[i].failed.empty()));
  }
}

}  // namespace

TEST_CASE("study: a journal gives back what it keeps, whatever the order", "[study][unit]") {
  const TemporaryPath place;
  auto j = study::Journal::start(place.string(), kIdentity, kCases);
  REQUIRE(j.blocks() == 3);
  CHECK(j.cases_of(2) == 3);
  for (const std::uint64_t block : {1, 2, 0})
    j.append(block, answers(block * kBlock, j.cases_of(block)));
  CHECK(j.cases_done() == kCases);
  for (const std::uint64_t block : {0, 1, 2}) check_block(j, block);
}

TEST_CASE("study: blocks are small while they are few", "[study][unit]") {
  const auto size = [](std::uint64_t cases) { return study::Journal::block_cases_of(cases); };
  CHECK(size(1) == 4);
  CHECK(size(512) == 4);
  CHECK(size(1000) == 8);
  CHECK(size(3585) == 32);
  CHECK(size(100000) == 32);
  for (const std::uint64_t cases : {2097153ULL, 1000000000ULL}) {
    CHECK(size(cases) % 32 == 0);
    CHECK(cases / size(cases) <= 65536);
    CHECK(cases / size(cases) > 30000);
  }
}

TEST_CASE("study: a journal cut anywhere keeps its whole blocks", "[study][property]") {
  const TemporaryPath place;
  const std::string path = place.string();
  std::uintmax_t head = 0, one = 0, size = 0;
  {
    auto j = study::Journal::start(path, kIdentity, kCases);
    head = fs::file_size(path);
    j.append(1, answers(kBlock, kBlock));
    one = fs::file_size(path);
    j.append(0, answers(0, kBlock));
    size = fs::file_size(path);
  }
  std::ifstream in(path, std::ios::binary);
  const std::string whole((std::istreambuf_iterator<char>(in)), {});
  for (std::uintmax_t cut = 0; cut <= size; cut += cut < head ? 1 : 97) {
    std::ofstream(path, std::ios::binary | std::ios::trunc)
        .write(whole.data(), static_cast<std::streamsize>(cut));
    const auto j = study::Journal::resume(path, kIdentity, kCases);
    CHECK(j.has(1) == (cut >= one));
    CHECK(j.has(0) == (cut >= size));
    CHECK(fs::file_size(path) == (cut >= size ? size : cut >= one ? one : head));
    if (cut >= one) check_block(j, 1);
  }
  std::string broken = whole;  // a bit that fell over in the second block
  broken[one + 100] ^= 1;
  std::ofstream(path, std::ios::binary | std::ios::trunc) << broken;
  const auto j = study::Journal::resume(path, kIdentity, kCases);
  CHECK((j.has(1) && !j.has(0)));
}

TEST_CASE("study: a journal of another study is refused, with what differs", "[study][unit]") {
  const TemporaryPath place;
  const std::string path = place.string();
  CHECK_THAT(error_of([&] { (void)study::Journal::resume(path, kIdentity, kCases); }),
             contains("no unfinished study"));
  { auto j = study::Journal::start(path, kIdentity, kCases); }
  CHECK_THAT(
      error_of([&] {
        (void)study::Journal::resume(path, {"program = 1", "battery.capacity = 3 kWh"}, kCases);
      }),
      contains("now battery.capacity = 3 kWh") && contains("then battery.capacity = 2.4 kWh"));
  CHECK_THAT(error_of([&] { (void)study::Journal::start(path, kIdentity, kCases); }),
             contains("--resume"));
  fs::resize_file(path, fs::file_size(path) - 70);  // cut in its head, and not of this study
  CHECK_THAT(error_of([&] { (void)study::Journal::resume(path, {"program = 2"}, kCases); }),
             contains("head is broken"));
  {
    const auto open = study::Journal::resume(path, kIdentity, kCases);
    CHECK_THAT(error_of([&] { (void)study::Journal::resume(path, kIdentity, kCases); }),
               contains("another run"));
  }
  std::ofstream(path, std::ios::binary | std::ios::trunc) << "something else";
  CHECK_THAT(error_of([&] { (void)study::Journal::resume(place.string(), kIdentity, kCases); }),
             contains("is not an unfinished study, or its head is broken"));
}
