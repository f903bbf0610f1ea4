// SPDX-License-Identifier: Apache-2.0
#include <unistd.h>
#include <cabinload/cli/program.hpp>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <string>

namespace {

/// Writes all of a text; false when the reader is gone.
bool print(std::FILE* stream, const std::string& text) {
  errno = 0;
  const bool written =
      std::fwrite(text.data(), 1, text.size(), stream) == text.size() && std::fflush(stream) == 0;
  return written || errno != EPIPE;
}

}  // namespace

int main(int argc, char** argv) {
  std::signal(SIGPIPE, SIG_IGN);  // a closed pipe is a quiet end
  const char* no_color = std::getenv("NO_COLOR");
  const char* term = std::getenv("TERM");
  cabinload::cli::Surroundings surroundings;
  surroundings.out_is_terminal = isatty(STDOUT_FILENO) != 0;
  surroundings.err_is_terminal = isatty(STDERR_FILENO) != 0;
  surroundings.colour_allowed = (no_color == nullptr || *no_color == '\0') &&
                                !(term != nullptr && std::string(term) == "dumb");
  const cabinload::cli::Outcome outcome = cabinload::cli::run(argc, argv, surroundings);
  print(stderr, outcome.err);
  if (!print(stdout, outcome.out)) return 0;
  if (std::ferror(stdout) != 0) {
    std::fputs("stdout: error: cannot be written\n", stderr);
    return 3;
  }
  return outcome.exit_code;
}
