// SPDX-License-Identifier: Apache-2.0
// What the JSON of all answers shares.
#pragma once
#include <cabinload/answers/hold.hpp>
#include <cabinload/core/error.hpp>
#include <exception>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

namespace cabinload::report {

using Json = nlohmann::ordered_json;

/// JSON has no NaN: null.
[[nodiscard]] Json number(double value);
[[nodiscard]] double number_of(const Json& value);

/// What has no end is null, and back as infinity.
[[nodiscard]] double endless_of(const Json& value);
/// null where there is none, and back.
template <class Value>
Json maybe(const std::optional<Value>& value) {
  return value ? Json(*value) : Json(nullptr);
}
template <class Value>
std::optional<Value> maybe_of(const Json& j) {
  return j.is_null() ? std::nullopt : std::optional<Value>(j.get<Value>());
}

/// "21:30" of seconds after midnight, null of NaN, and back.
[[nodiscard]] Json clock_json(double second_of_day);
[[nodiscard]] double clock_of(const Json& j);
/// "07-14 21:30", and back.
struct Moment {
  core::Date date;
  double second_of_day = 0;
};
[[nodiscard]] std::string moment_text(const Moment& m);
[[nodiscard]] Moment moment_of(const Json& j);

/// A reason by its key, null for none, and back.
[[nodiscard]] Json why_json(answers::Why why);
[[nodiscard]] answers::Why why_of(const Json& j);

/// Low, median and high of the vans drawn, and back.
[[nodiscard]] Json likely_json(const answers::Likely& l);
[[nodiscard]] answers::Likely likely_of(const Json& j);

/// What every answer says about itself, and back.
[[nodiscard]] Json header_json(const answers::Header& h);
[[nodiscard]] answers::Header header_of(const Json& j);

/// Is this the JSON of that answer, of a version that this program reads?
/// @throws core::InputError  it is not; `file` is where it was kept
void require_answer(const Json& j, const char* answer, const std::string& file);
/// What to throw when a key is missing or of another kind.
[[nodiscard]] core::InputError unreadable(const std::exception& e, const std::string& file);

/// Reads an answer back: `fill(answer, json)` takes what lies beside its header.
/// @throws core::InputError  not JSON, another answer, another schema version, a key missing or
/// with what it cannot hold
template <class Answer, class Fill>
Answer answer_from(const std::string& text, const char* name, const std::string& file, Fill fill) {
  try {
    const Json j = Json::parse(text);
    require_answer(j, name, file);
    Answer a;
    a.header = header_of(j);
    fill(a, j);
    return a;
  } catch (const core::InputError&) {
    throw;
  } catch (const core::Error& e) {  // a date, a clock, a name
    throw unreadable(e, file);
  } catch (const Json::exception& e) {
    throw unreadable(e, file);
  }
}

}  // namespace cabinload::report
