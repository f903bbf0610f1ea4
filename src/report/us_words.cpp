// SPDX-License-Identifier: Apache-2.0
// Texts of SI values in US units.
#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <string_view>
#include <utility>

#include "text.hpp"

namespace cabinload::report {

namespace {

/// How a value of one unit is shown to people who use others.
struct Conversion {
  std::string_view from, to;
  double factor = 1, offset = 0;
};
// Longer spellings before those they begin with. Factors by definition: 1 in = 25.4 mm, 1 lb =
// 0.45359237 kg, 1 mile = 1609.344 m, 1 gal = 231 in3; the BTU is the International Table's, as in
// core/units.cpp.
constexpr double kInch_cm = 2.54, kFoot_m = 0.3048, kMile_km = 1.609344, kPound_kg = 0.45359237;
constexpr double kBtu_J = 1055.05585262;
constexpr double kCubicFoot_m3 = kFoot_m * kFoot_m * kFoot_m;
constexpr double kBtuPerHour_W = kBtu_J / 3600, kDegF_K = 1 / 1.8;
constexpr double kUValue_W_m2K = kBtuPerHour_W / (kFoot_m * kFoot_m * kDegF_K);
constexpr double kGallon_L = 231e-3 * kInch_cm * kInch_cm * kInch_cm;
constexpr std::array<Conversion, 23> kConversions = {{
    {"degC", "°F", 1.8, 32},
    {"°C", "°F", 1.8, 32},
    {"W/(m2 K)", "BTU/(h ft² °F)", 1 / kUValue_W_m2K},
    {"W/(m K)", "BTU in/(h ft² °F)", 1 / (kUValue_W_m2K * 0.01 * kInch_cm)},
    {"kg/m3", "lb/ft³", kCubicFoot_m3 / kPound_kg},
    {"J/(kg K)", "BTU/(lb °F)", kPound_kg* kDegF_K / kBtu_J},
    {"m3/h", "cfm", 1 / (60 * kCubicFoot_m3)},
    {"m³/h", "cfm", 1 / (60 * kCubicFoot_m3)},
    {"km/h", "mph", 1 / kMile_km},
    {"m/s", "mph", 3.6 / kMile_km},
    {"cm2", "in²", 1 / (kInch_cm * kInch_cm)},
    {"cm²", "in²", 1 / (kInch_cm * kInch_cm)},
    {"W/K", "BTU/(h °F)", kDegF_K / kBtuPerHour_W},
    {"m2", "ft²", 1 / (kFoot_m * kFoot_m)},
    {"m²", "ft²", 1 / (kFoot_m * kFoot_m)},
    {"m3", "ft³", 1 / kCubicFoot_m3},
    {"m³", "ft³", 1 / kCubicFoot_m3},
    {"mm", "in", 0.1 / kInch_cm},
    {"cm", "in", 1 / kInch_cm},
    {"kg", "lb", 1 / kPound_kg},
    {"m", "ft", 1 / kFoot_m},
    {"K", "°F", 1.8},
    {"L", "gal", 1 / kGallon_L},
}};

bool word_byte(char c) {
  const auto u = static_cast<unsigned char>(c);
  return std::isalnum(u) != 0 || c == '_' || c == '.' || u >= 0x80;
}

/// Does a word go on at `at`? At a full stop only where more of it follows: "3 m.", "3 m.csv".
bool goes_on(std::string_view text, std::size_t at) {
  if (at < text.size() && text[at] == '.') ++at;
  return at < text.size() && word_byte(text[at]);
}

/// As many digits as make sense after a conversion: three, but whole degrees and above.
std::string rounded(double value) {
  const double size = std::abs(value);
  const int decimals = size >= 100 ? 0 : size >= 10 ? 1 : size >= 1 ? 2 : 3;
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find('.') != std::string::npos) text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}

/// Behind a value that was given in both systems, " (75.2 °F)" or " / 85 °F": how much of the text
/// that is, and the value in it; 0 where there is none.
std::pair<std::size_t, std::string_view> given_in_both(std::string_view rest,
                                                       std::string_view unit) {
  const bool bracket = rest.starts_with(" (");
  if (!bracket && !rest.starts_with(" / ")) return {0, {}};
  const std::string_view inside = rest.substr(bracket ? 2 : 3);
  const std::size_t at = inside.find(unit);
  if (at > 8) return {0, {}};  // or nowhere
  const std::size_t end = at + unit.size();
  if (inside.find_first_not_of("0123456789. ") != at) return {0, {}};
  if (bracket && (end >= inside.size() || inside[end] != ')')) return {0, {}};
  return {end + 3, inside.substr(0, end)};
}

/// Where a name that begins here ends; `at` where none does. Names stand between single quotes, and
/// what is in them is nobody's value: 'vent 40 cm', 'Bob's 5 m van'.
std::size_t end_of_name(std::string_view text, std::size_t at) {
  if (text[at] != '\'' || (at > 0 && text[at - 1] != ' ' && text[at - 1] != '(')) return at;
  for (std::size_t i = text.find('\'', at + 1); i != std::string_view::npos;
       i = text.find('\'', i + 1))
    if (!goes_on(text, i + 1)) return i + 1;
  return at;
}

/// A number in a text, and what it is a value of.
struct Number {
  std::size_t begin = 0, end = 0;  ///< with its sign, without its unit
  double value = 0;
  const Conversion* unit = nullptr;  ///< nothing: no value, or of a unit that stays
  std::size_t unit_end = 0;          ///< == end where the unit stands behind a later number
};

/// The unit that begins at `at`; nullptr when none does. "m" of "min" or "m/h" is none.
const Conversion* unit_at(std::string_view text, std::size_t at) {
  for (const Conversion& c : kConversions) {
    const std::size_t end = at + c.from.size();
    if (at > text.size() || !text.substr(at).starts_with(c.from)) continue;
    if (goes_on(text, end) || (end < text.size() && text[end] == '/')) continue;
    return &c;
  }
  return nullptr;
}

std::vector<Number> numbers_in(std::string_view text) {
  std::vector<Number> all;
  for (std::size_t i = 0; i < text.size();) {
    if (const std::size_t end = end_of_name(text, i); end > i) {
      i = end;
      continue;
    }
    const bool digit = std::isdigit(static_cast<unsigned char>(text[i])) != 0;
    const char before = i == 0 ? ' ' : text[i - 1];
    const bool negative = before == '-' && (i == 1 || text[i - 2] == ' ');
    if (!digit || word_byte(before) || before == ':' || (before == '-' && !negative)) {
      ++i;
      continue;
    }
    Number n;
    const char* last = std::from_chars(text.data() + i, text.data() + text.size(), n.value).ptr;
    n.begin = negative ? i - 1 : i;
    n.end = n.unit_end = static_cast<std::size_t>(last - text.data());
    if (negative) n.value = -n.value;
    const std::size_t unit = n.end < text.size() && text[n.end] == ' ' ? n.end + 1 : n.end;
    n.unit = unit_at(text, unit);
    if (n.unit != nullptr) n.unit_end = unit + n.unit->from.size();
    i = std::max(n.unit_end, i + 1);
    all.push_back(n);
  }
  return all;
}

/// What may stand between numbers that share the unit of the last: "3.1 x 1.8 m", "60, 75 or 90
/// degC", "front 0.10, rear 0.20 m".
bool shares(std::string_view between) {
  bool joined = false;
  while (!between.empty()) {
    const std::size_t end = std::min(between.find_first_of(" ,"), between.size());
    const std::string_view word = between.substr(0, end);
    constexpr std::array<std::string_view, 10> kJoining{"x",     "by",   "and",  "or",    "to",
                                                        "front", "rear", "left", "right", "y"};
    const bool joining = std::find(kJoining.begin(), kJoining.end(), word) != kJoining.end();
    if (!word.empty() && !joining) return false;
    joined = joined || joining || (end < between.size() && between[end] == ',');
    between.remove_prefix(std::min(end + 1, between.size()));
  }
  return joined;
}

}  // namespace

std::string in_us(const std::string& text) {
  std::vector<Number> numbers = numbers_in(text);
  const std::string_view all = text;
  for (std::size_t k = numbers.size(); k-- > 1;) {
    Number& n = numbers[k - 1];
    if (n.unit == nullptr && numbers[k].unit != nullptr &&
        shares(all.substr(n.end, numbers[k].begin - n.end)))
      n.unit = numbers[k].unit;
  }
  std::string out;
  std::size_t at = 0;
  for (const Number& n : numbers) {
    if (n.unit == nullptr || n.begin < at) continue;
    out += all.substr(at, n.begin - at);
    at = n.unit_end;
    const auto [given, words] = given_in_both(all.substr(at), n.unit->to);
    if (n.unit_end > n.end && given > 0) {
      out += words;
      at += given;
      continue;
    }
    out += rounded(n.value * n.unit->factor + n.unit->offset);
    if (n.unit_end > n.end) out += " " + std::string(n.unit->to);
  }
  return out + std::string(all.substr(at));
}

std::string in_si(const std::string& text) {
  const std::string_view all = text;
  std::string out;
  std::size_t at = 0;
  for (const Number& n : numbers_in(text)) {
    if (n.unit == nullptr || n.begin < at || n.unit_end == n.end) continue;
    out += all.substr(at, n.unit_end - at);
    at = n.unit_end + given_in_both(all.substr(n.unit_end), n.unit->to).first;
  }
  return out + std::string(all.substr(at));
}

std::string in_units(const std::string& text, const Style& style) {
  return style.units == core::UnitSystem::us ? in_us(text) : text;
}

}  // namespace cabinload::report
