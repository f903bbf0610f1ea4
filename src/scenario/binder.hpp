// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <functional>

#include "given.hpp"

namespace cabinload::scenario {

/// Documentation of a key: one line, and where its default comes from.
struct About {
  const char* text;
  const char* source;
};

/// Binds keys to the fields of plain structs. One call a key does everything for it: reads what was
/// given, checks it, leaves the default otherwise, and writes the Entry. Problems are collected,
/// not thrown.
class Binder {
 public:
  Binder(GivenValues& given, std::vector<Entry>& entries) : given_(given), entries_(entries) {}

  struct Range {
    double low = 0, high = 0;  // SI, both included
    const char* why = "";      // said with a value that is out of it
  };
  /// @param unit  in which a default is written out: "degC", "cm2"
  void quantity(const std::string& key, core::Quantity kind, const char* unit, double& value_SI,
                Range range, About about);
  /// As quantity(), but the value may be left to something else; `shown` names what.
  void maybe(const std::string& key, core::Quantity kind, const char* unit,
             std::optional<double>& value_SI, Range range, const char* shown, About about);
  /// A value by the clock.
  void profile(const std::string& key, core::Quantity kind, const char* unit,
               core::DayProfile& value_SI, Range range, About about);
  void maybe_profile(const std::string& key, core::Quantity kind, const char* unit,
                     std::optional<core::DayProfile>& value_SI, Range range, const char* shown,
                     About about);
  void share(const std::string& key, double& value, Range range, About about);
  void whole(const std::string& key, int& value, int low, int high, About about);
  void flag(const std::string& key, bool& value, About about);
  void hours(const std::string& key, core::DaySchedule& value, About about);
  /// A day of the year; `shown` leaves it as it is. A year beside it is told to be of no use.
  void date(const std::string& key, core::Date& value, const char* shown, About about);
  void text(const std::string& key, std::string& value, About about);
  /// One of a list of keys.
  void choice(const std::string& key, std::string& value, const std::vector<std::string>& allowed,
              About about);
  /// Anything else: `parse` turns the text into the field or throws core::Error; `shown` is the
  /// default.
  void custom(const std::string& key, const std::string& shown,
              const std::function<void(const std::string&)>& parse, About about);

  /// A key that what else was given leaves without use: what somebody gave all the same, or
  /// nullptr.
  const Given* idle(const std::string& key);
  /// A problem at a given key; at one that was not given, in the place where its table begins.
  void problem(const std::string& key, const std::string& what, const std::string& hint = "");
  /// Something odd at a given key, for the warnings of the scenario.
  void odd(const std::string& key, const std::string& what);
  [[nodiscard]] const std::vector<std::string>& odds() const { return odds_; }
  /// Something begins or ends at this time of day.
  void on_clock(int minute);
  void on_clock(const core::DaySchedule& hours);
  void on_clock(const core::DayProfile& profile);
  /// The most minutes, at most 60, that divide every time of day that was bound so far.
  [[nodiscard]] int clock_grid_min() const { return clock_grid_min_; }
  /// Was such a table given? One that is empty then says something by being there.
  [[nodiscard]] bool has_table(const std::string& name);
  /// Unknown keys become problems with a suggestion; then all problems are thrown together.
  void finish();
  [[nodiscard]] GivenValues& given() { return given_; }
  [[nodiscard]] bool was_given(const std::string& key) const { return given_.all().contains(key); }
  [[nodiscard]] bool failed() const { return !problems_.empty(); }

 private:
  void note(const std::string& key, const std::string& shown, const Given* given, About about,
            std::optional<core::Quantity> kind = {});
  void check_range(const std::string& key, const Given& given, double value, Range range,
                   core::Quantity kind, const char* unit);

  GivenValues& given_;
  std::vector<Entry>& entries_;
  std::vector<std::string> idle_;
  std::vector<core::InputProblem> problems_;
  std::vector<std::string> odds_;
  int clock_grid_min_ = 60;
};

/// `value_SI` in `unit`, with enough digits to read back: "25 degC".
[[nodiscard]] std::string written(double value_SI, core::Quantity kind, const char* unit);

}  // namespace cabinload::scenario
