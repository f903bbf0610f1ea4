// SPDX-License-Identifier: Apache-2.0
// hold: what each limit had of a lost night, and what would have held the worst one, by hold
// itself.
#include <cmath>

#include "cli/program_run.hpp"

namespace {

Json hold(const std::string& arguments) {
  return Folder().json("hold " + arguments);
}
Json night(const Json& j, const std::string& date) {
  for (const auto& n : j["each_night"])
    if (n["date"] == date) return n;
  FAIL("no night " << date);
  return {};
}
/// The default unit in another size, in the keys that a plate has.
std::string sized(double capacity_W) {
  const Json now = Folder().json("size --from 07-14 --to 07-14");
  const Json& s = now["sizes"][0];
  const double factor_1 = capacity_W / s["capacity_W"].get<double>();
  std::string text;
  for (const auto& o : s["overrides"]) {
    const std::string set = o;
    if (set.rfind("battery", 0) == 0) continue;
    const std::size_t at = set.find('=') + 1, unit = set.find(' ');
    text += " --set '" + set.substr(0, at) +
            std::to_string(std::stod(set.substr(at, unit - at)) * factor_1) + set.substr(unit) +
            "'";
  }
  return text;
}

}  // namespace

TEST_CASE("cli: shares of a lost night add up to one, held nights have none", "[cli][property]") {
  const Json j = hold("--from 07-05 --to 07-25 --battery '1.6 kWh' --unit generic-1500-24v");
  int lost = 0, mixed = 0;
  for (const auto& n : j["each_night"]) {
    CHECK(n["limit_shares"].is_null() == n["why"].is_null());
    if (n["limit_shares"].is_null()) continue;
    double sum = 0, most = 0;
    for (const auto& [key, share] : n["limit_shares"].items()) {
      sum += share.get<double>();
      most = std::max(most, share.get<double>());
      mixed += share > 0 && share < 1 ? 1 : 0;
    }
    CHECK_WITHIN(sum, 1, 1e-9);
    CHECK(n["limit_shares"][n["why"].get<std::string>()] == most);
    ++lost;
  }
  CHECK(lost > 3);
  CHECK(mixed > 0);
  CHECK(j["worst_night"]["limit_shares"] == night(j, j["worst_night"]["date"])["limit_shares"]);
}

TEST_CASE("cli: what would have held the worst night holds it, one step less does not",
          "[cli][property]") {
  const std::string weeks = "--from 07-05 --to 07-25 --unit generic-1500-24v ";
  const std::string now = "--battery '2 kWh' ";
  const Json j = hold(weeks + now), w = j["would_have_held"];
  const std::string date = w["date"];
  CHECK(date == j["worst_night"]["date"]);
  INFO(w.dump());
  REQUIRE(w["battery_Wh"].is_number());
  const auto held = [&](const std::string& arguments) {
    return night(hold(weeks + arguments), date)["held"].get<bool>();
  };
  const auto battery = [](double Wh) { return "--battery '" + std::to_string(Wh) + " Wh'"; };
  const double Wh = w["battery_Wh"];
  CHECK(held(battery(Wh)));
  CHECK_FALSE(held(battery(Wh - 100)));
  CHECK(held(now + "--set parking.shade=tree --set parking.shade_hours=07:00-20:00") == w["shade"]);
  // Of a unit that is too small and a battery that never ends.
  const std::string small = "--from 07-05 --to 07-25 --battery '9 kWh' " + sized(800);
  const Json unit = hold(small), v = unit["would_have_held"];
  INFO(v.dump());
  REQUIRE(v["capacity_W"].is_number());
  CHECK(v["battery_Wh"].is_null());
  const auto by = [&](double capacity_W) {
    return night(hold("--from 07-05 --to 07-25 --battery '9 kWh' " + sized(capacity_W)),
                 v["date"])["held"]
        .get<bool>();
  };
  CHECK(by(v["capacity_W"]));
  CHECK_FALSE(by(v["capacity_W"].get<double>() - 50));
  const Run text = Folder().run("hold " + small);
  check_width(text.out);
  CHECK_THAT(text.out, contains("would have held it"));
  // Where every night is held nothing would have.
  CHECK(hold("--from 07-05 --to 07-06 --battery '9 kWh'")["would_have_held"].is_null());
}
