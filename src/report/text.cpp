// SPDX-License-Identifier: Apache-2.0
#include "text.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cabinload/report/terminal.hpp>
#include <cmath>
#include <numeric>

namespace cabinload::report {

namespace {

/// Is it the first byte of a character in UTF-8?
bool begins(char c) {
  return (static_cast<unsigned char>(c) & 0xC0) != 0x80;
}

}  // namespace

std::size_t columns(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), begins));
}

std::string first_columns(const std::string& text, std::size_t width) {
  std::size_t end = 0;
  for (std::size_t n = 0; end < text.size(); ++end)
    if (begins(text[end]) && ++n > width) break;
  return text.substr(0, end);
}

std::string last_columns(const std::string& text, std::size_t width) {
  const std::size_t all = columns(text);
  return all <= width ? text : text.substr(first_columns(text, all - width).size());
}

std::string padded(const std::string& text, std::size_t width, bool right) {
  const std::size_t have = columns(text);
  const std::string space(have < width ? width - have : 0, ' ');
  return right ? space + text : text + space;
}

std::string wrapped(const std::string& text, std::size_t width, std::size_t indent) {
  std::string out, line;
  bool fresh = true;  // nothing but spaces in the line yet
  for (std::size_t i = 0; i < text.size();) {
    const std::size_t word = std::min(text.find_first_not_of(' ', i), text.size());
    const std::size_t end = std::min(text.find(' ', word), text.size());
    const std::string spaces = text.substr(i, word - i), letters = text.substr(word, end - word);
    if (!fresh && columns(line) + spaces.size() + columns(letters) > width) {
      out += line + "\n";
      line = std::string(indent, ' ') + letters;
    } else {
      line += spaces + letters;  // spaces stay as written, so that columns line up
    }
    fresh = fresh && letters.empty();
    i = end;
  }
  return out + line + "\n";
}

std::string duration(double minutes) {
  const long m = std::lround(minutes);
  if (m < 60) return fmt::format("{} min", m);
  return fmt::format("{} h {:02} min", m / 60, m % 60);
}

std::string plural(long n, const char* one, const char* many) {
  return fmt::format("{} {}", n, n == 1 ? one : many);
}

std::string marked(const std::string& text, const char* code, bool colour) {
  return colour ? fmt::format("\x1b[{}m{}\x1b[0m", code, text) : text;
}

std::string degrees(double T_K, const Style& style, int decimals) {
  return core::format_quantity(T_K, core::Quantity::temperature, style.units, decimals);
}

std::string power(double W, const Style& style) {
  return core::format_quantity(W, core::Quantity::power, style.units, 0);
}

std::string energy(double Wh, const Style& style, int decimals) {
  return core::format_quantity(Wh * 3600, core::Quantity::energy, style.units, decimals);
}

std::string verdict_line(const std::string& verdict, const Style& style) {
  const std::string text = wrapped(verdict, kWidth, 0);
  return marked(text.substr(0, text.size() - 1), "1", style.colour) + "\n";
}

std::string period_words(const answers::Header& header) {
  const std::string from = core::long_text(header.from);
  return header.from == header.to ? from : from + " to " + core::long_text(header.to);
}

std::string subject(const answers::Header& header) {
  const bool named = !header.scenario_name.empty() && header.scenario_name != scenario::kUnnamed;
  return wrapped((named ? header.scenario_name + ": " : "") + header.scenario_line + ".", kWidth,
                 0);
}

std::string subject_lines(const answers::Header& header, const std::string& period) {
  const std::string source = header.weather_source.empty() ? "" : ", " + header.weather_source;
  return subject(header) +
         wrapped(fmt::format("Weather: {}{}; {}.", header.weather_place, source, period), kWidth,
                 0);
}

std::string cautions_text(const answers::Header& header, const Style& style) {
  std::string out;
  for (const auto& c : header.cautions) {
    std::string text = wrapped("  " + c.signal + ": " + in_units(c.text, style), kWidth, 4);
    const std::size_t at = text.find(c.signal);
    text.replace(at, c.signal.size(), marked(c.signal, "1", style.colour));
    out += text;
  }
  return out;
}

std::string closing(const answers::Header& header, const Style& style, const char* title) {
  std::string out = flows_text(header, style) + fmt::format("\n{}\n", title);
  for (const auto& x : header.assumptions)
    out += wrapped("  " + in_units(x.text, style), kWidth, 4);
  if (!style.note.empty()) out += wrapped("  " + style.note, kWidth, 4);
  for (const auto& w : header.warnings) out += wrapped("  note: " + in_units(w, style), kWidth, 4);
  return out + "\n" + cautions_text(header, style);
}

std::vector<long> adding_up(const std::vector<double>& values, long total) {
  std::vector<long> whole;
  std::vector<std::size_t> order(values.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  for (const double v : values) whole.push_back(static_cast<long>(std::floor(v)));
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return values[a] - std::floor(values[a]) > values[b] - std::floor(values[b]);
  });
  long rest = total - std::accumulate(whole.begin(), whole.end(), 0L);
  for (std::size_t i = 0; i < order.size() && rest > 0; ++i, --rest) ++whole[order[i]];
  return whole;
}

}  // namespace cabinload::report
