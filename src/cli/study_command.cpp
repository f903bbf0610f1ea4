// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <algorithm>
#include <atomic>
#include <cabinload/core/output_file.hpp>
#include <cabinload/core/sha256.hpp>
#include <cabinload/core/version.hpp>
#include <cabinload/report/json.hpp>
#include <cabinload/report/study.hpp>
#include <cabinload/scenario/stored.hpp>
#include <cabinload/store/store.hpp>
#include <cabinload/study/run_study.hpp>
#include <cabinload/study/summary.hpp>
#include <chrono>
#include <cmath>
#include <csignal>
#include <filesystem>
#include <fstream>
#include <memory>
#include <mutex>

#include "command.hpp"

namespace cabinload::cli {
namespace {

namespace fs = std::filesystem;

const Help kHelp = {
    "The scenario file says what varies: one [[vary]] an input, with a key and values, files or "
    "a range; [study] way: every combination, a Latin hypercube or Sobol's sequence, with cases = "
    "256. key = \"uncertainty\" takes every input that nobody knows exactly; effects = true tells "
    "which unknown to measure first. Results go to an HDF5 table, a block of cases at a time: "
    "whatever ends the run, --resume goes on after the last whole block. Exit status 4: some cases "
    "failed. The same command runs on many processors of a cluster under mpirun.",
    "More than the ranges it was given: an input that is not varied counts as known.",
    {"cabinload study my-study.toml -o study.h5",
     "cabinload study my-study.toml -o study.h5 --csv study.csv --force"}};

/// Larger studies are asked about first. Engineering judgement.
constexpr std::uint64_t kManyCases = 1000000;
/// A case is a row of them in the table: answers, inputs, number, mark. Before compression.
constexpr double kBytesOfNumber = 8;

struct StudyOptions {
  ScenarioOptions scenario;
  OutputOptions output;
  std::string csv;
  bool resume = false;
  unsigned threads = 0;
};

std::atomic<bool> asked_to_end{false};
extern "C" void ask_to_end(int) {
  asked_to_end = true;
}

/// SIGINT and SIGTERM end a study after what is running; a second one ends it at once.
class Signals {
 public:
  Signals() {
    asked_to_end = false;
    struct sigaction action {};
    action.sa_handler = ask_to_end;
    action.sa_flags = static_cast<int>(SA_RESETHAND);
    ::sigaction(SIGINT, &action, &old_int_);
    ::sigaction(SIGTERM, &action, &old_term_);
  }
  ~Signals() {
    ::sigaction(SIGINT, &old_int_, nullptr);
    ::sigaction(SIGTERM, &old_term_, nullptr);
  }
  Signals(const Signals&) = delete;
  Signals& operator=(const Signals&) = delete;

 private:
  struct sigaction old_int_ {
  }, old_term_{};
};

/// "2 h 05 min".
std::string time_words(double s) {
  if (s < 90) return fmt::format("{:.0f} s", s);
  if (s < 5400) return fmt::format("{:.0f} min", s / 60);
  if (s < 2 * 86400.0)
    return fmt::format("{:.0f} h {:02.0f} min", std::floor(s / 3600),
                       std::floor(std::fmod(s, 3600.0) / 60));
  return s < 3e8 ? fmt::format("{:.0f} days", s / 86400)
                 : fmt::format("{:.3g} years", s / (365 * 86400.0));
}

/// Cases, rate and time left, on a terminal.
class Rate {
 public:
  Rate(bool wanted, std::uint64_t before, std::uint64_t cases)
      : wanted_(wanted), before_(static_cast<double>(before)), cases_(static_cast<double>(cases)) {}
  ~Rate() {
    if (shown_) std::fprintf(stderr, "\r%70s\r", "");
  }
  Rate(const Rate&) = delete;
  Rate& operator=(const Rate&) = delete;

  void show(double done) {
    const std::lock_guard lock(guard_);
    const auto now = std::chrono::steady_clock::now();
    if (!wanted_ || now - last_ < std::chrono::milliseconds(500)) return;
    last_ = now;
    const double passed_s = std::chrono::duration<double>(now - start_).count();
    if (passed_s < 1 || done <= 0) return;
    const double per_s = done / passed_s;
    std::fprintf(stderr, "\r%.0f of %.0f cases, %.3g a second, %s left   ", before_ + done, cases_,
                 per_s, time_words((cases_ - before_ - done) / per_s).c_str());
    shown_ = true;
  }

 private:
  bool wanted_, shown_ = false;
  double before_, cases_;
  std::mutex guard_;
  std::chrono::steady_clock::time_point start_ = std::chrono::steady_clock::now(), last_ = start_;
};

std::string journal_of(const std::string& out) {
  return out + ".unfinished";
}

/// Of a file's bytes; "" when there is none.
std::string sum_of(const std::string& path) {
  std::error_code error;
  if (!fs::is_regular_file(path, error)) return "";
  std::ifstream in(path, std::ios::binary);
  return core::sha256_hex(std::string(std::istreambuf_iterator<char>(in), {}));
}

/// A line a key.
study::Journal::Identity said_by(const scenario::Scenario& s) {
  study::Journal::Identity lines;
  for (const scenario::Entry& e : s.entries)
    lines.push_back(fmt::format("{} = {}", e.key, e.value));
  return lines;
}

/// What two runs must share to be the same study.
study::Journal::Identity identity_of(const scenario::Scenario& s, const study::Plan& plan,
                                     const weather::Series& weather) {
  study::Journal::Identity lines = {
      fmt::format("program = {} {}", core::program_version(), core::git_revision()),
      fmt::format("cases = {}", plan.cases),
      fmt::format("weather = {} {}", weather.file, weather.sha256)};
  for (std::string& line : said_by(s)) lines.push_back(std::move(line));
  // Lists that come from files, and the files that they name.
  for (const study::Input& input : plan.inputs)
    for (const std::string& level : input.levels)
      lines.push_back(fmt::format("value of {} = {} {}", input.key, level,
                                  input.key == "weather.file" ? sum_of(level) : ""));
  return lines;
}

/// The first case, timed: what the whole would take.
std::string cost_words(const study::Plan& plan, study::CaseRunner& runner) {
  const auto start = std::chrono::steady_clock::now();
  (void)runner.run(0, 1);
  const double one_s =
      std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
  const double cases = static_cast<double>(plan.cases);
  const double bytes =
      cases * kBytesOfNumber * static_cast<double>(study::kAnswers + plan.inputs.size() + 2);
  return fmt::format(
      "{:.4g} cases: about {} at the speed of the first one on one core, and {:.3g} GB on disk",
      cases, time_words(cases * one_s), 2 * bytes / 1e9);
}

[[noreturn]] void refuse_many(const study::Plan& plan, study::CaseRunner& runner) {
  throw core::InputError({plan.file, 0, 0, "study", cost_words(plan, runner),
                          plan.way == study::Way::all
                              ? "fewer steps or inputs, way = \"latin\" or \"sobol\", or --force"
                              : "a smaller study.cases, or --force"});
}

/// More points than a sequence has: what they would take is told with the refusal.
void refuse_endless(const StudyOptions& o, const scenario::Scenario& s,
                    const study::CaseRunner::Weather& read) {
  if (s.study.way == "all" || s.study.cases <= study::kMostPoints) return;
  scenario::Scenario most = s;
  most.study.cases = study::kMostPoints;
  study::Plan plan = study::plan_of(most, o.scenario.overrides);
  plan.cases = plan.cases / study::kMostPoints * s.study.cases;  // effects: several a point
  study::CaseRunner runner(plan, read, o.threads);
  throw core::InputError(
      scenario::problem_at(s, "study.cases",
                           fmt::format("{}: more points than there are, {}; {}", s.study.cases,
                                       study::kMostPoints, cost_words(plan, runner)),
                           "a smaller one; way = \"all\" has no such end"));
}

void write_csv(const std::string& path, const study::Plan& plan, const study::Journal& journal,
               bool force) {
  core::OutputFile file(path, force);
  std::ofstream out(file.partial(), std::ios::binary);
  const auto quoted = [](const std::string& text) {
    if (text.find_first_of(",\"\n") == std::string::npos) return text;
    std::string q = "\"";
    for (const char c : text) q += c == '"' ? "\"\"" : std::string(1, c);
    return q + "\"";
  };
  out << "case";
  for (const study::Input& i : plan.inputs)
    out << ',' << quoted(i.unit.empty() ? i.key : i.key + " [" + i.unit + "]");
  for (const study::AnswerColumn& c : study::answer_columns())
    out << ','
        << quoted(std::string(c.units) == "1" ? std::string(c.name)
                                              : fmt::format("{} [{}]", c.name, c.units));
  out << ",failed\n";
  for (std::uint64_t block = 0; block < journal.blocks(); ++block) {
    std::uint64_t index = block * journal.block_cases();
    for (const study::CaseAnswer& a : journal.read(block)) {
      std::string line = std::to_string(index);
      const std::vector<double> values = plan.values(index++);
      for (std::size_t i = 0; i < values.size(); ++i)
        line += ',' + (plan.inputs[i].levels.empty() ? fmt::format("{}", values[i])
                                                     : quoted(plan.inputs[i].text(values[i])));
      for (const double v : a.values) line += std::isnan(v) ? "," : fmt::format(",{}", v);
      out << line << ',' << quoted(a.failed) << '\n';
    }
  }
  out.close();
  if (!out) throw core::IoError(path, "cannot be written: is the disk full?");
  file.put();
}

study::Journal journal_for(const StudyOptions& o, const study::Journal::Identity& identity,
                           std::uint64_t cases) {
  const std::string path = journal_of(o.output.out_file);
  if (o.resume) return study::Journal::resume(path, identity, cases);
  core::check_output(o.output.out_file, o.output.force);
  if (!o.csv.empty()) core::check_output(o.csv, o.output.force);
  std::error_code error;
  if (o.output.force) fs::remove(path, error);
  return study::Journal::start(path, identity, cases);
}

/// The table, and as text where asked for.
/// @throws core::IoError  says that the cases are not lost
void write_results(const StudyOptions& o, const store::StudyResult& r) try {
  const bool replace = o.output.force || o.resume;
  if (!o.csv.empty()) write_csv(o.csv, r.plan, r.journal, replace);
  store::write(o.output.out_file, r, replace);
} catch (const core::IoError& e) {
  const std::string what = std::string(e.what()).substr((e.path() + ": error: ").size());
  throw core::IoError(e.path(), fmt::format("{}; all {} cases are kept in {}, --resume goes on",
                                            what, r.plan.cases, journal_of(o.output.out_file)));
}

void finish(Context& context, const StudyOptions& o, const scenario::Scenario& s,
            const study::Plan& plan, study::Journal& journal, const weather::Series& weather) {
  answers::Header header = answers::header_of("study", s, weather);
  header.warnings.insert(header.warnings.end(), plan.warnings.begin(), plan.warnings.end());
  if (s.night.from) header.from = *s.night.from;
  if (s.night.to) header.to = *s.night.to;
  for (const study::Input& input : plan.inputs)
    if (input.key == "weather.file") {
      header.weather_file = header.weather_source = "varies";
      header.weather_place = "from case to case";
      header.weather_sha256.clear();
    }
  const study::Summary summary = study::summary_of(plan, journal, header);
  const std::string json = report::json(summary);
  const std::string& out = o.output.out_file;
  write_results(o, {{scenario::effective_toml(s), json, context.command_line, weather.first_day},
                    summary.header,
                    plan,
                    journal});
  journal.remove();
  context.out = o.output.json ? json : report::terminal(summary, o.output.style(context));
  if (!o.output.quiet && !o.output.json) context.err += "written: " + out + "\n";
  context.exit = summary.failed > 0 ? core::ExitCode::numerical : core::ExitCode::done;
}

/// Nothing is left to resume: the result lies there already.
bool finished(const StudyOptions& o) {
  std::error_code error;
  return o.resume && !fs::exists(journal_of(o.output.out_file), error) &&
         fs::exists(o.output.out_file, error);
}

void show_finished(Context& context, const StudyOptions& o, const scenario::Scenario& s) {
  const std::string& out = o.output.out_file;
  const store::Stored stored = store::read(out);
  if (report::answer_of(stored.answer_json, out) != "study")
    throw core::InputError({out, 0, 0, "", "is the result of something else than a study",
                            "another name for -o, or leave --resume out"});
  const study::Journal::Identity then = said_by(scenario::read_stored(stored.scenario_toml, out));
  if (then != said_by(s)) throw study::of_another_study(out, then, said_by(s));
  const study::Summary summary = report::study_from_json(stored.answer_json, out);
  context.out =
      o.output.json ? stored.answer_json : report::terminal(summary, o.output.style(context));
  if (!o.output.quiet && !o.output.json)
    context.err += out + ": note: this study is complete, nothing was left to run" +
                   (o.csv.empty() ? "" : "; its table as text needs a new run, --force") + "\n";
  context.exit = summary.failed > 0 ? core::ExitCode::numerical : core::ExitCode::done;
}

void lead(Context& context, const StudyOptions& o, const scenario::Scenario& s,
          const study::Plan& plan, study::CaseRunner& runner, const weather::Series& weather) {
  if (finished(o)) {
    show_finished(context, o, s);
    if (context.surroundings.ranks != nullptr) context.surroundings.ranks->stop_all();
    return;
  }
  if (plan.cases > kManyCases && !o.output.force && !o.resume) refuse_many(plan, runner);
  study::Journal journal = journal_for(o, identity_of(s, plan, weather), plan.cases);
  {
    Rate rate(context.surroundings.err_is_terminal && !o.output.quiet && !o.output.json,
              journal.cases_done(), plan.cases);
    const study::Watch watch{[] { return asked_to_end.load(); },
                             [&](double done) { rate.show(done); }};
    try {
      study::run_study(runner, journal, watch, context.surroundings.ranks);
    } catch (const study::Interrupted&) {
      context.err += fmt::format("interrupted: {} of {} cases are kept in {}; --resume goes on\n",
                                 journal.cases_done(), plan.cases, journal_of(o.output.out_file));
      context.exit = core::ExitCode::interrupted;
      return;
    }
  }
  finish(context, o, s, plan, journal, weather);
}

void run(Context& context, StudyOptions& o) {
  scenario::Scenario s = scenario::read(o.scenario.file, o.scenario.overrides);
  const study::CaseRunner::Weather read = [](const scenario::Scenario& one) {
    return std::make_shared<const weather::Series>(weather_of(one));
  };
  refuse_endless(o, s, read);
  const study::Plan plan = study::plan_of(s, o.scenario.overrides);
  study::CaseRunner runner(plan, read, o.threads);
  const Signals signals;
  study::Ranks* ranks = context.surroundings.ranks;
  if (ranks == nullptr || ranks->rank() == 0) {
    lead(context, o, s, plan, runner, *read(plan.scenario_of(plan.values(0))));
    return;
  }
  try {
    study::help_with_study(runner, plan.cases, {[] { return asked_to_end.load(); }, {}}, *ranks);
  } catch (const study::Interrupted&) {
    context.exit = core::ExitCode::interrupted;
  }
}

}  // namespace

void add_study(CLI::App& app, Context& context) {
  auto options = std::make_shared<StudyOptions>();
  CLI::App* command =
      app.add_subcommand("study", "Many cases: what varies, how much it matters, a table of all");
  add_scenario(*command, options->scenario, &context);
  add_output(*command, options->output);
  options->output.out_file = "study.h5";
  command->add_option("-o,--out", options->output.out_file, "HDF5 file for the table")
      ->capture_default_str();
  command->add_option("--csv", options->csv, "the table as text, too");
  command->add_flag("--resume", options->resume, "go on after the last whole block");
  command->add_flag("--force", options->output.force,
                    "replace existing files; run more than a million cases");
  command->add_option("--threads", options->threads, "0: as many as the machine has cores")
      ->check(CLI::Range(0U, 1024U))
      ->capture_default_str();
  add_help(*command, kHelp);
  command->callback([&context, options] { run(context, *options); });
}

}  // namespace cabinload::cli
