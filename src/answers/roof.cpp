// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/roof.hpp>

#include "shared.hpp"

namespace cabinload::answers {
namespace {

std::vector<Assumption> assumptions_of(const scenario::Scenario& s) {
  const roof::Roof& r = s.roof.roof;
  std::vector<Assumption> list;
  list.push_back(
      {"roof.length", fmt::format("Roof {:.2f} x {:.2f} m, {}.", r.length_m, r.width_m,
                                  given(s, "roof.length") && given(s, "roof.width")
                                      ? "as stated"
                                      : "of the body as it is built in: measure yours")});
  list.push_back({"roof.margin_front",
                  fmt::format("Kept free: front {:.2f}, rear {:.2f}, left {:.2f}, right {:.2f} m.",
                              r.edges.front_m, r.edges.rear_m, r.edges.left_m, r.edges.right_m)});
  list.push_back(
      {"roof.ribs",
       r.ribs_m.empty()
           ? std::string("No ribs are known: a cut may meet one.")
           : fmt::format("{} across, {:.0f} mm wide.",
                         r.ribs_m.size() == 1 ? "1 rib" : fmt::format("{} ribs", r.ribs_m.size()),
                         1000 * r.rib_width_m)});
  list.push_back({"roof.overall_height",
                  fmt::format("The bare roof is {:.2f} m above the road; nothing else stands on it "
                              "than what is listed.",
                              r.overall_height_m)});
  for (std::size_t i = 0; i < s.roof.items.size(); ++i) {
    const roof::Item& item = s.roof.items[i];
    const std::string key = fmt::format("roof_item[{}].", i);
    if (item.kind == roof::Kind::unit &&
        !(given(s, key + "length") && given(s, key + "width") && given(s, key + "height")))
      list.push_back({key + "length",
                      fmt::format("'{}' is {:.2f} x {:.2f} m and {:.2f} m high, which is invented: "
                                  "take the unit's drawing.",
                                  item.name, item.length_m, item.width_m, item.height_m)});
    if (item.kind == roof::Kind::unit && !item.opening_m)
      list.push_back({key + "opening",
                      fmt::format("The hole of '{}' is the standard one of {:.3f} m (14 in) square "
                                  "at its middle; common practice, no published source: take the "
                                  "unit's drawing.",
                                  item.name, roof::kStandardOpening_m)});
  }
  if (s.roof.panel)
    list.push_back({"roof.panel_length",
                    fmt::format("Panels {:.2f} x {:.2f} m of {:.0f} W{}.", s.roof.panel->length_m,
                                s.roof.panel->width_m, s.roof.panel->power_W,
                                given(s, "roof.panel_length") ? "" : ", invented")});
  return list;
}

}  // namespace

std::vector<Caution> roof_cautions() {
  std::vector<Caution> list = {
      {"sealing", "CAUTION",
       "Every hole in a roof leaks until it is sealed: bare the metal, protect its edge from rust, "
       "use the sealant and the frame that unit and vehicle call for, and look again every year."}};
  const struct {
    const char *id, *signal;
  } kOf[] = {{"ribs", "WARNING"},
             {"roof_load", "WARNING"},
             {"height", "WARNING"},
             {"panel_voltage", "WARNING"}};
  const std::vector<std::string>& texts = roof::cautions();
  for (std::size_t i = 0; i < texts.size(); ++i) {
    const auto& k = kOf[std::min(i, std::size(kOf) - 1)];
    list.push_back({k.id, k.signal, texts[i]});
  }
  list.push_back({"licensed_work", "WARNING",
                  "Cutting a roof and the electrical work belong to people licensed for them; the "
                  "local code and the vehicle maker's body guidelines decide."});
  // In the same words as beside the other answers: a page says it once.
  list.push_back(roof_opening());
  return list;
}

Roof roof_plan(const scenario::Scenario& s, const weather::Series& weather) {
  if (s.vehicle.body == "own" && !given(s, "roof.overall_height"))
    throw core::InputError(scenario::problem_at(
        s, "roof.overall_height", "a body of one's own needs its height from road to roof",
        "overall_height = \"2.75 m\" under [roof]"));
  Roof a;
  a.header = header_of("roof", s, weather);
  a.header.from = s.night.from.value_or(a.header.from);
  a.header.to = s.night.to.value_or(a.header.to);
  a.header.warnings = s.warnings;  // doubts of the weather say nothing of a roof
  a.header.cautions = roof_cautions();
  a.header.assumptions = assumptions_of(s);
  a.roof = s.roof.roof;
  a.plan = roof::plan(s.roof.roof, s.roof.items, s.roof.panel);
  bool unit = false;
  for (const roof::Item& i : s.roof.items) {
    unit = unit || i.kind == roof::Kind::unit;
    if (i.kind == roof::Kind::panel) ++a.listed_panels;
  }
  if (std::optional<std::string> more = panels_without_room(s)) a.header.warnings.push_back(*more);
  if (!unit) a.header.warnings.emplace_back("there is no unit among the items of the roof");
  return a;
}

}  // namespace cabinload::answers
