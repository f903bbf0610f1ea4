// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/ledger.hpp>
#include <cabinload/answers/load.hpp>
#include <cabinload/answers/pets.hpp>
#include <cabinload/core/constants.hpp>
#include <cmath>

#include "shared.hpp"

namespace cabinload::answers {
namespace {

using simulation::FlowAccount;

struct Named {
  double FlowAccount::*W;
  const char *key, *in, *out;  // words when it comes in, when it goes out
};
constexpr Named kHeat[] = {
    {&FlowAccount::roof_W, "roof", "through the roof", "through the roof"},
    {&FlowAccount::walls_W, "walls", "through walls and doors", "through walls and doors"},
    {&FlowAccount::floor_W, "floor", "through the floor", "through the floor"},
    {&FlowAccount::partitions_W, "partitions", "through partitions", "through partitions"},
    {&FlowAccount::windows_W, "windows", "warmth through the windows",
     "warmth through the windows"},
    {&FlowAccount::sun_W, "sun", "sun through the windows", "sun through the windows"},
    {&FlowAccount::exchange_W, "air_exchange", "air through cracks and vents",
     "air through cracks and vents"},
    {&FlowAccount::people_W, "people", "people", "people"},
    {&FlowAccount::pets_W, "pets", "pets", "pets"},
    {&FlowAccount::appliances_W, "appliances", "appliances", "appliances"},
    {&FlowAccount::refrigerators_W, "refrigerators", "refrigerators",
     "refrigerators, vented outdoors"},
    {&FlowAccount::supply_W, "supply", "battery and electronics",
     "into a battery cooler than the air"},
    {&FlowAccount::wet_faces_W, "wet_faces", "water forming on cold faces",
     "water forming on cold faces"},
    {&FlowAccount::heating_W, "heating", "heating", "heating"},
    {&FlowAccount::cooling_W, "cooling", "cooling of any capacity", "cooling of any capacity"},
    {&FlowAccount::fan_W, "fan", "the unit's own fan", "the unit's own fan"},
    {&FlowAccount::coil_W, "coil", "given by the unit's coil", "taken by the unit's coil"},
    {&FlowAccount::given_back_W, "stored", "given back by shell and contents",
     "soaked up by shell and contents"},
};

/// Electricity: loads and losses count as going out.
struct Signed {
  Named named;
  double sign;
};
constexpr Signed kElectricity[] = {
    {{&FlowAccount::solar_W, "solar", "panels", "panels"}, 1},
    {{&FlowAccount::alternator_W, "alternator", "alternator", "alternator"}, 1},
    {{&FlowAccount::shore_W, "shore", "shore", "shore"}, 1},
    {{&FlowAccount::battery_W, "battery", "out of the battery, charge and heat",
      "into the battery, charge and heat"},
     1},
    {{&FlowAccount::unit_W, "unit", "the cooling unit", "the cooling unit"}, -1},
    {{&FlowAccount::refrigerators_draw_W, "refrigerators", "refrigerators", "refrigerators"}, -1},
    {{&FlowAccount::other_W, "other", "lamp, fan and other loads", "lamp, fan and other loads"},
     -1},
    // Losses leave the battery as heat; one cooler than the air takes up more than it loses.
    {{&FlowAccount::loss_W, "loss", "heat that a cool battery takes up",
      "heat of battery and converters"},
     -1},
};

void add(LedgerAccount& account, const Named& named, double W) {
  if (W != 0) account.rows.push_back({named.key, W > 0 ? named.in : named.out, W});
}

/// When it was, for people.
void set_time(Ledger& l, double from_s, double seconds, int first_day) {
  l.date = date_at(from_s, first_day);
  l.second_of_day = core::second_of_day(from_s);
  l.hours = seconds / core::kSecondsInHour;
}

}  // namespace

double LedgerAccount::in_W() const {
  double sum_W = 0;
  for (const LedgerRow& r : rows) sum_W += std::max(r.W, 0.0);
  return sum_W;
}
double LedgerAccount::out_W() const {
  double sum_W = 0;
  for (const LedgerRow& r : rows) sum_W -= std::min(r.W, 0.0);
  return sum_W;
}

Ledger ledger(const std::string& title, const FlowAccount& flows, int first_day) {
  Ledger l;
  l.title = title;
  set_time(l, flows.span.from_s, flows.seconds, first_day);
  l.T_out_K = flows.T_out_K;
  l.T_air_K = flows.T_air_K;
  l.latent_W = flows.latent_W;
  LedgerAccount heat{"heat", "Heat of cabin, shell and contents", {}};
  for (const Named& n : kHeat) add(heat, n, flows.*n.W);
  LedgerAccount electricity{"electricity", "Electricity", {}};
  for (const Signed& s : kElectricity) add(electricity, s.named, s.sign * (flows.*s.named.W));
  l.accounts = {heat, electricity};
  return l;
}

Ledger ledger(const std::string& title, const simulation::Demand& d, std::size_t hour,
              int first_day) {
  Ledger l;
  l.title = title;
  set_time(l, d.start_s + static_cast<double>(hour) * core::kSecondsInHour, core::kSecondsInHour,
           first_day);
  l.T_out_K = d.T_out_mean_K[hour];
  l.T_air_K = d.T_air_mean_K[hour];
  LedgerAccount demand{"demand", "Cooling demand, heat and moisture", {}};
  for (std::size_t c = 0; c < d.causes.size(); ++c) {
    const double W = d.sensible_by_cause_W[c][hour] + d.latent_by_cause_W[c][hour];
    if (W != 0) demand.rows.push_back({cause_key(d.causes[c]), cause_words(d.causes[c]), W});
  }
  if (d.sensible_W[hour] != 0)
    demand.rows.push_back({"cooling_sensible", "cooling takes heat", -d.sensible_W[hour]});
  if (d.latent_W[hour] != 0)
    demand.rows.push_back({"cooling_latent", "cooling takes moisture", -d.latent_W[hour]});
  l.accounts = {demand};
  return l;
}

std::vector<simulation::Span> spans_of(const HoldNight& night, const scenario::Night& settings,
                                       int day) {
  const double midnight_s = day * core::kSecondsInDay;
  const double start_s = settings.sleep_start_s;
  const double end_s = start_s + settings.sleep_length_s();
  // The step that ends at the peak lies in the hour; a peak before the start is after midnight.
  double peak_s = night.bed_peak_second_of_day;
  if (peak_s < start_s) peak_s += core::kSecondsInDay;
  const double hour_s =
      (std::ceil(peak_s / core::kSecondsInHour - 1e-9) - 1) * core::kSecondsInHour;
  return {{midnight_s + hour_s, midnight_s + hour_s + core::kSecondsInHour},
          {midnight_s + start_s, midnight_s + end_s}};
}

std::vector<Ledger> night_ledgers(const std::vector<FlowAccount>& flows, int first_day,
                                  const std::string& of) {
  const char* kTitles[] = {"The hour in which the bed is hottest", "The whole sleep window"};
  const char* kTitlesOf[] = {"the hour in which the bed is hottest", "the whole sleep window"};
  std::vector<Ledger> all;
  for (std::size_t i = 0; i < std::min(flows.size(), std::size(kTitles)); ++i)
    all.push_back(ledger(of.empty() ? kTitles[i] : of + ", " + kTitlesOf[i], flows[i], first_day));
  return all;
}

std::vector<Ledger> failure_ledgers(const simulation::Failures& explained,
                                    simulation::Failure failure, int first_day) {
  const auto& minutes = explained.minutes[static_cast<std::size_t>(failure)];
  const bool passed = std::any_of(minutes.begin(), minutes.end(),
                                  [](double m) { return m < simulation::kNever_min; });
  const std::string titles[] = {
      "The hour before, the unit running",
      fmt::format("When {}, {}", failure_words(failure),
                  passed ? "until the limit is passed" : "and the limit is not passed")};
  std::vector<Ledger> all;
  for (std::size_t i = 0; i < explained.flows.size(); ++i)
    if (explained.flows[i].seconds > 0)
      all.push_back(ledger(titles[i], explained.flows[i], first_day));
  return all;
}

}  // namespace cabinload::answers
