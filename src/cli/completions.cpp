// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <fmt/ranges.h>

#include "generate.hpp"

namespace cabinload::cli {
namespace {

constexpr const char* kMade =
    "# cabinload --generate {}: written from the program's own options.\n";

/// Inside single quotes of a shell.
std::string quoted(const std::string& text, const std::string& escaped_too = "") {
  std::string out;
  for (const char c : text) {
    if (c == '\'')
      out += "'\\''";
    else if (escaped_too.find(c) != std::string::npos)
      out += std::string("\\") + c;
    else
      out += c == '\n' ? ' ' : c;
  }
  return out;
}

std::vector<std::string> all_names(const CommandText& command) {
  std::vector<std::string> names;
  for (const OptionText& o : command.options)
    names.insert(names.end(), o.names.begin(), o.names.end());
  return names;
}

std::vector<std::string> commands_of(const std::vector<CommandText>& commands) {
  std::vector<std::string> names;
  for (const CommandText& c : commands)
    if (!c.name.empty()) names.push_back(c.name);
  return names;
}

/// What stands where no option does: known names, or a file.
std::vector<std::string> positional_values(const CommandText& command) {
  for (const OptionText& o : command.options)
    if (o.names.empty() && !o.values.empty()) return o.values;
  return {};
}

}  // namespace

std::string bash_completion(const std::vector<CommandText>& commands) {
  std::string out = fmt::format(kMade, "bash") +
                    "_cabinload() {\n"
                    "  local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]}\n"
                    "  local command= word options values=\n"
                    "  for word in \"${COMP_WORDS[@]:1:COMP_CWORD-1}\"; do\n"
                    "    case $word in -*) ;; *) command=$word; break ;; esac\n"
                    "  done\n"
                    "  case $command in\n";
  for (const CommandText& c : commands) {
    std::vector<std::string> words = all_names(c);
    const std::vector<std::string> more =
        c.name.empty() ? commands_of(commands) : positional_values(c);
    words.insert(words.end(), more.begin(), more.end());
    out += fmt::format("    {}) options='{}'\n      case $before in\n",
                       c.name.empty() ? "''" : c.name, fmt::join(words, " "));
    for (const OptionText& o : c.options)
      if (!o.names.empty() && o.takes_value)
        out += fmt::format("        {}) options= values='{}' ;;\n", fmt::join(o.names, "|"),
                           fmt::join(o.values, " "));
    out += "      esac ;;\n";
  }
  return out +
         "  esac\n"
         "  COMPREPLY=($(compgen -W \"$options $values\" -- \"$current\"))\n"
         "}\n"
         "complete -o default -F _cabinload cabinload\n";
}

std::string zsh_completion(const std::vector<CommandText>& commands) {
  const auto arguments = [](const CommandText& c) {
    std::string out;
    for (const OptionText& o : c.options) {
      const std::string about = quoted(o.about, "[]:\\");
      const std::string value =
          o.values.empty()
              ? ":value:_files"
              : fmt::format(":value:({})", quoted(fmt::format("{}", fmt::join(o.values, " "))));
      for (const std::string& name : o.names)
        out += fmt::format(" \\\n        '{}[{}]{}'", name, about, o.takes_value ? value : "");
    }
    return out;
  };
  std::string out = std::string("#compdef cabinload\n") + fmt::format(kMade, "zsh") +
                    "_cabinload() {\n"
                    "  local state line\n"
                    "  local -a commands\n"
                    "  _arguments -C" +
                    arguments(commands.front()) +
                    " \\\n        '1:command:->command' '*::argument:->argument'\n"
                    "  case $state in\n"
                    "    command)\n      commands=(\n";
  for (const CommandText& c : commands)
    if (!c.name.empty()) out += fmt::format("        '{}:{}'\n", c.name, quoted(c.about, ":\\"));
  out += "      )\n      _describe command commands ;;\n    argument)\n      case $words[1] in\n";
  for (const CommandText& c : commands) {
    if (c.name.empty()) continue;
    const std::vector<std::string> names = positional_values(c);
    out +=
        fmt::format("      {}) _arguments{} \\\n        '*:argument:{}' ;;\n", c.name, arguments(c),
                    names.empty() ? "_files" : fmt::format("({})", fmt::join(names, " ")));
  }
  return out + "      esac ;;\n  esac\n}\n_cabinload \"$@\"\n";
}

std::string fish_completion(const std::vector<CommandText>& commands) {
  std::string out = fmt::format(kMade, "fish");
  for (const CommandText& c : commands) {
    const std::string where =
        c.name.empty() ? "__fish_use_subcommand" : "__fish_seen_subcommand_from " + c.name;
    if (!c.name.empty())
      out += fmt::format("complete -c cabinload -n __fish_use_subcommand -f -a {} -d '{}'\n",
                         c.name, quoted(c.about, "\\"));
    for (const OptionText& o : c.options) {
      std::string names;
      for (const std::string& name : o.names)
        names += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
      const std::string values =
          o.values.empty() ? "" : fmt::format(" -a '{}'", fmt::join(o.values, " "));
      if (o.names.empty() && o.values.empty()) continue;  // a file: fish offers them of itself
      const char* kind = !o.takes_value || o.names.empty() ? "" : o.values.empty() ? " -r" : " -x";
      out += fmt::format("complete -c cabinload -n '{}'{}{}{} -d '{}'\n", where, names, kind,
                         values, quoted(o.about, "\\"));
    }
  }
  return out;
}

}  // namespace cabinload::cli
