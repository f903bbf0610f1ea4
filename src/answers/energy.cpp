// SPDX-License-Identifier: Apache-2.0
// What hold says about energy: what was missing when the battery ran empty.
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/hold.hpp>
#include <cabinload/answers/runtime.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/simulation/observers.hpp>
#include <cmath>

#include "shared.hpp"

namespace cabinload::answers {
namespace {

/// So many times the battery's energy: a year of any unit.
constexpr double kAmple_1 = 1e4;
constexpr double kWorthTelling_h = 0.05;

std::string when(double t_s, int first_day) {
  return fmt::format("{} at {}", core::long_text(date_at(t_s, first_day)), core::clock_text(t_s));
}

bool empty(const HoldNight& n) {
  return std::isfinite(n.battery_empty_second_of_day);
}

std::size_t first_empty(const Hold& answer) {
  return static_cast<std::size_t>(
      std::find_if(answer.each_night.begin(), answer.each_night.end(), empty) -
      answer.each_night.begin());
}

/// What the temperature of the battery's cells did.
std::vector<std::string> cells_warnings(const simulation::Trace& trace,
                                        const power::BankDescription& bank) {
  const simulation::CellsBound& c = trace.cells;
  std::vector<std::string> warnings;
  const auto degC = [](double T_K) { return fmt::format("{:.0f} °C", core::to_celsius(T_K)); };
  if (c.hot_h + c.cold_h > kWorthTelling_h) {
    const std::string nothing = c.nothing_h > kWorthTelling_h
                                    ? fmt::format(", in {:.1f} h nothing at all", c.nothing_h)
                                    : "";
    const bool both = c.hot_h > 0 && c.cold_h > 0;
    warnings.push_back(
        fmt::format("battery: for {:.1f} h its cells were too {} to give what was asked, {}{}",
                    c.hot_h + c.cold_h,
                    both          ? "hot or too cold"
                    : c.hot_h > 0 ? "hot"
                                  : "cold",
                    both          ? degC(c.coldest_K) + " to " + degC(c.hottest_K)
                    : c.hot_h > 0 ? "up to " + degC(c.hottest_K)
                                  : "down to " + degC(c.coldest_K),
                    nothing));
  }
  const char* freezing = bank.chemistry == power::Chemistry::lfp ? "lithium cells take none then"
                                                                 : "they take little then";
  if (trace.frozen_charge_h > 0)
    warnings.push_back(fmt::format(
        "battery: in {:.1f} h there was power to charge it and its cells were below 0 °C ({}); in "
        "{:.1f} h in all the cold limited its charging",
        trace.frozen_charge_h, freezing, trace.cold_charge_h));
  else if (trace.cold_charge_h > 0)
    warnings.push_back(
        fmt::format("battery: in {:.1f} h cold cells took less than there was to charge them",
                    trace.cold_charge_h));
  if (trace.hot_charge_h > 0)
    warnings.push_back(
        fmt::format("battery: in {:.1f} h hot cells took less than there was to charge them",
                    trace.hot_charge_h));
  return warnings;
}

}  // namespace

power::BankDescription ample_bank(power::BankDescription bank) {
  bank.nominal_energy_J *= kAmple_1;
  bank.cells.self_discharge_1_s = 0;  // would warm the cabin
  return bank;
}

scenario::Scenario ample_scenario(const scenario::Scenario& scenario, const Hold& answer) {
  CABINLOAD_ASSERT(ran_empty(answer));
  scenario::Scenario ample = scenario;
  ample.night.from = answer.each_night[first_empty(answer)].date;
  ample.night.to = std::find_if(answer.each_night.rbegin(), answer.each_night.rend(), empty)->date;
  ample.supply.bank = ample_bank(ample.supply.bank);
  return ample;
}

bool ran_empty(const Hold& answer) {
  return std::any_of(answer.each_night.begin(), answer.each_night.end(), empty);
}

void add_unserved(Hold& answer) {
  int nights = 0, dark = 0, bound = 0;
  double sum_Wh = 0;
  const HoldNight* most = nullptr;
  for (const HoldNight& n : answer.each_night) {
    bound += n.cells_bound_h > kWorthTelling_h ? 1 : 0;
    if (n.unserved_Wh <= simulation::kUnnoticed_Wh) continue;
    ++nights;
    dark += n.unserved_asleep_Wh > simulation::kUnnoticed_Wh ? 1 : 0;
    sum_Wh += n.unserved_Wh;
    if (!most || n.unserved_Wh > most->unserved_Wh) most = &n;
  }
  if (most)
    answer.header.warnings.push_back(fmt::format(
        "loads: on {} of {} nights (noon to noon) the supply did not serve the other loads in "
        "full: "
        "{:.0f} Wh were not given, most on {} ({:.0f} Wh). {}",
        nights, answer.in_period, sum_Wh, core::long_text(most->date), most->unserved_Wh,
        dark > 0
            ? fmt::format("On {} it was in the sleep window: such a night is not held, however "
                          "cool the bed",
                          dark)
            : "It was never in the sleep window, so it costs no night"));
  if (bound > 0)
    answer.header.warnings.push_back(fmt::format(
        "battery: on {} of {} nights (noon to noon) its cells were too hot or too cold to give all "
        "that was asked",
        bound, answer.in_period));
}

void add_missing(Hold& answer, const simulation::Trace& unit_on, const simulation::Trace& ample,
                 const scenario::Night& night) {
  const simulation::Hourly &with = unit_on.hourly, &more = ample.hourly;
  const std::size_t skipped_h = 24 * first_empty(answer);  // before the ample run begins
  const double cut_s = simulation::NightObserver::account_cut_s(night);
  const auto after_cut = [&](double clock_s) {
    return std::fmod(clock_s - cut_s + core::kSecondsInDay, core::kSecondsInDay);
  };
  const double end_s = after_cut(night.sleep_start_s) + night.sleep_length_s();
  for (std::size_t i = 0; i < answer.each_night.size(); ++i) {
    HoldNight& n = answer.each_night[i];
    if (!empty(n)) continue;
    // From the hour in which it ran empty: until then both runs are the same.
    const double account_h =
        (cut_s + static_cast<double>(i) * core::kSecondsInDay) / core::kSecondsInHour;
    const double last_h = account_h + end_s / core::kSecondsInHour;
    auto row = static_cast<std::size_t>(account_h + after_cut(n.battery_empty_second_of_day) /
                                                        core::kSecondsInHour);
    for (; static_cast<double>(row) < last_h; ++row) {
      CABINLOAD_ASSERT(row < with.unit_electric_W.size() &&
                       row - skipped_h < more.unit_electric_W.size());
      n.missing_Wh += (more.unit_electric_W[row - skipped_h] - with.unit_electric_W[row]) *
                      std::min(1.0, last_h - static_cast<double>(row));
    }
    n.missing_Wh = std::max(0.0, n.missing_Wh);
  }
}

std::vector<std::string> supply_warnings(const simulation::Trace& trace,
                                         const scenario::Scenario& scenario, int first_day) {
  std::vector<std::string> warnings;
  int trips = 0;
  double first_s = 0;
  for (const simulation::SupplyEvent& e : trace.events)
    if (e.kind == power::EventKind::shore_trip && trips++ == 0) first_s = e.t_s;
  if (trips > 0)
    warnings.push_back(fmt::format(
        "shore: the breaker of the pitch trips{} on {}: loads and charger together draw more than "
        "its {:g} A ({:.0f} W). Tripped, it gives nothing until somebody plugs in anew",
        trips > 1 ? fmt::format(" {} times, first", trips) : "", when(first_s, first_day),
        scenario.supply.shore->limit_A,
        scenario.supply.shore->limit_A * scenario.supply.shore->volts));
  for (std::string& text : cells_warnings(trace, scenario.supply.bank))
    warnings.push_back(std::move(text));
  return warnings;
}

}  // namespace cabinload::answers
