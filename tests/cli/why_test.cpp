// SPDX-License-Identifier: Apache-2.0
#include <cmath>
#include <sstream>

#include "cli/program_run.hpp"

namespace {

/// Sum of the rows over the sum of what comes in, in parts of it.
double remainder_1(const Json& account) {
  double sum_W = 0, in_W = 0;
  for (const Json& row : account["rows"]) {
    const double W = row["W"].get<double>();
    sum_W += W;
    in_W += std::max(W, 0.0);
  }
  CHECK_WITHIN(account["in_W"].get<double>(), in_W, 1e-9 * in_W);
  return std::abs(sum_W) / in_W;
}

constexpr const char* kPeriod = " --from 07-10 --to 07-16";
const std::string kSources =
    " --set 'panels.power=400 W' --set battery.full_at=never --set 'shore.hours=10:00-14:00'"
    " --pet 'dog 20 kg' --set 'inverter.power=1 kW' --set appliance.0.kind=refrigerator"
    " --set 'appliance.1.power=20 W'";
const std::string kHot = " --set battery.capacity=1.2kWh";  // so that something can help
const std::string kAsked[] = {std::string("hold --why") + kPeriod,
                              std::string("hold --why=07-12") + kPeriod + kSources,
                              "runtime --why --at '07-14 15:00' --set 'panels.power=400 W'",
                              "hold --why --high '43 degC'",
                              std::string("load --why") + kPeriod,
                              std::string("load --why='07-12 09:00'") + kPeriod,
                              "pets --why --from 07-10 --to 07-11",
                              "pets --why='07-11 03:00' --from 07-10 --to 07-11 --cover "
                              "reflective-mat --set parking.shade=tree",
                              "size --why --from 07-10 --to 07-12",
                              "compare --why=2 --weather tucson,miami --from 07-10 --to 07-12",
                              "what-helps --why --from 07-10 --to 07-11" + kHot};

}  // namespace

TEST_CASE("cli: what comes in goes out in every table of --why", "[cli][property]") {
  const Folder f;
  for (const std::string& arguments : kAsked) {
    const Json j = f.json(arguments);
    INFO(arguments);
    REQUIRE(j.contains("flows"));
    for (const Json& ledger : j["flows"])
      for (const Json& account : ledger["accounts"]) {
        INFO(ledger["title"] << " " << account["key"]);
        CHECK(account["rows"].size() > 1);
        CHECK(remainder_1(account) < 1e-6);
      }
  }
}

TEST_CASE("cli: the printed tables of --why add up as printed", "[cli][golden]") {
  const Folder f;
  for (const std::string& arguments : kAsked)
    for (const char* units : {" --units si", " --units us"}) {
      const Run r = f.run(arguments + units);
      INFO(arguments << units << r.err);
      check_width(r.out);
      long in = 0, out = 0;
      int tables = 0;
      std::istringstream lines(r.out);
      for (std::string line; std::getline(lines, line);) {
        if (line.ends_with("comes in      goes out")) in = out = 0;
        if (!line.starts_with("    ") || line.size() < 50) continue;
        const std::string first = line.substr(40, 14),
                          second = line.size() > 54 ? line.substr(54) : "";
        if (line.starts_with("    together")) {
          CHECK(in == std::stol(first));
          CHECK(out == std::stol(second));
          CHECK(in == out);
          ++tables;
        } else if (line.ends_with(" W") || line.ends_with(" BTU/h")) {
          (second.empty() ? in : out) += std::stol(second.empty() ? first : second);
        }
      }
      CHECK(tables == (arguments.starts_with("load")         ? 1
                       : arguments.starts_with("what-helps") ? 8
                                                             : 4));
    }
}

TEST_CASE("cli: --why explains the answer and does not change it", "[cli][property]") {
  const Folder f;
  const std::string hold = std::string("hold") + kPeriod;
  Json with = f.json(hold + " --why=07-12");
  const Json flows = with["flows"];
  with.erase("flows");
  CHECK(with == f.json(hold));
  CHECK(flows[1]["date"] == "07-12");
  CHECK(flows[1]["from"] == "22:00");
  CHECK_WITHIN(flows[1]["hours"].get<double>(), 9, 1e-9);
  // The unit's part is the answer's own electricity.
  const Json runtime = f.json("runtime --why --at '07-14 21:00'");
  const Json& whole = runtime["flows"][1];
  double unit_Wh = 0;
  for (const Json& row : whole["accounts"][1]["rows"])
    if (row["key"] == "unit") unit_Wh -= row["W"].get<double>() * whole["hours"].get<double>();
  CHECK_RELATIVE(unit_Wh, runtime["unit_Wh"].get<double>(), 1e-9);
}

TEST_CASE("cli: --why of pets tells a refrigerator from the other loads", "[cli]") {
  const Folder f;
  const Json j = f.json(
      "pets --why=07-10 --from 07-10 --to 07-10"
      " --set appliance.0.kind=refrigerator");
  double heat_W = 0, draw_W = 0, other_W = 0;  // before the failure
  for (const Json& account : j["flows"][0]["accounts"])
    for (const Json& row : account["rows"]) {
      const bool heat = account["key"] == "heat";
      if (row["key"] == "refrigerators") (heat ? heat_W : draw_W) += row["W"].get<double>();
      if (row["key"] == "other") other_W += row["W"].get<double>();
    }
  CHECK(heat_W > 1);
  CHECK_RELATIVE(-draw_W, heat_W, 1e-3);  // its condenser is inside: the cabin gets the draw
  CHECK(other_W == 0);
}

TEST_CASE("cli: --why of pets is the failure that the answer tells", "[cli]") {
  const Folder f;
  const std::string pets = "pets --from 07-10 --to 07-11";
  Json with = f.json(pets + " --why");
  const Json flows = with["flows"];
  with.erase("flows");
  CHECK(with == f.json(pets));
  // The second stretch begins when the shortest one does and lasts as long, in whole steps.
  const Json& shortest = with["shortest"];
  CHECK(flows[1]["date"].get<std::string>() + " " + flows[1]["from"].get<std::string>() ==
        shortest["time"]);
  CHECK_WITHIN(60 * flows[1]["hours"].get<double>(), with["minutes_to_limit"]["min"].get<double>(),
               0.1);
  // An hour of the first stretch with the unit; none of it in the second.
  const auto has = [](const Json& ledger, const char* key) {
    for (const Json& account : ledger["accounts"])
      for (const Json& row : account["rows"])
        if (row["key"] == key) return true;
    return false;
  };
  CHECK_WITHIN(flows[0]["hours"].get<double>(), 1, 1e-9);
  CHECK(has(flows[0], "coil"));
  CHECK_FALSE(has(flows[1], "coil"));
}

TEST_CASE("cli: --why of comparisons explains the row and the night that were named", "[cli]") {
  const Folder f;
  const std::string period = " --from 07-10 --to 07-12";
  const Json matrix =
      f.json("compare --why='2 07-11' --vehicle medium-van,long-van" + period)["flows"];
  const Json hold = f.json("hold --why=07-11 --vehicle long-van" + period)["flows"];
  REQUIRE(matrix.size() == 2);
  CHECK_THAT(matrix[0]["title"].get<std::string>(), contains("long-van"));
  for (std::size_t i = 0; i < 2; ++i) CHECK(matrix[i]["accounts"] == hold[i]["accounts"]);
  // Before and after: the unit's part of the second is that of the improved vehicle.
  const Json helps = f.json("what-helps --why=07-11 --by energy" + period);
  REQUIRE(helps["flows"].size() == 4);
  CHECK_THAT(helps["flows"][2]["title"].get<std::string>(),
             contains(helps["rows"][0]["words"].get<std::string>()));
  const auto unit_W = [&](std::size_t i) {
    for (const Json& row : helps["flows"][i]["accounts"][1]["rows"])
      if (row["key"] == "unit") return -row["W"].get<double>();
    return 0.0;
  };
  CHECK(unit_W(3) < unit_W(1));
}

TEST_CASE("cli: a date that is not there is refused, naming its option", "[cli]") {
  const Folder f;
  const std::pair<const char*, const char*> bad[] = {{"hold --why=08-01", "--why"},
                                                     {"hold --why=yesterday", "--why"},
                                                     {"hold --steps 08-01 -o x.h5", "--steps"},
                                                     {"hold --steps tomorrow -o x.h5", "--steps"},
                                                     {"hold --cycles 08-01", "--cycles"},
                                                     {"hold --cycles 31-31", "--cycles"},
                                                     {"load --why=08-01", "--why"},
                                                     {"load --why=noon", "--why"},
                                                     {"pets --why=08-01", "--why"},
                                                     {"pets --why='07-12 25:00'", "--why"},
                                                     {"size --why=nineish", "--why"},
                                                     {"compare --why=2", "--why"},
                                                     {"compare --why='1 08-01'", "--why"},
                                                     {"compare --why=0", "--why"},
                                                     {"what-helps --why=13-01", "--why"}};
  for (const auto& [arguments, option] : bad) {
    const Run r = f.run(std::string(arguments) + " --from 07-12 --to 07-12");
    INFO(arguments << ": " << r.err);
    CHECK(r.status == 2);
    CHECK(r.out.empty());
    CHECK_THAT(r.err, contains(std::string(option) + ":"));
    CHECK(f.files() == 0);
  }
}

TEST_CASE("cli: a stored answer keeps what --why told", "[cli]") {
  const Folder f;
  const Run now = f.run(std::string("hold --why -o why.h5") + kPeriod);
  const Run later = f.run("show why.h5");
  CHECK(now.out == later.out);
  CHECK_THAT(later.out, contains("Where the figures come from"));
}
