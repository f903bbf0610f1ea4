// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <H5Cpp.h>

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

namespace cabinload::store {

enum class Precision { single, full };

/// How a data set is described, after the CF conventions.
struct Column {
  const char* name = "";
  const char* units = "1";  ///< UDUNITS spelling
  const char* long_name = "";
  Precision precision = Precision::single;
  bool may_be_nan = false;
  bool difference = false;  ///< of temperatures, not a temperature
};

/// The name of a data set: what is put before it, then letters and digits of a key.
[[nodiscard]] std::string set_name(const char* before, const std::string& key);

void put_text(H5::H5Object& at, const char* name, const std::string& value);
void put_number(H5::H5Object& at, const char* name, double value);
/// Variable-length UTF-8 text as a scalar data set.
void put_text_set(H5::Group& group, const char* name, const std::string& value,
                  const char* long_name);
/// Fixed-length texts, one a row, along a dimension scale.
void put_texts(H5::Group& group, const Column& column, const std::vector<std::string>& values,
               const H5::DataSet& scale);

/// A dimension scale: the axis other columns of the group attach to.
H5::DataSet put_axis(H5::Group& group, const Column& column, const std::vector<double>& values);
/// A column along an axis; chunked and compressed. @throws core::NumericalError  not finite and not
/// allowed
void put_column(H5::Group& group, const Column& column, const std::vector<double>& values,
                const H5::DataSet& axis);

/// A column (or, without an axis, an axis) of that many rows, filled later by write_rows().
H5::DataSet put_empty(H5::Group& group, const Column& column, std::uint64_t rows,
                      const H5::DataSet* axis);
/// Rows from `from` on.
void write_rows(H5::DataSet& set, std::uint64_t from, const std::vector<double>& values);

}  // namespace cabinload::store
