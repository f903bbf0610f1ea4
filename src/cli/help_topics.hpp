// SPDX-License-Identifier: Apache-2.0
// What a newcomer wants to know before the figures mean anything: a screen a topic.
#pragma once
#include <string>
#include <vector>

namespace cabinload::cli {

struct HelpTopic {
  const char *key, *about;
  std::string (*text)();  ///< lines of at most 80 columns; numbers from the tables of the program
};
[[nodiscard]] const std::vector<HelpTopic>& help_topics();

}  // namespace cabinload::cli
