// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <memory>

#include "command.hpp"
#include "help_topics.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "Without a word: the topics. With a topic: a screen on what it means for a night in a van, "
    "with the program's own figures. With a command: that command's help. Exit status 0.",
    "What your vehicle does: that is asked of the commands.",
    {"cabinload help night", "cabinload help hold"}};

std::string topics_text() {
  std::string out = "Topics: cabinload help TOPIC\n";
  for (const HelpTopic& t : help_topics()) out += fmt::format("  {:<12}{}\n", t.key, t.about);
  return out + "\nCommands: cabinload help COMMAND, or cabinload COMMAND --help\n";
}

void help(const CLI::App& app, const std::string& word, Context& context) {
  std::vector<std::string> known;
  for (const HelpTopic& t : help_topics()) {
    known.emplace_back(t.key);
    if (word == t.key) context.out = t.text();
  }
  // Two words are both: the topic is read first, and says which command answers.
  for (const CLI::App* command : app.get_subcommands({})) {
    if (std::find(known.begin(), known.end(), command->get_name()) == known.end())
      known.push_back(command->get_name());
    if (word.empty()) continue;
    if (word == command->get_name() && context.out.empty()) context.out = command->help();
  }
  if (word.empty()) {
    context.out = topics_text();
    for (const CLI::App* command : app.get_subcommands({}))
      context.out += report::wrapped(
          fmt::format("  {:<12}{}", command->get_name(), command->get_description()), 80, 14);
  }
  if (!context.out.empty()) return;
  const auto [what, hint] = core::unknown_name(word, known);
  refuse_option("help", what, hint);
}

}  // namespace

void add_help_command(CLI::App& app, Context& context) {
  auto word = std::make_shared<std::string>();
  CLI::App* command = app.add_subcommand("help", "What the figures rest on, topic by topic");
  command->add_option("TOPIC", *word, "a topic or a command; the list without");
  add_help(*command, kHelp);
  command->callback([&app, &context, word] { help(app, *word, context); });
}

}  // namespace cabinload::cli
