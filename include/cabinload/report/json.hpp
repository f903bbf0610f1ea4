// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/compare.hpp>
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/load.hpp>
#include <cabinload/answers/pets.hpp>
#include <cabinload/answers/roof.hpp>
#include <cabinload/answers/runtime.hpp>
#include <cabinload/answers/size.hpp>
#include <cabinload/answers/weather_summary.hpp>
#include <cabinload/answers/what_helps.hpp>
#include <cabinload/answers/wire.hpp>
#include <string>

/// Answers as JSON: one object, SI with the unit in the key. Described by src/report/schema/*.json.
namespace cabinload::report {

/// Raised when a key changes its meaning or leaves.
inline constexpr int kSchemaVersion = 1;

/// An answer as JSON, by the schema of its name. @param indent  spaces a level; -1: one line
/// @{
[[nodiscard]] std::string json(const answers::Hold& answer, int indent = 2);
[[nodiscard]] std::string json(const answers::Load& answer, int indent = 2);
[[nodiscard]] std::string json(const answers::Pets& answer, int indent = 2);
[[nodiscard]] std::string json(const answers::Runtime& answer, int indent = 2);
[[nodiscard]] std::string json(const answers::WeatherSummary& answer, int indent = 2);
[[nodiscard]] std::string json(const answers::Wire& answer, int indent = 2);
[[nodiscard]] std::string json(const answers::Roof& answer, int indent = 2);
[[nodiscard]] std::string json(const answers::Sizes& answer, int indent = 2);
[[nodiscard]] std::string json(const answers::Comparison& answer, int indent = 2);
[[nodiscard]] std::string json(const answers::Helps& answer, int indent = 2);
/// @}

/// The answer that json() wrote, for results read back from a file.
/// @throws core::InputError  not JSON, another answer, another schema version, a key missing
/// @{
[[nodiscard]] answers::Hold hold_from_json(const std::string& text, const std::string& file);
[[nodiscard]] answers::Load load_from_json(const std::string& text, const std::string& file);
[[nodiscard]] answers::Pets pets_from_json(const std::string& text, const std::string& file);
[[nodiscard]] answers::Runtime runtime_from_json(const std::string& text, const std::string& file);
[[nodiscard]] answers::Sizes sizes_from_json(const std::string& text, const std::string& file);
[[nodiscard]] answers::Comparison comparison_from_json(const std::string& text,
                                                       const std::string& file);
[[nodiscard]] answers::Helps helps_from_json(const std::string& text, const std::string& file);
/// @}
/// Which answer a stored text holds: "hold". @throws core::InputError  not JSON, or no answer
[[nodiscard]] std::string answer_of(const std::string& text, const std::string& file);

}  // namespace cabinload::report
