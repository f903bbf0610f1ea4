// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/error.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <cabinload/weather/typed_day.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "support/catch.hpp"
#include "support/weather_writer.hpp"

namespace core = cabinload::core;
namespace test = cabinload::test;
namespace weather = cabinload::weather;

namespace {

const std::string& epw() {
  static const std::string text =
      test::as_epw(weather::read(weather::shipped_folder() + "/722740TYA.CSV"));
  return text;
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

std::string cut_lines(const std::string& text, std::size_t keep) {
  std::size_t at = 0;
  for (std::size_t i = 0; i < keep; ++i) at = text.find('\n', at) + 1;
  return text.substr(0, at);
}

}  // namespace

TEST_CASE("weather: files that cannot be read say why", "[weather][unit]") {
  CHECK_THROWS_AS(weather::read("no-such-file.epw"), core::IoError);
  CHECK_THROWS_WITH(weather::read("no-such-file.epw"), test::contains("No such file"));
  CHECK_THROWS_WITH(weather::read("."), test::contains("this is a directory"));
  CHECK_THROWS_WITH(weather::read_text("", "a.epw"),
                    test::contains("a.epw: error: the file is empty"));
  CHECK_THROWS_WITH(weather::read_text("\n\n", "a.epw"), test::contains("empty"));
  CHECK_THROWS_WITH(weather::read_text(std::string("\x89HDF\r\n\x1a\n\0\0\0", 11), "a.epw"),
                    test::contains("binary"));
  CHECK_THROWS_WITH(weather::read_text("hour;temperature\n1;20\n", "a.csv"),
                    test::contains("format is not known") && test::contains("LOCATION,"));
}

TEST_CASE("weather: broken rows are named by line, column and quantity", "[weather][unit]") {
  CHECK_THROWS_WITH(weather::read_text(replaced(epw(), "?9?9,7.20", "?9?9,warm"), "a.epw"),
                    test::contains("a.epw:9:7: error: dry bulb: 'warm' is not a number"));
  CHECK_THROWS_WITH(weather::read_text(replaced(epw(), "?9?9,7.20", "?9?9,nan"), "a.epw"),
                    test::contains("not a number"));
  CHECK_THROWS_WITH(weather::read_text(epw().substr(0, epw().size() - 60), "a.epw"),
                    test::contains("a.epw:8768") && test::contains("cut off"));
  CHECK_THROWS_WITH(weather::read_text(cut_lines(epw(), 8767), "a.epw"),
                    test::contains("8759 hourly rows") && test::contains("31 December, hour 24"));
  CHECK_THROWS_WITH(weather::read_text(replaced(epw(), ",1,1,2,60", ",1,1,1,60"), "a.epw"),
                    test::contains("stands already in line 9"));
  CHECK_THROWS_WITH(weather::read_text(replaced(epw(), ",1,1,2,60", ",1,32,2,60"), "a.epw"),
                    test::contains("does not exist"));
  // Pressure and humidity swapped: 926 hPa where % belongs is not read, 50 where Pa belongs is.
  CHECK_THROWS_WITH(weather::read_text(replaced(epw(), ",50,92600,", ",92600,50,"), "a.epw"),
                    test::contains("pressure") && test::contains("columns may be swapped"));
  CHECK_THROWS_WITH(weather::read_text(replaced(epw(), "LOCATION,Somewhere,-,Land,Test,000000,",
                                                "LOCATION,Somewhere,"),
                                       "a.epw"),
                    test::contains("LOCATION"));
  CHECK_THROWS_WITH(weather::read_text(replaced(epw(), "DATA PERIODS", "DATA"), "a.epw"),
                    test::contains("eight header lines"));
}

TEST_CASE("weather: rows out of order are sorted by date and remarked", "[weather][unit]") {
  const std::size_t a = epw().find("\n", epw().find("DATA PERIODS")) + 1,
                    b = epw().find('\n', a) + 1, c = epw().find('\n', b) + 1;
  const std::string swapped =
      epw().substr(0, a) + epw().substr(b, c - b) + epw().substr(a, b - a) + epw().substr(c);
  const auto s = weather::read_text(swapped, "a.epw");
  CHECK(s.T_dry_K == weather::read_text(epw(), "b").T_dry_K);
  bool told = false;
  for (const auto& r : s.remarks)
    told = told || r.text.find("not in the order of time") != std::string::npos;
  CHECK(told);
}

TEST_CASE("weather: every prefix of a file ends in an error, never in a crash",
          "[weather][property]") {
  for (std::size_t length = 0; length < 4000; length += 37)
    CHECK_THROWS_AS(weather::read_text(epw().substr(0, length), "a"), core::Error);
  const std::string psm =
      test::as_psm(weather::read(weather::shipped_folder() + "/722740TYA.CSV"), false);
  for (std::size_t length = 0; length < 1500; length += 13)
    CHECK_THROWS_AS(weather::read_text(psm.substr(0, length), "a"), core::Error);
}

TEST_CASE("weather: a TMY3 file from which a column was cut is refused by its name",
          "[weather][unit]") {
  std::ifstream in(weather::shipped_folder() + "/722740TYA.CSV");
  std::ostringstream whole;
  whole << in.rdbuf();
  CHECK_THROWS_WITH(weather::read_text(replaced(whole.str(), "Wspd (m/s),", ""), "a.csv"),
                    test::contains("a.csv:2:47: error: Wspd: there is no such column"));
}

TEST_CASE("weather: PSM files lacking a column or in half hours are refused by name",
          "[weather][unit]") {
  const std::string psm =
      test::as_psm(weather::read(weather::shipped_folder() + "/722740TYA.CSV"), false);
  CHECK_THROWS_WITH(
      weather::read_text(replaced(psm, "Dew Point,Pressure", "Dew,Pressure"), "p.csv"),
      test::contains("p.csv:3") && test::contains("Dew Point"));
  CHECK_THROWS_WITH(weather::read_text(replaced(psm, ",1,1,1,30,", ",1,1,0,59,"), "p.csv"),
                    test::contains("60 min interval"));
  CHECK_THROWS_WITH(weather::read_text(replaced(psm, ",c,mbar,", ",f,mbar,"), "p.csv"),
                    test::contains("Temperature Units"));
}

TEST_CASE("weather: a typed day meets its high and low", "[weather][unit]") {
  weather::TypedDay day;
  day.T_high_K = 311.15;
  day.T_low_K = 295.15;
  day.T_dew_K = 288.15;
  day.latitude_rad = 0.6;
  const auto s = weather::make(day);
  REQUIRE(s.hours() == 24);
  CHECK_WITHIN(*std::max_element(s.T_dry_K.begin(), s.T_dry_K.end()), 311.15, 1e-9);
  CHECK_WITHIN(*std::min_element(s.T_dry_K.begin(), s.T_dry_K.end()), 295.15, 1e-9);
  CHECK(std::max_element(s.T_dry_K.begin(), s.T_dry_K.end()) - s.T_dry_K.begin() == 14);
  const double clear = *std::max_element(s.ghi_W_m2.begin(), s.ghi_W_m2.end());
  CHECK(clear > 850);
  CHECK(clear < 1100);
  day.sky = weather::TypedDay::Sky::cloudy;
  const auto cloudy = weather::make(day);
  CHECK(*std::max_element(cloudy.ghi_W_m2.begin(), cloudy.ghi_W_m2.end()) < 0.6 * clear);
  CHECK(*std::max_element(cloudy.dni_W_m2.begin(), cloudy.dni_W_m2.end()) == 0);
  day.T_low_K = 320;
  CHECK_THROWS_WITH(weather::make(day), test::contains("low is above its high"));
  day = {};
  day.T_high_K = day.T_low_K = 300;
  day.T_dew_K = 301;
  CHECK_THROWS_WITH(weather::make(day), test::contains("dew point"));
  day.T_dew_K = 280;
  day.latitude_rad = 2;
  CHECK_THROWS_WITH(weather::make(day), test::contains("latitude"));
}

TEST_CASE("weather: the extreme days are extreme and name their source", "[weather][unit]") {
  REQUIRE(weather::extreme_days().size() == 2);
  for (const auto& named : weather::extreme_days()) {
    const auto s = weather::make(named.day);
    CHECK(*std::max_element(s.T_dry_K.begin(), s.T_dry_K.end()) >= core::to_kelvin(40));
    CHECK_FALSE(named.source.empty());
  }
}

TEST_CASE("weather: the folder of shipped years can be moved, and its absence is told",
          "[weather][unit]") {
  const std::string real = weather::shipped_folder();
  ::setenv("CABINLOAD_WEATHER", real.c_str(), 1);
  CHECK(weather::shipped_folder() == real);
  ::setenv("CABINLOAD_WEATHER", "/no/such/folder", 1);
  CHECK(weather::shipped_folder() == real);  // falls back to the source tree it was built from
  ::unsetenv("CABINLOAD_WEATHER");
}
