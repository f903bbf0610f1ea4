// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>
#include <cabinload/report/json.hpp>

#include "json_parts.hpp"

namespace cabinload::report {
namespace {

Json notes_json(const std::vector<wiring::Note>& notes) {
  Json list = Json::array();
  for (const wiring::Note& n : notes)
    list.push_back({{"origin", std::string(name_of(n.origin))}, {"text", n.text}});
  return list;
}

/// Figures of a run that is not possible are null.
Json run_json(const wiring::Run& r) {
  const auto of = [&](double value) { return r.possible ? number(value) : Json(nullptr); };
  const auto words = [&](std::string_view text) {
    return r.possible ? Json(std::string(text)) : Json(nullptr);
  };
  Json j;
  j["volts"] = r.volts;
  j["current_A"] = r.current_A;
  j["design_current_A"] = r.design_current_A;
  j["ambient_degC"] = r.ambient_degC;
  j["possible"] = r.possible;
  j["routable"] = !wiring::hard_to_route(r);
  j["awg"] = words(r.awg);
  j["parallel"] = r.possible ? Json(r.parallel) : Json(nullptr);
  j["conductor_mm2"] = of(r.conductor_mm2);
  j["metric_mm2"] = r.metric_mm2 ? Json(*r.metric_mm2) : Json(nullptr);
  j["conductor_degC"] = of(r.conductor_degC);
  j["drop_percent"] = of(r.drop_percent);
  j["drop_V"] = of(r.drop_V);
  j["loss_W"] = of(r.loss_W);
  j["ampacity_A"] = of(r.ampacity_A);
  j["fuse_A"] = of(r.fuse_A);
  j["fuse_type"] = words(name_of(r.fuse_type));
  j["short_circuit_A"] = r.short_circuit_A ? Json(*r.short_circuit_A) : Json(nullptr);
  j["set_by"] = words(name_of(r.governs));
  j["warnings"] = notes_json(r.warnings);
  return j;
}

Json peak_json(const simulation::Hottest::Peak& peak) {
  return number(core::to_celsius(peak.T_K));
}

}  // namespace

std::string json(const answers::Wire& a, int indent) {
  Json j = header_json(a.header);
  j["power_W"] = a.power_W;
  j["unit_volts"] = a.own ? Json(a.runs[*a.own].volts) : Json(nullptr);
  j["length_m"] = a.length_m;
  j["place"] = scenario::key_of(a.place);
  j["ambient_degC"] = a.ambient_degC;
  j["ambient_from"] = a.ambient_stated                              ? "stated"
                      : a.place == scenario::CablePlace::engine_bay ? "outdoors_plus_difference"
                                                                    : "simulated";
  j["hottest_degC"] = {{"cabin_air", peak_json(a.hottest.cabin_air)},
                       {"roof_cavity", peak_json(a.hottest.roof_cavity)},
                       {"roof_surface", peak_json(a.hottest.roof_surface)},
                       {"outdoors", peak_json(a.hottest.outdoors)}};
  j["insulation_degC"] = a.insulation_degC;
  j["terminal_degC"] = a.terminal_degC;
  j["allowed_drop_percent"] = 100 * a.allowed_drop_1;
  j["conductors_together"] = a.conductors_together;
  j["met"] = a.met();
  j["runs"] = Json::array();
  for (const wiring::Run& r : a.runs) j["runs"].push_back(run_json(r));
  j["paint_added_absorptance"] = a.paint_added_1;
  j["would_help"] = Json::array();
  for (const answers::WireWay& way : a.ways)
    j["would_help"].push_back(
        {{"way", way.words},
         {"ambient_degC", way.ambient_degC},
         {"awg", way.run && way.run->possible ? Json(way.run->awg) : Json(nullptr)},
         {"parallel", way.run && way.run->possible ? Json(way.run->parallel) : Json(nullptr)},
         {"can_be_routed", way.run && !wiring::hard_to_route(*way.run)}});
  j["rules"] = notes_json(a.rules);
  j["balance"] = {{"residual_relative", a.residual_relative}};
  return j.dump(indent) + "\n";
}

}  // namespace cabinload::report
