// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/error.hpp>
#include <cctype>
#include <charconv>
#include <cmath>
#include <vector>

namespace cabinload::core {
namespace {

constexpr std::array<int, 12> kDays = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
constexpr std::array<std::string_view, 12> kNames = {
    "January", "February", "March",     "April",   "May",      "June",
    "July",    "August",   "September", "October", "November", "December"};

/// Words and numbers of a text, split at anything else.
std::vector<std::string> tokens(std::string_view text) {
  std::vector<std::string> out;
  for (std::size_t i = 0; i < text.size();) {
    const auto is = [&](int (*f)(int)) { return f(static_cast<unsigned char>(text[i])) != 0; };
    if (!is(std::isalnum)) {
      ++i;
      continue;
    }
    const bool digits = is(std::isdigit);
    std::string token;
    while (i < text.size() && is(std::isalnum) && is(std::isdigit) == digits) token += text[i++];
    out.push_back(token);
  }
  return out;
}

int number(const std::string& token) {
  int value = -1;
  std::from_chars(token.data(), token.data() + token.size(), value);
  return value;
}

int month_of_name(std::string token) {
  for (char& c : token) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  for (std::size_t m = 0; token.size() >= 3 && m < kNames.size(); ++m) {
    std::string name(kNames[m]);
    name[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(name[0])));
    if (name.compare(0, token.size(), token) == 0) return static_cast<int>(m) + 1;
  }
  return 0;
}

}  // namespace

int days_in_month(int month) {
  return kDays.at(static_cast<std::size_t>(month - 1));
}

int day_index(Date date) {
  int index = std::min(date.day, days_in_month(date.month)) - 1;
  for (int m = 1; m < date.month; ++m) index += days_in_month(m);
  return index;
}

Date date_of(int day_index) {
  int left = ((day_index % kDaysInYear) + kDaysInYear) % kDaysInYear;
  int month = 1;
  while (left >= days_in_month(month)) left -= days_in_month(month++);
  return {month, left + 1};
}

std::string iso_text(Date date) {
  return fmt::format("{:02}-{:02}", date.month, date.day);
}

std::string long_text(Date date) {
  return fmt::format("{} {}", date.day, month_name(date.month));
}

std::string_view month_name(int month) {
  return kNames.at(static_cast<std::size_t>(month - 1));
}

Date parse_date(std::string_view text) {
  const std::vector<std::string> t = tokens(text);
  Date date{0, 0};
  if (t.size() == 2) {
    const int first = month_of_name(t[0]), second = month_of_name(t[1]);
    if (first > 0)
      date = {first, number(t[1])};
    else if (second > 0)
      date = {second, number(t[0])};
    else
      date = {number(t[0]), number(t[1])};
  } else if (t.size() == 3 && t[0].size() == 4) {
    date = {number(t[1]), number(t[2])};
  }
  const bool month_good = date.month >= 1 && date.month <= 12;
  if (date.month == 2 && date.day == 29)
    throw Error("'" + std::string(text) +
                "': 29 February is not in a year of 365 days; write 02-28 or 03-01");
  const int longest = month_good ? days_in_month(date.month) : 0;
  if (!month_good || date.day < 1 || date.day > longest)
    throw Error("'" + std::string(text) + "' is not a date; write it as 07-14 or 14 July");
  return date;
}

std::string clock_text(double second_of_day) {
  const double day = second_of_day - kSecondsInDay * std::floor(second_of_day / kSecondsInDay);
  const int minutes = static_cast<int>(std::floor(day / 60.0 + 1e-9)) % 1440;
  return fmt::format("{:02}:{:02}", minutes / 60, minutes % 60);
}

}  // namespace cabinload::core
