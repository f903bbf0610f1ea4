// SPDX-License-Identifier: Apache-2.0
// Manual page and completions, written from the options as the commands declare them.
#pragma once
#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace cabinload::cli {

/// An option or a positional of a command.
struct OptionText {
  std::vector<std::string> names;  ///< "-o", "--out"; empty: a positional
  std::string placeholder;         ///< "SCENARIO"; of a positional
  std::string about;
  bool takes_value = false;
  std::vector<std::string> values;  ///< those it knows; empty: anything
};
struct CommandText {
  std::string name, about, footer;
  std::vector<OptionText> options;  ///< positionals too
};
/// The program itself first, under the name "", then its commands.
[[nodiscard]] std::vector<CommandText> command_texts(const CLI::App& app);

/// An exit status and what it says.
struct ExitWords {
  int status;
  const char* words;
};
[[nodiscard]] const std::vector<ExitWords>& exit_words();

/// @param kind  "man", "bash", "zsh" or "fish"
[[nodiscard]] std::string generate(const CLI::App& app, const std::string& kind);

// One file each.
[[nodiscard]] std::string man_page(const std::vector<CommandText>& commands);
[[nodiscard]] std::string bash_completion(const std::vector<CommandText>& commands);
[[nodiscard]] std::string zsh_completion(const std::vector<CommandText>& commands);
[[nodiscard]] std::string fish_completion(const std::vector<CommandText>& commands);

}  // namespace cabinload::cli
