// SPDX-License-Identifier: Apache-2.0
// The plan of a study given as text.
#pragma once
#include <cabinload/study/plan.hpp>
#include <optional>
#include <string>

#include "support/scenario_text.hpp"

namespace cabinload::test {

/// Its file stays until the next one, as a plan reads it again for its cases.
inline study::Plan plan_of_text(const std::string& toml) {
  static std::optional<ScenarioFile> file;
  file.emplace(toml);
  return study::plan_of(scenario::read(file->path(), {}), {});
}

}  // namespace cabinload::test
