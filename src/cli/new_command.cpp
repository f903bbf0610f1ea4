// SPDX-License-Identifier: Apache-2.0
#include <unistd.h>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <memory>

#include "command.hpp"

namespace cabinload::cli {
namespace {

constexpr const char* kExamples =
    "Every key stands there with its meaning, its default and where that comes from.\n\n"
    "Examples:\n"
    "  cabinload new > my-van.toml\n"
    "  cabinload new --vehicle long-van --insulation good --battery \"5 kWh\" -o my-van.toml\n";

struct NewOptions {
  ScenarioOptions scenario;
  OutputOptions output;
};

void write_text(const std::string& path, const std::string& text, bool force) {
  namespace fs = std::filesystem;
  std::error_code error;
  if (fs::is_directory(path, error))
    throw core::IoError(path, "this is a directory, a file name is needed");
  if (fs::exists(path, error) && !force)
    throw core::IoError(path, "exists already; give another name, or --force to replace it");
  const std::string partial =
      (fs::path(path).parent_path() / ("." + fs::path(path).filename().string() + ".partial"))
          .string();
  std::ofstream out(partial, std::ios::binary);
  if (!out) throw core::IoError(path, std::string("cannot be written: ") + std::strerror(errno));
  out << text;
  out.close();
  if (!out || ::rename(partial.c_str(), path.c_str()) != 0) {
    ::unlink(partial.c_str());
    throw core::IoError(path, std::string("cannot be written: ") + std::strerror(errno));
  }
}

}  // namespace

void add_new(CLI::App& app, Context& context) {
  auto options = std::make_shared<NewOptions>();
  CLI::App* command = app.add_subcommand("new", "A commented scenario to start from");
  add_scenario(*command, options->scenario);
  command->remove_option(command->get_option("SCENARIO"));
  command->add_option("-o,--out", options->output.out_file,
                      "write to this file instead of the terminal");
  command->add_flag("--force", options->output.force, "replace an existing file");
  add_examples(*command, kExamples);
  command->callback([&context, options] {
    const std::string text = scenario::commented_toml(options->scenario.overrides);
    if (options->output.out_file.empty()) {
      context.out = text;
      return;
    }
    write_text(options->output.out_file, text, options->output.force);
    context.err += "written: " + options->output.out_file + "\n";
  });
}

}  // namespace cabinload::cli
