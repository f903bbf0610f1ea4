// SPDX-License-Identifier: Apache-2.0
#include "writer.hpp"

#include <hdf5_hl.h>
#include <algorithm>
#include <cabinload/core/error.hpp>
#include <cmath>
#include <cstring>
#include <string_view>

namespace cabinload::store {
namespace {

constexpr hsize_t kChunk = 1464;  // a sixth of a year of hours
constexpr int kDeflate = 4;

H5::StrType utf8(std::size_t length) {
  H5::StrType type(H5::PredType::C_S1, length);
  type.setCset(H5T_CSET_UTF8);
  return type;
}

H5::DSetCreatPropList compressed(hsize_t rows) {
  H5::DSetCreatPropList list;
  const hsize_t chunk = std::max<hsize_t>(1, std::min(rows, kChunk));
  list.setChunk(1, &chunk);
  list.setShuffle();
  list.setDeflate(kDeflate);
  H5Pset_obj_track_times(list.getId(), false);  // equal input gives equal bytes of data
  return list;
}

/// Names of the CF standard name table (version 93) for what it knows: whatever the group, a data
/// set of that name is that quantity. Where or when it holds is said by the long name.
constexpr struct {
  std::string_view name, standard_name;
} kStandardNames[] = {
    {"T_air", "air_temperature"},
    {"T_air_mean", "air_temperature"},
    {"T_air_min", "air_temperature"},
    {"T_air_max", "air_temperature"},
    {"T_bed", "air_temperature"},
    {"T_bed_mean", "air_temperature"},
    {"T_out", "air_temperature"},
    {"T_out_mean", "air_temperature"},
    {"condenser_air", "air_temperature"},
    {"bed_peak", "air_temperature"},
    {"bed_peak_unit_off", "air_temperature"},
    {"outdoor_at_start", "air_temperature"},
    {"outdoor_min", "air_temperature"},
    {"humidity_ratio", "humidity_mixing_ratio"},
    {"co2", "mole_fraction_of_carbon_dioxide_in_air"},
    {"co2_peak", "mole_fraction_of_carbon_dioxide_in_air"},
};

void describe(H5::DataSet& set, const Column& c) {
  put_text(set, "units", c.units);
  put_text(set, "long_name", c.long_name);
  const std::string_view units = c.units;
  if (units == "K" || units == "degC" || units == "degF")
    put_text(set, "units_metadata",
             c.difference ? "temperature: difference" : "temperature: on_scale");
  if (units.find(" since ") != units.npos) {
    put_text(set, "standard_name", "time");
    put_text(set, "calendar", "standard");
    put_text(set, "units_metadata", "leap_seconds: none");
    put_text(set, "axis", "T");
  }
  for (const auto& known : kStandardNames)
    if (known.name == c.name) put_text(set, "standard_name", std::string(known.standard_name));
}

void attach(const H5::DataSet& set, const H5::DataSet& axis) {
  if (H5DSattach_scale(set.getId(), axis.getId(), 0) < 0)
    throw H5::DataSetIException("put_column", "the dimension scale cannot be attached");
}

void write_values(H5::DataSet& set, const std::vector<double>& values) {
  if (!values.empty()) set.write(values.data(), H5::PredType::NATIVE_DOUBLE);
}

}  // namespace

void put_text(H5::H5Object& at, const char* name, const std::string& value) {
  // Of variable length: Python's readers give these as text, fixed ones as bytes.
  const H5::StrType type = utf8(H5T_VARIABLE);
  at.createAttribute(name, type, H5::DataSpace(H5S_SCALAR)).write(type, value);
}

void put_number(H5::H5Object& at, const char* name, double value) {
  at.createAttribute(name, H5::PredType::IEEE_F64LE, H5::DataSpace(H5S_SCALAR))
      .write(H5::PredType::NATIVE_DOUBLE, &value);
}

void put_text_set(H5::Group& group, const char* name, const std::string& value,
                  const char* long_name) {
  const H5::StrType type = utf8(std::max<std::size_t>(1, value.size()));
  H5::DSetCreatPropList list;
  H5Pset_obj_track_times(list.getId(), false);
  H5::DataSet set = group.createDataSet(name, type, H5::DataSpace(H5S_SCALAR), list);
  set.write(value, type);
  put_text(set, "units", "1");
  put_text(set, "long_name", long_name);
}

void put_texts(H5::Group& group, const Column& c, const std::vector<std::string>& values,
               const H5::DataSet& axis) {
  std::size_t length = 1;
  for (const std::string& v : values) length = std::max(length, v.size());
  std::string block(values.size() * length, '\0');
  for (std::size_t i = 0; i < values.size(); ++i)
    std::memcpy(block.data() + i * length, values[i].data(), values[i].size());
  const hsize_t rows = values.size();
  const H5::StrType type = utf8(length);
  H5::DataSet set = group.createDataSet(c.name, type, H5::DataSpace(1, &rows), compressed(rows));
  if (rows > 0) set.write(block.data(), type);
  describe(set, c);
  attach(set, axis);
}

H5::DataSet put_axis(H5::Group& group, const Column& c, const std::vector<double>& values) {
  const hsize_t rows = values.size();
  H5::DataSet set = group.createDataSet(c.name, H5::PredType::IEEE_F64LE, H5::DataSpace(1, &rows),
                                        compressed(rows));
  write_values(set, values);
  describe(set, c);
  if (H5DSset_scale(set.getId(), c.name) < 0)
    throw H5::DataSetIException("put_axis", "the dimension scale cannot be made");
  return set;
}

void put_column(H5::Group& group, const Column& c, const std::vector<double>& values,
                const H5::DataSet& axis) {
  if (!c.may_be_nan &&
      !std::all_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); }))
    throw core::NumericalError(std::string("result column '") + c.name +
                               "' holds a value that is not finite; nothing was written");
  const hsize_t rows = values.size();
  const auto& type =
      c.precision == Precision::full ? H5::PredType::IEEE_F64LE : H5::PredType::IEEE_F32LE;
  H5::DataSet set = group.createDataSet(c.name, type, H5::DataSpace(1, &rows), compressed(rows));
  write_values(set, values);
  describe(set, c);
  attach(set, axis);
}

std::string set_name(const char* before, const std::string& key) {
  std::string name = before;
  for (const char c : key) name += std::isalnum(static_cast<unsigned char>(c)) != 0 ? c : '_';
  return name;
}

H5::DataSet put_empty(H5::Group& group, const Column& c, std::uint64_t rows,
                      const H5::DataSet* axis) {
  const hsize_t size = rows;
  const auto& type =
      c.precision == Precision::full ? H5::PredType::IEEE_F64LE : H5::PredType::IEEE_F32LE;
  H5::DataSet set = group.createDataSet(c.name, type, H5::DataSpace(1, &size), compressed(size));
  describe(set, c);
  if (axis != nullptr)
    attach(set, *axis);
  else if (H5DSset_scale(set.getId(), c.name) < 0)
    throw H5::DataSetIException("put_empty", "the dimension scale cannot be made");
  return set;
}

void write_rows(H5::DataSet& set, std::uint64_t from, const std::vector<double>& values) {
  if (values.empty()) return;
  const hsize_t start = from, count = values.size();
  H5::DataSpace file = set.getSpace();
  file.selectHyperslab(H5S_SELECT_SET, &count, &start);
  set.write(values.data(), H5::PredType::NATIVE_DOUBLE, H5::DataSpace(1, &count), file);
}

}  // namespace cabinload::store
