// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/report/terminal.hpp>
#include <cabinload/study/summary.hpp>
#include <string>

namespace cabinload::report {

/// The summary of a study for people.
[[nodiscard]] std::string terminal(const study::Summary& summary, const Style& style);
/// The same as JSON, src/report/schema/study.schema.json.
[[nodiscard]] std::string json(const study::Summary& summary, int indent = 1);
/// @throws core::InputError  it is not the JSON of a study; `file` is where it was kept
[[nodiscard]] study::Summary study_from_json(const std::string& text, const std::string& file);

}  // namespace cabinload::report
