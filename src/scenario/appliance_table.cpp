// SPDX-License-Identifier: Apache-2.0
#include <cabinload/core/constants.hpp>

#include "tables.hpp"

namespace cabinload::scenario {
namespace {

using core::Quantity;
using core::to_kelvin;

/// Compressors of refrigerators for vehicles draw some 40 to 100 W; common practice, no published
/// source.
constexpr double kOddRefrigerator_W = 500;

/// Keys that only one kind of appliance uses: given with the other they would be lost in silence.
void refuse_other_kind(Binder& b, const std::string& key, bool refrigerator) {
  static const struct {
    const char* name;
    bool refrigerator;
    const char* hint;
  } keys[] = {
      {"heat_share", false, "a refrigerator's heat follows from what it draws"},
      {"box_loss", true, "it belongs to kind = \"refrigerator\""},
      {"inside", true, "it belongs to kind = \"refrigerator\""},
      {"door_load", true, "it belongs to kind = \"refrigerator\""},
      {"carnot_share", true, "it belongs to kind = \"refrigerator\""},
      {"evaporator_difference", true, "it belongs to kind = \"refrigerator\""},
      {"condenser_difference", true, "it belongs to kind = \"refrigerator\""},
      {"condenser", true, "it belongs to kind = \"refrigerator\""},
  };
  for (const auto& k : keys) {
    if (k.refrigerator == refrigerator) continue;
    if (const Given* given = b.idle(key + k.name))
      b.problem(key + k.name,
                fmt::format("'{}' is not used with kind = {}", given->text,
                            refrigerator ? "refrigerator" : "load"),
                k.hint);
  }
}

void bind_refrigerator(Binder& b, const std::string& key, occupants::Appliance& a) {
  occupants::Refrigerator r;
  std::string condenser = "inside";
  b.quantity(
      key + "box_loss", Quantity::heat_rate_per_K, "W/K", r.ua_W_K, {0.05, 20},
      {"heat through walls, lid and gasket for a kelvin between cabin and inside", kJudgement});
  b.quantity(key + "inside", Quantity::temperature, "degC", r.T_inside_K,
             {to_kelvin(-30), to_kelvin(15)},
             {"kept inside; a freezer about -18 degC", kJudgement});
  b.profile(
      key + "door_load", Quantity::power, "W", r.load_W, {0, 500},
      {"heat by doors opened and what is put in warm, mean; may go by the clock", kJudgement});
  b.share(key + "carnot_share", r.carnot_share_1, {0.05, 0.7},
          {"its coefficient of performance over Carnot's between evaporating and condensing",
           kJudgement});
  b.quantity(key + "evaporator_difference", Quantity::temperature_difference, "K", r.dT_cold_K,
             {0, 40}, {"inside over evaporating", kJudgement});
  b.quantity(key + "condenser_difference", Quantity::temperature_difference, "K", r.dT_hot_K,
             {0, 40}, {"condensing over the air at the condenser", kJudgement});
  b.choice(key + "condenser", condenser, {"inside", "outside"},
           {"where its warm side gives its heat off; outside: vented outdoors", kJudgement});
  r.condenser_inside = condenser == "inside";
  if (a.power_W.highest() <= 0)
    b.problem(key + "power", "a refrigerator needs what its compressor draws while it runs",
              "power = \"45 W\"");
  if (a.power_W.highest() > kOddRefrigerator_W)
    b.odd(key + "power",
          fmt::format("{:.0f} W is much for a refrigerator in a vehicle: what its compressor draws "
                      "while it runs is meant",
                      a.power_W.highest()));
  a.refrigerator = r;
}

}  // namespace

void bind_appliances(Binder& b, Scenario& s) {
  for (int i = 0; i < b.given().count("appliance"); ++i) {
    const std::string key = indexed("appliance", i);
    occupants::Appliance a;
    std::string kind = "load";
    b.choice(key + "kind", kind, {"load", "refrigerator"},
             {"load: by its power; refrigerator: follows the cabin", ""});
    const bool cold = kind == "refrigerator";
    a.name = fmt::format("{} {}", cold ? "refrigerator" : "appliance", i + 1);
    a.on = core::DaySchedule::always();
    if (cold) {
      a.power_W = core::DayProfile(45);
      a.radiant_share_1 = 0.1;
    }
    double moisture_kg_h = 0;
    b.text(key + "name", a.name, {"for words only", ""});
    b.profile(
        key + "power", Quantity::power, "W", a.power_W, {0, 10000},
        cold ? About{"what its compressor draws while it runs; may go by the clock", kJudgement}
             : About{"electric power while on; may go by the clock", ""});
    if (!cold)
      b.share(key + "heat_share", a.heat_share_1, {0, 3},
              {"heat into the cabin over its power; above 1 for a burner", kJudgement});
    b.share(key + "radiant_share", a.radiant_share_1, {0, 1},
            {"of that heat, by radiation to the surfaces", kJudgement});
    b.share(key + "moisture_kg_h", moisture_kg_h, {0, 5},
            {"water vapour while on, kg in an hour", ""});
    b.flag(key + "on_battery", a.on_battery, {"draws from the battery", ""});
    b.flag(key + "alternating", a.alternating,
           {"runs on alternating current: by the inverter, or on shore", ""});
    b.hours(key + "on", a.on, {"when it runs", ""});
    if (cold) bind_refrigerator(b, key, a);
    refuse_other_kind(b, key, cold);
    a.moisture_kg_s = moisture_kg_h / core::kSecondsInHour;
    s.appliances.push_back(a);
  }
}

}  // namespace cabinload::scenario
