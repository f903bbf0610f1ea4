// SPDX-License-Identifier: Apache-2.0
// Reading results back.
#include <H5Cpp.h>
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/store/store.hpp>
#include <filesystem>
#include <vector>

namespace cabinload::store {
namespace {

namespace fs = std::filesystem;

/// One text: of several the library would write past the end of the one it reads into.
bool is_text(const H5::AbstractDs& at) {
  return at.getTypeClass() == H5T_STRING && at.getSpace().getSimpleExtentNpoints() == 1;
}

H5::Attribute attribute_of(const H5::H5Object& at, const char* name) {
  if (!at.attrExists(name))
    throw H5::AttributeIException("attribute", "there is no attribute '" + std::string(name) + "'");
  return at.openAttribute(name);
}

std::string text_of(const H5::H5Object& at, const char* name) {
  const H5::Attribute attribute = attribute_of(at, name);
  if (!is_text(attribute))
    throw H5::AttributeIException("attribute", "'" + std::string(name) + "' is not one text");
  std::string value;
  attribute.read(attribute.getDataType(), value);
  return value.substr(0, value.find('\0'));  // texts of fixed length are padded
}

std::string text_set(const H5::H5File& file, const char* path) {
  const H5::DataSet set = file.openDataSet(path);
  if (!is_text(set))
    throw H5::DataSetIException("text", "'" + std::string(path) + "' is not one text");
  std::string value;
  set.read(value, set.getStrType());
  return value;
}

core::InputError wrong(const std::string& path, const std::string& what, const std::string& hint) {
  return core::InputError({path, 0, 0, "", what, hint});
}

/// Opens a file of ours for reading, and hands it on.
template <class Take>
auto opened(const std::string& path, Take take) {
  H5::Exception::dontPrint();
  std::error_code error;
  if (!fs::exists(path, error)) throw core::IoError(path, "there is no such file");
  if (fs::is_directory(path, error))
    throw core::IoError(path, "this is a directory, a file name is needed");
  try {
    if (!H5::H5File::isHdf5(path.c_str()))
      throw wrong(path, "is not an HDF5 file", "results are written by `--out FILE.h5`");
    const H5::H5File file(path, H5F_ACC_RDONLY);
    const H5::Group root = file.openGroup("/");
    if (!root.attrExists("filetype") || !is_text(root.openAttribute("filetype")) ||
        text_of(root, "filetype") != kFileType)
      throw wrong(path, "is HDF5, but no cabinload result",
                  "its root attribute 'filetype' would say 'cabinload result'");
    const H5::Attribute format = attribute_of(root, "format_version");
    int version[2] = {0, 0};
    if (format.getSpace().getSimpleExtentNpoints() != 2)
      throw wrong(path, "has a 'format_version' that is not two numbers", "the file is damaged");
    format.read(H5::PredType::NATIVE_INT, version);
    if (version[0] != kFormatMajor)
      throw wrong(
          path,
          fmt::format("has format {}.{}, this program reads {}.x", version[0], version[1],
                      kFormatMajor),
          "read it with the program version that wrote it: " + text_of(root, "program_version"));
    return take(file);
  } catch (const H5::Exception& e) {
    throw wrong(path, "cannot be read as HDF5: " + e.getDetailMsg(), "the file may be cut off");
  }
}

void require(const std::string& path, const H5::H5File& file, const std::string& object) {
  // Link by link: HDF5 asks for the way to it first.
  for (std::size_t slash = object.find('/', 1);; slash = object.find('/', slash + 1)) {
    if (!file.nameExists(object.substr(0, slash)))
      throw wrong(path, "has no '" + object.substr(0, slash) + "'",
                  "FORMAT.md lists what a result holds; this one is not whole");
    if (slash == std::string::npos) return;
  }
}

std::vector<double> column_of(const std::string& path, const H5::H5File& file, const char* name,
                              std::size_t rows) {
  const std::string full = std::string("/trace/hourly/") + name;
  require(path, file, full);
  const H5::DataSet set = file.openDataSet(full);
  const auto n = static_cast<std::size_t>(set.getSpace().getSimpleExtentNpoints());
  if (rows != 0 && n != rows)
    throw wrong(path, fmt::format("'{}' has {} rows, not {} as 'time'", full, n, rows),
                "this file is not whole");
  std::vector<double> values(n);
  set.read(values.data(), H5::PredType::NATIVE_DOUBLE);
  return values;
}

}  // namespace

Stored read(const std::string& path) {
  return opened(path, [&](const H5::H5File& file) {
    for (const char* object : {"/answer/json", "/scenario/toml"}) require(path, file, object);
    const H5::Group root = file.openGroup("/");
    return Stored{text_set(file, "/answer/json"), text_set(file, "/scenario/toml"),
                  text_of(root, "program_version"), text_of(root, "command_line"),
                  text_of(root, "created_utc")};
  });
}

simulation::Hourly read_hourly(const std::string& path) {
  return opened(path, [&](const H5::H5File& file) {
    simulation::Hourly h;
    const std::vector<double> time_h = column_of(path, file, "time", 0);
    if (time_h.empty()) throw wrong(path, "'/trace/hourly' has no hours", "");
    h.start_s = time_h.front() * core::kSecondsInHour;
    const struct {
      const char* name;
      std::vector<double>& values;
    } columns[] = {{"T_out_mean", h.T_out_mean_K},
                   {"T_air_mean", h.T_air_mean_K},
                   {"T_bed_mean", h.T_bed_mean_K},
                   {"unit_power", h.unit_electric_W},
                   {"other_power", h.other_W},
                   {"solar_power", h.solar_W},
                   {"alternator_power", h.alternator_W},
                   {"shore_power", h.shore_W},
                   {"state_of_charge", h.state_of_charge_end_1}};
    for (const auto& c : columns) c.values = column_of(path, file, c.name, time_h.size());
    return h;
  });
}

}  // namespace cabinload::store
