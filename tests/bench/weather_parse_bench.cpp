// SPDX-License-Identifier: Apache-2.0
// Reading a year of hourly weather against bare std::from_chars over every number of the same
// bytes, side by side, repetitions interleaved. Prints JSON.
#include <cabinload/weather/climates.hpp>
#include <cabinload/weather/read.hpp>

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

namespace {

using Clock = std::chrono::steady_clock;

double at(std::vector<double> sorted, double share) {
  std::sort(sorted.begin(), sorted.end());
  return sorted[static_cast<std::size_t>(share * static_cast<double>(sorted.size() - 1))];
}

/// Every field between commas and line ends that is a number, and nothing else: the leanest reader
/// there is.
double bare(const std::string& bytes) {
  double sum = 0;
  const char* const end = bytes.data() + bytes.size();
  for (const char* p = bytes.data(); p < end;) {
    double value = 0;
    const auto result = std::from_chars(p, end, value);
    if (result.ec == std::errc{}) {
      sum += value;
      p = result.ptr;
    }
    while (p < end && *p != ',' && *p != '\n') ++p;
    ++p;
  }
  return sum;
}

/// The same for rows of fixed columns, where numbers touch: every field of a TMY2 row by its place.
double bare_fixed(const std::string& bytes) {
  constexpr int kFields[][2] = {{1, 2},   {3, 2},   {5, 2},   {7, 2},   {9, 4},   {13, 4}, {17, 4},
                                {23, 4},  {29, 4},  {35, 4},  {41, 4},  {47, 4},  {53, 4}, {59, 2},
                                {63, 2},  {67, 4},  {73, 4},  {79, 3},  {84, 4},  {90, 3}, {95, 3},
                                {100, 4}, {106, 5}, {123, 3}, {128, 3}, {133, 3}, {138, 2}};
  double sum = 0;
  for (std::size_t row = bytes.find('\n') + 1; row + 142 <= bytes.size();
       row = bytes.find('\n', row) + 1)
    for (const auto& field : kFields) {
      const char* p = bytes.data() + row + field[0];
      double value = 0;
      std::from_chars(p, p + field[1], value);
      sum += value;
    }
  return sum;
}

}  // namespace

int main(int argc, char** argv) {
  const int repetitions = argc > 1 ? std::atoi(argv[1]) : 15;
  for (const auto& year : cabinload::weather::shipped_years()) {
    const std::string path = cabinload::weather::shipped_folder() + "/" + year.file;
    std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    const std::string bytes = text.str();
    std::vector<double> ours, plain;
    double sink = 0;
    for (int r = 0; r < repetitions; ++r) {
      auto start = Clock::now();
      sink += cabinload::weather::read_text(bytes, path).T_dry_K[0];
      ours.push_back(std::chrono::duration<double>(Clock::now() - start).count());
      start = Clock::now();
      sink += year.key == "miami" ? bare_fixed(bytes) : bare(bytes);
      plain.push_back(std::chrono::duration<double>(Clock::now() - start).count());
    }
    std::printf(
        "{\"bench\": \"weather_parse\", \"file\": \"%s\", \"bytes\": %zu, \"repetitions\": %d, "
        "\"read_ms\": {\"median\": %.2f, \"p10\": %.2f, \"p90\": %.2f}, "
        "\"from_chars_ms\": {\"median\": %.2f, \"p10\": %.2f, \"p90\": %.2f}, \"ratio\": %.2f, "
        "\"sink\": %.1f}\n",
        year.file.c_str(), bytes.size(), repetitions, 1e3 * at(ours, 0.5), 1e3 * at(ours, 0.1),
        1e3 * at(ours, 0.9), 1e3 * at(plain, 0.5), 1e3 * at(plain, 0.1), 1e3 * at(plain, 0.9),
        at(ours, 0.5) / at(plain, 0.5), sink);
  }
  return 0;
}
