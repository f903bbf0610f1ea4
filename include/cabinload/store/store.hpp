// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/load.hpp>
#include <cabinload/answers/pets.hpp>
#include <cabinload/answers/runtime.hpp>
#include <cabinload/simulation/demand.hpp>
#include <cabinload/simulation/failures.hpp>
#include <cabinload/simulation/trace.hpp>
#include <string>

/// Results as HDF5 files: one file a run. FORMAT.md beside the source describes every object.
namespace cabinload::store {

inline constexpr int kFormatMajor = 1, kFormatMinor = 3;
inline constexpr const char* kFileType = "cabinload result";

/// What every file holds.
struct About {
  std::string scenario_toml;  ///< every default spelled out
  std::string answer_json;    ///< as report::json wrote it
  std::string command_line;
  int first_day = 0;  ///< day of the year from which traces count their seconds
};

/// Everything that one `hold` leaves in a file.
struct Result : About {
  answers::Hold answer;
  simulation::Trace unit_on, unit_off;
};

/// Everything that one `load` leaves in a file.
struct LoadResult : About {
  answers::Load answer;
  simulation::Demand demand;
};

/// Everything that one `pets` leaves in a file.
struct PetsResult : About {
  answers::Pets answer;
  simulation::Failures runs;
};

/// Everything that one `runtime` leaves in a file.
struct RuntimeResult : About {
  answers::Runtime answer;
  simulation::Trace trace;
};

/// Writes beside the target under a temporary name, closes everything, syncs, renames.
/// @throws core::IoError         as probe, or the disk is full; no partial file is left
/// @throws core::NumericalError  a value that is not finite where FORMAT.md does not allow it
/// @{
void write(const std::string& path, const Result& result, bool force);
void write(const std::string& path, const LoadResult& result, bool force);
void write(const std::string& path, const PetsResult& result, bool force);
void write(const std::string& path, const RuntimeResult& result, bool force);
/// @}

/// What `show` needs of a file.
struct Stored {
  std::string answer_json, scenario_toml, program_version, command_line, created_utc;
};
/// @throws core::IoError     no such file
/// @throws core::InputError  not HDF5, not ours, cut off, or of a format this program does not read
/// (found and
///                           expected are named)
[[nodiscard]] Stored read(const std::string& path);

}  // namespace cabinload::store
