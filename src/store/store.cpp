// SPDX-License-Identifier: Apache-2.0
#include <fmt/chrono.h>
#include <fmt/format.h>
#include <cabinload/core/calendar.hpp>
#include <cabinload/core/error.hpp>
#include <cabinload/core/output_file.hpp>
#include <cabinload/core/sha256.hpp>
#include <cabinload/core/version.hpp>
#include <cabinload/store/store.hpp>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <limits>
#include <utility>

#include "decisions_store.hpp"
#include "pets_store.hpp"
#include "study_store.hpp"
#include "writer.hpp"

namespace cabinload::store {
namespace {

/// Time axes count from a nominal year that is not a leap year: typical years have none.
constexpr const char* kTimeUnits = "hours since 2001-01-01 00:00:00";

void write_root(H5::Group& root, const About& r, const answers::Header& h) {
  put_text(root, "title", "cabinload " + h.answer + ": " + h.scenario_name);
  put_text(root, "history", created_utc() + " " + r.command_line);
  put_text(root, "source", std::string("cabinload ") + core::program_version());
  put_text(root, "filetype", kFileType);
  put_text(root, "Conventions", "CF-1.11");
  const int version[2] = {kFormatMajor, kFormatMinor};
  const hsize_t two = 2;
  root.createAttribute("format_version", H5::PredType::STD_I32LE, H5::DataSpace(1, &two))
      .write(H5::PredType::NATIVE_INT, version);
  put_text(root, "program_version", core::program_version());
  put_text(root, "git_commit", core::git_revision());
  put_text(root, "input_sha256", core::sha256_hex(r.scenario_toml));
  put_text(root, "command_line", r.command_line);
  put_text(root, "created_utc", created_utc());
  unsigned major = 0, minor = 0, release = 0;
  H5get_libversion(&major, &minor, &release);
  put_text(root, "dependencies", fmt::format("HDF5 {}.{}.{}", major, minor, release));
}

void write_scenario(H5::Group& root, const About& r, const answers::Header& h) {
  H5::Group g = root.createGroup("scenario");
  put_text_set(g, "toml", r.scenario_toml, "scenario with every default spelled out, TOML");
  put_text(g, "weather_file", h.weather_file);
  put_text(g, "weather_sha256", h.weather_sha256);
  put_text(g, "weather_place", h.weather_place);
}

/// What every file begins with.
H5::Group begin(const H5::H5File& file, const About& r, const answers::Header& h) {
  H5::Group root = file.openGroup("/");
  write_root(root, r, h);
  write_scenario(root, r, h);
  std::string words;
  for (const answers::Caution& c : h.cautions) words += c.signal + ": " + c.text + "\n";
  put_text(root, "cautions", words);
  H5::Group answer = root.createGroup("answer");
  put_text_set(answer, "json", r.answer_json,
               "the answer as JSON, see the JSON Schema of the project");
  return root;
}

std::vector<double> hours_from(double start_s, std::size_t n, int first_day) {
  std::vector<double> t(n);
  for (std::size_t i = 0; i < n; ++i)
    t[i] = first_day * 24.0 + start_s / core::kSecondsInHour + static_cast<double>(i);
  return t;
}

void write_hourly(H5::Group& trace, const simulation::Hourly& h, int first_day) {
  H5::Group g = trace.createGroup("hourly");
  const H5::DataSet time =
      put_axis(g,
               {"time", kTimeUnits, "start of the hour, local standard time of a nominal year",
                Precision::full},
               hours_from(h.start_s, h.T_air_mean_K.size(), first_day));
  const struct {
    Column column;
    const std::vector<double>& values;
  } columns[] = {
      {{"T_air_mean", "K", "mixed cabin air, hour mean"}, h.T_air_mean_K},
      {{"T_air_min", "K", "mixed cabin air, lowest step of the hour"}, h.T_air_min_K},
      {{"T_air_max", "K", "mixed cabin air, highest step of the hour"}, h.T_air_max_K},
      {{"T_bed_mean", "K", "air at the bed, hour mean"}, h.T_bed_mean_K},
      {{"T_operative_mean", "K", "operative temperature at the bed, hour mean"},
       h.T_operative_mean_K},
      {{"heat_index_end", "K", "heat index at the bed at the end of the hour"}, h.heat_index_end_K},
      {{"T_out_mean", "K", "outdoor air, hour mean"}, h.T_out_mean_K},
      {{"humidity_ratio", "1", "cabin air, kg of vapour per kg of dry air, hour mean"}, h.W_air_1},
      {{"co2", "1e-6", "carbon dioxide by volume, hour mean"}, h.co2_ppm},
      {{"unit_power", "W", "electric power of the cooling unit, hour mean"}, h.unit_electric_W},
      {{"sensible_cooling", "W", "sensible heat removed by the coil, hour mean"}, h.sensible_W},
      {{"latent_cooling", "W", "latent heat removed by the coil, hour mean"}, h.latent_W},
      {{"compressor_on", "1", "share of the hour that the compressor runs"}, h.compressor_on_1},
      {{"ideal_heating", "W", "ideal heating, hour mean"}, h.ideal_heating_W},
      {{"ideal_cooling", "W", "ideal cooling, hour mean"}, h.ideal_cooling_W},
      {{"other_power", "W", "other loads on the supply, hour mean"}, h.other_W},
      {{"refrigerator_power", "W", "of other_power, refrigerators, hour mean"}, h.refrigerator_W},
      {{"unserved_power", "W", "asked by other loads and not given, hour mean"}, h.unserved_W},
      {{"solar_power", "W", "used of the panels, hour mean"}, h.solar_W},
      {{"alternator_power", "W", "used of the alternator, hour mean"}, h.alternator_W},
      {{"shore_power", "W", "drawn from shore, hour mean"}, h.shore_W},
      {{"T_battery", "K", "cells of the battery, hour mean"}, h.battery_K},
      {{"state_of_charge", "1", "battery charge at the end of the hour over capacity"},
       h.state_of_charge_end_1},
  };
  for (const auto& c : columns) put_column(g, c.column, c.values, time);
}

void write_steps(H5::Group& trace, const simulation::StepTrace& window, int first_day) {
  if (window.steps.empty()) return;
  H5::Group g = trace.createGroup("step");
  const auto pick = [&](auto value) {
    std::vector<double> v;
    v.reserve(window.steps.size());
    for (const simulation::Step& s : window.steps) v.push_back(value(s));
    return v;
  };
  using Step = simulation::Step;
  const H5::DataSet time = put_axis(
      g,
      {"time", kTimeUnits, "end of the step, local standard time of a nominal year",
       Precision::full},
      pick([&](const Step& s) { return first_day * 24.0 + s.t_s / core::kSecondsInHour; }));
  put_column(g, {"T_air", "K", "mixed cabin air at the end of the step"},
             pick([](const Step& s) { return s.T_air_K; }), time);
  put_column(g, {"T_bed", "K", "air at the bed at the end of the step"},
             pick([](const Step& s) { return s.T_bed_K; }), time);
  put_column(g, {"T_out", "K", "outdoor air in the middle of the step"},
             pick([](const Step& s) { return s.T_out_K; }), time);
  put_column(g, {"humidity_ratio", "1", "cabin air, kg of vapour per kg of dry air"},
             pick([](const Step& s) { return s.W_air_1; }), time);
  put_column(g, {"co2", "1e-6", "carbon dioxide by volume"},
             pick([](const Step& s) { return s.co2_ppm; }), time);
  put_column(g, {"unit_power", "W", "electric power of the cooling unit over the step"},
             pick([](const Step& s) { return s.unit_electric_W; }), time);
  put_column(g, {"sensible_cooling", "W", "sensible heat removed by the coil"},
             pick([](const Step& s) { return s.sensible_W; }), time);
  put_column(g, {"latent_cooling", "W", "latent heat removed by the coil"},
             pick([](const Step& s) { return s.latent_W; }), time);
  put_column(g, {"compressor_on", "1", "share of the step that the compressor runs"},
             pick([](const Step& s) { return s.compressor_on_1; }), time);
  put_column(g, {"solar_power", "W", "used of the panels over the step"},
             pick([](const Step& s) { return s.solar_W; }), time);
  put_column(g, {"condenser_air", "K", "what the condenser breathes; 0 when not computed"},
             pick([](const Step& s) { return s.condenser_air_K; }), time);
  put_column(g, {"state_of_charge", "1", "battery charge at the end of the step over capacity"},
             pick([](const Step& s) { return s.state_of_charge_1; }), time);
  put_column(g, {"other_power", "W", "other loads on the supply over the step"},
             pick([](const Step& s) { return s.other_W; }), time);
  put_column(g, {"refrigerator_power", "W", "of other_power, refrigerators over the step"},
             pick([](const Step& s) { return s.refrigerator_W; }), time);
  put_column(g, {"T_battery", "K", "cells of the battery at the end of the step"},
             pick([](const Step& s) { return s.battery_K; }), time);
  put_column(g,
             {"time_displayed", "hour",
              "by a display that divides the rest by the present draw; NaN: nothing is drawn",
              Precision::single, true},
             pick([](const Step& s) {
               return std::isfinite(s.hours_displayed) ? s.hours_displayed
                                                       : std::numeric_limits<double>::quiet_NaN();
             }),
             time);
}

using Night = answers::HoldNight;

/// A figure of a night, as it is kept.
struct NightColumn {
  Column column;
  double (*value)(const Night& n);
};
const NightColumn kNightColumns[] = {
    {{"needs_cooling", "1", "1: not held with the unit off", Precision::full},
     [](const Night& n) { return n.needs_cooling ? 1.0 : 0.0; }},
    {{"held", "1", "1: held with the unit", Precision::full},
     [](const Night& n) { return n.held ? 1.0 : 0.0; }},
    {{"bed_peak", "K", "hottest air at the bed in the judged span", Precision::full},
     [](const Night& n) { return n.bed_peak_K; }},
    {{"bed_peak_unit_off", "K", "the same with the unit off", Precision::full},
     [](const Night& n) { return n.bed_peak_unit_off_K; }},
    {{"time_above", "min", "minutes above the limit in the judged span", Precision::full},
     [](const Night& n) { return n.minutes_above; }},
    {{"unit_energy", "W h", "electricity of the unit", Precision::full},
     [](const Night& n) { return n.electric_Wh; }},
    {{"cooling_energy", "W h", "heat removed by the coil", Precision::full},
     [](const Night& n) { return n.cooling_Wh; }},
    {{"refrigerator_energy", "W h", "electricity of refrigerators", Precision::full},
     [](const Night& n) { return n.refrigerator_Wh; }},
    {{"duty", "1", "compressor hours over hours switched on", Precision::full},
     [](const Night& n) { return n.duty_1; }},
    {{"battery_at_dawn", "1", "battery charge at the end of the sleep window", Precision::full},
     [](const Night& n) { return n.battery_at_dawn_1; }},
    {{"pull_down", "min", "from switch-on to the limit; NaN: never reached", Precision::full, true},
     [](const Night& n) { return n.pull_down_min; }},
    {{"battery_empty", "s", "second of the day at which the battery disconnected; NaN: it did not",
      Precision::full, true},
     [](const Night& n) { return n.battery_empty_second_of_day; }},
    {{"missing", "W h", "what the unit would have used from then to the end of the sleep window",
      Precision::full},
     [](const Night& n) { return n.missing_Wh; }},
    {{"condensate", "kg", "water from the coil", Precision::full},
     [](const Night& n) { return n.condensate_L; }},
    {{"co2_peak", "1e-6", "highest carbon dioxide by volume in the sleep window", Precision::full},
     [](const Night& n) { return n.co2_peak_ppm; }},
    {{"outdoor_at_start", "K", "outdoor air at the start of the sleep window", Precision::full},
     [](const Night& n) { return n.outdoor_at_start_K; }},
    {{"operative_peak", "K", "highest operative temperature at the bed in the judged span",
      Precision::full},
     [](const Night& n) { return n.operative_peak_K; }},
    {{"heat_index_peak", "K", "highest heat index at the bed in the judged span", Precision::full},
     [](const Night& n) { return n.heat_index_peak_K; }},
    {{"outdoor_min", "K", "lowest outdoor air in the sleep window", Precision::full},
     [](const Night& n) { return n.outdoor_min_K; }},
    {{"unserved_energy", "W h", "asked by other loads and not given", Precision::full},
     [](const Night& n) { return n.unserved_Wh; }},
    {{"unserved_energy_asleep", "W h", "of it in the sleep window", Precision::full},
     [](const Night& n) { return n.unserved_asleep_Wh; }},
    {{"battery_temperature_time", "h", "battery too hot or too cold to give what was asked",
      Precision::full},
     [](const Night& n) { return n.cells_bound_h; }}};

void write_nights(H5::Group& root, const answers::Hold& a) {
  H5::Group g = root.createGroup("nights");
  const auto pick = [&](auto value) {
    std::vector<double> v;
    for (const Night& n : a.each_night) v.push_back(value(n));
    return v;
  };
  double next = 0;
  const H5::DataSet axis =
      put_axis(g, {"night", "1", "number of the night in the period, from 0", Precision::full},
               pick([&](const Night&) { return next++; }));
  std::vector<std::string> dates, why;
  for (const Night& n : a.each_night) {
    dates.push_back(core::iso_text(n.date));
    why.emplace_back(answers::why_key(n.why));
  }
  put_texts(g, {"date", "1", "evening of the night, month-day"}, dates, axis);
  put_texts(g, {"why", "1", "what lost the night; empty when it was held"}, why, axis);
  for (const NightColumn& c : kNightColumns) put_column(g, c.column, pick(c.value), axis);
  for (std::size_t i = 1; i < answers::kWhys; ++i) {
    const std::string key = answers::why_key(static_cast<answers::Why>(i));
    const std::string name = "share_" + key, about = "of the time above the limit, by " + key;
    put_column(g, {name.c_str(), "1", about.c_str(), Precision::full},
               pick([&](const Night& n) { return n.limit_share_1[i]; }), axis);
  }
}

void write_balance(H5::Group& root, const char* name, const simulation::Balance& b) {
  H5::Group g = root.createGroup(name);
  put_number(g, "heat_residual_relative", b.heat_residual_relative);
  put_number(g, "moisture_residual_relative", b.moisture_residual_relative);
  put_number(g, "co2_residual_relative", b.co2_residual_relative);
  put_number(g, "battery_residual_relative", b.battery_residual_relative);
  put_number(g, "heat_throughput_J", b.throughput_J);
}

void write_all(const std::string& path, const Result& r) {
  H5::H5File file(path, H5F_ACC_TRUNC);
  H5::Group root = begin(file, r, r.answer.header);
  H5::Group trace = root.createGroup("trace");
  write_hourly(trace, r.unit_on.hourly, r.first_day);
  write_steps(trace, r.unit_on.window, r.first_day);
  H5::Group off = root.createGroup("trace_unit_off");
  write_hourly(off, r.unit_off.hourly, r.first_day);
  write_nights(root, r.answer);
  write_balance(root, "balance", r.unit_on.balance);
  write_balance(root, "balance_unit_off", r.unit_off.balance);
}

void write_all(const std::string& path, const LoadResult& r) {
  H5::H5File file(path, H5F_ACC_TRUNC);
  H5::Group root = begin(file, r, r.answer.header);
  const simulation::Demand& d = r.demand;
  H5::Group g = root.createGroup("demand");
  const H5::DataSet time =
      put_axis(g,
               {"time", kTimeUnits, "start of the hour, local standard time of a nominal year",
                Precision::full},
               hours_from(d.start_s, d.sensible_W.size(), r.first_day));
  put_column(g, {"T_out_mean", "K", "outdoor air, hour mean"}, d.T_out_mean_K, time);
  put_column(g, {"T_air_mean", "K", "mixed cabin air, hour mean"}, d.T_air_mean_K, time);
  const auto put = [&](const std::string& name, const std::string& about,
                       const std::vector<double>& W) {
    put_column(g, {name.c_str(), "W", about.c_str(), Precision::full}, W, time);
  };
  put("sensible", "sensible demand, hour mean", d.sensible_W);
  put("latent", "latent demand, hour mean", d.latent_W);
  for (std::size_t c = 0; c < d.causes.size(); ++c) {
    const answers::LoadCause& cause = r.answer.causes[c];
    const std::string part = fmt::format("{:02}_", c);  // keys of windows may differ in signs only
    put(set_name(("sensible_" + part).c_str(), cause.key),
        "part of the sensible demand: " + cause.words, d.sensible_by_cause_W[c]);
    put(set_name(("latent_" + part).c_str(), cause.key),
        "part of the latent demand: " + cause.words, d.latent_by_cause_W[c]);
  }
  H5::Group balance = root.createGroup("balance");
  put_number(balance, "heat_residual_relative", d.heat_residual_relative);
  put_number(balance, "moisture_residual_relative", d.moisture_residual_relative);
  put_number(balance, "parts_residual_W", d.parts_residual_W);
}

void write_all(const std::string& path, const PetsResult& r) {
  H5::H5File file(path, H5F_ACC_TRUNC);
  H5::Group root = begin(file, r, r.answer.header);
  write_failures(root, r, hours_from(r.runs.start_s, r.runs.T_air_K.size(), r.first_day),
                 kTimeUnits);
}

void write_all(const std::string& path, const RuntimeResult& r) {
  H5::H5File file(path, H5F_ACC_TRUNC);
  H5::Group root = begin(file, r, r.answer.header);
  H5::Group trace = root.createGroup("trace");
  write_steps(trace, r.trace.window, r.first_day);
  write_balance(root, "balance", r.trace.balance);
}

/// Answers that are rows of figures.
template <class RowsResult>
void write_all(const std::string& path, const RowsResult& r) {
  H5::H5File file(path, H5F_ACC_TRUNC);
  H5::Group root = begin(file, r, r.answer.header);
  write_rows(root, r.answer);
  H5::Group balance = root.createGroup("balance");
  put_number(balance, "residual_relative", r.answer.residual_relative);
}

void write_all(const std::string& path, const StudyResult& r) {
  H5::H5File file(path, H5F_ACC_TRUNC);
  H5::Group root = begin(file, r, r.header);
  write_cases(root, r);
}

/// Beside the target under a temporary name, then in its place.
template <class AnyResult>
void write_safely(const std::string& path, const AnyResult& result, bool force) {
  H5::Exception::dontPrint();
  core::OutputFile file(path, force);
  try {
    write_all(file.partial(), result);
  } catch (const H5::Exception& e) {
    throw core::IoError(path, "cannot be written: " + e.getDetailMsg());
  }
  file.put();
}

}  // namespace

std::string created_utc() {
  std::time_t now = std::time(nullptr);
  if (const char* epoch = std::getenv("SOURCE_DATE_EPOCH"))
    now = static_cast<std::time_t>(std::strtoll(epoch, nullptr, 10));
  return fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(now));
}

void write(const std::string& path, const Result& result, bool force) {
  write_safely(path, result, force);
}

void write(const std::string& path, const LoadResult& result, bool force) {
  write_safely(path, result, force);
}

void write(const std::string& path, const PetsResult& result, bool force) {
  write_safely(path, result, force);
}

void write(const std::string& path, const RuntimeResult& result, bool force) {
  write_safely(path, result, force);
}

void write(const std::string& path, const SizeResult& result, bool force) {
  write_safely(path, result, force);
}

void write(const std::string& path, const CompareResult& result, bool force) {
  write_safely(path, result, force);
}

void write(const std::string& path, const HelpsResult& result, bool force) {
  write_safely(path, result, force);
}

void write(const std::string& path, const StudyResult& result, bool force) {
  write_safely(path, result, force);
}

}  // namespace cabinload::store
