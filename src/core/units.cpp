// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <udunits2.h>
#include <array>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/units.hpp>
#include <cctype>
#include <charconv>
#include <cmath>
#include <memory>
#include <mutex>
#include <utility>

namespace cabinload::core {
namespace {

/// One row a quantity: what it is called, its SI unit, an example, and how people see it.
struct Row {
  std::string_view name, si, example;
  struct Shown {
    std::string_view unit;
    double factor, offset;
  } shown_si, shown_us;  // shown = SI * factor + offset
};

constexpr double kFoot_m = 0.3048, kMile_m = 1609.344, kPound_kg = 0.45359237;
constexpr double kBtu_J = 1055.05585262;  // International Table
constexpr double kBtuPerHour_W = kBtu_J / 3600.0;
constexpr double kRKelvin = 1.8;

constexpr std::array<Row, 25> kRows = {{
    {"dimensionless number", "1", "0.3 or 30 %", {"", 1, 0}, {"", 1, 0}},
    {"length", "m", "3.2 m or 6 ft 3 in", {"m", 1, 0}, {"ft", 1 / kFoot_m, 0}},
    {"area", "m2", "2.8 m2 or 30 ft2", {"m²", 1, 0}, {"ft²", 1 / (kFoot_m * kFoot_m), 0}},
    {"volume",
     "m3",
     "12 m3 or 420 ft3",
     {"m³", 1, 0},
     {"ft³", 1 / (kFoot_m * kFoot_m * kFoot_m), 0}},
    {"temperature",
     "K",
     "25.5 degC or 78 degF",
     {"°C", 1, -kZeroCelsius_K},
     {"°F", kRKelvin, 32 - kRKelvin* kZeroCelsius_K}},
    {"temperature difference", "K", "3 K or 5 degF", {"K", 1, 0}, {"°F", kRKelvin, 0}},
    {"power", "W", "2000 W or 6000 BTU/h", {"W", 1, 0}, {"BTU/h", 1 / kBtuPerHour_W, 0}},
    {"energy", "J", "2.4 kWh", {"kWh", 1 / 3.6e6, 0}, {"kWh", 1 / 3.6e6, 0}},
    {"electric charge", "C", "100 Ah", {"Ah", 1 / 3600.0, 0}, {"Ah", 1 / 3600.0, 0}},
    {"voltage", "V", "24 V", {"V", 1, 0}, {"V", 1, 0}},
    {"current", "A", "30 A", {"A", 1, 0}, {"A", 1, 0}},
    {"time", "s", "90 min or 1.5 h", {"min", 1 / 60.0, 0}, {"min", 1 / 60.0, 0}},
    {"speed", "m/s", "3 m/s or 7 mph", {"m/s", 1, 0}, {"mph", 3600 / kMile_m, 0}},
    {"volume flow",
     "m3/s",
     "200 m3/h or 120 cfm",
     {"m³/h", 3600, 0},
     {"cfm", 60 / (kFoot_m * kFoot_m * kFoot_m), 0}},
    {"mass", "kg", "20 kg or 44 lb", {"kg", 1, 0}, {"lb", 1 / kPound_kg, 0}},
    {"pressure", "Pa", "1013 hPa", {"hPa", 0.01, 0}, {"hPa", 0.01, 0}},
    {"angle", "rad", "30 degree", {"°", 180 / kPi, 0}, {"°", 180 / kPi, 0}},
    {"conductivity",
     "W/(m K)",
     "0.035 W/(m K)",
     {"W/(m K)", 1, 0},
     {"BTU in/(h ft² °F)", 1 / 0.144227889, 0}},
    {"conductance",
     "W/(m2 K)",
     "5.8 W/(m2 K)",
     {"W/(m² K)", 1, 0},
     {"BTU/(h ft² °F)", 1 / 5.678263341, 0}},
    {"thermal resistance",
     "m2 K/W",
     "0.5 m2 K/W or 3 ft2 degF h/BTU",
     {"m² K/W", 1, 0},
     {"ft² °F h/BTU", 5.678263341, 0}},
    {"density",
     "kg/m3",
     "30 kg/m3",
     {"kg/m³", 1, 0},
     {"lb/ft³", kFoot_m* kFoot_m* kFoot_m / kPound_kg, 0}},
    {"specific heat",
     "J/(kg K)",
     "1400 J/(kg K)",
     {"J/(kg K)", 1, 0},
     {"BTU/(lb °F)", kPound_kg / kBtu_J / kRKelvin, 0}},
    {"heat capacity per area",
     "J/(m2 K)",
     "8000 J/(m2 K)",
     {"J/(m² K)", 1, 0},
     {"BTU/(ft² °F)", kFoot_m* kFoot_m / kBtu_J / kRKelvin, 0}},
    {"heat flow per kelvin",
     "W/K",
     "18 W/K",
     {"W/K", 1, 0},
     {"BTU/(h °F)", 1 / kBtuPerHour_W / kRKelvin, 0}},
    {"irradiance",
     "W/m2",
     "450 W/m2",
     {"W/m²", 1, 0},
     {"BTU/(h ft²)", kFoot_m* kFoot_m / kBtuPerHour_W, 0}},
}};

const Row& row(Quantity quantity) {
  return kRows.at(static_cast<std::size_t>(quantity));
}

/// What people write and UDUNITS does not know, or knows as something else.
constexpr std::array<std::pair<std::string_view, std::string_view>, 26> kAliases = {{
    {"BTU", "(1055.05585262 J)"},
    {"Btu", "(1055.05585262 J)"},
    {"btu", "(1055.05585262 J)"},
    {"BTUs", "(1055.05585262 J)"},
    {"Wh", "(W h)"},
    {"kWh", "(kW h)"},
    {"MWh", "(MW h)"},
    {"Ah", "(A h)"},
    {"mAh", "(mA h)"},
    {"mph", "(1609.344 m/h)"},
    {"cfm", "(0.028316846592 m3/min)"},
    {"CFM", "(0.028316846592 m3/min)"},
    {"kmh", "(km/h)"},
    {"hr", "h"},
    {"hrs", "h"},
    {"hours", "h"},
    {"hour", "h"},
    {"mins", "min"},
    {"sec", "s"},
    {"feet", "ft"},
    {"foot", "ft"},
    {"inches", "in"},
    {"inch", "in"},
    {"lbs", "lb"},
    {"deg", "degree"},
    {"watts", "W"},
}};

std::string replaced(std::string s, std::string_view from, std::string_view to) {
  for (std::size_t at = 0; (at = s.find(from, at)) != std::string::npos; at += to.size())
    s.replace(at, from.size(), to);
  return s;
}

bool letter(char c) {
  return std::isalpha(static_cast<unsigned char>(c)) != 0 || c == '_';
}

/// The unit in UDUNITS' spelling. `differences`: degF and degC are sizes of a step, not points.
std::string spelled(std::string text, bool differences) {
  for (const auto& [from, to] : {std::pair{"²", "2"},
                                 {"³", "3"},
                                 {"°C", "degC"},
                                 {"°F", "degF"},
                                 {"°", " degree"},
                                 {"·", " "},
                                 {"sq ft", "ft2"},
                                 {"sq m", "m2"},
                                 {"cu ft", "ft3"},
                                 {"%", "0.01"},
                                 {"m2K", "m2 K"},
                                 {"kgK", "kg K"},
                                 {"/mK", "/m K"},
                                 {"/hr", "/h"}})
    text = replaced(std::move(text), from, to);
  text.erase(0, text.find_first_not_of(' '));
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    if (!letter(text[i])) {
      out += text[i++];
      continue;
    }
    std::string word;
    while (i < text.size() && letter(text[i])) word += text[i++];
    if (differences && word == "degC") word = "K";
    if (differences && word == "degF") word = "(K/1.8)";
    for (const auto& [from, to] : kAliases)
      if (word == from) word = to;
    out += word;
  }
  // "W/m2 K" means W/(m2 K): all that follows the only stroke is below it.
  const std::size_t stroke = out.find('/');
  const bool bracketed =
      stroke != std::string::npos && stroke + 1 < out.size() && out[stroke + 1] == '(';
  if (text.find('/') != std::string::npos && stroke == out.rfind('/') && !bracketed)
    out = out.substr(0, stroke) + "/(" + out.substr(stroke + 1) + ")";
  return out;
}

using Unit = std::unique_ptr<ut_unit, decltype(&ut_free)>;

/// UDUNITS' database, read once; its calls are not thread-safe, so they are serialised.
class Database {
 public:
  static Database& instance() {
    static Database database;
    return database;
  }
  /// Factor and offset are found by UDUNITS. @returns false when the unit is unknown or of another
  /// kind
  bool convert(const std::string& unit, std::string_view target, double& value, bool& known) {
    const std::lock_guard lock(mutex_);
    const Unit from(ut_parse(system_.get(), unit.c_str(), UT_UTF8), &ut_free);
    const Unit to(ut_parse(system_.get(), std::string(target).c_str(), UT_UTF8), &ut_free);
    known = from != nullptr;
    if (!from || !to || ut_are_convertible(from.get(), to.get()) == 0) return false;
    cv_converter* converter = ut_get_converter(from.get(), to.get());
    if (converter == nullptr) return false;
    value = cv_convert_double(converter, value);
    cv_free(converter);
    return true;
  }
  bool knows(const std::string& unit) {
    const std::lock_guard lock(mutex_);
    return Unit(ut_parse(system_.get(), unit.c_str(), UT_UTF8), &ut_free) != nullptr;
  }

 private:
  Database() : system_(nullptr, &ut_free_system) {
    ut_set_error_message_handler(&ut_ignore);
    system_.reset(ut_read_xml(nullptr));
    if (!system_) throw IoError("udunits2.xml", "the units database of UDUNITS-2 cannot be read");
  }
  std::unique_ptr<ut_system, decltype(&ut_free_system)> system_;
  std::mutex mutex_;
};

std::string_view trimmed(std::string_view s) {
  while (!s.empty() && std::isspace(static_cast<unsigned char>(s.front())) != 0) s.remove_prefix(1);
  while (!s.empty() && std::isspace(static_cast<unsigned char>(s.back())) != 0) s.remove_suffix(1);
  return s;
}

/// "an area", "a power".
std::string article(Quantity quantity) {
  const std::string_view noun = name(quantity);
  return (std::string_view("aeiou").find(noun.front()) == std::string_view::npos ? "a " : "an ") +
         std::string(noun);
}

[[noreturn]] void refuse(std::string_view text, const std::string& why, Quantity quantity) {
  throw UnitError(fmt::format("'{}' {}; {} is written like {}", text, why, article(quantity),
                              example(quantity)));
}

/// One number and its unit from the front of `rest`, which shrinks; the SI value comes back.
double take_term(std::string_view text, std::string_view& rest, Quantity quantity) {
  double value = 0;
  const char* begin = rest.data() + (rest.front() == '+' ? 1 : 0);
  const auto [end, error] = std::from_chars(begin, rest.data() + rest.size(), value);
  if (error != std::errc{}) refuse(text, "is not a number with a unit", quantity);
  if (!std::isfinite(value)) refuse(text, "is not a finite number", quantity);
  rest.remove_prefix(static_cast<std::size_t>(end - rest.data()));
  // The unit goes on until a space is followed by another number ("6 ft 3 in").
  std::size_t stop = 0;
  while (stop < rest.size() &&
         !(stop > 0 && rest[stop - 1] == ' ' && !trimmed(rest.substr(0, stop)).empty() &&
           std::isdigit(static_cast<unsigned char>(rest[stop])) != 0))
    ++stop;
  const std::string_view unit = trimmed(rest.substr(0, stop));
  rest = trimmed(rest.substr(stop));
  if (unit.empty()) {
    if (quantity == Quantity::dimensionless) return value;
    refuse(text, "has no unit", quantity);
  }
  const bool point = quantity == Quantity::temperature;
  if ((point || quantity == Quantity::temperature_difference) && (unit == "C" || unit == "F"))
    refuse(text, fmt::format("has the unit '{0}': write deg{0}", unit), quantity);
  bool known = false;
  if (!Database::instance().convert(spelled(std::string(unit), !point), row(quantity).si, value,
                                    known))
    refuse(text,
           known ? fmt::format("is not {}: '{}' measures something else", article(quantity), unit)
                 : fmt::format("has an unknown unit '{}'", unit),
           quantity);
  return value;
}

}  // namespace

double parse_quantity(std::string_view text, Quantity quantity) {
  std::string plain = replaced(replaced(std::string(text), "'", " ft "), "\"", " in ");
  std::string_view rest = trimmed(plain);
  if (rest.empty()) refuse(text, "is empty", quantity);
  const bool negative = rest.front() == '-';
  double sum = take_term(text, rest, quantity);
  const bool sums =
      quantity == Quantity::length || quantity == Quantity::time || quantity == Quantity::mass;
  while (!rest.empty()) {
    if (!sums) refuse(text, "has more than one number", quantity);
    const double term = take_term(text, rest, quantity);
    sum += negative ? -term : term;
  }
  return sum;
}

std::string udunits_spelling(std::string_view unit) {
  const std::string_view bare = trimmed(unit);
  if (bare.empty()) return "1";
  std::string text = spelled(std::string(bare), false);
  if (text != "degC" && text != "degF") text = spelled(std::string(bare), true);
  if (!Database::instance().knows(text))
    throw UnitError(fmt::format("'{}' is an unknown unit", bare));
  const bool whole = text.front() == '(' && text.find(')') == text.size() - 1;
  return whole ? text.substr(1, text.size() - 2) : text;
}
std::string_view si_unit(Quantity quantity) {
  return row(quantity).si;
}
std::string_view name(Quantity quantity) {
  return row(quantity).name;
}
std::string_view example(Quantity quantity) {
  return row(quantity).example;
}

std::string format_quantity(double value_SI, Quantity quantity, UnitSystem system, int decimals) {
  const Row::Shown& shown =
      system == UnitSystem::us ? row(quantity).shown_us : row(quantity).shown_si;
  const double value = value_SI * shown.factor + shown.offset;
  std::string number = fmt::format("{:.{}f}", value, decimals);
  if (number.find_first_not_of("-0.") == std::string::npos && number[0] == '-') number.erase(0, 1);
  const bool tight = shown.unit.empty() || shown.unit == "°";
  return number + (tight ? "" : " ") + std::string(shown.unit);
}

}  // namespace cabinload::core
