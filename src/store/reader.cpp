// SPDX-License-Identifier: Apache-2.0
// Reading results back.
#include <H5Cpp.h>
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/store/store.hpp>
#include <cmath>
#include <filesystem>
#include <vector>

namespace cabinload::store {
namespace {

namespace fs = std::filesystem;

/// Of a trace: a year and its last night, with room.
constexpr std::size_t kMostHours = 9000;

/// Readable HDF5 that is not what this program wrote.
struct Damaged {
  std::string what, hint = "this file is not whole";
};

/// One text: of several the library would write past the end of the one it reads into.
bool is_text(const H5::AbstractDs& at) {
  return at.getTypeClass() == H5T_STRING && at.getSpace().getSimpleExtentNpoints() == 1;
}

/// @param read  reads into memory. Into a std::string the library would read a text of any length,
///              and falls over one that was never written.
template <class Read>
std::string text_by(const H5::DataType& type, const std::string& name, Read read) {
  if (!type.isVariableStr()) {
    std::string value(type.getSize(), '\0');
    read(value.data());
    return value.substr(0, value.find('\0'));  // padded
  }
  char* value = nullptr;
  read(&value);
  if (value == nullptr) throw Damaged{"'" + name + "' was never written"};
  std::string text(value);
  H5free_memory(value);
  return text;
}

H5::Attribute attribute_of(const H5::H5Object& at, const char* name) {
  if (!at.attrExists(name)) throw Damaged{"has no attribute '" + std::string(name) + "'"};
  return at.openAttribute(name);
}

std::string text_of(const H5::H5Object& at, const char* name) {
  const H5::Attribute attribute = attribute_of(at, name);
  if (!is_text(attribute)) throw Damaged{"'" + std::string(name) + "' is not one text"};
  const H5::DataType type = attribute.getDataType();
  return text_by(type, name, [&](void* to) { attribute.read(type, to); });
}

/// @throws Damaged  the path leads to something else
H5::DataSet set_of(const H5::H5File& file, const std::string& path) {
  if (file.childObjType(path) != H5O_TYPE_DATASET) throw Damaged{"'" + path + "' is no data set"};
  return file.openDataSet(path);
}

std::string text_set(const H5::H5File& file, const char* path) {
  const H5::DataSet set = set_of(file, path);
  if (!is_text(set)) throw Damaged{"'" + std::string(path) + "' is not one text"};
  const H5::DataType type = set.getDataType();
  return text_by(type, path, [&](void* to) { set.read(to, type); });
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
          "read it with the program version that wrote it" +
              (root.attrExists("program_version") ? ": " + text_of(root, "program_version") : ""));
    return take(file);
  } catch (const Damaged& d) {
    throw wrong(path, d.what, d.hint);
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
  const H5::DataSet set = set_of(file, full);
  const auto n = static_cast<std::size_t>(set.getSpace().getSimpleExtentNpoints());
  if (n > kMostHours)
    throw wrong(path, fmt::format("'{}' has {} rows, and a year {} hours", full, n, 365 * 24),
                "this file is damaged");
  if (rows != 0 && n != rows)
    throw wrong(path, fmt::format("'{}' has {} rows, not {} as 'time'", full, n, rows),
                "this file is not whole");
  std::vector<double> values(n);
  set.read(values.data(), H5::PredType::NATIVE_DOUBLE);
  for (std::size_t i = 0; i < n; ++i)
    if (!std::isfinite(values[i]))
      throw wrong(path, fmt::format("'{}' has no number in row {}", full, i),
                  "this file is damaged");
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
    for (std::size_t i = 1; i < time_h.size(); ++i)
      if (std::abs(time_h[i] - time_h[i - 1] - 1) > 1e-6)
        throw wrong(path,
                    fmt::format("'/trace/hourly/time' does not go on by an hour in row {}", i),
                    "this file is damaged");
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
