// SPDX-License-Identifier: Apache-2.0
#pragma once
#include <H5Cpp.h>

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
};

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

}  // namespace cabinload::store
