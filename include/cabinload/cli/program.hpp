// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <string>

namespace cabinload::study {
class Ranks;
}

/// The command line: the only part that prints and that picks the exit code.
namespace cabinload::cli {

/// What a run of the program leaves behind, so that tests and main() treat it alike.
struct Outcome {
  int exit_code = 0;
  std::string out;  ///< for stdout, whole
  std::string err;  ///< for stderr, what was not shown while running
};

/// What the surroundings allow.
struct Surroundings {
  bool out_is_terminal = false;
  bool err_is_terminal = false;
  bool colour_allowed = true;     ///< NO_COLOR empty and TERM not dumb
  int columns = 0;                ///< of the terminal; 0: not known
  std::string config_file;        ///< the user's own defaults; "": none are read
  study::Ranks* ranks = nullptr;  ///< other processes of the same run, for `study`
};

/// Runs the program with its arguments; never throws.
[[nodiscard]] Outcome run(int argc, const char* const* argv, const Surroundings& surroundings);

}  // namespace cabinload::cli
