// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/size.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/report/terminal.hpp>
#include <cabinload/study/spread.hpp>
#include <cabinload/study/variants.hpp>
#include <memory>
#include <numeric>

#include "keep.hpp"
#include "progress_line.hpp"
#include "runs.hpp"
#include "why.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "Which capacity at the rating point, and which battery, hold 50, 90, 95, 99 and 100 %"
    " of the nights that need cooling. The scenario's unit is made larger and smaller at "
    "the same efficiency; first the capacity is found with a battery that never runs "
    "empty, then the battery for it. The trade-off says which battery a larger capacity "
    "needs, and listed units stand with theirs. The first line gives the size that nine in ten "
    "of 64 vans need, drawn from what nobody knows exactly (`cabinload list uncertainty`); "
    "stated with --samples, every share tells how many of the vans hold it. The lines at the end "
    "make a scenario file that size. Exit status 1: some share cannot be held by any size.",
    "What a unit costs, weighs or sounds like, nor how a hotter year than the typical one"
    " goes.",
    {"cabinload size --weather miami --insulation good",
     "cabinload size --vehicle long-van --from 06-01 --to 08-31 --units us"}};

struct SizeOptions {
  ScenarioOptions scenario;
  OutputOptions output;
  std::string why;
};

using Shared = std::shared_ptr<const scenario::Scenario>;

/// What the steps of this command hand on.
struct Work {
  Shared base;
  std::shared_ptr<const weather::Series> weather;
  study::Variants variants;
  std::function<void(std::size_t, std::size_t)> progress;

  [[nodiscard]] study::Variant variant(scenario::Scenario s) const {
    return {"",  std::make_shared<const scenario::Scenario>(std::move(s)), weather, "", {}, {},
            true};
  }
  [[nodiscard]] answers::Hold hold(const study::Outcome& o, const scenario::Scenario& s) const {
    return answers::hold(o.on, *o.off, s, *weather);
  }
};

void search_sizes(Work& work, answers::SizeSearch& search) {
  for (auto points = search.wanted(); !points.empty(); points = search.wanted()) {
    std::vector<study::Variant> list;
    list.reserve(points.size());
    for (const answers::SizePoint& p : points)
      list.push_back(work.variant(answers::sized(*work.base, p)));
    const std::vector<study::Outcome> outcomes = work.variants.run(list, work.progress);
    for (std::size_t i = 0; i < points.size(); ++i)
      search.tell(points[i], answers::size_seen(work.hold(outcomes[i], *list[i].scenario)));
  }
}

/// What it costs to be larger than needed: the same nights, and one of them at 1 s.
void try_too_large(Work& work, const answers::SizeSearch& search, answers::Sizes& answer) {
  const answers::SizeSearch::Found* main = nullptr;
  for (const auto& found : search.sizes())
    if (found.percent == answers::kSizeMain_percent && found.holds) main = &found;
  if (main == nullptr) return;
  std::vector<study::Variant> list;
  for (const double over_1 : answers::kTooLarge_1) {
    const int capacity = static_cast<int>(std::lround(main->size.capacity * over_1));
    list.push_back(work.variant(answers::sized(*work.base, {capacity, -1, -1})));
    answers::SizeTooLarge row;
    row.capacity_W = answers::SizePoint{capacity, -1, -1}.capacity_W();
    row.over_1 = over_1;
    answer.too_large.push_back(row);
  }
  const std::vector<study::Outcome> outcomes = work.variants.run(list, work.progress);
  const forcing::Forcing forcing =
      forcing::make(*work.weather, work.base->site, work.base->vehicle);
  const network::Cabin cabin = network::assemble(work.base->vehicle);
  const auto& p_Pa = work.weather->p_Pa;
  const double mean_Pa =
      std::accumulate(p_Pa.begin(), p_Pa.end(), 0.0) / static_cast<double>(p_Pa.size());
  std::vector<answers::Hold> holds;
  std::vector<scenario::Scenario> nights;
  for (std::size_t i = 0; i < list.size(); ++i) {
    holds.push_back(work.hold(outcomes[i], *list[i].scenario));
    nights.push_back(*list[i].scenario);
    if (!answer.typical_night) answer.typical_night = answers::typical_night(holds[0]);
    nights.back().step_s = 1;
    nights.back().night.from = nights.back().night.to = *answer.typical_night;
    answers::SizeTooLarge& row = answer.too_large[i];
    row.electric_Wh = holds[i].electric_Wh.median;
    row.condensate_L = holds[i].condensate_L_median;
    const auto humidity = answers::night_humidity(outcomes[i].on, holds[i], work.base->night,
                                                  work.weather->first_day, mean_Pa);
    row.humidity_1 = humidity.mean_1;
    row.wettest_1 = humidity.highest_1;
  }
  std::vector<study::Case> cases;
  for (const scenario::Scenario& s : nights) {
    simulation::Options options;
    options.cycles = true;
    options.step_trace_night =
        simulation::nights_of(s.night, forcing.hours, forcing.first_day).first;
    cases.push_back({"one night", &cabin, &forcing, &s, options});
  }
  const std::vector<simulation::Trace> traces = study::run(cases);
  for (std::size_t i = 0; i < traces.size(); ++i)
    answer.too_large[i].starts = answers::cycle_night(traces[i], holds[i]).starts;
}

/// Of the vans that the description fits, how many hold that share with a size.
/// @param enough_1  once fewer than that part can, no more vans are run, and the rest count as
///                  holding it
double vans_that_hold_1(const Work& work, const answers::SizePoint& size, int percent,
                        int needing_cooling, double enough_1 = 0) {
  constexpr std::size_t kTogether = 16;  // eight lanes on two cores, between two looks at enough_1
  const scenario::Scenario sized = answers::sized(*work.base, size);
  const auto samples = static_cast<std::size_t>(sized.uncertainty.samples);
  const double may_lose = (1 - percent / 100.0) * needing_cooling;
  std::size_t fail = 0;
  const auto hold_1 = [&] {
    return static_cast<double>(samples - fail) / static_cast<double>(samples);
  };
  const std::size_t together = enough_1 > 0 ? kTogether : samples;
  for (std::size_t first = 0; first < samples && hold_1() >= enough_1; first += together) {
    const study::Vans vans{first, std::min(together, samples - first)};
    const std::vector<study::DrawnNights> drawn = study::drawn_nights(
        sized, work.weather, vans,
        [&](std::size_t done, std::size_t) { work.progress(first + done, samples); });
    fail +=
        static_cast<std::size_t>(std::count_if(drawn.begin(), drawn.end(), [&](const auto& van) {
          const auto lost = std::count(van.held.begin(), van.held.end(), false);
          return static_cast<double>(lost) > may_lose + 1e-9;
        }));
  }
  return hold_1();
}

/// The main share; the others take as long each and are left to who states the vans.
void draw_vans(const Work& work, const answers::SizeSearch& search, answers::Sizes& answer) {
  const auto& found = search.sizes();
  const bool all = work.base->uncertainty.asked() > 0;
  for (std::size_t i = 0; i < found.size() && i < answer.sizes.size(); ++i)
    if (found[i].holds && (all || found[i].percent == answers::kSizeMain_percent))
      answer.sizes[i].vans_1 =
          vans_that_hold_1(work, found[i].size, found[i].percent, answer.needing_cooling);
}

/// A size with room for what nobody knows: by the vans drawn, else by judgement.
void find_roomy(Work& work, const answers::SizeSearch& search, answers::Sizes& answer) {
  const auto largest = answers::largest_found(search);
  if (!largest) return;
  double over_1 = answers::kRoomUnasked_1;
  std::optional<double> vans_1;
  if (work.base->uncertainty.samples > 0) {
    // More of both does a van no harm but for single nights: the first that is enough is bisected.
    const auto* enough =
        std::partition_point(answers::kRoom_1.begin(), answers::kRoom_1.end(), [&](double tried_1) {
          const double hold_1 = vans_that_hold_1(work, answers::roomier(*largest, tried_1),
                                                 answers::kSizeMain_percent, answer.needing_cooling,
                                                 answers::kSureVans_1);
          if (hold_1 >= answers::kSureVans_1) vans_1 = hold_1;
          return hold_1 < answers::kSureVans_1;
        });
    if (enough == answers::kRoom_1.end()) return;
    over_1 = *enough;
  }
  const answers::SizePoint point = answers::roomier(*largest, over_1);
  const std::vector<study::Variant> list = {work.variant(answers::sized(*work.base, point))};
  const answers::Hold hold =
      work.hold(work.variants.run(list, work.progress)[0], *list[0].scenario);
  answer.roomy = {
      over_1, point.capacity_W(), point.battery_Wh(), hold.held, hold.needing_cooling, vans_1, {}};
  for (const scenario::Override& o : answers::size_overrides(*work.base, point))
    answer.roomy->overrides.push_back(o.key + "=" + o.value);
}

/// A night at the size that the answer recommends: the one for the main share, else for the largest
/// share that some size holds, else as it is.
void explain(Work& work, const std::string& why, answers::Sizes& answer) {
  answers::SizePoint point;
  std::string of = "As it is";
  for (const answers::Size& s : answer.sizes) {
    if (!s.capacity_W || !s.battery_Wh || s.nights_percent > answers::kSizeMain_percent) continue;
    point.capacity = static_cast<int>(std::lround(*s.capacity_W / answers::kCapacityStep_W));
    point.battery = static_cast<int>(std::lround(*s.battery_Wh / answers::kBatteryStep_Wh));
    of = fmt::format("At the size for {} %", s.nights_percent);
  }
  const std::vector<study::Variant> list = {
      work.variant(point.capacity > 0 ? answers::sized(*work.base, point) : *work.base)};
  const answers::Hold hold =
      work.hold(work.variants.run(list, work.progress)[0], *list[0].scenario);
  answer.header.flows =
      night_flows(*list[0].scenario, *work.weather, hold.each_night[asked_night(why, hold)], of);
}

answers::Sizes find(Work& work, const std::string& why) {
  const std::vector<study::Variant> now = {work.variant(*work.base)};
  const answers::Hold hold = work.hold(work.variants.run(now, work.progress)[0], *work.base);
  answers::Sizes answer = answers::sizes(hold, *work.base, *work.weather);
  if (hold.needing_cooling > 0) {
    const power::BankDescription& bank = work.base->supply.bank;
    answers::SizeSearch search(bank.usable_high_1 - bank.usable_low_1,
                               static_cast<int>(answers::listed_units().size()));
    search_sizes(work, search);
    answers::fill(answer, search, *work.base);
    try_too_large(work, search, answer);
    if (work.base->uncertainty.samples > 0) draw_vans(work, search, answer);
    find_roomy(work, search, answer);
  }
  if (!why.empty()) explain(work, why, answer);
  answer.runs = work.variants.counts().unit_on + work.variants.counts().unit_off;
  return answer;
}

void size(Context& context, const SizeOptions& options) {
  const OutputOptions& output = options.output;
  if (!output.out_file.empty()) core::check_output(output.out_file, output.force);
  probe_csv(output);
  auto base = scenario::read(options.scenario.file, options.scenario.overrides);
  require_limit_in_reach(base);
  refuse_worst_heading(base, "size");
  if (!options.why.empty() && options.why != "true") (void)date_of("--why", options.why);
  ProgressLine line(context.surroundings.err_is_terminal && !output.quiet && !output.json);
  Work work;
  work.weather = std::make_shared<const weather::Series>(weather_of(base));
  work.base = std::make_shared<const scenario::Scenario>(std::move(base));
  work.progress = [&](std::size_t done, std::size_t of) {
    line.show(static_cast<double>(done) / static_cast<double>(of));
  };
  const answers::Sizes answer = find(work, options.why);
  const std::string json = report::json(answer);
  tell(context, output, answer, json,
       store::SizeResult{about(context, *work.base, json, work.weather->first_day), answer});
  context.exit = answer.met() ? core::ExitCode::done : core::ExitCode::not_met;
}

}  // namespace

void add_size(CLI::App& app, Context& context) {
  auto options = std::make_shared<SizeOptions>();
  CLI::App* command =
      app.add_subcommand("size", "Which capacity and battery hold which share of the nights");
  add_scenario(*command, options->scenario, &context);
  add_samples(*command, options->scenario, true);
  add_output(*command, options->output);
  add_out_file(*command, options->output);
  command->add_flag("--why", options->why,
                    "what comes in and goes out in the hardest night at the size for 95 %; "
                    "--why=07-14: in that one");
  add_csv(*command, options->output, "size");
  add_help(*command, kHelp);
  command->callback([&context, options] { size(context, *options); });
}

}  // namespace cabinload::cli
