// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <cabinload/answers/compare.hpp>
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/load.hpp>
#include <cabinload/answers/pets.hpp>
#include <cabinload/answers/runtime.hpp>
#include <cabinload/answers/size.hpp>
#include <cabinload/answers/what_helps.hpp>
#include <cabinload/simulation/demand.hpp>
#include <cabinload/simulation/failures.hpp>
#include <cabinload/simulation/trace.hpp>
#include <cabinload/study/journal.hpp>
#include <cabinload/study/plan.hpp>
#include <string>

/// Results as HDF5 files: one file a run. FORMAT.md beside the source describes every object.
namespace cabinload::store {

inline constexpr int kFormatMajor = 1, kFormatMinor = 4;
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

/// Everything that one `size`, `compare` or `what-helps` leaves in a file: its rows. They have many
/// scenarios; the one kept is that of the first row, or as the vehicle stands.
/// @{
struct SizeResult : About {
  answers::Sizes answer;
};
/// `compare`.
struct CompareResult : About {
  answers::Comparison answer;
};
/// `what-helps`.
struct HelpsResult : About {
  answers::Helps answer;
};
/// @}

/// Now as ISO 8601, or SOURCE_DATE_EPOCH so that results can be repeated bit by bit.
[[nodiscard]] std::string created_utc();

/// Everything that one `study` leaves in a file; cases are read from the journal as they are
/// written.
struct StudyResult : About {
  const answers::Header& header;
  const study::Plan& plan;
  const study::Journal& journal;
};
/// Reasons of failed cases that a file holds.
inline constexpr std::size_t kMostReasons = 10000;

/// Writes beside the target under a temporary name, closes everything, syncs, renames.
/// @throws core::IoError         as probe, or the disk is full; no partial file is left
/// @throws core::NumericalError  a value that is not finite where FORMAT.md does not allow it
/// @{
void write(const std::string& path, const Result& result, bool force);
void write(const std::string& path, const LoadResult& result, bool force);
void write(const std::string& path, const PetsResult& result, bool force);
void write(const std::string& path, const RuntimeResult& result, bool force);
void write(const std::string& path, const SizeResult& result, bool force);
void write(const std::string& path, const CompareResult& result, bool force);
void write(const std::string& path, const HelpsResult& result, bool force);
void write(const std::string& path, const StudyResult& result, bool force);
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

/// The hours of a stored `hold`, unit on; its start_s counts from 1 January.
/// @throws core::IoError, core::InputError  as read(); also: a group, a column or hours missing
[[nodiscard]] simulation::Hourly read_hourly(const std::string& path);

}  // namespace cabinload::store
