// SPDX-License-Identifier: Apache-2.0
#include "pictures.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/night_mark.hpp>
#include <cmath>

#include "text.hpp"

namespace cabinload::report {
namespace {

using answers::Hold;
using answers::HoldHour;
using answers::HoldNight;

constexpr std::size_t kMonth = 10;  // columns of its name
constexpr int kDays = 31, kRows = 12;

/// What a night looks like: a Unicode mark, an ASCII one, what it says.
struct Mark {
  const char *drawn, *plain, *words;
};
/// In the order of NightMark; alike on the page.
constexpr Mark kMarks[] = {{"·", ".", "needs no cooling"},
                           {"●", "o", "held"},
                           {"◐", "c", "close: held by less than"},
                           {"×", "X", "lost"}};

const Mark& look_of(const HoldNight& n, const Hold& a) {
  return kMarks[static_cast<std::size_t>(mark_of(n, a.T_limit_K, a.cut_off_1))];
}
std::string shown(const Mark& mark, const Style& style) {
  return style.ascii ? mark.plain : mark.drawn;
}

std::string without_end(std::string line) {
  line.erase(line.find_last_not_of(' ') + 1);
  return line + "\n";
}

/// Days of the month under their columns.
std::string day_numbers(std::size_t cell) {
  std::string line = padded("day", kMonth);
  for (int day = 1; day <= kDays; ++day) {
    const bool told = day == 1 || day % 5 == 0;
    if (line.size() > kMonth + static_cast<std::size_t>(day - 1) * cell) continue;  // still in one
    line += padded(told ? std::to_string(day) : "", cell);
  }
  return without_end(line);
}

/// A chart that is filled mark by mark; a later mark covers an earlier one.
class Canvas {
 public:
  Canvas(std::size_t rows, std::size_t columns)
      : cells_(rows, std::vector<std::string>(columns, " ")) {}
  void put(long row, std::size_t column, const std::string& mark) {
    const long last = static_cast<long>(cells_.size()) - 1;
    cells_[static_cast<std::size_t>(std::clamp(row, 0L, last))][column] = mark;
  }
  [[nodiscard]] std::string line(std::size_t row) const {
    std::string text;
    for (const std::string& cell : cells_[row]) text += cell;
    return text;
  }

 private:
  std::vector<std::vector<std::string>> cells_;
};

/// Temperatures of a chart from its top row down.
struct Scale {
  double top_K, step_K;
  [[nodiscard]] long row(double T_K) const { return std::lround((top_K - T_K) / step_K); }
  [[nodiscard]] double at(int row) const { return top_K - row * step_K; }
};

Scale scale_of(const Hold& a) {
  double low_K = a.T_limit_K, high_K = a.T_limit_K;
  for (const HoldHour& h : a.worst_hours) {
    low_K = std::min({low_K, h.T_bed_K, h.T_out_K});
    high_K = std::max({high_K, h.T_bed_K, h.T_out_K});
  }
  return {high_K, std::max(high_K - low_K, 1.0) / (kRows - 1)};
}

/// Clock and battery below the chart.
std::string hour_lines(const Hold& a, std::size_t cell) {
  const std::size_t every = cell >= 3 ? (cell >= 6 ? 1 : 2) : 3;
  std::string clock = padded("", kMonth), battery = padded("battery %", kMonth);
  for (std::size_t i = 0; i < a.worst_hours.size(); i += every) {
    const HoldHour& h = a.worst_hours[i];
    clock += padded(core::clock_text(h.second_of_day).substr(0, 2), cell * every);
    battery += padded(fmt::format("{:.0f}", 100 * h.battery_1), cell * every);
  }
  return without_end(clock) + without_end(battery);
}

}  // namespace

std::string season_picture(const Hold& a, const Style& style) {
  if (!style.pictures || a.in_period < 2) return "";
  const std::size_t cell = style.columns >= kMonth + std::size_t{2} * kDays ? 2 : 1;
  std::string out = "\nEvening by evening\n";
  for (std::size_t i = 0; i < a.each_night.size();) {
    const int month = a.each_night[i].date.month;
    std::string line = padded(std::string(core::month_name(month)), kMonth);
    for (int day = 1; day <= kDays; ++day) {
      const bool here = i < a.each_night.size() && a.each_night[i].date == core::Date{month, day};
      line += padded(here ? shown(look_of(a.each_night[i], a), style) : "", cell);
      i += here ? 1 : 0;
    }
    out += without_end(line);
  }
  const auto words = [&](const Mark& m) {
    const bool close = &m == &kMarks[2];
    return shown(m, style) + " " + m.words +
           (close ? fmt::format(" {} or {:.0f} points of charge",
                                core::format_quantity(kCloseToLimit_K,
                                                      core::Quantity::temperature_difference,
                                                      style.units, 1),
                                100 * kCloseToCutOff_1)
                  : "");
  };
  std::string legend;
  for (const Mark& m : kMarks) legend += (legend.empty() ? "" : "   ") + words(m);
  return out + day_numbers(cell) + wrapped(legend, std::min(kWidth, style.columns), 0);
}

std::string night_picture(const Hold& a, const Style& style) {
  if (!style.pictures || a.worst_hours.empty()) return "";
  const std::size_t cell =
      std::clamp<std::size_t>((style.columns - kMonth) / a.worst_hours.size(), 1, 8);
  const Scale scale = scale_of(a);
  Canvas canvas(kRows, cell * a.worst_hours.size());
  const std::string limit = style.ascii ? "-" : "─", bed = style.ascii ? "#" : "●",
                    outdoors = style.ascii ? "o" : "○";
  for (std::size_t c = 0; c < cell * a.worst_hours.size(); ++c)
    canvas.put(scale.row(a.T_limit_K), c, limit);
  for (std::size_t i = 0; i < a.worst_hours.size(); ++i) {
    canvas.put(scale.row(a.worst_hours[i].T_out_K), i * cell, outdoors);
    canvas.put(scale.row(a.worst_hours[i].T_bed_K), i * cell, bed);
  }
  std::string out =
      fmt::format("\n{}, hour by hour ({} bed, {} outdoors, {} limit)\n",
                  core::long_text(a.each_night[*a.worst_night].date), bed, outdoors, limit);
  for (int row = 0; row < kRows; ++row)
    out += without_end(padded(row % 3 == 0 ? degrees(scale.at(row), style) : "", kMonth - 1, true) +
                       " " + canvas.line(static_cast<std::size_t>(row)));
  return out + hour_lines(a, cell);
}

}  // namespace cabinload::report
