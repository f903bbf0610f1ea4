// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/report/terminal.hpp>
#include <cabinload/scenario/scenario.hpp>
#include <cabinload/store/store.hpp>
#include <string>

#include "command.hpp"

namespace cabinload::cli {

/// What every result file says of its run.
inline store::About about(const Context& context, const scenario::Scenario& scenario,
                          const std::string& json, int first_day) {
  return {scenario::effective_toml(scenario), json, context.command_line, first_day};
}

/// Writes the file that --out asked for, and says so; nothing without it.
template <class Result>
void keep(Context& context, const OutputOptions& output, const Result& result) {
  if (output.out_file.empty()) return;
  store::write(output.out_file, result, output.force);
  if (!output.quiet) context.err += "written: " + output.out_file + "\n";
}

/// What a command ends with: the file of --out, the answer as text or JSON, the table of --csv.
template <class Answer, class Result>
void tell(Context& context, const OutputOptions& output, const Answer& answer,
          const std::string& json, const Result& result) {
  keep(context, output, result);
  context.out = output.json ? json : report::terminal(answer, output.style(context));
  keep_csv(context, output, json);
}

}  // namespace cabinload::cli
