// SPDX-License-Identifier: Apache-2.0
#include "decisions_store.hpp"

#include <cmath>
#include <limits>
#include <optional>

namespace cabinload::store {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

/// A group of rows: its axis, then columns of numbers and texts.
template <class Row>
class Rows {
 public:
  Rows(H5::Group& root, const char* name, const std::vector<Row>& rows)
      : group_(root.createGroup(name)), rows_(rows) {
    std::vector<double> numbers;
    for (std::size_t i = 0; i < rows.size(); ++i) numbers.push_back(static_cast<double>(i));
    axis_ = put_axis(group_, {"row", "1", "number of the row, from 0", Precision::full}, numbers);
  }
  /// NaN where there is nothing.
  template <class Value>
  void number(const char* name, const char* units, const char* about, Value value) {
    std::vector<double> column;
    for (const Row& r : rows_) column.push_back(value(r));
    put_column(group_, {name, units, about, Precision::full, true}, column, axis_);
  }
  template <class Value>
  void text(const char* name, const char* about, Value value) {
    std::vector<std::string> column;
    for (const Row& r : rows_) column.push_back(value(r));
    put_texts(group_, {name, "1", about}, column, axis_);
  }

 private:
  H5::Group group_;
  const std::vector<Row>& rows_;
  H5::DataSet axis_;
};

}  // namespace

void write_rows(H5::Group& root, const answers::Sizes& a) {
  if (a.sizes.empty()) return;
  using answers::Size;
  Rows<Size> sizes(root, "sizes", a.sizes);
  const auto where_found = [](auto value) {
    return [value](const Size& s) { return s.capacity_W && s.battery_Wh ? value(s) : kNaN; };
  };
  sizes.number("nights_percent", "percent", "share of the nights that need cooling",
               [](const Size& s) { return s.nights_percent; });
  sizes.number("capacity", "W", "least at the rating point; NaN: no size holds it",
               [](const Size& s) { return s.capacity_W.value_or(kNaN); });
  sizes.number("battery", "W h", "least nominal energy; NaN: no size holds it",
               [](const Size& s) { return s.battery_Wh.value_or(kNaN); });
  sizes.number("nights_held", "1", "with that size; NaN: none",
               where_found([](const Size& s) -> double { return s.held; }));
  sizes.number("needing_cooling", "1", "nights that need cooling; NaN: none",
               where_found([](const Size& s) -> double { return s.needing_cooling; }));
  sizes.number("unit_energy", "W h", "median a night; NaN: none",
               where_found([](const Size& s) { return s.electric_Wh; }));
  if (a.trade_off.empty()) return;
  using answers::SizeTrade;
  Rows<SizeTrade> trade(root, "trade_off", a.trade_off);
  trade.number("capacity", "W", "at the rating point", [](const auto& t) { return t.capacity_W; });
  trade.number("battery", "W h", "least that holds the main share; NaN: none does",
               [](const auto& t) { return t.battery_Wh.value_or(kNaN); });
  trade.number("unit_energy", "W h", "median a night", [](const auto& t) { return t.electric_Wh; });
}

void write_rows(H5::Group& root, const answers::Comparison& a) {
  using answers::CompareRow;
  Rows<CompareRow> rows(root, "rows", a.rows);
  rows.text("unit", "cooling unit", [&](const auto& r) { return a.units[r.unit]; });
  rows.text("weather", "climate", [&](const auto& r) { return a.weathers[r.weather].key; });
  rows.text("vehicle", "body", [&](const auto& r) { return a.vehicles[r.vehicle]; });
  rows.text("setting", "what else differs", [&](const auto& r) { return a.settings[r.setting]; });
  rows.text("why", "what lost most of the nights lost; empty: none",
            [](const auto& r) -> std::string { return answers::why_key(r.most_often); });
  rows.number("nights_in_period", "1", "nights", [](const auto& r) { return r.in_period; });
  rows.number("needing_cooling", "1", "nights not held with the unit off",
              [](const auto& r) { return r.needing_cooling; });
  rows.number("nights_held", "1", "of these, with the unit", [](const auto& r) { return r.held; });
  rows.number("unit_energy", "W h", "median a night that needs cooling; NaN: none does",
              [](const auto& r) { return r.electric_Wh; });
  rows.number("minutes_to_limit", "min",
              "fewest from a failure to the animal's limit; NaN: not within the longest branch",
              [](const auto& r) { return std::isfinite(r.minutes) ? r.minutes : kNaN; });
}

void write_rows(H5::Group& root, const answers::Helps& a) {
  if (a.rows.empty()) return;
  using answers::HelpBy;
  using answers::HelpRow;
  Rows<HelpRow> rows(root, "rows", a.rows);
  const auto change = [&](HelpBy by, double sign) {
    return [&a, by, sign](const HelpRow& r) {
      return r.skipped.empty() ? sign * answers::effect(a.now, r.then, by) : kNaN;
    };
  };
  rows.text("key", "improvement", [](const auto& r) { return r.key; });
  rows.text("words", "the same for people", [](const auto& r) { return r.words; });
  rows.text("skipped", "why it was not run; empty: it was",
            [](const auto& r) { return r.skipped; });
  rows.number("nights_held", "1", "change; NaN: not run", change(HelpBy::nights, 1));
  rows.number("unit_energy", "W h", "change of the mean a night; NaN: not run",
              change(HelpBy::energy, -1));
  rows.number("load_peak", "W", "change of the demand's highest hour; NaN: not run",
              change(HelpBy::peak, -1));
  rows.number("minutes_to_limit", "min", "change; NaN: not run", change(HelpBy::minutes, 1));
  rows.number("cost", "1", "as given; NaN: none given",
              [](const auto& r) { return r.cost.value_or(kNaN); });
}

}  // namespace cabinload::store
