// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <cabinload/core/constants.hpp>
#include <cabinload/network/cabin.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/report/study.hpp>
#include <cabinload/store/store.hpp>
#include <cabinload/unit/unit.hpp>
#include <filesystem>
#include <memory>

#include "command.hpp"

namespace cabinload::cli {
namespace {

const Help kHelp = {
    "scenario: every key as understood, its value, and in brackets its meaning and where "
    "the value comes from. unit: its map over the operating range, net of the fan. "
    "vehicle: faces with their heat loss, glass, cracks. A result file: the stored answer"
    " again, with its exit status.",
    "Anything newly computed: a stored answer is what the program said then.",
    {"cabinload show scenario --vehicle trailer", "cabinload show unit generic-2000-24v"}};

struct ShowOptions {
  std::string what;
  ScenarioOptions scenario;  ///< its file is also the name of a unit or vehicle
  OutputOptions output;
};

std::string scenario_text(const scenario::Scenario& s) {
  std::string out, table;
  for (const auto& e : s.entries) {
    const std::string head = e.key.substr(0, e.key.find('.'));
    if (head != table) out += (out.empty() ? "" : "\n"), table = head;
    const std::string origin =
        e.origin == "default" ? (e.source.empty() ? "default" : "default: " + e.source) : e.origin;
    out +=
        report::wrapped(fmt::format("{} = {}   ({}; {})", e.key, e.value, e.about, origin), 80, 4);
  }
  for (const std::string& w : s.warnings) out += report::wrapped("note: " + w, 80, 4);
  return out;
}

std::string vehicle_text(const std::string& name, core::UnitSystem system) {
  using core::format_quantity, core::Quantity;
  vehicle::Choice choice;
  choice.body = name;
  const vehicle::Vehicle v = vehicle::make(choice);
  std::string out =
      fmt::format("{} with {} insulation, {}: {} of air, {} of floor\n\n", v.body, v.insulation,
                  v.paint, format_quantity(v.volume_m3, Quantity::volume, system, 1),
                  format_quantity(v.floor_area_m2, Quantity::area, system, 1));
  double UA_W_K = 0, glass_m2 = 0;
  for (const auto& s : v.surfaces) {
    const double U = face_U_W_m2K(s);
    UA_W_K += U * s.area_m2;
    out += fmt::format("  {:<22}{:>10}   U {}\n", s.name,
                       format_quantity(s.area_m2, Quantity::area, system, 2),
                       format_quantity(U, Quantity::conductance, system, 2));
  }
  for (const auto& w : v.windows) {
    UA_W_K += w.U_W_m2K * w.area_m2;
    glass_m2 += w.area_m2;
    out += fmt::format("  {:<22}{:>10}   U {}  {}\n", w.name,
                       format_quantity(w.area_m2, Quantity::area, system, 2),
                       format_quantity(w.U_W_m2K, Quantity::conductance, system, 2), w.type);
  }
  for (const auto& f : v.furnishings)
    out += fmt::format("  {:<22}{:>10}   inside\n", f.name,
                       format_quantity(f.area_m2, Quantity::area, system, 2));
  return out + fmt::format(
                   "\n  heat loss {}, glass {}, cracks {}\n",
                   format_quantity(UA_W_K, Quantity::heat_rate_per_K, system, 0),
                   format_quantity(glass_m2, Quantity::area, system, 2),
                   system == core::UnitSystem::us
                       ? fmt::format("{:.1f} in²", v.leakage_area_m2 / core::parse_quantity(
                                                                           "1 in2", Quantity::area))
                       : fmt::format("{:.0f} cm²", v.leakage_area_m2 * 1e4));
}

void show_stored(Context& context, const std::string& json, const ShowOptions& o) {
  const report::Style style = o.output.style(context);
  const std::string kind = report::answer_of(json, o.what);
  std::string text;
  if (kind == "load") {
    text = report::terminal(report::load_from_json(json, o.what), style);
  } else if (kind == "pets") {
    const answers::Pets answer = report::pets_from_json(json, o.what);
    text = report::terminal(answer, style);
    context.exit = answer.met() ? core::ExitCode::done : core::ExitCode::not_met;
  } else if (kind == "runtime") {
    text = report::terminal(report::runtime_from_json(json, o.what), style);
  } else if (kind == "size") {
    const answers::Sizes answer = report::sizes_from_json(json, o.what);
    text = report::terminal(answer, style);
    context.exit = answer.met() ? core::ExitCode::done : core::ExitCode::not_met;
  } else if (kind == "compare") {
    text = report::terminal(report::comparison_from_json(json, o.what), style);
  } else if (kind == "what-helps") {
    text = report::terminal(report::helps_from_json(json, o.what), style);
  } else if (kind == "study") {
    const study::Summary answer = report::study_from_json(json, o.what);
    text = report::terminal(answer, style);
    if (answer.failed > 0) context.exit = core::ExitCode::numerical;
  } else {
    const answers::Hold answer = report::hold_from_json(json, o.what);
    text = report::terminal(answer, style);
    context.exit = answer.met() ? core::ExitCode::done : core::ExitCode::not_met;
  }
  context.out = o.output.json ? json : text;
  keep_csv(context, o.output, json);
}

/// What would be left aside without a word.
void refuse_ignored(const ShowOptions& o) {
  if (o.what == "scenario" || o.what == "unit" || o.what == "vehicle") {
    if (!o.output.csv_file.empty())
      refuse_option("--csv", "show " + o.what + " has no table",
                    "a result file: show result.h5 --csv nights.csv");
    if (o.output.json)
      refuse_option("--json", "show " + o.what + " has no JSON",
                    o.what == "scenario" ? "what it prints is TOML, to be read by programs too"
                                         : "a result file: show result.h5 --json");
  }
  // By options alone: own defaults may stand among the overrides of every command.
  const bool named = o.what != "scenario" && !o.scenario.file.empty() &&
                     !(o.what == "unit" && o.scenario.file.ends_with(".toml"));
  const bool stored = o.what != "scenario" && o.what != "unit" && o.what != "vehicle";
  if (stored && !o.scenario.file.empty())
    refuse_option("NAME", "'" + o.scenario.file + "' is one name too many for a result file",
                  "show " + o.what);
  if (!named && !stored) return;
  for (const scenario::Override& x : o.scenario.overrides)
    if (x.origin.rfind("--", 0) == 0)
      refuse_option(x.origin, "changes nothing that `show " + o.what + "` prints",
                    "show scenario, or the answer's own command");
}

void show(Context& context, const ShowOptions& o) {
  const auto system = o.output.units == "us" ? core::UnitSystem::us : core::UnitSystem::si;
  refuse_ignored(o);
  probe_csv(o.output);
  if (o.what == "scenario") {
    context.out = scenario_text(scenario::read(o.scenario.file, o.scenario.overrides));
  } else if (o.what == "unit" && (o.scenario.file.empty() || o.scenario.file.ends_with(".toml"))) {
    context.out = report::terminal(scenario::read(o.scenario.file, o.scenario.overrides).unit,
                                   o.output.style(context));
  } else if (o.what == "unit" || o.what == "vehicle") {
    std::vector<std::string> keys;
    if (o.what == "unit")
      for (const auto& u : unit::built_in()) keys.push_back(u.key);
    else
      for (const auto& b : vehicle::bodies()) keys.push_back(b.key);
    if (std::find(keys.begin(), keys.end(), o.scenario.file) == keys.end()) {
      const auto [what, hint] = core::unknown_name(o.scenario.file, keys);
      refuse_option("show " + o.what, what, hint);
    }
    if (o.what == "vehicle")
      context.out = vehicle_text(o.scenario.file, system);
    else
      for (const auto& u : unit::built_in())
        if (u.key == o.scenario.file) context.out = report::terminal(u, o.output.style(context));
  } else {
    std::error_code none;
    if (std::filesystem::is_directory(o.what, none))
      throw core::IoError(o.what,
                          "this is a directory; show takes a result file (result.h5), or scenario, "
                          "unit, vehicle");
    const store::Stored stored = store::read(o.what);
    show_stored(context, stored.answer_json, o);
  }
}

}  // namespace

double face_U_W_m2K(const vehicle::Surface& face) {
  constexpr double kInside_m2K_W = 0.13, kOutside_m2K_W = 0.04;
  const auto U = [](const std::vector<vehicle::Layer>& layers) {
    return vehicle::u_value_W_m2K(layers, kInside_m2K_W, kOutside_m2K_W);
  };
  const double share_1 = face.framing_fraction;
  return (1 - share_1) * U(face.layers) + (share_1 > 0 ? share_1 * U(face.framing) : 0.0);
}

void add_show(CLI::App& app, Context& context) {
  auto options = std::make_shared<ShowOptions>();
  CLI::App* command =
      app.add_subcommand("show", "A scenario as understood, a unit, a stored result");
  command->add_option("WHAT", options->what, "scenario, unit, vehicle, or a result file")
      ->required();
  add_scenario(*command, options->scenario, &context);
  command->remove_option(command->get_option("SCENARIO"));
  command->add_option("NAME", options->scenario.file, "scenario file, unit or vehicle");
  add_output(*command, options->output);
  add_csv(*command, options->output, "");
  add_help(*command, kHelp);
  command->callback([&context, options] { show(context, *options); });
}

}  // namespace cabinload::cli
