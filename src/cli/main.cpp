// SPDX-License-Identifier: Apache-2.0
#include <sys/ioctl.h>
#include <unistd.h>
#include <cabinload/cli/program.hpp>
#include <cabinload/core/error.hpp>
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

using cabinload::core::ExitCode;

/// Writes all of a text; false when the reader is gone.
bool print(std::FILE* stream, const std::string& text) {
  errno = 0;
  const bool written =
      std::fwrite(text.data(), 1, text.size(), stream) == text.size() && std::fflush(stream) == 0;
  return written || errno != EPIPE;
}

/// Where the user's own defaults are: $CABINLOAD_CONFIG ("none": nowhere), or the place that the
/// XDG base directory specification says, if there is such a file.
std::string config_file() {
  if (const char* file = std::getenv("CABINLOAD_CONFIG"))
    return std::string(file) == "none" ? "" : file;
  const char* xdg = std::getenv("XDG_CONFIG_HOME");
  const char* home = std::getenv("HOME");
  std::string folder;
  if (xdg != nullptr && *xdg == '/')  // others are to be ignored
    folder = xdg;
  else if (home != nullptr && *home == '/')
    folder = std::string(home) + "/.config";
  const std::string file = folder.empty() ? "" : folder + "/cabinload/config.toml";
  return !file.empty() && access(file.c_str(), F_OK) == 0 ? file : "";
}

/// Columns of the terminal; without one what COLUMNS says; 0: not known.
int columns() {
  winsize size{};
  if (ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) return size.ws_col;
  const char* said = std::getenv("COLUMNS");
  return said != nullptr ? std::atoi(said) : 0;
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
  surroundings.columns = columns();
  surroundings.config_file = config_file();
#ifdef CABINLOAD_MPI
  const auto ranks = cabinload::cli::mpi_ranks(argc, argv);
  surroundings.ranks = ranks.get();
  // The launcher passes on what a rank says; where to, a rank cannot know.
  if (ranks) surroundings.out_is_terminal = surroundings.err_is_terminal = false;
#endif
  const cabinload::cli::Outcome outcome = cabinload::cli::run(argc, argv, surroundings);
#ifdef CABINLOAD_MPI
  // One voice; but what a rank alone knows of ends the job, or the others would wait for it.
  const bool lost =
      outcome.exit_code > 1 && outcome.exit_code != static_cast<int>(ExitCode::numerical);
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
    return static_cast<int>(ExitCode::file_or_system);
  }
  return outcome.exit_code;
}
