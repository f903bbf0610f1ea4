// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/terminal.hpp>
#include <cmath>
#include <sstream>

#include "report/pictures.hpp"
#include "support/catch.hpp"

namespace answers = cabinload::answers;
namespace core = cabinload::core;
namespace report = cabinload::report;
using cabinload::test::contains;

namespace {

/// 20 June to 10 July: none needed, held, close and lost in turn. Invented.
answers::Hold season() {
  answers::Hold a;
  a.T_limit_K = core::to_kelvin(25);
  a.cut_off_1 = 0.1;
  for (int i = 0; i < 21; ++i) {
    answers::HoldNight n;
    n.date = core::date_of(core::day_index({6, 20}) + i);
    n.needs_cooling = i % 4 != 0;
    n.held = i % 4 != 3;
    n.battery_at_dawn_1 = 0.5;
    n.bed_peak_K = core::to_kelvin(i % 4 == 2 ? 24.8 : i % 4 == 3 ? 27.0 + 0.1 * i : 23.0);
    a.each_night.push_back(n);
    a.needing_cooling += n.needs_cooling ? 1 : 0;
    a.held += n.needs_cooling && n.held ? 1 : 0;
  }
  a.in_period = 21;
  answers::rank_nights(a);
  for (int h = 19; h < 19 + 15; ++h)  // outdoors falls, the bed rises above the limit at 03:00
    a.worst_hours.push_back({h % 24 * 3600.0, core::to_kelvin(h < 27 ? 24.0 : 29.0),
                             core::to_kelvin(35.0 - 0.7 * (h - 19)), 1.0 - 0.06 * (h - 19)});
  return a;
}

report::Style style_of(std::size_t columns, bool ascii) {
  report::Style style;
  style.columns = columns;
  style.ascii = ascii;
  return style;
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> all;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    for (std::size_t i = line.find("°"); i != line.npos; i = line.find("°"))
      line.replace(i, 2, "d");  // a byte a column
    all.push_back(line);
  }
  return all;
}

std::size_t width_of(const std::string& line) {
  std::size_t n = 0;
  for (const char c : line) n += (static_cast<unsigned char>(c) & 0xC0) != 0x80 ? 1 : 0;
  return n;
}

}  // namespace

TEST_CASE("pictures: every evening has its mark under its day", "[report][pictures]") {
  const answers::Hold a = season();
  for (const std::size_t columns : {40u, 71u, 72u, 80u, 120u}) {
    const auto lines = lines_of(report::season_picture(a, style_of(columns, true)));
    INFO(columns);
    const std::size_t cell = columns >= 72 ? 2 : 1;
    int seen = 0;
    for (const std::string& line : lines)
      for (const auto& [month, name] : {std::pair(6, "June "), std::pair(7, "July ")})
        if (line.starts_with(name))
          for (int day = 1; day <= 31; ++day) {
            const std::size_t at = 10 + static_cast<std::size_t>(day - 1) * cell;
            const char mark = at < line.size() ? line[at] : ' ';
            const int i = core::day_index({month, day}) - core::day_index({6, 20});
            const bool within = day <= core::days_in_month(month) && i >= 0 && i < 21;
            CHECK(mark == (within ? ".ocX"[i % 4] : ' '));
            seen += within ? 1 : 0;
          }
    CHECK(seen == 21);
    for (const std::string& line : lines)
      CHECK(width_of(line) <= std::max<std::size_t>(columns, 41));
  }
}

TEST_CASE("pictures: the hardest night is drawn where its temperatures are", "[report][pictures]") {
  const answers::Hold a = season();
  for (const std::size_t columns : {40u, 80u, 120u}) {
    INFO(columns);
    const auto lines = lines_of(report::night_picture(a, style_of(columns, true)));
    const std::size_t cell = (columns - 10) / a.worst_hours.size();
    // Rows from the highest temperature to the lowest.
    const double high_K = core::to_kelvin(35), low_K = core::to_kelvin(24);
    for (std::size_t i = 0; i < a.worst_hours.size(); ++i) {
      const auto row = [&](double T_K) {
        return static_cast<std::size_t>(std::lround((high_K - T_K) / (high_K - low_K) * 11)) + 2;
      };
      const auto at = [&](double T_K) { return lines.at(row(T_K)).at(10 + i * cell); };
      CHECK(at(a.worst_hours[i].T_bed_K) == '#');
      if (row(a.worst_hours[i].T_bed_K) != row(a.worst_hours[i].T_out_K))
        CHECK(at(a.worst_hours[i].T_out_K) == 'o');
    }
    CHECK_THAT(lines[1], contains("hour by hour (# bed, o outdoors, - limit)"));
    CHECK_THAT(lines.back(), contains("battery % 100"));
    for (const std::string& line : lines)
      CHECK(width_of(line) <= std::max<std::size_t>(columns, 60));
  }
}

TEST_CASE("pictures: two forms say the same, and none is drawn where none is wanted",
          "[report][pictures]") {
  answers::Hold a = season();
  for (const auto picture : {report::season_picture, report::night_picture}) {
    const std::string drawn = picture(a, style_of(80, false)),
                      plain = picture(a, style_of(80, true));
    CHECK(std::all_of(plain.begin(), plain.end(), [](char c) {
      return c == '\n' || (c >= ' ' && c <= '~') || static_cast<unsigned char>(c) >= 0x80;
    }));
    CHECK(plain.find("●") == std::string::npos);
    CHECK(drawn.find("●") != std::string::npos);
    const auto a_lines = lines_of(drawn), b_lines = lines_of(plain);
    REQUIRE(a_lines.size() == b_lines.size());
    for (std::size_t i = 0; i < a_lines.size(); ++i)
      CHECK(width_of(a_lines[i]) == width_of(b_lines[i]));
    report::Style none = style_of(80, false);
    none.pictures = false;
    CHECK(picture(a, none).empty());
  }
  a.worst_hours.clear();
  CHECK(report::night_picture(a, style_of(80, false)).empty());
  a.in_period = 1;
  CHECK(report::season_picture(a, style_of(80, false)).empty());
}
