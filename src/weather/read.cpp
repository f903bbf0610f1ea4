// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cabinload/core/sha256.hpp>
#include <cabinload/weather/read.hpp>
#include <cctype>
#include <cerrno>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <memory>

#include "source.hpp"

namespace cabinload::weather {
namespace {

constexpr const char* kFormats =
    "EPW starts with LOCATION, ; TMY3 CSV has Date (MM/DD/YYYY) in line 2; TMY2 has rows of 142 "
    "characters; "
    "NSRDB PSM CSV names Latitude and Time Zone in line 1; the European archive's CSV starts with "
    "Latitude (decimal degrees)";

bool digits(std::string_view s) {
  return !s.empty() &&
         std::all_of(s.begin(), s.end(), [](unsigned char c) { return std::isdigit(c) != 0; });
}

bool starts(std::string_view text, std::string_view with) {
  return text.substr(0, with.size()) == with;
}

bool is_tmy2(const Source& s) {
  const std::string_view head = s.line(1), row = s.line(2);
  return head.size() >= 59 && digits(head.substr(1, 5)) &&
         row.find(',') == std::string_view::npos && digits(row.substr(1, 8)) &&
         (head[37] == 'N' || head[37] == 'S') && (head[45] == 'E' || head[45] == 'W');
}

bool is_psm(const Source& s) {
  const std::string_view head = s.line(1), columns = s.line(3);
  return head.find("Latitude") != std::string_view::npos &&
         head.find("Time Zone") != std::string_view::npos &&
         columns.find("Year") != std::string_view::npos &&
         columns.find("Minute") != std::string_view::npos;
}

void check_text(const Source& source) {
  const std::string_view bytes = source.bytes;
  if (bytes.empty() || source.lines.empty()) refuse(source, 0, 0, "", "the file is empty");
  if (bytes.substr(0, 65536).find('\0') != std::string_view::npos)
    refuse(source, 0, 0, "", "the file is binary, not text", kFormats);
}

std::string slurp(const std::string& path) {
  std::error_code error;
  if (std::filesystem::is_directory(path, error))
    throw core::IoError(path, "this is a directory, a weather file is needed");
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "rb"),
                                                             &std::fclose);
  if (!file)
    throw core::IoError(path, std::string("cannot be opened for reading: ") + std::strerror(errno));
  std::string bytes;
  const auto size = std::filesystem::file_size(path, error);
  if (!error) bytes.reserve(static_cast<std::size_t>(size));
  char block[1 << 16];
  for (std::size_t got; (got = std::fread(block, 1, sizeof block, file.get())) > 0;)
    bytes.append(block, got);
  if (std::ferror(file.get()) != 0)
    throw core::IoError(path, std::string("cannot be read: ") + std::strerror(errno));
  return bytes;
}

}  // namespace

const char* format_name(Format format) {
  switch (format) {
    case Format::epw:
      return "EPW";
    case Format::tmy2:
      return "TMY2";
    case Format::tmy3:
      return "TMY3 CSV";
    case Format::psm:
      return "NSRDB PSM CSV";
    case Format::pvgis:
      return "PVGIS CSV";
    case Format::typed_day:
      return "typed day";
  }
  return "";
}

Series read_text(const std::string& bytes, const std::string& path) {
  const Source source(bytes, path);
  check_text(source);
  Series series;
  if (starts(source.line(1), "LOCATION,"))
    series = read_epw(source);
  else if (starts(source.line(1), "Latitude (decimal degrees)"))
    series = read_pvgis(source);
  else if (starts(source.line(2), "Date (MM/DD/YYYY)"))
    series = read_tmy3(source);
  else if (is_psm(source))
    series = read_psm(source);
  else if (is_tmy2(source))
    series = read_tmy2(source);
  else
    refuse(source, 1, 0, "", "the format is not known: none of the five that are read", kFormats);
  return series;
}

Series read(const std::string& path) {
  const std::string bytes = slurp(path);
  Series series = read_text(bytes, path);
  series.sha256 = core::sha256_hex(bytes);
  return series;
}

}  // namespace cabinload::weather
