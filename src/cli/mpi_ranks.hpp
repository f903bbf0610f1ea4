// SPDX-License-Identifier: Apache-2.0
// Ranks of a study under MPI; part of the program, not of the library, which knows no MPI.
#pragma once
#include <cabinload/study/run_study.hpp>
#include <memory>

namespace cabinload::cli {

/// The ranks, when the program was started as one of several; else nullptr, and MPI stays asleep.
[[nodiscard]] std::unique_ptr<study::Ranks> mpi_ranks(int& argc, char**& argv);

}  // namespace cabinload::cli
