// SPDX-License-Identifier: Apache-2.0
#pragma once
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

}  // namespace cabinload::cli
