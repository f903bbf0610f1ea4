// SPDX-License-Identifier: Apache-2.0
#include <H5Cpp.h>
#include <sys/stat.h>

#include <cabinload/core/error.hpp>
#include <cabinload/core/output_file.hpp>
#include <cabinload/store/store.hpp>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>

#include "support/catch.hpp"

namespace core = cabinload::core;
namespace fs = std::filesystem;
namespace store = cabinload::store;
using cabinload::test::contains;

namespace {

class Folder {
 public:
  Folder() : path_(fs::temp_directory_path() / "cabinload-store-test") {
    fs::remove_all(path_);
    fs::create_directories(path_);
  }
  ~Folder() {
    fs::permissions(path_, fs::perms::owner_all);
    fs::remove_all(path_);
  }
  [[nodiscard]] std::string file(const char* name) const { return (path_ / name).string(); }
  [[nodiscard]] std::size_t files() const {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(path_), {}));
  }

 private:
  fs::path path_;
};

store::Result sample() {
  store::Result r;
  r.scenario_toml = "name = \"sample\"\n";
  r.answer_json = "{\"answer\": \"hold\"}";
  r.command_line = "cabinload hold";
  r.first_day = 190;
  for (auto* trace : {&r.unit_on, &r.unit_off}) {
    auto& h = trace->hourly;
    for (auto* v :
         {&h.T_air_mean_K, &h.T_air_min_K, &h.T_air_max_K, &h.T_bed_mean_K, &h.T_operative_mean_K,
          &h.heat_index_end_K, &h.ideal_heating_W, &h.ideal_cooling_W, &h.T_out_mean_K, &h.W_air_1,
          &h.co2_ppm, &h.unit_electric_W, &h.sensible_W, &h.latent_W, &h.compressor_on_1,
          &h.other_W, &h.refrigerator_W, &h.state_of_charge_end_1})
      *v = {300.0, 301.5, 299.25};
  }
  cabinload::answers::HoldNight night;
  night.date = {7, 10};
  night.battery_empty_second_of_day = std::numeric_limits<double>::quiet_NaN();
  night.pull_down_min = std::numeric_limits<double>::quiet_NaN();
  r.answer.each_night = {night, night};
  return r;
}

}  // namespace

TEST_CASE("store: what is written reads back", "[store][unit]") {
  const Folder folder;
  const std::string path = folder.file("a.h5");
  store::write(path, sample(), false);
  CHECK(folder.files() == 1);
  const auto back = store::read(path);
  CHECK(back.answer_json == sample().answer_json);
  CHECK(back.scenario_toml == sample().scenario_toml);
  CHECK(back.command_line == "cabinload hold");
  H5::H5File file(path, H5F_ACC_RDONLY);
  double hours[3];
  file.openDataSet("/trace/hourly/time").read(hours, H5::PredType::NATIVE_DOUBLE);
  CHECK(hours[0] == 190 * 24.0);
  float mean[3];
  file.openDataSet("/trace_unit_off/hourly/T_air_mean").read(mean, H5::PredType::NATIVE_FLOAT);
  CHECK(mean[2] == 299.25F);
}

TEST_CASE("store: an existing file is kept without force", "[store][unit]") {
  const Folder folder;
  const std::string path = folder.file("a.h5");
  std::ofstream(path) << "precious";
  CHECK_THROWS_WITH(core::check_output(path, false),
                    contains("exists already") && contains("--force"));
  CHECK_THROWS_AS(store::write(path, sample(), false), core::IoError);
  CHECK(fs::file_size(path) == 8);
  store::write(path, sample(), true);
  CHECK_FALSE(store::read(path).answer_json.empty());
}

TEST_CASE("store: places that cannot be written are told before the run", "[store][unit]") {
  const Folder folder;
  CHECK_THROWS_WITH(core::check_output(folder.file(""), false), contains("directory"));
  CHECK_THROWS_WITH(core::check_output(folder.file("no/such/a.h5"), false),
                    contains("does not exist"));
  CHECK_THROWS_WITH(core::check_output("/proc/a.h5", false), contains("cannot be written"));
  CHECK(folder.files() == 0);
}

TEST_CASE("store: a link is followed, what is no file is left alone", "[store][unit]") {
  const Folder folder;
  const std::string target = folder.file("target.h5"), link = folder.file("link.h5");
  std::ofstream(target) << "old";
  fs::create_symlink(target, link);
  core::write_text(link, "new text", true);
  CHECK(fs::is_symlink(link));
  CHECK(fs::file_size(target) == 8);
  const std::string pipe = folder.file("pipe");
  REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
  CHECK_THROWS_WITH(core::write_text(pipe, "text", true), contains("no ordinary file"));
  CHECK(fs::is_fifo(pipe));
  CHECK_THROWS_WITH(core::check_output("/dev/null", true), contains("no ordinary file"));
  for (const char* name : {"", "-"})
    CHECK_THROWS_WITH(core::check_output(name, true), contains("file name is needed"));
  CHECK(folder.files() == 3);
}

TEST_CASE("store: a value that is not finite stops the file, nothing is left", "[store][unit]") {
  const Folder folder;
  auto broken = sample();
  broken.unit_on.hourly.T_air_mean_K[1] = std::nan("");
  CHECK_THROWS_WITH(store::write(folder.file("a.h5"), broken, false),
                    contains("T_air_mean") && contains("nothing was written"));
  CHECK(folder.files() == 0);
}

TEST_CASE("store: files that are not results say what they are", "[store][unit]") {
  const Folder folder;
  CHECK_THROWS_AS(store::read(folder.file("none.h5")), core::IoError);
  std::ofstream(folder.file("text.h5")) << "hello";
  CHECK_THROWS_WITH(store::read(folder.file("text.h5")), contains("is not an HDF5 file"));
  { H5::H5File(folder.file("foreign.h5"), H5F_ACC_TRUNC); }
  CHECK_THROWS_WITH(store::read(folder.file("foreign.h5")), contains("no cabinload result"));
  store::write(folder.file("a.h5"), sample(), false);
  fs::copy_file(folder.file("a.h5"), folder.file("cut.h5"));
  fs::resize_file(folder.file("cut.h5"), fs::file_size(folder.file("cut.h5")) / 2);
  CHECK_THROWS_WITH(store::read(folder.file("cut.h5")), contains("cut off"));
  {
    H5::H5File file(folder.file("a.h5"), H5F_ACC_RDWR);
    const int version[2] = {9, 1};
    file.openGroup("/").openAttribute("format_version").write(H5::PredType::NATIVE_INT, version);
  }
  CHECK_THROWS_WITH(store::read(folder.file("a.h5")),
                    contains("has format 9.1, this program reads 1.x"));
}
