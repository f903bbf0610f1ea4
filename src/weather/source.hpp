// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/weather/series.hpp>
#include <limits>
#include <string>
#include <string_view>
#include <vector>

namespace cabinload::weather {

/// A weather file in memory, cut into lines. Line i of the file is lines[i - 1], without its end.
struct Source {
  std::string_view bytes;
  std::string path;
  std::vector<std::string_view> lines;

  /// Accepts Windows line ends, a byte-order mark, trailing blank lines.
  Source(std::string_view bytes, std::string path);
  /// @pre line >= 1; "" beyond the end
  [[nodiscard]] std::string_view line(std::size_t number) const {
    return number <= lines.size() ? lines[number - 1] : std::string_view();
  }
};

/// Throws core::InputError for a place in the file; column 0: the whole line.
[[noreturn]] void refuse(const Source& source, std::size_t line, std::size_t column,
                         const std::string& key, const std::string& what,
                         const std::string& hint = "");

/// Cuts a line at commas into `fields` (no quotes inside data rows). Returns the number of fields.
std::size_t cut(std::string_view line, std::vector<std::string_view>& fields);
/// Cuts a header line at commas, honouring double quotes.
[[nodiscard]] std::vector<std::string> cut_quoted(std::string_view line);
[[nodiscard]] std::string_view trimmed(std::string_view text);

/// A number that must be there. Spaces around it are ignored.
double number(const Source& source, std::size_t line, std::size_t column, const char* key,
              std::string_view field);

/// How a quantity stands in a file and where it goes. Range and missing codes are in the file's
/// unit.
struct Column {
  std::size_t field = 0;      ///< 0-based field, or first character for fixed columns
  const char* key = nullptr;  ///< as the format's documentation names it
  std::vector<double> Series::*to = nullptr;
  double factor = 1, offset = 0;                              ///< stored = file * factor + offset
  double low = 0, high = 0;                                   ///< physically possible
  double missing = std::numeric_limits<double>::quiet_NaN();  ///< this value ...
  double missing_from =
      std::numeric_limits<double>::infinity();  ///< ... or this and above is "unknown"
  std::size_t width = 0;                        ///< characters, for fixed columns
};

/// Value of one field in the series' unit; NaN when it is a missing code.
double value_of(const Source& source, std::size_t line, const Column& column,
                std::string_view field);

/// Sets every vector of a year's series to NaN and gives it its length.
void allocate(Series& series, std::size_t hours);

/// Puts rows where their date says, refuses repeats, and says what is missing.
class YearRows {
 public:
  YearRows(const Source& source, Series& series) : source_(source), line_of_(8760, 0) {
    allocate(series, 8760);
  }
  /// @param hour  0..23, the hour the row belongs to  @returns row, or kLeapDay for 29 February
  std::size_t place(std::size_t line, int month, int day, int hour);
  /// @throws core::InputError  fewer than 8760 rows
  void complete(Series& series) const;
  static constexpr std::size_t kLeapDay = static_cast<std::size_t>(-1);
  [[nodiscard]] const std::vector<std::size_t>& lines() const { return line_of_; }

 private:
  const Source& source_;
  std::vector<std::size_t> line_of_;
  std::size_t placed_ = 0, leap_rows_ = 0, last_ = 0;
  bool disordered_ = false;
};

// One file per format. Each returns the series as the file has it, gaps as NaN.
Series read_epw(const Source& source);
Series read_tmy2(const Source& source);
Series read_tmy3(const Source& source);
Series read_psm(const Source& source);
Series read_pvgis(const Source& source);

/// Rotates rows kept in UTC, and the lines they came from, to local standard time, whole hours.
void rotate_to_local(Series& series, std::vector<std::size_t>& line_of, int hours_east);

/// Fills gaps of up to 6 h, splits global when needed, clamps, and remarks what looks wrong.
void finish(const Source& source, Series& series, const std::vector<std::size_t>& line_of);
/// Things that are possible to read and hard to believe, as Remark::fault.
void remark_faults(Series& series, const std::vector<std::size_t>& line_of);

}  // namespace cabinload::weather
