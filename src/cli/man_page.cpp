// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <cabinload/answers/common.hpp>
#include <cabinload/core/version.hpp>
#include <sstream>

#include "generate.hpp"
#include "help_topics.hpp"

namespace cabinload::cli {
namespace {

/// Text in which roff sees no command.
std::string plain(const std::string& text) {
  std::string out;
  bool line_starts = true;
  for (const char c : text) {
    if (line_starts && (c == '.' || c == '\'')) out += "\\&";
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else
      out += c;
    line_starts = c == '\n';
  }
  return out;
}

/// Blocks of a help's end: heads, paragraphs, and examples as they are.
std::string footer_of(const std::string& footer) {
  std::string out;
  bool as_is = false;
  std::istringstream lines(footer);
  for (std::string line; std::getline(lines, line);) {
    if (line.empty()) continue;
    if (line[0] == ' ') {
      out += plain(as_is ? line : line.substr(2)) + "\n";
      continue;
    }
    if (as_is) out += ".fi\n";
    as_is = line.starts_with("Examples") || line.starts_with("Start with");
    out += ".PP\n.I \"" + plain(line) + "\"\n" + (as_is ? ".PP\n.nf\n" : ".br\n");
  }
  return out + (as_is ? ".fi\n" : "");
}

std::string options_of(const CommandText& command) {
  std::string out;
  for (const OptionText& o : command.options) {
    std::string names = fmt::format("{}", fmt::join(o.names, ", "));
    if (o.names.empty()) names = o.placeholder;
    std::string value = o.takes_value && !o.names.empty() ? " VALUE" : "";
    if (!value.empty() && !o.values.empty() && o.values.size() < 5)
      value = fmt::format(" {}", fmt::join(o.values, "|"));
    out += ".TP\n.B " + plain(names + value) + "\n" + plain(o.about) + "\n";
  }
  return out;
}

std::string section(const char* head, const std::string& body) {
  return fmt::format(".SH {}\n{}", head, body);
}

std::string item(const std::string& head, const std::string& text) {
  return ".TP\n.B " + plain(head) + "\n" + plain(text) + "\n";
}

std::string environment() {
  return item("CABINLOAD_CONFIG", "the file of your own defaults; none: read no such file") +
         item("XDG_CONFIG_HOME",
              "its place without that: $XDG_CONFIG_HOME/cabinload/config.toml, "
              "or ~/.config/cabinload/config.toml") +
         item("CABINLOAD_WEATHER", "folder of the shipped weather years") +
         item("NO_COLOR",
              "not empty: no colour; as where TERM is dumb, or the output is no "
              "terminal") +
         item("SOURCE_DATE_EPOCH", "time that is written into result files");
}

std::string files() {
  std::string keys =
      "units = \"us\", and the everyday options without their dashes, as weather = "
      "\"/home/me/my-town.epw\". They stand where neither the command line nor the "
      "scenario says otherwise, and every answer says which of its values come from "
      "there. --no-config leaves them aside.";
  return item("~/.config/cabinload/config.toml", "your own defaults: " + keys);
}

}  // namespace

std::string man_page(const std::vector<CommandText>& commands) {
  const CommandText& program = commands.front();
  std::string out = fmt::format(".TH CABINLOAD 1 \"\" \"cabinload {}\" \"User Commands\"\n",
                                core::program_version());
  out +=
      section("NAME", "cabinload \\- will this roof air conditioner let you sleep, in your van?\n");
  out += section("SYNOPSIS", ".B cabinload\n.I COMMAND\n[\\fIOPTIONS\\fR] [\\fISCENARIO\\fR]\n");
  out += section("DESCRIPTION",
                 plain(program.about) + "\n" + footer_of(program.footer) + options_of(program));
  std::string body;
  for (const CommandText& c : commands)
    if (!c.name.empty())
      body += fmt::format(".SS {}\n", plain(c.name)) + plain(c.about) + ".\n" + options_of(c) +
              footer_of(c.footer);
  out += section("COMMANDS", body);
  body.clear();
  for (const HelpTopic& t : help_topics())
    body += item(std::string("cabinload help ") + t.key, t.about);
  out += section("TOPICS", body);
  body.clear();
  for (const ExitWords& e : exit_words()) body += item(std::to_string(e.status), e.words);
  out += section("EXIT STATUS", body) + section("ENVIRONMENT", environment()) +
         section("FILES", files());
  body.clear();
  for (const answers::Caution& c : answers::standing_cautions()) body += item(c.signal, c.text);
  return out + section("CAUTIONS", body);
}

}  // namespace cabinload::cli
