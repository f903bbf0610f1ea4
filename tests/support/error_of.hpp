// SPDX-License-Identifier: Apache-2.0
// The words of an error, for tests of messages.
#pragma once
#include <cabinload/core/error.hpp>
#include <string>

namespace cabinload::test {

/// What an action fails with; "no error" when it does not.
template <class Act>
std::string error_of(Act act) {
  try {
    act();
  } catch (const core::Error& e) {
    return e.what();
  }
  return "no error";
}

}  // namespace cabinload::test
