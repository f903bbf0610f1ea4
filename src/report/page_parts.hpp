// SPDX-License-Identifier: Apache-2.0
// Pieces of HTML. Whatever comes as text is escaped here, once; what comes as `Html` is markup.
#pragma once
#include <cabinload/report/page.hpp>
#include <cabinload/report/terminal.hpp>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "json_parts.hpp"
#include "text.hpp"

namespace cabinload::report::page {

/// Markup; only the functions below make it from text.
struct Html {
  std::string text;
  Html& operator+=(const Html& more) {
    text += more.text;
    return *this;
  }
};
[[nodiscard]] Html operator+(Html a, const Html& b);

/// Text, escaped.
[[nodiscard]] Html plain(std::string_view text);
/// Text that somebody else wrote (names): its direction of writing stays its own.
[[nodiscard]] Html foreign(std::string_view text);
/// The same as a block of its own, which scrolls where the text is very long.
[[nodiscard]] Html long_foreign(std::string_view text);
/// `before` and `after` are markup of this program.
[[nodiscard]] Html wrap(const char* before, const Html& inside, const char* after);
/// A value or sentence in both unit systems; the page shows one of them.
[[nodiscard]] Html both(const std::function<std::string(const Style&)>& words);
[[nodiscard]] Html both(const std::string& si, const std::string& us);

using report::in_us;
[[nodiscard]] Html converted(const std::string& text);  ///< both() of a text and in_us() of it

/// A table with a caption for those who do not see it.
class Table {
 public:
  enum class Kind { text, number };
  struct Column {
    std::string head;
    Kind kind = Kind::number;
  };
  Table(const std::string& caption, std::vector<Column> columns, const char* css_class = "");
  /// The first cell is the row's head.
  Table& row(const std::vector<Html>& cells, const char* css_class = "");
  /// A line that heads the rows below it.
  Table& group(const std::string& words);
  [[nodiscard]] Html html() const;

 private:
  std::vector<Column> columns_;
  std::string head_, body_;
};

/// What opens on a click: the table beside a chart.
[[nodiscard]] Html folded(const std::string& summary, const Html& inside);
/// A chart that page.js draws from data[id], with its description and the same as a table.
[[nodiscard]] Html chart(const std::string& id, const std::string& caption,
                         const std::string& description, const Html& table);
/// A part of the page with a heading.
[[nodiscard]] Html section(const char* id, const char* heading, const Html& inside,
                           const char* css_class = "");
/// In the place of an answer: why there is none; nothing when nobody asked.
[[nodiscard]] Html no_answer(const char* id, const char* heading, const std::string& problem);
/// Cautions as a list, the signal words first.
[[nodiscard]] Html caution_list(const std::vector<answers::Caution>& cautions);

/// JSON that nothing in it can end the element in which it stands.
[[nodiscard]] std::string embedded(const Json& data);

// The parts of the page, each in a file with others of its kind.
[[nodiscard]] Html opening(const Page& page);
[[nodiscard]] Html season(const Page& page, Json& data);
[[nodiscard]] Html night(const Page& page, Json& data);
[[nodiscard]] Html heat(const Page& page, Json& data);
[[nodiscard]] Html electricity(const Page& page, Json& data);
[[nodiscard]] Html advice(const Page& page);
[[nodiscard]] Html wiring(const Page& page);
[[nodiscard]] Html roof_plan(const Page& page);
[[nodiscard]] Html animals(const Page& page);
[[nodiscard]] Html cautions(const Page& page);
[[nodiscard]] Html basis(const Page& page);

}  // namespace cabinload::report::page
