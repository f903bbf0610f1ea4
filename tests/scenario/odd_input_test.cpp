// SPDX-License-Identifier: Apache-2.0
// Input that is no error but hardly what was meant: told with file, line and key.
#include "support/catch.hpp"
#include "support/scenario_text.hpp"

namespace scenario = cabinload::scenario;
using cabinload::test::contains;
using cabinload::test::read_text;
using cabinload::test::refusal;
using cabinload::test::warnings_of;

TEST_CASE("scenario: dates that are none, or half of one, are said (#6)", "[scenario][unit]") {
  for (const char* key :
       {"[night]\nfrom", "[night]\nto", "weather.high = \"38 degC\"\nweather.date"})
    for (const char* figure : {"7.14", "714", "7.10"}) {
      INFO(key << " = " << figure);
      CHECK_THAT(
          refusal(std::string(key) + " = " + figure + "\n"),
          contains("case.toml:2") && contains("is a number, not a date") && contains("07-14"));
    }
  // A date of TOML's own has a year, which a typical year has not.
  for (const char* date : {"2025-07-14", "\"2025-07-14\""}) {
    const std::string text = std::string("[night]\nfrom = ") + date + "\n";
    CHECK_THAT(warnings_of(text), contains("case.toml:2: night.from: the year 2025 is not used") &&
                                      contains("14 July"));
    CHECK(read_text(text).night.from == cabinload::core::Date{7, 14});
  }
  CHECK_THAT(warnings_of("[night]\nfrom = \"07-14\"\n"), !contains("night.from"));
  for (const char* leap : {"\"02-29\"", "2024-02-29"})
    CHECK_THAT(refusal(std::string("[night]\nto = ") + leap + "\n"),
               contains("case.toml:2") && contains("night.to") &&
                   contains("not in a year of 365 days") && contains("03-01"));
}

TEST_CASE("scenario: empty hours and empty braces are told (#6)", "[scenario][unit]") {
  CHECK_THAT(warnings_of("[unit]\non = \"\"\n"),
             contains("case.toml:2: unit.on: '' is taken as never") && contains("22:00-07:00"));
  CHECK_THAT(warnings_of("[unit]\non = \"never\"\n"), !contains("taken as never"));
  CHECK_THAT(warnings_of("battery = {}\n"),
             contains("case.toml:1: battery: '{}' is empty and changes nothing"));
  CHECK_THAT(warnings_of("vehicle = {}\nunit = {}\n"),
             contains("case.toml:1: vehicle") && contains("case.toml:2: unit"));
  // A heading without keys is what `new` writes; one person, or shore, is there by being named.
  for (const char* fine : {"[battery]\n", "person = {}\n", "shore = {}\n", "[[person]]\n"}) {
    INFO(fine);
    CHECK_THAT(warnings_of(fine), !contains("is empty"));
  }
  CHECK_THAT(refusal("[battery]\ncapacity = {}\n"),
             contains("case.toml:2") && contains("battery.capacity") && contains("2.4 kWh"));
}

TEST_CASE("scenario: a dew point above the low is told, above the high refused (#6)",
          "[scenario][unit]") {
  const std::string day = "weather = { high = \"38 degC\", low = \"20 degC\", dew_point = ";
  CHECK_THAT(
      warnings_of(day + "\"25 degC\" }\n"),
      contains("case.toml:1: weather.dew_point: 25.0 °C is above the day's low of 20.0 °C") &&
          contains("saturated"));
  CHECK_THAT(warnings_of(day + "\"15 degC\" }\n"), !contains("dew_point"));
  CHECK_THAT(refusal(day + "\"39 degC\" }\n"), contains("the dew point is above the day's high"));
}

TEST_CASE("scenario: a key of another table is told those of its own; no roof of no length (#6)",
          "[scenario][unit]") {
  CHECK_THAT(refusal("[battery]\nvolume = \"100 Ah\"\n"),
             contains("case.toml:2:10: error: battery.volume: this key is not known") &&
                 contains("[battery] has: chemistry, volts, capacity"));
  CHECK_THAT(refusal("[roof]\nlength = 0\n"),
             contains("case.toml:2") && contains("roof.length: '0' has no unit"));
  CHECK_THAT(refusal("[roof]\nlength = \"0 m\"\n"),
             contains("roof.length: '0 m' is out of range, must be 0.5 m to 30 m"));
}

TEST_CASE("scenario: a value that would fill the screen is cut in its message (#6)",
          "[scenario][unit]") {
  const std::string text = refusal("[vehicle]\nbody = \"" + std::string(5000, 'x') + "end\"\n");
  CHECK(text.size() < 1000);
  CHECK_THAT(text, contains("'xxx") && contains(" ... ") && contains("end' is not known") &&
                       contains("medium-van"));
  // Not within a character.
  std::string wide;
  for (int i = 0; i < 2000; ++i) wide += "ü";
  const std::string cut = refusal("[vehicle]\nbody = \"" + wide + "\"\n");
  for (std::size_t i = 0; i + 1 < cut.size(); ++i)
    if (static_cast<unsigned char>(cut[i]) == 0xC3)
      CHECK(static_cast<unsigned char>(cut[i + 1]) == 0xBC);
}

TEST_CASE("scenario: a cap below what the unit can go down to is told with both (#6)",
          "[scenario][unit]") {
  CHECK_THAT(warnings_of("[unit]\npower_cap = \"100 W\"\n"),
             contains("unit.power_cap: 100 W is less than the unit draws at its slowest, 2"));
  CHECK_THAT(warnings_of("[unit]\npower_cap = \"400 W\"\n"), !contains("power_cap"));
  CHECK_THAT(warnings_of("[unit]\nspeed_cap = 0.2\n"),
             contains("unit.speed_cap: 20 % is below the slowest compressor speed, 40 %"));
  CHECK_THAT(warnings_of("[unit]\nquiet_speed_cap = 0.2\n"),
             !contains("speed_cap"));  // no quiet hours
  CHECK_THAT(warnings_of("[unit]\nquiet_speed_cap = 0.2\nquiet = \"23:00-06:00\"\n"),
             contains("unit.quiet_speed_cap: 20 %"));
}

TEST_CASE("scenario: a window hardly used and a refrigerator like a cooker are told",
          "[scenario][unit]") {
  CHECK_THAT(warnings_of("[battery]\ncut_off = \"90 %\"\n"),
             contains("case.toml:2: battery.cut_off: only 10 % of the capacity is used"));
  CHECK_THAT(warnings_of("[battery]\ncharged_to = \"35 %\"\n"), contains("battery.charged_to"));
  CHECK_THAT(warnings_of("[battery]\ncut_off = \"70 %\"\n"), !contains("is used"));
  CHECK_THAT(warnings_of("[[appliance]]\nkind = \"refrigerator\"\npower = \"5 kW\"\n"),
             contains("case.toml:3: appliance[0].power: 5000 W is much for a refrigerator"));
  CHECK_THAT(warnings_of("[[appliance]]\nkind = \"refrigerator\"\npower = \"90 W\"\n"),
             !contains("much for"));
  CHECK_THAT(warnings_of("[[appliance]]\npower = \"5 kW\"\n"), !contains("much for"));
}
