// SPDX-License-Identifier: Apache-2.0
#include <H5Cpp.h>

#include <cabinload/core/markup.hpp>
#include <functional>
#include <regex>
#include <sstream>

#include "cli/program_run.hpp"

namespace {

const std::string kDays = " --from 07-15 --to 07-16 ";

/// A result of two nights, kept once.
const std::string& result() {
  static const Folder folder;
  static const std::string path = (folder.path() / "kept.h5").string();
  if (!std::filesystem::exists(path)) {
    const Run r = folder.run("hold -q --why --set 'name=kept <b>' -o kept.h5" + kDays);
    REQUIRE(r.status == 1);
  }
  return path;
}

/// A copy of it with something changed.
void put_changed(const Folder& folder, const char* name,
                 const std::function<void(H5::H5File&)>& change) {
  std::filesystem::copy_file(result(), folder.path() / name);
  H5::H5File file((folder.path() / name).string(), H5F_ACC_RDWR);
  change(file);
}

void check_refused(const Run& r, const Folder& folder, int status, const std::string& words,
                   std::size_t files) {
  INFO(r.err);
  CHECK(r.status == status);
  CHECK(r.out.empty());
  CHECK_THAT(r.err, contains(words));
  CHECK(folder.files() == files);  // nothing half-written
}

}  // namespace

TEST_CASE("cli: report writes one page with every part", "[cli][report]") {
  const Folder folder;
  const Run r = folder.run("report -o page.html --pet 'dog 20 kg'" + kDays);
  INFO(r.err);
  CHECK(r.status == 1);
  CHECK(r.out.rfind("Held: 0 of the 2 nights that need cooling. 2 are lost.", 0) == 0);
  CHECK_THAT(r.err, contains("written: page.html"));
  CHECK(folder.files() == 1);
  const std::string html = file_text(folder.path() / "page.html");
  CHECK(html.size() < 1'000'000);
  CHECK_THAT(html, contains("<h1>Held: 0 of the 2 nights that need cooling. 2 are lost.</h1>"));
  for (const char* id : {"season", "night", "electricity", "heat", "advice", "wiring", "roof",
                         "animals", "basis", "cautions"})
    CHECK_THAT(html, contains(std::string("<section id=\"") + id + "\""));
  CHECK_THAT(html, contains("A parked vehicle is never a place to leave an animal unattended"));
  const std::size_t cut = html.find("Before a roof is cut");
  CHECK(cut != std::string::npos);  // two of the answers say it, the page once
  CHECK(html.find("Before a roof is cut", cut + 1) == std::string::npos);
  CHECK_THAT(html, contains("the unit&#39;s voltage: ") && contains("<svg xmlns"));
  // What a fitter may not call so is said where it stands.
  CHECK_THAT(html, contains("what the trade calls ampacity, the current") &&
                       contains("A Class T fuse is a fast one that") &&
                       contains("(operative temperature: air and walls together)") &&
                       contains("Peak of demand: the heat that"));
  CHECK_THAT(html, contains(">Alone, "));
  // The words of the answers themselves.
  const Run wire = folder.run("wire --json" + kDays), hold = folder.run("hold --json" + kDays);
  const auto awg = Json::parse(wire.out)["runs"][1]["awg"].get<std::string>();
  CHECK_THAT(html, contains(awg + " AWG"));
  CHECK_THAT(html, contains(Json::parse(hold.out)["weather"]["sha256"].get<std::string>()));
}

TEST_CASE("cli: report tries what helps on few days with the figures of the whole year",
          "[cli][report]") {
  const Folder folder;
  REQUIRE(folder.run("report -q -o page.html" + kDays).status == 1);
  const std::string html = file_text(folder.path() / "page.html");
  const std::size_t from = html.find("<section id=\"advice\"");
  const std::string section = std::regex_replace(
      html.substr(from, html.find("</section>", from) - from), std::regex("<p[ >][^]*?</p>"), "");
  const Run r = folder.run("what-helps" + kDays);
  std::istringstream lines(r.out);
  // "  a second battery      +2    +0.11 kWh         0 W       0"
  const std::regex row("^  (\\S.*?) +[+-]\\d+ +(\\S+ kWh) +(\\S+ W) +\\S+$");
  std::size_t rows = 0;
  for (std::string line; std::getline(lines, line);) {
    std::smatch cell;
    if (!std::regex_match(line, cell, row)) continue;
    INFO(line);
    ++rows;
    const std::size_t at = section.find(cabinload::core::markup_escaped(cell[1].str()) + "<");
    REQUIRE(at != std::string::npos);
    const std::string cells = section.substr(at, section.find("</tr>", at) - at);
    // Fewer days before them: the last digit may be another.
    std::smatch shown;
    REQUIRE(std::regex_search(cells, shown, std::regex(">([+-]?[\\d.]+) kWh<")));
    CHECK_WITHIN(std::stod(shown[1].str()), std::stod(cell[2].str()), 0.0101);
    CHECK_THAT(cells, contains(">" + cell[3].str() + "<"));
  }
  CHECK(rows >= 12);
}

TEST_CASE("cli: report without animals speaks of none, and with --animals of a dog",
          "[cli][report]") {
  const Folder folder;
  CHECK(folder.run("report -q -o a.html --weather sand-point --from 01-05 --to 01-06").status == 0);
  CHECK_THAT(file_text(folder.path() / "a.html"), !contains("<section id=\"animals\""));
  CHECK(folder
            .run("report -q -o b.html --animals --units us --weather sand-point --from 01-05 --to "
                 "01-06")
            .status == 0);
  CHECK_THAT(file_text(folder.path() / "b.html"),
             contains("<section id=\"animals\"") && contains("id=\"us\" checked"));
  // Nor does it stand far down alone.
  const std::string with = file_text(folder.path() / "b.html");
  CHECK(with.find("<a href=\"#animals\">The animal</a>: ") < with.find("</header>"));
}

TEST_CASE("cli: report makes a page of a result file", "[cli][report]") {
  const Folder folder;
  const Run r = folder.run("report '" + result() + "' -o page.html");
  INFO(r.err);
  CHECK(r.status == 1);
  const std::string html = file_text(folder.path() / "page.html");
  CHECK_THAT(html, contains("<h1>Held: 0 of the 2 nights that need cooling. 2 are lost.</h1>"));
  CHECK_THAT(html, contains("<bdi>kept &lt;b&gt;</bdi>") && contains("kept.h5"));
  CHECK_THAT(html, contains("<section id=\"heat\"") && !contains("<section id=\"roof\""));
  CHECK_THAT(html, contains("holds nights and hours alone"));
  // The same night as the run itself shows.
  REQUIRE(folder.run("report -q -o run.html --set 'name=kept <b>'" + kDays).status == 1);
  const std::string run = file_text(folder.path() / "run.html");
  const auto night = [](const std::string& text) {
    const std::size_t at = text.find("<section id=\"night\"");
    return text.substr(at, text.find("</section>", at) - at);
  };
  CHECK(night(html) == night(run));
}

TEST_CASE("cli: report refuses what it cannot write, before it computes", "[cli][report]") {
  const Folder folder;
  check_refused(folder.run("report"), folder, 2, "--out", 0);
  check_refused(folder.run("report -o no/where.html"), folder, 3, "its folder 'no' does not exist",
                0);
  folder.put("there.html", "mine");
  check_refused(folder.run("report -o there.html"), folder, 3, "exists already", 1);
  CHECK(file_text(folder.path() / "there.html") == "mine");
  check_refused(folder.run("report -o ."), folder, 3, "this is a directory", 1);
  check_refused(folder.run("report none.toml -o p.html"), folder, 3, "none.toml", 1);
  check_refused(folder.run("report --json -o p.html"), folder, 2, "--json", 1);
}

TEST_CASE("cli: report refuses results that it cannot read", "[cli][report]") {
  const Folder folder;
  check_refused(folder.run("report none.h5 -o p.html"), folder, 3, "there is no such file", 0);
  folder.put("text.h5", "no HDF5 at all");
  check_refused(folder.run("report text.h5 -o p.html"), folder, 2, "is not an HDF5 file", 1);
  const std::string whole = file_text(result());
  folder.put("cut.h5", whole.substr(0, whole.size() / 3));
  check_refused(folder.run("report cut.h5 -o p.html"), folder, 2, "the file may be cut off", 2);
  H5::H5File((folder.path() / "foreign.h5").string(), H5F_ACC_TRUNC).createGroup("mine");
  check_refused(folder.run("report foreign.h5 -o p.html"), folder, 2,
                "is HDF5, but no cabinload result", 3);
  put_changed(folder, "newer.h5", [](H5::H5File& file) {
    const int version[2] = {9, 0};
    file.openGroup("/").openAttribute("format_version").write(H5::PredType::NATIVE_INT, version);
  });
  check_refused(folder.run("report newer.h5 -o p.html"), folder, 2,
                "has format 9.0, this program reads 1.x", 4);
  // Another shape than the one written must not be read past its end.
  put_changed(folder, "long.h5", [](H5::H5File& file) {
    H5::Group root = file.openGroup("/");
    root.removeAttr("format_version");
    const std::vector<int> version(1000, 1);
    const hsize_t n = version.size();
    root.createAttribute("format_version", H5::PredType::STD_I32LE, H5::DataSpace(1, &n))
        .write(H5::PredType::NATIVE_INT, version.data());
  });
  check_refused(folder.run("report long.h5 -o p.html"), folder, 2,
                "'format_version' that is not two numbers", 5);
}

TEST_CASE("cli: report refuses results whose parts are damaged", "[cli][report]") {
  const Folder folder;
  int files = 0;
  const auto refused = [&](const char* name, const std::function<void(H5::H5File&)>& change,
                           const std::string& words) {
    put_changed(folder, name, change);
    check_refused(folder.run("report " + std::string(name) + " -o p.html"), folder, 2, words,
                  ++files);
  };
  const H5::StrType any_length(H5::PredType::C_S1, H5T_VARIABLE);
  const H5::DataSpace one(H5S_SCALAR);
  refused(
      "a.h5",
      [&](H5::H5File& f) {
        f.openGroup("/").removeAttr("program_version");
        f.openGroup("/").createAttribute("program_version", any_length, one);
      },
      "'program_version' was never written");
  refused(
      "b.h5",
      [&](H5::H5File& f) {
        f.unlink("/answer/json");
        f.createDataSet("/answer/json", any_length, one);
      },
      "'/answer/json' was never written");
  refused(
      "c.h5",
      [](H5::H5File& f) {
        f.unlink("/answer/json");
        f.createGroup("/answer/json");
      },
      "'/answer/json' is no data set");
  const char* const bed = "/trace/hourly/T_bed_mean";
  const auto rows_of = [&](H5::H5File& f) {
    return static_cast<std::size_t>(f.openDataSet(bed).getSpace().getSimpleExtentNpoints());
  };
  refused(
      "d.h5",
      [&](H5::H5File& f) {
        std::vector<double> values(rows_of(f), 293.0);
        values[7] = std::nan("");
        f.openDataSet(bed).write(values.data(), H5::PredType::NATIVE_DOUBLE);
      },
      "'/trace/hourly/T_bed_mean' has no number in row 7");
  refused(
      "e.h5",
      [](H5::H5File& f) {
        const hsize_t rows = 1'000'000'000'000, chunk = 1000;
        H5::DSetCreatPropList chunks;
        chunks.setChunk(1, &chunk);
        f.unlink("/trace/hourly/time");
        f.createDataSet("/trace/hourly/time", H5::PredType::NATIVE_DOUBLE, H5::DataSpace(1, &rows),
                        chunks);
      },
      "has 1000000000000 rows");
  refused(
      "f.h5",
      [&](H5::H5File& f) {
        std::vector<double> hours(rows_of(f));
        for (std::size_t i = 0; i < hours.size(); ++i) hours[i] = 2.0 * static_cast<double>(i);
        f.openDataSet("/trace/hourly/time").write(hours.data(), H5::PredType::NATIVE_DOUBLE);
      },
      "does not go on by an hour in row 1");
  // As a whole an hour, a day or a year late, while every other thing fits.
  for (const double late_h : {1.0, -1.0, 24.0, 8760.0})
    refused(("late" + std::to_string(late_h) + ".h5").c_str(),
            [&](H5::H5File& f) {
              const H5::DataSet time = f.openDataSet("/trace/hourly/time");
              std::vector<double> hours(rows_of(f));
              time.read(hours.data(), H5::PredType::NATIVE_DOUBLE);
              for (double& h : hours) h += late_h;
              time.write(hours.data(), H5::PredType::NATIVE_DOUBLE);
            },
            "and its first night is that of 15 July, which begins at 4680 h");
  refused(
      "g.h5",
      [](H5::H5File& f) {
        const hsize_t rows = 10;
        H5::Group hourly = f.openGroup("/trace/hourly");
        for (const char* name :
             {"time", "T_out_mean", "T_air_mean", "T_bed_mean", "unit_power", "other_power",
              "solar_power", "alternator_power", "shore_power", "state_of_charge"}) {
          double values[rows];
          for (hsize_t i = 0; i < rows; ++i) values[i] = static_cast<double>(i);
          hourly.unlink(name);
          hourly.createDataSet(name, H5::PredType::NATIVE_DOUBLE, H5::DataSpace(1, &rows))
              .write(values, H5::PredType::NATIVE_DOUBLE);
        }
      },
      "has 10 rows, too few for");
}

TEST_CASE("cli: report refuses results that lack what it needs", "[cli][report]") {
  const Folder folder;
  put_changed(folder, "a.h5", [](H5::H5File& f) { f.unlink("/trace"); });
  check_refused(folder.run("report a.h5 -o p.html"), folder, 2, "has no '/trace'", 1);
  put_changed(folder, "b.h5", [](H5::H5File& f) { f.unlink("/answer"); });
  check_refused(folder.run("report b.h5 -o p.html"), folder, 2, "has no '/answer'", 2);
  put_changed(folder, "c.h5", [](H5::H5File& f) { f.unlink("/trace/hourly/T_bed_mean"); });
  check_refused(folder.run("report c.h5 -o p.html"), folder, 2, "has no '/trace/hourly/T_bed_mean'",
                3);
  put_changed(folder, "d.h5", [](H5::H5File& f) { f.openGroup("/").removeAttr("created_utc"); });
  check_refused(folder.run("report d.h5 -o p.html"), folder, 2, "has no attribute 'created_utc'",
                4);
  put_changed(folder, "e.h5", [](H5::H5File& f) {
    const H5::DataSet set = f.openDataSet("/answer/json");
    std::string json;
    set.read(json, set.getStrType());
    Json answer = Json::parse(json);
    answer["each_night"] = Json::array();
    std::string changed = answer.dump();
    changed.resize(json.size(), ' ');  // its length is that of the type
    set.write(changed, set.getStrType());
  });
  check_refused(folder.run("report e.h5 -o p.html"), folder, 2, "has no nights", 5);
  REQUIRE(folder.run("runtime -q -o r.h5 --at 07-15").status == 0);
  check_refused(folder.run("report r.h5 -o p.html"), folder, 2,
                "holds the answer 'runtime', not 'hold'", 6);
  // A result is not a scenario: nothing in it is changed.
  check_refused(folder.run("report '" + result() + "' -o p.html --limit '20 degC'"), folder, 2,
                "--limit", 6);
  check_refused(folder.run("report '" + result() + "' -o p.html --animals"), folder, 2, "--animals",
                6);
}

TEST_CASE("cli: report takes any name", "[cli][report]") {
  const Folder folder;
  const std::string name = "<script>\"'&\U0001F690 \u05E8\u05DB\u05D1 " + std::string(10'000, 'n');
  folder.put("n.toml", "name = '''" + name +
                           "'''\nweather = { file = \"sand-point\" }\n"
                           "night = { from = \"01-05\", to = \"01-06\" }\n");
  CHECK(folder.run("report n.toml -q -o p.html").status == 0);
  const std::string html = file_text(folder.path() / "p.html");
  CHECK_THAT(html, contains("<bdi>" + cabinload::core::markup_escaped(name) + "</bdi>"));
  CHECK_THAT(html, !contains("<script>\"'"));
  // Bytes that are no text.
  CHECK(folder
            .run("report -q -o q.html --weather sand-point --from 01-05 --to 01-06 --set "
                 "\"name=$(printf 'a\\377b')\"")
            .status == 0);
  CHECK_THAT(file_text(folder.path() / "q.html"), contains("a\xEF\xBF\xBD"
                                                           "b"));
}
