// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <cabinload/answers/load.hpp>
#include <cabinload/answers/what_helps.hpp>
#include <cabinload/answers/would_hold.hpp>
#include <cabinload/core/constants.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/report/terminal.hpp>
#include <cabinload/study/failure_peak.hpp>
#include <cabinload/study/spread.hpp>
#include <cabinload/study/variants.hpp>
#include <cmath>
#include <limits>
#include <map>
#include <memory>

#include "keep.hpp"
#include "runs.hpp"
#include "why.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "Each improvement alone, in a run of its own: nights won (above the limit now, not "
    "then), electricity a night saved over the nights that need cooling now, the peak of the "
    "cooling demand around its highest hour, and the fewest minutes from a failure of the "
    "cooling to an animal's limit around the hottest day. What is so already is left out and "
    "says so. The best three are tried in pairs, and on 64 vans drawn from what nobody knows "
    "exactly; stated with --samples, every improvement is. --cost KEY=NUMBER, in any currency, adds"
    " the effect for that cost. Exit status 0.",
    "Work, weight or looks, nor what to do first when two shut each other out.",
    {"cabinload what-helps --weather tucson --by nights",
     "cabinload what-helps --by energy --cost insulation=1200 --cost heading=1"}};

struct HelpsOptions {
  ScenarioOptions scenario;
  OutputOptions output;
  std::string by = "nights", why;
  std::vector<std::string> costs;
};

/// Days before and after the highest demand in which other demands are looked for.
constexpr int kAbout_days = 3;

std::map<std::string, double> costs_of(const std::vector<std::string>& texts) {
  std::vector<std::string> known;
  for (const auto& i : answers::improvements()) known.emplace_back(i.key);
  std::map<std::string, double> costs;
  const auto refuse = [](const std::string& what, const std::string& hint) {
    refuse_option("--cost", what, hint);
  };
  for (const std::string& text : texts) {
    const std::size_t equals = std::min(text.find('='), text.size());
    const std::string key = text.substr(0, equals);
    if (equals == text.size()) refuse("'" + text + "' is not KEY=NUMBER", "--cost insulation=1200");
    if (std::find(known.begin(), known.end(), key) == known.end()) {
      const auto [what, hint] = core::unknown_name(key, known);
      refuse(what, hint);
    }
    double cost = 0;
    try {
      cost = core::parse_quantity(text.substr(equals + 1), core::Quantity::dimensionless);
    } catch (const core::Error&) {
      refuse("'" + text.substr(equals + 1) + "' is not a number", "--cost " + key + "=1200");
    }
    if (!(cost > 0 && cost < 1e12))
      refuse("'" + text.substr(equals + 1) + "' must be above 0", "--cost " + key + "=1200");
    costs[key] = cost;
  }
  return costs;
}

/// What the steps of this command hand on.
struct Work {
  const ScenarioOptions& options;
  std::shared_ptr<const scenario::Scenario> base;
  std::shared_ptr<const weather::Series> weather;
  study::Variants variants;
  std::function<void(std::size_t, std::size_t)> progress;
  answers::Hold now;          // as the vehicle stands
  std::vector<bool> counted;  // nights of it that need cooling
  std::optional<core::Date> about_from, about_to;
  double residual_relative = 0;
  int hottest_day = 0;  // of the weather, with the unit off as the vehicle stands
  double longest_min = 0;
  bool with_minutes = true;

  study::Variant variant(const answers::Change& change) {
    auto s = std::make_shared<const scenario::Scenario>(
        answers::changed(options.file, options.overrides, change));
    study::VariantDemand demand{*s, simulation::demand_options(*s)};
    demand.options.by_cause = false;  // its highest hour is all that is asked
    if (about_from) demand.scenario.night.from = about_from;
    if (about_to) demand.scenario.night.to = about_to;
    return {change.label, s, weather, answers::insulation_text(change), counted, std::move(demand)};
  }
  answers::Hold hold(const study::Variant& v, const study::Outcome& o) {
    answers::Hold h = answers::hold(o.on, *o.off, *v.scenario, *weather);
    residual_relative = std::max(residual_relative, h.residual_relative);
    return h;
  }
  /// Runs a list of changes.
  std::vector<answers::HelpFigures> figures(const std::vector<answers::Change>& changes) {
    std::vector<study::Variant> list;
    list.reserve(changes.size());
    for (const answers::Change& c : changes) list.push_back(variant(c));
    const std::vector<study::Outcome> outcomes = variants.run(list, progress);
    const std::vector<double> left_min = minutes(list);
    std::vector<answers::HelpFigures> all;
    for (std::size_t i = 0; i < list.size(); ++i) {
      all.push_back(
          answers::help_figures(hold(list[i], outcomes[i]), counted, *outcomes[i].demand));
      all.back().minutes = left_min[i];
    }
    return all;
  }
  /// Fewest minutes from a failure to the animal's limit, of each.
  [[nodiscard]] std::vector<double> minutes(const std::vector<study::Variant>& list) const {
    if (!with_minutes) return std::vector<double>(list.size(), 0.0);
    std::vector<study::PeakAsk> asks;
    asks.reserve(list.size());
    for (const study::Variant& v : list)
      asks.push_back({v.scenario, v.weather, {answers::days_about(hottest_day)}});
    std::vector<double> left_min;
    for (const study::FailurePeak& peak : study::failure_peaks(asks))
      left_min.push_back(std::min(peak.fewest_min, longest_min));
    return left_min;
  }
};

/// The vehicle as it stands: its nights, and where the peak of its demand lies.
answers::Helps stand(Work& work) {
  const std::vector<study::Variant> list = {work.variant({})};
  const std::vector<study::Outcome> outcomes = work.variants.run(list, work.progress);
  const answers::Hold hold = work.hold(list[0], outcomes[0]);
  for (const answers::HoldNight& n : hold.each_night) work.counted.push_back(n.needs_cooling);
  work.now = hold;
  answers::Helps a;
  a.header = hold.header;
  a.header.answer = "what-helps";
  a.T_limit_K = hold.T_limit_K;
  a.in_period = hold.in_period;
  const simulation::Demand& demand = *outcomes[0].demand;
  a.now = answers::help_figures(hold, work.counted, demand);
  a.header.cautions = answers::animal_cautions();
  a.to = answers::minutes_rule(*work.base);
  work.longest_min = a.to.longest_min;
  work.hottest_day =
      static_cast<int>(std::floor(outcomes[0].off->hottest.cabin_air.t_s / core::kSecondsInDay));
  a.now.minutes = work.minutes(list)[0];
  const int first =
      work.weather->first_day + static_cast<int>(std::lround(demand.start_s / core::kSecondsInDay));
  const int day = static_cast<int>(answers::highest_hour(demand) / 24), last = a.in_period - 1;
  const auto date = [&](int d) { return core::date_of((first + d) % core::kDaysInYear); };
  a.peak_date = date(day);
  work.about_from = date(std::max(0, day - kAbout_days));
  work.about_to = date(std::min(last, day + kAbout_days));
  return a;
}

/// Every way of every improvement that is not there already, in one list.
void try_all(Work& work, const std::map<std::string, double>& costs, answers::Helps& a) {
  std::vector<answers::Change> changes;
  std::vector<std::size_t> of_row;
  for (const answers::Improvement& i : answers::improvements()) {
    answers::HelpRow row;
    row.key = i.key;
    row.words = i.words;
    row.source = i.source;
    if (const auto cost = costs.find(i.key); cost != costs.end()) row.cost = cost->second;
    const auto plan = i.plan(*work.base);
    if (const auto* reason = std::get_if<std::string>(&plan)) row.skipped = *reason;
    for (const answers::Change& way :
         row.skipped.empty() ? std::get<0>(plan) : std::vector<answers::Change>{}) {
      changes.push_back(way);
      of_row.push_back(a.rows.size());
    }
    a.rows.push_back(row);
  }
  const std::vector<answers::HelpFigures> figures = work.figures(changes);
  std::vector<bool> filled(a.rows.size(), false);
  for (std::size_t c = 0; c < changes.size(); ++c) {
    answers::HelpRow& row = a.rows[of_row[c]];
    const auto worth = [&](const answers::HelpFigures& f) {
      return std::pair(answers::effect(a.now, f, a.by),
                       answers::effect(a.now, f, answers::HelpBy::energy));
    };
    if (filled[of_row[c]] && worth(figures[c]) <= worth(row.then)) continue;
    filled[of_row[c]] = true;
    row.then = figures[c];
    row.change = changes[c];
    row.label = changes[c].label;
    row.overrides = changes[c].overrides;
  }
  answers::rank(a);
}

/// The best rows (every row where vans are stated) on the same vans, one van after the other: what
/// differs is the improvement, not the draw.
void draw_vans(Work& work, answers::Helps& a) {
  const scenario::Uncertainty& unknown = work.base->uncertainty;
  std::vector<answers::Change> changes = {{}};
  std::vector<std::size_t> of_row;
  const std::vector<std::size_t> best = answers::best_together(a);
  for (std::size_t r = 0; r < a.rows.size(); ++r)
    if (a.rows[r].skipped.empty() &&
        (unknown.asked() > 0 || std::find(best.begin(), best.end(), r) != best.end()))
      changes.push_back(a.rows[r].change), of_row.push_back(r);
  if (of_row.empty()) return;
  std::vector<std::vector<double>> nights(of_row.size()), electric_Wh(of_row.size());
  for (int van = 0; van < unknown.samples; ++van) {
    std::vector<study::Variant> list;
    for (const answers::Change& c : changes) {
      auto s = std::make_shared<const scenario::Scenario>(
          scenario::drawn(answers::changed(work.options.file, work.options.overrides, c),
                          study::draw(unknown, static_cast<std::size_t>(van))));
      list.push_back({c.label,
                      s,
                      work.weather,
                      fmt::format("{} van {}", answers::insulation_text(c), van),
                      work.counted,
                      {},
                      false});
    }
    const std::vector<study::Outcome> outcomes = work.variants.run(list);
    std::vector<answers::HelpFigures> figures;
    for (std::size_t i = 0; i < list.size(); ++i)
      figures.push_back(answers::help_figures(work.hold(list[i], outcomes[i]), work.counted, {}));
    for (std::size_t i = 0; i < of_row.size(); ++i) {
      nights[i].push_back(answers::effect(figures[0], figures[i + 1], answers::HelpBy::nights));
      electric_Wh[i].push_back(
          answers::effect(figures[0], figures[i + 1], answers::HelpBy::energy));
    }
    work.variants.forget_unit_off();
    work.progress(static_cast<std::size_t>(van) + 1, static_cast<std::size_t>(unknown.samples));
  }
  a.samples = unknown.samples;
  for (std::size_t i = 0; i < of_row.size(); ++i)
    a.rows[of_row[i]].drawn = {answers::likely(nights[i]), answers::likely(electric_Wh[i])};
}

void try_pairs(Work& work, answers::Helps& a) {
  const std::vector<std::size_t> best = answers::best_together(a);
  std::vector<answers::Change> changes;
  for (std::size_t i = 0; i < best.size(); ++i)
    for (std::size_t j = i + 1; j < best.size(); ++j) {
      const answers::HelpRow &x = a.rows[best[i]], &y = a.rows[best[j]];
      changes.push_back(answers::together(x.change, y.change));
      a.pairs.push_back({x.key, y.key, answers::effect(a.now, x.then, a.by),
                         answers::effect(a.now, y.then, a.by), 0,
                         answers::HelpPair::Verdict::add_up});
    }
  const std::vector<answers::HelpFigures> figures = work.figures(changes);
  for (std::size_t i = 0; i < figures.size(); ++i) {
    answers::HelpPair& p = a.pairs[i];
    p.both = answers::effect(a.now, figures[i], a.by);
    p.verdict = answers::judge_pair(
        p.alone_a, p.alone_b, p.both, a.by,
        a.by == answers::HelpBy::nights ? a.now.lost : std::numeric_limits<double>::infinity());
  }
}

/// The same night as it is and with what helps most.
void explain(const Work& work, const std::string& why, answers::Helps& a) {
  const answers::HoldNight& night = work.now.each_night[asked_night(why, work.now)];
  a.header.flows = night_flows(*work.base, *work.weather, night, "As it is");
  if (a.rows.empty() || !a.rows[0].skipped.empty() ||
      !(answers::effect(a.now, a.rows[0].then, a.by) > 0))
    return;
  const answers::HelpRow& best = a.rows[0];
  const std::string label = best.label.empty() ? "" : " (" + best.label + ")";
  for (const answers::Ledger& l :
       night_flows(answers::changed(work.options.file, work.options.overrides, best.change),
                   *work.weather, night, "With " + best.words + label))
    a.header.flows.push_back(l);
}

void what_helps(Context& context, const HelpsOptions& options) {
  const OutputOptions& output = options.output;
  if (!output.out_file.empty()) core::check_output(output.out_file, output.force);
  probe_csv(output);
  const auto costs = costs_of(options.costs);
  const auto scenario = scenario::read(options.scenario.file, options.scenario.overrides);
  require_limit_in_reach(scenario);
  const weather::Series weather = weather_of(scenario);
  ProgressLine line(context.surroundings.err_is_terminal && !output.quiet && !output.json);
  const answers::Helps answer = helps_run(
      options.scenario, weather, {answers::help_by(options.by), costs, true, options.why, true},
      [&line](double share_1) { line.show(share_1); });
  const std::string json = report::json(answer);
  tell(context, output, answer, json,
       store::HelpsResult{about(context, scenario, json, weather.first_day), answer});
}

}  // namespace

answers::Helps helps_run(const ScenarioOptions& options, const weather::Series& weather,
                         const HelpsAsked& asked,
                         const std::function<void(double share_1)>& progress) {
  auto base = scenario::read(options.file, options.overrides);
  refuse_worst_heading(base, "what-helps");
  if (!asked.why.empty() && asked.why != "true") (void)date_of("--why", asked.why);
  Work work{options, nullptr, nullptr, study::Variants(), {}, {}, {}, {}, {},
            0,       0,       0,       asked.minutes};
  work.weather = std::make_shared<const weather::Series>(weather);
  work.base = std::make_shared<const scenario::Scenario>(std::move(base));
  work.progress = [&](std::size_t done, std::size_t of) {
    progress(static_cast<double>(done) / static_cast<double>(of));
  };
  answers::Helps answer = stand(work);
  answer.by = asked.by;
  if (answer.now.needing_cooling > 0) {
    try_all(work, asked.costs, answer);
    const bool shade = std::any_of(answer.rows.begin(), answer.rows.end(), [](const auto& r) {
      return r.skipped.empty() && r.key.rfind("shade-", 0) == 0;
    });
    if (auto told = shade ? answers::shade_on_panels(*work.base) : std::nullopt)
      answer.header.assumptions.push_back(std::move(*told));
    if (asked.pairs) try_pairs(work, answer);
    if (work.base->uncertainty.samples > 0) draw_vans(work, answer);
  }
  if (!asked.why.empty()) explain(work, asked.why, answer);
  answer.residual_relative = work.residual_relative;
  return answer;
}

void add_what_helps(CLI::App& app, Context& context) {
  auto options = std::make_shared<HelpsOptions>();
  CLI::App* command = app.add_subcommand("what-helps", "Each improvement's effect, the best first");
  add_scenario(*command, options->scenario, &context);
  add_samples(*command, options->scenario, true);
  add_output(*command, options->output);
  add_out_file(*command, options->output);
  command->add_option("--by", options->by, "nights, energy, peak or minutes")
      ->check(CLI::IsMember({"nights", "energy", "peak", "minutes"}))
      ->capture_default_str();
  command->add_option("--cost", options->costs, "what an improvement costs: insulation=1200")
      ->take_all()
      ->allow_extra_args(false);
  command->add_flag("--why", options->why,
                    "what comes in and goes out in the hardest night, now and with what "
                    "helps most; --why=07-14: in that one");
  add_csv(*command, options->output, "what-helps");
  add_help(*command, kHelp);
  command->callback([&context, options] { what_helps(context, *options); });
}

}  // namespace cabinload::cli
