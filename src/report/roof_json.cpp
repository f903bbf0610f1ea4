// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <cabinload/report/json.hpp>

#include "json_parts.hpp"

namespace cabinload::report {
namespace {

Json rect_json(const roof::Rect& r) {
  return {{"x_m", r.x0_m}, {"y_m", r.y0_m}, {"length_m", r.length_m()}, {"width_m", r.width_m()}};
}

Json item_json(const roof::Item& item) {
  return {{"name", item.name},
          {"kind", word(item.kind)},
          {"length_m", item.length_m},
          {"width_m", item.width_m},
          {"height_m", item.height_m},
          {"x_m", item.at ? Json(item.at->x_m) : Json(nullptr)},
          {"y_m", item.at ? Json(item.at->y_m) : Json(nullptr)},
          {"power_W", item.power_W}};
}

/// The way out from each side: to the next item, or to the roof's edge when that is nearer.
Json clearances_json(const roof::Layout& layout) {
  Json all = Json::object();
  for (const roof::Clearance& c : layout.clearances) {
    Json sides;
    for (std::size_t i = 0; i < c.sides.size(); ++i) {
      const roof::Gap& gap = c.sides[i];
      sides[word(static_cast<roof::Side>(i))] =
          gap.next.empty() ? gap.edge_m : std::min(gap.edge_m, gap.next_m);
    }
    all[c.item] = sides;
  }
  return all;
}

Json findings_json(const roof::Layout& layout) {
  Json j;
  j["unplaced"] = layout.unplaced;
  j["overlaps"] = Json::array();
  for (const roof::Overlap& o : layout.overlaps)
    j["overlaps"].push_back({{"a", o.a}, {"b", o.b}, {"where", rect_json(o.where)}});
  j["outside"] = Json::array();
  for (const roof::Outside& o : layout.outside)
    j["outside"].push_back(
        {{"item", o.item}, {"past_margin_m", o.past_free_m}, {"past_roof_m", o.past_roof_m}});
  j["ribs_cut"] = Json::array();
  for (const roof::RibCut& r : layout.ribs_cut)
    j["ribs_cut"].push_back({{"item", r.item}, {"rib_m", r.rib_m}});
  return j;
}

}  // namespace

std::string json(const answers::Roof& a, int indent) {
  const roof::Layout& layout = a.plan.layout;
  Json j = header_json(a.header);
  j["fits"] = a.met();
  j["overall_height_m"] = layout.overall_height_m;
  j["height_limit_m"] = a.roof.limit_m;
  j["headroom_m"] = layout.headroom_m;
  j["tallest"] = layout.tallest.empty() ? Json(nullptr) : Json(layout.tallest);
  j["roof"] = {{"length_m", a.roof.length_m},
               {"width_m", a.roof.width_m},
               {"bare_height_m", a.roof.overall_height_m}};
  j["clearances_m"] = clearances_json(layout);
  j["findings"] = findings_json(layout);
  j["items"] = Json::array();
  for (const roof::Item& item : layout.items) j["items"].push_back(item_json(item));
  j["panel_area_left_m2"] = layout.area_left_m2;
  j["largest_free"] = rect_json(layout.largest_free);
  j["panel_W"] = a.panel_W();
  j["panels"] = a.panels();
  j["packed"] = Json::array();
  for (const roof::Rect& r : a.plan.packing.panels) j["packed"].push_back(rect_json(r));
  j["packed_at_most"] = a.plan.packing.at_most;
  return j.dump(indent) + "\n";
}

}  // namespace cabinload::report
