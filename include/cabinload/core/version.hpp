// SPDX-License-Identifier: Apache-2.0
#pragma once

namespace cabinload::core {

/// "0.1.0", of the CMake project.
[[nodiscard]] const char* program_version();
/// Short revision of the source tree when the build was configured; "unknown" without git.
[[nodiscard]] const char* git_revision();

}  // namespace cabinload::core
