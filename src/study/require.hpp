// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <fmt/format.h>

#include <cabinload/core/error.hpp>
#include <utility>

namespace cabinload::study {

/// Throws the sentence, put together only then, unless `good`.
template <typename... Values>
void require(bool good, fmt::format_string<Values...> sentence, Values&&... values) {
  if (!good) throw core::RangeError(fmt::format(sentence, std::forward<Values>(values)...));
}

}  // namespace cabinload::study
