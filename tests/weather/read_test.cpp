// SPDX-License-Identifier: Apache-2.0
#include <toml++/toml.h>
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/core/sha256.hpp>
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>
#include <cabinload/weather/stretch.hpp>
#include <cmath>
#include <fstream>
#include <sstream>

#include "support/catch.hpp"
#include "support/weather_writer.hpp"

namespace core = cabinload::core;
namespace test = cabinload::test;
namespace weather = cabinload::weather;
using weather::Series;

namespace {

std::string bytes_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

std::string shipped(const char* file) {
  return weather::shipped_folder() + "/" + file;
}

const Series& tucson() {
  static const Series s = weather::read(shipped("722740TYA.CSV"));
  return s;
}

/// Largest difference over all rows; NaN where one has a value and the other has none.
double worst(const std::vector<double>& a, const std::vector<double>& b) {
  if (a.size() != b.size()) return std::nan("");
  double w = 0;
  for (std::size_t i = 0; i < a.size(); ++i) w = std::max(w, std::abs(a[i] - b[i]));
  return w;
}

void check_same(const Series& a, const Series& b, double T_K, double sun_W_m2) {
  CHECK(worst(a.T_dry_K, b.T_dry_K) <= T_K);
  CHECK(worst(a.T_dew_K, b.T_dew_K) <= T_K);
  CHECK(worst(a.p_Pa, b.p_Pa) <= 51);
  CHECK(worst(a.wind_m_s, b.wind_m_s) <= 0.051);
  CHECK(worst(a.ghi_W_m2, b.ghi_W_m2) <= sun_W_m2);
  CHECK(worst(a.dni_W_m2, b.dni_W_m2) <= sun_W_m2);
  CHECK(worst(a.dhi_W_m2, b.dhi_W_m2) <= sun_W_m2);
  CHECK_WITHIN(a.place.latitude_rad, b.place.latitude_rad, 0.0002);
  CHECK_WITHIN(a.place.longitude_rad, b.place.longitude_rad, 0.0002);
}

/// Replaces line `number` (from 1).
std::string with_line(const std::string& text, std::size_t number, const std::string& line) {
  std::size_t at = 0;
  for (std::size_t i = 1; i < number; ++i) at = text.find('\n', at) + 1;
  return text.substr(0, at) + line + text.substr(text.find('\n', at));
}

std::string line_of(const std::string& text, std::size_t number) {
  std::size_t at = 0;
  for (std::size_t i = 1; i < number; ++i) at = text.find('\n', at) + 1;
  return text.substr(at, text.find('\n', at) - at);
}

}  // namespace

TEST_CASE("weather: shipped files are what the manifest says", "[weather][golden]") {
  const auto manifest = toml::parse_file(weather::shipped_folder() + "/manifest.toml");
  const auto& years = *manifest["year"].as_array();
  REQUIRE(years.size() == weather::shipped_years().size());
  for (std::size_t i = 0; i < years.size(); ++i) {
    const auto& row = *years[i].as_table();
    const auto& ours = weather::shipped_years()[i];
    CHECK(row["key"].value<std::string>() == ours.key);
    CHECK(row["file"].value<std::string>() == ours.file);
    CHECK(row["place"].value<std::string>() == ours.place);
    const std::string bytes = bytes_of(shipped(ours.file.c_str()));
    CHECK(row["bytes"].value<int64_t>() == static_cast<int64_t>(bytes.size()));
    CHECK(row["sha256"].value<std::string>() == core::sha256_hex(bytes));
  }
}

TEST_CASE("weather: every shipped year reads without a gap and names its format",
          "[weather][unit]") {
  for (const auto& year : weather::shipped_years()) {
    const Series s = weather::read(shipped(year.file.c_str()));
    INFO(year.key);
    CHECK(s.hours() == 8760);
    CHECK(s.format == (year.key == "miami" ? weather::Format::tmy2 : weather::Format::tmy3));
    CHECK(s.state_offset_s == 3600);
    CHECK(s.radiation_offset_s == 0);
    CHECK(s.sha256.size() == 64);
    for (std::size_t k = 0; k < 8760; ++k) {
      if (!(s.T_dew_K[k] <= s.T_dry_K[k]) ||
          !std::isfinite(s.p_Pa[k] + s.wind_m_s[k] + s.ghi_W_m2[k] + s.dni_W_m2[k] + s.dhi_W_m2[k]))
        FAIL("row " << k);
    }
  }
  // First rows as printed in the files.
  CHECK_WITHIN(core::to_celsius(tucson().T_dry_K[0]), 7.2, 1e-9);
  CHECK_WITHIN(core::to_celsius(tucson().T_dew_K[0]), 3.3, 1e-9);
  CHECK_WITHIN(tucson().p_Pa[0], 92600, 1e-6);
  CHECK(tucson().place.time_zone_h == -7);
  const Series alaska = weather::read(shipped("703165TY.csv"));  // 68 columns, -9900 for unknown
  CHECK_WITHIN(core::to_celsius(alaska.T_dry_K[0]), 4.0, 1e-9);
}

TEST_CASE("weather: the same year in other formats gives the same series", "[weather][property]") {
  const Series& s = tucson();
  SECTION("EPW, also with Windows line ends and a byte-order mark") {
    const Series epw = weather::read_text(test::as_epw(s), "any-name.txt");
    CHECK(epw.format == weather::Format::epw);
    check_same(s, epw, 0.0051, 0.51);
    CHECK(epw.state_offset_s == s.state_offset_s);
    CHECK(epw.radiation_offset_s == s.radiation_offset_s);
    const Series windows = weather::read_text("\xEF\xBB\xBF" + test::as_epw(s, "\r\n"), "x");
    CHECK(worst(windows.T_dry_K, epw.T_dry_K) == 0);
  }
  SECTION("TMY2") {
    const Series tmy2 = weather::read_text(test::as_tmy2(s), "x");
    CHECK(tmy2.format == weather::Format::tmy2);
    check_same(s, tmy2, 0.051, 0.51);
  }
  SECTION("PSM, in local time and in UTC") {
    for (const bool utc : {false, true}) {
      const Series psm = weather::read_text(test::as_psm(s, utc), "x");
      INFO("utc " << utc);
      CHECK(psm.format == weather::Format::psm);
      check_same(s, psm, 0.0051, 0.51);
      CHECK(psm.state_offset_s == 1800);
      CHECK(psm.radiation_offset_s == 0);  // an instant at minute 30 stands for its hour
      CHECK(psm.place.time_zone_h == -7);
    }
  }
  SECTION("the European archive's CSV, in UTC with late sun") {
    const Series pvgis = weather::read_text(test::as_pvgis(s, 0.1761), "x");
    CHECK(pvgis.format == weather::Format::pvgis);
    check_same(s, pvgis, 0.06, 0.051);  // through relative humidity with four decimals
    CHECK(pvgis.state_offset_s == 0);
    CHECK_WITHIN(pvgis.radiation_offset_s, 0.1761 * 3600 - 1800, 1e-6);
    CHECK(pvgis.place.time_zone_h == -7);
  }
}

TEST_CASE("weather: an EPW of instants is timed by its comment", "[weather][unit]") {
  const std::string epw =
      with_line(test::as_epw(tucson()), 7, "COMMENTS 2,Irradiance Time Offset (h):-0.8239");
  const Series s = weather::read_text(epw, "x");
  CHECK_WITHIN(s.radiation_offset_s, 3600 + 0.1761 * 3600 - 1800, 1e-6);
  CHECK_THAT(s.time_convention, test::contains("10.6 min after"));
}

TEST_CASE("weather: 32-field EPW rows and 29 February are understood", "[weather][unit]") {
  std::string epw = test::as_epw(tucson());
  const std::string row = line_of(epw, 9);
  std::size_t commas = 0, at = 0;
  while (commas < 32) commas += row[at++] == ',' ? 1 : 0;
  epw = with_line(epw, 9, row.substr(0, at - 1));
  CHECK(std::isnan(weather::read_text(epw, "x").albedo_1[0]));
  std::string leap = epw;
  const std::size_t march = leap.find("\n", leap.find(",2,28,24,")) + 1;
  std::string day;
  for (int h = 1; h <= 24; ++h)
    day += "2004,2,29," + std::to_string(h) +
           leap.substr(leap.find(",60,?9?9", march),
                       leap.find('\n', march) - leap.find(",60,?9?9", march)) +
           "\n";
  leap.insert(march, day);
  const Series s = weather::read_text(leap, "x");
  CHECK(s.hours() == 8760);
  CHECK_THAT(s.remarks.front().text, test::contains("29 February"));
}

TEST_CASE("weather: gaps of up to six hours are filled and counted, longer ones refused",
          "[weather][unit]") {
  std::string epw = test::as_epw(tucson());
  const auto blank = [&](std::size_t line) {
    std::string row = line_of(epw, line);
    std::size_t from = 0;
    for (int i = 0; i < 6; ++i) from = row.find(',', from) + 1;
    row = row.substr(0, from) + "99.9" + row.substr(row.find(',', from));
    epw = with_line(epw, line, row);
  };
  for (std::size_t line = 100; line < 106; ++line) blank(line);
  const Series s = weather::read_text(epw, "x");
  std::size_t filled = 0;
  for (const auto& r : s.remarks) filled += r.kind == weather::Remark::Kind::filled ? r.count : 0;
  CHECK(filled == 6);
  const std::size_t k = 100 - 9;
  CHECK_WITHIN(s.T_dry_K[k + 2], s.T_dry_K[k - 1] + 3.0 / 7 * (s.T_dry_K[k + 6] - s.T_dry_K[k - 1]),
               1e-9);
  blank(106);
  CHECK_THROWS_WITH(weather::read_text(epw, "town.epw"),
                    test::contains("town.epw:100") && test::contains("7 hours"));
}

TEST_CASE("weather: a missing global column is made from direct and diffuse", "[weather][unit]") {
  std::string text = test::as_psm(tucson(), false);
  const std::size_t at = text.find("GHI,DNI,DHI");
  std::string no_ghi = text;
  no_ghi.replace(at, 3, "Old");  // no GHI column: made from the others
  const Series made = weather::read_text(no_ghi, "x");
  double sum = 0, file = 0;
  for (std::size_t k = 0; k < 8760; ++k) sum += made.ghi_W_m2[k], file += tucson().ghi_W_m2[k];
  CHECK_RELATIVE(sum, file, 0.01);
}

TEST_CASE("weather: global alone is split after Erbs and said", "[weather][unit]") {
  Series global = tucson();
  std::fill(global.dni_W_m2.begin(), global.dni_W_m2.end(), 9999);  // the format's code for missing
  std::fill(global.dhi_W_m2.begin(), global.dhi_W_m2.end(), 9999);
  const Series split = weather::read_text(test::as_epw(global), "x");
  double dni = 0, true_dni = 0;
  for (std::size_t k = 0; k < 8760; ++k) {
    dni += split.dni_W_m2[k];
    true_dni += tucson().dni_W_m2[k];
    if (split.dhi_W_m2[k] > split.ghi_W_m2[k] + 1e-9) FAIL("row " << k);
  }
  CHECK_RELATIVE(dni, true_dni,
                 0.15);  // an estimate: a year's sum within 15 %, engineering judgement
  bool told = false;
  for (const auto& r : split.remarks) told = told || r.text.find("Erbs") != std::string::npos;
  CHECK(told);
  std::fill(global.ghi_W_m2.begin(), global.ghi_W_m2.end(), 9999);
  CHECK_THROWS_WITH(weather::read_text(test::as_epw(global), "x"),
                    test::contains("missing in every row"));
}

TEST_CASE("weather: a stretch holds the days that it names, over New Year too", "[weather][unit]") {
  const Series s = weather::stretch(tucson(), -2, 5);
  REQUIRE(s.hours() == 120);
  CHECK(s.first_day == 363);
  CHECK(s.sha256 == tucson().sha256);
  for (std::size_t k = 0; k < s.hours(); ++k) {
    const std::size_t row = (363 * 24 + k) % 8760;
    CHECK(s.T_dry_K[k] == tucson().T_dry_K[row]);
    CHECK(s.ghi_W_m2[k] == tucson().ghi_W_m2[row]);
    CHECK(s.year[k] == tucson().year[row]);
  }
  for (const auto* rows : {&s.T_dew_K, &s.p_Pa, &s.wind_m_s, &s.wind_from_rad, &s.dni_W_m2,
                           &s.dhi_W_m2, &s.infrared_W_m2, &s.cloud_1, &s.albedo_1})
    CHECK(rows->size() == s.hours());
  CHECK(weather::stretch(s, 2, 9).hours() == 120);  // no longer than it is: whole
  CHECK(weather::stretch(tucson(), 10, 365).hours() == 8760);
}

TEST_CASE("weather: doubts are told", "[weather][unit]") {
  const auto has = [](const Series& s, const char* part) {
    for (const auto& r : s.remarks)
      if (r.kind == weather::Remark::Kind::fault && r.text.find(part) != std::string::npos)
        return true;
    return false;
  };
  Series odd = tucson();
  for (std::size_t k = 4000; k < 4030; ++k) odd.T_dry_K[k] = 300, odd.T_dew_K[k] = 280;
  CHECK(has(weather::read_text(test::as_epw(odd), "x"), "dry bulb does not change for 30 h"));
  odd = tucson();
  odd.T_dew_K[10] = odd.T_dry_K[10] + 3;
  CHECK(has(weather::read_text(test::as_epw(odd), "x"), "dew point above dry bulb in 1 h"));
  odd = tucson();
  odd.wind_m_s[7] = 43;
  CHECK(has(weather::read_text(test::as_epw(odd), "x"), "wind above 30 m/s in 1 h"));
  odd = tucson();
  for (double& x : odd.dni_W_m2) x *= 0.6;
  CHECK(has(weather::read_text(test::as_epw(odd), "x"), "do not add up"));
  odd = tucson();
  for (double& x : odd.ghi_W_m2) x *= 1.8;
  CHECK(has(weather::read_text(test::as_epw(odd), "x"), "outside the air"));
  odd = tucson();
  odd.place.elevation_m = 3000;
  CHECK(has(weather::read_text(test::as_epw(odd), "x"), "does not fit the stated elevation"));
  odd.place.elevation_m = -17;  // a negative elevation is valid, here it only does not fit
  CHECK(weather::read_text(test::as_epw(odd), "x").place.elevation_m == -17);
  for (const auto& r : weather::read_text(test::as_epw(tucson()), "x").remarks)
    CHECK(r.text.find("add up") == std::string::npos);
}
