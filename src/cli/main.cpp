// SPDX-License-Identifier: Apache-2.0
#include <unistd.h>
#include <cabinload/cli/program.hpp>
#include <cerrno>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <string>

#ifdef CABINLOAD_MPI
#include <chrono>
#include <thread>
#include "mpi_ranks.hpp"
#endif

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
#ifdef CABINLOAD_MPI
  const auto ranks = cabinload::cli::mpi_ranks(argc, argv);
  surroundings.ranks = ranks.get();
#endif
  const cabinload::cli::Outcome outcome = cabinload::cli::run(argc, argv, surroundings);
#ifdef CABINLOAD_MPI
  // One voice; but what a rank alone knows of ends the job, or the others would wait for it.
  const bool lost = outcome.exit_code > 1 && outcome.exit_code != 4;
  if (ranks && ranks->rank() != 0 && !lost) return 0;
  if (ranks && lost) {
    // What all ranks know (a wrong scenario) the first one says, and ends the others.
    if (ranks->rank() != 0) std::this_thread::sleep_for(std::chrono::seconds(2));
    print(stderr, outcome.err);
    ranks->abort(outcome.exit_code);
  }
#endif
  print(stderr, outcome.err);
  if (!print(stdout, outcome.out)) return 0;
  if (std::ferror(stdout) != 0) {
    std::fputs("stdout: error: cannot be written\n", stderr);
    return 3;
  }
  return outcome.exit_code;
}
