// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/core/schedule.hpp>
#include <cabinload/core/sha256.hpp>
#include <cabinload/core/version.hpp>
#include <string>

#include "support/catch.hpp"

namespace core = cabinload::core;
using cabinload::test::contains;

TEST_CASE("core: dates go to the day of the year and back", "[core][property]") {
  for (int i = 0; i < core::kDaysInYear; ++i) CHECK(core::day_index(core::date_of(i)) == i);
  CHECK(core::day_index({3, 1}) == 59);
  CHECK(core::date_of(365) == core::Date{1, 1});
  CHECK(core::date_of(-1) == core::Date{12, 31});
  CHECK(core::iso_text({7, 4}) == "07-04");
  CHECK(core::long_text({7, 4}) == "4 July");
}

TEST_CASE("core: dates are read as people write them", "[core][unit]") {
  const core::Date wanted{7, 14};
  for (const char* text : {"07-14", "7-14", "2024-07-14", "14 July", "Jul 14", "july 14"})
    CHECK(core::parse_date(text) == wanted);
  for (const char* leap : {"02-29", "2024-02-29", "29 Feb"})
    CHECK_THROWS_WITH(core::parse_date(leap),
                      contains("not in a year of 365 days") && contains("02-28 or 03-01"));
  for (const char* text : {"", "July", "13-01", "02-30", "0-5", "14", "Foo 3", "07-32"}) {
    INFO(text);
    CHECK_THROWS_WITH(core::parse_date(text), contains("07-14"));
  }
}

TEST_CASE("core: clocks wrap and round down", "[core][unit]") {
  CHECK(core::clock_text(0) == "00:00");
  CHECK(core::clock_text(86399) == "23:59");
  CHECK(core::clock_text(-3600) == "23:00");
  CHECK(core::clock_text(23 * 3600 + 599.9) == "23:09");
}

TEST_CASE("core: hours of the day pass midnight, start in and end out", "[core][unit]") {
  const auto night = core::DaySchedule::parse("22:00-07:00, 12:30-14");
  CHECK(night.active(22 * 3600.0));
  CHECK(night.active(86400.0 * 5 + 3600));
  CHECK_FALSE(night.active(7 * 3600.0));
  CHECK(night.active(7 * 3600.0 - 1));
  CHECK(night.active(-3600.0));
  CHECK_FALSE(night.active(12 * 3600.0));
  CHECK_WITHIN(night.hours(), 10.5, 1e-12);
  CHECK(core::DaySchedule::parse(night.text()).text() == night.text());
  CHECK(core::DaySchedule::parse("always").hours() == 24);
  CHECK(core::DaySchedule::parse("never").empty());
  CHECK(core::DaySchedule::parse("00:00-24:00").text() == "always");
}

TEST_CASE("core: hours that cannot be read say how to write them", "[core][unit]") {
  for (const char* text :
       {"22:00", "25:00-07:00", "22:00-22:00", "a-b", "22:00-07:60", "22:00-07:0", "8-9,"}) {
    INFO(text);
    CHECK_THROWS_WITH(core::DaySchedule::parse(text), contains("22:00-07:00"));
  }
}

TEST_CASE("core: the nearest name is suggested, a far one is not", "[core][unit]") {
  const std::vector<std::string> names = {"insulation", "paint", "body", "heading"};
  CHECK(core::nearest_name("insulaton", names) == "insulation");
  CHECK(core::nearest_name("pant", names) == "paint");
  CHECK(core::nearest_name("insul", names) == "insulation");
  CHECK(core::nearest_name("uncertainty.leak", {"uncertainty.seed", "uncertainty.leakage"}) ==
        "uncertainty.leakage");
  CHECK(core::nearest_name("zebra-crossing", names).empty());
}

TEST_CASE("core: an input problem names place, key, value and remedy", "[core][unit]") {
  const core::InputProblem p{"case.toml",   12, 9, "roof.area", "'-2 m2' must be above 0",
                             "leave it out"};
  CHECK(p.text() ==
        "case.toml:12:9: error: roof.area: '-2 m2' must be above 0\n  hint: leave it out");
  const core::InputError both({p, {"", 0, 0, "", "second", ""}});
  CHECK(both.problems().size() == 2);
  CHECK_THAT(both.what(), contains("error: second"));
  CHECK(std::string(core::IoError("a.h5", "exists").what()) == "a.h5: error: exists");
}

TEST_CASE("core: SHA-256 gives the standard's examples", "[core][table]") {
  // FIPS 180-4 examples: one block, two blocks, empty; a million 'a' from the standard's long
  // message.
  CHECK(core::sha256_hex("abc") ==
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(core::sha256_hex("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  CHECK(core::sha256_hex("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  CHECK(core::sha256_hex(std::string(1000000, 'a')) ==
        "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("core: the program knows its version", "[core][unit]") {
  CHECK(std::string(core::program_version()).find('.') != std::string::npos);
  CHECK_FALSE(std::string(core::git_revision()).empty());
}
